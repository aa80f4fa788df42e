//! Review: stepping through a session, supposing, comparing, answering, reading it blind.

use std::path::{Path, PathBuf};

use paper::words::capital;
use record::fact::{Body, Countersigned, Returned};
use record::linked::Link;
use record::{Act, FIRST_FORMAT, RealDisk, Shop, Survey, blind_check, review};

use super::not_given::NotGiven;
use super::other::Other;
use super::{ReviewAction, Reviewed, Reviewing, Sight};
use crate::plot::FieldView;
use crate::shell::Shell;
use crate::shell::authority::{hands_for, may};
use crate::shell::effect::{Beginning, Effect, ReviewAnswer};
use crate::shell::open_shop::{program, words_of};
use crate::shell::sealing::choice::SealChoice;

/// Sessions of one unit that are looked through for blind readings.
const MOST_OF_A_UNIT: usize = 24;

/// The sessions of the shop, as far as they were read.
#[derive(Clone, Copy)]
pub struct ShopRead<'a> {
    /// What they come to, once they were read.
    pub survey: Option<&'a Survey>,
    /// Why they could not be read.
    pub refused: Option<&'a str>,
}

impl Reviewing {
    /// Does what was asked; what is refused stands beside it.
    pub fn apply(&mut self, action: ReviewAction, shell: &mut Shell) -> Vec<Effect> {
        match action {
            ReviewAction::Open(path) => return vec![Effect::Review(path)],
            ReviewAction::Show(part) => {
                self.part = part;
                self.sight = Sight::Part;
            }
            ReviewAction::Do(command) => return vec![Effect::Do(command)],
            ReviewAction::AskKey(key) => return vec![Effect::AskKey(key)],
            ReviewAction::Bring(sight) => self.sight = sight,
            ReviewAction::CompareWith(path) => self.compare_with(path),
            ReviewAction::Countersign | ReviewAction::Return => {
                let agreed = action == ReviewAction::Countersign;
                match self.answered(agreed, shell) {
                    Ok(answer) => return vec![Effect::Answer(Box::new(answer))],
                    Err(why) => self.refused = Some(why.to_string()),
                }
            }
            ReviewAction::Mark => {
                self.refused = self.turn_mark().err().map(|why| why.to_string());
            }
            ReviewAction::TakeMark(path) => self.take_mark(&path),
            ReviewAction::CountersignMarked => match self.several(shell) {
                Ok(several) => return vec![Effect::AnswerSeveral(several)],
                Err(why) => self.refused = Some(why.to_string()),
            },
            ReviewAction::NextWaiting => return vec![Effect::NextWaiting],
            ReviewAction::ReadBlind => match self.blind(shell) {
                Ok(beginning) => return vec![Effect::Begin(Box::new(beginning))],
                Err(why) => self.refused = Some(why.to_string()),
            },
            ReviewAction::AtBench => {
                let path = self.open.as_ref().map(|open| open.path.clone());
                return path.map(Effect::OpenAtBench).into_iter().collect();
            }
            other => {
                if let Some(open) = &mut self.open {
                    step(open, other);
                }
            }
        }
        Vec::new()
    }

    /// Goes on with what is looked over, else looks over the bench's own session.
    pub fn come(&mut self, at_bench: Option<PathBuf>, shell: &Shell) {
        let Some(open) = &self.open else {
            if let Some(path) = at_bench {
                self.look_over(path, shell);
            }
            return;
        };
        // It may have been written to since.
        let (path, at, last) = (open.path.clone(), open.at(), open.last());
        self.look_over(path, shell);
        if let Some(open) = &mut self.open
            && at < last
        {
            open.step_to(at);
        }
    }

    /// Looks a session over.
    pub fn look_over(&mut self, path: PathBuf, shell: &Shell) {
        let another = self.open.as_ref().is_none_or(|open| open.path != path);
        match Reviewed::open(path.clone()) {
            Ok(mut open) => {
                let (account, practice) = (&open.account, open.account.answerable.practice);
                let format = account.session.format();
                let seal = shell.seal_choice_beside(account.beside.as_ref(), format, practice);
                self.seal = if another { seal } else { seal.chosen_as(&self.seal) };
                open.blind = blind_readings_of(&open, shell);
                open.read_pictures_again(&shell.workers());
                self.open = Some(open);
                self.refused = None;
                if another {
                    self.notice.clear();
                    self.comment.clear();
                    self.hand.clear();
                    self.view = FieldView::in_room("review");
                }
            }
            Err(why) => {
                self.open = None;
                self.refused = Some(format!("{}: {why}", record::shown::path(&path)));
            }
        }
    }

    fn compare_with(&mut self, path: PathBuf) {
        let Some(open) = &mut self.open else { return };
        match Other::read(path.clone(), &open.account.session, &words_of(&path)) {
            Ok(other) => {
                open.step_to(open.last());
                open.stage.lay_beside(other.ghost.clone());
                open.other = Some(other);
                self.refused = None;
            }
            Err(why) => self.refused = Some(why.to_string()),
        }
    }

    /// Whose initials answer.
    pub(super) fn answering_hand(&self) -> Result<String, NotGiven> {
        let hand = self.hand.trim().to_owned();
        if hand.is_empty() { Err(NotGiven::NoInitials) } else { Ok(hand) }
    }

    /// The answer as it stands on the page, if it may be given.
    fn answered(&self, agreed: bool, shell: &Shell) -> Result<ReviewAnswer, NotGiven> {
        let open = self.open.as_ref().ok_or(NotGiven::NothingOpen)?;
        let hand = self.answering_hand()?;
        self.answer_of(open, (&hand, &self.seal), agreed, shell)
    }

    /// An answer to a session, if it may be given.
    pub(super) fn answer_of(
        &self,
        open: &Reviewed,
        (hand, seal): (&str, &SealChoice),
        agreed: bool,
        shell: &Shell,
    ) -> Result<ReviewAnswer, NotGiven> {
        let signature = open.not_to_return()?;
        if let (true, Some(why)) = (agreed, open.not_to_countersign()) {
            return Err(NotGiven::Countersignature(why));
        }
        let comment = self.comment.trim().to_owned();
        if !agreed && comment.is_empty() {
            return Err(NotGiven::NoComment);
        }
        let path = open.path.clone();
        let session = &open.account.session;
        let hands = hands_for(session, &path);
        let signed_by = open.account.signature().map_or("", |signature| &signature.hand);
        let act = if agreed { Act::Countersign { signed_by } } else { Act::Return };
        may(&hands, hand, act, shell.now())?;
        let body = if agreed {
            let last_hash = open.account.last_hash.clone();
            // A file of format 1 has no words for the list of hands.
            let hands_sha256 = if session.format() > FIRST_FORMAT { hands.sha256() } else { None };
            Body::Countersigned(Countersigned { signature, last_hash, comment, hands_sha256 })
        } else {
            Body::Returned(Returned { signature, comment })
        };
        let with = shell.seal_with(seal, hand)?;
        Ok(ReviewAnswer { path, body, hand: hand.to_owned(), agreed, with })
    }

    /// Tells that an answer is on disk.
    pub fn was_answered(&mut self, agreed: bool) {
        self.comment.clear();
        self.hand.clear();
        self.notice = if agreed {
            "Countersigned. Keep the last line's 64 digits beside it: whoever cuts facts off \
             the end changes them."
                .to_owned()
        } else {
            "Returned. The technician sees it when the shop is opened.".to_owned()
        };
    }

    /// A session of confirm readings that shows nothing of the one looked over.
    fn blind(&self, shell: &mut Shell) -> Result<Beginning, NotGiven> {
        let hand = shell.named_hand()?;
        let Some(open) = &self.open else {
            return Err(NotGiven::NothingOpen);
        };
        let state = &open.account.session;
        let file_name = open.path.file_name().map(|name| name.to_string_lossy().into_owned());
        let link = Link::to(state, &file_name.unwrap_or_default(), &open.account.last_hash)
            .map_err(NotGiven::NoLink)?;
        let name = state.station().map(|station| station.name.clone());
        let offers = shell.shop.offers();
        let station = offers.stations.iter().find(|station| Some(&station.name) == name.as_ref());
        let bodies = link.beginning(state, station.cloned());
        let header = link.header(&program())?;
        let unit = state.unit().map_or_else(|| "blind".to_owned(), |unit| unit.name.clone());
        let path = shell.shop.new_session_path(shell.now(), &unit)?;
        let facts = bodies.into_iter().map(|body| (body, hand.clone())).collect();
        let said =
            "Blind confirm readings: rings and locks as left. What was signed is not shown here.";
        Ok(Beginning { path, header, hand, facts, confirms: true, said })
    }

    /// Tells what the window and rule supposed would do to units as this shop makes them; whether its sessions
    /// have to be read for that.
    pub fn tell_risk(&mut self, read: ShopRead<'_>, shell: &Shell) -> bool {
        let Some(open) = &mut self.open else { return false };
        let sessions = shell.shop.offers().folder.join("sessions");
        let lies_in = open.path.parent().and_then(|folder| folder.canonicalize().ok());
        let mut wanted = false;
        open.risk = if !open.asks_for_risk() || !open.stage.supposed {
            String::new()
        } else if lies_in.is_none() || lies_in != sessions.canonicalize().ok() {
            "What this does to units as a shop makes them is not known: the session does not lie among \
             those of the open shop."
                .to_owned()
        } else if let Some(survey) = read.survey {
            let risk = survey.risk_for(&open.stage.state);
            risk.map_or_else(String::new, |risk| format!("In this shop: {}", risk.words()))
        } else if let Some(why) = read.refused {
            format!("What this does to units as this shop makes them is not known: {why}")
        } else {
            wanted = true;
            "What this does to units as this shop makes them is worked out once its sessions are read."
                .to_owned()
        };
        wanted
    }
}

/// What blind sessions of the shop say of a signed one.
fn blind_readings_of(open: &Reviewed, shell: &Shell) -> Vec<(String, Vec<String>)> {
    let name = open.account.header().map(|header| header.session.clone());
    let (Some(name), Some(unit)) = (name, open.account.session.unit()) else {
        return Vec::new();
    };
    let mut said = Vec::new();
    // A blind session's file is named after its unit; of a unit that came very often the last ones.
    let sessions = shell.shop.offers().sessions.iter();
    let is_of_unit = |other: &Path| other != open.path && Shop::is_named_for(other, &unit.name);
    for (other, words) in sessions.filter(|(other, _)| is_of_unit(other)).take(MOST_OF_A_UNIT) {
        let Ok(account) = review(other, &RealDisk) else { continue };
        if Link::of(&account.session).is_none_or(|link| link.session != name) {
            continue;
        }
        said.push(match blind_check(open.facts(), &account.session) {
            Ok(check) => (words.clone(), check.words()),
            Err(why) => (words.clone(), vec![capital(&format!("{why}."))]),
        });
    }
    said
}

/// What changes only what is looked at.
fn step(open: &mut Reviewed, action: ReviewAction) {
    match action {
        ReviewAction::StepTo(seq) => open.step_to(seq),
        ReviewAction::StepBy(by) => {
            let at = open.at().saturating_add_signed(by);
            open.step_to(at);
        }
        ReviewAction::Toggle(seq) => open.toggle(seq),
        ReviewAction::SupposeWindow(window) => open.suppose_window(window.map(|window| *window)),
        ReviewAction::SupposeRule(rule) => open.suppose_rule(rule),
        ReviewAction::AsItIs => open.as_it_is(),
        ReviewAction::CompareNone => {
            open.other = None;
            open.stage.lay_beside(None);
        }
        _ => {}
    }
}
