//! A session held against the ledger.

use super::{Ledger, Noted, SigningLine};
use crate::fact::Seq;
use crate::figures::counted_s;

/// What the ledger says of a session.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct LedgerSays {
    /// Whether a ledger stands beside it at all.
    pub stands: bool,
    /// Noted lines that are in the file as noted.
    pub confirmed: Vec<Noted>,
    /// Noted lines that are not.
    pub findings: Vec<LedgerFinding>,
    /// Signing lines of the file that nobody noted.
    pub not_noted: Vec<SigningLine>,
    /// Good lines of the file.
    pub facts: Seq,
    /// What is wrong with the ledger itself, a sentence each.
    pub troubles: Vec<String>,
}

/// A noted line that is not in the file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum LedgerFinding {
    /// The file ends before it.
    CutOff(Noted),
    /// Another line stands in its place.
    Rewritten(Noted),
    /// Another line stands in its place, and that one is noted too: the session went on in two files.
    Forked(Noted),
}

impl LedgerFinding {
    /// What is noted.
    #[must_use]
    pub const fn noted(&self) -> &Noted {
        match self {
            Self::CutOff(noted) | Self::Rewritten(noted) | Self::Forked(noted) => noted,
        }
    }

    /// It in a word or two: `cut off`, `rewritten`, `forked`.
    #[must_use]
    pub const fn word(&self) -> &'static str {
        match self {
            Self::CutOff(_) => "cut off",
            Self::Rewritten(_) => "rewritten",
            Self::Forked(_) => "forked",
        }
    }

    /// It in a sentence; `facts`: the good lines of the file.
    #[must_use]
    pub fn words(&self, facts: Seq) -> String {
        let Noted { entry, ledger, .. } = self.noted();
        let (what, seq) = (entry.words(), entry.line.seq);
        match self {
            Self::CutOff(_) => format!(
                "The ledger {ledger} shows that the {what}, is missing: the file ends with fact {facts}."
            ),
            Self::Rewritten(_) => format!(
                "The ledger {ledger} notes the {what}; fact {seq} of this file is another line: the \
                 file was rewritten since, or the ledger was."
            ),
            Self::Forked(_) => format!(
                "The ledger {ledger} notes two lines as fact {seq}: the one in this file, and the \
                 {what}, which is not in it: the session went on in two files."
            ),
        }
    }
}

/// Holds a session against the ledger. `session`: its own name; `lines`: its signing lines; `facts`: its
/// good lines.
#[must_use]
pub fn hold_against(
    ledger: &Ledger,
    session: &str,
    lines: &[SigningLine],
    facts: Seq,
) -> LedgerSays {
    let LinesAgainst { confirmed, findings, not_noted } =
        LinesAgainst::of(ledger.of(session), lines, facts);
    LedgerSays {
        stands: ledger.stands(),
        confirmed: confirmed.into_iter().cloned().collect(),
        findings,
        not_noted: not_noted.into_iter().cloned().collect(),
        facts,
        troubles: ledger.troubles(),
    }
}

/// A session's signing lines against what is noted of it.
pub(crate) struct LinesAgainst<'a> {
    confirmed: Vec<&'a Noted>,
    /// Noted lines that are not in the file as noted.
    pub(crate) findings: Vec<LedgerFinding>,
    /// Signing lines of the file that nobody noted.
    pub(crate) not_noted: Vec<&'a SigningLine>,
}

impl<'a> LinesAgainst<'a> {
    /// Whether what is noted is what a session has, line by line, as of nearly all: then there is nothing to tell.
    pub(crate) fn are_alike(noted: &[Noted], lines: &[SigningLine]) -> bool {
        let alike = |(noted, line): (&Noted, &SigningLine)| noted.entry.is_of(line.seq, &line.hash);
        noted.len() == lines.len() && noted.iter().zip(lines).all(alike)
    }

    /// `facts`: good lines of the file.
    pub(crate) fn of(noted: &'a [Noted], lines: &'a [SigningLine], facts: Seq) -> Self {
        let is_noted =
            |line: &SigningLine| noted.iter().any(|noted| noted.entry.is_of(line.seq, &line.hash));
        let (mut confirmed, mut findings) = (Vec::new(), Vec::new());
        for one in noted {
            let seq = one.entry.line.seq;
            let here = lines.iter().find(|line| line.seq == seq);
            match here {
                Some(line) if line.hash == one.entry.line.hash => confirmed.push(one),
                Some(line) if is_noted(line) => findings.push(LedgerFinding::Forked(one.clone())),
                _ if seq > facts => findings.push(LedgerFinding::CutOff(one.clone())),
                _ => findings.push(LedgerFinding::Rewritten(one.clone())),
            }
        }
        let not_noted = lines.iter().filter(|line| !is_noted(line)).collect();
        Self { confirmed, findings, not_noted }
    }
}

impl LedgerSays {
    /// Whether something that was signed is gone or was rewritten.
    #[must_use]
    pub fn breaks(&self) -> bool {
        !self.findings.is_empty()
    }

    /// It in sentences. `whole`: whether the session's file is intact to its end.
    #[must_use]
    pub fn words(&self, whole: bool) -> Vec<String> {
        if !self.stands {
            return vec!["No ledger stands beside it.".to_owned()];
        }
        let mut said: Vec<String> =
            self.findings.iter().map(|finding| finding.words(self.facts)).collect();
        if said.is_empty() && !self.confirmed.is_empty() {
            let count = counted_s(self.confirmed.len(), "line");
            said.push(if whole {
                format!("All that the ledger notes of it is there, {count}.")
            } else {
                format!(
                    "All that the ledger notes of it is there, {count}; what else may have been saved \
                     is not known."
                )
            });
        }
        let late: Vec<&Noted> = self.confirmed.iter().filter(|noted| noted.entry.late).collect();
        for noted in late {
            said.push(format!(
                "The {} was noted late, on {}: what the file said before that nobody noted.",
                noted.entry.words(),
                noted.at.date()
            ));
        }
        for line in &self.not_noted {
            said.push(format!("The ledger does not note the {}.", line.words()));
        }
        if said.is_empty() {
            said.push("The ledger notes nothing of it.".to_owned());
        }
        said.extend(self.troubles.iter().cloned());
        said
    }
}
