//! The top bar: which unit, which station, and whether everything is saved.

use egui::{Align, Button, Layout, RichText, Ui, vec2};

use crate::app::Action;
use crate::theme::{self, Palette, TARGET};
use crate::ui_command::UiCommand;

/// What the bar says.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct TopBar {
    /// The unit's name, or what is open instead.
    pub title: String,
    /// Housing and round.
    pub under: String,
    /// The station and its state.
    pub station: String,
    /// Whether the station's state needs a look.
    pub station_look: bool,
    /// Whether facts are safe.
    pub saved: Saved,
    /// Recent sessions: path and words.
    pub recent: Vec<(std::path::PathBuf, String)>,
    /// Whether undo and redo have anything to do.
    pub can: [bool; 2],
    /// Whether a session is open.
    pub open: bool,
    /// Whose hand logs: initials.
    pub hand: String,
}

/// Whether facts are safe, in words.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub enum Saved {
    /// Nothing to save.
    #[default]
    Nothing,
    /// On disk.
    Yes(String),
    /// On its way.
    Waiting(String),
    /// Not saved, or not allowed to.
    No(String),
}

/// Shows the bar.
pub fn top_bar_ui(ui: &mut Ui, palette: &Palette, bar: &TopBar, actions: &mut Vec<Action>) {
    ui.horizontal_centered(|ui| {
        session_menu(ui, bar, actions);
        for (command, can, text) in
            [(UiCommand::Undo, bar.can[0], "↶ Undo"), (UiCommand::Redo, bar.can[1], "↷ Redo")]
        {
            let button = Button::new(text).min_size(vec2(0.0, TARGET));
            let tip = tip(ui, command);
            if ui.add_enabled(can, button).on_hover_text(tip).clicked() {
                actions.push(Action::Do(command));
            }
        }
        ui.add_space(10.0);
        ui.label(RichText::new(&bar.title).font(theme::bold(17.0)));
        ui.label(RichText::new(&bar.under).color(palette.quiet));
        if bar.open {
            let (text, colour) = if bar.hand.is_empty() {
                ("no hand named".to_owned(), palette.look)
            } else {
                (format!("hand {}", bar.hand), palette.quiet)
            };
            let tip = "Whose initials stand beside each reading; change it in the Session menu.";
            ui.label(RichText::new(text).color(colour)).on_hover_text(tip);
        }
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            let (text, colour) = match &bar.saved {
                Saved::Nothing => ("", palette.quiet),
                Saved::Yes(text) => (text.as_str(), palette.inside),
                Saved::Waiting(text) => (text.as_str(), palette.text),
                Saved::No(text) => (text.as_str(), palette.look),
            };
            ui.label(RichText::new(text).color(colour));
            ui.add_space(8.0);
            let colour = if bar.station_look { palette.look } else { palette.quiet };
            let station = RichText::new(&bar.station).color(colour);
            ui.add(egui::Label::new(station).truncate());
        });
    });
}

/// A command's tip with its key, as this platform writes keys.
#[must_use]
pub fn tip(ui: &Ui, command: UiCommand) -> String {
    match command.key_words(ui.ctx()).as_str() {
        "" => command.tip().to_owned(),
        key => format!("{} ({key})", command.tip()),
    }
}

fn session_menu(ui: &mut Ui, bar: &TopBar, actions: &mut Vec<Action>) {
    ui.menu_button("Session", |ui| {
        for command in [
            UiCommand::New,
            UiCommand::Open,
            UiCommand::KeepCopy,
            UiCommand::Report,
            UiCommand::NewRound,
        ] {
            let needs_session =
                matches!(command, UiCommand::KeepCopy | UiCommand::Report | UiCommand::NewRound);
            let button = Button::new(command.text())
                .shortcut_text(command.key_words(ui.ctx()))
                .min_size(vec2(220.0, TARGET));
            let shown = ui.add_enabled(bar.open || !needs_session, button);
            if shown.on_hover_text(command.tip()).clicked() {
                actions.push(Action::Do(command));
                ui.close();
            }
        }
        ui.separator();
        let name =
            ui.label(RichText::new("Hand: whose initials stand beside each reading").small());
        let mut hand = bar.hand.clone();
        let edit = egui::TextEdit::singleline(&mut hand)
            .id(egui::Id::unique("session menu hand"))
            .char_limit(24)
            .desired_width(200.0)
            .min_size(vec2(0.0, TARGET))
            .align(egui::Align2::LEFT_CENTER);
        if ui.add(edit).labelled_by(name.id).changed() {
            actions.push(Action::Hand(hand));
        }
        ui.separator();
        ui.label(RichText::new("Recent").small());
        if bar.recent.is_empty() {
            ui.label("none yet");
        }
        for (path, words) in &bar.recent {
            let button = Button::new(words).min_size(vec2(220.0, TARGET));
            if ui.add(button).on_hover_text(path.display().to_string()).clicked() {
                actions.push(Action::OpenPath(path.clone()));
                ui.close();
            }
        }
    });
}
