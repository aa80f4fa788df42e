//! A scene in words: what the picture shows, for whoever does not see it.

use solver::Channel;

use crate::scene::{ItemId, Scene};
use crate::words::{counted_s, listed, sentence};

/// What the scene shows, one sentence an item; readings are counted, since the log holds each.
#[must_use]
pub fn description(scene: &Scene) -> String {
    let mut sentences = Vec::new();
    for channel in Channel::BOTH {
        let circle = scene.find(ItemId::Circle(channel)).map(|item| item.told.words().into_owned());
        let name = channel.word();
        let circle = circle.unwrap_or_else(|| format!("{name}: no circle yet"));
        let marks = scene.marks().all().iter();
        let readings = marks.filter(|mark| mark.channel == channel).count();
        sentences.push(format!("{circle}, {}", counted_s(readings, "reading")));
    }
    for item in scene.plain().iter().filter(|item| told_alone(item.id)) {
        sentences.push(item.told.words().into_owned());
    }
    listed(sentences.iter().map(|words| sentence(words)), " ")
}

/// Whether an item has a sentence of its own in the description.
const fn told_alone(id: ItemId) -> bool {
    matches!(
        id,
        ItemId::Crossing(_)
            | ItemId::Ellipse(_)
            | ItemId::Band(_)
            | ItemId::Setting(_)
            | ItemId::Window
            | ItemId::Guard
            | ItemId::BoresightLimit
            | ItemId::SwingSafe
            | ItemId::Now(_)
            | ItemId::Path(_)
            | ItemId::SwingShared
            | ItemId::SwingEnd(..)
            | ItemId::GhostCircle(..)
            | ItemId::GhostCrossing(_)
            | ItemId::MeasureLabel
    )
}
