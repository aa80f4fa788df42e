//! A found map in words.

use solver::upkeep::station_map::{FoundMap, Scales};

use crate::figures::{arcmin_fine, number, probability};
use crate::station::flip_words;

/// Digits behind the mark so that a half width shows two of its own, at most six.
#[must_use]
pub fn decimals_for(half_width: f64) -> usize {
    // A log of 0 is no number of digits.
    let places = (1.0 - half_width.abs().log10().floor()).clamp(0.0, 6.0);
    if places.is_finite() { places as usize } else { 3 }
}

/// A number with its 95 % half width: `1.500 ± 0.012`.
#[must_use]
pub fn with_half_width(value: f64, half_width: Option<f64>) -> String {
    match half_width {
        Some(half) if half > 0.0 => {
            let decimals = decimals_for(half);
            format!("{} ± {}", number(value, decimals), number(half, decimals))
        }
        _ => number(value, 3),
    }
}

/// The map in one line, ± 95 %.
#[must_use]
pub fn map_words(found: &FoundMap) -> String {
    let widths = found.half_widths_95();
    let half = |at: usize| widths.and_then(|widths| widths.get(at).copied());
    let [x, y] = found.arcmin_per_division;
    let scale = match found.scales {
        Scales::One => format!("one division is {}′", with_half_width(x, half(1))),
        Scales::Each => format!(
            "one division is {}′ across, {}′ up",
            with_half_width(x, half(1)),
            with_half_width(y, half(2))
        ),
    };
    let flips = flip_words(found.flips.x, found.flips.y);
    let [zero_x, zero_y] = found.boresight_divisions;
    let consistency = found
        .consistency
        .filter(|_| found.spare > 0)
        .map_or_else(String::new, |chance| format!(", χ² {}", probability(chance)));
    format!(
        "{scale}{flips}, turned {}° counter-clockwise, boresight reads {}, {} (± 95 %); residuals {} root mean \
         square{consistency}",
        with_half_width(found.rotation_deg, half(0)),
        with_half_width(zero_x, half(3)),
        with_half_width(zero_y, half(4)),
        arcmin_fine(found.rms_arcmin),
    )
}
