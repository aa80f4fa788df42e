//! The parts of the shelf's page.

/// What is in sight.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum ShelfPart {
    /// Which parts go together.
    #[default]
    Matches,
    /// What is not known, and what else is to be looked at.
    NotKnown,
    /// What became of units that were built since.
    Built,
}

impl ShelfPart {
    /// All of them, in the order of the screen.
    pub(crate) const ALL: [Self; 3] = [Self::Matches, Self::NotKnown, Self::Built];

    /// Its name.
    #[must_use]
    pub(crate) const fn text(self) -> &'static str {
        match self {
            Self::Matches => "Matches",
            Self::NotKnown => "Not known",
            Self::Built => "Built since",
        }
    }

    /// What it answers.
    #[must_use]
    pub(crate) const fn question(self) -> &'static str {
        match self {
            Self::Matches => "Which parts make the most units that come inside?",
            Self::NotKnown => "What keeps parts from being matched, and which reading would tell?",
            Self::Built => "Did units built of known parts come out as predicted?",
        }
    }
}
