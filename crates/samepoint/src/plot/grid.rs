//! The grid behind the plot: round steps, the same both ways.

use egui_plot::GridMark;

use crate::widgets::chart::round_step;

/// Lines of the grid are at least this far apart, points.
const GRID_PT: f64 = 44.0;

/// The grid's step: 1, 2 or 5 times a power of ten, the same both ways.
pub(super) fn grid_step_arcmin(pt_per_arcmin: f64) -> f64 {
    round_step(GRID_PT / pt_per_arcmin).unwrap_or(10.0)
}

/// The marks of a grid, all alike.
pub(super) fn even_grid(step_size: f64) -> impl Fn(egui_plot::GridInput) -> Vec<GridMark> {
    move |input| {
        let (low, high) = input.bounds;
        let (first, last) = ((low / step_size).ceil(), (high / step_size).floor());
        if !(first.is_finite() && last.is_finite()) {
            return Vec::new();
        }
        // A field is some thousand points wide at most; the clamp holds whatever the bounds.
        let count = (last - first).clamp(0.0, 256.0) as u32;
        (0..=count)
            .map(|k| GridMark { value: (first + f64::from(k)) * step_size, step_size })
            .collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Lines keep their distance at every scale, and do not thin out more than fivefold.
    #[test]
    fn grid_steps_are_round_and_roomy() {
        for (scale, step) in [(4.4, 10.0), (8.0, 10.0), (9.0, 5.0), (44.0, 1.0), (0.1, 500.0)] {
            assert_eq!(grid_step_arcmin(scale), step, "{scale}");
        }
        assert_eq!(grid_step_arcmin(f64::NAN), 10.0);
    }
}
