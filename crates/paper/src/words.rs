//! Numbers as everyone reads them: true minus signs, units, one decimal for arcminutes.

use solver::diagnostic::{Cause, Slip};
use solver::{Channel, OffsetCircle};

pub use record::figures::{
    MINUS, arcmin, arcmin_at_most, arcmin_fine, at_least, bearing, capital, counted, counted_s,
    degrees_short, direction, equally_near, form_for, listed, meeting_sentence, misalignment,
    number, numbered, percent, percent_at_most, percent_short, probability, push_number, sentence,
    step_decimals, turn, way_round,
};

/// A channel's circle: `left circle: centre 10.0′, 4.0′, radius 30.1′`.
#[must_use]
pub fn circle(channel: Channel, circle: &OffsetCircle) -> String {
    format!(
        "{channel} circle: centre {}, radius {}",
        direction(circle.centre),
        arcmin(circle.radius_arcmin)
    )
}

/// Whole degrees, or as many decimals as the step needs: `236°`.
///
/// ```
/// assert_eq!(paper::words::degrees(235.6, 1.0), "236°");
/// assert_eq!(paper::words::degrees(235.6, 0.5), "235.6°");
/// ```
#[must_use]
pub fn degrees(value: f64, step_deg: f64) -> String {
    format!("{}°", number(value, step_decimals(step_deg)))
}

/// A ring's angle, in [0°, 360°), with the decimals its step needs.
///
/// ```
/// assert_eq!(paper::words::ring(359.8, 1.0), "0°");
/// ```
#[must_use]
pub fn ring(deg: f64, step_deg: f64) -> String {
    bearing(deg, step_decimals(step_deg))
}

/// What was probably misread in a reading that stands out: `ring looks 8° off, the others say
/// 122°`. Where nothing can be told, that it lies off the others.
#[must_use]
pub fn cause(cause: Option<Cause>) -> String {
    match cause {
        Some(Cause::Ring { expected_deg, off_deg, or }) => {
            let or = or.map_or_else(String::new, |slip| format!("; or {}", slip.words()));
            format!(
                "ring looks {}° off, the others say {}{or}",
                number(off_deg.abs(), 0),
                ring(expected_deg, 1.0)
            )
        }
        Some(Cause::Exchanged { with_ring_deg, expected }) => format!(
            "it looks exchanged with the reading at ring {}, the others say {}, {}",
            ring(with_ring_deg, 1.0),
            arcmin(expected.x_arcmin),
            arcmin(expected.y_arcmin)
        ),
        Some(Cause::Graticule { expected, slip }) => format!(
            "{}, the others say {}, {}",
            slip.map_or("graticule looks misread", Slip::words),
            arcmin(expected.x_arcmin),
            arcmin(expected.y_arcmin)
        ),
        None => "it lies off the others".to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn steps_show_their_decimals() {
        for (step, decimals) in [(1.0, 0), (5.0, 0), (0.5, 1), (0.25, 2), (0.1, 1), (0.125, 3)] {
            assert_eq!(step_decimals(step), decimals, "{step}");
        }
    }
}
