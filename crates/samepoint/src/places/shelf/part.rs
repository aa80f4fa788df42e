//! The parts of the shelf's page.

/// What is in sight.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum ShelfPart {
    /// Which parts go together.
    #[default]
    Matches,
    /// What is not known, and what else is to be looked at.
    NotKnown,
    /// What is known of each part by itself.
    Parts,
    /// What became of units that were built since.
    Built,
}

impl ShelfPart {
    /// All of them, in the order of the screen.
    pub(crate) const ALL: [Self; 4] = [Self::Matches, Self::NotKnown, Self::Parts, Self::Built];

    /// Its name.
    #[must_use]
    pub(crate) const fn text(self) -> &'static str {
        match self {
            Self::Matches => "Matches",
            Self::NotKnown => "Not known",
            Self::Parts => "Parts",
            Self::Built => "Built since",
        }
    }

    /// What it answers.
    #[must_use]
    pub(crate) const fn question(self) -> &'static str {
        match self {
            Self::Matches => "Which parts make the most units that come inside?",
            Self::NotKnown => "What keeps parts from being matched, and which reading would tell?",
            Self::Parts => {
                "What is known of each part, from which sessions, and what is not determined?"
            }
            Self::Built => "Did units built of known parts come out as predicted?",
        }
    }
}
