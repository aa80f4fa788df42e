//! The study: writing its plan, measuring cell by cell, withdrawing.

use crate::shell::refusals::Refusal;
use record::fact::Withdrawn;
use record::studies::{StudyAbout, StudyBody, StudyFile, StudyHeader};
use record::{Meaning as _, Stamp, Station};

use super::plan::PlanForm;
use super::{OpenStudy, StudyAction, Studying};
use crate::shell::Shell;
use crate::shell::effect::Effect;
use crate::shell::held::Held;
use crate::shell::kept_file::Mend;
use crate::shell::open_shop::program;
use crate::shell::reading_form::{ReadingField, ReadingForm};

impl Studying {
    /// Does what was asked; `station` is the one at the bench.
    pub fn apply(
        &mut self,
        action: StudyAction,
        station: Option<&Station>,
        shell: &mut Shell,
    ) -> Vec<Effect> {
        match action {
            StudyAction::Plan => self.write_plan(station, shell),
            StudyAction::Hand(hand) => return vec![Effect::Hand(hand)],
            StudyAction::DropPlan => self.plan = None,
            StudyAction::Begin => match self.begin(shell) {
                Ok(effects) => return effects,
                Err(why) => {
                    if let Some(plan) = &mut self.plan {
                        plan.refused = Some(why.to_string());
                    }
                }
            },
            StudyAction::Open(path) => match StudyFile::open(&path, shell.file_options()) {
                Ok(file) => return vec![self.take_up(file, shell)],
                Err(why) => shell.warn(why),
            },
            StudyAction::Log => self.log_cell(shell),
            StudyAction::AskWithdraw(seq) => {
                self.withdrawing = Some((seq, String::new()));
            }
            StudyAction::KeepIt => {
                self.withdrawing = None;
                self.cell.focus = Some(ReadingField::X);
            }
            StudyAction::Withdraw => self.withdraw_cell(shell),
            StudyAction::Mend(Mend::Continue) => return vec![Effect::GoOnElsewhere(Held::Study)],
            StudyAction::Mend(mend) => {
                if let Err(why) = self.mend(mend, shell) {
                    shell.warn(why);
                }
            }
        }
        Vec::new()
    }

    /// Looks which studies the shop has; opens the newest when none is open.
    pub fn come(&mut self, shell: &mut Shell) -> Vec<Effect> {
        self.list = shell.shop.studies();
        let none = self.open.is_none() && self.plan.is_none();
        let newest = self.list.first().filter(|_| none).map(|(path, _)| path.clone());
        let effects =
            newest.map(|path| self.apply(StudyAction::Open(path), None, shell)).unwrap_or_default();
        self.cell.focus = Some(ReadingField::X);
        effects
    }

    fn write_plan(&mut self, at_bench: Option<&Station>, shell: &Shell) {
        let stations = &shell.shop.offers().stations;
        let station = at_bench
            .filter(|here| stations.iter().any(|station| station.name == here.name))
            .or_else(|| stations.first());
        match station {
            Some(station) => self.plan = Some(PlanForm::of(&station.name)),
            None => "This shop has no station to study.".clone_into(&mut self.notice),
        }
    }

    fn begin(&mut self, shell: &mut Shell) -> Result<Vec<Effect>, Refusal> {
        let Some(form) = self.plan.clone() else { return Ok(Vec::new()) };
        let hand = shell.named_hand()?;
        let now = shell.now();
        let plan = form.drawn(seed_of(now))?;
        let about = StudyAbout { station: form.station.clone(), channel: form.channel, plan };
        let header = StudyHeader::begun(program(), about)?;
        let path = shell.shop.new_study_path(now.date(), &form.station)?;
        let file = StudyFile::create(&path, header, &hand, shell.file_options())?;
        self.plan = None;
        let effect = self.take_up(file, shell);
        self.list = shell.shop.studies();
        Ok(vec![effect])
    }

    /// Makes a file the open study.
    pub fn take_up(&mut self, file: StudyFile, shell: &mut Shell) -> Effect {
        let effect = self.close(shell);
        for notice in file.notices() {
            shell.warn(notice);
        }
        self.cell = ReadingForm::at(Some(ReadingField::X));
        self.withdrawing = None;
        self.notice.clear();
        self.open = Some(OpenStudy::new(file, shell.now()));
        effect
    }

    /// Lets go of the open study; everything acknowledged is on disk already.
    pub fn close(&mut self, shell: &mut Shell) -> Effect {
        if let Some(mut open) = self.open.take()
            && let Err(why) = open.file_mut().finish()
        {
            shell.warn(why);
        }
        Effect::LetGo(Held::Study)
    }

    /// Hears what became of a study's facts on their way to disk.
    pub fn hear(&mut self, shell: &mut Shell) {
        if let Some(open) = &mut self.open {
            shell.warnings.extend(open.hear());
        }
    }

    fn log_cell(&mut self, shell: &mut Shell) {
        if let Err((field, why)) = self.cell_logged(shell) {
            let cell = &mut self.cell;
            cell.focus = field;
            cell.refused = Some((field, why));
        }
    }

    fn cell_logged(&mut self, shell: &mut Shell) -> Result<(), (Option<ReadingField>, String)> {
        let beside = |why: String| (None, why);
        let hand = shell.named_hand().map_err(|why| beside(why.into()))?;
        let Some(open) = &self.open else { return Ok(()) };
        let about = open.study().about();
        let name = about.map(|about| about.station.clone()).unwrap_or_default();
        let Some(station) = shell.shop.station(&name) else {
            return Err(beside(format!(
                "This shop has no station {name} any more: its map is needed to read a cell."
            )));
        };
        let taken = open.taken(&self.cell, station)?;
        let cell = taken.cell;
        let ring = self.cell.ring.clone();
        let now = shell.now();
        let Some(open) = &mut self.open else { return Ok(()) };
        open.append(StudyBody::Measured(taken), now, &hand)
            .map_err(|why| (Some(ReadingField::X), why.to_string()))?;
        let plan = open.study().plan();
        self.notice = plan.map_or_else(String::new, |plan| format!("Logged {}.", plan.words(cell)));
        // The ring is read for each cell alike.
        self.cell = ReadingForm { ring, ..ReadingForm::at(Some(ReadingField::X)) };
        Ok(())
    }

    fn withdraw_cell(&mut self, shell: &mut Shell) {
        let Some((reading, reason)) = self.withdrawing.clone() else { return };
        let now = shell.now();
        let done = shell.named_hand().map_err(String::from).and_then(|hand| {
            let Some(open) = &mut self.open else { return Ok(0) };
            let body = StudyBody::Withdrawn(Withdrawn { reading, reason });
            open.append(body, now, &hand).map_err(|why| why.to_string())
        });
        match done {
            Ok(_) => {
                self.withdrawing = None;
                self.cell.refused = None;
                self.cell.focus = Some(ReadingField::X);
                "Withdrawn; its cell is open again.".clone_into(&mut self.notice);
            }
            Err(why) => self.cell.refused = Some((None, why)),
        }
    }

    fn mend(&mut self, mend: Mend, shell: &mut Shell) -> Result<(), Refusal> {
        let now = shell.now();
        let hand = match mend {
            Mend::SetEndAside => shell.named_hand()?,
            Mend::Agree | Mend::Retry | Mend::Continue => shell.hand(),
        };
        let Some(open) = &mut self.open else { return Ok(()) };
        let told = open.mend(mend, now, &hand)?;
        if let Some(told) = told {
            self.notice = told;
        }
        Ok(())
    }
}

/// A seed that no hand chose: the time, to the millisecond.
fn seed_of(now: Stamp) -> u64 {
    now.unix_milliseconds().unsigned_abs()
}
