//! Window use over the pods' swing.

use egui::Ui;
use paper::words::{number, percent};

use super::missing::NothingToShow;
use super::over_swing::{SwingView, Swings};
use crate::theme::Palette;
use crate::widgets::chart::{
    Chart, ChartPen, Map, Numbers, around, canvas_ui, empty_ui, key_ui, told_ui, within_axes,
};

/// Shows it.
pub(crate) fn swing_ui(
    ui: &mut Ui,
    palette: &Palette,
    height: f32,
    swing: &Result<SwingView, NothingToShow>,
) {
    let swing = match swing {
        Ok(swing) => swing,
        Err(why) => return empty_ui(ui, palette, &why.to_string()),
    };
    let telling = format!("Window use over the swing. {}", swing.told.join(" "));
    let below = 40.0 * swing.told.len() as f32 + 48.0;
    let (room, _) = canvas_ui(ui, height, below, &telling);
    let of = |axis: usize| {
        let points = swing.curves.iter().flat_map(|curve| curve.points.iter());
        around(points.map(move |at| at[axis]), 0.0).unwrap_or_default()
    };
    let ([low, high], [_, highest]) = (of(0), of(1));
    // The limit is always in sight.
    let top = highest.clamp(1.2, 10.0) * 1.05;
    let map = Map::new(within_axes(room), [low, high], [0.0, top]);
    let mut chart = Chart::new(ui, palette, room, map);
    chart.field(palette.field);
    chart.names([swing.across, "window use"], [palette.quiet; 2]);
    let every = if top > 3.0 { 1.0 } else { 0.25 };
    let steps = (0_u8..=40).map(|k| f64::from(k) * every);
    chart.up(Numbers::Grid, steps.map(|used| (used, percent(used))));
    let fifths = [0.0, 0.25, 0.5, 0.75, 1.0].map(|share| low + share * (high - low));
    chart.across(Numbers::Plain, fifths.map(|value| (value, number(value, 0))));
    chart.level(1.0, ChartPen::new(1.5, palette.text).fine());
    chart.upright(swing.read_at, ChartPen::new(1.5, palette.quiet).dotted());
    for curve in &swing.curves {
        let pen = match curve.what {
            Swings::Setting => ChartPen::new(3.0, palette.here),
            Swings::Nearer => ChartPen::new(1.5, palette.inside),
            Swings::Farther => ChartPen::new(1.5, palette.look).dashed(),
        };
        chart.line(curve.points.iter().copied(), pen);
    }
    chart.frame(palette.edge);
    told_ui(ui, palette, &swing.told);
    let key = "Thick: the setting. Thin: the nearer crossing. Dashed: the farther. Short dashes: the limit. \
               Dotted upright: where the readings were taken.";
    key_ui(ui, palette, key);
}
