//! A chart whose points open their sessions: by a press, or by the keyboard, arrows stepping from point
//! to point and Enter opening.

use paper::chart::ChartLook;
use std::hash::Hash;

use egui::accesskit::Role;
use egui::{Align2, Color32, Id, Pos2, Rect, Sense, Ui, WidgetInfo, pos2, vec2};
use paper::style::Marker;

use crate::places::shop::chart::{Leads, ShopChart as Picture};
use crate::theme::Palette;
use crate::widgets::chart::{
    Chart, ChartInk, ChartPen, Map, Numbers, PointAtHand, fitted, within_axes,
};

/// Heights of a flat chart and of one true to shape, at most, points.
const FLAT: f32 = 276.0;
const SQUARE: f32 = 456.0;
/// Height of the line that says what is chosen.
const HINT: f32 = 20.0;

/// Shows it; where the point leads that a hand asks for, if it does, and whether a hand is at it.
pub(crate) fn chart_ui(
    ui: &mut Ui,
    palette: &Palette,
    salt: impl Hash + std::fmt::Debug,
    picture: &Picture,
    width: f32,
) -> (Option<Leads>, bool) {
    let [x, y] = picture.extent;
    let shape = picture.true_shape.then(|| ((x[1] - x[0]) / (y[1] - y[0])) as f32);
    let field = |room: Rect| {
        let all = within_axes(room);
        shape.map_or(all, |shape| fitted(all, shape))
    };
    // A chart true to shape that is as wide as there is room needs less height.
    // A taller window gives its charts more, and leaves room to read what they tell.
    let tall = 0.55 * ui.ctx().content_rect().height();
    let height = if picture.true_shape { SQUARE.max(tall) } else { FLAT.max(0.7 * tall) };
    let most = vec2(width, height);
    let most = Rect::from_min_size(Pos2::ZERO, most);
    let spare = within_axes(most).height() - field(most).height();
    let size = vec2(width, most.height() - spare + HINT);
    let (all, _) = ui.allocate_exact_size(size, Sense::hover());
    let field = field(all.with_max_y(all.bottom() - HINT));
    let response = ui.interact(field, Id::unique(("shop chart", salt)), Sense::click());
    let telling = format!("{}. {}", picture.title, picture.told.join(" "));
    response.widget_info(|| WidgetInfo::labeled(Role::Canvas, true, &telling));
    let mut chart = Chart::new(ui, palette, all, Map::new(field, x, y));
    chart.field(palette.field);
    chart.frame(if response.has_focus() { palette.here } else { palette.line });
    let [across, up] = &picture.names;
    chart.names([across, up], [palette.quiet; 2]);
    let [along_x, along_y] = &picture.marks;
    chart.across(Numbers::Grid, along_x.iter().cloned());
    chart.up(Numbers::Grid, along_y.iter().cloned());
    for (at, what) in &picture.limits {
        chart.level(*at, ChartPen::new(1.5, palette.look));
        let place = chart.place([x[1], *at]);
        let above = pos2(place.x - 6.0, place.y - 2.0);
        chart.words(above, Align2::RIGHT_BOTTOM, what, palette.look);
    }
    curves(&chart, picture);
    let places: Vec<[f64; 2]> = picture.points.iter().map(|point| point.at).collect();
    let PointAtHand { at, asked } = chart.chosen(ui, &response, &places);
    for (index, point) in picture.points.iter().enumerate() {
        let pen = ChartPen::new(1.5, colour(palette, point.look));
        if let Some(ends) = point.interval {
            chart.line(ends.map(|y| [point.at[0], y]), pen);
        }
        mark(&chart, point.at, point.look, ChartInk::Open);
        if at == Some(index) {
            chart.mark(point.at, Marker::Dot, 8.0, ChartInk::Open(palette.here));
        }
    }
    let words = at.and_then(|index| picture.points.get(index)).map(|point| point.words.as_str());
    let hint = words.unwrap_or("Press a point to go to its session; arrows and Enter do it too.");
    let ink = if words.is_some() { palette.here } else { palette.quiet };
    let below = pos2(field.left(), all.bottom() - HINT / 2.0);
    chart.words(below, Align2::LEFT_CENTER, hint, ink);
    let leads = asked.and_then(|index| picture.points.get(index)).map(|point| point.leads);
    (leads, response.has_focus() || response.contains_pointer())
}

const fn colour(palette: &Palette, look: ChartLook) -> Color32 {
    match look {
        ChartLook::Left => palette.left,
        ChartLook::Right => palette.right,
        ChartLook::Plain => palette.here,
        ChartLook::Quiet => palette.quiet,
    }
}

fn curves(chart: &Chart<'_>, picture: &Picture) {
    for curve in &picture.curves {
        let pen = ChartPen::new(1.5, colour(chart.palette, curve.look));
        chart.line(curve.points.iter().copied(), if curve.dashed { pen.dashed() } else { pen });
        // A channel's curve carries its mark at the top: two hues alone would not tell them apart.
        if matches!(curve.look, ChartLook::Left | ChartLook::Right)
            && let Some(top) = curve.points.iter().max_by(|a, b| a[1].total_cmp(&b[1]))
        {
            mark(chart, *top, curve.look, ChartInk::Filled);
        }
    }
}

/// A square for left, a triangle for right, a dot for what belongs to neither.
fn mark(chart: &Chart<'_>, at: [f64; 2], look: ChartLook, ink: fn(Color32) -> ChartInk) {
    let colour = colour(chart.palette, look);
    match look {
        ChartLook::Left => chart.mark(at, Marker::Square, 4.0, ink(colour)),
        ChartLook::Right => chart.mark(at, Marker::Triangle, 4.0, ink(colour)),
        ChartLook::Plain | ChartLook::Quiet => {
            chart.mark(at, Marker::Dot, 3.5, ChartInk::Filled(colour));
        }
    }
}
