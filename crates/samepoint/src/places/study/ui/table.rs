//! How far a study has come: the plan as a table, and what was measured.

use egui::{Align2, FontId, RichText, Sense, Ui, pos2, vec2};
use paper::style::Marker;

use crate::places::study::StudyAction;
use crate::places::study::picture::StudyView;
use crate::theme;
use crate::theme::Palette;
use crate::widgets::chart::{ChartInk, ChartPen, marker, room_ui};
use crate::widgets::withdrawable_ui;

/// Height of a row, points.
const ROW: f32 = 20.0;
/// Room for units' names.
const NAME: f32 = 120.0;

/// The plan: a unit a row, hands and in them trials across; a dot where it is measured.
pub(crate) fn table_ui(ui: &mut Ui, palette: &Palette, picture: &StudyView) {
    let columns = picture.hands.len() * picture.trials;
    if columns == 0 {
        return;
    }
    let height = ROW * (picture.table.len() + 1) as f32;
    let width = ui.available_width();
    let (rect, _) = room_ui(ui, vec2(width, height), Sense::hover(), &told(picture));
    let painter = ui.painter_at(rect);
    let step = ((width - NAME) / columns as f32).clamp(6.0, 30.0);
    let small = FontId::proportional(12.0);
    let x = |column: f32| rect.left() + NAME + step * column;
    for (hand, name) in picture.hands.iter().enumerate() {
        let from = x((hand * picture.trials) as f32);
        let at = pos2(from, rect.top() + ROW / 2.0);
        let room = step * picture.trials as f32 - 4.0;
        let clipped = painter
            .with_clip_rect(egui::Rect::from_min_size(pos2(from, rect.top()), vec2(room, ROW)));
        clipped.text(at, Align2::LEFT_CENTER, name, small.clone(), palette.quiet);
        if hand > 0 {
            let between = [pos2(from - 3.0, rect.top()), pos2(from - 3.0, rect.bottom())];
            ChartPen::new(1.0, palette.line).draw(&painter, &between);
        }
    }
    let next = picture.cell.map(|cell| (cell.part, cell.hand * picture.trials + cell.trial));
    for (part, row) in picture.table.iter().enumerate() {
        let y = rect.top() + ROW * (part as f32 + 1.5);
        let name = painter.with_clip_rect(egui::Rect::from_min_size(
            pos2(rect.left(), y - ROW / 2.0),
            vec2(NAME - 6.0, ROW),
        ));
        name.text(
            pos2(rect.left(), y),
            Align2::LEFT_CENTER,
            &row.part,
            theme::mono(12.5),
            palette.text,
        );
        for (column, done) in row.done.iter().enumerate() {
            let at = pos2(x(column as f32 + 0.5) - 3.0, y);
            let ink = if *done {
                ChartInk::Filled(palette.inside)
            } else {
                ChartInk::Open(palette.quiet)
            };
            marker(&painter, at, Marker::Dot, 4.0, ink);
            if next == Some((part, column)) {
                marker(&painter, at, Marker::Dot, 7.0, ChartInk::Open(palette.here));
            }
        }
    }
    ui.add_space(8.0);
}

fn told(picture: &StudyView) -> String {
    let [done, of] = picture.done;
    format!("{done} of {of} cells measured. {}", picture.next)
}

/// What was measured, the latest first.
pub(crate) fn measurements_ui(
    ui: &mut Ui,
    palette: &Palette,
    picture: &StudyView,
    actions: &mut Vec<StudyAction>,
) {
    if picture.measurements.is_empty() {
        return;
    }
    ui.label(RichText::new("Measurements, the latest first").font(theme::bold(14.5)));
    for row in &picture.measurements {
        if withdrawable_ui(ui, palette, &row.words, row.withdrawn.as_deref()) {
            actions.push(StudyAction::AskWithdraw(row.seq));
        }
    }
}
