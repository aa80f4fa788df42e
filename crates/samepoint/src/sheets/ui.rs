//! Sheets in front of the plot, one file each. None is modal: the entry row stays in reach.

use egui::{Align2, Id, RichText, Ui, Window, vec2};

use record::Session;

use super::Sheet;
use super::about::about_ui;
use super::choose::choose_ui;
use super::commands::commands_ui;
use super::glossary::glossary_ui;
use super::head::{SheetShown, is_fresh, sheet_id, title};
use super::keypad::keypad_ui;
use super::label::label_ui;
use super::of_shop::of_shop_ui;
use super::own_remedy::own_remedy_ui;
use super::parts::{SheetContext, first_field, scrolled};
use super::paths::{
    continue_ui, copy_ui, open_ui, picture_ui, progress_ui, read_picture_ui, recall_ui, report_ui,
};
use super::pedals::pedals_ui;
use super::reading::{cautions_ui, keys_ui};
use super::round::round_ui;
use super::withdraw::withdraw_ui;
use crate::app::action::Action;
use crate::bench::blocks::ui::{import_ui, paste_ui};
use crate::bench::camera::live::command_ui::camera_ui;
use crate::bench::day::handover_ui::handover_ui;
use crate::bench::day::receiving_ui::receiving_ui;
use crate::bench::day::units_ui::units_ui;
use crate::bench::practice_unit::hidden_ui::hidden_ui;
use crate::bench::session::OpenSession;
use crate::bench::set_up::ui::set_up_ui;
use crate::bench::signing::looking_ui::looking_ui;
use crate::bench::signing::sealing::ui::seal_ui;
use crate::bench::signing::sign_ui::{SignContext, sign_ui};
use crate::own_shop::begin_ui::{begin_ui, first_start_ui};
use crate::own_shop::finding::finding_ui::finding_ui;
use crate::own_shop::form_ui::form_ui;
use crate::own_shop::keeps_ui::keeps_ui;
use crate::own_shop::listing::listing_ui::listing_ui;
use crate::theme;
use crate::theme::Palette;
use crate::upkeep::check_ui::check_ui;
use crate::upkeep::due_ui::due_ui;
use crate::waiting::rescue_ui::rescue_ui;
use crate::waiting::waiting_ui::waiting_ui;
use crate::widgets::select_all;

/// Shows the sheet in front, if there is one, over the middle of `over`.
pub(crate) fn front_ui(
    ui: &Ui,
    over: egui::Rect,
    palette: &Palette,
    front: &mut Sheet,
    context: &SheetContext<'_>,
    actions: &mut Vec<Action>,
) {
    let Some(title) = title(front) else {
        ui.data_mut(|data| data.remove::<SheetShown>(Id::unique("sheet shown")));
        return;
    };
    let fresh = is_fresh(ui, title);
    // Where there is little room a sheet takes all of it; one in which nothing is read meanwhile, that of the entry
    // row, too.
    let mut over = over;
    if over.height() < 420.0 && front.covers_entry() {
        over.min.y = over.min.y.min(ui.ctx().content_rect().top() + 40.0);
    }
    let small = over.height() < 420.0;
    let (aside, below, top) = if small { (28.0, 8.0, 2.0) } else { (48.0, 80.0, 16.0) };
    // A picture is worth a wider sheet.
    let widest =
        if matches!(front, Sheet::Edit(form) if form.desk.is_some()) { 760.0 } else { 540.0 };
    let width = (over.width() - aside).clamp(220.0, widest);
    Window::new(RichText::new(title).font(theme::bold(16.0)))
        .id(sheet_id(title))
        .collapsible(false)
        .resizable(false)
        .movable(false)
        .pivot(Align2::CENTER_TOP)
        .fixed_pos(over.center_top() + vec2(0.0, top))
        .fixed_size(vec2(width, (over.height() - below).max(100.0)))
        .show(ui.ctx(), |ui| match front {
            Sheet::Clear => {}
            Sheet::SetUp(sheet) => set_up_ui(ui, palette, sheet, context, actions),
            Sheet::FirstStart => {
                scrolled(ui, |ui| first_start_ui(ui, palette, fresh, actions));
            }
            Sheet::Begin(sheet) => begin_ui(ui, palette, sheet, actions),
            Sheet::Edit(form) => form_ui(ui, palette, form, actions),
            Sheet::FindMap(sheet) => finding_ui(ui, palette, sheet, fresh, actions),
            Sheet::List(sheet) => listing_ui(ui, palette, sheet, actions),
            Sheet::Keeps => scrolled(ui, |ui| keeps_ui(ui, palette, context, fresh, actions)),
            Sheet::Open(sheet) => {
                scrolled(ui, |ui| open_ui(ui, palette, sheet, context.offers, actions));
            }
            Sheet::KeepCopy(sheet) => scrolled(ui, |ui| copy_ui(ui, palette, sheet, actions)),
            Sheet::ReadPicture(sheet) => {
                scrolled(ui, |ui| read_picture_ui(ui, palette, sheet, actions));
            }
            Sheet::Camera(sheet) => scrolled(ui, |ui| camera_ui(ui, palette, sheet, actions)),
            Sheet::Report(sheet) => scrolled(ui, |ui| report_ui(ui, palette, sheet, actions)),
            Sheet::Label(sheet) => scrolled(ui, |ui| label_ui(ui, palette, sheet, actions)),
            Sheet::RecallList(sheet) => scrolled(ui, |ui| recall_ui(ui, palette, sheet, actions)),
            Sheet::OfShop(sheet) => scrolled(ui, |ui| of_shop_ui(ui, palette, sheet, actions)),
            Sheet::SavePicture(sheet) => scrolled(ui, |ui| picture_ui(ui, palette, sheet, actions)),
            Sheet::Choose(sheet) => scrolled(ui, |ui| choose_ui(ui, palette, sheet, actions)),
            Sheet::Withdraw(sheet) => scrolled(ui, |ui| withdraw_ui(ui, palette, sheet, actions)),
            Sheet::Round(sheet) => scrolled(ui, |ui| round_ui(ui, palette, sheet, actions)),
            Sheet::OwnRemedy(sheet) => {
                scrolled(ui, |ui| own_remedy_ui(ui, palette, sheet, actions));
            }
            Sheet::Paste(sheet) => paste_ui(ui, palette, sheet, context, actions),
            Sheet::Import(sheet) => import_ui(ui, palette, sheet, actions),
            Sheet::Commands(sheet) => commands_ui(ui, palette, sheet, context, actions),
            Sheet::Looking(sheet) => {
                let confirm = context.session.map(OpenSession::confirm);
                scrolled(ui, |ui| looking_ui(ui, palette, sheet, confirm, actions));
            }
            Sheet::Sign(sheet) => {
                let Some(session) = context.session else { return };
                let (station, _) = session.station_words(context.now);
                let last_hash = session.last_hash();
                let returned = session.returned_words();
                let told = SignContext {
                    returned: returned.as_deref(),
                    confirm: session.confirm(),
                    station: &station,
                    last_hash: last_hash.as_deref(),
                    practice: session.is_practice(),
                    sealing: context.sealing.filter(|seal| seal.path == session.file().path()),
                };
                sign_ui(ui, palette, sheet, told, actions);
            }
            Sheet::Seal(sheet) => {
                scrolled(ui, |ui| seal_ui(ui, palette, sheet, context.sealing, actions));
            }
            Sheet::Handover(sheet) => {
                let before = context.state().map(Session::handovers).unwrap_or_default();
                scrolled(ui, |ui| handover_ui(ui, palette, sheet, &before, actions));
            }
            Sheet::Receiving(sheet) => {
                scrolled(ui, |ui| receiving_ui(ui, palette, sheet, context, actions));
            }
            Sheet::Units(sheet) => {
                scrolled(ui, |ui| units_ui(ui, palette, sheet, context, actions));
            }
            Sheet::Check(sheet) => check_ui(ui, palette, sheet, context, actions),
            Sheet::ProgressCsv(sheet) => {
                scrolled(ui, |ui| progress_ui(ui, palette, sheet, actions));
            }
            Sheet::Hidden(hidden) => scrolled(ui, |ui| hidden_ui(ui, palette, hidden, actions)),
            Sheet::Waiting(sheet) => scrolled(ui, |ui| {
                waiting_ui(ui, palette, sheet, context.waits.as_ref(), fresh, actions);
            }),
            Sheet::Continue(sheet) => scrolled(ui, |ui| continue_ui(ui, palette, sheet, actions)),
            Sheet::Rescue(sheet) => {
                scrolled(ui, |ui| rescue_ui(ui, palette, sheet, fresh, actions));
            }
            Sheet::Due => due_ui(ui, palette, context, actions),
            Sheet::Keypad => scrolled(ui, |ui| keypad_ui(ui, palette, context, actions)),
            Sheet::Pedals(sheet) => {
                scrolled(ui, |ui| pedals_ui(ui, palette, sheet, context, fresh, actions));
            }
            Sheet::Keys => keys_ui(ui, palette, context, actions),
            Sheet::Cautions => cautions_ui(ui, actions),
            Sheet::Glossary => glossary_ui(ui, palette, actions),
            Sheet::About => about_ui(ui, palette, fresh, actions),
        });
    // Sheets that are only read leave the keyboard where it is: on the entry row.
    let own_keyboard = matches!(
        front,
        Sheet::Waiting(_)
            | Sheet::Rescue(_)
            | Sheet::Pedals(_)
            | Sheet::Keypad
            | Sheet::FirstStart
            | Sheet::Keeps
    );
    let own_keyboard =
        own_keyboard || matches!(front, Sheet::FindMap(sheet) if sheet.begins_with_flips());
    if fresh && !front.is_only_read() && !own_keyboard {
        ui.memory_mut(|memory| memory.request_focus(first_field()));
        select_all(ui.ctx(), first_field());
    }
}
