//! How an open session stands, in the word a review has for it, kept up while facts are added.
//!
//! What was stored is worked out again when a file is opened and when something is stored; a fact that
//! stores nothing changes none of that.

use super::state::State;
use super::{Answerable, Beside, Follows, countersigned_line_found, follows};
use crate::fact::{Body, Fact, FileMarkKind};
use crate::file::{Access, Disk, ReadOnlyReason, SessionFile};
use crate::fold::{AnswerKind, Remark, Session, Signature, SignatureState};

/// How an open session stands.
#[derive(Clone, Debug)]
pub struct Stands {
    follows: Follows,
    line_found: Option<bool>,
    /// Whether its shop requires seals and one is missing or does not hold.
    lacks_seal: bool,
    /// So many facts were looked at.
    facts: usize,
}

/// It in words.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct StandsWords {
    /// The word, with the verdict that was signed: `signed pass`; `end missing`; `salvaged, unsigned`.
    pub word: String,
    /// The same without what is marked in it for ever, for a place that is narrow.
    pub short: String,
    /// Why, in sentences.
    pub why: String,
    /// Whether it should be looked at.
    pub look: bool,
}

impl Stands {
    /// Works out what is stored in a file that was opened. `session`: the fold of its facts.
    #[must_use]
    pub fn of(
        file: &SessionFile,
        session: &Session,
        shop: Option<&Beside>,
        disk: &dyn Disk,
    ) -> Self {
        // A file that cannot be read now is told by what opened it.
        let line_found = countersigned_line_found(file.path(), disk, session).ok().flatten();
        let lacks_seal = Answerable::of(session, file.signing_hashes(), shop).lacks_seal();
        let (follows, facts) = (follows(file.facts(), session), file.facts().len());
        Self { follows, line_found, lacks_seal, facts }
    }

    /// Facts were added.
    pub fn advance(&mut self, file: &SessionFile, session: &Session, shop: Option<&Beside>) {
        let facts = file.facts();
        let added = facts.get(self.facts..).unwrap_or(facts);
        self.facts = facts.len();
        if added.iter().any(|fact| matches!(fact.body, Body::Countersigned(_))) {
            self.line_found = None;
        }
        let stores = |fact: &Fact| {
            fact.body.is_signing()
                || matches!(
                    fact.body,
                    Body::SettingChosen(_) | Body::Sealed(_) | Body::Undo(_) | Body::Redo(_)
                )
        };
        if added.iter().any(stores) {
            self.follows = follows(facts, session);
            self.lacks_seal = Answerable::of(session, file.signing_hashes(), shop).lacks_seal();
        }
    }

    /// How the session stands.
    #[must_use]
    pub fn state(&self, file: &SessionFile, session: &Session) -> State {
        let damaged = matches!(file.access(), Access::ReadOnly(ReadOnlyReason::Damaged(_)));
        State::of(session, &self.follows, !damaged && file.end_missing().is_none(), self.line_found)
    }

    /// That in words, with what is marked in it for ever.
    #[must_use]
    pub fn words(&self, file: &SessionFile, session: &Session) -> StandsWords {
        let state = self.state(file, session);
        let signature = match session.signature() {
            SignatureState::Signed(signature) => Some(signature),
            SignatureState::Unsigned => None,
        };
        let mut word = match (state, signature) {
            (State::Damaged, _) if file.end_missing().is_some() => "end missing".to_owned(),
            (State::Signed | State::Countersigned, Some(signature)) => {
                let seal = if self.lacks_seal { " not sealed" } else { "" };
                format!("{state} {}{seal}", signature.signed.verdict.word())
            }
            _ => state.word().to_owned(),
        };
        let short = word.clone();
        let mut why = vec![self.why(state, signature, file)];
        let mut look = self.lacks_seal
            || !matches!(state, State::Unsigned | State::Signed | State::Countersigned);
        for remark in &session.remarks {
            if let Remark::Marked { kind, text, .. } = remark {
                look = true;
                why.push(text.clone());
                if *kind != FileMarkKind::LinesLost {
                    word = format!("{}, {word}", kind.word());
                }
            }
        }
        StandsWords { word, short, why: why.join("\n"), look }
    }

    fn why(&self, state: State, signature: Option<&Signature>, file: &SessionFile) -> String {
        let signed = signature.map_or_else(String::new, |signature| {
            let Signature { hand, time, signed, .. } = signature;
            let (day, clock) = (time.date(), time.time_of_day());
            format!("Signed “{}” by {hand}, {day} {clock}.", signed.verdict.word())
        });
        match state {
            State::Unsigned => "Nobody has signed it.".to_owned(),
            State::Signed => format!("{signed} Nobody else has answered."),
            State::Countersigned => match signature.and_then(|signature| signature.answer.as_ref())
            {
                Some(answer) => format!("{signed} Countersigned by {}.", answer.hand),
                None => signed,
            },
            State::Outdated => {
                format!("{signed} Facts were added since that it does not speak for: sign anew.")
            }
            State::Returned => match signature.and_then(|signature| signature.answer.as_ref()) {
                Some(answer) => {
                    let comment = match &answer.kind {
                        AnswerKind::Returned(returned) => returned.comment.as_str(),
                        AnswerKind::Countersigned(_) => "",
                    };
                    format!("{signed} Sent back by {}: {comment}", answer.hand)
                }
                None => signed,
            },
            State::DoesNotFollow => match &self.follows {
                Follows::No(differences) => differences.first().map_or_else(
                    || "What was stored does not follow.".to_owned(),
                    |first| format!("What was stored does not follow: {first}."),
                ),
                _ => super::COUNTERSIGNED_LINE_GONE.to_owned(),
            },
            State::Damaged => match (file.end_missing(), file.access()) {
                (Some(end), _) => format!("Its file does not end as it should: {end}."),
                (None, Access::ReadOnly(ReadOnlyReason::Damaged(damage))) => {
                    format!("Its file is damaged: {damage}.")
                }
                (None, _) => "Its file is damaged.".to_owned(),
            },
        }
    }
}
