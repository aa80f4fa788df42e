//! What can stand in front of the plot: small sheets that never block the entry row.

use std::path::PathBuf;

use record::fact::{RoundReason, Seq};

/// A sheet.
#[derive(Clone, Debug, Default, PartialEq)]
pub enum Front {
    /// None: the plot is in sight.
    #[default]
    Clear,
    /// Start a session.
    New(NewSheet),
    /// Open one.
    Open(PathSheet),
    /// Copy the open one.
    KeepCopy(PathSheet),
    /// Put its report on paper.
    Report(PathSheet),
    /// Withdraw a reading.
    Withdraw(WithdrawSheet),
    /// Choose a setting by hand.
    Choose(ChooseSheet),
    /// Write the plot to a file.
    SavePicture(PathSheet),
    /// Open a round.
    Round(RoundSheet),
    /// The keys.
    Keys,
    /// The cautions.
    Cautions,
}

/// What a new session starts with.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct NewSheet {
    /// The unit's name.
    pub unit: String,
    /// Whose hand logs: initials.
    pub hand: String,
    /// Which of the shop's stations.
    pub station: usize,
    /// Which of the shop's housings; `None`: not said.
    pub housing: Option<usize>,
    /// Which of the shop's windows; `None`: nothing is judged.
    pub window: Option<usize>,
    /// What was refused.
    pub refused: Option<String>,
}

/// A path, typed or chosen.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PathSheet {
    /// As typed.
    pub path: String,
    /// What was refused.
    pub refused: Option<String>,
    /// Whether a dialog is open elsewhere.
    pub asking: bool,
}

impl PathSheet {
    /// Starts from a path.
    #[must_use]
    pub fn at(path: &std::path::Path) -> Self {
        Self { path: path.display().to_string(), ..Self::default() }
    }

    /// The path typed, `~/` being the home folder.
    #[must_use]
    pub fn chosen(&self) -> Option<PathBuf> {
        let typed = self.path.trim();
        if typed.is_empty() {
            return None;
        }
        Some(match (typed.strip_prefix("~/"), std::env::home_dir()) {
            (Some(rest), Some(home)) => home.join(rest),
            _ => PathBuf::from(typed),
        })
    }
}

/// A reading to withdraw and why.
#[derive(Clone, Debug, PartialEq)]
pub struct WithdrawSheet {
    /// Which.
    pub seq: Seq,
    /// Which, in words.
    pub words: String,
    /// Why.
    pub reason: String,
    /// What was refused.
    pub refused: Option<String>,
}

/// A setting by hand to put on record, and why.
#[derive(Clone, Debug, PartialEq)]
pub struct ChooseSheet {
    /// Which, in words.
    pub words: String,
    /// Why not the recommended one.
    pub reason: String,
    /// What was refused.
    pub refused: Option<String>,
}

/// Reasons that are often right; anything else is typed.
pub const WITHDRAW_REASONS: [&str; 4] =
    ["graticule misread", "ring misread", "unit moved", "channel mixed up"];

/// Why a round ends.
#[derive(Clone, Debug, PartialEq)]
pub struct RoundSheet {
    /// What was touched.
    pub why: RoundReason,
    /// In the hand's words.
    pub note: String,
}
