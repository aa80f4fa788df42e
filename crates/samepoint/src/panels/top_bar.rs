//! The top bar: which unit, which station, and whether everything is saved.

use egui::{Align, Button, Label, Layout, RichText, Ui, WidgetInfo, accesskit::Role, vec2};
use record::review::StandsWords;

use crate::app::Action;
use crate::app::kept_file::Saved;
use crate::app::places::Place;
use crate::app::room::Room;
use crate::theme::{self, Palette, TARGET};
use crate::ui_command::UiCommand;
use crate::widgets::practice_badge_ui;

/// What the bar says.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct TopBar {
    /// The unit's name, or what is open instead.
    pub title: String,
    /// Housing and round.
    pub under: String,
    /// The tolerance window's name.
    pub window: String,
    /// The station and its state.
    pub station: String,
    /// Whether the station's state needs a look.
    pub station_look: bool,
    /// Whether facts are safe.
    pub saved: Saved,
    /// How the open session stands.
    pub stands: StandsWords,
    /// Recent sessions: path and words.
    pub recent: Vec<(std::path::PathBuf, String)>,
    /// Whether undo and redo have anything to do.
    pub can: [bool; 2],
    /// Whether a session is open.
    pub open: bool,
    /// Whose hand logs: initials.
    pub hand: String,
    /// Where the hand is.
    pub place: Place,
    /// How many sessions a supervisor sent back.
    pub returned: usize,
    /// Whether the open session is practice.
    pub practice: bool,
}

/// Shows the bar. Whether everything is saved is always said; what else is said gives way to it.
pub fn top_bar_ui(
    ui: &mut Ui,
    palette: &Palette,
    bar: &TopBar,
    room: Room,
    actions: &mut Vec<Action>,
) {
    ui.horizontal_centered(|ui| {
        // Whether everything is saved is shown whatever else gives way: a small window's buttons,
        // which have keys, and most of the words of the mark itself.
        let font = egui::TextStyle::Body.resolve(ui.style());
        let width = |text: &str| {
            ui.painter().layout_no_wrap(text.to_owned(), font.clone(), palette.text).size().x
        };
        let (words, short) = (width(bar.saved.words()), width(bar.saved.short()));
        let gap = ui.spacing().item_spacing.x;
        session_menu(ui, bar, room, actions);
        place_menu(ui, palette, bar, room, actions);
        let both = 2.0 * (TARGET + gap) + 6.0;
        if ui.available_width() - both >= short {
            undo_ui(ui, bar, room, actions);
        }
        ui.add_space(6.0);
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            saved_ui(ui, palette, &bar.saved, words <= ui.available_width());
            // In a small window the mark of practice needs the room more.
            if !(bar.practice && room == Room::Small) {
                stands_ui(ui, palette, &bar.stands);
            }
            ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
                if bar.practice && ui.available_width() > 3.0 * TARGET {
                    practice_badge_ui(ui, palette);
                }
                // A long name gives way to the mark; whole it is told on hover and to a reader.
                let title = RichText::new(&bar.title).font(theme::bold(17.0));
                if ui.available_width() >= TARGET {
                    ui.add(Label::new(title).truncate());
                }
                asides_ui(ui, palette, bar);
            });
        });
    });
}

/// The mark: all of its words, or the first of them.
fn saved_ui(ui: &mut Ui, palette: &Palette, saved: &Saved, all: bool) {
    let colour = match saved {
        Saved::Nothing => palette.quiet,
        Saved::Yes(_) => palette.inside,
        Saved::Waiting(_) => palette.text,
        Saved::No(_) => palette.look,
    };
    let (shown, words) = (if all { saved.words() } else { saved.short() }, saved.words());
    let mark = ui.add(Label::new(RichText::new(shown).color(colour)).truncate());
    if !all {
        mark.widget_info(|| WidgetInfo::labeled(Role::Label, true, words));
        mark.on_hover_text(words);
    }
}

/// How the session stands, with the reason on hover: whole, or its last word, or not at all where the mark
/// of what is saved needs the room. The name gives way to it, down to a few letters.
fn stands_ui(ui: &mut Ui, palette: &Palette, stands: &StandsWords) {
    let StandsWords { word, why, look } = stands;
    let colour = if *look { palette.look } else { palette.text };
    let font = egui::TextStyle::Body.resolve(ui.style());
    let width =
        |text: &str| ui.painter().layout_no_wrap(text.to_owned(), font.clone(), colour).size().x;
    let last = word.rsplit(", ").next().unwrap_or(word);
    let room = ui.available_width() - 2.0 * ui.spacing().item_spacing.x - TARGET;
    let Some(shown) = [word.as_str(), last].into_iter().find(|text| width(text) <= room) else {
        return;
    };
    if word.is_empty() {
        return;
    }
    let label = Label::new(RichText::new(shown).color(colour)).extend();
    let told = ui.add(label);
    told.widget_info(|| WidgetInfo::labeled(Role::Label, true, word));
    told.on_hover_text(format!("{}\n{why}", crate::app::picture::capital(word)));
}

fn undo_ui(ui: &mut Ui, bar: &TopBar, room: Room, actions: &mut Vec<Action>) {
    for (command, can, text) in
        [(UiCommand::Undo, bar.can[0], "↶ Undo"), (UiCommand::Redo, bar.can[1], "↷ Redo")]
    {
        // In a small window the sign is enough; its name is told all the same.
        let shown = if room == Room::Small { text.get(..3).unwrap_or(text) } else { text };
        let button = Button::new(shown).min_size(vec2(TARGET, TARGET));
        let tip = tip(ui, command);
        let response = ui.add_enabled(can, button);
        response.widget_info(|| WidgetInfo::labeled(Role::Button, can, text));
        if response.on_hover_text(tip).clicked() {
            actions.push(Action::Do(command));
        }
    }
}

/// Station, housing and round, hand: as many of them as there is room for, whole.
fn asides_ui(ui: &mut Ui, palette: &Palette, bar: &TopBar) {
    let hand = match (bar.open, bar.hand.as_str()) {
        (false, _) => (String::new(), palette.quiet),
        (true, "") => ("no hand named".to_owned(), palette.look),
        (true, hand) => (format!("hand {hand}"), palette.quiet),
    };
    let station_colour = if bar.station_look { palette.look } else { palette.quiet };
    let asides = [
        (bar.window.clone(), palette.quiet, "The tolerance window that readings are judged by."),
        (bar.under.clone(), palette.quiet, ""),
        (bar.station.clone(), station_colour, "The station in force and its state."),
        (
            hand.0,
            hand.1,
            "Whose initials stand beside each reading; change it in the Session menu.",
        ),
    ];
    for (text, colour, about) in asides {
        let font = egui::TextStyle::Body.resolve(ui.style());
        let width = ui.painter().layout_no_wrap(text.clone(), font, colour).size().x;
        if !text.is_empty() && width + ui.spacing().item_spacing.x <= ui.available_width() {
            let shown = ui.label(RichText::new(text).color(colour));
            if !about.is_empty() {
                shown.on_hover_text(about);
            }
        }
    }
}

/// A command's tip with its key, as this platform writes keys.
#[must_use]
pub fn tip(ui: &Ui, command: UiCommand) -> String {
    match command.key_words(ui.ctx()).as_str() {
        "" => command.tip().to_owned(),
        key => format!("{} ({key})", command.tip()),
    }
}

/// What the menu offers; the last two stand in the bottom bar where there is room.
const MENU: [UiCommand; 13] = [
    UiCommand::New,
    UiCommand::Open,
    UiCommand::KeepCopy,
    UiCommand::Report,
    UiCommand::Seal,
    UiCommand::NewRound,
    UiCommand::Paste,
    UiCommand::Import,
    UiCommand::CheckStation,
    UiCommand::Due,
    UiCommand::Commands,
    UiCommand::Keys,
    UiCommand::Cautions,
];

fn session_menu(ui: &mut Ui, bar: &TopBar, room: Room, actions: &mut Vec<Action>) {
    let name = if room == Room::Small { "☰" } else { "Session" };
    let menu = ui.menu_button(name, |ui| {
        for command in MENU {
            let needs_session = !matches!(
                command,
                UiCommand::New
                    | UiCommand::Open
                    | UiCommand::CheckStation
                    | UiCommand::Due
                    | UiCommand::Commands
                    | UiCommand::Keys
                    | UiCommand::Cautions
            );
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
            if ui.add(button).on_hover_text(record::shown::path(path)).clicked() {
                actions.push(Action::OpenPath(path.clone()));
                ui.close();
            }
        }
    });
    menu.response.widget_info(|| WidgetInfo::labeled(Role::Button, true, "Session"));
}

/// From one place to another; marked while a session waits that a supervisor sent back.
fn place_menu(ui: &mut Ui, palette: &Palette, bar: &TopBar, room: Room, actions: &mut Vec<Action>) {
    let name = if room == Room::Small { "⇄" } else { "Go to" };
    let colour = if bar.returned > 0 { palette.look } else { palette.text };
    let menu = ui.menu_button(RichText::new(name).color(colour), |ui| {
        for place in Place::ALL {
            let command = place.command();
            let text = match (place, bar.returned) {
                (Place::Shop, 1) => "Shop · 1 session returned".to_owned(),
                (Place::Shop, count) if count > 1 => format!("Shop · {count} sessions returned"),
                _ => place.text().to_owned(),
            };
            let button = Button::selectable(place == bar.place, text)
                .shortcut_text(command.key_words(ui.ctx()))
                .min_size(vec2(220.0, TARGET));
            if ui.add(button).on_hover_text(command.tip()).clicked() {
                actions.push(Action::Do(command));
                ui.close();
            }
        }
    });
    let telling = match bar.returned {
        0 => "Go to".to_owned(),
        1 => "Go to, 1 session returned".to_owned(),
        count => format!("Go to, {count} sessions returned"),
    };
    menu.response.widget_info(|| WidgetInfo::labeled(Role::Button, true, &telling));
}
