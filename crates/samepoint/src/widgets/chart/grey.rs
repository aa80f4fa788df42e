//! A grey picture in a chart: pixels as a camera has them, never brighter than the room bears.
//!
//! What is drawn is the picture's grey times the theme's own limit, so that in deep red it is red and nothing else.

use egui::{
    ColorImage, Context, Rect, TextureFilter, TextureHandle, TextureOptions, TextureWrapMode, pos2,
};

use super::Chart;
use super::map::Map;

/// Shares of the pixels that may be darker than black and brighter than white: spots.
const SPOTS: [f64; 2] = [0.002, 0.0002];

/// Steps of brightness that are counted to find black and white.
const STEPS: usize = 4096;

/// The longest side that is handed to the graphics, pixels.
const LONGEST: usize = 2048;

/// A grey picture made ready for a screen. Making it may take milliseconds: a worker can.
#[derive(Clone)]
pub(crate) struct GreyImage {
    /// The picture's width and height, pixels.
    size: [usize; 2],
    /// Pixels a side that one of the screen's stands for.
    step: usize,
    shown: ColorImage,
}

impl GreyImage {
    /// Grey values row by row from the top: the darkest few are black, the brightest few white.
    pub(crate) fn of(pixels: &[f32], size: [usize; 2]) -> Self {
        Self::between(pixels, size, range(pixels))
    }

    /// The same with what is black and what is white given: frames that follow one another do not flicker.
    pub(crate) fn between(pixels: &[f32], size: [usize; 2], [low, high]: [f32; 2]) -> Self {
        let [width, height] = size;
        let step = width.max(height).div_ceil(LONGEST).max(1);
        let [across, down] = size.map(|side| side.div_ceil(step));
        let scale = 255.0 / (high - low).max(f32::MIN_POSITIVE);
        let as_grey = |value: f32| ((value - low) * scale).clamp(0.0, 255.0) as u8;
        let mut greys = Vec::with_capacity(across * down);
        if step == 1 {
            greys.extend(pixels.iter().copied().map(as_grey));
        } else {
            let mut sums = vec![(0.0_f32, 0.0_f32); across];
            for strip in pixels.chunks(step * width.max(1)) {
                sums.fill((0.0, 0.0));
                for row in strip.chunks(width.max(1)) {
                    for (values, (sum, count)) in row.chunks(step).zip(&mut sums) {
                        *sum += values.iter().sum::<f32>();
                        *count += values.len() as f32;
                    }
                }
                greys.extend(sums.iter().map(|(sum, count)| as_grey(sum / count.max(1.0))));
            }
        }
        greys.resize(across * down, 0);
        Self { size, step, shown: ColorImage::from_gray([across, down], &greys) }
    }
}

/// What is black and what is white of a picture.
pub(crate) fn range(pixels: &[f32]) -> [f32; 2] {
    let finite = || pixels.iter().copied().filter(|value| value.is_finite());
    let (low, high) = finite().fold((f32::INFINITY, f32::NEG_INFINITY), |(low, high), value| {
        (low.min(value), high.max(value))
    });
    let wide = low < high;
    if !wide {
        return [low.min(0.0), low.max(1.0)];
    }
    let mut counts = vec![0_usize; STEPS];
    let a_step = (high - low) / STEPS as f32;
    for value in finite() {
        let place = (((value - low) / a_step) as usize).min(STEPS - 1);
        if let Some(count) = counts.get_mut(place) {
            *count += 1;
        }
    }
    let total = pixels.len() as f64;
    let within = |share: f64, counts: &mut dyn Iterator<Item = &usize>| -> usize {
        let mut seen = 0.0;
        counts
            .take_while(|count| {
                seen += **count as f64;
                seen <= share * total
            })
            .count()
    };
    let below = within(SPOTS[0], &mut counts.iter());
    let above = within(SPOTS[1], &mut counts.iter().rev());
    let (from, to) = (low + below as f32 * a_step, high - above as f32 * a_step);
    if from < to { [from, to] } else { [low, high] }
}

/// A grey picture that a screen holds.
#[derive(Clone)]
pub(crate) struct GreyTexture {
    texture: TextureHandle,
    size: [usize; 2],
    /// Shares of the texture that the picture fills.
    filled: [f32; 2],
}

const PIXELS: TextureOptions = TextureOptions {
    magnification: TextureFilter::Nearest,
    minification: TextureFilter::Linear,
    wrap_mode: TextureWrapMode::ClampToEdge,
    mipmap_mode: None,
};

impl GreyTexture {
    /// Hands a picture to the screen.
    pub(crate) fn new(ctx: &Context, image: GreyImage) -> Self {
        let (size, filled) = (image.size, image.filled());
        Self { texture: ctx.load_texture("grey picture", image.shown, PIXELS), size, filled }
    }

    /// Shows another in its place, as the next frame of a camera.
    pub(crate) fn set(&mut self, image: GreyImage) {
        (self.size, self.filled) = (image.size, image.filled());
        self.texture.set(image.shown, PIXELS);
    }

    /// Width and height, pixels.
    pub(crate) const fn size(&self) -> [usize; 2] {
        self.size
    }
}

impl GreyImage {
    fn filled(&self) -> [f32; 2] {
        let shown = self.shown.size.map(|side| (side * self.step).max(1) as f32);
        [self.size[0] as f32 / shown[0], self.size[1] as f32 / shown[1]]
    }
}

impl Map {
    /// A whole picture in a field, as large as fits: pixel (0, 0) is the centre of the top left one, x right, y down.
    pub(crate) fn picture(field: Rect, size: [usize; 2]) -> Self {
        let [w, h] = size.map(|side| (side as f32).max(1.0));
        let pt = (field.width() / w).min(field.height() / h);
        let rect = Rect::from_center_size(field.center(), egui::vec2(w * pt, h * pt));
        let [w, h] = [f64::from(w), f64::from(h)];
        Self::new(rect, [-0.5, w - 0.5], [h - 0.5, -0.5])
    }

    /// A part of a picture: what lies round a place, one pixel this many points large.
    pub(crate) fn picture_round(field: Rect, at_px: [f64; 2], pixel_pt: f64) -> Self {
        let half = [field.width(), field.height()].map(|side| 0.5 * f64::from(side) / pixel_pt);
        let [x, y] = at_px;
        Self::new(field, [x - half[0], x + half[0]], [y + half[1], y - half[1]])
    }
}

impl Chart<'_> {
    /// A picture under a map of its pixels.
    pub(crate) fn picture(&self, picture: &GreyTexture) {
        let [w, h] = picture.size.map(|side| side as f64);
        let area = self.map.area([-0.5, -0.5], [w - 0.5, h - 0.5]);
        let [u, v] = picture.filled;
        let whole = Rect::from_min_max(pos2(0.0, 0.0), pos2(u, v));
        self.inside().image(picture.texture.id(), area, whole, self.palette.picture);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 100 of 300 values are at one end each, one stray: black and white are the ends, the stray is beyond.
    #[test]
    fn a_spot_does_not_darken_the_rest() {
        let mut pixels = vec![10.0_f32; 50_000];
        pixels.extend([200.0; 5_000]);
        pixels.extend([60_000.0; 3]);
        let [low, high] = range(&pixels);
        assert!((low - 10.0).abs() < 20.0, "{low}");
        assert!((200.0..240.0).contains(&high), "{high}");
    }

    #[test]
    fn any_values_have_a_range() {
        for pixels in [vec![], vec![3.0; 9], vec![f32::NAN; 4], vec![-1.0, 1.0], vec![0.0; 3]] {
            let [low, high] = range(&pixels);
            assert!(low <= high || low.is_infinite(), "{pixels:?}: {low} {high}");
            assert_eq!(GreyImage::of(&pixels, [pixels.len(), 1]).shown.size[1], 1);
        }
    }

    /// Larger than the graphics hold: blocks of 3 × 3, the last column one pixel wide.
    #[test]
    fn a_large_picture_is_shown_by_its_blocks() {
        let (w, h) = (4099, 7);
        let pixels: Vec<f32> =
            (0..w * h).map(|place| if place % w < 3 { 90.0 } else { 0.0 }).collect();
        let image = GreyImage::between(&pixels, [w, h], [0.0, 90.0]);
        assert_eq!((image.step, image.shown.size), (3, [1367, 3]));
        let greys: Vec<u8> = image.shown.pixels.iter().map(egui::Color32::r).collect();
        assert_eq!(greys[..3], [255, 0, 0]);
        assert_eq!(greys[1367..1370], [255, 0, 0]);
        let [u, v] = image.filled();
        assert!((u - 4099.0 / 4101.0).abs() < 1e-6 && (v - 7.0 / 9.0).abs() < 1e-6);
    }

    #[test]
    fn pixels_lie_where_the_camera_has_them() {
        let field = Rect::from_min_size(pos2(10.0, 20.0), egui::vec2(200.0, 100.0));
        let map = Map::picture(field, [50, 100]);
        // As high as the field, half as wide: a pixel is a point.
        assert_eq!(map.place([-0.5, -0.5]), pos2(85.0, 20.0));
        assert_eq!(map.place([49.5, 99.5]), pos2(135.0, 120.0));
        // The screen's places are of single precision.
        assert!(map.value(pos2(85.5, 20.5)).iter().all(|value| value.abs() < 1e-5));
        let near = Map::picture_round(field, [7.0, 9.0], 4.0);
        assert_eq!(near.place([7.0, 9.0]), field.center());
        assert_eq!(near.place([8.0, 10.0]), field.center() + egui::vec2(4.0, 4.0));
    }
}
