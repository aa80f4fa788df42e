//! What was signed of a session and who answered, beside what its readings give now.

use super::SessionSummary;
use super::signed_as::AnsweredAs;
use crate::fact::Verdict;
use crate::review::State;
use crate::shown;

impl SessionSummary {
    /// Who countersigned last, whether that still fits or not.
    #[must_use]
    pub fn countersigned_by(&self) -> Option<&AnsweredAs> {
        self.signed_as.as_ref()?.answered.as_ref().filter(|answer| answer.agreed)
    }

    /// Whether what was countersigned is what stands there now; `None` where nobody countersigned.
    #[must_use]
    pub fn countersignature_fits(&self) -> Option<bool> {
        self.countersigned_by()?;
        Some(matches!(self.state, State::Countersigned | State::Signed))
    }

    /// Whether another verdict was signed than the readings give.
    #[must_use]
    pub fn signed_otherwise(&self) -> bool {
        self.signed_as.as_ref().is_some_and(|signed| Some(signed.verdict) != self.verdict)
    }

    /// Its verdict: as it was signed and as the readings give it where these are two, `signed pass, readings
    /// give fail`.
    #[must_use]
    pub fn verdict_words(&self) -> String {
        let gives = self.verdict.map_or("no verdict", Verdict::word);
        match &self.signed_as {
            Some(signed) if self.signed_otherwise() => {
                format!("signed {}, readings give {gives}", signed.verdict.word())
            }
            _ => gives.to_owned(),
        }
    }

    /// Who countersigned, and whether that still fits; empty where nobody did.
    #[must_use]
    pub fn countersigned_words(&self) -> String {
        let Some(answer) = self.countersigned_by() else { return String::new() };
        let hand = shown::one_line(&answer.hand);
        match self.countersignature_fits() {
            Some(false) => format!("{hand}, no longer fits"),
            _ => hand.into_owned(),
        }
    }

    /// What there is to say of a countersignature that no longer fits, a sentence; `None` where it does, or
    /// there is none.
    #[must_use]
    pub fn countersignature_trouble(&self) -> Option<String> {
        let answer = self.countersigned_by()?;
        (self.countersignature_fits() == Some(false)).then(|| {
            format!(
                "The countersignature by {} of {} no longer fits what stands there now.",
                shown::one_line(&answer.hand),
                answer.day
            )
        })
    }
}
