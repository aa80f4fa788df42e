//! What a shop wants printed in its reports besides what follows from the facts: `wording.ron` in its folder. It is
//! added to what every report says, and takes nothing out of it.

use crate::error::Error;
use crate::fact::texts::texts;
use crate::validate::Checked;

/// The file's name.
pub const WORDING_FILE: &str = "wording.ron";

/// What is printed; empty where a shop wants nothing.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Wording {
    /// A paragraph above the signatures.
    pub above_signatures: String,
    /// A caution of the shop's own, after the usual ones.
    pub caution: String,
    /// A line at the foot of every page.
    pub footer: String,
}

texts!(Wording { above_signatures, caution, footer; });

/// The longest paragraph and caution, letters.
const LONGEST: usize = 1200;
/// The longest line at the foot of a page, letters.
const LONGEST_FOOTER: usize = 120;

impl Checked for Wording {
    fn check(&self) -> Result<(), Error> {
        for (field, text, longest, must_be) in [
            ("above_signatures", &self.above_signatures, LONGEST, "at most 1200 letters"),
            ("caution", &self.caution, LONGEST, "at most 1200 letters"),
            ("footer", &self.footer, LONGEST_FOOTER, "at most 120 letters"),
        ] {
            let letters = text.chars().count();
            if letters > longest {
                let (field, value) = (field.to_owned(), letters as f64);
                return Err(Error::FieldValue { field, value, must_be });
            }
        }
        Ok(())
    }
}
