//! Where each crosshair is, how it gets to the setting, and what a swing of the pods does to it.

use core::f64::consts::FRAC_PI_2;

use solver::swing::{SwingRange, swung};
use solver::{Channel, PerChannel, Setting};

use super::Field;
use crate::scene::{ItemId, ItemTold, Role, Scene, Shape, SwingEnd};
use crate::words;

/// Paths are drawn with a point at least every 2°.
const PATH_STEP_RAD: f64 = 0.035;
/// A turn's path is drawn this share of the radius outside its circle, so that both are seen.
pub(super) const PATH_OUTSIDE: f64 = 1.05;
/// Swing paths are drawn with a point at least every degree.
const SWING_STEP_DEG: f64 = 1.0;

pub(super) fn draw(scene: &mut Scene, field: &Field<'_>) {
    if let (Some(setting), Some(range)) = (field.setting, field.swing) {
        swing(scene, setting, range);
    }
    for channel in Channel::BOTH {
        way(scene, channel, field);
    }
}

fn way(scene: &mut Scene, channel: Channel, field: &Field<'_>) {
    if let (Some(turn), Some(fit)) = (field.turns[channel], field.fit(channel)) {
        let mut track = fit.circle;
        track.radius_arcmin *= PATH_OUTSIDE;
        let points = turn.path(&track, PATH_STEP_RAD);
        if let Some(&tip) = points.last()
            && points.len() > 1
            && turn.clockwise_deg.abs() > 0.5
        {
            let end_rad = turn.from_rad + turn.sweep_rad;
            let heading_rad = end_rad + FRAC_PI_2.copysign(turn.sweep_rad);
            let way = words::way_round(turn.clockwise_deg);
            let what = if turn.of_ring { "turn the" } else { "bring the crosshair of the" };
            let words = format!(
                "{what} {channel} ring {} {way}",
                words::degrees_short(turn.clockwise_deg.abs())
            );
            let line = Shape::Line { points, closed: false };
            scene.push(ItemId::Path(channel), Role::Path(channel), line, words.clone());
            let head = Shape::Head { tip, heading_rad };
            scene.push(ItemId::PathHead(channel), Role::Path(channel), head, words);
        }
    }
    if let Some(at) = field.now[channel] {
        let name = format!("the {channel} crosshair is here now");
        let told = ItemTold::new(name, words::direction(at));
        scene.push(ItemId::Now(channel), Role::Now(channel), Shape::Marker { at }, told);
    }
}

/// Both channels and what they share, from one end of the swing to the other.
fn swing(scene: &mut Scene, setting: &Setting, range: SwingRange) {
    let (low_deg, high_deg) = (range.low_deg(), range.high_deg());
    if high_deg <= low_deg {
        return;
    }
    // At most a whole turn by the range's own limits.
    let steps = ((high_deg - low_deg) / SWING_STEP_DEG).ceil().clamp(1.0, 720.0) as u32;
    let stops: Vec<PerChannel<_>> = (0..=steps)
        .map(|k| {
            let share = f64::from(k) / f64::from(steps);
            swung(setting.points, low_deg + share * (high_deg - low_deg))
        })
        .collect();
    let range_words = format!(
        "pods swung by {} to {}",
        words::degrees_short(low_deg),
        words::degrees_short(high_deg)
    );
    let points = stops.iter().map(|stop| stop.left.midpoint(stop.right)).collect();
    let words = format!("where both channels point together, {range_words}");
    let line = Shape::Line { points, closed: false };
    scene.push(ItemId::SwingShared, Role::SwingShared, line, words);
    for channel in Channel::BOTH {
        let points = stops.iter().map(|stop| stop[channel]).collect();
        let words = format!("where the {channel} channel points, {range_words}");
        let line = Shape::Line { points, closed: false };
        scene.push(ItemId::Swing(channel), Role::Swing(channel), line, words);
        for (end, swing_deg) in [(SwingEnd::Low, low_deg), (SwingEnd::High, high_deg)] {
            let at = swung(setting.points, swing_deg)[channel];
            let by = words::degrees_short(swing_deg);
            let name = format!("the {channel} channel with the pods swung by {by}");
            let told = ItemTold::new(name, words::direction(at));
            let id = ItemId::SwingEnd(channel, end);
            scene.push(id, Role::Swing(channel), Shape::Marker { at }, told);
        }
    }
}
