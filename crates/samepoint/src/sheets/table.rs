//! The table of sheets: what each holds, what it is called, what is true of it, and what shows it.

use egui::{Key, KeyboardShortcut, Ui};
use record::Session;

use super::about::about_ui;
use super::choose::{ChooseSheet, choose_ui};
use super::commands::{CommandSheet, commands_ui};
use super::glossary::glossary_ui;
use super::keyboard::LOG_BLOCK;
use super::keypad::keypad_ui;
use super::label::{LabelSheet, label_ui};
use super::of_shop::of_shop_ui;
use super::own_remedy::{OwnRemedySheet, own_remedy_ui};
use super::parts::{SheetContext, scrolled};
use super::paths::{
    ReportSheet, continue_ui, copy_ui, open_ui, picture_ui, progress_ui, read_picture_ui,
    recall_ui, report_ui,
};
use super::pedals::{PedalSheet, pedals_ui};
use super::reading::{cautions_ui, keys_ui};
use super::round::{RoundSheet, round_ui};
use super::row::{SheetTrait, sheets};
use super::withdraw::{WithdrawSheet, withdraw_ui};
use crate::app::action::Action;
use crate::bench::blocks::ui::{import_ui, paste_ui};
use crate::bench::blocks::{ImportSheet, PasteSheet};
use crate::bench::camera::live::command_ui::{CameraSheet, camera_ui};
use crate::bench::day::handover_ui::handover_ui;
use crate::bench::day::receiving_ui::receiving_ui;
use crate::bench::day::units_ui::units_ui;
use crate::bench::day::{HandoverSheet, ReceivingSheet, UnitsSheet};
use crate::bench::practice_unit::hidden::HiddenView;
use crate::bench::practice_unit::hidden_ui::hidden_ui;
use crate::bench::session::OpenSession;
use crate::bench::set_up::SetUpSheet;
use crate::bench::set_up::ui::set_up_ui;
use crate::bench::signing::looking_ui::looking_ui;
use crate::bench::signing::sealing::SealSheet;
use crate::bench::signing::sealing::ui::seal_ui;
use crate::bench::signing::sign_ui::sign_ui;
use crate::bench::signing::{LookingSheet, SignSheet};
use crate::dialogs::{Ask, SAVE_PICTURE};
use crate::own_shop::begin::BeginSheet;
use crate::own_shop::begin_ui::{begin_ui, first_start_ui};
use crate::own_shop::finding::FindSheet;
use crate::own_shop::finding::finding_ui::finding_ui;
use crate::own_shop::form::Form;
use crate::own_shop::form_ui::form_ui;
use crate::own_shop::keeps_ui::keeps_ui;
use crate::own_shop::listing::ListSheet;
use crate::own_shop::listing::listing_ui::listing_ui;
use crate::shell::of_shop::{OfShop, OfShopSheet};
use crate::shell::path_sheet::{AskFrom, PathSheet};
use crate::theme::Palette;
use crate::upkeep::CheckSheet;
use crate::upkeep::check_ui::check_ui;
use crate::upkeep::due_ui::due_ui;
use crate::waiting::rescue_ui::rescue_ui;
use crate::waiting::waiting_ui::waiting_ui;
use crate::waiting::{ContinueSheet, RescueSheet, WaitingSheet};

sheets! {
    (ui, palette, fresh, context, actions, from)

    /// Start a session, or say anew how the open one is set up.
    SetUp(sheet: Box<SetUpSheet>): if sheet.begins { "New session" } else { "Set up" },
        [Work, CoversEntry if sheet.begins, OutlivesSession if sheet.begins],
        same |one, other| one.begins == other.begins,
        => set_up_ui(ui, palette, sheet, context, actions);
    /// The question of the first start.
    FirstStart: "Welcome", [OwnKeyboard, CoversEntry],
        => scrolled(ui, |ui| first_start_ui(ui, palette, fresh, actions));
    /// Begin a shop.
    Begin(sheet: BeginSheet): "Begin a shop",
        [Work if sheet.holds_work(), CoversEntry, OutlivesSession],
        path |sheet| &mut sheet.folder, Ask::ShopFolder { start: from.home() },
        => begin_ui(ui, palette, sheet, actions);
    /// What the shop keeps.
    Keeps: "What the shop keeps", [OwnKeyboard, CoversEntry],
        => scrolled(ui, |ui| keeps_ui(ui, palette, context, fresh, actions));
    /// Change something it keeps, or add it.
    Edit(form: Box<Form>): form.title(),
        [Work if form.is_changed(), OwnEnter, CoversEntry, OutlivesSession, Wide if form.desk.is_some()],
        same |one, other| one.is_same_form(other),
        => form_ui(ui, palette, form, actions);
    /// Find a station's map.
    FindMap(sheet: Box<FindSheet>): "Find the map",
        [Work if sheet.holds_work(), OwnKeyboard if sheet.begins_with_flips(), CoversEntry, OutlivesSession],
        same |one, other| one.station.name == other.station.name,
        => finding_ui(ui, palette, sheet, fresh, actions);
    /// Take in a list from a spreadsheet.
    List(sheet: ListSheet): "Import a list",
        [Work if sheet.holds_work(), OwnEnter, CoversEntry, OutlivesSession],
        path |sheet| &mut sheet.path, Ask::OpenList { start: from.home() },
        => listing_ui(ui, palette, sheet, actions);
    /// Open one.
    Open(sheet: PathSheet): "Open a session", [],
        path |sheet| sheet, Ask::OpenSession { start: from.session() },
        => scrolled(ui, |ui| open_ui(ui, palette, sheet, context.offers, actions));
    /// Copy the open one.
    KeepCopy(sheet: PathSheet): "Keep a copy", [],
        path |sheet| sheet, Ask::KeepCopy { start: from.folder(), name: from.name() },
        => scrolled(ui, |ui| copy_ui(ui, palette, sheet, actions));
    /// Read a picture of the station.
    ReadPicture(sheet: PathSheet): "Read a picture", [],
        path |sheet| sheet, Ask::OpenStationPicture { start: from.home() },
        => scrolled(ui, |ui| read_picture_ui(ui, palette, sheet, actions));
    /// Which program writes the camera's frames.
    Camera(sheet: CameraSheet): "Camera command", [],
        => scrolled(ui, |ui| camera_ui(ui, palette, sheet, actions));
    /// Put its report on paper.
    Report(sheet: ReportSheet): "Report", [],
        path |sheet| &mut sheet.path, Ask::Report { start: from.folder(), name: from.name() },
        => scrolled(ui, |ui| report_ui(ui, palette, sheet, actions));
    /// Put the label of its unit's case on paper.
    Label(sheet: LabelSheet): "Label for the case", [],
        path |sheet| &mut sheet.path, Ask::Label { start: from.folder(), name: from.name() },
        => scrolled(ui, |ui| label_ui(ui, palette, sheet, actions));
    /// Put the shop's recall list on paper.
    RecallList(sheet: PathSheet): "Recall list", [OutlivesSession],
        path |sheet| sheet, Ask::RecallList { start: from.folder(), name: from.name() },
        => scrolled(ui, |ui| recall_ui(ui, palette, sheet, actions));
    /// Write something else of the shop.
    OfShop(sheet: OfShopSheet): sheet.what.title(), [OutlivesSession],
        path |sheet| &mut sheet.path, match (sheet.what, from.folder(), from.name()) {
            (OfShop::Table, start, name) => Ask::Table { start, name },
            (OfShop::Chart, start, name) => Ask::SavePicture { start, name },
            (OfShop::Month, start, name) => Ask::Report { start, name },
            (OfShop::Audit, start, _) => Ask::NewFolder { start },
        },
        => scrolled(ui, |ui| of_shop_ui(ui, palette, sheet, actions));
    /// Withdraw a reading.
    Withdraw(sheet: WithdrawSheet): "Withdraw a reading",
        [Work if !sheet.reason.is_empty(), OfRound],
        same |one, other| one.seq == other.seq,
        => scrolled(ui, |ui| withdraw_ui(ui, palette, sheet, actions));
    /// Choose a setting by hand.
    Choose(sheet: ChooseSheet): "Choose this setting",
        [Work if !sheet.reason.is_empty(), OfRound],
        same |one, other| one.words == other.words,
        => scrolled(ui, |ui| choose_ui(ui, palette, sheet, actions));
    /// Write the plot to a file.
    SavePicture(sheet: PathSheet): SAVE_PICTURE, [],
        path |sheet| sheet, Ask::SavePicture { start: from.folder(), name: from.name() },
        => scrolled(ui, |ui| picture_ui(ui, palette, sheet, actions));
    /// Open a round.
    Round(sheet: RoundSheet): "New round", [Work if !sheet.note.is_empty(), OfRound],
        => scrolled(ui, |ui| round_ui(ui, palette, sheet, actions));
    /// Note a remedy of the hand's own.
    OwnRemedy(sheet: OwnRemedySheet): "Note a remedy", [Work if sheet.holds_work(), OfRound],
        => scrolled(ui, |ui| own_remedy_ui(ui, palette, sheet, actions));
    /// Rows from a spreadsheet.
    Paste(sheet: PasteSheet): "Paste readings", [Work, OwnEnter],
        => paste_ui(ui, palette, sheet, context, actions);
    /// A CSV file.
    Import(sheet: ImportSheet): "Import CSV", [Work, OwnEnter],
        path |sheet| &mut sheet.path, Ask::OpenReadings { start: from.shop("readings") },
        => import_ui(ui, palette, sheet, actions);
    /// All commands by name.
    Commands(sheet: CommandSheet): "Commands", [],
        => commands_ui(ui, palette, sheet, context, actions);
    /// What was seen at a far point.
    Looking(sheet: LookingSheet): "Looking test", [Work, TellsVerdict, OfRound],
        => scrolled(ui, |ui| {
            let confirm = context.session.map(OpenSession::confirm);
            looking_ui(ui, palette, sheet, confirm, actions);
        });
    /// Sign the verdict; once signed it only shows what to keep.
    Sign(sheet: SignSheet): "Sign", [Work if !sheet.signed, CoversEntry, TellsVerdict, OfRound],
        same |one, other| one.signed == other.signed,
        => sign_ui(ui, palette, sheet, context, actions);
    /// Seal what is signed.
    Seal(sheet: SealSheet): "Seal", [],
        => scrolled(ui, |ui| seal_ui(ui, palette, sheet, context.sealing, actions));
    /// Leave a handover.
    Handover(sheet: HandoverSheet): "Handover", [Work if sheet.holds_work()],
        => scrolled(ui, |ui| {
            let before = context.state().map(Session::handovers).unwrap_or_default();
            handover_ui(ui, palette, sheet, &before, actions);
        });
    /// Say how the unit came in.
    Receiving(sheet: Box<ReceivingSheet>): "Receiving", [Work],
        => scrolled(ui, |ui| receiving_ui(ui, palette, sheet, context, actions));
    /// The units that wait.
    Units(sheet: Box<UnitsSheet>): "Units waiting", [Work if sheet.holds_work(), OutlivesSession],
        => scrolled(ui, |ui| units_ui(ui, palette, sheet, context, actions));
    /// Read a station's check standard.
    Check(sheet: Box<CheckSheet>): "Check the station", [Work if sheet.holds_work(), OutlivesSession],
        same |one, other| one.station == other.station,
        => check_ui(ui, palette, sheet, context, actions);
    /// Write the results of practice to a table.
    ProgressCsv(sheet: PathSheet): "Write results", [],
        path |sheet| sheet, Ask::Table { start: from.shop("practice"), name: "progress.csv".to_owned() },
        => scrolled(ui, |ui| progress_ui(ui, palette, sheet, actions));
    /// What was hidden in a practice unit.
    Hidden(hidden: Box<HiddenView>): "What was hidden", [OnlyRead],
        => scrolled(ui, |ui| hidden_ui(ui, palette, hidden, actions));
    /// What becomes of facts that wait.
    Waiting(sheet: WaitingSheet): "Not saved", [OwnKeyboard],
        => scrolled(ui, |ui| waiting_ui(ui, palette, sheet, context.waits.as_ref(), fresh, actions));
    /// Where to go on in a new file.
    Continue(sheet: ContinueSheet): "Continue in a new file", [],
        path |sheet| &mut sheet.path, Ask::Continue { start: from.folder(), name: from.name() },
        => scrolled(ui, |ui| continue_ui(ui, palette, sheet, actions));
    /// Facts of earlier that were not saved.
    Rescue(sheet: RescueSheet): "Facts that were not saved", [OwnKeyboard],
        => scrolled(ui, |ui| rescue_ui(ui, palette, sheet, fresh, actions));
    /// What is due.
    Due: "What is due", [OnlyRead], => due_ui(ui, palette, context, actions);
    /// Which key of the keypad gives which command.
    Keypad: "Keypad", [OwnKeyboard], => scrolled(ui, |ui| keypad_ui(ui, palette, context, actions));
    /// Pedals and read-back.
    Pedals(sheet: PedalSheet): "Pedals and read-back", [OwnKeyboard],
        => scrolled(ui, |ui| pedals_ui(ui, palette, sheet, context, fresh, actions));
    /// The keys.
    Keys: "Keys", [OnlyRead], => keys_ui(ui, palette, context, actions);
    /// The cautions.
    Cautions: "Cautions", [OnlyRead], => cautions_ui(ui, actions);
    /// The words, and what they mean.
    Glossary: "Words", [OnlyRead], => glossary_ui(ui, palette, actions);
    /// Which program this is, and what it is built from.
    About: "About", [OnlyRead], => about_ui(ui, palette, fresh, actions);
}

impl Sheet {
    /// Whether something typed would be lost with the sheet.
    #[must_use]
    pub fn holds_work(&self) -> bool {
        self.is(SheetTrait::Work)
    }

    /// Whether a key is the sheet's own while it is in front, whatever command it belongs to elsewhere:
    /// Ctrl+Enter logs a block or keeps a form, and page keys turn the sheet and not what lies behind it.
    #[must_use]
    pub fn owns_key(&self, key: KeyboardShortcut) -> bool {
        let turns = matches!(key.logical_key, Key::PageUp | Key::PageDown);
        *self != Self::Clear && (turns || key == LOG_BLOCK && self.is(SheetTrait::OwnEnter))
    }

    /// Whether nothing is read at the bench while it is in front.
    #[must_use]
    pub fn covers_entry(&self) -> bool {
        self.is(SheetTrait::CoversEntry)
    }

    /// Whether the sheet tells the verdict or what it rests on.
    #[must_use]
    pub fn tells_verdict(&self) -> bool {
        self.is(SheetTrait::TellsVerdict)
    }

    /// Whether what is typed in it is about the round on the bench, so that the next round ends it.
    #[must_use]
    pub fn is_of_round(&self) -> bool {
        self.is(SheetTrait::OfRound)
    }

    /// Whether what is typed in it outlives the open session: it is about another, or about none.
    #[must_use]
    pub fn outlives_session(&self) -> bool {
        self.is(SheetTrait::OutlivesSession)
    }

    /// Whether its first field takes the keyboard when it comes to the front.
    pub(super) fn takes_keyboard(&self) -> bool {
        !self.is(SheetTrait::OnlyRead) && !self.is(SheetTrait::OwnKeyboard)
    }

    /// Whether it shows a picture.
    pub(super) fn is_wide(&self) -> bool {
        self.is(SheetTrait::Wide)
    }
}
