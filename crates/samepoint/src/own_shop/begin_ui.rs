//! The one question of the first start; and beginning a shop: each thing asked for with why it is asked.

use egui::{Id, RichText, Ui};

use super::OwnAction;
use super::begin::BeginSheet;
use crate::app::action::Action;
use crate::sheets::keyboard::from_its_head;
use crate::sheets::parts::{buttons_ui, first_field, waiting_button};
use crate::sheets::paths::ask_ui;
use crate::theme::Palette;
use crate::widgets::{
    Label, Tone, follow_keyboard, message_ui, page_keys, refused_ui, text_ui, tick_ui,
};

/// Said before what was typed is dropped.
pub(crate) const ESC_DROPS: &str =
    "Esc again drops what is typed here; anything else goes on with it.";

/// Shows the question. `fresh`: it has just come to the front.
pub(crate) fn first_start_ui(
    ui: &mut Ui,
    palette: &Palette,
    fresh: bool,
    actions: &mut Vec<Action>,
) {
    quiet(
        ui,
        palette,
        "samepoint keeps everything of a shop in one folder: its stations, tolerance windows, housings, hands and \
         sessions.",
    );
    ui.add_space(6.0);
    let begin = "Begin a shop…";
    if waiting_button(ui, begin, "A folder of your own, with nothing invented in it.", fresh) {
        actions.push(Action::Own(OwnAction::AskBegin));
    }
    quiet(
        ui,
        palette,
        "For work on real units. It asks for a name and a folder; all else can wait.",
    );
    ui.add_space(6.0);
    let look = "Look round the demo shop";
    if waiting_button(ui, look, "It is open behind this already.", false) {
        actions.push(Action::Own(OwnAction::LookRound));
    }
    quiet(
        ui,
        palette,
        "Everything in it is invented: a year of sessions to look at, and a bench to try. A shop of your own can \
         be begun at any time, under “Session”. An existing one is opened with Ctrl+O.",
    );
}

/// Shows what is asked to begin a shop.
pub(crate) fn begin_ui(
    ui: &mut Ui,
    palette: &Palette,
    sheet: &mut BeginSheet,
    actions: &mut Vec<Action>,
) {
    let foot = 52.0 + if sheet.folder.refused.is_some() || sheet.asks_drop() { 62.0 } else { 0.0 };
    let mut enter = false;
    let height = (ui.available_height() - foot).max(60.0);
    from_its_head(ui).max_height(height).show(ui, |ui| {
        ui.set_width(ui.available_width() - 10.0);
        page_keys(ui, height);
        enter = asked_ui(ui, palette, sheet, actions);
        follow_keyboard(ui);
    });
    refused_ui(ui, palette, sheet.folder.refused.as_ref());
    if sheet.asks_drop() {
        message_ui(ui, palette, Tone::Look, ESC_DROPS, false);
    }
    if buttons_ui(ui, "Begin", actions) || enter {
        actions.push(Action::Own(OwnAction::Begin));
    }
}

/// All that is asked; whether Enter was pressed in a field.
fn asked_ui(
    ui: &mut Ui,
    palette: &Palette,
    sheet: &mut BeginSheet,
    actions: &mut Vec<Action>,
) -> bool {
    let id = |field: &'static str| Id::unique(("begin a shop", field));
    let mut enter = text_ui(
        ui,
        palette,
        first_field(),
        "Name of the shop",
        &mut sheet.name,
        "as on your papers",
    );
    quiet(ui, palette, "It stands at the head of every report, and in the window’s lists.");
    enter |= text_ui(ui, palette, id("address"), "Address", &mut sheet.address, "can wait");
    enter |= text_ui(ui, palette, id("folder"), "Folder of the shop", &mut sheet.folder.path, "");
    quiet(
        ui,
        palette,
        "Everything of the shop lies there, and may lie on a shared drive. It is made; nothing that stands there \
         already is touched.",
    );
    ask_ui(ui, palette, sheet.folder.asking, actions);
    enter |= text_ui(ui, palette, id("initials"), "Your initials", &mut sheet.initials, "can wait");
    quiet(
        ui,
        palette,
        "They stand beside every reading you take. With them you are the first hand the shop lists, and from then \
         on it checks who may sign. Without, nobody’s authority is checked, and every report says so.",
    );
    enter |= text_ui(
        ui,
        palette,
        id("hand name"),
        "Your name in full",
        &mut sheet.hand_name,
        "can wait",
    );
    enter |= tick_ui(ui, id("signs"), &mut sheet.signs, "I sign verdicts (technician)");
    let countersigns = "I countersign what others sign (supervisor)";
    enter |= tick_ui(ui, id("countersigns"), &mut sheet.countersigns, countersigns);
    quiet(
        ui,
        palette,
        "Both are ticked, since who begins a shop often has nobody beside. What one hand signed, the same hand \
         never countersigns: that waits for another.",
    );
    enter
}

fn quiet(ui: &mut Ui, palette: &Palette, text: &str) {
    ui.add(Label::new(RichText::new(text).small().color(palette.quiet)).wrap());
}
