//! Numbers as everyone reads them: true minus signs, units, one decimal for arcminutes.

use solver::Misalignment;
use solver::diagnostic::Cause;

pub use record::figures::{MINUS, arcmin, arcmin_fine, degrees_short, direction, number, percent};

/// Whole degrees, or as many decimals as the step needs: `236°`.
#[must_use]
pub fn degrees(value: f64, step_deg: f64) -> String {
    format!("{}°", number(value, step_decimals(step_deg)))
}

/// Decimals that show a step exactly: 0 for 1°, 1 for 0.5°; at most three.
#[must_use]
pub fn step_decimals(step_deg: f64) -> usize {
    (0..3)
        .find(|&k| {
            let scaled = step_deg * 10_f64.powi(k);
            (scaled - scaled.round()).abs() < 1e-9 && scaled.round() >= 1.0
        })
        .map_or(3, |k| k as usize)
}

/// What a misalignment asks of the eyes, in words.
///
/// ```
/// use solver::Misalignment;
/// assert_eq!(
///     paper::words::misalignment(Misalignment::new(-4.0, 1.0)),
///     "the eyes must converge 4.0′, right image high 1.0′"
/// );
/// ```
#[must_use]
pub fn misalignment(misalignment: Misalignment) -> String {
    let Misalignment { x_arcmin, y_arcmin } = misalignment;
    let side = if number(x_arcmin.abs(), 1) == "0.0" {
        "the eyes look straight".to_owned()
    } else if x_arcmin > 0.0 {
        format!("the eyes must diverge {}", arcmin(x_arcmin))
    } else {
        format!("the eyes must converge {}", arcmin(-x_arcmin))
    };
    let height = if number(y_arcmin.abs(), 1) == "0.0" {
        "both images level".to_owned()
    } else if y_arcmin > 0.0 {
        format!("right image high {}", arcmin(y_arcmin))
    } else {
        format!("right image low {}", arcmin(-y_arcmin))
    };
    format!("{side}, {height}")
}

/// What was probably misread in a reading that stands out: `ring looks 8° off, the others say
/// 122°`. Where nothing can be told, that it lies off the others.
#[must_use]
pub fn cause(cause: Option<Cause>) -> String {
    match cause {
        Some(Cause::Ring { expected_deg, off_deg }) => format!(
            "ring looks {}° off, the others say {}",
            number(off_deg.abs(), 0),
            degrees(expected_deg, 1.0)
        ),
        Some(Cause::Graticule { expected }) => format!(
            "graticule looks misread, the others say {}, {}",
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
