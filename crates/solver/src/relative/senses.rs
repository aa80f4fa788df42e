//! Which way round each crosshair runs, told or found from differences.

use super::basis::{Basis, seen, turned};
use crate::channel::{Channel, PerChannel};
use crate::circle::Sense;
use crate::fit::{SenseBasis, SenseChoice};
use crate::relative::RelativeReading;

/// The two senses must differ by this much (Δχ²), as for a circle.
const TELLING: f64 = 9.0;
/// Residuals below this share of the readings' size are rounding.
pub(super) const ROUNDING: f64 = 1e-12;

/// Each channel's sense and how it is known.
pub(super) fn found_senses(
    readings: &[RelativeReading],
    sigma_arcmin: Option<f64>,
    choice: PerChannel<SenseChoice>,
    angles: PerChannel<usize>,
) -> PerChannel<(Sense, SenseBasis)> {
    const SENSES: [Sense; 2] = [Sense::With, Sense::Against];
    let open = |channel: Channel| choice[channel] == SenseChoice::Auto && angles[channel] >= 3;
    let allowed = |channel: Channel, sense: Sense| match choice[channel] {
        SenseChoice::Given(given) => sense == given,
        SenseChoice::Auto => sense == Sense::With || open(channel),
    };
    let anything_open = Channel::BOTH.into_iter().any(open);
    // Sums of squares, [left][right].
    let squares = SENSES.map(|left| {
        SENSES.map(|right| {
            let wanted = allowed(Channel::Left, left) && allowed(Channel::Right, right);
            if wanted && anything_open {
                squares_under(readings, PerChannel { left, right })
            } else {
                f64::INFINITY
            }
        })
    });
    let size = readings.iter().map(|r| r.misalignment.length_arcmin()).fold(0.0, f64::max);
    let nothing = readings.len() as f64 * (ROUNDING * size).powi(2);
    PerChannel::from_fn(|channel| match choice[channel] {
        SenseChoice::Given(sense) => (sense, SenseBasis::Given),
        SenseChoice::Auto if !open(channel) => (Sense::With, SenseBasis::Assumed),
        SenseChoice::Auto => {
            let [with, against] = match channel {
                Channel::Left => squares.map(|[a, b]| a.min(b)),
                Channel::Right => [0, 1].map(|k| squares[0][k].min(squares[1][k])),
            };
            let difference = worse_by(against, with, sigma_arcmin, readings.len(), nothing);
            let found = SenseBasis::Found { difference: difference.abs() };
            if difference >= TELLING {
                (Sense::With, found)
            } else if difference <= -TELLING {
                (Sense::Against, found)
            } else {
                (Sense::With, SenseBasis::Assumed)
            }
        }
    })
}

/// Δχ² with σ stated, else n ln of the ratio; sums of squares below `nothing` are rounding.
fn worse_by(one: f64, other: f64, sigma: Option<f64>, readings: usize, nothing: f64) -> f64 {
    if let Some(sigma) = sigma {
        return (one - other) / (sigma * sigma);
    }
    match (one > nothing, other > nothing) {
        (true, true) => 2.0 * readings as f64 * (one / other).ln(),
        (true, false) => f64::INFINITY,
        (false, true) => f64::NEG_INFINITY,
        (false, false) => 0.0,
    }
}

/// The least sum of squares under two senses, in-step rings included: there b adds nothing.
fn squares_under(readings: &[RelativeReading], senses: PerChannel<Sense>) -> f64 {
    let basis = Basis::of(readings, senses);
    let found = basis.solve(readings);
    let off = |reading| seen(reading) - basis.at(turned(reading, senses), &found);
    readings.iter().map(|reading| off(reading).norm_sqr()).sum()
}
