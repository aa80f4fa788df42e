//! One frame: its brightness as the camera gave it, and as a picture that can be kept and read again.

use std::io::Cursor;
use std::time::Instant;

use image::{DynamicImage, ImageBuffer, ImageFormat};

use crate::pictures::file::Grey;

/// Brightness, row by row from the top.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Luma {
    /// Of 8 bits.
    Eight(Vec<u8>),
    /// Of 9 to 16 bits, moved up to 16.
    Sixteen(Vec<u16>),
}

/// A frame.
#[derive(Clone, Debug)]
pub(crate) struct Frame {
    /// Which of the stream's, from 1.
    pub(crate) number: u64,
    /// When it was here.
    pub(crate) at: Instant,
    /// Width and height, pixels.
    pub(crate) size: [usize; 2],
    pub(crate) luma: Luma,
    /// The value of a full pixel, in the scale of `luma`.
    pub(crate) full_scale: f32,
}

impl Frame {
    /// Its grey values, as the same picture from a file has them.
    pub(crate) fn grey(&self) -> Grey {
        let pixels = match &self.luma {
            Luma::Eight(values) => values.iter().copied().map(f32::from).collect(),
            Luma::Sixteen(values) => values.iter().copied().map(f32::from).collect(),
        };
        Grey { pixels, full_scale: self.full_scale }
    }

    /// The same pixels as a PNG file's bytes.
    ///
    /// # Errors
    /// What the encoder says.
    pub(crate) fn png(&self) -> Result<Vec<u8>, image::ImageError> {
        let [width, height] = self.size.map(|pixels| u32::try_from(pixels).unwrap_or(u32::MAX));
        let whole =
            match &self.luma {
                Luma::Eight(values) => ImageBuffer::from_raw(width, height, values.clone())
                    .map(DynamicImage::ImageLuma8),
                Luma::Sixteen(values) => ImageBuffer::from_raw(width, height, values.clone())
                    .map(DynamicImage::ImageLuma16),
            };
        let mut bytes = Cursor::new(Vec::new());
        // A frame has as many values as pixels: it was read so.
        whole.unwrap_or_default().write_to(&mut bytes, ImageFormat::Png)?;
        Ok(bytes.into_inner())
    }

    /// It small enough for the screen, of 8 bits, its darkest and brightest places drawn apart: what is shown, never
    /// what is read.
    pub(crate) fn for_screen(&self) -> Small {
        let [width, height] = self.size;
        let step = width.max(height).div_ceil(MOST_SHOWN).max(1);
        let size = self.size.map(|pixels| (pixels / step).max(1));
        let at = |place: usize| match &self.luma {
            Luma::Eight(values) => u32::from(values.get(place).copied().unwrap_or(0)) << 8,
            Luma::Sixteen(values) => u32::from(values.get(place).copied().unwrap_or(0)),
        };
        let mut means = Vec::with_capacity(size[0] * size[1]);
        for row in 0..size[1] {
            for column in 0..size[0] {
                let mut sum = 0_u64;
                for y in row * step..(row + 1) * step {
                    for x in column * step..(column + 1) * step {
                        sum += u64::from(at(y * width + x));
                    }
                }
                means.push((sum / (step * step) as u64) as u32);
            }
        }
        let grey = stretched(&means);
        let shown_px = size.map(|pixels| (pixels * step) as f64);
        Small { size, grey, shown_px }
    }
}

/// A frame for the screen.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Small {
    /// Width and height, pixels of its own.
    pub(crate) size: [usize; 2],
    /// From 0, dark, to 255.
    pub(crate) grey: Vec<u8>,
    /// How much of the frame it shows from the top left, pixels of the frame.
    pub(crate) shown_px: [f64; 2],
}

/// The longer side for the screen, pixels.
const MOST_SHOWN: usize = 1024;

/// Less than this from dark to bright is not drawn farther apart: noise alone would look like a picture. Of 65 535.
const LEAST_SPAN: u32 = 48 << 8;

/// Values from dark to bright, all but the outermost half a percent at either end between 0 and 255.
fn stretched(values: &[u32]) -> Vec<u8> {
    let mut counts = [0_usize; 256];
    for value in values {
        if let Some(count) = counts.get_mut((value >> 8) as usize) {
            *count += 1;
        }
    }
    let few = values.len() / 200;
    let edge = |places: &mut dyn Iterator<Item = usize>| {
        let mut passed = 0;
        for place in places {
            passed += counts.get(place).copied().unwrap_or(0);
            if passed > few {
                return place as u32;
            }
        }
        0
    };
    let low = edge(&mut (0..256)) << 8;
    let high = (edge(&mut (0..256).rev()) << 8) | 0xff;
    let span = high.saturating_sub(low).max(LEAST_SPAN);
    values.iter().map(|value| (value.saturating_sub(low) * 255 / span).min(255) as u8).collect()
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "tests fail by panicking")]
    use super::*;
    use crate::pictures::file;

    fn frame(size: [usize; 2], luma: Luma) -> Frame {
        Frame { number: 1, at: Instant::now(), size, luma, full_scale: 255.0 }
    }

    /// What is kept is what was read, pixel by pixel.
    #[test]
    fn a_frame_kept_as_a_picture_has_the_same_values() {
        let eight = frame([64, 65], Luma::Eight((0..64 * 65).map(|k| (k % 251) as u8).collect()));
        let sixteen = frame(
            [65, 64],
            Luma::Sixteen((0..64 * 65).map(|k| (k * 13 % 65_521) as u16).collect()),
        );
        for frame in [eight, sixteen] {
            let again = file::from_bytes(&frame.png().unwrap(), frame.size.map(|side| side as u64))
                .unwrap();
            assert_eq!(again.pixels, frame.grey().pixels);
        }
    }

    #[test]
    fn what_is_shown_is_small_and_spans_dark_to_bright() {
        let wide =
            frame([3000, 70], Luma::Eight((0..3000 * 70).map(|k| 40 + (k % 60) as u8).collect()));
        let small = wide.for_screen();
        assert_eq!((small.size, small.shown_px), ([1000, 23], [3000.0, 69.0]));
        assert_eq!(small.grey.len(), 23_000);
        assert!(small.grey.iter().max() > Some(&240) && small.grey.iter().min() < Some(&10));
        let even = frame([64, 64], Luma::Eight(vec![40; 64 * 64])).for_screen();
        assert!(even.grey.iter().all(|value| *value < 16), "noise is not blown up");
    }
}
