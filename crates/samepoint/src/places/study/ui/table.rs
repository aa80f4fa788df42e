//! How far a study has come: the plan as a table, and what was measured.

use egui::{Align2, FontId, RichText, Sense, Stroke, Ui, WidgetInfo, pos2, vec2};

use crate::app::action::Action;
use crate::places::study::StudyAction;
use crate::places::study::picture::StudyPicture;
use crate::theme;
use crate::theme::Palette;
use crate::widgets::withdrawable_ui;

/// Height of a row, points.
const ROW: f32 = 20.0;
/// Room for units' names.
const NAME: f32 = 120.0;

/// The plan: a unit a row, hands and in them trials across; a dot where it is measured.
pub(crate) fn table_ui(ui: &mut Ui, palette: &Palette, picture: &StudyPicture) {
    let columns = picture.hands.len() * picture.trials;
    if columns == 0 {
        return;
    }
    let height = ROW * (picture.table.len() + 1) as f32;
    let width = ui.available_width();
    let (rect, response) = ui.allocate_exact_size(vec2(width, height), Sense::hover());
    let told = told(picture);
    response.widget_info(|| WidgetInfo::labeled(egui::accesskit::Role::Image, true, &told));
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
            let line = Stroke::new(1.0, palette.line);
            painter.vline(from - 3.0, rect.y_range(), line);
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
            if *done {
                painter.circle_filled(at, 4.0, palette.inside);
            } else {
                painter.circle_stroke(at, 4.0, Stroke::new(1.0, palette.quiet));
            }
            if next == Some((part, column)) {
                painter.circle_stroke(at, 7.0, Stroke::new(1.5, palette.here));
            }
        }
    }
    ui.add_space(8.0);
}

fn told(picture: &StudyPicture) -> String {
    let [done, of] = picture.done;
    format!("{done} of {of} cells measured. {}", picture.next)
}

/// What was measured, the latest first.
pub(crate) fn measurements_ui(
    ui: &mut Ui,
    palette: &Palette,
    picture: &StudyPicture,
    actions: &mut Vec<Action>,
) {
    if picture.measurements.is_empty() {
        return;
    }
    ui.label(RichText::new("Measurements, the latest first").font(theme::bold(14.5)));
    for row in &picture.measurements {
        if withdrawable_ui(ui, palette, &row.words, row.withdrawn.as_deref()) {
            actions.push(Action::Study(StudyAction::AskWithdraw(row.seq)));
        }
    }
}
