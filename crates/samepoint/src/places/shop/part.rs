//! The parts of the shop's place.

/// What is in sight.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum ShopPage {
    /// The table.
    #[default]
    Sessions,
    /// What a supervisor should look at.
    Troubles,
    /// Where circles lie.
    Centres,
    /// How far from boresight units leave.
    Finishing,
    /// What passes first.
    PassRate,
    /// Whether shims did as predicted.
    Shims,
    /// Which stations or hands differ.
    Differences,
    /// What tightening does.
    Locks,
    /// Check charts, what is due, what wanders.
    Stations,
    /// What lies in the shop's practice.
    Practice,
}

impl ShopPage {
    /// All of them, in the order of the screen.
    pub const ALL: [Self; 10] = [
        Self::Sessions,
        Self::Troubles,
        Self::Centres,
        Self::Finishing,
        Self::PassRate,
        Self::Shims,
        Self::Differences,
        Self::Locks,
        Self::Stations,
        Self::Practice,
    ];

    /// Its name.
    #[must_use]
    pub const fn text(self) -> &'static str {
        match self {
            Self::Sessions => "Sessions",
            Self::Troubles => "To look at",
            Self::Centres => "Circle centres",
            Self::Finishing => "Boresight",
            Self::PassRate => "First pass",
            Self::Shims => "Shims",
            Self::Differences => "Differences",
            Self::Locks => "Locks",
            Self::Stations => "Stations",
            Self::Practice => "Practice",
        }
    }

    /// The question it answers.
    #[must_use]
    pub const fn question(self) -> &'static str {
        match self {
            Self::Sessions => {
                "Which session? Press a row to choose it; again, or Enter, to look it over."
            }
            Self::Troubles => "What should a supervisor look at?",
            Self::Centres => "Where do the circle centres of each housing lie?",
            Self::Finishing => "How far from boresight do we finish?",
            Self::PassRate => "How many units pass in their first round?",
            Self::Shims => "Did shims do what was predicted?",
            Self::Differences => "Which stations or hands differ?",
            Self::Locks => "What does tightening the locks do, housing by housing?",
            Self::Stations => "Do the stations stand still, and what is due?",
            Self::Practice => "Who has practised, and how did it go? Press a file to look it over.",
        }
    }
}
