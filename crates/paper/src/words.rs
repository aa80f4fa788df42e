//! Numbers as everyone reads them: true minus signs, units, one decimal for arcminutes.

use solver::diagnostic::Cause;
use solver::{Direction, Misalignment};

/// The true minus sign, U+2212.
pub const MINUS: char = '\u{2212}';

/// A number with a fixed count of decimals and a true minus sign; −0.0 reads 0.0.
///
/// ```
/// assert_eq!(paper::words::number(-14.27, 1), "−14.3");
/// assert_eq!(paper::words::number(-0.04, 1), "0.0");
/// ```
#[must_use]
pub fn number(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    match text.strip_prefix('-') {
        // Rounded to nothing: no sign.
        Some(digits) if digits.chars().all(|c| matches!(c, '0' | '.')) => digits.to_owned(),
        Some(digits) => format!("{MINUS}{digits}"),
        None => text,
    }
}

/// Arcminutes with one decimal: `−14.3′`.
#[must_use]
pub fn arcmin(value: f64) -> String {
    format!("{}′", number(value, 1))
}

/// Arcminutes with two decimals below one, where one decimal would hide an uncertainty: `0.08′`.
#[must_use]
pub fn arcmin_fine(value: f64) -> String {
    format!("{}′", number(value, if value.abs() < 0.995 { 2 } else { 1 }))
}

/// Degrees as short as they can be told: whole ones without a decimal, others with one.
///
/// ```
/// assert_eq!(paper::words::degrees_short(31.0), "31°");
/// assert_eq!(paper::words::degrees_short(31.26), "31.3°");
/// ```
#[must_use]
pub fn degrees_short(value: f64) -> String {
    let whole = (value - value.round()).abs() < 1e-9;
    format!("{}°", number(value, usize::from(!whole)))
}

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

/// Percent, whole: `65 %`.
#[must_use]
pub fn percent(share: f64) -> String {
    if share.is_finite() && share < 100.0 {
        format!("{} %", number(share * 100.0, 0))
    } else {
        "over 9999 %".to_owned()
    }
}

/// A direction: `−14.3′, 21.7′`.
#[must_use]
pub fn direction(direction: Direction) -> String {
    format!("{}, {}", arcmin(direction.x_arcmin), arcmin(direction.y_arcmin))
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
