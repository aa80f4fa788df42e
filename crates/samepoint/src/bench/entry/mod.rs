//! What is being typed: the entry row's own state, before it becomes a fact.
//!
//! - [`row`]: the row on screen; `logging`: what is typed becomes a reading; `reading_back`: and is spoken, by
//!   `speaking`;
//! - `history`: taking back; `rounds`: anything but a ring was touched.

pub(crate) mod history;
pub(crate) mod logging;
pub(crate) mod reading_back;
pub(crate) mod rounds;
pub(crate) mod row;
pub(crate) mod speaking;

use paper::words;
use record::ReadingUnit;
use record::fact::{Approach, Purpose};
use record::station::Shows;
use solver::angle::reduced_deg;
use solver::{Channel, PerChannel};

use crate::widgets::select_all;

/// A field of the entry row.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum EntryField {
    /// Ring angle of the channel read.
    Ring,
    /// Ring angle of one channel, where both are read at one look.
    RingOf(Channel),
    /// Graticule x.
    X,
    /// Graticule y.
    Y,
    /// How far the ring steps on.
    Step,
}

/// Ring steps that are often used, degrees; 0 leaves the ring field as it is.
pub(crate) const RING_STEPS_DEG: [f64; 6] = [0.0, 30.0, 45.0, 60.0, 90.0, 120.0];

impl EntryField {
    /// The field's lasting id.
    #[must_use]
    pub fn id(self) -> egui::Id {
        egui::Id::unique(("entry row", self))
    }

    /// Its name in a sentence.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Ring => "ring angle",
            Self::RingOf(Channel::Left) => "left ring angle",
            Self::RingOf(Channel::Right) => "right ring angle",
            Self::X => "x",
            Self::Y => "y",
            Self::Step => "ring step",
        }
    }
}

/// The entry row.
#[derive(Clone, Debug)]
pub struct EntryRow {
    /// Whose crosshair is read.
    pub channel: Channel,
    /// Ring angle as typed, each channel its own.
    pub ring: PerChannel<String>,
    /// Graticule x as typed.
    pub x: String,
    /// Graticule y as typed.
    pub y: String,
    /// Unit of x and y.
    pub unit: ReadingUnit,
    /// What the reading is for.
    pub purpose: Purpose,
    /// The way the ring was turned.
    pub approach: Approach,
    /// How far the ring steps on after a reading, degrees; 0 leaves it.
    pub step_deg: f64,
    /// The same as typed.
    pub step: String,
    /// What was refused, and why.
    pub refused: Option<(EntryField, String)>,
    /// The field that should have the keyboard in the next frame.
    pub focus: Option<EntryField>,
    /// The field that had it last.
    pub at: EntryField,
}

impl EntryRow {
    /// An empty row, ready for the first as-found reading.
    #[must_use]
    pub fn new(step_deg: f64) -> Self {
        Self {
            channel: Channel::Left,
            ring: PerChannel::default(),
            x: String::new(),
            y: String::new(),
            unit: ReadingUnit::Arcmin,
            purpose: Purpose::AsFound,
            approach: Approach::NotNoted,
            step_deg,
            step: step_words(step_deg),
            refused: None,
            focus: Some(EntryField::X),
            at: EntryField::X,
        }
    }

    /// Turns to the field behind the one that has the keyboard; behind the last comes the first.
    pub fn next_field(&mut self, shows: Shows) {
        const LEFT: EntryField = EntryField::RingOf(Channel::Left);
        const RIGHT: EntryField = EntryField::RingOf(Channel::Right);
        let fields: &[EntryField] = match shows {
            Shows::Direction => &[EntryField::Ring, EntryField::X, EntryField::Y],
            Shows::Relative => &[LEFT, RIGHT, EntryField::X, EntryField::Y],
            Shows::Box => &[LEFT, RIGHT],
        };
        let next = fields.iter().position(|field| *field == self.at).map_or(0, |at| at + 1);
        self.focus = fields.get(next).or_else(|| fields.first()).copied();
    }

    /// Forgets what is typed and waits at x.
    pub fn clear(&mut self) {
        self.x.clear();
        self.y.clear();
        self.refused = None;
        self.focus = Some(EntryField::X);
    }

    /// What is wrong with a field, as a sentence.
    #[must_use]
    pub fn refusal(&self, field: EntryField, why: &record::Error) -> String {
        format!("{}: {why}", words::capital(field.word()))
    }

    /// Gives the keyboard to the field that should have it, from the next event on.
    pub fn take_focus(&mut self, ctx: &egui::Context, shows: Shows) {
        if let Some(field) = self.focus.take() {
            // What a box shows is pressed: there is no x to wait at.
            let field = match (shows, field) {
                (Shows::Box, EntryField::X | EntryField::Y) => EntryField::RingOf(Channel::Left),
                (_, field) => field,
            };
            ctx.memory_mut(|memory| memory.request_focus(field.id()));
            select_all(ctx, field.id());
        }
    }

    /// What stands in a field.
    #[must_use]
    pub fn text(&self, field: EntryField) -> &str {
        match field {
            EntryField::Ring => &self.ring[self.channel],
            EntryField::RingOf(channel) => &self.ring[channel],
            EntryField::X => &self.x,
            EntryField::Y => &self.y,
            EntryField::Step => &self.step,
        }
    }

    /// Turns to a channel and waits at x.
    pub fn turn_to(&mut self, channel: Channel) {
        self.channel = channel;
        self.refused = None;
        self.focus = Some(EntryField::X);
    }

    /// Turns to a purpose; logging starts at ring 0° unless an angle was typed.
    pub fn turn_to_purpose(&mut self, purpose: Purpose) {
        if purpose == Purpose::Log && self.purpose == Purpose::AsFound {
            for channel in Channel::BOTH {
                if self.ring[channel].is_empty() {
                    self.ring[channel] = "0".to_owned();
                }
            }
        }
        self.purpose = purpose;
    }

    /// Takes another step.
    pub fn set_step(&mut self, step_deg: f64) {
        self.step_deg = step_deg;
        self.step = step_words(step_deg);
        if self.refused.as_ref().is_some_and(|(field, _)| *field == EntryField::Step) {
            self.refused = None;
        }
    }

    /// The next of the usual steps.
    pub fn next_step(&mut self) {
        let next = RING_STEPS_DEG.into_iter().find(|step_deg| *step_deg > self.step_deg);
        self.set_step(next.unwrap_or(0.0));
    }

    /// Takes the step that was typed, or refuses it; empty is none.
    pub fn take_step(&mut self) {
        let typed = match self.step.trim() {
            "" => Ok(0.0),
            text => record::Typed::by_hand(text).map(|typed| typed.value()),
        };
        match typed {
            Ok(step_deg) if (0.0..360.0).contains(&step_deg) => self.set_step(step_deg),
            Ok(_) => {
                let why = "Ring step: from 0° to less than a whole turn.".to_owned();
                self.refused = Some((EntryField::Step, why));
            }
            Err(why) => {
                self.refused = Some((EntryField::Step, self.refusal(EntryField::Step, &why)));
            }
        }
    }

    /// The other way of approach.
    pub fn next_approach(&mut self) {
        self.approach = match self.approach {
            Approach::NotNoted => Approach::Clockwise,
            Approach::Clockwise => Approach::Counter,
            Approach::Counter => Approach::NotNoted,
        };
    }

    /// After both channels were read at one look: one ring steps on, the other the next time. Rings
    /// turned together by the same amount would tell nothing apart.
    pub fn step_on_by_turns(&mut self) {
        let channel = self.channel;
        let typed = record::Typed::by_hand(&self.ring[channel]).ok().map(|typed| typed.value());
        self.step_on_from(channel, typed);
        self.channel = channel.other();
    }

    /// After a channel's reading at a ring angle: steps on.
    pub fn step_on_from(&mut self, channel: Channel, ring_deg: Option<f64>) {
        self.ring[channel] = ring_deg.map_or_else(String::new, |deg| {
            let next = reduced_deg(deg + self.step_deg);
            words::number(next, words::step_decimals(next).min(words::step_decimals(self.step_deg)))
        });
    }
}

/// A step as a hand would type it.
fn step_words(step_deg: f64) -> String {
    words::number(step_deg, words::step_decimals(step_deg))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_ring_steps_on_and_comes_round() {
        let mut entry = EntryRow::new(60.0);
        entry.step_on_from(Channel::Left, Some(300.0));
        assert_eq!(entry.ring[Channel::Left], "0");
        entry.step_on_from(Channel::Left, None);
        assert_eq!(entry.ring[Channel::Left], "");
        entry.step = "22.5".to_owned();
        entry.take_step();
        entry.step_on_from(Channel::Left, Some(0.0));
        assert_eq!(entry.ring[Channel::Left], "22.5");
        entry.step_on_from(Channel::Left, Some(22.5));
        assert_eq!(entry.ring[Channel::Left], "45");
    }

    #[test]
    fn rings_step_on_by_turns() {
        let mut entry = EntryRow::new(60.0);
        entry.turn_to_purpose(Purpose::Log);
        let mut pairs = Vec::new();
        for _ in 0..4 {
            pairs.push((entry.ring.left.clone(), entry.ring.right.clone()));
            entry.step_on_by_turns();
        }
        let expected = [("0", "0"), ("60", "0"), ("60", "60"), ("120", "60")];
        assert_eq!(pairs, expected.map(|(left, right)| (left.to_owned(), right.to_owned())));
    }

    #[test]
    fn a_step_is_less_than_a_turn() {
        let mut entry = EntryRow::new(60.0);
        for text in ["360", "-5", "x"] {
            entry.step = text.to_owned();
            entry.take_step();
            assert!(matches!(entry.refused, Some((EntryField::Step, _))), "{text}");
            assert_eq!(entry.step_deg, 60.0);
        }
        entry.next_step();
        assert_eq!((entry.step.as_str(), entry.refused), ("90", None));
    }

    #[test]
    fn logging_starts_at_ring_zero() {
        let mut entry = EntryRow::new(60.0);
        entry.ring[Channel::Right] = "15".to_owned();
        entry.turn_to_purpose(Purpose::Log);
        assert_eq!((entry.ring.left.as_str(), entry.ring.right.as_str()), ("0", "15"));
    }
}
