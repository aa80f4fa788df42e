//! The answer of `solve`, for both its forms.

use record::Housing;
use solver::{Channel, NoSetting, PerChannel, Problem, Reading, SettingKind, Solution, Window};

use super::certainty::Certainty;
use super::remedies::Remedies;

/// What both forms of the answer are made from.
pub(super) struct SolveAnswer<'a> {
    /// The file, as shown.
    pub(super) file: String,
    /// What was asked.
    pub(super) problem: &'a Problem,
    /// What came of it; both circles are known.
    pub(super) solution: &'a Solution,
    /// Both circles.
    pub(super) fits: PerChannel<&'a solver::CircleFit>,
    /// How they meet.
    pub(super) meeting: &'a solver::Meeting,
    /// The step the rings are set to, degrees.
    pub(super) step_deg: f64,
    /// How sure it is.
    pub(super) certainty: Certainty,
    /// The housing, when one is given.
    pub(super) housing: Option<&'a Housing>,
    /// The remedies for it; `None` where none were asked for.
    pub(super) remedies: Option<Remedies>,
}

/// What is said of the setting: never more than a prediction.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum SettingVerdict {
    Inside,
    Outside,
    NoWindow,
}

impl SettingVerdict {
    /// `None` where there is a window and nothing recommended to hold against it, and where readings do not
    /// fit what they are said to scatter by.
    pub(super) fn of(solution: &Solution, window: Option<Window>) -> Option<Self> {
        if solution.misfits().next().is_some() {
            return None;
        }
        if window.is_none() {
            return Some(Self::NoWindow);
        }
        let used = solution.setting.as_ref().ok()?.window_use?;
        Some(if used.is_inside() { Self::Inside } else { Self::Outside })
    }

    pub(super) const fn word(self) -> &'static str {
        match self {
            Self::Inside => "inside",
            Self::Outside => "outside",
            Self::NoWindow => "no window",
        }
    }
}

impl SolveAnswer<'_> {
    /// The verdict, where there is something to judge.
    pub(super) fn verdict(&self) -> Option<SettingVerdict> {
        SettingVerdict::of(self.solution, self.problem.window)
    }

    /// The last reading of a channel: where its ring is now.
    pub(super) fn last_reading(&self, channel: Channel) -> Option<&Reading> {
        self.problem.readings[channel].last()
    }

    /// Whether the recommended setting is a crossing point.
    pub(super) fn recommends_a_crossing(&self) -> bool {
        self.solution.setting.as_ref().is_ok_and(|setting| setting.kind == SettingKind::Crossing)
    }

    /// Whose readings cover too short an arc, if that is why nothing is recommended.
    pub(super) fn short_arc(&self) -> Option<Channel> {
        match self.solution.setting {
            Err(NoSetting::ArcTooShort(channel)) => Some(channel),
            _ => None,
        }
    }
}
