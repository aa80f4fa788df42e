//! A dioptre as a hand types it, at set-up and at each reading.

use record::Typed;

/// An eyepiece's dioptre lies within this of zero, dioptres (common practice, no source).
const MOST_DIOPTRES: f64 = 10.0;

/// A dioptre as typed, and no more than an eyepiece has.
///
/// # Errors
/// What is wrong with it, in a sentence that begins with its name.
pub(super) fn dioptre_of(name: &str, text: &str) -> Result<Typed, String> {
    let typed = Typed::by_hand(text).map_err(|why| format!("{name}: {why}"))?;
    if typed.value().abs() > MOST_DIOPTRES {
        let shown = typed.shown();
        return Err(format!(
            "{name}: from \u{2212}{MOST_DIOPTRES} to {MOST_DIOPTRES} D; {shown} is beyond."
        ));
    }
    Ok(typed)
}
