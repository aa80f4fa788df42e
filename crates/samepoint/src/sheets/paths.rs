//! Open a session; keep a copy; go on in a new file; put its report in a file; save a picture; read one.

use std::path::PathBuf;

use egui::{Button, RichText, ScrollArea, Ui, vec2};

use super::parts::{buttons_ui, first_field};
use crate::app::action::Action;
use crate::places::practice::PracticeAction;
use crate::places::shop::ShopAction;
use crate::shell::kept_file::Mend;
use crate::shell::offers::Offers;
use crate::shell::path_sheet::PathSheet;
use crate::theme;
use crate::theme::{Palette, TARGET};
use crate::waiting::{ContinueSheet, WaitingAction};
use crate::widgets::{Label, Tell, TellOnHover, refused_ui, shortened_button_ui, text_ui, tick_ui};

/// What is asked of a report.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ReportSheet {
    /// Where to.
    pub path: PathSheet,
    /// Whether it shows the pictures that confirm readings rest on.
    pub pictures: bool,
    /// Whether it is being written.
    pub writing: bool,
}

impl ReportSheet {
    /// Of a session, beside it.
    #[must_use]
    pub fn of(session: &std::path::Path, to: &std::path::Path) -> Self {
        Self { path: PathSheet::of(session, to), ..Self::default() }
    }
}

pub(crate) fn open_ui(
    ui: &mut Ui,
    palette: &Palette,
    sheet: &mut PathSheet,
    offers: &Offers,
    actions: &mut Vec<Action>,
) {
    let enter = text_ui(
        ui,
        palette,
        first_field(),
        "Path of a session or a shop folder",
        &mut sheet.path,
        "",
    );
    refused_ui(ui, palette, sheet.refused.as_ref());
    let open = buttons_ui(ui, "Open", actions);
    if (open || enter)
        && let Some(path) = sheet.chosen()
    {
        actions.push(Action::OpenPath(path));
    }
    ask_ui(ui, palette, sheet.asking, actions);
    ui.separator();
    let title = RichText::new(format!("Sessions of {}", offers.shop)).font(theme::bold(14.5));
    ui.add(Label::new(title).truncate());
    if offers.sessions.is_empty() {
        let text = "none yet: “New session…” starts one for the unit on the bench";
        ui.tell(RichText::new(text).color(palette.quiet));
    }
    ScrollArea::vertical().max_height(260.0).show(ui, |ui| {
        for (path, words) in &offers.sessions {
            let button = shortened_button_ui(ui, words, ui.available_width() - 12.0);
            if button.tell_on_hover(record::shown::path(path)).clicked() {
                actions.push(Action::OpenPath(path.clone()));
            }
        }
    });
}

/// What a sheet that puts something in a file says, and what it does.
struct Put {
    /// The name of its field.
    field: &'static str,
    /// What is worth knowing.
    note: &'static str,
    /// The word on its button.
    verb: &'static str,
    /// What to do with the path.
    action: fn(PathBuf) -> Action,
}

pub(crate) fn copy_ui(
    ui: &mut Ui,
    palette: &Palette,
    sheet: &mut PathSheet,
    actions: &mut Vec<Action>,
) {
    let put = Put {
        field: "Path of the copy",
        note: "Facts that are only in memory are in the copy too. Logging goes on in the session's own file.",
        verb: "Keep",
        action: Action::KeepCopyTo,
    };
    put_ui(ui, palette, sheet, &put, actions);
}

pub(crate) fn continue_ui(
    ui: &mut Ui,
    palette: &Palette,
    sheet: &mut ContinueSheet,
    actions: &mut Vec<Action>,
) {
    let field = "Path of the new file";
    let enter = text_ui(ui, palette, first_field(), field, &mut sheet.path.path, "");
    ui.tell(RichText::new(&sheet.told).color(palette.quiet));
    refused_ui(ui, palette, sheet.path.refused.as_ref());
    let pressed = buttons_ui(ui, "Continue there", actions);
    let to = |agreed| {
        let path = sheet.path.chosen();
        path.map(|path| Action::Waiting(WaitingAction::ContinueTo(path, agreed)))
    };
    if pressed || enter {
        actions.extend(to(false));
    }
    if sheet.must_agree {
        let agree = Button::new(Mend::Agree.text()).min_size(vec2(0.0, TARGET));
        if ui.add(agree).tell_on_hover(Mend::Agree.tip()).clicked() {
            actions.extend(to(true));
        }
    }
    ask_ui(ui, palette, sheet.path.asking, actions);
}

pub(crate) fn report_ui(
    ui: &mut Ui,
    palette: &Palette,
    sheet: &mut ReportSheet,
    actions: &mut Vec<Action>,
) {
    let put = Put {
        field: "Path of the report",
        note: ".pdf: the report on A4. .svg: the field plot alone.",
        verb: "Write",
        action: Action::ReportTo,
    };
    let ReportSheet { path, pictures, writing } = sheet;
    let tick = egui::Id::unique("report pictures");
    let words = "Show the pictures that confirm readings rest on, small";
    put_with_ui(ui, palette, path, &put, actions, |ui| {
        let enter = tick_ui(ui, tick, pictures, words);
        if *writing {
            ui.tell("The report is being written…");
        }
        enter
    });
}

pub(crate) fn recall_ui(
    ui: &mut Ui,
    palette: &Palette,
    sheet: &mut PathSheet,
    actions: &mut Vec<Action>,
) {
    let put = Put {
        field: "Path of the recall list",
        note: "A name in .pdf, on A4. It is written also when there is nothing to recall, and says so.",
        verb: "Write",
        action: |path| Action::Shop(ShopAction::RecallListTo(path)),
    };
    put_ui(ui, palette, sheet, &put, actions);
}

pub(crate) fn progress_ui(
    ui: &mut Ui,
    palette: &Palette,
    sheet: &mut PathSheet,
    actions: &mut Vec<Action>,
) {
    let put = Put {
        field: "Path of the table",
        note: "A name in .csv: one line for each signed unit, every part of its score.",
        verb: "Write",
        action: |path| Action::Practice(PracticeAction::CsvTo(path)),
    };
    put_ui(ui, palette, sheet, &put, actions);
}

pub(crate) fn picture_ui(
    ui: &mut Ui,
    palette: &Palette,
    sheet: &mut PathSheet,
    actions: &mut Vec<Action>,
) {
    let put = Put {
        field: "Path of the picture",
        note: "A name in .svg is drawn in lines, one in .png in pixels; what is in view is saved.",
        verb: "Save",
        action: Action::SavePictureTo,
    };
    put_ui(ui, palette, sheet, &put, actions);
}

pub(crate) fn read_picture_ui(
    ui: &mut Ui,
    palette: &Palette,
    sheet: &mut PathSheet,
    actions: &mut Vec<Action>,
) {
    let put = Put {
        field: "Path of the station’s picture",
        note: "PNG, JPEG, PNM or TIFF, as the station’s camera took it. Its number comes into the entry row and is \
               logged by Enter alone.",
        verb: "Read",
        action: Action::ReadPicture,
    };
    put_ui(ui, palette, sheet, &put, actions);
}

fn put_ui(
    ui: &mut Ui,
    palette: &Palette,
    sheet: &mut PathSheet,
    put: &Put,
    actions: &mut Vec<Action>,
) {
    put_with_ui(ui, palette, sheet, put, actions, |_| false);
}

/// The same with something more below the note, which says whether Enter was pressed in it.
fn put_with_ui(
    ui: &mut Ui,
    palette: &Palette,
    sheet: &mut PathSheet,
    put: &Put,
    actions: &mut Vec<Action>,
    more: impl FnOnce(&mut Ui) -> bool,
) {
    if let Some(of) = &sheet.of {
        let of = format!("Of session {}", crate::shell::open_shop::words_of(of));
        ui.add(Label::new(of).wrap());
    }
    let enter = text_ui(ui, palette, first_field(), put.field, &mut sheet.path, "");
    ui.tell(RichText::new(put.note).color(palette.quiet));
    let more = more(ui);
    refused_ui(ui, palette, sheet.refused.as_ref());
    let pressed = buttons_ui(ui, put.verb, actions);
    if (pressed || enter || more)
        && let Some(path) = sheet.chosen()
    {
        actions.push((put.action)(path));
    }
    ask_ui(ui, palette, sheet.asking, actions);
}

/// The way to the desktop's own dialog. `asking`: it is open already.
pub(crate) fn ask_ui(ui: &mut Ui, palette: &Palette, asking: bool, actions: &mut Vec<Action>) {
    if asking {
        ui.label(RichText::new("The file dialog is open…").color(palette.quiet));
    } else if ui
        .add(Button::new("Choose with a file dialog…").min_size(vec2(0.0, TARGET)))
        .clicked()
    {
        actions.push(Action::AskPath);
    }
}
