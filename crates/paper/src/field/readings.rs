//! What was read, and residuals drawn larger than they are.

use solver::{Channel, Direction, PerChannel};

use super::Field;
use crate::scene::Scene;
use crate::scene::marks::{Marks, pull};

/// Longest residual on the plot, as a share of the radius.
const RESIDUAL_SHARE: f64 = 0.12;

/// From each logged reading to where the fit puts it, drawn larger by one round factor for all, and the
/// readings above.
pub(super) fn draw(scene: &mut Scene, field: &Field<'_>) {
    let mut longest = 0.0_f64;
    let mut any: PerChannel<bool> = PerChannel::default();
    let pulls: Vec<Option<Direction>> = field
        .marks
        .iter()
        .map(|mark| field.fit(mark.channel).and_then(|fit| pull(mark, fit)))
        .collect();
    for (mark, left_over) in field.marks.iter().zip(&pulls) {
        if let Some(left_over) = left_over {
            longest = longest.max(left_over.boresight_arcmin());
            any[mark.channel] = true;
        }
    }
    let radii = Channel::BOTH.into_iter().filter(|&channel| any[channel]);
    let radii = radii.filter_map(|channel| Some(field.fit(channel)?.circle.radius_arcmin));
    let room = radii.fold(f64::INFINITY, f64::min);
    let times = round_factor(RESIDUAL_SHARE * room / longest);
    let fits = PerChannel::from_fn(|channel| field.fit(channel).copied());
    scene.put_marks(Marks::new(field.marks.to_vec(), pulls, fits, times));
}

/// The largest of 1, 2, 5, 10, 20 … 500 that is not above `most`.
fn round_factor(most: f64) -> Option<f64> {
    [500.0, 200.0, 100.0, 50.0, 20.0, 10.0, 5.0, 2.0, 1.0]
        .into_iter()
        .find(|&factor| most.is_finite() && factor <= most)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn residuals_grow_by_round_factors() {
        for (most, times) in [(3.0, Some(2.0)), (50.0, Some(50.0)), (1e6, Some(500.0)), (0.4, None)]
        {
            assert_eq!(round_factor(most), times, "{most}");
        }
        assert_eq!(round_factor(f64::NAN), None);
    }
}
