//! The ring map: window use over both rings; a press tries a setting.

use egui::{Align2, Color32, FontId, Pos2, Rect, Shape, Stroke, Ui, vec2};
use solver::{Channel, PerChannel};

use super::parts::{Axes, canvas, missing_ui, told_ui};
use super::ring_map::{LEVELS, RingMapPicture, axis};
use crate::app::action::Action;
use crate::theme::Palette;
use crate::widgets::TellOnHover;

/// Room for the numbers of the axes, points.
const LEFT: f32 = 40.0;
const BELOW: f32 = 34.0;
/// Degrees between numbers.
const STEP_DEG: usize = 60;

/// Shows it.
pub fn ring_map_ui(
    ui: &mut Ui,
    palette: &Palette,
    height: f32,
    map: &Result<RingMapPicture, String>,
    actions: &mut Vec<Action>,
) {
    let map = match map {
        Ok(map) => map,
        Err(why) => {
            missing_ui(ui, palette, why);
            return;
        }
    };
    let (all, response) = canvas(ui, 1.0, height, 104.0, &format!("Ring map. {}", map.told));
    let rect = Rect::from_min_max(all.min + vec2(LEFT, 4.0), all.max - vec2(8.0, BELOW));
    let axes = Axes::new(rect, [0.0, 360.0], [0.0, 360.0]);
    let painter = ui.painter();
    for run in &map.runs {
        let low = axes.place([run.left_deg[0], run.right_deg]);
        let high = axes.place([run.left_deg[1], run.right_deg + map.step_deg]);
        painter.rect_filled(Rect::from_two_pos(low, high), 0.0, shade(palette, run.level));
    }
    for [from, to] in &map.outline {
        let ends = [axes.place(*from), axes.place(*to)];
        painter.line_segment(ends, Stroke::new(1.5, palette.inside));
    }
    numbers(ui, palette, rect, &axes);
    for (place, at) in map.crossings.iter().enumerate() {
        let colour = if place == 0 { palette.here } else { palette.quiet };
        diamond(ui, axes.place(*at), 7.0, palette.field, colour);
    }
    if let Some(at) = map.now {
        ui.painter().circle_stroke(axes.place(at), 6.0, Stroke::new(2.0, palette.text));
    }
    if let Some(at) = map.setting {
        if let Some(deg) = map.together_deg {
            let half = deg.min(180.0);
            let corner = |sign: f64| axes.place([at[0] + sign * half, at[1] + sign * half]);
            let square = Rect::from_two_pos(corner(-1.0), corner(1.0));
            let edge = Stroke::new(1.0, palette.here);
            let clipped = ui.painter_at(rect);
            clipped.rect_stroke(square, 0.0, edge, egui::StrokeKind::Middle);
        }
        diamond(ui, axes.place(at), 5.0, palette.here, palette.here);
    }
    if response.clicked()
        && let Some(at) = response.interact_pointer_pos().filter(|at| rect.contains(*at))
    {
        let [left, right] = axes.value(at);
        actions.push(Action::TryRings(PerChannel { left, right }));
    }
    response.tell_on_hover(
        "Press a place to try that pair of ring angles; Alt with the arrows steps the ring of the entry \
         row's channel.",
    );
    told_ui(ui, palette, std::slice::from_ref(&map.told));
    let limits = LEVELS.map(paper::words::percent).join(", ");
    let key = format!(
        "Outline: inside. Shades end at {limits} of the window. Ring: read last. Filled diamond: \
         the setting; square: how far both may slip."
    );
    told_ui(ui, palette, &[key]);
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

fn diamond(ui: &Ui, at: Pos2, half: f32, fill: Color32, edge: Color32) {
    let corners = [vec2(0.0, -half), vec2(half, 0.0), vec2(0.0, half), vec2(-half, 0.0)];
    let points = corners.into_iter().map(|corner| at + corner).collect();
    ui.painter().add(Shape::convex_polygon(points, fill, Stroke::new(1.5, edge)));
}

fn numbers(ui: &Ui, palette: &Palette, rect: Rect, axes: &Axes) {
    let painter = ui.painter();
    painter.rect_stroke(rect, 0.0, Stroke::new(1.0, palette.edge), egui::StrokeKind::Outside);
    let font = FontId::proportional(11.5);
    for deg in (0..=360).step_by(STEP_DEG) {
        let at = deg as f64;
        let across = egui::pos2(axes.x.place(at), rect.bottom() + 3.0);
        painter.text(across, Align2::CENTER_TOP, deg, font.clone(), palette.quiet);
        let up = egui::pos2(rect.left() - 4.0, axes.y.place(at));
        painter.text(up, Align2::RIGHT_CENTER, deg, font.clone(), palette.quiet);
    }
    let name = FontId::proportional(12.5);
    let below = egui::pos2(rect.center().x, rect.bottom() + BELOW - 2.0);
    let (left, right) = (axis(Channel::Left), axis(Channel::Right));
    painter.text(below, Align2::CENTER_BOTTOM, left, name.clone(), palette.left);
    let above = egui::pos2(rect.left() + 6.0, rect.top() + 4.0);
    painter.text(above, Align2::LEFT_TOP, right, name, palette.right);
}
