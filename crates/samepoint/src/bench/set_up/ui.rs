//! How the job is set up: said to begin a session, and said anew later.

use egui::{Button, ComboBox, Id, Key, RichText, Ui, vec2};
use record::{RingNumbering, Session};
use solver::Channel;

use super::{CheckSaid, Choice, SetUpSheet};
use crate::app::action::Action;
use crate::bench::station_words;
use crate::bench::station_words::Judging;
use crate::own_shop::OwnAction;
use crate::own_shop::form::KeptKind;
use crate::sheets::keyboard::{from_its_head, walk_list};
use crate::sheets::parts::{SheetContext, buttons_ui, first_field};
use crate::sheets::pick_or_type::{PickOrType, pick_or_type_ui};
use crate::theme;
use crate::theme::{Palette, TARGET};
use crate::ui_command::UiCommand;
use crate::views::use_words::limits;
use crate::widgets::{
    Label, Tell, TellOnHover, Tone, channel_label, follow_keyboard, message_ui, number_ui,
    page_keys, refused_ui, text_ui, tick_ui,
};

/// Two fields stand side by side where the sheet is this wide, points.
const PAIR: f32 = 400.0;

/// Room of a message at the foot, points.
const MESSAGE: f32 = 62.0;

/// Shows the sheet: everything but unit and hand may stay empty.
pub(crate) fn set_up_ui(
    ui: &mut Ui,
    palette: &Palette,
    sheet: &mut SetUpSheet,
    context: &SheetContext<'_>,
    actions: &mut Vec<Action>,
) {
    let session = context.state();
    let ended = sheet.round_ended(context.offers, session, context.now);
    let mut enter = false;
    let said = u8::from(ended.is_some()) + u8::from(sheet.refused.is_some());
    let messages = MESSAGE * f32::from(said);
    let foot = 52.0 + messages;
    let height = (ui.available_height() - foot).max(60.0);
    from_its_head(ui).max_height(height).show(ui, |ui| {
        // Room for the scroll bar, which floats.
        ui.set_width(ui.available_width() - 10.0);
        page_keys(ui, height);
        // What would do most harm if it were another's stands at the head, in sight without scrolling.
        enter |= unit_ui(ui, palette, sheet, context);
        if let Some(words) = sheet.shelf_words() {
            message_ui(ui, palette, Tone::Plain, &words, false);
        }
        if let Some(words) = sheet.other_tube_words(context.offers, context.state()) {
            message_ui(ui, palette, Tone::Look, &words, false);
        }
        chosen_ui(ui, palette, sheet, context);
        enter |= known_ui(ui, palette, sheet, context);
        heading(ui, "Bench");
        station_ui(ui, palette, sheet, context, actions);
        heading(ui, "Judged by");
        window_ui(ui, palette, sheet, context, actions);
        heading(ui, "Before reading");
        enter |= before_ui(ui, palette, sheet, actions);
        heading(ui, "Parts");
        enter |= parts_ui(ui, palette, sheet, context);
        heading(ui, "Job");
        enter |= job_ui(ui, palette, sheet);
        follow_keyboard(ui);
    });
    let above = ui.cursor().top();
    if let Some(round) = ended {
        let text = format!(
            "This opens the next round ({}): readings so far are kept apart.",
            round.why.word()
        );
        message_ui(ui, palette, Tone::Plain, &text, false);
    }
    refused_ui(ui, palette, sheet.refused.as_ref());
    // A short message leaves the buttons where they were.
    ui.add_space((above + messages - ui.cursor().top()).max(0.0));
    let on = if sheet.begins { "Start" } else { "Change" };
    if buttons_ui(ui, on, actions) || enter {
        actions.push(Action::TakeSetUp);
    }
}

fn heading(ui: &mut Ui, text: &str) {
    ui.add_space(8.0);
    ui.tell(RichText::new(text).font(theme::bold(15.0)));
}

fn quiet(ui: &mut Ui, palette: &Palette, text: &str) {
    ui.add(Label::new(RichText::new(text).small().color(palette.quiet)).wrap());
}

fn unit_ui(
    ui: &mut Ui,
    palette: &Palette,
    sheet: &mut SetUpSheet,
    context: &SheetContext<'_>,
) -> bool {
    let offers = context.offers;
    let names: Vec<&str> = offers.units.iter().map(|unit| unit.name.as_str()).collect();
    let field = PickOrType {
        id: first_field(),
        name: "Unit",
        hint: "what is written on it",
        offered: &names,
    };
    let (unit, hand) = (&mut sheet.unit, &mut sheet.hand);
    let (typed, entered) = in_a_pair(
        ui,
        |ui| pick_or_type_ui(ui, palette, &field, unit),
        |ui| text_ui(ui, palette, Id::unique("sheet hand"), "Hand", hand, "your initials"),
    );
    if let Some(unit) = typed.picked.and_then(|place| offers.units.get(place)) {
        sheet.pick_unit(unit);
    } else if typed.left
        && sheet.begins
        && sheet.tubes == Default::default()
        && sheet.eyepieces == Default::default()
        && let Some(unit) = offers.unit(&sheet.unit)
    {
        sheet.pick_unit(unit);
    }
    typed.enter || entered
}

/// Two things side by side; one below the other where the sheet is narrow.
fn in_a_pair<A, B>(
    ui: &mut Ui,
    first: impl FnOnce(&mut Ui) -> A,
    second: impl FnOnce(&mut Ui) -> B,
) -> (A, B) {
    if ui.available_width() < PAIR {
        return (first(ui), second(ui));
    }
    ui.columns_const(|[left, right]| (first(left), second(right)))
}

/// Station and tolerance window: taken over from the last session, and said so.
fn chosen_ui(ui: &mut Ui, palette: &Palette, sheet: &mut SetUpSheet, context: &SheetContext<'_>) {
    let (offers, session) = (context.offers, context.state().filter(|_| !sheet.begins));
    let here = session.and_then(Session::window);
    let mut windows: Vec<(Choice, String)> = Vec::new();
    windows.extend(here.map(|window| (Choice::AsItIs, format!("{}, as set up", window.name))));
    windows
        .extend((0..).map(Choice::OfShop).zip(offers.windows.iter().map(|kept| kept.name.clone())));
    if here.is_none() {
        windows.push((Choice::None, "none: nothing is judged".to_owned()));
    }
    let here = session.and_then(Session::station);
    let mut stations: Vec<(Choice, String)> = Vec::new();
    stations.extend(here.map(|station| (Choice::AsItIs, format!("{}, as set up", station.name))));
    stations.extend(
        (0..).map(Choice::OfShop).zip(offers.stations.iter().map(|kept| kept.name.clone())),
    );
    if here.is_none() {
        stations.push((Choice::None, "none: arcminutes from boresight".to_owned()));
    }
    let (window, station) = (&mut sheet.window, &mut sheet.station);
    in_a_pair(
        ui,
        |ui| choice_ui(ui, palette, "Tolerance window", &windows, window),
        |ui| choice_ui(ui, palette, "Station", &stations, station),
    );
    match sheet.window(offers, session) {
        Some(window) => quiet(ui, palette, &limits(window)),
        None if offers.windows.is_empty() => {
            quiet(ui, palette, "This shop keeps no window yet: add one below.");
        }
        None => quiet(ui, palette, "Nothing is judged without a window."),
    }
}

/// The housing, and what the shop knows of the unit.
fn known_ui(
    ui: &mut Ui,
    palette: &Palette,
    sheet: &mut SetUpSheet,
    context: &SheetContext<'_>,
) -> bool {
    let offers = context.offers;
    let shop = match (offers.units.len(), offers.unit(&sheet.unit)) {
        (_, Some(unit)) if !unit.note.is_empty() => format!("This shop knows it: {}", unit.note),
        (_, Some(_)) => "This shop knows it, and its parts.".to_owned(),
        (0, None) => format!(
            "{} keeps no units yet; type what is written on this one.",
            sentence_name(&offers.shop)
        ),
        _ => "Not in this shop yet; what is typed is kept in the session.".to_owned(),
    };
    quiet(ui, palette, &shop);
    let housings: Vec<&str> = offers.housings.iter().map(|kept| kept.name.as_str()).collect();
    let field = PickOrType {
        id: Id::unique("sheet housing"),
        name: "Housing",
        hint: "its type",
        offered: &housings,
    };
    let enter = pick_or_type_ui(ui, palette, &field, &mut sheet.housing).enter;
    let known = match sheet.housing(offers, context.state()) {
        None => {
            "Not said: rings are set to whole degrees, and no shim can be worked out.".to_owned()
        }
        Some(housing) => housing_words(&housing),
    };
    quiet(ui, palette, &known);
    enter
}

fn sentence_name(shop: &str) -> String {
    if shop.is_empty() { "This shop".to_owned() } else { format!("The shop “{shop}”") }
}

fn housing_words(housing: &record::Housing) -> String {
    use record::{Adjustment, TubeKind};
    let moves = match housing.adjustment {
        Adjustment::Hinge(_) => "pods swing about hinges",
        Adjustment::Slide => "pods slide",
        Adjustment::Unknown => "how its pods move is not known",
    };
    let tubes = match housing.tube {
        TubeKind::Inverting => "inverting tubes",
        TubeKind::StraightThrough => "straight-through tubes",
    };
    let shims = if housing.seat.is_some() { "takes shims" } else { "no seat for shims is known" };
    let rings = paper::words::degrees(housing.ring_step_deg, housing.ring_step_deg);
    format!("{}: {moves}, {tubes}, {shims}, rings set to {rings}.", housing.name)
}

fn station_ui(
    ui: &mut Ui,
    palette: &Palette,
    sheet: &mut SetUpSheet,
    context: &SheetContext<'_>,
    actions: &mut Vec<Action>,
) {
    let offers = context.offers;
    let session = context.state();
    if offers.stations.is_empty() {
        let none = "This shop keeps no station. “What the shop keeps…” (Alt+A) adds one; this sheet waits.";
        quiet(ui, palette, none);
    }
    let Some(station) = sheet.station(offers, session, context.now) else {
        quiet(ui, palette, "Readings are arcminutes from boresight, with no stated uncertainty.");
        return;
    };
    let judging = Judging::by(offers.checked_on(&station.name, context.now.date()));
    for sentence in station_words::told(&station, judging, context.now) {
        quiet(ui, palette, &sentence);
    }
    let troubles = station_words::troubles(&station, judging, context.now);
    if !troubles.is_empty() {
        let text = format!("{} Logging goes on; every verdict will say so.", troubles.join(" "));
        message_ui(ui, palette, Tone::Look, &text, false);
    }
    quiet(ui, palette, "Today's check against the check standard");
    ui.horizontal_wrapped(|ui| {
        for (said, text) in [
            (CheckSaid::AsKnown, "as known"),
            (CheckSaid::Right, "read right just now"),
            (CheckSaid::Wrong, "read wrong just now"),
        ] {
            let button = Button::selectable(sheet.check == said, text).min_size(vec2(0.0, TARGET));
            if ui.add(button).clicked() {
                sheet.check = said;
            }
        }
    });
    if sheet.check != CheckSaid::AsKnown
        && text_ui(ui, palette, Id::unique("sheet check"), "Seen", &mut sheet.check_note, "")
    {
        actions.push(Action::TakeSetUp);
    }
}

fn window_ui(
    ui: &mut Ui,
    palette: &Palette,
    sheet: &mut SetUpSheet,
    context: &SheetContext<'_>,
    actions: &mut Vec<Action>,
) {
    if let Some(window) = sheet.window(context.offers, context.state()) {
        quiet(ui, palette, &format!("{}. Source: {}", window.name, window.source));
        if !window.note.is_empty() {
            quiet(ui, palette, &window.note);
        }
    }
    if ui.add(Button::new("Add a window to the shop…").min_size(vec2(0.0, TARGET))).clicked() {
        actions.push(Action::Own(OwnAction::Edit(KeptKind::Window, None)));
    }
}

fn before_ui(
    ui: &mut Ui,
    palette: &Palette,
    sheet: &mut SetUpSheet,
    actions: &mut Vec<Action>,
) -> bool {
    let mut enter = false;
    for (item, done) in &mut sheet.seen_to {
        enter |= tick_ui(ui, Id::unique(("seen to", item.word())), done, item.word());
    }
    quiet(ui, palette, "None of this is asked for; what is ticked is on record.");
    let cautions = Button::new(UiCommand::Cautions.text()).min_size(vec2(0.0, TARGET));
    let tip = crate::widgets::tip(ui, UiCommand::Cautions);
    if ui.add(cautions).tell_on_hover(tip).clicked() {
        actions.push(Action::Do(UiCommand::Cautions));
    }
    enter
}

fn parts_ui(
    ui: &mut Ui,
    palette: &Palette,
    sheet: &mut SetUpSheet,
    context: &SheetContext<'_>,
) -> bool {
    let (tubes, eyepieces) = (context.offers.tubes(), context.offers.eyepieces());
    let mut enter = false;
    ui.columns(2, |columns| {
        for (channel, ui) in Channel::BOTH.into_iter().zip(columns) {
            channel_label(ui, palette, channel, "");
            for (part, salt, offered, serial) in [
                ("tube", "sheet tube", &tubes, &mut sheet.tubes[channel]),
                ("eyepiece", "sheet eyepiece", &eyepieces, &mut sheet.eyepieces[channel]),
            ] {
                let name = format!("{channel} {part}");
                let id = Id::unique((salt, channel));
                let field = PickOrType { id, name: &name, hint: "serial", offered };
                enter |= pick_or_type_ui(ui, palette, &field, serial).enter;
            }
            let choices = [
                (RingNumbering::NotSaid, "not said".to_owned()),
                (RingNumbering::Clockwise, "clockwise".to_owned()),
                (RingNumbering::Counter, "counter-clockwise".to_owned()),
            ];
            let name = format!("{channel} ring numbered");
            choice_ui(ui, palette, &name, &choices, &mut sheet.rings[channel]);
            enter |= number_ui(
                ui,
                palette,
                Id::unique(("sheet dioptre", channel)),
                &format!("{channel} dioptre at"),
                &mut sheet.dioptre[channel],
                "0",
            );
        }
    });
    quiet(
        ui,
        palette,
        "Rings are numbered as one sees them looking into the eyepiece; not said: the readings \
         decide where they can.",
    );
    enter
}

fn job_ui(ui: &mut Ui, palette: &Palette, sheet: &mut SetUpSheet) -> bool {
    let id = |field: &'static str| Id::unique(("sheet job", field));
    let ipd = "Interpupillary distance set, mm";
    let mut enter = number_ui(ui, palette, id("ipd"), ipd, &mut sheet.ipd_mm, "");
    let mut field = |ui: &mut Ui, key, name: &str, text: &mut String, hint: &str| {
        enter |= text_ui(ui, palette, id(key), name, text, hint);
    };
    field(ui, "job", "Job", &mut sheet.job, "order or job number");
    field(ui, "customer", "Customer", &mut sheet.customer, "whose unit it is");
    field(ui, "complaint", "Complaint", &mut sheet.complaint, "what is wrong, in their words");
    field(ui, "note", "Note", &mut sheet.note, "anything else worth knowing");
    enter
}

fn choice_ui<T: Copy + PartialEq>(
    ui: &mut Ui,
    palette: &Palette,
    name: &str,
    choices: &[(T, String)],
    chosen: &mut T,
) {
    let label = ui.tell(RichText::new(name).color(palette.quiet));
    let text = choices.iter().find(|(choice, _)| choice == chosen).map_or("", |(_, text)| text);
    let known = Id::unique(("button of a choice", name));
    let button = ui.data(|data| data.get_temp::<Id>(known)).unwrap_or(Id::NULL);
    let (mut picked, was_open) = (false, ComboBox::is_open(ui.ctx(), button));
    let shown = ComboBox::from_id_salt(name)
        .width(ui.available_width() - 8.0)
        .truncate()
        .selected_text(text)
        .truncate()
        .show_ui(ui, |ui| {
            // A keyboard that opened the list goes to what is chosen in it.
            let arrives = ui.memory(|memory| memory.has_focus(button));
            let mut offers = Vec::new();
            for (choice, text) in choices {
                let offered = ui.selectable_value(chosen, *choice, text);
                if arrives && choice == chosen {
                    offered.request_focus();
                }
                picked |= offered.clicked();
                offers.push(offered);
            }
            walk_list(ui, &offers);
            if picked {
                ui.close();
            }
        })
        .response
        .labelled_by(label.id);
    ui.data_mut(|data| data.insert_temp(known, shown.id));
    // Escape takes the keyboard away with the list.
    if picked || (was_open && ui.input(|input| input.key_pressed(Key::Escape))) {
        ui.memory_mut(|memory| memory.request_focus(button));
    }
}
