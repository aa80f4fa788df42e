//! Several sessions countersigned together, each after it was looked at by itself.

use egui::{Button, RichText, Ui, vec2};

use crate::places::review::marked::MarkedSession;
use crate::places::review::{ReviewAction, Reviewed};
use crate::theme::{self, Palette, TARGET};
use crate::widgets::{Label, TellOnHover, shortened_button_ui};

/// What several at once means.
const ABOUT: &str = "Look at a session, mark it, go on to the next. Each then gets a countersignature of its own \
                     with the checks of one alone; what changed since you looked at it gets none, and says so.";

pub(crate) fn several_ui(
    ui: &mut Ui,
    palette: &Palette,
    open: &Reviewed,
    marked: &[MarkedSession],
    actions: &mut Vec<ReviewAction>,
) {
    ui.add_space(10.0);
    ui.label(RichText::new("Several at once").font(theme::bold(14.5)));
    ui.add(Label::new(RichText::new(ABOUT).color(palette.quiet)).wrap());
    let is_marked = marked.iter().any(|one| one.path == open.path);
    ui.horizontal_wrapped(|ui| {
        let text = if is_marked { "Take its mark away" } else { "Mark it to be countersigned" };
        let can = is_marked || open.not_to_countersign().is_none();
        if ui.add_enabled(can, Button::new(text).min_size(vec2(0.0, TARGET))).clicked() {
            actions.push(ReviewAction::Mark);
        }
        let next = Button::new("Next that waits").min_size(vec2(0.0, TARGET));
        let about =
            "The next signed session of the shop that nobody countersigned yet, oldest first.";
        if ui.add(next).tell_on_hover(about).clicked() {
            actions.push(ReviewAction::NextWaiting);
        }
    });
    if marked.is_empty() {
        return;
    }
    for one in marked {
        ui.horizontal(|ui| {
            let room = ui.available_width() - TARGET - 12.0;
            if shortened_button_ui(ui, &one.name(), room).clicked() {
                actions.push(ReviewAction::Open(one.path.clone()));
            }
            let remove = ui.add(Button::new("✕").min_size(vec2(TARGET, TARGET)));
            let telling = format!("Take the mark of {} away", one.name());
            remove.widget_info(|| {
                egui::WidgetInfo::labeled(egui::accesskit::Role::Button, true, &telling)
            });
            if remove.tell_on_hover(telling.clone()).clicked() {
                actions.push(ReviewAction::TakeMark(one.path.clone()));
            }
        });
        if let Some(why) = &one.refused {
            ui.add(Label::new(RichText::new(why).color(palette.look)).wrap());
        }
    }
    let text = format!("Countersign the {} marked", marked.len());
    let all = Button::new(RichText::new(text).font(theme::bold(14.5))).min_size(vec2(0.0, TARGET));
    if ui.add(all).clicked() {
        actions.push(ReviewAction::CountersignMarked);
    }
}
