//! Through the glass: what the station's eyepiece should show.

use egui::{Rect, Ui};
use paper::style::Marker;
use solver::Channel;

use super::glass::GlassView;
use super::missing::NothingToShow;
use crate::theme::Palette;
use crate::widgets::chart::{
    Chart, ChartInk, ChartPen, Map, Numbers, canvas_ui, empty_ui, fitted, key_ui, round_marks,
    round_step, told_ui,
};

/// Points between marks of the scale, at least.
const APART: f64 = 40.0;

/// Shows it.
pub(crate) fn glass_ui(
    ui: &mut Ui,
    palette: &Palette,
    height: f32,
    glass: &Result<GlassView, NothingToShow>,
) {
    let glass = match glass {
        Ok(glass) => glass,
        Err(why) => return empty_ui(ui, palette, &why.to_string()),
    };
    let (across, up) = (glass.x[1] - glass.x[0], glass.y[1] - glass.y[0]);
    let below = 24.0 * (glass.told.len() as f32 + 2.5);
    let telling = format!("Through the glass. {}", glass.told.join(" "));
    let (room, _) = canvas_ui(ui, height, below, &telling);
    field_ui(ui, palette, fitted(room, (across / up).clamp(0.2, 5.0) as f32), glass);
    told_ui(ui, palette, &glass.told);
    let key = "Left: whole lines; right: dashed. Small rings: where each should go. Dashed box: where the \
               right crosshair may lie.";
    key_ui(ui, palette, key);
}

/// The graticule with both crosshairs on it.
pub(crate) fn field_ui(ui: &Ui, palette: &Palette, rect: Rect, glass: &GlassView) {
    let mut chart = Chart::new(ui, palette, rect, Map::new(rect, glass.x, glass.y));
    chart.field(palette.well);
    let [least, _] = chart.map.lengths(1.0);
    let step = round_step(APART / f64::from(least)).unwrap_or(1000.0).max(1.0);
    chart.across(Numbers::Inside(2.0), round_marks(glass.x, step));
    chart.up(Numbers::Inside(3.0), round_marks(glass.y, step));
    for channel in Channel::BOTH {
        chart.mark(glass.boresight[channel], Marker::Dot, 3.0, ChartInk::Open(palette.text));
    }
    chart.frame(if glass.bounded { palette.edge } else { palette.line });
    if glass.window.len() > 2 {
        chart.outline(glass.window.iter().copied(), ChartPen::new(1.5, palette.here).dashed());
    }
    for channel in Channel::BOTH {
        if let Some(at) = glass.target[channel] {
            chart.mark(at, Marker::Dot, 7.0, ChartInk::Open(palette.quiet));
        }
        if let Some(at) = glass.crosshair[channel] {
            chart.crosshair(at, 5.0, ChartPen::new(2.0, palette.drawn(channel)).of(channel));
        }
    }
}
