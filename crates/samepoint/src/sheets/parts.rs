//! What sheets are made of: fields, buttons, and what they look at.

use egui::{Button, Id, RichText, Ui, vec2};
use record::{ReadingUnit, Session, Stamp};

use super::keyboard::from_its_head;
use crate::app::action::Action;
use crate::app::available::unavailable;
use crate::bench::session::OpenSession;
use crate::preferences::Preferences;
use crate::shell::offers::Offers;
use crate::shell::sealing::running::RunningSeal;
use crate::theme;
use crate::theme::TARGET;
use crate::ui_command::UiCommand;
use crate::upkeep::OpenChecks;
use crate::waiting::keepers::Waits;
use crate::widgets::{TellOnHover, follow_keyboard, page_keys};

/// What sheets look at and never change.
pub(crate) struct SheetContext<'a> {
    /// What the shop offers.
    pub offers: &'a Offers,
    /// The open session.
    pub session: Option<&'a OpenSession>,
    /// What waits for the file that the sheet in front is about.
    pub waits: Option<Waits>,
    /// The check file that is open.
    pub checks: Option<&'a OpenChecks>,
    /// The seal that is being made, or was made last.
    pub sealing: Option<&'a RunningSeal>,
    /// What is remembered about the user.
    pub preferences: &'a Preferences,
    /// What the clock says.
    pub now: Stamp,
    /// The unit x and y are read in.
    pub unit: ReadingUnit,
}

impl SheetContext<'_> {
    /// What the open session's facts come to.
    #[must_use]
    pub(crate) fn state(&self) -> Option<&Session> {
        self.session.map(OpenSession::state)
    }

    /// Why a command can do nothing now, if so.
    #[must_use]
    pub(crate) fn unavailable(&self, command: UiCommand) -> Option<&'static str> {
        unavailable(command, self.session)
    }
}

/// A short sheet, that scrolls where there is not even room for it.
pub(crate) fn scrolled(ui: &mut Ui, add: impl FnOnce(&mut Ui)) {
    let height = ui.available_height();
    from_its_head(ui).max_height(height).show(ui, |ui| {
        page_keys(ui, height);
        add(ui);
        follow_keyboard(ui);
    });
}

/// The field that a fresh sheet's keyboard goes to.
pub(crate) fn first_field() -> Id {
    Id::unique("sheet first field")
}

/// The way on and the way back.
pub(crate) fn buttons_ui(ui: &mut Ui, on: &str, actions: &mut Vec<Action>) -> bool {
    ui.add_space(4.0);
    ui.horizontal(|ui| {
        let on =
            Button::new(RichText::new(on).font(theme::bold(14.5))).min_size(vec2(110.0, TARGET));
        let pressed = ui.add(on).clicked();
        back_ui(ui, actions);
        pressed
    })
    .inner
}

/// A button of a choice; the first of a fresh sheet takes the keyboard, so that Enter does what loses
/// nothing.
pub(crate) fn waiting_button(ui: &mut Ui, text: &str, tip: &str, takes_keyboard: bool) -> bool {
    let shown = ui.add(Button::new(text).min_size(vec2(0.0, TARGET)));
    if takes_keyboard {
        shown.request_focus();
    }
    shown.tell_on_hover(tip).clicked()
}

/// The button that puts a sheet away.
pub(crate) fn back_ui(ui: &mut Ui, actions: &mut Vec<Action>) {
    let back = Button::new("Back").min_size(vec2(80.0, TARGET));
    if ui.add(back).tell_on_hover(UiCommand::Back.tip()).clicked() {
        actions.push(Action::Do(UiCommand::Back));
    }
}
