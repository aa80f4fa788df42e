//! Who is at the bench: asked at the start and after a pause, so that nobody's initials stand beside what
//! another did. Asking covers nothing: it stands in a strip of its own until a hand answers, and what is
//! typed elsewhere meanwhile waits where it was typed.

use egui::Id;
use record::Stamp;

/// The question.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Who {
    /// Whether it waits for an answer.
    asks: bool,
    /// When a hand last did anything here.
    pub last_input: Option<Stamp>,
    /// The initials typed.
    pub typed: String,
    /// What was refused.
    pub refused: Option<String>,
    /// Whether the keyboard is to go to it.
    pub take_keyboard: bool,
    /// Whether it has the keyboard.
    pub has_keyboard: bool,
    /// What had the keyboard before.
    pub before: Option<Id>,
    /// Whether the keyboard goes back there.
    pub give_back: bool,
    /// Whether it was asked in sight, too, whether anything was touched since the last reading.
    pub rested_in_sight: bool,
}

impl Who {
    /// At the start: asked, the initials used last being offered, unless the user wants no asking.
    #[must_use]
    pub fn at_start(minutes: u32, hand: &str) -> Self {
        Self { asks: minutes > 0, typed: hand.to_owned(), ..Self::default() }
    }

    /// Whether it waits for an answer.
    #[must_use]
    pub const fn asks(&self) -> bool {
        self.asks
    }

    /// Asks, the keyboard staying where it is.
    pub fn ask(&mut self, hand: &str) {
        self.asks = true;
        hand.clone_into(&mut self.typed);
        self.refused = None;
    }

    /// Nobody is asked any more.
    pub fn answered(&mut self) {
        let before = self.before.take();
        let last_input = self.last_input;
        *self = Self { last_input, before, give_back: true, ..Self::default() };
    }
}

/// The id of its field.
#[must_use]
pub(crate) fn who_field() -> Id {
    Id::unique("who are you")
}
