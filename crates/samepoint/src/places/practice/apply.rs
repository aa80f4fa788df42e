//! Practice: choosing a unit and beginning it, what the instructor asks, results as a table.

use super::not_begun::NotBegun;
use crate::shell::refusals::Refusal;
use std::path::Path;

use record::fact::{Header, SessionKind};
use record::practice::PracticeUnit;
use record::practice::opening::COLLEAGUE;
use record::practice::roster::{Assigned, Threshold};

use super::{PracticeAction, Practising};
use crate::report_file::write_progress;
use crate::shell::Shell;
use crate::shell::effect::{Beginning, Effect, ToWrite};
use crate::shell::open_shop::program;

impl Practising {
    /// Does what was asked.
    pub fn apply(&mut self, action: PracticeAction, shell: &mut Shell) -> Vec<Effect> {
        match action {
            PracticeAction::Grade(grade) => {
                self.grade = grade;
                self.number_typed = false;
                self.refused = None;
                self.suggest_number();
            }
            PracticeAction::OfHand(hand) => {
                self.of_hand = hand;
                self.show_progress(shell);
            }
            PracticeAction::Do(command) => return vec![Effect::Do(command)],
            PracticeAction::Hand(hand) => return vec![Effect::Hand(hand)],
            PracticeAction::SetThreshold => self.set_threshold(shell),
            PracticeAction::Assign => self.assign(shell),
            PracticeAction::TakeAssigned(assigned) => self.take_assigned(assigned),
            PracticeAction::Start => match self.begun(shell) {
                Ok(beginning) => {
                    self.refused = None;
                    return vec![Effect::Begin(Box::new(beginning))];
                }
                Err(why) => self.refused = Some(why.to_string()),
            },
            PracticeAction::Again => self.read_progress(shell),
            PracticeAction::Open(path) => return vec![Effect::OpenAtBench(path)],
            PracticeAction::OpenHidden(path) => return vec![Effect::OpenAndTell(path)],
            PracticeAction::AskCsv => {
                let path = shell.shop.offers().folder.join("practice").join("progress.csv");
                return vec![Effect::AskWhere(ToWrite::Progress, path)];
            }
            PracticeAction::CsvTo(path) => return vec![self.write_progress(&path)],
        }
        Vec::new()
    }

    /// Reads everything anew when the hand comes here.
    pub fn come(&mut self, shell: &Shell) {
        self.take_keyboard = true;
        self.notice.clear();
        self.read_progress(shell);
    }

    fn set_threshold(&mut self, shell: &Shell) {
        let (hand, grade) = (self.trainee.trim().to_owned(), self.grade);
        match record::Typed::by_hand(self.threshold.trim()) {
            Ok(typed) => {
                let threshold = Threshold { hand, grade, percent: typed.value() };
                self.change_roster(shell, |roster| roster.set_threshold(threshold));
            }
            Err(why) => self.roster_refused = Some(format!("Threshold: {why}.")),
        }
    }

    fn assign(&mut self, shell: &Shell) {
        let (hand, grade) = (self.trainee.trim().to_owned(), self.grade);
        let asked = self.numbered().map_err(NotBegun::from);
        match asked.and_then(|number| Ok((number, self.exam()?))) {
            Ok((number, exam)) => {
                let assigned = Assigned { hand, grade, number, exam };
                self.change_roster(shell, |roster| roster.assign(assigned));
            }
            Err(why) => self.roster_refused = Some(why.to_string()),
        }
    }

    fn take_assigned(&mut self, assigned: Assigned) {
        self.grade = assigned.grade;
        self.number = assigned.number.to_string();
        self.number_typed = true;
        self.exam = assigned.exam.is_some();
        let minutes = assigned.exam.and_then(|exam| exam.minutes);
        self.minutes = minutes.map_or_else(String::new, |it| it.to_string());
        self.take_keyboard = true;
    }

    /// The unit asked for, to be begun: its file is there before its first reading.
    fn begun(&self, shell: &mut Shell) -> Result<Beginning, NotBegun> {
        let number = self.numbered()?;
        let unit = PracticeUnit::invented(self.grade, number).map_err(Refusal::Sentence)?;
        let unit = match self.exam()? {
            Some(exam) => unit.examined(exam),
            None => unit,
        };
        let hand = shell.named_hand()?;
        let Some(shop) = shell.shop.shop() else {
            return Err(Refusal::NoShop.into());
        };
        self.may_begin(&unit, &hand)?;
        let now = shell.now();
        let path = shop.new_practice_path(now.date(), &unit)?;
        let header = Header {
            format: record::LATEST_FORMAT,
            program: program(),
            session: record::new_session_name()?,
            kind: SessionKind::Practice(unit.exercise()),
            continues: None,
        };
        let opening = unit.opening(now)?;
        // What the unit is handed over with.
        let handed_over = unit.handed_over()?;
        let by = |hand: &str| {
            let hand = hand.to_owned();
            move |body| (body, hand.clone())
        };
        let facts = opening.into_iter().map(by(&hand));
        let facts = facts.chain(handed_over.into_iter().map(by(COLLEAGUE))).collect();
        let said = "An invented unit is on the bench. Read both channels as found.";
        Ok(Beginning { path, header, hand, facts, confirms: false, said })
    }

    fn write_progress(&mut self, path: &Path) -> Effect {
        let written = self.progress.csv().map_err(|why| why.to_string());
        match written.and_then(|table| write_progress(path, &table).map_err(|why| why.to_string()))
        {
            Ok(()) => {
                self.notice = format!("Results written to {}", record::shown::path(path));
                Effect::Written(self.notice.clone())
            }
            Err(why) => Effect::NotWritten(why),
        }
    }
}
