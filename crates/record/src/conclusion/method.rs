//! The way confirm readings are judged, and which one a signature was judged by.
//!
//! A signature is worked out again for ever, and it must come out as it did: so a better way of judging
//! takes a number, each signature stores the number of its way among its numbers ([`NAME`]), and
//! whoever works it out again uses that one. Signatures from before there was a choice store none: they
//! are of the first way. A session that is not signed, or not any more, is judged by the newest.
//!
//! Why not by the program's version: a number that stands beside those it explains is read the same whoever
//! wrote the file, and a version may change its way of judging or keep it.

use crate::conclusion::NoConclusion;
use crate::fact::Signed;
use crate::fold::{Session, SignatureState};

/// The name under which a signature stores its way of judging.
pub const NAME: &str = "way_of_judging";

/// A way of judging confirm readings.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub enum Method {
    /// Every reading by itself, whichever seating it was taken in; scatter as seen.
    First,
    /// By seatings, where there are several, and with the graticule's step for readings all alike
    /// ([`solver::decision::seating`]).
    #[default]
    BySeatings,
}

impl Method {
    const ALL: [Self; 2] = [Self::First, Self::BySeatings];

    /// What a signature stores; `None` for the first way, which stores nothing.
    #[must_use]
    pub const fn number(self) -> Option<f64> {
        match self {
            Self::First => None,
            Self::BySeatings => Some(2.0),
        }
    }

    /// The way a signature was judged by.
    ///
    /// # Errors
    /// [`NoConclusion::UnknownMethod`] for a way that this program does not know.
    pub fn of(signed: &Signed) -> Result<Self, NoConclusion> {
        let stored = signed.numbers.iter().find(|number| number.name == NAME);
        let stored = stored.map(|number| number.value);
        let found = Self::ALL.into_iter().find(|method| method.number() == stored);
        found.ok_or(NoConclusion::UnknownMethod { number: stored.unwrap_or_default() })
    }

    /// The way a session is to be judged by: its signature's while that speaks for it, else the newest.
    #[must_use]
    pub fn for_session(session: &Session) -> Self {
        match session.signature() {
            SignatureState::Signed(signature) if !signature.outdated => {
                Self::of(&signature.signed).unwrap_or_default()
            }
            _ => Self::default(),
        }
    }
}
