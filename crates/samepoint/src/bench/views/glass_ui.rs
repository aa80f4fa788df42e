//! Through the glass: what the station's eyepiece should show.

use egui::{Align2, Color32, FontId, Painter, Pos2, Shape, Stroke, Ui, vec2};
use solver::Channel;

use super::glass::GlassPicture;
use super::parts::{Axes, canvas, missing_ui, told_ui};
use crate::theme::Palette;

/// Steps between marks of the scale, divisions; the least that leaves room is taken.
const STEPS: [f64; 8] = [1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 500.0];

/// Shows it.
pub fn glass_ui(ui: &mut Ui, palette: &Palette, height: f32, glass: &Result<GlassPicture, String>) {
    let glass = match glass {
        Ok(glass) => glass,
        Err(why) => {
            missing_ui(ui, palette, why);
            return;
        }
    };
    let (across, up) = (glass.x[1] - glass.x[0], glass.y[1] - glass.y[0]);
    let shape = (across / up).clamp(0.2, 5.0) as f32;
    let below = 24.0 * (glass.told.len() as f32 + 2.5);
    let telling = format!("Through the glass. {}", glass.told.join(" "));
    let (rect, _) = canvas(ui, shape, height, below, &telling);
    field_ui(ui, palette, rect, glass);
    told_ui(ui, palette, &glass.told);
    let key = "Left: whole lines; right: dashed. Small rings: where each should go. Dashed box: where the \
               right crosshair may lie.";
    told_ui(ui, palette, &[key.to_owned()]);
}

/// The graticule with both crosshairs on it.
pub(crate) fn field_ui(ui: &Ui, palette: &Palette, rect: egui::Rect, glass: &GlassPicture) {
    let axes = Axes::new(rect, glass.x, glass.y);
    let painter = ui.painter_at(rect.expand(1.0));
    painter.rect_filled(rect, 0.0, palette.well);
    let edge = if glass.bounded { palette.edge } else { palette.line };
    graticule(&painter, palette, &axes, glass);
    painter.rect_stroke(rect, 0.0, Stroke::new(1.0, edge), egui::StrokeKind::Inside);
    if glass.window.len() > 2 {
        let mut corners: Vec<Pos2> = glass.window.iter().map(|&at| axes.place(at)).collect();
        corners.extend(corners.first().copied());
        painter.extend(Shape::dashed_line(&corners, Stroke::new(1.5, palette.here), 6.0, 4.0));
    }
    for channel in Channel::BOTH {
        let colour = palette.drawn(channel);
        if let Some(at) = glass.target[channel] {
            painter.circle_stroke(axes.place(at), 7.0, Stroke::new(1.0, palette.quiet));
        }
        if let Some(at) = glass.crosshair[channel] {
            crosshair(&painter, rect, axes.place(at), channel, colour);
        }
    }
}

/// The lines and numbers of the graticule.
fn graticule(painter: &Painter, palette: &Palette, axes: &Axes, glass: &GlassPicture) {
    let stroke = Stroke::new(1.0, palette.line);
    let (rect, font) = (painter.clip_rect(), FontId::proportional(11.0));
    let pt_per_division = f64::from(rect.width()) / (glass.x[1] - glass.x[0]);
    let step = STEPS.into_iter().find(|step| step * pt_per_division >= 40.0).unwrap_or(1000.0);
    let marks = |[low, high]: [f64; 2]| {
        let first = (low / step).ceil() as i64;
        let last = (high / step).floor() as i64;
        (first..=last.min(first + 200)).map(move |k| k as f64 * step)
    };
    for x in marks(glass.x) {
        let at = axes.x.place(x);
        painter.vline(at, rect.y_range(), stroke);
        // The last has no room beside its line, the first stands in the corner of the other scale.
        if at + 24.0 > rect.right() || at < rect.left() + 12.0 {
            continue;
        }
        let text = paper::words::number(x, 0);
        let place = egui::pos2(at + 2.0, rect.bottom() - 2.0);
        painter.text(place, Align2::LEFT_BOTTOM, text, font.clone(), palette.quiet);
    }
    for y in marks(glass.y) {
        let at = axes.y.place(y);
        painter.hline(rect.x_range(), at, stroke);
        if at < rect.top() + 12.0 {
            continue;
        }
        let text = paper::words::number(y, 0);
        let place = egui::pos2(rect.left() + 3.0, at);
        painter.text(place, Align2::LEFT_BOTTOM, text, font.clone(), palette.quiet);
    }
    for channel in Channel::BOTH {
        let at = axes.place(glass.boresight[channel]);
        painter.circle_stroke(at, 3.0, Stroke::new(1.0, palette.text));
    }
}

/// A crosshair across the whole field, open in the middle.
fn crosshair(painter: &Painter, rect: egui::Rect, at: Pos2, channel: Channel, colour: Color32) {
    let stroke = Stroke::new(2.0, colour);
    let gap = 5.0;
    let arms = [
        [Pos2::new(rect.left(), at.y), at - vec2(gap, 0.0)],
        [at + vec2(gap, 0.0), Pos2::new(rect.right(), at.y)],
        [Pos2::new(at.x, rect.top()), at - vec2(0.0, gap)],
        [at + vec2(0.0, gap), Pos2::new(at.x, rect.bottom())],
    ];
    for arm in arms {
        match channel {
            Channel::Left => {
                painter.line_segment(arm, stroke);
            }
            Channel::Right => {
                painter.extend(Shape::dashed_line(&arm, stroke, 9.0, 5.0));
            }
        }
    }
}
