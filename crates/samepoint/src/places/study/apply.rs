//! The study: writing its plan, measuring cell by cell, withdrawing.

use record::fact::Withdrawn;
use record::studies::{StudyAbout, StudyBody, StudyFile, StudyHeader};
use record::{Meaning as _, Stamp};

use super::plan::PlanForm;
use super::{CellEntry, CellField, OpenStudy, StudyAction};
use crate::app::App;
use crate::shell::kept_file::Mend;
use crate::shell::open_shop::program;
use crate::shell::refusals::NO_HAND;
use crate::waiting::Held;

impl App {
    pub(crate) fn study_action(&mut self, action: StudyAction) {
        match action {
            StudyAction::Plan => self.write_plan(),
            StudyAction::DropPlan => self.places.study.plan = None,
            StudyAction::Begin => {
                if let Err(why) = self.begin_study()
                    && let Some(plan) = &mut self.places.study.plan
                {
                    plan.refused = Some(why);
                }
            }
            StudyAction::Open(path) => {
                let opened = StudyFile::open(&path, self.file_options());
                match opened {
                    Ok(file) => self.take_up_study(file),
                    Err(why) => self.warnings.push(why.to_string()),
                }
            }
            StudyAction::Log => self.log_cell(),
            StudyAction::AskWithdraw(seq) => {
                self.places.study.withdrawing = Some((seq, String::new()));
            }
            StudyAction::KeepIt => {
                self.places.study.withdrawing = None;
                self.places.study.cell.focus = Some(CellField::X);
            }
            StudyAction::Withdraw => self.withdraw_cell(),
            StudyAction::Mend(mend) => {
                if let Err(why) = self.mend_study(mend) {
                    self.warnings.push(why);
                }
            }
        }
    }

    /// Looks which studies the shop has; opens the newest when none is open.
    pub(crate) fn refresh_studies(&mut self) {
        self.places.study.list = self.shop.studies();
        let none = self.places.study.open.is_none() && self.places.study.plan.is_none();
        if none && let Some((path, _)) = self.places.study.list.first().cloned() {
            self.study_action(StudyAction::Open(path));
        }
        self.places.study.cell.focus = Some(CellField::X);
    }

    fn write_plan(&mut self) {
        let stations = &self.shop.offers().stations;
        let here = self.session.as_ref().and_then(|session| session.state().station());
        let station = here
            .filter(|here| stations.iter().any(|station| station.name == here.name))
            .or_else(|| stations.first());
        match station {
            Some(station) => self.places.study.plan = Some(PlanForm::of(&station.name)),
            None => "This shop has no station to study.".clone_into(&mut self.places.study.notice),
        }
    }

    fn begin_study(&mut self) -> Result<(), String> {
        let Some(form) = self.places.study.plan.clone() else { return Ok(()) };
        let hand = self.named_hand()?;
        let now = self.services.clock.now();
        let plan = form.drawn(seed_of(now))?;
        let about = StudyAbout { station: form.station.clone(), channel: form.channel, plan };
        let header = StudyHeader::begun(program(), about).map_err(|why| why.to_string())?;
        let path = self.shop.new_study_path(now.date(), &form.station)?;
        let file = StudyFile::create(&path, header, &hand, self.file_options())
            .map_err(|why| why.to_string())?;
        self.places.study.plan = None;
        self.take_up_study(file);
        self.places.study.list = self.shop.studies();
        Ok(())
    }

    /// Makes a file the open study.
    pub(crate) fn take_up_study(&mut self, file: StudyFile) {
        self.close_study();
        for notice in file.notices() {
            self.warnings.push(notice.to_string());
        }
        let now = self.services.clock.now();
        let study = &mut self.places.study;
        study.cell = CellEntry { focus: Some(CellField::X), ..CellEntry::default() };
        study.withdrawing = None;
        study.notice.clear();
        study.open = Some(OpenStudy::new(file, now));
    }

    /// Lets go of the open study; everything acknowledged is on disk already.
    pub(crate) fn close_study(&mut self) {
        if let Some(mut open) = self.places.study.open.take()
            && let Err(why) = open.file_mut().finish()
        {
            self.warnings.push(why.to_string());
        }
        self.keepers.forget(Held::Study);
    }

    /// Hears what became of a study's facts on their way to disk.
    pub(crate) fn hear_study(&mut self) {
        if let Some(open) = &mut self.places.study.open {
            self.warnings.extend(open.hear());
        }
    }

    fn log_cell(&mut self) {
        if let Err((field, why)) = self.cell_logged() {
            let cell = &mut self.places.study.cell;
            cell.focus = field;
            cell.refused = Some((field, why));
        }
    }

    fn cell_logged(&mut self) -> Result<(), (Option<CellField>, String)> {
        let beside = |why: String| (None, why);
        let hand = self.named_hand().map_err(beside)?;
        let Some(open) = &self.places.study.open else { return Ok(()) };
        let about = open.study().about();
        let name = about.map(|about| about.station.clone()).unwrap_or_default();
        let Some(station) = self.shop.station(&name) else {
            return Err(beside(format!(
                "This shop has no station {name} any more: its map is needed to read a cell."
            )));
        };
        let taken = open.taken(&self.places.study.cell, station)?;
        let cell = taken.cell;
        let ring = self.places.study.cell.ring.clone();
        let now = self.services.clock.now();
        let study = &mut self.places.study;
        let Some(open) = &mut study.open else { return Ok(()) };
        open.append(StudyBody::Measured(taken), now, &hand)
            .map_err(|why| (Some(CellField::X), why.to_string()))?;
        let plan = open.study().plan();
        study.notice =
            plan.map_or_else(String::new, |plan| format!("Logged {}.", plan.words(cell)));
        // The ring is read for each cell alike.
        study.cell = CellEntry { ring, focus: Some(CellField::X), ..CellEntry::default() };
        Ok(())
    }

    fn withdraw_cell(&mut self) {
        let Some((reading, reason)) = self.places.study.withdrawing.clone() else { return };
        let now = self.services.clock.now();
        let done = self.named_hand().and_then(|hand| {
            let Some(open) = &mut self.places.study.open else { return Ok(0) };
            let body = StudyBody::Withdrawn(Withdrawn { reading, reason });
            open.append(body, now, &hand).map_err(|why| why.to_string())
        });
        let study = &mut self.places.study;
        match done {
            Ok(_) => {
                study.withdrawing = None;
                study.cell.refused = None;
                study.cell.focus = Some(CellField::X);
                "Withdrawn; its cell is open again.".clone_into(&mut study.notice);
            }
            Err(why) => study.cell.refused = Some((None, why)),
        }
    }

    fn mend_study(&mut self, mend: Mend) -> Result<(), String> {
        let now = self.services.clock.now();
        let hand = match mend {
            Mend::Continue => {
                self.show_continue_sheet(Held::Study, None);
                return Ok(());
            }
            Mend::SetEndAside => self.named_hand()?,
            Mend::Agree | Mend::Retry => self.hand(),
        };
        let study = &mut self.places.study;
        let Some(open) = &mut study.open else { return Ok(()) };
        let told = open.mend(mend, now, &hand).map_err(|why| why.to_string())?;
        if let Some(told) = told {
            study.notice = told;
        }
        Ok(())
    }

    pub(crate) fn named_hand(&mut self) -> Result<String, String> {
        self.who_first()?;
        let hand = self.preferences.hand.trim();
        if hand.is_empty() {
            return Err(NO_HAND.to_owned());
        }
        Ok(hand.to_owned())
    }
}

/// A seed that no hand chose: the time, to the millisecond.
fn seed_of(now: Stamp) -> u64 {
    now.unix_milliseconds().unsigned_abs()
}
