//! Remedies in words for hands.

use crate::angle::reduced_deg;
use crate::channel::Channel;
use crate::optics::{Lateral, ShimEnds};
use crate::remedy::shim::ChannelShim;
use crate::words::{form_for, in_letters};

/// What to put where, and which way it pushes the tube.
///
/// ```
/// use solver::optics::ShimEnds;
/// use solver::remedy::shim::{ChannelShim, sentence};
/// use solver::{Channel, Direction};
/// let shim = ChannelShim {
///     clock_deg: 130.0,
///     ends: ShimEnds::Both,
///     either_end: false,
///     leaves_mm: vec![0.10],
///     shift: Direction::new(-19.5, 16.4),
/// };
/// // Clock 130° is right and low; a shim there pushes the tube left and up, and for the right tube
/// // the nose is on the left.
/// assert_eq!(
///     sentence(Channel::Right, &shim),
///     "Right tube, full length, 0.10 mm at clock 130°, seen from the eye side: one leaf of 0.10 mm at \
///      each end pushes the tube toward the nose, high."
/// );
/// ```
#[must_use]
pub fn sentence(channel: Channel, shim: &ChannelShim) -> String {
    let name = match channel {
        Channel::Left => "Left",
        Channel::Right => "Right",
    };
    let (ends, each) = match (shim.ends, shim.either_end) {
        (_, true) => ("front end or rear end, either does the same", " at that end"),
        (ShimEnds::Both, _) => ("full length", " at each end"),
        (ShimEnds::Front, _) => ("front end only", ""),
        (ShimEnds::Rear, _) => ("rear end only", ""),
    };
    let pushes = form_for(shim.leaves_mm.len(), "pushes", "push");
    format!(
        "{name} tube, {ends}, {} mm at clock {}°, seen from the eye side: {}{each} {pushes} the tube {}.",
        millimetres(shim.thickness_mm()),
        clock(shim.clock_deg),
        leaves(&shim.leaves_mm),
        way(channel, -Lateral::toward_clock(1.0, shim.clock_deg)),
    )
}

/// Which way a push goes: "toward the nose, high".
pub(super) fn way(channel: Channel, push: Lateral) -> String {
    // From the eye side the nose is to the right of the left tube.
    let nose = match channel {
        Channel::Left => push.x_mm,
        Channel::Right => -push.x_mm,
    };
    // Parts under a tenth (6°) are not worth a word.
    let word = |part: f64, positive, negative| {
        if part > 0.1 {
            Some(positive)
        } else if part < -0.1 {
            Some(negative)
        } else {
            None
        }
    };
    let side = word(nose, "toward the nose", "toward the temple");
    let height = word(push.y_mm, "high", "low");
    let words: Vec<&str> = side.into_iter().chain(height).collect();
    words.join(", ")
}

/// A stack in words, thickest first: "two leaves of 0.20 mm and one of 0.05 mm".
fn leaves(stack_mm: &[f64]) -> String {
    let mut kinds: Vec<(f64, usize)> = Vec::new();
    for &leaf in stack_mm {
        match kinds.last_mut() {
            Some((known, count)) if *known == leaf => *count += 1,
            _ => kinds.push((leaf, 1)),
        }
    }
    let parts: Vec<String> = kinds
        .iter()
        .enumerate()
        .map(|(place, &(leaf, count))| {
            let noun = match (place, count) {
                (0, 1) => " leaf",
                (0, _) => " leaves",
                _ => "",
            };
            format!("{}{noun} of {} mm", in_letters(count), millimetres(leaf))
        })
        .collect();
    match parts.split_last() {
        Some((last, rest)) if !rest.is_empty() => format!("{} and {last}", rest.join(", ")),
        _ => parts.concat(),
    }
}

/// Hundredths, thousandths where there are any.
pub(super) fn millimetres(mm: f64) -> String {
    let whole_hundredths = ((mm * 1000.0).round() / 10.0).fract() == 0.0;
    if whole_hundredths { format!("{mm:.2}") } else { format!("{mm:.3}") }
}

/// A clock angle in [0, 360), after rounding too: whole degrees, tenths where there are any.
pub(super) fn clock(deg: f64) -> String {
    let tenths = reduced_deg((reduced_deg(deg) * 10.0).round() / 10.0);
    if tenths.fract() == 0.0 { format!("{tenths:.0}") } else { format!("{tenths:.1}") }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What a housing lists is told as a clock shows it.
    #[test]
    fn clock_angles_lie_within_a_turn() {
        for (given, told) in [
            (-30.0, "330"),
            (400.0, "40"),
            (359.97, "0"),
            (-0.02, "0"),
            (22.5, "22.5"),
            (-337.5, "22.5"),
            (360.0, "0"),
            (359.9, "359.9"),
        ] {
            assert_eq!(clock(given), told, "{given}");
        }
    }
}
