//! Numbers, times and limits as the report says them.

use record::{NamedWindow, Stamp};

use crate::words::{arcmin, number};

/// Day and time where the clock stood.
pub(super) fn moment(stamp: Stamp) -> String {
    format!("{} {}", stamp.date(), stamp.time_of_day())
}

/// A value with its 95 % interval where that is known: `30.0 ± 0.2′`.
pub(super) fn with_95(value: f64, u: Option<f64>, unit: &str) -> String {
    match u {
        Some(half) => format!("{} ± {}{unit}", number(value, 1), number(half, 2)),
        None => format!("{}{unit}", number(value, 1)),
    }
}

/// A window's limits in a sentence.
pub(super) fn limits(window: &NamedWindow) -> String {
    let limits = &window.limits;
    let boresight = limits.boresight_arcmin().map_or_else(String::new, |limit| {
        format!("; both may point {} from boresight", arcmin(limit))
    });
    format!(
        "the eyes may have to converge {} or diverge {}, the images may differ {} in height{boresight}",
        arcmin(limits.convergence_arcmin()),
        arcmin(limits.divergence_arcmin()),
        arcmin(limits.dipvergence_arcmin()),
    )
}
