//! The list of units that wait: adding, beginning, how far each has come.

use jiff::civil::Date;
use record::units_waiting::{Moved, WaitingBody, WaitingStep, WaitingUnit};
use record::{Seq, is_nobody};

use super::{DayField, DayStep, UnitsAction, UnitsSheet};
use crate::app::App;
use crate::sheets::Sheet;
use crate::shell::open_shop::program;
use crate::shell::refusals::{NO_UNIT_NAME, Refusal};

/// Why a unit of the list is not begun.
#[derive(Debug, thiserror::Error)]
enum UnitRefused {
    /// It was taken off, or begun elsewhere.
    #[error("This unit is not on the list.")]
    NotOnTheList,
    /// As everywhere.
    #[error(transparent)]
    Refused(#[from] Refusal),
}

impl App {
    /// Brings the list of units that wait to the front.
    pub(crate) fn show_units(&mut self) {
        self.shell.shop.refresh_waiting();
        self.bring(Sheet::Units(Box::default()));
    }

    pub(crate) fn units_action(&mut self, action: UnitsAction) {
        match action {
            UnitsAction::Add => self.add_unit(),
            UnitsAction::Begin(seq) => {
                if let Err(why) = self.begin_unit(seq) {
                    self.refuse_unit(DayField::Unit, why.to_string());
                }
            }
            UnitsAction::Move(entry, to) => {
                if let Err(why) = self.say_of_units(WaitingBody::Moved(Moved { entry, to })) {
                    self.refuse_unit(DayField::Unit, why.to_string());
                }
            }
            UnitsAction::Ask(entry, asked) => {
                let unit = self.waiting_unit(entry).map(|unit| unit.unit.clone());
                if let (Sheet::Units(sheet), Some(unit)) = (&mut self.front, unit) {
                    sheet.asks = Some((entry, unit, asked));
                    sheet.focus = Some(DayField::Reason);
                    sheet.refused = None;
                }
            }
            UnitsAction::Decide => self.decide_on_unit(),
        }
    }

    fn refuse_unit(&mut self, field: DayField, why: String) {
        if let Sheet::Units(sheet) = &mut self.front {
            sheet.refuse(field, why);
        }
    }

    fn waiting_unit(&self, entry: Seq) -> Option<&WaitingUnit> {
        let units = &self.shell.shop.offers().waiting.units;
        units.iter().find(|unit| unit.seq == entry).map(|unit| &unit.unit)
    }

    fn add_unit(&mut self) {
        let Sheet::Units(sheet) = &self.front else { return };
        let sheet = sheet.clone();
        let text = |text: &str| text.trim().to_owned();
        let due = match sheet.due.trim() {
            "" => None,
            typed => match typed.parse::<Date>() {
                Ok(due) => Some(due),
                Err(_) => {
                    let why = format!(
                        "“{typed}” is no day: write it as year, month and day, 2026-11-25."
                    );
                    return self.refuse_unit(DayField::Due, why);
                }
            },
        };
        if sheet.unit.trim().is_empty() {
            return self.refuse_unit(DayField::Unit, NO_UNIT_NAME.into());
        }
        let unit = WaitingUnit {
            unit: text(&sheet.unit),
            due,
            purpose: text(&sheet.purpose),
            condition: text(&sheet.condition),
        };
        match self.say_of_units(WaitingBody::Added(unit)) {
            Err(why) => self.refuse_unit(DayField::Unit, why.to_string()),
            Ok(()) => {
                if let Sheet::Units(sheet) = &mut self.front {
                    **sheet = UnitsSheet { focus: Some(DayField::Unit), ..UnitsSheet::default() };
                }
            }
        }
    }

    fn decide_on_unit(&mut self) {
        let Sheet::Units(sheet) = &self.front else { return };
        let Some((entry, _, asked)) = sheet.asks.clone() else { return };
        let reason = sheet.reason.trim().to_owned();
        if reason.is_empty() {
            return self.refuse_unit(DayField::Reason, "Say why.".to_owned());
        }
        let to = match asked {
            DayStep::Interrupted => WaitingStep::Interrupted(reason),
            DayStep::TakenOff => WaitingStep::TakenOff(reason),
        };
        match self.say_of_units(WaitingBody::Moved(Moved { entry, to })) {
            Err(why) => self.refuse_unit(DayField::Reason, why.to_string()),
            Ok(()) => {
                self.leave_unit_decision();
            }
        }
    }

    /// Ends the reason that is asked for, if one is; says whether it did.
    pub(crate) fn leave_unit_decision(&mut self) -> bool {
        let Sheet::Units(sheet) = &mut self.front else { return false };
        let asked = sheet.asks.take().is_some();
        if asked {
            sheet.reason.clear();
            sheet.refused = None;
            sheet.focus = Some(DayField::Unit);
        }
        asked
    }

    /// Opens a new session's sheet with the unit filled in; the list hears of it when it is started.
    fn begin_unit(&mut self, entry: Seq) -> Result<(), UnitRefused> {
        let waits = self.waiting_unit(entry).cloned().ok_or(UnitRefused::NotOnTheList)?;
        let mut sheet = self.fresh_new_sheet()?;
        let offers = self.shell.shop.offers();
        match offers.unit(&waits.unit) {
            Some(unit) => sheet.pick_unit(unit),
            None => sheet.unit.clone_from(&waits.unit),
        }
        sheet.customer.clone_from(&waits.purpose);
        sheet.waiting = Some((entry, waits.condition));
        self.bring(Sheet::SetUp(Box::new(sheet)));
        Ok(())
    }

    /// Adds to the list; what it comes to then is shown.
    ///
    /// # Errors
    /// Why not; nothing is added then.
    pub(crate) fn say_of_units(&mut self, body: WaitingBody) -> Result<(), Refusal> {
        self.shell.who_first()?;
        let hand = self.shell.known_hand().trim().to_owned();
        if is_nobody(&hand) {
            return Err(Refusal::NoHand);
        }
        let (now, options) = (self.shell.services.clock.now(), self.shell.file_options());
        let shop = self.shell.shop.shop().ok_or(Refusal::NoShop)?;
        let done = shop.say_of_units(body, now, (&program(), &hand), options);
        self.shell.shop.refresh_waiting();
        done.map_err(Refusal::Sentence)
    }
}
