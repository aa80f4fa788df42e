//! Whether a line's pixels are full.

use crate::blocks::BLOCK;
use crate::picture::{Picture, View};
use crate::trace::Line;

/// More full pixels than this share in the middle of a line, and it is saturated.
pub(crate) const MOST: f64 = 0.1;

/// The share of full pixels: in the middle of a bright line, beside a dark one.
pub(crate) fn share(picture: &Picture<'_>, view: &View<'_>, line: &Line, dark: bool) -> f64 {
    let width = line.shape.width_px();
    let (from, to) =
        if dark { (0.7 * width, 1.5 * width + 2.0) } else { (0.0, (0.35 * width).max(0.5)) };
    let mut values = Vec::new();
    for block in &line.blocks {
        let first = (block.along - 0.5 * BLOCK as f64).max(0.0).ceil() as usize;
        for along in first..(first + BLOCK).min(view.lengths[0]) {
            let centre = line.path().at(along as f64);
            let low = (centre - to).ceil().max(0.0);
            let high = (centre + to).floor().min(view.lengths[1] as f64 - 1.0);
            if low > high {
                continue;
            }
            for across in low as usize..=high as usize {
                if (across as f64 - centre).abs() >= from {
                    values.push(view.raw(along, across));
                }
            }
        }
    }
    let largest = values.iter().copied().fold(f32::MIN, f32::max);
    let Some(level) = full_at(largest, picture.full_scale()) else { return 0.0 };
    let full = values.iter().filter(|value| **value >= level).count();
    full as f64 / values.len().max(1) as f64
}

/// The value at which pixels are full, given the largest there is: the full scale, or the largest number of
/// 8, 10, 12 or 14 bits, plain or moved up in 16.
fn full_at(largest: f32, full_scale: Option<f32>) -> Option<f32> {
    if let Some(full) = full_scale
        && largest >= 0.998 * full
    {
        return Some(0.998 * full);
    }
    let converters = [8_u32, 10, 12, 14].into_iter().flat_map(|bits| {
        let largest = (1_u32 << bits) - 1;
        [largest, largest << (16 - bits)]
    });
    // All of these are below 2^16: exact.
    converters.map(|full| full as f32).find(|full| (*full - largest).abs() < 0.5)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 2ⁿ − 1, by hand.
    #[test]
    fn full_pixels_are_known_by_their_value() {
        assert_eq!(full_at(255.0, Some(255.0)), Some(254.49));
        assert_eq!(full_at(254.0, Some(255.0)), None);
        assert_eq!(full_at(4095.0, Some(65535.0)), Some(4095.0));
        assert!(full_at(65520.0, Some(65535.0)).is_some());
        assert_eq!(full_at(65472.0, None), Some(65472.0));
        assert_eq!(full_at(1000.0, None), None);
    }
}
