//! The misalignment against the tolerance window: the box, the guard band inside it, the means.

use egui::{
    Align2, CornerRadius, FontId, Rect, Sense, Stroke, StrokeKind, Ui, WidgetInfo, accesskit::Role,
    pos2, vec2,
};
use paper::words;

use super::picture::Chart;
use crate::theme::Palette;
use crate::widgets::TellOnHover;

const HEIGHT: f32 = 150.0;
/// Room round the box for its figures, points.
const MARGIN: f32 = 20.0;

/// Shows it, to scale: the eyes converge to the left, diverge to the right.
pub(crate) fn chart_ui(ui: &mut Ui, palette: &Palette, chart: &Chart) {
    let (rect, response) =
        ui.allocate_exact_size(vec2(ui.available_width(), HEIGHT), Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, &chart.telling));
    let about = paper::glossary::meaning("guard band").unwrap_or_default();
    response.tell_on_hover(format!("{}\nGuard band: {about}", chart.telling));
    let painter = ui.painter().with_clip_rect(rect);
    painter.rect_filled(rect, CornerRadius::same(4), palette.field);
    let window = &chart.window;
    let limits =
        [-window.convergence_arcmin(), window.divergence_arcmin(), window.dipvergence_arcmin()]
            .map(|limit| limit as f32);
    let [low, high, dip] = limits;
    let room = rect.shrink(MARGIN);
    let scale = (room.width() / (high - low)).min(room.height() / (2.0 * dip));
    if !scale.is_finite() || scale <= 0.0 {
        return;
    }
    let middle = 0.5 * (low + high);
    let at = |x: f32, y: f32| rect.center() + vec2((x - middle) * scale, -y * scale);
    let whole = Rect::from_two_pos(at(low, -dip), at(high, dip));
    painter.rect_stroke(
        whole,
        CornerRadius::ZERO,
        Stroke::new(1.5, palette.text),
        StrokeKind::Middle,
    );
    if let Some([x, y]) = chart.guard_arcmin.map(|guard| guard.map(|part| part as f32)) {
        let inner = Rect::from_two_pos(at(low + x, y - dip), at(high - x, dip - y));
        // A band wider than the window leaves nothing inside.
        if low + x < high - x && y < dip {
            let edge = Stroke::new(1.0, palette.quiet);
            painter.rect_stroke(inner, CornerRadius::ZERO, edge, StrokeKind::Middle);
        }
    }
    let faint = Stroke::new(1.0, palette.line);
    painter.hline(whole.x_range(), at(0.0, 0.0).y, faint);
    painter.vline(at(0.0, 0.0).x, whole.y_range(), faint);
    let font = FontId::proportional(11.5);
    let figure = |place, align, text: &str| {
        painter.text(place, align, text, font.clone(), palette.quiet);
    };
    let below = whole.bottom() + 3.0;
    figure(pos2(whole.left(), below), Align2::LEFT_TOP, "converge");
    figure(pos2(whole.right(), below), Align2::RIGHT_TOP, "diverge");
    let text = format!("±{}", words::arcmin(window.dipvergence_arcmin()));
    figure(pos2(whole.left(), whole.top() - 2.0), Align2::LEFT_BOTTOM, &text);
    let sides = format!(
        "{} · {}",
        words::arcmin(-window.convergence_arcmin()),
        words::arcmin(window.divergence_arcmin())
    );
    figure(pos2(whole.right(), whole.top() - 2.0), Align2::RIGHT_BOTTOM, &sides);
    for (index, [x, y]) in chart.points.iter().enumerate().rev() {
        // Beyond the picture a mean is drawn at its edge: the words tell how far out it is.
        let place =
            at(*x as f32, *y as f32).clamp(rect.min + vec2(5.0, 5.0), rect.max - vec2(5.0, 5.0));
        let inside = whole.contains(place);
        let colour = match (inside, chart.answered) {
            (true, true) => palette.inside,
            (true, false) => palette.text,
            (false, _) => palette.look,
        };
        if index == 0 {
            painter.circle_filled(place, 5.0, colour);
            painter.circle_stroke(place, 7.0, Stroke::new(1.0, palette.here));
        } else {
            painter.circle_stroke(place, 5.0, Stroke::new(1.5, colour));
        }
    }
}
