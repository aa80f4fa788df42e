//! Who answers for a session: had they authority by the shop's list of hands, and is it sealed?

use jiff::civil::Date;

use super::Beside;
use crate::fact::{Seq, SessionKind};
use crate::file::chain::ChainHash;
use crate::fold::{AnswerKind, Session, SignatureState};
use crate::hands::{Act, Authority, Hands, NoAuthority};
use crate::seal::{SealState, check_seal};
use crate::shop::rules::SealRule;

/// What the shop's hands and keys say of the signature in force and its answer.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Answerable {
    /// The signature in force, then its answer.
    pub acts: Vec<ActAccount>,
    /// Whether the shop lists hands.
    pub listed: bool,
    /// Whether it lists a single hand in all: then nobody else can countersign.
    pub of_one: bool,
    /// Whether the shop requires seals.
    pub seals_required: bool,
    /// The list of hands that the countersignature names, and the shop's of now.
    pub list: Option<NamedList>,
    /// Whether it is practice, which nobody answers for.
    pub practice: bool,
}

/// Signing, or answering it.
#[derive(Clone, Debug, PartialEq)]
pub struct ActAccount {
    /// The `seq` of its fact.
    pub seq: Seq,
    /// `signed`, `countersigned` or `returned`.
    pub word: &'static str,
    /// Whose.
    pub hand: String,
    /// The day it claims.
    pub day: Date,
    /// The 64 hex characters of its line: what a seal is over.
    pub line_hash: String,
    /// Whether that hand might.
    pub authority: Authority,
    /// Its seals, in order.
    pub seals: Vec<SealAccount>,
}

/// A seal and what it comes to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SealAccount {
    /// The `seq` of its fact.
    pub seq: Seq,
    /// The seal itself.
    pub sshsig: String,
    /// What it comes to.
    pub state: SealState,
}

/// The list of hands that a countersignature was given under.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NamedList {
    /// Its SHA-256 as the countersignature names it.
    pub named: String,
    /// The shop's now; `None` where it lists nobody any more.
    pub now: Option<String>,
}

impl ActAccount {
    /// Whether a seal over it holds, by a key of its hand in force on that day.
    #[must_use]
    pub fn is_sealed(&self) -> bool {
        self.seals.iter().any(|seal| seal.state.is_good())
    }

    /// What its seals come to, a sentence each; that it has none, where it has none.
    #[must_use]
    pub fn seal_sentences(&self) -> Vec<String> {
        if self.seals.is_empty() {
            return vec![format!("{} {} it without a seal.", self.hand, self.word)];
        }
        self.seals.iter().map(|seal| self.seal_sentence(seal)).collect()
    }

    fn seal_sentence(&self, seal: &SealAccount) -> String {
        match &seal.state {
            SealState::Good { key } => format!(
                "Sealed as {} by {}, with key {key}, which was its own on {}.",
                self.word, self.hand, self.day
            ),
            other => super::sentence(&format!("fact {}: {other}", seal.seq)),
        }
    }

    /// By what the hand might, in a sentence; `None` where nobody's authority was checked.
    #[must_use]
    pub fn authority_sentence(&self) -> Option<String> {
        match &self.authority {
            Authority::NotChecked => None,
            Authority::Held(role) => Some(format!(
                "{} {} it as {}, in force on {}.",
                self.hand,
                self.word,
                role.word(),
                self.day
            )),
            Authority::Without(why) => {
                Some(super::sentence(&format!("{} without authority: {why}", self.word)))
            }
        }
    }

    /// Its seals that do not count, where none does.
    fn failing(&self) -> Option<&SealAccount> {
        if self.is_sealed() { None } else { self.seals.first() }
    }
}

impl Answerable {
    /// What the shop beside a session says of it. `signing_hashes`: as
    /// [`Scan::signing_hashes`](crate::file::Scan::signing_hashes).
    #[must_use]
    pub fn of(
        session: &Session,
        signing_hashes: &[(Seq, ChainHash)],
        beside: Option<&Beside>,
    ) -> Self {
        let nobody = Hands::default();
        let hands = beside.map_or(&nobody, |beside| &beside.hands);
        let kind = session.header.as_ref().map(|header| &header.kind);
        let mut found = Self {
            acts: Vec::new(),
            listed: hands.lists_anybody(),
            of_one: hands.known.len() == 1 && hands.unusable.is_empty(),
            seals_required: beside.is_some_and(|beside| beside.rules.seals == SealRule::Required),
            list: None,
            practice: matches!(kind, Some(SessionKind::Practice(_))),
        };
        let SignatureState::Signed(signature) = session.signature() else { return found };
        let act = |seq: Seq, word, hand: &str, day: Date, act: Act<'_>| {
            let hash = signing_hashes.iter().find(|(signing, _)| *signing == seq);
            let line_hash = hash.map(|(_, hash)| hash.to_string()).unwrap_or_default();
            let over = session.seals.iter().filter(|said| said.body.seq == seq);
            let seals = over.map(|said| SealAccount {
                seq: said.seq,
                sshsig: said.body.sshsig.clone(),
                state: check_seal(&said.body.sshsig, &line_hash, hand, day, hands),
            });
            let seals = seals.collect();
            let authority = hands.authority(hand, act, day);
            ActAccount { seq, word, hand: hand.to_owned(), day, line_hash, authority, seals }
        };
        let day = signature.time.date();
        found.acts.push(act(signature.seq, "signed", &signature.hand, day, Act::Sign));
        if let Some(answer) = &signature.answer {
            let (word, kind) = match &answer.kind {
                AnswerKind::Countersigned(agreed) => {
                    found.list = agreed.hands_sha256.clone().map(|named| {
                        let now = hands.sha256();
                        NamedList { named, now }
                    });
                    ("countersigned", Act::Countersign { signed_by: &signature.hand })
                }
                AnswerKind::Returned(_) => ("returned", Act::Return),
            };
            found.acts.push(act(answer.seq, word, &answer.hand, answer.time.date(), kind));
        }
        found
    }

    /// Whether all that the shop requires to be sealed is; practice need not be.
    #[must_use]
    pub fn lacks_seal(&self) -> bool {
        self.seals_required
            && !self.practice
            && self.acts.iter().any(|act| act.word != "returned" && !act.is_sealed())
    }

    /// What keeps the session from being clear, without full stops.
    #[must_use]
    pub fn objections(&self) -> Vec<String> {
        if self.practice {
            return Vec::new();
        }
        let mut out = Vec::new();
        for act in &self.acts {
            match &act.authority {
                // Said by itself, whether the shop lists hands or not.
                Authority::Without(NoAuthority::OwnSignature { .. })
                | Authority::NotChecked
                | Authority::Held(_) => {}
                Authority::Without(why) => {
                    out.push(format!("{} without authority: {why}", act.word));
                }
            }
            if let Some(seal) = act.failing() {
                out.push(format!(
                    "{} by {}, fact {}: {}",
                    act.word, act.hand, seal.seq, seal.state
                ));
            } else if self.seals_required && act.word != "returned" && !act.is_sealed() {
                out.push(format!("{}, not sealed; the shop requires it", act.word));
            }
        }
        if let Some(NamedList { now: None, .. }) = &self.list {
            out.push(
                "it was countersigned under a list of hands, and there is none beside it now"
                    .to_owned(),
            );
        }
        out
    }

    /// What there is to say beside the objections, a sentence each.
    #[must_use]
    pub fn sentences(&self) -> Vec<String> {
        if self.acts.is_empty() || self.practice {
            return Vec::new();
        }
        let mut out = Vec::new();
        if !self.listed {
            out.push(
                "Nobody’s authority was checked: no shop that lists hands lies beside it."
                    .to_owned(),
            );
        }
        for act in &self.acts {
            if matches!(act.authority, Authority::Held(_)) {
                out.extend(act.authority_sentence());
            }
            let good = act.seals.iter().filter(|seal| seal.state.is_good());
            out.extend(good.map(|seal| act.seal_sentence(seal)));
        }
        if self.of_one && !self.acts.iter().any(|act| act.word == "countersigned") {
            out.push("Not countersigned by another: the shop lists one hand.".to_owned());
        }
        out.extend(self.list_sentence());
        out
    }

    /// Which list of hands it was countersigned under, and whether it is the shop's of now; `None` where no
    /// countersignature names one, or the shop lists nobody any more.
    #[must_use]
    pub fn list_sentence(&self) -> Option<String> {
        match &self.list {
            Some(NamedList { named, now: Some(now) }) if named == now => {
                Some(format!("Countersigned under the shop’s list of hands of now, {named}."))
            }
            Some(NamedList { named, now: Some(now) }) => Some(format!(
                "Countersigned under another list of hands than the shop’s of now: {named}, now {now}."
            )),
            _ => None,
        }
    }
}
