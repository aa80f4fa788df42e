//! Explore: moving numbers, taking back, presets.

use super::{ExploreAction, Exploring};
use crate::shell::effect::Effect;

impl Exploring {
    /// Does what was asked.
    pub fn apply(&mut self, action: ExploreAction) -> Vec<Effect> {
        match action {
            ExploreAction::Do(command) => return vec![Effect::Do(command)],
            ExploreAction::Take(preset) => self.take(preset),
            ExploreAction::Set(channel, knob, value, begins) => {
                self.set(channel, knob, value, begins);
            }
            ExploreAction::Typed(channel, knob, text) => self.set_typed(channel, knob, &text),
            ExploreAction::Ends(channel, ends) => self.set_ends(channel, ends),
            ExploreAction::Flip(channel) => self.flip(channel),
            ExploreAction::Approach(channel) => self.turn_approach(channel),
        }
        Vec::new()
    }
}
