//! The top bar: which unit, which station, and whether everything is saved.

use crate::widgets::tip;
use egui::{
    Align, Button, FontId, Layout, Response, RichText, ScrollArea, Ui, WidgetInfo, accesskit::Role,
    vec2,
};
use record::review::StandsWords;

use super::action::Action;
use crate::places::Place;
use crate::shell::kept_file::Saved;
use crate::shell::layout_size::LayoutSize;
use crate::theme;
use crate::theme::{Palette, TARGET};
use crate::ui_command::{Scope, UiCommand};
use crate::widgets::{
    Label, TellOnHover, leads_to_words, practice_badge_ui, shortened_button_ui, shortened_term_ui,
    shortened_ui,
};

/// What the bar says.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct TopBar {
    /// The unit's name, or what is open instead.
    pub title: String,
    /// Housing and round.
    pub under: String,
    /// The station and its state.
    pub station: String,
    /// Why it needs a look, in two or three words; empty where it needs none.
    pub station_reason: String,
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
    /// The session in sight elsewhere that commands are about, by its name.
    pub meant: Option<String>,
    /// Whether the open session is practice.
    pub practice: bool,
}

/// Shows the bar. Whether everything is saved is always said; what else is said gives way to it.
pub(crate) fn top_bar_ui(
    ui: &mut Ui,
    palette: &Palette,
    bar: &TopBar,
    room: LayoutSize,
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
            saved_ui(ui, palette, bar, words <= ui.available_width());
            // In a small window the mark of practice needs the room more.
            if !(bar.practice && room == LayoutSize::Small) {
                stands_ui(ui, palette, &bar.stands);
            }
            ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
                if bar.practice && ui.available_width() > 3.0 * TARGET {
                    practice_badge_ui(ui, palette);
                }
                named_ui(ui, palette, bar, actions);
            });
        });
    });
}

/// The mark: all of its words, or the first of them.
fn saved_ui(ui: &mut Ui, palette: &Palette, bar: &TopBar, all: bool) {
    let saved = &bar.saved;
    let colour = match saved {
        // Over another place green would speak of what is seen there, and not of the session on the bench.
        Saved::Yes(_) if bar.place == Place::Bench => palette.inside,
        Saved::Nothing | Saved::Yes(_) => palette.quiet,
        Saved::Waiting(_) => palette.text,
        Saved::No(_) => palette.look,
    };
    let (shown, words) = (if all { saved.words() } else { saved.short() }, saved.words());
    let mark = ui.add(Label::new(RichText::new(shown).color(colour)).truncate());
    if !all {
        mark.widget_info(|| WidgetInfo::labeled(Role::Label, true, words));
        mark.tell_on_hover(words);
    }
}

/// How the session stands, with the reason on hover: whole, or its last word, or not at all where the mark
/// of what is saved needs the room. The name gives way to it, down to a few letters.
fn stands_ui(ui: &mut Ui, palette: &Palette, stands: &StandsWords) {
    let StandsWords { word, short, why, look } = stands;
    let colour = if *look { palette.look } else { palette.text };
    let font = egui::TextStyle::Body.resolve(ui.style());
    let width =
        |text: &str| ui.painter().layout_no_wrap(text.to_owned(), font.clone(), colour).size().x;
    let room = ui.available_width() - 2.0 * ui.spacing().item_spacing.x - TARGET;
    let Some(shown) =
        [word, short].into_iter().map(String::as_str).find(|text| width(text) <= room)
    else {
        return;
    };
    if word.is_empty() {
        return;
    }
    let label = Label::new(RichText::new(shown).color(colour)).extend();
    let told = ui.add(label);
    told.widget_info(|| WidgetInfo::labeled(Role::Label, true, word));
    told.tell_on_hover(format!("{}\n{why}", paper::words::capital(word)));
}

fn undo_ui(ui: &mut Ui, bar: &TopBar, room: LayoutSize, actions: &mut Vec<Action>) {
    for (command, can, text) in
        [(UiCommand::Undo, bar.can[0], "↶ Undo"), (UiCommand::Redo, bar.can[1], "↷ Redo")]
    {
        // In a small window the sign is enough; its name is told all the same.
        let shown = if room == LayoutSize::Small { text.get(..3).unwrap_or(text) } else { text };
        let button = Button::new(shown).min_size(vec2(TARGET, TARGET));
        let tip = tip(ui, command);
        let response = ui.add_enabled(can, button);
        response.widget_info(|| WidgetInfo::labeled(Role::Button, can, text));
        if response.tell_on_hover(tip).clicked() {
            actions.push(Action::Do(command));
        }
    }
}

/// The name, then station, housing and round, hand: whole where there is room, else shortened, the whole of
/// it on hover and for a screen reader. None of them ever reaches the marks at the right.
fn named_ui(ui: &mut Ui, palette: &Palette, bar: &TopBar, actions: &mut Vec<Action>) {
    let hand = match (bar.open, bar.hand.as_str()) {
        (false, _) => (String::new(), palette.quiet),
        (true, "") => ("no hand named".to_owned(), palette.look),
        (true, hand) => (format!("hand {hand}"), palette.quiet),
    };
    let station_colour = if bar.station_look { palette.look } else { palette.quiet };
    // What stands behind another aside is set apart from it.
    let apart = |text: &str, before: &[&str]| {
        let alone = text.is_empty() || before.iter().all(|text| text.is_empty());
        if alone { text.to_owned() } else { format!("{BETWEEN}{text}") }
    };
    let asides = [
        (bar.under.clone(), palette.quiet, ""),
        (apart(&bar.station, &[&bar.under]), station_colour, "The station in force and its state."),
        (apart(&hand.0, &[&bar.under, &bar.station]), hand.1, "Change it in the Session menu."),
    ];
    let body = egui::TextStyle::Body.resolve(ui.style());
    // Rounded up: what is a hair too narrow would be cut.
    let width = |text: &str, font: FontId| {
        ui.painter().layout_no_wrap(text.to_owned(), font, palette.text).size().x.ceil()
    };
    let mut asides = asides;
    let mut wanted = asides.each_ref().map(|(text, ..)| width(text, body.clone()));
    let title = width(&bar.title, theme::bold(17.0));
    let gap = ui.spacing().item_spacing.x;
    let whole = title + wanted.iter().map(|width| width + gap).sum::<f32>();
    let must = [false, bar.station_look, bar.open && bar.hand.is_empty()];
    if whole > ui.available_width() && must.contains(&true) {
        // What must be seen is said in few words, and what is only good to know gives way to it.
        let name = bar.station.split(" · ").next().unwrap_or_default();
        let named = format!("{name} · {}", bar.station_reason);
        let no_hand = if must[2] { width("no hand named", body.clone()) + gap } else { 0.0 };
        let beside = width(&named, body.clone()) + gap + no_hand;
        let room = ui.available_width();
        let fits = beside + title.min(0.4 * room) <= room && !name.is_empty();
        let station = if fits { named.as_str() } else { bar.station_reason.as_str() };
        for (at, short) in [(1, station), (2, "no hand named")] {
            if let (Some(true), Some((text, ..)), Some(wanted)) =
                (must.get(at), asides.get_mut(at), wanted.get_mut(at))
            {
                short.clone_into(text);
                *wanted = width(short, body.clone());
            }
        }
        must_be_seen_ui(ui, bar, &asides, wanted, must, title, actions);
        return;
    }
    let (title, given) = shares(ui.available_width(), gap, title, wanted);
    if ui.available_width() >= TARGET {
        shortened_ui(ui, RichText::new(&bar.title).font(theme::bold(17.0)), title);
    }
    let mut first = true;
    for (at, ((text, colour, about), most)) in asides.iter().zip(given).enumerate() {
        if most > 0.0 {
            // Where the one before it has no room it stands first.
            let text = text.strip_prefix(BETWEEN).filter(|_| first).unwrap_or(text);
            first = false;
            let words = RichText::new(text).color(*colour);
            let show = if at == HAND { shortened_term_ui } else { shortened_ui };
            let shown = show(ui, words, most);
            match (at, *about) {
                (HAND, about) => leads_to_words(shown, "hand", about, actions),
                (_, "") => {}
                (_, about) => {
                    shown.tell_on_hover(about);
                }
            }
        }
    }
}

/// The name and what must be seen beside it, whole: the name gives way to it, down to a few letters.
fn must_be_seen_ui(
    ui: &mut Ui,
    bar: &TopBar,
    asides: &[(String, egui::Color32, &str); 3],
    mut wanted: [f32; 3],
    mut must: [bool; 3],
    title: f32,
    actions: &mut Vec<Action>,
) {
    let gap = ui.spacing().item_spacing.x;
    let room = ui.available_width();
    let [under, station, hand] = &mut wanted;
    let [sees_under, sees_station, sees_hand] = &mut must;
    if !*sees_station {
        // A station that is well is shown, too, where there is room for some of it.
        let left = room - title.min(0.4 * room) - *hand - 2.0 * gap;
        *station = station.min(left);
        *sees_station = left >= LEAST_PT;
    }
    // What is only good to know stands beside it where all of it has room.
    let mut taken = 0.0;
    for (width, sees) in [(&*station, &mut *sees_station), (hand, sees_hand), (under, sees_under)] {
        *sees |= *width > 0.0 && title + taken + *width + gap + APART_PT <= room;
        taken += if *sees { *width + gap + APART_PT } else { 0.0 };
    }
    let each = asides.iter().zip(wanted).zip(must).enumerate();
    let seen = each.filter(|(_, (_, must))| *must);
    // Signs between them only where the whole name has room beside all.
    let set_apart = title + taken <= room;
    if !set_apart {
        taken = seen.clone().map(|(_, ((_, width), _))| width + gap).sum();
    }
    if room >= TARGET {
        let title = title.min((room - taken).max(1.5 * TARGET));
        shortened_ui(ui, RichText::new(&bar.title).font(theme::bold(17.0)), title);
    }
    let mut first = true;
    for (at, (((text, colour, about), width), _)) in seen {
        if ui.available_width() >= TARGET {
            let text = text.strip_prefix(BETWEEN).unwrap_or(text);
            let apart = if first || !set_apart { "" } else { BETWEEN };
            first = false;
            let most = width + 1.0 + if apart.is_empty() { 0.0 } else { APART_PT };
            let words = RichText::new(format!("{apart}{text}")).color(*colour);
            let show = if at == HAND { shortened_term_ui } else { shortened_ui };
            let shown = show(ui, words, most);
            // The whole of it on hover and for a screen reader.
            let whole = if at == 1 { bar.station.as_str() } else { text };
            shown.widget_info(|| WidgetInfo::labeled(Role::Label, true, whole));
            match at {
                HAND => leads_to_words(shown, "hand", about, actions),
                _ => {
                    shown.tell_on_hover(format!("{whole}\n{about}"));
                }
            }
        }
    }
}

/// Which of the asides is the hand.
const HAND: usize = 2;

/// Between two asides.
const BETWEEN: &str = "· ";

/// More than that takes, points.
const APART_PT: f32 = 14.0;

/// Letters of a session's name in a menu.
const LONGEST_NAME: usize = 24;

/// Less than this of an aside tells nothing, points.
const LEAST_PT: f32 = 72.0;

/// How wide the name and each aside may be. Where there is not room for all, the name has what the least
/// of the asides leaves, and half of it at least; the asides share the rest, the station first to stay.
fn shares(room: f32, gap: f32, title: f32, wanted: [f32; 3]) -> (f32, [f32; 3]) {
    let taken = |given: &[f32; 3]| -> f32 {
        given.iter().filter(|width| **width > 0.0).map(|width| width + gap).sum()
    };
    if title + taken(&wanted) <= room {
        return (title, wanted);
    }
    let mut given = wanted.map(|width| width.min(LEAST_PT));
    let title = title.min((room - taken(&given)).max(0.5 * room));
    for dropped in [2, 0, 1] {
        if title + taken(&given) > room
            && let Some(width) = given.get_mut(dropped)
        {
            *width = 0.0;
        }
    }
    // What is left goes to those that want it, a little to each in turn.
    loop {
        let left = room - title - taken(&given);
        let wants = |given: f32, wanted: f32| given > 0.0 && given < wanted;
        let wanting = given.iter().zip(wanted).filter(|(given, wanted)| wants(**given, *wanted));
        let count = wanting.count();
        if count == 0 || left < 1.0 {
            return (title, given);
        }
        let each = left / count as f32;
        for (given, wanted) in given.iter_mut().zip(wanted) {
            if wants(*given, wanted) {
                *given = (*given + each).min(wanted);
            }
        }
    }
}

/// What the menu offers for the session.
const OF_SESSION: [UiCommand; 14] = [
    UiCommand::New,
    UiCommand::Open,
    UiCommand::KeepCopy,
    UiCommand::Report,
    UiCommand::CaseLabel,
    UiCommand::Seal,
    UiCommand::NewRound,
    UiCommand::Paste,
    UiCommand::Import,
    UiCommand::ReadPicture,
    UiCommand::Camera,
    UiCommand::CameraCommand,
    UiCommand::Receive,
    UiCommand::Handover,
];

/// And for the shop and the program.
const OF_SHOP: [UiCommand; 9] = [
    UiCommand::UnitsWaiting,
    UiCommand::CheckStation,
    UiCommand::Due,
    UiCommand::Keeps,
    UiCommand::BeginShop,
    UiCommand::Commands,
    UiCommand::Keys,
    UiCommand::Cautions,
    UiCommand::About,
];

/// Above and below an open menu, points: the bar, its own edges.
const UNDER_BAR: f32 = 48.0;

fn session_menu(ui: &mut Ui, bar: &TopBar, room: LayoutSize, actions: &mut Vec<Action>) {
    let small = room == LayoutSize::Small;
    let name = if small { "☰" } else { "Session" };
    let menu = ui.menu_button(name, |ui| {
        // A small window has no room for all of it: it scrolls, and the keyboard takes it along.
        let room = ui.ctx().content_rect().height() - UNDER_BAR;
        ui.set_max_height(room);
        ui.spacing_mut().item_spacing.y = 2.0;
        ScrollArea::vertical().max_height(room).show(ui, |ui| {
            if small {
                commands_ui(ui, &OF_SESSION, bar, actions);
                commands_ui(ui, &OF_SHOP, bar, actions);
                hand_and_recent_ui(ui, bar, actions);
                return;
            }
            // Side by side, so that the recent list is in sight where the window is 800 points high.
            ui.horizontal_top(|ui| {
                ui.vertical(|ui| commands_ui(ui, &OF_SESSION, bar, actions));
                // A line between them would pull the menu down to the window's foot.
                ui.add_space(12.0);
                ui.vertical(|ui| {
                    commands_ui(ui, &OF_SHOP, bar, actions);
                    hand_and_recent_ui(ui, bar, actions);
                });
            });
        });
    });
    menu.response.widget_info(|| WidgetInfo::labeled(Role::Button, true, "Session"));
}

fn commands_ui(ui: &mut Ui, commands: &[UiCommand], bar: &TopBar, actions: &mut Vec<Action>) {
    for &command in commands {
        let needs_session = !matches!(
            command,
            UiCommand::New
                | UiCommand::Open
                | UiCommand::CheckStation
                | UiCommand::UnitsWaiting
                | UiCommand::Due
                | UiCommand::Keeps
                | UiCommand::BeginShop
                | UiCommand::Commands
                | UiCommand::Keys
                | UiCommand::Cautions
                | UiCommand::About
        );
        let meant = bar.meant.as_ref().filter(|_| command.scope() == Scope::OfSession);
        let text =
            meant.map_or_else(|| command.text().to_owned(), |name| about(command.text(), name));
        let button = Button::new(text)
            .shortcut_text(command.key_words(ui.ctx()))
            .min_size(vec2(248.0, TARGET));
        let can = bar.open || meant.is_some() || !needs_session;
        let shown = followed(ui.add_enabled(can, button));
        let tip = meant.map_or_else(
            || command.tip().to_owned(),
            |name| format!("{} Here it is {name} that is meant.", command.tip()),
        );
        if shown.tell_on_hover(tip).clicked() {
            actions.push(Action::Do(command));
            ui.close();
        }
    }
}

fn hand_and_recent_ui(ui: &mut Ui, bar: &TopBar, actions: &mut Vec<Action>) {
    ui.separator();
    let name = ui.label(RichText::new("Hand: whose initials stand beside each reading").small());
    let mut hand = bar.hand.clone();
    let edit = egui::TextEdit::singleline(&mut hand)
        .id(egui::Id::unique("session menu hand"))
        .char_limit(24)
        .desired_width(200.0)
        .min_size(vec2(0.0, TARGET))
        .align(egui::Align2::LEFT_CENTER);
    if followed(ui.add(edit).labelled_by(name.id)).changed() {
        actions.push(Action::Hand(hand));
    }
    ui.separator();
    ui.label(RichText::new("Recent").small());
    if bar.recent.is_empty() {
        ui.label("none yet");
    }
    for (path, words) in &bar.recent {
        let button = followed(shortened_button_ui(ui, words, 220.0));
        if button.tell_on_hover(record::shown::path(path)).clicked() {
            actions.push(Action::OpenPath(path.clone()));
            ui.close();
        }
    }
}

/// A command's words with the name of the session it is about, cut where it is long.
fn about(text: &str, name: &str) -> String {
    let mut short: String = name.chars().take(LONGEST_NAME).collect();
    if short.len() < name.len() {
        short.push('…');
    }
    format!("{text} · {short}")
}

/// What the keyboard comes to is brought into sight.
fn followed(shown: Response) -> Response {
    if shown.gained_focus() {
        shown.scroll_to_me(None);
    }
    shown
}

/// From one place to another; marked while a session waits that a supervisor sent back.
fn place_menu(
    ui: &mut Ui,
    palette: &Palette,
    bar: &TopBar,
    room: LayoutSize,
    actions: &mut Vec<Action>,
) {
    let returned = paper::words::counted(bar.returned, "session returned", "sessions returned");
    // A count, and no alarm: what was sent back is no fault of what is on the bench.
    let name = match (room, bar.returned) {
        (LayoutSize::Small, 0) => "⇄".to_owned(),
        (LayoutSize::Small, count) => format!("⇄{count}"),
        (_, 0) => "Go to".to_owned(),
        (_, count) => format!("Go to ({count})"),
    };
    let menu = ui.menu_button(RichText::new(name).color(palette.text), |ui| {
        for place in Place::ALL {
            let command = place.command();
            let text = match (place, bar.returned) {
                (Place::Shop, 1..) => format!("Shop · {returned}"),
                (Place::Review, _) if bar.place == Place::Shop => bar
                    .meant
                    .as_ref()
                    .map_or_else(|| place.text().to_owned(), |name| about(place.text(), name)),
                _ => place.text().to_owned(),
            };
            let button = Button::selectable(place == bar.place, text)
                .shortcut_text(command.key_words(ui.ctx()))
                .min_size(vec2(248.0, TARGET));
            if ui.add(button).tell_on_hover(command.tip()).clicked() {
                actions.push(Action::Do(command));
                ui.close();
            }
        }
    });
    let telling = match bar.returned {
        0 => "Go to".to_owned(),
        _ => format!("Go to, {returned}"),
    };
    menu.response.widget_info(|| WidgetInfo::labeled(Role::Button, true, &telling));
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_share_is_within_the_room() {
        for room in [0.0, 40.0, 120.0, 300.0, 500.0, 900.0] {
            for title in [30.0, 200.0, 2000.0] {
                for wanted in [[0.0; 3], [90.0, 240.0, 60.0], [1500.0, 1500.0, 1500.0]] {
                    let (name, given) = shares(room, 8.0, title, wanted);
                    let asides: f32 =
                        given.iter().filter(|width| **width > 0.0).map(|width| width + 8.0).sum();
                    assert!(name + asides <= room.max(0.0) + 1.0, "{room} {title} {wanted:?}");
                    assert!(given.iter().zip(wanted).all(|(given, wanted)| *given <= wanted));
                }
            }
        }
        // Long as they all are, something of each is there.
        let (name, given) = shares(500.0, 8.0, 2000.0, [1500.0, 1500.0, 1500.0]);
        assert!(name >= 250.0 && given.iter().all(|width| *width >= LEAST_PT), "{name} {given:?}");
        // A short name leaves the rest to them.
        assert_eq!(shares(500.0, 8.0, 40.0, [50.0, 60.0, 70.0]), (40.0, [50.0, 60.0, 70.0]));
    }
}
