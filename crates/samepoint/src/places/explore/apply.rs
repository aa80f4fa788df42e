//! Explore: moving numbers, taking back, presets.

use super::ExploreAction;
use crate::app::App;
use crate::places::Place;
use crate::ui_command::{Scope, UiCommand};

impl App {
    pub(crate) fn explore_action(&mut self, action: ExploreAction) {
        let explore = &mut self.places.explore;
        match action {
            ExploreAction::Take(preset) => explore.take(preset),
            ExploreAction::Set(channel, knob, value, begins) => {
                explore.set(channel, knob, value, begins);
            }
            ExploreAction::Typed(channel, knob, text) => explore.set_typed(channel, knob, &text),
            ExploreAction::Ends(channel, ends) => explore.set_ends(channel, ends),
            ExploreAction::Flip(channel) => explore.flip(channel),
            ExploreAction::Approach(channel) => explore.turn_approach(channel),
        }
    }

    pub(crate) fn come_to_explore(&mut self) {
        self.places.explore.come();
    }

    /// Whether a command is about the numbers explored rather than the session.
    pub(crate) fn is_explored(&self, command: UiCommand) -> bool {
        self.place == Place::Explore && command.scope() == Scope::BenchAndExplore
    }

    /// Takes back, or brings back, what was moved.
    pub(crate) fn explored_command(&mut self, command: UiCommand) {
        let explore = &mut self.places.explore;
        match command {
            UiCommand::Undo => explore.undo(),
            _ => explore.redo(),
        };
    }
}
