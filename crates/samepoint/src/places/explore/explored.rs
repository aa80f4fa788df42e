//! What is explored.

use record::practice::explore::{Model, Preset};
use solver::PerChannel;

/// What is explored: a model and how its rings are reached.
#[derive(Clone, Debug, PartialEq)]
pub struct Explored {
    /// The model.
    pub model: Model,
    /// Whether each ring's target is reached counter-clockwise.
    pub counter: PerChannel<bool>,
}

impl Explored {
    /// A preset as it comes; none for numbers that make no model, which no preset has.
    pub(crate) fn of(preset: Preset) -> Option<Self> {
        let model = preset.model().ok()?;
        // Play shows when one target is reached from the other side than when logging.
        let counter = PerChannel { left: false, right: preset == Preset::RingPlay };
        Some(Self { model, counter })
    }
}
