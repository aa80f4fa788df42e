//! The ring map: window use over both rings; a press tries a setting.

use egui::{Color32, Ui};
use paper::style::Marker;
use solver::{Channel, PerChannel};

use super::missing::NothingToShow;
use super::ring_map::{LEVELS, RingMapView, axis};
use crate::app::action::Action;
use crate::theme::Palette;
use crate::widgets::TellOnHover;
use crate::widgets::chart::{
    Chart, ChartInk, ChartPen, Map, Numbers, canvas_ui, empty_ui, fitted, key_ui, round_marks,
    within_axes,
};

/// Both axes, and degrees between their numbers.
const TURN_DEG: [f64; 2] = [0.0, 360.0];
const STEP_DEG: f64 = 60.0;

/// Shows it.
pub(crate) fn ring_map_ui(
    ui: &mut Ui,
    palette: &Palette,
    height: f32,
    map: &Result<RingMapView, NothingToShow>,
    actions: &mut Vec<Action>,
) {
    let map = match map {
        Ok(map) => map,
        Err(why) => return empty_ui(ui, palette, &why.to_string()),
    };
    let (room, response) = canvas_ui(ui, height, 104.0, &format!("Ring map. {}", map.told));
    let rect = fitted(within_axes(room), 1.0);
    let mut chart = Chart::new(ui, palette, room, Map::new(rect, TURN_DEG, TURN_DEG));
    for run in &map.runs {
        let [from, to] = run.left_deg;
        let high = [to, run.right_deg + map.step_deg];
        chart.filled([from, run.right_deg], high, shade(palette, run.level));
    }
    for piece in &map.outline {
        chart.line(*piece, ChartPen::new(1.5, palette.inside));
    }
    chart.frame(palette.edge);
    let names = [axis(Channel::Left), axis(Channel::Right)];
    chart.names(names, [palette.left, palette.right]);
    chart.across(Numbers::Plain, round_marks(TURN_DEG, STEP_DEG));
    chart.up(Numbers::Plain, round_marks(TURN_DEG, STEP_DEG));
    for (place, at) in map.crossings.iter().enumerate() {
        let colour = if place == 0 { palette.here } else { palette.quiet };
        chart.mark(*at, Marker::Diamond, 7.0, ChartInk::Edged(palette.field, colour));
    }
    if let Some(at) = map.now {
        chart.mark(at, Marker::Dot, 6.0, ChartInk::Open(palette.text));
    }
    if let Some([left, right]) = map.setting {
        if let Some(deg) = map.together_deg {
            let half = deg.min(180.0);
            let (low, high) = ([left - half, right - half], [left + half, right + half]);
            chart.square(low, high, ChartPen::new(1.0, palette.here));
        }
        chart.mark([left, right], Marker::Diamond, 5.0, ChartInk::Filled(palette.here));
    }
    if response.clicked()
        && let Some(at) = response.interact_pointer_pos().filter(|at| rect.contains(*at))
    {
        let [left, right] = chart.map.value(at);
        actions.push(Action::TryRings(PerChannel { left, right }));
    }
    response.tell_on_hover(
        "Press a place to try that pair of ring angles; Alt with the arrows steps the ring of the entry \
         row's channel.",
    );
    key_ui(ui, palette, &map.told);
    let limits = LEVELS.map(paper::words::percent).join(", ");
    let key = format!(
        "Outline: inside. Shades end at {limits} of the window. Ring: read last. Filled diamond: \
         the setting; square: how far both may slip."
    );
    key_ui(ui, palette, &key);
}

/// Lighter is better.
fn shade(palette: &Palette, level: usize) -> Color32 {
    match level {
        0 => palette.wash_edge(palette.inside),
        1 => palette.wash(palette.inside),
        2 => palette.line,
        3 => palette.raised,
        _ => palette.well,
    }
}
