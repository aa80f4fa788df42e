//! Where the hand is: at the bench, or in another place of the program. Each place has its own
//! state; the bench's goes on waiting while another is in sight.
//!
//! - [`practice`]: invented units, scores, progress; [`explore`]: the optics opened up;
//! - [`study`]: how well hands repeat, cell by cell;
//! - [`shop`]: all sessions; [`review`]: one of them, looked over;
//! - [`shelf`]: which parts go together best.

pub(crate) mod explore;
pub(crate) mod practice;
pub(crate) mod review;
pub(crate) mod shelf;
pub(crate) mod shop;
pub(crate) mod study;

use crate::ui_command::{Scope, UiCommand};
use explore::Exploring;
use practice::Practising;
use review::Reviewing;
use shelf::Shelving;
use shop::Surveying;
use study::Studying;

/// A place.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Place {
    /// The bench: a session's log, plot and rings.
    #[default]
    Bench,
    /// Units to solve, and how it went.
    Practice,
    /// The optics, millimetre by millimetre.
    Explore,
    /// A repeatability and reproducibility study.
    Study,
    /// The shop's sessions.
    Shop,
    /// One session, looked over.
    Review,
    /// Which parts go together.
    Shelf,
}

impl Place {
    /// All of them, in the order of the menu.
    pub const ALL: [Self; 7] = [
        Self::Bench,
        Self::Practice,
        Self::Explore,
        Self::Study,
        Self::Shop,
        Self::Review,
        Self::Shelf,
    ];

    /// Its name.
    #[must_use]
    pub const fn text(self) -> &'static str {
        match self {
            Self::Bench => "Bench",
            Self::Practice => "Practice",
            Self::Explore => "Explore",
            Self::Study => "Study",
            Self::Shop => "Shop",
            Self::Review => "Review",
            Self::Shelf => "Shelf",
        }
    }

    /// Whether a command is listed there: elsewhere it belongs to the bench.
    #[must_use]
    pub const fn lists(self, command: UiCommand) -> bool {
        match command.scope() {
            Scope::Everywhere => true,
            Scope::Bench | Scope::EntryRow => matches!(self, Self::Bench),
            Scope::OfSession => {
                matches!(self, Self::Bench | Self::Shop | Self::Shelf | Self::Review)
            }
            Scope::BenchAndExplore => matches!(self, Self::Bench | Self::Explore),
        }
    }

    /// Whether a command's keys act there, wherever in the place the keyboard is.
    #[must_use]
    pub const fn acts_on_key(self, command: UiCommand) -> bool {
        self.lists(command) && !matches!(command.scope(), Scope::EntryRow)
    }

    /// The command that goes there.
    #[must_use]
    pub const fn command(self) -> UiCommand {
        match self {
            Self::Bench => UiCommand::ToBench,
            Self::Practice => UiCommand::ToPractice,
            Self::Explore => UiCommand::ToExplore,
            Self::Study => UiCommand::ToStudy,
            Self::Shop => UiCommand::ToShop,
            Self::Review => UiCommand::ToReview,
            Self::Shelf => UiCommand::ToShelf,
        }
    }
}

/// What every place but the bench remembers.
#[derive(Default)]
pub struct Places {
    /// Practice.
    pub practice: Practising,
    /// Explore.
    pub explore: Exploring,
    /// The study.
    pub study: Studying,
    /// The shop.
    pub shop: Surveying,
    /// Review.
    pub review: Reviewing,
    /// The shelf.
    pub(crate) shelf: Shelving,
}
