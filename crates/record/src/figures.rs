//! Numbers as everyone reads them, in sentences, on screen and on paper: true minus signs, units, one
//! decimal for arcminutes.

use solver::Direction;

/// The true minus sign, U+2212.
pub const MINUS: char = '\u{2212}';

/// A number with a fixed count of decimals and a true minus sign; −0.0 reads 0.0.
///
/// ```
/// assert_eq!(record::figures::number(-14.27, 1), "−14.3");
/// assert_eq!(record::figures::number(-0.04, 1), "0.0");
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
/// assert_eq!(record::figures::degrees_short(31.0), "31°");
/// assert_eq!(record::figures::degrees_short(31.26), "31.3°");
/// ```
#[must_use]
pub fn degrees_short(value: f64) -> String {
    let whole = (value - value.round()).abs() < 1e-9;
    format!("{}°", number(value, usize::from(!whole)))
}

/// A direction: `−14.3′, 21.7′`.
#[must_use]
pub fn direction(direction: Direction) -> String {
    format!("{}, {}", arcmin(direction.x_arcmin), arcmin(direction.y_arcmin))
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
