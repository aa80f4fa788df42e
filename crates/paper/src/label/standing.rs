//! What a label may say of a unit: its verdict, or why there is none on it.
//!
//! A label is read by whoever takes the case off a shelf, without the report beside it. So a verdict stands on it
//! only where nothing has to be said with it: a real session, whole, signed, in force, following from its readings,
//! by a hand that might sign, on a station that reads right.

use record::review::{Follows, Objection};
use record::{Account, Verdict};

use crate::report::standing::marks;

/// What stands where the verdict does.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum OnLabel {
    /// The verdict as signed.
    Verdict(Verdict),
    /// None, and why: what weighs most.
    None {
        /// In a few words.
        why: String,
    },
}

impl OnLabel {
    /// Of a reviewed session.
    #[must_use]
    pub fn of(account: &Account) -> Self {
        match (reason(account), account.signature()) {
            (None, Some(signature)) => Self::Verdict(signature.signed.verdict),
            (why, _) => Self::None { why: why.unwrap_or_else(|| "unsigned".to_owned()) },
        }
    }
}

/// Why no verdict may stand on a label.
fn reason(account: &Account) -> Option<String> {
    let marked = marks(account).into_iter().next();
    let objected = || {
        let objections = account.objections().into_iter();
        objections.filter(weighs).map(|objection| objection.to_string()).next()
    };
    let differs = || {
        let signed = account.signature().map(|signature| signature.signed.verdict);
        let follows = matches!(account.follows, Follows::Yes { .. }) && signed == account.verdict();
        (!follows).then(|| "what was signed cannot be worked out again".to_owned())
    };
    let station = || {
        let conclusion = account.conclusion.as_ref().ok()?;
        conclusion.marks().next().map(|mark| format!("marked: {mark}"))
    };
    marked
        .map(|mark| mark.to_lowercase())
        .or_else(objected)
        .or_else(differs)
        .or_else(station)
        .or_else(|| account.blind_disagreements().into_iter().next())
}

/// Whether an objection keeps the verdict off the label. A signed fail is a verdict; a note after the signature, and who
/// countersigned, change none.
fn weighs(objection: &Objection) -> bool {
    !matches!(
        objection,
        Objection::Not(_)
            | Objection::SaidAfter(_)
            | Objection::CountersignedBySigner { .. }
            | Objection::CountersignedByNobody
            | Objection::CountersignedWithoutLine
    )
}
