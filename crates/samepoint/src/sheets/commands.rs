//! The list of all commands: type a part of a name, Enter runs it.

use egui::{Align2, Button, Key, Modifiers, RichText, ScrollArea, TextEdit, Ui, vec2};

use super::parts::{SheetContext, first_field};
use crate::app::action::Action;
use crate::theme::{Palette, TARGET};
use crate::ui_command::UiCommand;
use crate::widgets::{LONGEST_LINE, Label, TellOnHover};

/// The list of commands.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct CommandSheet {
    /// A part of a command's name.
    pub filter: String,
    /// Which of those found.
    pub chosen: usize,
}

/// Shows the list.
pub(crate) fn commands_ui(
    ui: &mut Ui,
    palette: &Palette,
    sheet: &mut CommandSheet,
    context: &SheetContext<'_>,
    actions: &mut Vec<Action>,
) {
    let (up, down) = ui.input_mut(|input| {
        (
            input.consume_key(Modifiers::NONE, Key::ArrowUp),
            input.consume_key(Modifiers::NONE, Key::ArrowDown),
        )
    });
    let edit = TextEdit::singleline(&mut sheet.filter)
        .id(first_field())
        .hint_text("type a part of a command")
        .min_size(vec2(0.0, TARGET))
        .align(Align2::LEFT_CENTER)
        .desired_width(f32::INFINITY)
        .char_limit(LONGEST_LINE);
    let typed = ui.add(edit);
    let filter = sheet.filter.as_str();
    typed.widget_info(|| egui::WidgetInfo {
        label: Some("Command".to_owned()),
        ..egui::WidgetInfo::text_edit(true, filter, filter, "")
    });
    let found: Vec<UiCommand> = UiCommand::ALL
        .into_iter()
        .filter(|command| *command != UiCommand::Commands && command.matches(&sheet.filter))
        .collect();
    if typed.changed() {
        sheet.chosen = 0;
    }
    let last = found.len().saturating_sub(1);
    sheet.chosen = match (up, down) {
        (true, false) => sheet.chosen.saturating_sub(1),
        (false, true) => sheet.chosen + 1,
        _ => sheet.chosen,
    }
    .min(last);
    if typed.lost_focus()
        && ui.input(|input| input.key_pressed(Key::Enter))
        && let Some(command) = found.get(sheet.chosen)
    {
        actions.push(Action::Run(*command));
    }
    let chosen = found.get(sheet.chosen).copied();
    let about = chosen.map_or("No command is called that.", |command| {
        context.unavailable(command).unwrap_or(command.tip())
    });
    let room = (ui.available_height() - 48.0).max(48.0);
    ScrollArea::vertical().max_height(room).auto_shrink([false, true]).show(ui, |ui| {
        ui.spacing_mut().item_spacing.y = 2.0;
        for (place, command) in found.into_iter().enumerate() {
            let colour =
                if context.unavailable(command).is_some() { palette.quiet } else { palette.text };
            let button = Button::selectable(
                place == sheet.chosen,
                RichText::new(command.text()).color(colour),
            )
            .shortcut_text(command.key_words(ui.ctx()))
            .min_size(vec2(ui.available_width() - 12.0, TARGET));
            let shown = ui.add(button);
            if place == sheet.chosen && (up || down) {
                shown.scroll_to_me(None);
            }
            if shown.tell_on_hover(command.tip()).clicked() {
                actions.push(Action::Run(command));
            }
        }
    });
    ui.add(Label::new(RichText::new(about).small().color(palette.quiet)).wrap());
}
