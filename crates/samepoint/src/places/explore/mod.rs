//! The optics opened up: what each millimetre does to the circles.
//!
//! - `explored`: what is moved; [`parameter`]: the numbers that can be moved; [`picture`]: what a model shows, in words and
//!   scenes; `apply`: what is asked; [`ui`]: what it looks like.

pub(crate) mod apply;
pub(crate) mod explored;
pub(crate) mod parameter;
pub(crate) mod picture;
pub(crate) mod ui;

use crate::ui_command::UiCommand;
use record::practice::explore::{Plane, Preset};
use solver::Channel;
use solver::optics::ShimEnds;

use crate::plot::FieldView;
pub(crate) use explored::Explored;
use parameter::Parameter;
use picture::ExploreView;

/// What is in sight where there is little room.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Leaf {
    /// What can be moved.
    #[default]
    Millimetres,
    /// The circles.
    Plot,
    /// The section and what follows.
    Numbers,
}

impl Leaf {
    /// All of them, in the order of the screen.
    pub const ALL: [Self; 3] = [Self::Millimetres, Self::Plot, Self::Numbers];

    /// Its name.
    #[must_use]
    pub const fn text(self) -> &'static str {
        match self {
            Self::Millimetres => "Millimetres",
            Self::Plot => "Plot",
            Self::Numbers => "Numbers",
        }
    }
}

/// What the place remembers.
pub struct Exploring {
    /// The preset that is shown.
    pub preset: Preset,
    /// What became of it; `None` before the place was first come to.
    pub explored: Option<Explored>,
    /// What that shows, or why it cannot be shown.
    pub picture: Option<Result<ExploreView, record::Error>>,
    /// The channel whose numbers and section are in sight.
    pub channel: Channel,
    /// Which way it is cut.
    pub plane: Plane,
    /// Whether the answer is told.
    pub answered: bool,
    /// Whether it is told how its numbers come about.
    pub derived: bool,
    /// What is in sight where there is little room.
    pub leaf: Leaf,
    /// A number being typed.
    pub typing: Option<(Channel, Parameter, String)>,
    /// A number that was refused, and why.
    pub refused: Option<(Channel, Parameter, String)>,
    /// What the plot remembers.
    pub view: FieldView,
    undo: Vec<Explored>,
    redo: Vec<Explored>,
    /// What was moved last: a slider that goes on moving is one step of undo.
    moved: Option<(Channel, Parameter)>,
}

impl Default for Exploring {
    fn default() -> Self {
        Self {
            preset: Preset::MatchedBores,
            explored: None,
            picture: None,
            channel: Channel::Left,
            plane: Plane::default(),
            answered: false,
            derived: false,
            leaf: Leaf::default(),
            typing: None,
            refused: None,
            view: FieldView::in_room("explore"),
            undo: Vec::new(),
            redo: Vec::new(),
            moved: None,
        }
    }
}

/// Steps that can be taken back.
const STEPS: usize = 200;

impl Exploring {
    /// Shows the preset when nothing is shown yet.
    pub fn come(&mut self) {
        if self.explored.is_none() {
            self.take(self.preset);
        }
    }

    /// Takes up a preset as it comes; what was before can be brought back.
    pub fn take(&mut self, preset: Preset) {
        let before = self.explored.clone();
        self.preset = preset;
        (self.answered, self.derived) = (false, false);
        self.explored = Explored::of(preset);
        if before != self.explored {
            self.remember(before);
        }
        self.view.fit();
        self.redraw();
    }

    /// Sets a number; `begins` when another movement begins with it.
    pub fn set(&mut self, channel: Channel, knob: Parameter, value: f64, begins: bool) {
        let going_on = self.moved == Some((channel, knob)) && !begins;
        self.change(Some((channel, knob)), going_on, |explored| {
            knob.set(&mut explored.model.channels[channel], value);
        });
    }

    /// Sets a number as typed, or refuses it.
    pub fn set_typed(&mut self, channel: Channel, knob: Parameter, text: &str) {
        self.typing = None;
        match knob.read(text) {
            Ok(value) => self.set(channel, knob, value, true),
            Err(why) => self.refused = Some((channel, knob, why.to_string())),
        }
    }

    /// At which ends a channel's shim lies.
    pub fn set_ends(&mut self, channel: Channel, ends: ShimEnds) {
        self.change(None, false, |explored| {
            parameter::shim_of(&mut explored.model.channels[channel]).ends = ends;
        });
    }

    /// Turns a channel's station map round, or back.
    pub fn flip(&mut self, channel: Channel) {
        self.change(None, false, |explored| {
            let flipped = &mut explored.model.channels[channel].map_flipped;
            *flipped = !*flipped;
        });
    }

    /// From which side a ring's target is reached.
    pub fn turn_approach(&mut self, channel: Channel) {
        self.change(None, false, |explored| {
            explored.counter[channel] = !explored.counter[channel];
        });
    }

    /// Takes back the last change; false when there is none.
    pub fn undo(&mut self) -> bool {
        let Some(before) = self.undo.pop() else { return false };
        self.redo.extend(self.explored.take());
        self.bring_back(before);
        true
    }

    /// Brings it back; false when there is none.
    pub fn redo(&mut self) -> bool {
        let Some(after) = self.redo.pop() else { return false };
        self.undo.extend(self.explored.take());
        self.bring_back(after);
        true
    }

    /// Whether undo and redo have anything to do.
    #[must_use]
    pub const fn can(&self) -> [bool; 2] {
        [!self.undo.is_empty(), !self.redo.is_empty()]
    }

    fn bring_back(&mut self, explored: Explored) {
        self.explored = Some(explored);
        (self.moved, self.typing, self.refused) = (None, None, None);
        self.redraw();
    }

    fn change(
        &mut self,
        moved: Option<(Channel, Parameter)>,
        going_on: bool,
        change: impl FnOnce(&mut Explored),
    ) {
        let before = self.explored.clone();
        if let Some(explored) = &mut self.explored {
            change(explored);
        }
        if before != self.explored {
            if !going_on {
                self.remember(before);
            }
            self.moved = moved;
        }
        self.refused = None;
        self.redraw();
    }

    fn remember(&mut self, before: Option<Explored>) {
        self.moved = None;
        self.redo.clear();
        self.undo.extend(before);
        if self.undo.len() > STEPS {
            self.undo.remove(0);
        }
    }

    fn redraw(&mut self) {
        self.picture =
            self.explored.as_ref().map(|explored| ExploreView::of(explored, self.preset));
    }
}

/// What a hand asks for there.
#[derive(Clone, Debug, PartialEq)]
pub enum ExploreAction {
    /// A preset, as it comes.
    Take(Preset),
    /// Set a number; whether another movement begins with it.
    Set(Channel, Parameter, f64, bool),
    /// Set a number as typed.
    Typed(Channel, Parameter, String),
    /// At which ends the shim lies.
    Ends(Channel, ShimEnds),
    /// Turn the station map round.
    Flip(Channel),
    /// Reach the ring's target from the other side.
    Approach(Channel),
    /// A command of the window.
    Do(UiCommand),
}

impl From<UiCommand> for ExploreAction {
    fn from(command: UiCommand) -> Self {
        Self::Do(command)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_slider_that_goes_on_is_one_step_back() {
        let mut exploring = Exploring::default();
        exploring.come();
        let first = exploring.explored.clone();
        for (step, value) in [0.1, 0.2, 0.3].into_iter().enumerate() {
            exploring.set(Channel::Left, Parameter::Decentre, value, step == 0);
        }
        exploring.set(Channel::Right, Parameter::Decentre, 0.4, true);
        assert!(exploring.undo());
        let left = |exploring: &Exploring| {
            exploring.explored.as_ref().map(|e| Parameter::Decentre.value(&e.model.channels.left))
        };
        assert!(left(&exploring).is_some_and(|value| (value - 0.3).abs() < 1e-12));
        assert!(exploring.undo());
        assert_eq!(exploring.explored, first);
        assert!(!exploring.undo() && exploring.redo() && exploring.redo() && !exploring.redo());
        // What is refused changes nothing and can be told.
        exploring.set_typed(Channel::Left, Parameter::Decentre, "9");
        assert!(exploring.refused.is_some());
        assert!(left(&exploring).is_some_and(|value| (value - 0.3).abs() < 1e-12));
    }
}
