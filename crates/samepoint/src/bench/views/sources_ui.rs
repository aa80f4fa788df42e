//! Where errors come from: each part's share of a circle's centre as an arrow from nought.

use egui::{Align2, Color32, FontId, Rect, Shape, Stroke, Ui, vec2};
use solver::Channel;

use super::parts::{Axes, canvas, missing_ui, told_ui};
use super::sources::{Arrow, Source, SourcesPicture};
use crate::theme::Palette;
use crate::widgets::{Tone, message_ui};

/// Shows it.
pub fn sources_ui(
    ui: &mut Ui,
    palette: &Palette,
    height: f32,
    sources: &Result<SourcesPicture, String>,
) {
    let sources = match sources {
        Ok(sources) => sources,
        Err(why) => {
            missing_ui(ui, palette, why);
            return;
        }
    };
    let telling = format!("Where errors come from. {} {}", sources.told.join(" "), sources.next);
    let below = 26.0 * sources.told.len() as f32 + 90.0;
    let (rect, _) = canvas(ui, 1.4, height, below, &telling);
    draw(ui, palette, rect, &sources.arrows);
    told_ui(ui, palette, &sources.told);
    message_ui(ui, palette, Tone::Plain, &sources.next, false);
}

fn draw(ui: &Ui, palette: &Palette, rect: Rect, arrows: &[Arrow]) {
    let painter = ui.painter_at(rect);
    painter.rect_filled(rect, 0.0, palette.field);
    let reach = arrows.iter().map(|arrow| arrow.value.boresight_arcmin()).fold(1.0, f64::max);
    // Room for the names beside the tips.
    let up = 1.3 * reach;
    let across = up * f64::from(rect.width() / rect.height());
    let axes = Axes::new(rect, [-across, across], [-up, up]);
    let middle = axes.place([0.0, 0.0]);
    painter.hline(rect.x_range(), middle.y, Stroke::new(1.0, palette.line));
    painter.vline(middle.x, rect.y_range(), Stroke::new(1.0, palette.line));
    for arrow in arrows {
        let tip = axes.place([arrow.value.x_arcmin, arrow.value.y_arcmin]);
        let (colour, dashed) = look(palette, arrow.of);
        let stroke = Stroke::new(2.0, colour);
        if dashed {
            painter.extend(Shape::dashed_line(&[middle, tip], stroke, 7.0, 4.0));
        } else {
            painter.line_segment([middle, tip], stroke);
        }
        let along = (tip - middle).normalized();
        let side = along.rot90() * 4.0;
        let head = vec![tip, tip - along * 9.0 + side, tip - along * 9.0 - side];
        painter.add(Shape::convex_polygon(head, colour, Stroke::NONE));
        let place = tip + along * 6.0;
        let anchor = match (along.x > 0.3, along.x < -0.3, along.y < 0.0) {
            (true, ..) => Align2::LEFT_CENTER,
            (_, true, _) => Align2::RIGHT_CENTER,
            (_, _, true) => Align2::CENTER_BOTTOM,
            _ => Align2::CENTER_TOP,
        };
        // A name that would leave the picture stands inside it.
        let galley = painter.layout_no_wrap(arrow.name.clone(), FontId::proportional(12.5), colour);
        let text = anchor.anchor_size(place, galley.size());
        let inside = text.translate(vec2(
            (rect.left() + 4.0 - text.left()).max(0.0)
                - (text.right() + 4.0 - rect.right()).max(0.0),
            (rect.top() + 2.0 - text.top()).max(0.0)
                - (text.bottom() + 2.0 - rect.bottom()).max(0.0),
        ));
        painter.galley(inside.min, galley, colour);
    }
    painter.rect_stroke(rect, 0.0, Stroke::new(1.0, palette.edge), egui::StrokeKind::Inside);
}

/// Pods are whole lines in their channel's colour, tubes white, differences dashed.
const fn look(palette: &Palette, of: Source) -> (Color32, bool) {
    match of {
        Source::Pod(Channel::Left) => (palette.left, false),
        Source::Pod(Channel::Right) => (palette.right, true),
        Source::Tube => (palette.here, false),
        Source::Difference => (palette.quiet, true),
    }
}
