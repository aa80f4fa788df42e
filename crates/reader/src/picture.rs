//! A grey picture, and how the reader walks along lines in it.

use crate::refusal::PictureError;

/// The least width and height that is read, pixels: a crosshair with arms of 30 px has no place in less.
pub const SMALLEST_PX: usize = 64;

/// The most, each way, pixels.
pub const LARGEST_PX: usize = 65_535;

/// A grey picture: values of any unit, row by row from the top, x right, y down.
///
/// Pixel (0, 0) is the centre of the top left pixel. The values may be those of one frame or the mean of
/// several.
#[derive(Clone, Copy, Debug)]
pub struct Picture<'a> {
    pixels: &'a [f32],
    size: [usize; 2],
    full_scale: Option<f32>,
}

impl<'a> Picture<'a> {
    /// A picture of `size` (width, height) pixels.
    ///
    /// `full_scale` is the value at which a pixel holds no more (255 for 8 bits), where it is known.
    ///
    /// # Errors
    /// [`PictureError`]: too small, too large, or not as many values as pixels.
    pub fn new(
        pixels: &'a [f32],
        size: [usize; 2],
        full_scale: Option<f32>,
    ) -> Result<Self, PictureError> {
        let [width, height] = size;
        if width.min(height) < SMALLEST_PX {
            return Err(PictureError::TooSmall { width, height, least: SMALLEST_PX });
        }
        if width.max(height) > LARGEST_PX {
            return Err(PictureError::TooLarge { width, height, most: LARGEST_PX });
        }
        // Both are below 2^16.
        if pixels.len() != width * height {
            return Err(PictureError::WrongCount { width, height, values: pixels.len() });
        }
        Ok(Self { pixels, size, full_scale })
    }

    /// Width and height, pixels.
    #[must_use]
    pub const fn size(&self) -> [usize; 2] {
        self.size
    }

    /// Its values, row by row.
    #[must_use]
    pub const fn pixels(&self) -> &'a [f32] {
        self.pixels
    }

    /// The value at which a pixel holds no more.
    pub(crate) const fn full_scale(&self) -> Option<f32> {
        self.full_scale
    }
}

/// Which way a line runs, more or less.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Way {
    /// Along x: its place is a y at each x.
    Flat,
    /// Along y: its place is an x at each y.
    Upright,
}

impl Way {
    pub(crate) const BOTH: [Self; 2] = [Self::Flat, Self::Upright];

    /// (x, y) of a place along and across.
    pub(crate) const fn px(self, along: f64, across: f64) -> [f64; 2] {
        match self {
            Self::Flat => [along, across],
            Self::Upright => [across, along],
        }
    }

    /// Along and across of an (x, y): its own inverse.
    pub(crate) const fn along_across(self, px: [f64; 2]) -> [f64; 2] {
        let [x, y] = px;
        self.px(x, y)
    }
}

/// A picture as seen by somebody who walks along a line: less the background, the line's brightness up.
#[derive(Clone, Copy, Debug)]
pub(crate) struct View<'a> {
    pixels: &'a [f32],
    background: Option<&'a [f32]>,
    sign: f32,
    strides: [usize; 2],
    /// How many pixels there are along and across.
    pub(crate) lengths: [usize; 2],
}

impl<'a> View<'a> {
    pub(crate) const fn new(
        picture: &Picture<'a>,
        background: Option<&Picture<'a>>,
        dark: bool,
        way: Way,
    ) -> Self {
        let [width, height] = picture.size;
        let (strides, lengths) = match way {
            Way::Flat => ([1, width], [width, height]),
            Way::Upright => ([width, 1], [height, width]),
        };
        let background = match background {
            Some(background) => Some(background.pixels),
            None => None,
        };
        Self {
            pixels: picture.pixels,
            background,
            sign: if dark { -1.0 } else { 1.0 },
            strides,
            lengths,
        }
    }

    /// The value at a place inside the picture; 0 outside.
    #[inline]
    pub(crate) fn at(&self, along: usize, across: usize) -> f64 {
        let place = along * self.strides[0] + across * self.strides[1];
        let value = self.pixels.get(place).copied().unwrap_or(0.0);
        let under = self.background.and_then(|under| under.get(place)).copied().unwrap_or(0.0);
        f64::from(self.sign * (value - under))
    }

    /// The values at some places next to each other across, all inside the picture; 0 outside.
    #[inline]
    pub(crate) fn fill(&self, along: usize, across: usize, values: &mut [f64]) {
        let [_, stride] = self.strides;
        let first = along * self.strides[0] + across * stride;
        let sign = f64::from(self.sign);
        let of = |pixels: &'a [f32]| pixels.get(first..).unwrap_or_default();
        let pixels = of(self.pixels);
        if stride == 1 {
            for (value, pixel) in values.iter_mut().zip(pixels) {
                *value = sign * f64::from(*pixel);
            }
        } else {
            for (value, pixel) in values.iter_mut().zip(pixels.iter().step_by(stride)) {
                *value = sign * f64::from(*pixel);
            }
        }
        if let Some(background) = self.background {
            for (value, under) in values.iter_mut().zip(of(background).iter().step_by(stride)) {
                *value -= sign * f64::from(*under);
            }
        }
    }

    /// The value as the camera gave it.
    #[inline]
    pub(crate) fn raw(&self, along: usize, across: usize) -> f32 {
        let place = along * self.strides[0] + across * self.strides[1];
        self.pixels.get(place).copied().unwrap_or(0.0)
    }
}
