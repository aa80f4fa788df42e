//! Remedies on screen: the ranked list, and the one being considered.
//!
//! - [`search`]: ranking on a thread of its own; [`lines`]: what the panel shows, [`ui`]: the panel;
//! - `acting`: asking for the list, considering, taking; [`own`]: a remedy that is not of the list, in an
//!   examination; [`clock_face`]: where a shim goes.

pub(crate) mod acting;
pub(crate) mod clock_face;
pub(crate) mod lines;
pub(crate) mod own;
pub(crate) mod search;
pub(crate) mod ui;

use solver::remedy::rank::RankedRemedy;

use crate::jobs::{Job, Work};
use own::{OwnRemedy, Takes};
use search::{FoundRemedies, NotRanked, Tried};

/// The list as it stands.
#[derive(Debug)]
pub struct Remedying {
    /// Whether the list is in sight.
    pub open: bool,
    /// The session's facts for which it was asked.
    asked: Option<usize>,
    search: Job<Result<FoundRemedies, NotRanked>>,
    /// Whether that ended without an answer.
    pub broken: bool,
    found: Option<Result<FoundRemedies, NotRanked>>,
    /// The remedy being considered.
    pub considered: Option<usize>,
    /// Shims tried in the shop's other sessions of the housing, once they were looked for.
    tried: Option<Tried>,
    /// The remedy of the trainee's own, as it is being chosen.
    pub own: OwnRemedy,
    /// What it can be chosen from; nothing while remedies are listed.
    pub takes: Takes,
}

impl Default for Remedying {
    /// Nothing was asked for yet.
    fn default() -> Self {
        Self {
            open: false,
            asked: None,
            search: Job::idle(Work::Remedies),
            broken: false,
            found: None,
            considered: None,
            tried: None,
            own: OwnRemedy::default(),
            takes: Takes::default(),
        }
    }
}

impl Remedying {
    fn remedy(&self, index: usize) -> Option<&RankedRemedy> {
        self.found.as_ref()?.as_ref().ok()?.ranking.remedies.get(index)
    }
}
