//! A repeatability and reproducibility study: which, what to measure next, and what it tells.
//!
//! - [`plan`](mod@plan): a plan being written; [`table`]: how far the study has come;
//!   [`result`]: what it tells; [`chart`]: the readings by unit and hand.

pub(crate) mod chart;
pub(crate) mod plan;
pub(crate) mod result;
pub(crate) mod table;

use egui::{Button, ComboBox, Id, Key, RichText, TextEdit, Ui, WidgetInfo, accesskit::Role, vec2};
use record::{Meaning as _, NamedWindow};

use super::{OpenStudy, StudyAction, Studying};
use crate::shell::kept_file::{Mend, saved_words};
use crate::shell::offers::Offers;
use crate::shell::reading_form::{ReadingForm, ReadingFormLook, reading_form_ui};
use crate::theme;
use crate::theme::{Palette, TARGET};
use crate::widgets::{Label, Tell, Tone, Y_FIELD_TIP, message_ui, page_ui};

/// Lines longer than this are hard to read, points.
const MEASURE: f32 = 860.0;

/// What the place looks at and never changes.
pub(crate) struct StudyContext<'a> {
    /// What the shop offers.
    pub offers: &'a Offers,
    /// The open session's tolerance window.
    pub window: Option<&'a NamedWindow>,
    /// Whose initials stand beside each entry.
    pub hand: &'a str,
}

/// Shows it.
pub(crate) fn study_ui(
    ui: &mut Ui,
    palette: &Palette,
    studying: &mut Studying,
    context: &StudyContext<'_>,
    actions: &mut Vec<StudyAction>,
) {
    which_ui(ui, studying, context.hand, actions);
    page_ui(ui, "study", |ui| {
        ui.set_max_width(MEASURE.min(ui.available_width()));
        if let Some(form) = &mut studying.plan {
            plan::plan_ui(ui, palette, form, context, actions);
            return;
        }
        let Studying { open: Some(open), cell, withdrawing, notice, .. } = studying else {
            empty_ui(ui, palette, &studying.notice);
            return;
        };
        ui.tell(RichText::new(&open.picture().title).color(palette.quiet));
        for remark in &open.picture().remarks {
            message_ui(ui, palette, Tone::Look, remark, false);
        }
        next_ui(ui, palette, open);
        if let Some((_, reason)) = withdrawing {
            withdraw_ui(ui, palette, reason, cell.refused.as_ref().map(|(_, why)| why), actions);
        } else if open.picture().cell.is_some() {
            cell_ui(ui, palette, open, cell, context, actions);
        }
        saved_ui(ui, palette, open, notice, actions);
        result::result_ui(ui, palette, open, context.window.or(context.offers.windows.first()));
        table::table_ui(ui, palette, open.picture());
        if withdrawing.is_none() {
            table::measurements_ui(ui, palette, open.picture(), actions);
        }
    });
}

/// Which study is open, and how to begin another.
fn which_ui(ui: &mut Ui, studying: &Studying, hand: &str, actions: &mut Vec<StudyAction>) {
    ui.horizontal_wrapped(|ui| {
        let here = studying.open.as_ref().map(|open| open.file().path());
        let named = studying.list.iter().find(|(path, _)| Some(path.as_path()) == here);
        let words = named.map_or("none open", |(_, words)| words.as_str());
        let shown =
            ComboBox::from_id_salt("which study").width(260.0).selected_text(words).truncate();
        let shown = shown.show_ui(ui, |ui| {
            for (path, words) in &studying.list {
                let chosen = Some(path.as_path()) == here;
                let button = Button::selectable(chosen, words).min_size(vec2(240.0, TARGET));
                if ui.add(button).clicked() && !chosen {
                    actions.push(StudyAction::Open(path.clone()));
                }
            }
        });
        shown.response.widget_info(|| WidgetInfo {
            label: Some("Study".to_owned()),
            current_text_value: Some(words.to_owned()),
            ..WidgetInfo::new(Role::ComboBox)
        });
        let new = Button::new("New study…").min_size(vec2(0.0, TARGET));
        if ui.add_enabled(studying.plan.is_none(), new).clicked() {
            actions.push(StudyAction::Plan);
        }
        let name = ui.label("Entered by");
        let mut typed = hand.to_owned();
        let edit = TextEdit::singleline(&mut typed)
            .id(Id::unique("study hand"))
            .hint_text("initials")
            .char_limit(24)
            .desired_width(90.0)
            .min_size(vec2(0.0, TARGET))
            .align(egui::Align2::LEFT_CENTER);
        if ui.add(edit).labelled_by(name.id).changed() {
            actions.push(StudyAction::Hand(typed));
        }
    });
    ui.add_space(4.0);
}

fn empty_ui(ui: &mut Ui, palette: &Palette, notice: &str) {
    let words = "No study yet; New study… begins one. A study has the same units read by several hands, several times, in \
                 an order that is drawn by lot. It tells how far one hand repeats itself, how far \
                 hands differ, and whether the bench can tell a good unit from a bad one.";
    ui.add(Label::new(words).wrap());
    if !notice.is_empty() {
        message_ui(ui, palette, Tone::Look, notice, false);
    }
}

/// What to do now, to be read from a distance.
fn next_ui(ui: &mut Ui, palette: &Palette, open: &OpenStudy) {
    let picture = open.picture();
    let colour = if picture.cell.is_some() { palette.here } else { palette.inside };
    let next = RichText::new(&picture.next).font(theme::bold(24.0)).color(colour);
    ui.add(Label::new(next).wrap());
    if picture.cell.is_some() {
        let quiet = "Take the unit off and seat it anew, as on any day. Values stay out of sight \
                     until the table is full: a hand that knows the others' no longer reads by \
                     itself.";
        ui.add(Label::new(RichText::new(quiet).small().color(palette.quiet)).wrap());
    }
    ui.add_space(4.0);
}

/// Ring, x, y of the next cell; Enter in y logs.
fn cell_ui(
    ui: &mut Ui,
    palette: &Palette,
    open: &OpenStudy,
    cell: &mut ReadingForm,
    context: &StudyContext<'_>,
    actions: &mut Vec<StudyAction>,
) {
    let station = open.study().about().and_then(|about| {
        context.offers.stations.iter().find(|station| station.name == about.station)
    });
    let sign = station.map_or("′", |station| station.usual_unit.sign());
    let id = |field| Id::unique(("study cell", field));
    let look = ReadingFormLook { of: "cell", sign, width: 96.0, commands: &[], id };
    let mut log = false;
    ui.horizontal(|ui| {
        (log, _) = reading_form_ui(ui, palette, cell, &look);
        ui.vertical(|ui| {
            ui.label(RichText::new(" ").small());
            let button = Button::new(RichText::new("Log the cell").font(theme::bold(14.5)))
                .min_size(vec2(110.0, TARGET));
            log |= ui.add(button).on_hover_text(Y_FIELD_TIP).clicked();
        });
    });
    if let Some((_, why)) = &cell.refused {
        message_ui(ui, palette, Tone::Look, why, false);
    }
    if log {
        actions.push(StudyAction::Log);
    }
}

/// Why a measurement is to be left out.
fn withdraw_ui(
    ui: &mut Ui,
    palette: &Palette,
    reason: &mut String,
    refused: Option<&String>,
    actions: &mut Vec<StudyAction>,
) {
    let name = ui.label("Why it is withdrawn; it stays in the file with the reason");
    let edit = TextEdit::singleline(reason)
        .id(Id::unique("study withdraw reason"))
        .hint_text("graticule misread, wrong unit, …")
        .min_size(vec2(0.0, TARGET))
        .align(egui::Align2::LEFT_CENTER)
        .desired_width(f32::INFINITY);
    let response = ui.add(edit).labelled_by(name.id);
    let entered = response.lost_focus() && ui.input(|input| input.key_pressed(Key::Enter));
    if !response.has_focus() && !entered && ui.memory(|memory| memory.focused().is_none()) {
        response.request_focus();
    }
    if let Some(why) = refused {
        message_ui(ui, palette, Tone::Look, why, false);
    }
    ui.horizontal(|ui| {
        let withdraw = Button::new("Withdraw it").min_size(vec2(110.0, TARGET));
        if ui.add(withdraw).clicked() || entered {
            actions.push(StudyAction::Withdraw);
        }
        if ui.add(Button::new("Keep it").min_size(vec2(80.0, TARGET))).clicked() {
            actions.push(StudyAction::KeepIt);
        }
    });
}

/// What was done last, whether it is safe, and what can be done where it is not.
fn saved_ui(
    ui: &mut Ui,
    palette: &Palette,
    open: &OpenStudy,
    notice: &str,
    actions: &mut Vec<StudyAction>,
) {
    let (words, look) = saved_words(open.file());
    let colour = if look { palette.look } else { palette.quiet };
    let words = if notice.is_empty() { words } else { format!("{notice} · {words}") };
    ui.add(Label::new(RichText::new(words).small().color(colour)).wrap());
    for mend in Mend::of(open.file()) {
        if ui.add(Button::new(mend.text()).min_size(vec2(0.0, TARGET))).clicked() {
            actions.push(StudyAction::Mend(*mend));
        }
    }
    ui.add_space(6.0);
}
