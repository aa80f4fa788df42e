//! A session as it would be with a reading left out, another tolerance window or another rule: all of
//! it worked out again, none of it a fact.
//!
//! What comes out is for looking at beside what is. It has no way into a file: a reading is left out
//! for good by a withdrawal with its reason, a window is changed by a fact of its own.

use core::fmt::Write as _;
use std::collections::BTreeSet;

use crate::conclusion::{Conclusion, Measured, Method, NoConclusion, conclude_by};
use crate::error::Error;
use crate::fact::{Fact, Seq};
use crate::figures::{arcmin, capital, numbered, percent};
use crate::fold::{Entry, Session, Withdrawal};
use crate::review::RoundAccount;
use crate::validate::Checked as _;
use crate::window::{NamedWindow, Rule};

/// What is supposed.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Supposition {
    /// Readings that count and are to be left out.
    pub out: BTreeSet<Seq>,
    /// Readings that were withdrawn and are to count.
    pub back: BTreeSet<Seq>,
    /// Another tolerance window.
    pub window: Option<NamedWindow>,
    /// Another rule than the window's.
    pub rule: Option<Rule>,
}

/// A session as it would be. Every signature in it counts as outdated: none was given for this.
#[derive(Clone, Debug)]
pub struct WhatIf {
    /// What was supposed.
    pub supposing: Supposition,
    /// The session as it would be.
    pub session: Session,
    /// What each round would come to.
    pub rounds: Vec<RoundAccount>,
    /// The verdict it would have.
    pub conclusion: Result<Conclusion, NoConclusion>,
}

impl Supposition {
    /// Whether nothing is supposed.
    #[must_use]
    pub fn is_nothing(&self) -> bool {
        *self == Self::default()
    }

    /// Leaves a reading out, or counts it, or takes that back: what a tick beside a reading does.
    pub fn toggle(&mut self, entry: &Entry) {
        let named = if entry.in_use() { &mut self.out } else { &mut self.back };
        if !named.remove(&entry.seq) {
            named.insert(entry.seq);
        }
    }

    /// What is supposed, as half a sentence: `if reading 24 were out and the rule were simple`. Empty
    /// when nothing is.
    #[must_use]
    pub fn words(&self) -> String {
        let mut parts = Vec::new();
        for (readings, word) in [(&self.out, "out"), (&self.back, "counted")] {
            if !readings.is_empty() {
                parts.push(format!("{} were {word}", numbered("reading", readings)));
            }
        }
        if let Some(window) = &self.window {
            parts.push(format!("the window were {}", window.name));
        }
        if let Some(rule) = self.rule {
            parts.push(format!("the rule were {}", rule.word()));
        }
        if parts.is_empty() { String::new() } else { format!("if {}", parts.join(" and ")) }
    }
}

/// Works a session out as it would be.
///
/// To look at an earlier state, give the fold of the facts up to it.
///
/// # Errors
/// [`Error::NotAReadingInUse`] for a reading that is not there, or is to be left out twice or counted
/// where it counts already; what is wrong with the window.
pub fn what_if(session: &Session, supposing: &Supposition) -> Result<WhatIf, Error> {
    let mut supposed = session.clone();
    for &seq in &supposing.out {
        let withdrawn = Withdrawal { by: seq, reason: "supposed".to_owned() };
        suppose(&mut supposed, seq, Some(withdrawn))?;
    }
    for &seq in &supposing.back {
        suppose(&mut supposed, seq, None)?;
    }
    if let Some(window) = &supposing.window {
        window.check()?;
        match (supposed.windows.last_mut(), supposed.rounds.last()) {
            (Some(held), _) => held.body = window.clone(),
            (None, Some(round)) => supposed.windows.push(Fact {
                seq: round.id,
                time: round.time,
                hand: String::new(),
                body: window.clone(),
            }),
            // Without a round nothing is judged by it.
            (None, None) => {}
        }
    }
    if let (Some(rule), Some(window)) = (supposing.rule, supposed.windows.last_mut()) {
        window.body.rule = rule;
    }
    if !supposing.is_nothing() {
        supposed.signatures.iter_mut().for_each(|signature| signature.outdated = true);
    }
    Ok(WhatIf {
        supposing: supposing.clone(),
        rounds: RoundAccount::all(&supposed),
        // Beside what is, and so judged as that is.
        conclusion: conclude_by(&supposed, Method::for_session(session)),
        session: supposed,
    })
}

/// Leaves a reading out that counts, or counts one that was left out.
fn suppose(session: &mut Session, seq: Seq, out: Option<Withdrawal>) -> Result<(), Error> {
    let is_new = session.entry(seq).is_some_and(|entry| entry.in_use() == out.is_some());
    if !is_new {
        return Err(Error::NotAReadingInUse { seq });
    }
    session.set_withdrawn(seq, out);
    Ok(())
}

impl WhatIf {
    /// What would be, beside what is, in sentences: `If reading 24 were out: pass, as it is.
    /// Misalignment 0.3′, 0.2′ instead of 0.4′, 0.2′ …`
    #[must_use]
    pub fn words(&self, actual: &Result<Conclusion, NoConclusion>) -> String {
        let supposed = self.supposing.words();
        if supposed.is_empty() {
            return "Nothing is supposed.".to_owned();
        }
        let mut words = capital(&supposed);
        let is = |conclusion: &Result<Conclusion, NoConclusion>| match conclusion {
            Ok(conclusion) => conclusion.verdict.word().to_owned(),
            Err(why) => format!("no verdict ({why})"),
        };
        let (then, now) = (is(&self.conclusion), is(actual));
        if then == now {
            let _ = write!(words, ", the verdict would still be {then}.");
        } else {
            let _ = write!(words, ", the verdict would be {then} instead of {now}.");
        }
        let measured = |conclusion: &Result<Conclusion, NoConclusion>| {
            conclusion.as_ref().ok().and_then(|conclusion| conclusion.measured)
        };
        if let Some(then) = measured(&self.conclusion) {
            let [x, y, out, used] = figures_of(&then);
            let _ = write!(
                words,
                " The misalignment would be {x}, {y}, {out} from boresight, window use {used}"
            );
            match measured(actual) {
                Some(now) => {
                    let _ = write!(words, "; it is {}.", figures_of(&now).join(", "));
                }
                None => words.push('.'),
            }
        }
        words
    }
}

/// Misalignment x and y, distance from boresight, window use.
fn figures_of(measured: &Measured) -> [String; 4] {
    let m = measured.misalignment;
    [
        arcmin(m.x_arcmin),
        arcmin(m.y_arcmin),
        arcmin(measured.boresight_arcmin),
        percent(measured.window_use.worst()),
    ]
}
