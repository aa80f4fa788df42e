//! Window use over the pods' swing.

use egui::{Align2, FontId, Pos2, Rect, Shape, Stroke, Ui, vec2};

use super::over_swing::{SwingPicture, Swings};
use super::parts::{Axes, canvas, missing_ui, told_ui};
use crate::theme::Palette;

/// Room for the numbers of the axes, points.
const LEFT: f32 = 48.0;
const BELOW: f32 = 36.0;

/// Shows it.
pub fn swing_ui(ui: &mut Ui, palette: &Palette, height: f32, swing: &Result<SwingPicture, String>) {
    let swing = match swing {
        Ok(swing) => swing,
        Err(why) => {
            missing_ui(ui, palette, why);
            return;
        }
    };
    let telling = format!("Window use over the swing. {}", swing.told.join(" "));
    let (all, _) = canvas(ui, 1.4, height, 40.0 * swing.told.len() as f32 + 48.0, &telling);
    let rect = Rect::from_min_max(all.min + vec2(LEFT, 6.0), all.max - vec2(12.0, BELOW));
    let points = || swing.curves.iter().flat_map(|curve| curve.points.iter());
    let span = |axis: usize| {
        points().fold([f64::INFINITY, f64::NEG_INFINITY], |[low, high], at| {
            [low.min(at[axis]), high.max(at[axis])]
        })
    };
    let [low, high] = span(0);
    // The limit is always in sight.
    let top = span(1)[1].clamp(1.2, 10.0) * 1.05;
    let axes = Axes::new(rect, [low, high], [0.0, top]);
    frame(ui, palette, rect, &axes, swing, [low, high], top);
    let painter = ui.painter_at(rect.expand(2.0));
    for curve in &swing.curves {
        let line: Vec<Pos2> = curve.points.iter().map(|&at| axes.place(at)).collect();
        match curve.what {
            Swings::Setting => painter.add(Shape::line(line, Stroke::new(3.0, palette.here))),
            Swings::Nearer => painter.add(Shape::line(line, Stroke::new(1.5, palette.inside))),
            Swings::Farther => {
                painter.extend(Shape::dashed_line(&line, Stroke::new(1.5, palette.look), 7.0, 4.0));
                continue;
            }
        };
    }
    let key = "Thick: the setting. Thin: the nearer crossing. Dashed: the farther. Dotted upright: where \
               the readings were taken.";
    told_ui(ui, palette, &swing.told);
    told_ui(ui, palette, &[key.to_owned()]);
}

fn frame(
    ui: &Ui,
    palette: &Palette,
    rect: Rect,
    axes: &Axes,
    swing: &SwingPicture,
    [low, high]: [f64; 2],
    top: f64,
) {
    let painter = ui.painter();
    let (line, font) = (Stroke::new(1.0, palette.line), FontId::proportional(11.5));
    painter.rect_filled(rect, 0.0, palette.field);
    let every = if top > 3.0 { 1.0 } else { 0.25 };
    let mut used = 0.0;
    while used <= top {
        let at = axes.y.place(used);
        painter.hline(rect.x_range(), at, line);
        let text = paper::words::percent(used);
        let place = egui::pos2(rect.left() - 4.0, at);
        painter.text(place, Align2::RIGHT_CENTER, text, font.clone(), palette.quiet);
        used += every;
    }
    let limit = axes.y.place(1.0);
    let ends = [egui::pos2(rect.left(), limit), egui::pos2(rect.right(), limit)];
    painter.extend(Shape::dashed_line(&ends, Stroke::new(1.5, palette.text), 3.0, 3.0));
    for k in 0..=4 {
        let value = low + (high - low) * f64::from(k) / 4.0;
        let place = egui::pos2(axes.x.place(value), rect.bottom() + 3.0);
        let text = paper::words::number(value, 0);
        painter.text(place, Align2::CENTER_TOP, text, font.clone(), palette.quiet);
    }
    let read_at = axes.x.place(swing.read_at);
    let ends = [egui::pos2(read_at, rect.top()), egui::pos2(read_at, rect.bottom())];
    painter.extend(Shape::dotted_line(&ends, palette.quiet, 5.0, 1.2));
    let below = egui::pos2(rect.center().x, rect.bottom() + BELOW);
    let name = FontId::proportional(12.5);
    painter.text(below, Align2::CENTER_BOTTOM, swing.across, name, palette.quiet);
    painter.rect_stroke(rect, 0.0, Stroke::new(1.0, palette.edge), egui::StrokeKind::Outside);
}
