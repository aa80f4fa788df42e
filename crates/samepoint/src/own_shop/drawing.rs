//! What the numbers of a form mean, drawn as they stand: a station's graticules, a window's box, a housing's pods.

use egui::{Align2, Rect, Sense, Ui, vec2};
use paper::style::Marker;
use record::{Adjustment, Housing};
use solver::{Channel, Direction};

use super::form::{Form, KeptKind};
use crate::theme::Palette;
use crate::widgets::chart::{
    Chart, ChartInk, ChartPen, ClockChart, Map, channel_marker, empty_ui, room_ui,
};

/// Height of a drawing, points.
const HEIGHT: f32 = 176.0;

/// How high its drawing is; 0: there is nothing to draw.
pub(crate) const fn drawing_height(form: &Form) -> f32 {
    match form.of {
        KeptKind::Letterhead
        | KeptKind::HeadPicture
        | KeptKind::Wording
        | KeptKind::Hand
        | KeptKind::Camera => 0.0,
        KeptKind::Station | KeptKind::Window | KeptKind::Housing => HEIGHT,
    }
}

/// Draws it.
pub(crate) fn drawing_ui(ui: &mut Ui, palette: &Palette, form: &Form) {
    match form.of {
        KeptKind::Letterhead
        | KeptKind::HeadPicture
        | KeptKind::Wording
        | KeptKind::Hand
        | KeptKind::Camera => {}
        KeptKind::Station => station_ui(ui, palette, form),
        KeptKind::Window => window_ui(ui, palette, form),
        KeptKind::Housing => housing_ui(ui, palette, form),
    }
}

const NOT_YET: &str = "Drawn here as soon as its numbers are numbers.";

/// Both graticules as the user sees them: where the numbers run, which way x and y grow, where boresight is.
fn station_ui(ui: &mut Ui, palette: &Palette, form: &Form) {
    ui.columns_const(|columns: &mut [Ui; 2]| {
        for (channel, ui) in Channel::BOTH.into_iter().zip(columns) {
            let Some((map, lines)) = form.map(channel) else {
                empty_ui(ui, palette, NOT_YET);
                continue;
            };
            let [x, y] =
                lines.map_or([[-10.0, 10.0]; 2], |lines| [lines.x_divisions, lines.y_divisions]);
            let at = |divisions: [f64; 2]| {
                let there = map.direction_from_divisions(divisions);
                [there.x_arcmin, there.y_arcmin]
            };
            let corners = [[x[0], y[0]], [x[1], y[0]], [x[1], y[1]], [x[0], y[1]]].map(at);
            let telling = format!(
                "{channel} channel, as the user sees it: x grows {}, y grows {}.",
                way(at([1.0, 0.0]), at([0.0, 0.0])),
                way(at([0.0, 1.0]), at([0.0, 0.0])),
            );
            let (room, _) =
                room_ui(ui, vec2(ui.available_width(), HEIGHT), Sense::hover(), &telling);
            let mut chart = Chart::new(ui, palette, room, round(room, &corners));
            chart.field(palette.well);
            chart.outline(corners, ChartPen::new(1.5, palette.edge));
            let ink = palette.drawn(channel);
            let middle = [f64::midpoint(x[0], x[1]), f64::midpoint(y[0], y[1])];
            let pen = ChartPen::new(2.0, ink).of(channel);
            chart.arrow(at([x[0], middle[1]]), at([x[1], middle[1]]), pen);
            chart.arrow(at([middle[0], y[0]]), at([middle[0], y[1]]), pen);
            for (end, name) in [([x[1], middle[1]], "x"), ([middle[0], y[1]], "y")] {
                let place = chart.place(at(end));
                chart.words(place, Align2::LEFT_BOTTOM, &format!(" {name}"), palette.text);
            }
            chart.mark([0.0, 0.0], channel_marker(channel), 4.0, ChartInk::Open(palette.here));
            let name = channel.word();
            chart.words(room.left_top() + vec2(4.0, 2.0), Align2::LEFT_TOP, name, palette.quiet);
        }
    });
}

/// Which way something goes, as the user sees it.
fn way(to: [f64; 2], from: [f64; 2]) -> &'static str {
    let [x, y] = [to[0] - from[0], to[1] - from[1]];
    match (x.abs() >= y.abs(), x > 0.0, y > 0.0) {
        (true, true, _) => "to the right",
        (true, false, _) => "to the left",
        (false, _, true) => "up",
        (false, _, false) => "down",
    }
}

/// The box round the left crosshair at boresight, with a right crosshair that just passes each way.
fn window_ui(ui: &mut Ui, palette: &Palette, form: &Form) {
    let Some(window) = form.limits() else { return empty_ui(ui, palette, NOT_YET) };
    let corners =
        window.corners_round_left(Direction::BORESIGHT).map(|at| [at.x_arcmin, at.y_arcmin]);
    let telling = format!(
        "Left crosshair in the middle. The right one may lie up to {}′ to its left (the eyes converge), {}′ to its \
         right (they diverge), {}′ above or below it.",
        window.convergence_arcmin(),
        window.divergence_arcmin(),
        window.dipvergence_arcmin()
    );
    let (room, _) = room_ui(ui, vec2(ui.available_width(), HEIGHT), Sense::hover(), &telling);
    let bore = window.boresight_arcmin().unwrap_or(0.0);
    let mut all = corners.to_vec();
    all.extend([[-bore, -bore], [bore, bore]]);
    let mut chart = Chart::new(ui, palette, room, round(room, &all));
    chart.field(palette.well);
    if bore > 0.0 {
        chart.circle([0.0, 0.0], bore, ChartPen::new(1.0, palette.quiet).fine());
    }
    chart.outline(corners, ChartPen::new(1.5, palette.here).dashed());
    chart.crosshair(
        [0.0, 0.0],
        5.0,
        ChartPen::new(1.5, palette.drawn(Channel::Left)).of(Channel::Left),
    );
    // An example well inside: a third of the way to the divergence and dipvergence limits.
    let example = [window.divergence_arcmin() / 3.0, window.dipvergence_arcmin() / 3.0];
    chart.crosshair(
        example,
        5.0,
        ChartPen::new(1.5, palette.drawn(Channel::Right)).of(Channel::Right),
    );
    let [left, bottom] =
        corners.iter().fold([f64::INFINITY; 2], |low, at| [low[0].min(at[0]), low[1].min(at[1])]);
    let [right, top] = corners
        .iter()
        .fold([f64::NEG_INFINITY; 2], |high, at| [high[0].max(at[0]), high[1].max(at[1])]);
    for (at, align, text) in [
        ([left, bottom], Align2::LEFT_TOP, "converge"),
        ([right, bottom], Align2::RIGHT_TOP, "diverge"),
        ([right, top], Align2::RIGHT_BOTTOM, "dipvergence"),
    ] {
        let place = chart.place(at);
        chart.words(place, align, text, palette.quiet);
    }
    let key = if bore > 0.0 {
        "circle: boresight limit of both together"
    } else {
        "boresight not limited"
    };
    chart.words(room.left_top() + vec2(4.0, 2.0), Align2::LEFT_TOP, key, palette.quiet);
}

/// Both pods seen from the eye side, at the least and the greatest distance, their hinges, and where shims go.
fn housing_ui(ui: &mut Ui, palette: &Palette, form: &Form) {
    let Some(housing) = form.housing() else { return empty_ui(ui, palette, NOT_YET) };
    let telling = telling(&housing);
    let (room, _) = room_ui(ui, vec2(ui.available_width(), HEIGHT), Sense::hover(), &telling);
    let [narrow, wide] =
        housing.ipd_range_mm.filter(|[low, high]| low < high).unwrap_or([56.0, 74.0]);
    let (near, far) = (housing.pods_mm(narrow), housing.pods_mm(wide));
    let reach = wide * 0.85;
    let all = [[-reach, -reach * 0.6], [reach, reach * 0.6]];
    let mut chart = Chart::new(ui, palette, room, round(room, &all));
    chart.field(palette.well);
    let radius = narrow * 0.3;
    for channel in Channel::BOTH {
        chart.circle(far[channel], radius, ChartPen::new(1.0, palette.quiet).of(channel).fine());
        let ink = palette.drawn(channel);
        let at = near[channel];
        chart.circle(at, radius, ChartPen::new(2.0, ink).of(channel));
        chart.mark(at, channel_marker(channel), 3.5, ChartInk::Filled(ink));
        if let Some(hinges) = housing.hinges_mm() {
            chart.line([hinges[channel], at], ChartPen::new(1.5, palette.text));
            chart.mark(hinges[channel], Marker::Diamond, 4.0, ChartInk::Open(palette.text));
        }
        let [radius_pt, _] = chart.map.lengths(radius);
        let clock = ClockChart { middle: chart.place(at) };
        for deg in housing.seat.iter().flat_map(|seat| &seat.clock_deg) {
            let dot = chart.map.value(clock.at(*deg, radius_pt));
            chart.mark(dot, Marker::Dot, 3.5, ChartInk::Filled(palette.here));
        }
    }
    let key = match housing.adjustment {
        Adjustment::Hinge(_) => "from the eye side · diamonds: hinges · dots: shims · fine: widest",
        Adjustment::Slide => "from the eye side · pods slide · dots: shims · fine: widest",
        Adjustment::Unknown => "from the eye side · how the pods move is not said · dots: shims",
    };
    chart.words(room.left_top() + vec2(4.0, 2.0), Align2::LEFT_TOP, key, palette.quiet);
}

fn telling(housing: &Housing) -> String {
    let seats = housing.seat.as_ref().map_or_else(
        || "no seat for shims is said".to_owned(),
        |seat| {
            let clocks: Vec<String> =
                seat.clock_deg.iter().map(|deg| paper::words::degrees(*deg, 1.0)).collect();
            format!("shims go at {}, clockwise from up, seen from the eye side", clocks.join(", "))
        },
    );
    let moves = match housing.adjustment {
        Adjustment::Hinge(hinge) if hinge.pods_above => "pods stand above their hinges",
        Adjustment::Hinge(_) => "pods hang below their hinges",
        Adjustment::Slide => "pods slide",
        Adjustment::Unknown => "how the pods move is not said",
    };
    format!("Both pods from the eye side: {moves}; {seats}.")
}

/// A map that holds all these points, one scale both ways.
fn round(room: Rect, points: &[[f64; 2]]) -> Map {
    let of = |axis: usize| {
        let values =
            points.iter().filter_map(|at| at.get(axis)).copied().filter(|value| value.is_finite());
        let [low, high] =
            values.fold([0.0_f64, 0.0], |[low, high], value| [low.min(value), high.max(value)]);
        if low < high { [low, high] } else { [-1.0, 1.0] }
    };
    Map::equal(room, 22.0, of(0), of(1))
}
