//! What a shop did in a month, or in any other period: the answers that a survey gives, of that time alone.

use super::pass_rate::{HousingMonth, MonthlyRate};
use super::period::Period;
use super::reasons::WhyFailed;
use super::turnaround::Turnaround;
use super::{SessionSummary, Survey};
use crate::fact::Verdict;
use crate::recall::Spell;
use crate::review::State;

/// How many sessions came to a verdict, and how their signatures stand.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct VerdictCount {
    /// The verdict that the readings give.
    pub verdict: Verdict,
    /// All of them.
    pub sessions: usize,
    /// Signed, and in force.
    pub signed: usize,
    /// Of these countersigned.
    pub countersigned: usize,
    /// Of which another verdict was signed than the readings give.
    pub signed_otherwise: usize,
}

/// The sessions that were read last in a period, as a survey of their own, and what it comes to.
#[derive(Clone, Debug)]
pub struct PeriodTold {
    /// Which days.
    pub period: Period,
    /// Those that count, in the order of the files.
    pub of: Survey,
    /// By verdict; those that nobody came to are left out.
    pub by_verdict: Vec<VerdictCount>,
    /// Why those that failed did, each by its index in [`of`](Self::of).
    pub failed: WhyFailed,
    /// How long what was signed in the period took.
    pub turnaround: Turnaround,
    /// When a station's zero was outside its limits, of spells that reach into the period.
    pub spells: Vec<Spell>,
}

impl PeriodTold {
    /// What passed first, of a period that is a month.
    #[must_use]
    pub fn rate(&self) -> Option<MonthlyRate> {
        self.of.pass_rate().into_iter().next()
    }

    /// The same by housing.
    #[must_use]
    pub fn rate_by_housing(&self) -> Vec<HousingMonth> {
        self.of.pass_rate_by_housing()
    }
}

impl Survey {
    /// What the sessions of a period come to.
    #[must_use]
    pub fn told_of(&self, period: Period) -> PeriodTold {
        let only = |wanted: &dyn Fn(&SessionSummary) -> bool| Self {
            folders: self.folders.clone(),
            sessions: self
                .counted()
                .map(|(_, session)| session)
                .filter(|session| wanted(session))
                .cloned()
                .collect(),
            ..Self::default()
        };
        let of = only(&|session| session.day.is_some_and(|day| period.holds(day)));
        let signed = only(&|session| {
            session.signed_as.as_ref().is_some_and(|signed| period.holds(signed.day))
        });
        let count = |verdict: Verdict| {
            let with: Vec<&SessionSummary> =
                of.sessions.iter().filter(|session| session.verdict == Some(verdict)).collect();
            let how_many = |holds: &dyn Fn(&SessionSummary) -> bool| {
                with.iter().filter(|session| holds(session)).count()
            };
            VerdictCount {
                verdict,
                sessions: with.len(),
                signed: how_many(&|session| session.signed),
                countersigned: how_many(&|session| session.state == State::Countersigned),
                signed_otherwise: how_many(&SessionSummary::signed_otherwise),
            }
        };
        let by_verdict = [Verdict::Pass, Verdict::Fail, Verdict::Undecided, Verdict::NotMeasured];
        let by_verdict =
            by_verdict.into_iter().map(count).filter(|count| count.sessions > 0).collect();
        let reaches = |spell: &&Spell| {
            let begins =
                spell.last_good.map_or(spell.first_outside, |good| good.tomorrow().unwrap_or(good));
            let ends = spell.next_good.and_then(|good| good.yesterday().ok());
            begins <= period.until() && ends.is_none_or(|ends| ends >= period.from())
        };
        PeriodTold {
            period,
            by_verdict,
            failed: of.why_failed(),
            turnaround: signed.turnaround(),
            spells: self.spells.iter().filter(reaches).cloned().collect(),
            of,
        }
    }
}
