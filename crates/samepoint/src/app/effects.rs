//! What places ask of the window: each asks for itself, and here it is done.

use super::App;
use super::action::Action;
use super::opening::NotOpened;
use crate::places::practice::PracticeAction;
use crate::places::shelf::ShelfAction;
use crate::places::shop::ShopAction;
use crate::places::study::StudyAction;
use crate::sheets::Sheet;
use crate::shell::effect::{Beginning, Effect, ToWrite};
use crate::shell::of_shop::OfShop;
use crate::shell::path_sheet::PathSheet;
use crate::shell::refusals::Refusal;
use crate::ui_command::UiCommand;
use crate::upkeep::CheckAction;

/// Why something that a place asked for is not done.
#[derive(Debug, thiserror::Error)]
pub(super) enum NotFollowed {
    /// A session or shop is not opened.
    #[error(transparent)]
    NotOpened(#[from] NotOpened),
    /// As everywhere.
    #[error(transparent)]
    Refused(#[from] Refusal),
    /// The record.
    #[error(transparent)]
    Record(#[from] record::Error),
}

impl App {
    pub(super) fn practice_action(&mut self, action: PracticeAction) {
        let again = Action::Practice(action.clone());
        let effects = self.places.practice.apply(action, &mut self.shell);
        let begins = effects.iter().any(|effect| matches!(effect, Effect::Begin(_)));
        match self.follow(effects, &again) {
            Ok(()) if begins => self.places.practice.number_typed = false,
            Ok(()) => {}
            Err(why) if begins => self.places.practice.refused = Some(why.to_string()),
            Err(why) => self.shell.warn(why),
        }
    }

    pub(super) fn study_action(&mut self, action: StudyAction) {
        let station = self.session.as_ref().and_then(|session| session.state().station());
        let effects = self.places.study.apply(action, station, &mut self.shell);
        self.follow_or_warn(effects);
    }

    pub(super) fn come_to_study(&mut self) {
        let effects = self.places.study.come(&mut self.shell);
        self.follow_or_warn(effects);
    }

    pub(crate) fn close_study(&mut self) {
        let effect = self.places.study.close(&mut self.shell);
        self.follow_or_warn(vec![effect]);
    }

    pub(super) fn shop_action(&mut self, action: ShopAction) {
        let effects = self.places.shop.apply(action, &mut self.shell);
        self.follow_or_warn(effects);
    }

    /// Says on the sheet of what is written of the shop whether that goes on elsewhere.
    fn being_written(&mut self, going_on: bool) {
        if let Sheet::OfShop(sheet) = &mut self.front {
            sheet.going_on = going_on;
            sheet.path.refused = None;
        }
    }

    /// Hears of what was written elsewhere. The sheet may have been put away meanwhile, or another have come.
    pub(super) fn hear_written(&mut self) {
        let Some(effect) = self.places.shop.hear_pack() else { return };
        self.being_written(false);
        let here = matches!(&self.front, Sheet::OfShop(sheet) if sheet.what == OfShop::Audit);
        match effect {
            Effect::Written(said) if !here => self.say(said),
            Effect::NotWritten(why) if !here => self.shell.warn(why),
            effect => self.follow_or_warn(vec![effect]),
        }
    }

    /// Asks where something of the shop is to be written.
    pub(super) fn ask_of_shop(&mut self, what: OfShop) {
        let effects = self.places.shop.ask_of_shop(what, &mut self.shell);
        self.follow_or_warn(effects);
    }

    pub(super) fn shelf_action(&mut self, action: ShelfAction) {
        let effects = self.places.shelf.apply(action, &mut self.shell);
        self.follow_or_warn(effects);
    }

    /// Does what a place asks for; what is refused is said above everything else.
    pub(crate) fn follow_or_warn(&mut self, effects: Vec<Effect>) {
        if let Err(why) = self.follow(effects, &Action::Understood) {
            self.shell.warn(why);
        }
    }

    /// Does what a place asks for; `again` is what asks for the same once more.
    ///
    /// # Errors
    /// Why a session could not be opened or begun.
    pub(super) fn follow(
        &mut self,
        effects: Vec<Effect>,
        again: &Action,
    ) -> Result<(), NotFollowed> {
        for effect in effects {
            match effect {
                Effect::OpenAtBench(path) => self.open_path(&path)?,
                Effect::OpenAndTell(path) => {
                    self.open_session(&path)?;
                    self.tell_hidden();
                }
                Effect::Do(command) => self.command(command),
                Effect::Hand(hand) => self.apply_one(Action::Hand(hand)),
                Effect::AskKey(key) => self.ask_key(&key),
                Effect::CheckStation(station) => {
                    self.apply_one(Action::Checks(CheckAction::Open(station)));
                }
                Effect::Review(path) => self.review_session(path),
                Effect::Answer(answer) => self.answer(*answer)?,
                Effect::AnswerSeveral(several) => self.answer_several(several),
                Effect::NextWaiting => self.review_next_waiting(),
                Effect::SetUp(from) => self.set_up_from_shelf(*from)?,
                Effect::Begin(beginning) => self.begin(*beginning, again)?,
                Effect::AskWhere(ToWrite::RecallList, path) => {
                    self.bring(Sheet::RecallList(PathSheet::at(&path)));
                }
                Effect::AskWhere(ToWrite::Progress, path) => {
                    self.bring(Sheet::ProgressCsv(PathSheet::at(&path)));
                }
                Effect::AskOfShop(sheet) => self.bring(Sheet::OfShop(*sheet)),
                Effect::BeingWritten => self.being_written(true),
                Effect::Written(said) => {
                    self.put_away();
                    self.say(said);
                }
                Effect::NotWritten(why) => {
                    if let Sheet::RecallList(sheet) | Sheet::ProgressCsv(sheet) = &mut self.front {
                        sheet.refused = Some(why);
                    } else if let Sheet::OfShop(sheet) = &mut self.front {
                        sheet.path.refused = Some(why);
                    }
                }
                Effect::LetGo(held) => self.keepers.forget(held),
                Effect::GoOnElsewhere(held) => self.show_continue_sheet(held, None),
            }
        }
        Ok(())
    }

    /// Begins a session that a place prepared, and puts it on the bench.
    fn begin(&mut self, beginning: Beginning, again: &Action) -> Result<(), record::Error> {
        let Beginning { path, header, hand, facts, confirms, said } = beginning;
        let mut file = self.begin_session(&path, header, &hand, again.clone())?;
        let now = self.shell.now();
        for (body, hand) in facts {
            file.append(body, now, &hand)?;
        }
        self.take_up(file);
        self.shell.shop.refresh_sessions();
        if confirms {
            self.command(UiCommand::Confirm);
        }
        self.say(said);
        Ok(())
    }
}
