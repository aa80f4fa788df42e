//! What was done, in words.

use crate::fact::Remedy;
use crate::figures::{bearing, degrees_short, number};
use crate::housing::ShimEnds;
use crate::unit::Shim;

/// A remedy that was carried out: `left tube shimmed by 0.15 mm at clock 120°, full length`.
#[must_use]
pub fn said(remedy: &Remedy) -> String {
    match remedy {
        Remedy::Shim(shims) => {
            let each = shims.iter().map(|under| {
                format!("{} tube shimmed by {}", under.channel.word(), shim(&under.shim))
            });
            each.collect::<Vec<_>>().join("; ")
        }
        Remedy::SwapEyepieces => "eyepieces swapped".to_owned(),
        Remedy::SwapTubes => "tubes swapped".to_owned(),
        Remedy::TurnTube(turned) => {
            format!("{} tube turned by {}", turned.channel.word(), degrees_short(turned.by_deg))
        }
        Remedy::ReplaceTube(channel) => format!("{} tube replaced", channel.word()),
        Remedy::ReplaceEyepiece(channel) => format!("{} eyepiece replaced", channel.word()),
        Remedy::Other => "another remedy".to_owned(),
    }
}

/// A shim: `0.15 mm at clock 120°, full length`. Heights to a hundredth, thousandths where a leaf
/// has them.
#[must_use]
pub fn shim(shim: &Shim) -> String {
    let height: f64 = shim.leaves_mm.iter().sum();
    let hundredths = 100.0 * height;
    let decimals = if (hundredths - hundredths.round()).abs() < 1e-6 { 2 } else { 3 };
    let ends = match shim.ends {
        ShimEnds::Both => "full length",
        ShimEnds::Front => "front end",
        ShimEnds::Rear => "rear end",
    };
    let tenths = usize::from((shim.clock_deg - shim.clock_deg.round()).abs() >= 0.05);
    format!("{} mm at clock {}, {ends}", number(height, decimals), bearing(shim.clock_deg, tenths))
}
