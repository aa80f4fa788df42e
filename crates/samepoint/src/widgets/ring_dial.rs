//! A virtual ring: dragged round, or turned by keys; its angle is told as a slider's value.

use egui::accesskit::{self, Role};
use egui::{
    Align2, EventFilter, FontId, Id, Key, Modifiers, Rect, Response, Sense, Ui, Vec2, WidgetInfo,
};
use paper::style::Marker;
use solver::Channel;

use super::chart::{ChartInk, ChartPen, ClockChart, channel_marker, marker, turned};
use crate::theme;
use crate::theme::Palette;

/// A ring as it is drawn.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct RingDial<'a> {
    /// Whose.
    pub channel: Channel,
    /// Where it stands, degrees.
    pub ring_deg: f64,
    /// The same as words.
    pub text: &'a str,
    /// Whether its lock is tight.
    pub locked: bool,
    /// Where it should go, if that is known.
    pub target_deg: Option<f64>,
    /// Width and height, points.
    pub side: f32,
}

/// One press of an arrow key, degrees; with Shift, ten.
const KEY_DEG: f64 = 1.0;

/// What a drag has not turned yet, and where the pointer was, degrees.
#[derive(Clone, Copy, Default)]
struct Drag {
    pointer_deg: f64,
    left_over_deg: f64,
}

/// Shows it; returns how far it was turned, degrees clockwise, and its response.
pub(crate) fn ring_dial_ui(ui: &mut Ui, palette: &Palette, dial: &RingDial<'_>) -> (f64, Response) {
    let id = id_of(dial.channel);
    let (rect, _) = ui.allocate_exact_size(Vec2::splat(dial.side), Sense::hover());
    let response = ui.interact(rect, id, Sense::click_and_drag());
    if response.clicked() || response.drag_started() {
        response.request_focus();
    }
    let mut by_deg = dragged_deg(ui, &response, ClockChart { middle: rect.center() });
    if response.has_focus() {
        ui.memory_mut(|memory| {
            let arrows = EventFilter {
                horizontal_arrows: true,
                vertical_arrows: true,
                ..EventFilter::default()
            };
            memory.set_focus_lock_filter(id, arrows);
        });
        by_deg += keyed_deg(ui);
    }
    by_deg += told_deg(ui, id, dial.ring_deg);
    let state = if dial.locked { "lock tight" } else { "lock open" };
    let telling = format!("{} ring, {}°, {state}", dial.channel, dial.text);
    response.widget_info(|| WidgetInfo {
        value: Some(dial.ring_deg),
        ..WidgetInfo::labeled(Role::Slider, true, &telling)
    });
    ui.ctx().accesskit_node_builder(id, |builder| {
        builder.set_min_numeric_value(0.0);
        builder.set_max_numeric_value(359.0);
        builder.set_numeric_value_step(KEY_DEG);
        for action in [
            accesskit::Action::SetValue,
            accesskit::Action::Increment,
            accesskit::Action::Decrement,
        ] {
            builder.add_action(action);
        }
    });
    paint(ui, palette, dial, rect, response.has_focus());
    (by_deg, response)
}

fn id_of(channel: Channel) -> Id {
    Id::unique(("virtual ring", channel))
}

/// Whether arrow keys turn a ring now.
#[must_use]
pub(crate) fn ring_dial_has_keyboard(ctx: &egui::Context) -> bool {
    Channel::BOTH.iter().any(|channel| ctx.memory(|memory| memory.has_focus(id_of(*channel))))
}

/// The way from one angle to another, shorter than half a turn.
fn way_deg(from: f64, to: f64) -> f64 {
    (to - from + 180.0).rem_euclid(360.0) - 180.0
}

/// What a drag round the middle turned since the last frame, in whole degrees.
fn dragged_deg(ui: &Ui, response: &Response, clock: ClockChart) -> f64 {
    let Some(at) = response.interact_pointer_pos().filter(|_| response.dragged()) else {
        return 0.0;
    };
    let here = clock.deg(at);
    let key = response.id.with("drag");
    let mut drag = if response.drag_started() {
        let begun = ui.input(|input| input.pointer.press_origin()).unwrap_or(at);
        Drag { pointer_deg: clock.deg(begun), left_over_deg: 0.0 }
    } else {
        ui.data(|data| data.get_temp(key)).unwrap_or(Drag { pointer_deg: here, left_over_deg: 0.0 })
    };
    let turned = drag.left_over_deg + way_deg(drag.pointer_deg, here);
    let whole = turned.trunc();
    drag = Drag { pointer_deg: here, left_over_deg: turned - whole };
    ui.data_mut(|data| data.insert_temp(key, drag));
    whole
}

fn keyed_deg(ui: &Ui) -> f64 {
    ui.input_mut(|input| {
        let mut by_deg = 0.0;
        for (modifiers, step) in [(Modifiers::SHIFT, 10.0 * KEY_DEG), (Modifiers::NONE, KEY_DEG)] {
            for (key, sign) in [
                (Key::ArrowRight, 1.0),
                (Key::ArrowUp, 1.0),
                (Key::ArrowLeft, -1.0),
                (Key::ArrowDown, -1.0),
            ] {
                let presses = input.count_and_consume_key(modifiers, key);
                by_deg += sign * step * presses as f64;
            }
        }
        by_deg
    })
}

/// What assistive technology asked for.
fn told_deg(ui: &Ui, id: Id, ring_deg: f64) -> f64 {
    ui.input(|input| {
        let count = |action| input.num_accesskit_action_requests(id, action) as f64;
        let steps = count(accesskit::Action::Increment) - count(accesskit::Action::Decrement);
        let set = input
            .accesskit_action_requests(id, accesskit::Action::SetValue)
            .filter_map(|request| match request.data {
                Some(accesskit::ActionData::NumericValue(deg)) if deg.is_finite() => Some(deg),
                _ => None,
            })
            .last();
        KEY_DEG * steps + set.map_or(0.0, |deg| way_deg(ring_deg, deg))
    })
}

fn paint(ui: &Ui, palette: &Palette, dial: &RingDial<'_>, rect: Rect, focused: bool) {
    let painter = ui.painter();
    let (clock, radius) = (ClockChart { middle: rect.center() }, dial.side / 2.0 - 20.0);
    let spoke = |deg: f64, from: f32, to: f32, pen: ChartPen| {
        pen.draw(painter, &[clock.at(deg, from), clock.at(deg, to)]);
    };
    let colour = palette.channel(dial.channel);
    let edge = if focused { palette.here } else { palette.edge };
    marker(painter, clock.middle, Marker::Dot, radius, ChartInk::Edged(palette.raised, edge));
    for ten in 0..36 {
        let deg = f64::from(ten) * 10.0;
        let long = if ten % 3 == 0 { 8.0 } else { 4.0 };
        spoke(deg, radius - long, radius, ChartPen::new(1.0, palette.edge));
        if ten % 9 == 0 {
            let (at, text) = (clock.at(deg, radius + 10.0), format!("{deg:.0}"));
            let font = FontId::proportional(11.0);
            painter.text(at, Align2::CENTER_CENTER, text, font, palette.quiet);
        }
    }
    if let Some(target) = dial.target_deg {
        spoke(target, radius - 12.0, radius + 2.0, ChartPen::new(2.0, palette.here));
    }
    let (at, out) = (clock.at(dial.ring_deg, radius - 6.0), ClockChart::outward(dial.ring_deg));
    turned(painter, at, out, channel_marker(dial.channel), 6.8, ChartInk::Filled(colour));
    spoke(dial.ring_deg, 18.0, radius - 12.0, ChartPen::new(2.0, colour));
    let text = format!("{}°", dial.text);
    painter.text(clock.middle, Align2::CENTER_CENTER, text, theme::mono(15.0), palette.text);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_way_is_the_shorter_one() {
        assert_eq!(way_deg(350.0, 10.0), 20.0);
        assert_eq!(way_deg(10.0, 350.0), -20.0);
    }
}
