//! What is not known of parts, in sentences, with the reading that would tell.

use solver::shelf::{Missing, Part, Unknown};

use super::stock::{StockEyepiece, StockHousing, StockTube};

/// What keeps a part from being matched, and which reading would tell.
#[must_use]
pub fn unknown(
    what: &Unknown,
    housings: &[&StockHousing],
    tubes: &[&StockTube],
    eyepieces: &[&StockEyepiece],
) -> String {
    let serial = |tube: usize| tubes.get(tube).map_or("", |one| one.serial.as_str());
    match *what {
        Unknown::Pod { housing, left, why } => {
            let side = if left { "left" } else { "right" };
            let Some(one) = housings.get(housing) else { return String::new() };
            let (unit, kind) = (&one.unit, &one.housing);
            match why {
                Missing::NotRead(Part::Pod { .. }) => format!(
                    "{unit}, {side} pod: nothing was read of it. A round of it with a tube that is known in \
                     another {kind} would tell."
                ),
                Missing::NotRead(Part::Tube(_)) => {
                    format!("{unit}, {side} pod: of no tube that fits it is anything known.")
                }
                Missing::NotLinked { .. } | Missing::NotTurned { .. } => format!(
                    "{unit}, {side} pod: it was read, but with no part that any tube on the shelf was read \
                     with. A round of it with one of these tubes would tell."
                ),
                Missing::TooMany => too_many(unit),
            }
        }
        Unknown::Tube { tube, why } => {
            let serial = serial(tube);
            match why {
                Missing::NotRead(Part::Tube(_)) => format!(
                    "Tube {serial}: nothing was read of it. A round with it in any pod that is known would tell."
                ),
                Missing::NotRead(Part::Pod { .. }) => format!(
                    "Tube {serial}: of no housing on the shelf that it fits is anything known. A round of one \
                     with it would tell."
                ),
                Missing::NotLinked { .. } | Missing::NotTurned { .. } => format!(
                    "Tube {serial}: it was read, but with no part that any housing on the shelf was read with. \
                     A round with it in a pod that is known would tell."
                ),
                Missing::TooMany => too_many(serial),
            }
        }
        Unknown::Turned { tube } => format!(
            "Tube {}: known as it sat, not turned half way round, so that way up is not tried. A round with it \
             turned in the same pod would tell.",
            serial(tube)
        ),
        Unknown::Eyepiece(number) => format!(
            "Eyepiece {}: nothing tells the radius of its circle. A round with it in any pod would tell.",
            eyepieces.get(number).map_or("", |one| one.serial.as_str())
        ),
    }
}

fn too_many(name: &str) -> String {
    format!(
        "{name}: the readings link it with more parts than are worked out together ({}).",
        solver::shelf::offsets::MOST_LINKED
    )
}
