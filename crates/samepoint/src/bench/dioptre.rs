//! A dioptre as a hand types it, at set-up and at each reading.

use record::Typed;

use crate::shell::refusals::Refusal;

/// An eyepiece's dioptre lies within this of zero, dioptres (common practice, no source).
const MOST_DIOPTRES: f64 = 10.0;

/// A dioptre as typed, and no more than an eyepiece has.
///
/// # Errors
/// What is wrong with it, in a sentence that begins with its name.
pub(super) fn dioptre_of(field: &'static str, text: &str) -> Result<Typed, Refusal> {
    let typed = Typed::by_hand(text).map_err(|why| Refusal::Field { field, why })?;
    if typed.value().abs() > MOST_DIOPTRES {
        return Err(Refusal::Beyond {
            field,
            least: format!("\u{2212}{MOST_DIOPTRES}"),
            most: MOST_DIOPTRES.to_string(),
            unit: "D",
            shown: typed.shown(),
        });
    }
    Ok(typed)
}
