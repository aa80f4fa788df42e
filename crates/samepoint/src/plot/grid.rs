//! The grid behind the plot: round steps, the same both ways.

use egui_plot::GridMark;

use crate::widgets::chart::{round_step, round_values};

/// Lines of the grid are at least this far apart, points.
const GRID_PT: f64 = 44.0;

/// The grid's step: 1, 2 or 5 times a power of ten, the same both ways.
pub(super) fn grid_step_arcmin(pt_per_arcmin: f64) -> f64 {
    round_step(GRID_PT / pt_per_arcmin).unwrap_or(10.0)
}

/// The marks of a grid, all alike.
pub(super) fn even_grid(step_size: f64) -> impl Fn(egui_plot::GridInput) -> Vec<GridMark> {
    move |input| {
        let values = round_values(input.bounds.into(), step_size);
        values.map(|value| GridMark { value, step_size }).collect()
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
