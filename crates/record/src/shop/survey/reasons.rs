//! Why units fail: which limit each went beyond as it was left, and whether its circles met at all.

use solver::Relation;
use solver::words::counted_s;

use super::{SessionSummary, Survey};
use crate::fact::Verdict;
use crate::figures::percent;

/// A reason why a unit failed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum FailReason {
    /// The eyes must converge by more than the limit.
    Convergence,
    /// The eyes must diverge by more than the limit.
    Divergence,
    /// One image is higher by more than the limit.
    Dipvergence,
    /// It points farther from boresight than the limit.
    Boresight,
    /// The circles of its first round do not cross.
    NoCrossing,
    /// Within every limit, and not surely enough for the rule.
    NotSure,
}

impl FailReason {
    /// All of them, in the order shown.
    pub const EVERY: [Self; 6] = [
        Self::Convergence,
        Self::Divergence,
        Self::Dipvergence,
        Self::Boresight,
        Self::NoCrossing,
        Self::NotSure,
    ];

    /// The word for it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Convergence => "convergence",
            Self::Divergence => "divergence",
            Self::Dipvergence => "dipvergence",
            Self::Boresight => "boresight",
            Self::NoCrossing => "no crossing",
            Self::NotSure => "not sure enough",
        }
    }

    /// What it means, in a few words.
    #[must_use]
    pub const fn meaning(self) -> &'static str {
        match self {
            Self::Convergence => "the eyes would have to converge too far",
            Self::Divergence => "the eyes would have to diverge too far",
            Self::Dipvergence => "one image stands too high",
            Self::Boresight => "both point too far from boresight",
            Self::NoCrossing => "the circles of the first round do not cross",
            Self::NotSure => "within every limit, and not surely enough for the rule",
        }
    }
}

/// The sessions that failed for a reason.
#[derive(Clone, Debug, PartialEq)]
pub struct FailedFor {
    /// Which.
    pub reason: FailReason,
    /// Each with the share of the limit it used; of those whose circles do not cross, and those that are not
    /// sure, the largest share of any.
    pub points: Vec<(usize, f64)>,
}

/// Why units failed.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct WhyFailed {
    /// How many sessions failed, and of how many that came to a verdict.
    pub failed: [usize; 2],
    /// By reason; a session stands under each that holds.
    pub by: Vec<FailedFor>,
    /// Failed sessions of which no figure is known.
    pub unmeasured: usize,
}

impl WhyFailed {
    /// It in sentences.
    #[must_use]
    pub fn words(&self) -> Vec<String> {
        let [failed, decided] = self.failed;
        let mut said = vec![format!(
            "{failed} of {} that came to a verdict failed, by the readings as the unit was left. One may stand \
             under several reasons.",
            counted_s(decided, "session")
        )];
        for FailedFor { reason, points } in &self.by {
            let most = points.iter().map(|point| point.1).fold(0.0, f64::max);
            said.push(format!(
                "{}: {}, {}; at most {} of a limit used.",
                solver::words::capital(reason.word()),
                counted_s(points.len(), "session"),
                reason.meaning(),
                percent(most)
            ));
        }
        if self.unmeasured > 0 {
            said.push(format!("{} without figures.", counted_s(self.unmeasured, "failed session")));
        }
        said
    }
}

fn reasons(session: &SessionSummary) -> Vec<(FailReason, f64)> {
    let Some(used) = session.limits_used else { return Vec::new() };
    let mut found = Vec::new();
    let aside = session.misalignment.map_or(0.0, |misalignment| misalignment.x_arcmin);
    let sideways = if aside > 0.0 { FailReason::Divergence } else { FailReason::Convergence };
    for (reason, share) in [
        (sideways, used.side_to_side),
        (FailReason::Dipvergence, used.up_and_down),
        (FailReason::Boresight, used.from_boresight.unwrap_or_default()),
    ] {
        // A share that is no number went beyond every limit.
        if share > 1.0 || share.is_nan() {
            found.push((reason, share));
        }
    }
    if found.is_empty() {
        found.push((FailReason::NotSure, used.worst()));
    }
    let apart = [Relation::Separate, Relation::Contained, Relation::Concentric];
    if session.relation.is_some_and(|relation| apart.contains(&relation)) {
        found.push((FailReason::NoCrossing, used.worst()));
    }
    found
}

impl Survey {
    /// Why the sessions that count and failed did.
    #[must_use]
    pub fn why_failed(&self) -> WhyFailed {
        let mut found = WhyFailed::default();
        let mut each: Vec<(FailReason, usize, f64)> = Vec::new();
        for (index, session) in self.counted().filter(|(_, session)| session.is_decided()) {
            let [failed, decided] = &mut found.failed;
            *decided += 1;
            if session.verdict != Some(Verdict::Fail) {
                continue;
            }
            *failed += 1;
            let reasons = reasons(session);
            found.unmeasured += usize::from(reasons.is_empty());
            each.extend(reasons.into_iter().map(|(reason, share)| (reason, index, share)));
        }
        let by = FailReason::EVERY.into_iter().map(|reason| FailedFor {
            reason,
            points: each
                .iter()
                .filter(|one| one.0 == reason)
                .map(|(_, index, share)| (*index, *share))
                .collect(),
        });
        found.by = by.filter(|one| !one.points.is_empty()).collect();
        found
    }
}
