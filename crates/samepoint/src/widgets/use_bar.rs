//! One share of the tolerance window as a bar with its number.

use egui::{
    Align2, CornerRadius, FontId, Rect, Sense, Ui, WidgetInfo, accesskit::Role, pos2, vec2,
};
use paper::words;

use super::chart::Map;
use crate::theme;
use crate::theme::Palette;

/// How long a piece of a bar beyond its limit is, points.
const PIECE: f32 = 8.0;

/// Shows a share: green inside the limit, clay beyond it. The bar ends at the limit; beyond it
/// the whole bar is clay and in pieces, and the number tells. Grey, and said so, where nothing is judged.
pub(crate) fn use_bar_ui(
    ui: &mut Ui,
    palette: &Palette,
    name: &str,
    share: Option<f64>,
    judged: bool,
) {
    let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), 22.0), Sense::hover());
    let said = |words: fn(f64) -> String| share.map_or_else(|| "no limit".to_owned(), words);
    let not = if judged { "" } else { ", not judged" };
    let telling = format!("{name} {}{not}", said(words::percent));
    response.widget_info(|| WidgetInfo::labeled(Role::Label, true, &telling));
    let painter = ui.painter();
    painter.text(
        rect.left_center(),
        Align2::LEFT_CENTER,
        name,
        FontId::proportional(13.5),
        palette.quiet,
    );
    let outside = share.is_some_and(|share| share > 1.0);
    let colour = if outside && judged { palette.look } else { palette.text };
    let number = said(words::percent_short);
    painter.text(rect.right_center(), Align2::RIGHT_CENTER, number, theme::mono(13.5), colour);
    let Some(share) = share else { return };
    let (left, right) = (rect.left() + 118.0, rect.right() - 64.0);
    if right - left < 24.0 {
        return;
    }
    let middle = rect.center().y;
    let track = Rect::from_min_max(pos2(left, middle - 4.0), pos2(right, middle + 4.0));
    painter.rect_filled(track, CornerRadius::same(2), palette.well);
    let end = Map::new(track, [0.0, 1.0], [0.0, 1.0]).x(share.clamp(0.0, 1.0));
    let bar = track.with_max_x(end.max(left + 2.0));
    if !outside || !judged {
        let fill = if judged { palette.inside } else { palette.quiet };
        painter.rect_filled(bar, CornerRadius::same(2), fill);
        return;
    }
    // In pieces: beyond the limit is not told by colour alone.
    let mut from = track.left();
    while from < track.right() {
        let to = (from + PIECE).min(track.right());
        let piece = Rect::from_min_max(pos2(from, track.top()), pos2(to, track.bottom()));
        painter.rect_filled(piece, CornerRadius::ZERO, palette.look);
        from = to + 0.5 * PIECE;
    }
}
