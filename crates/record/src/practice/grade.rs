//! The grades: what is asked, and what each varies.
//!
//! | | first | second | third |
//! |---|---|---|---|
//! | what is asked | find the nearer crossing and set it | the same, with a worn bench and unit; the farther crossing is outside the window | see that rings alone cannot do it; find the remedy, or say that there is none |
//! | circles | cross broadly, well inside | cross, nearer inside, farther outside | the best setting uses more than 1.2 of the window |
//! | bores, standard deviation | 0.02 mm | 0.04 mm | 0.06 mm, hopeless ones 0.14 mm |
//! | tube's image offset | 0.03 mm | 0.05 mm | 0.08 mm |
//! | lens cell's decentre | 0.18 to 0.28 mm | 0.15 to 0.32 mm | 0.08 to 0.30 mm |
//! | noise of a reading | 0.15′ | 0.25′ | 0.25′ |
//! | ring play | none | 2° | 2° |
//! | locks turn the ring by | nothing | up to 1.5° | up to 1.5° |
//!
//! One unit in five of the third grade cannot be brought inside by anything on the shelf. The fourth grade
//! came with the second series: a unit of the first grade's making, or of the third's, with one fault planted
//! in unit, bench or log, or none. In the second series a seating scatters by 0.1′ in the first and fourth
//! grade, 0.15′ in the others, and the first units of a grade are lessons ([`super::lesson`]).

use solver::simulate::{Making, ReadingNoise};

/// How hard a unit is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Grade {
    /// Rings alone, a clean bench.
    First,
    /// Rings alone, a worn bench.
    Second,
    /// Remedies.
    Third,
    /// Something is wrong: find it and say it. Second series only.
    Fourth,
}

impl Grade {
    /// All of them, easiest first.
    pub const ALL: [Self; 4] = [Self::First, Self::Second, Self::Third, Self::Fourth];

    /// The words for it: `first grade`.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::First => "first grade",
            Self::Second => "second grade",
            Self::Third => "third grade",
            Self::Fourth => "fourth grade",
        }
    }

    /// What it asks, in a sentence or two.
    #[must_use]
    pub const fn asks(self) -> &'static str {
        match self {
            Self::First => {
                "Find the nearer crossing and set it. The bench reads well, the rings have no play and \
                 the locks turn nothing."
            }
            Self::Second => {
                "The same on a worn bench: more noise, rings with play, locks that turn them. The farther \
                 crossing is outside the window."
            }
            Self::Third => {
                "Rings alone do not get inside. Find the remedy, take it and measure again; or find that \
                 there is none on the shelf. Play and locks as in the second grade."
            }
            Self::Fourth => {
                "Something is wrong with unit, bench or log, or nothing is: find it, say it, put it right \
                 and finish the unit; or refuse it."
            }
        }
    }

    pub(super) const fn number(self) -> u64 {
        match self {
            Self::First => 1,
            Self::Second => 2,
            Self::Third => 3,
            Self::Fourth => 4,
        }
    }

    /// How large the errors of its units are.
    pub(super) const fn making(self, hopeless: bool) -> Making {
        let (bore_mm, tube_mm, least_decentre_mm, most_decentre_mm) = match self {
            Self::First | Self::Fourth => (0.02, 0.03, 0.18, 0.28),
            Self::Second => (0.04, 0.05, 0.15, 0.32),
            Self::Third if hopeless => (0.14, 0.08, 0.08, 0.30),
            Self::Third => (0.06, 0.08, 0.08, 0.30),
        };
        Making { bore_mm, tube_mm, least_decentre_mm, most_decentre_mm }
    }

    /// How its bench and its rings read. Locks are drawn by themselves: they drag the ring.
    #[must_use]
    pub const fn hand(self) -> ReadingNoise {
        let (noise_arcmin, ring_play_deg) = match self {
            Self::First | Self::Fourth => (0.15, 0.0),
            Self::Second | Self::Third => (0.25, 2.0),
        };
        ReadingNoise { noise_arcmin, ring_play_deg, lock_shift_arcmin: 0.0, rounding_arcmin: 0.1 }
    }

    /// The most a lock turns its ring on tightening, degrees, either way.
    pub(super) const fn lock_turn_deg(self) -> f64 {
        match self {
            Self::First | Self::Fourth => 0.0,
            Self::Second | Self::Third => 1.5,
        }
    }

    /// How far a seating scatters in the second series, standard deviation, each axis, arcminutes; both
    /// channels together.
    #[must_use]
    pub const fn seating_arcmin(self) -> f64 {
        match self {
            Self::First | Self::Fourth => 0.1,
            Self::Second | Self::Third => 0.15,
        }
    }
}
