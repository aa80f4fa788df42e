//! Review: stepping through a session, supposing, comparing, answering.

use std::path::{Path, PathBuf};

use record::fact::{Body, Countersigned, FIRST_FORMAT, Returned, Seq};
use record::{Access, Act, Link, RealDisk, SaveState, SessionFile, Shop, blind_check, review};

use super::other::{Other, name_of};
use super::{ReviewAction, Reviewed, Sight};
use crate::app::App;
use crate::app::action::Action;
use crate::bench::signing::answering::{hands_for, may};
use crate::bench::signing::sealing::Wanted;
use crate::places::Place;
use crate::shell::open_shop::program;
use crate::shell::refusals::NO_HAND;

/// What an answer without initials is told.
const NO_INITIALS: &str = "Type the initials of whoever answers, under Supervisor.";

/// Sessions of one unit that are looked through for blind readings.
const MOST_OF_A_UNIT: usize = 24;

/// How long the window waits for an answer to reach the disk.
const LONGEST: std::time::Duration = std::time::Duration::from_secs(2);

impl App {
    pub(crate) fn review_action(&mut self, action: ReviewAction) {
        match action {
            ReviewAction::Open(path) => self.review_session(path),
            ReviewAction::Show(part) => {
                self.places.review.part = part;
                self.places.review.sight = Sight::Part;
            }
            ReviewAction::Bring(sight) => self.places.review.sight = sight,
            ReviewAction::CompareWith(path) => self.compare_with(path),
            ReviewAction::Countersign => self.answer(true),
            ReviewAction::Return => self.answer(false),
            ReviewAction::ReadBlind => self.read_blind(),
            ReviewAction::AtBench => self.review_at_bench(),
            other => {
                if let Some(open) = &mut self.places.review.open {
                    step(open, other);
                }
                self.tell_risk();
            }
        }
    }

    /// Goes on with what is looked over, else looks over the bench's own session.
    pub(crate) fn come_to_review(&mut self) {
        if self.places.review.open.is_none()
            && let Some(session) = &self.session
        {
            let path = session.file().path().to_owned();
            self.review_session(path);
        } else if let Some(open) = &self.places.review.open {
            // It may have been written to since.
            let (path, at, last) = (open.path.clone(), open.at(), open.last());
            self.review_session(path);
            if let Some(open) = &mut self.places.review.open
                && at < last
            {
                open.step_to(at);
            }
        }
    }

    fn review_session(&mut self, path: PathBuf) {
        self.place = Place::Review;
        let another = self.places.review.open.as_ref().is_none_or(|open| open.path != path);
        match Reviewed::open(path.clone()) {
            Ok(open) => {
                let (account, practice) = (&open.account, open.account.answerable.practice);
                let format = account.session.format();
                let seal = self.seal_choice_beside(account.beside.as_ref(), format, practice);
                let review = &mut self.places.review;
                review.seal = if another { seal } else { seal.chosen_as(&review.seal) };
                review.open = Some(open);
                review.refused = None;
                if another {
                    review.notice.clear();
                    review.comment.clear();
                    review.hand.clear();
                    review.view = crate::plot::FieldView::in_room("review");
                }
            }
            Err(why) => {
                let review = &mut self.places.review;
                review.open = None;
                review.refused = Some(format!("{}: {why}", record::shown::path(&path)));
                return;
            }
        }
        let blind = self.blind_readings_of(&path);
        if let Some(open) = &mut self.places.review.open {
            open.blind = blind;
        }
    }

    /// What blind sessions of the shop say of a signed one.
    fn blind_readings_of(&self, path: &Path) -> Vec<(String, Vec<String>)> {
        let Some(open) = &self.places.review.open else { return Vec::new() };
        let name = open.account.header().map(|header| header.session.clone());
        let (Some(name), Some(unit)) = (name, open.account.session.unit()) else {
            return Vec::new();
        };
        let mut said = Vec::new();
        // A blind session's file is named after its unit; of a unit that came very often the last ones.
        let sessions = self.shop.offers().sessions.iter();
        let of_unit =
            sessions.filter(|(other, _)| other != path && Shop::is_named_for(other, &unit.name));
        for (other, words) in of_unit.take(MOST_OF_A_UNIT) {
            let Ok(account) = review(other, &RealDisk) else { continue };
            if Link::of(&account.session).is_none_or(|link| link.session != name) {
                continue;
            }
            said.push(match blind_check(open.facts(), &account.session) {
                Ok(check) => (words.clone(), check.words()),
                Err(why) => (words.clone(), vec![paper::words::capital(&format!("{why}."))]),
            });
        }
        said
    }

    fn compare_with(&mut self, path: PathBuf) {
        let review = &mut self.places.review;
        let Some(open) = &mut review.open else { return };
        match Other::read(path.clone(), &open.account.session, &name_of(&path)) {
            Ok(other) => {
                open.step_to(open.last());
                open.stage.lay_beside(other.ghost.clone());
                open.other = Some(other);
                review.refused = None;
            }
            Err(why) => review.refused = Some(why),
        }
    }

    /// Countersigns, or returns with the comment.
    fn answer(&mut self, agreed: bool) {
        match self.answered(agreed) {
            Ok((path, wanted)) => {
                self.look_for_returns();
                self.review_session(path);
                self.sealing = None;
                let review = &mut self.places.review;
                review.comment.clear();
                review.hand.clear();
                review.notice = if agreed {
                    "Countersigned. Keep the last line's 64 digits beside it: whoever cuts facts off \
                     the end changes them."
                        .to_owned()
                } else {
                    "Returned. The technician sees it when the shop is opened.".to_owned()
                };
                if let Some(wanted) = wanted {
                    self.seal_soon(wanted);
                }
            }
            Err(why) => self.places.review.refused = Some(why),
        }
    }

    /// Answers; what is to be sealed of it.
    fn answered(&mut self, agreed: bool) -> Result<(PathBuf, Option<Wanted>), String> {
        let Some(open) = &self.places.review.open else {
            return Err("No session is looked over.".to_owned());
        };
        let hand = self.places.review.hand.trim().to_owned();
        if hand.is_empty() {
            return Err(NO_INITIALS.to_owned());
        }
        let signature = open.not_to_return()?;
        if let (true, Some(why)) = (agreed, open.not_to_countersign()) {
            return Err(why);
        }
        let comment = self.places.review.comment.trim().to_owned();
        if !agreed && comment.is_empty() {
            return Err("Say what is to be done: a return needs a comment.".to_owned());
        }
        let path = open.path.clone();
        let session = &open.account.session;
        let hands = hands_for(session, &path);
        let signed_by = open.account.signature().map_or("", |signature| &signature.hand);
        let act = if agreed { Act::Countersign { signed_by } } else { Act::Return };
        may(&hands, &hand, act, self.services.clock.now())?;
        let body = if agreed {
            let last_hash = open.account.last_hash.clone();
            // A file of format 1 has no words for the list of hands.
            let hands_sha256 = if session.format() > FIRST_FORMAT { hands.sha256() } else { None };
            Body::Countersigned(Countersigned { signature, last_hash, comment, hands_sha256 })
        } else {
            Body::Returned(Returned { signature, comment })
        };
        let with = self.seal_with(&self.places.review.seal, &hand)?;
        self.named_on_sheet(&hand);
        let word = if agreed { "countersigned" } else { "returned" };
        let (seq, line_hash) = self.append_to(&path, body, &hand)?;
        let wanted =
            with.map(|with| Wanted { path: path.clone(), seq, word, hand, line_hash, with });
        Ok((path, wanted))
    }

    /// Adds an answer to a session, whether it is the bench's own or lies in the shop. Its `seq`, and what a
    /// seal over it is made of.
    fn append_to(
        &mut self,
        path: &Path,
        body: Body,
        hand: &str,
    ) -> Result<(Seq, Option<String>), String> {
        let now = self.services.clock.now();
        let unit = self.entry.unit;
        if let Some(session) = self.session.as_mut().filter(|open| open.file().path() == path) {
            let seq = session.append(body, now, hand, unit).map_err(|why| why.to_string())?;
            // An answer is shown as given only when it is on disk; a slow disk is not waited for long.
            let begun = std::time::Instant::now();
            while matches!(session.file().save_state(), SaveState::Saving { .. })
                && begun.elapsed() < LONGEST
            {
                std::thread::sleep(std::time::Duration::from_millis(2));
                self.warnings.extend(session.hear(now));
            }
            return match session.file().save_state() {
                SaveState::Saved | SaveState::Written => {
                    Ok((seq, session.file().signing_hash(seq).map(str::to_owned)))
                }
                _ => Err(format!("It waits to be written: {}.", session.saved().words())),
            };
        }
        let mut file =
            SessionFile::open(path, self.file_options()).map_err(|why| why.to_string())?;
        if !matches!(file.access(), Access::Writing) {
            return Err(paper::words::capital(&format!("{}.", file.access())));
        }
        record::fold(file.facts()).admits_from(hand, &body).map_err(|why| why.to_string())?;
        let seq = file.append(body, now, hand).map_err(|why| why.to_string())?;
        file.finish().map_err(|why| why.to_string())?;
        let line_hash = file.signing_hash(seq).map(str::to_owned);
        self.note_signed(path, vec![seq]);
        Ok((seq, line_hash))
    }

    /// Begins a session of confirm readings that shows nothing of the one looked over.
    fn read_blind(&mut self) {
        if let Err(why) = self.blind_begun() {
            self.places.review.refused = Some(why);
        }
    }

    fn blind_begun(&mut self) -> Result<(), String> {
        self.who_first()?;
        let Some(open) = &self.places.review.open else {
            return Err("No session is looked over.".to_owned());
        };
        let hand = self.preferences.hand.trim().to_owned();
        if hand.is_empty() {
            return Err(NO_HAND.to_owned());
        }
        let state = &open.account.session;
        let file_name = open.path.file_name().map(|name| name.to_string_lossy().into_owned());
        let link = Link::to(state, &file_name.unwrap_or_default(), &open.account.last_hash)
            .map_err(|why| paper::words::capital(&format!("{why}.")))?;
        let name = state.station().map(|station| station.name.clone());
        let offers = self.shop.offers();
        let station = offers.stations.iter().find(|station| Some(&station.name) == name.as_ref());
        let bodies = link.beginning(state, station.cloned());
        let header = link.header(&program()).map_err(|why| why.to_string())?;
        let unit = state.unit().map_or_else(|| "blind".to_owned(), |unit| unit.name.clone());
        let now = self.services.clock.now();
        let path = self.shop.new_session_path(now, &unit)?;
        let again = Action::Review(ReviewAction::ReadBlind);
        let mut file = self.begin_session(&path, header, &hand, again)?;
        for body in bodies {
            let now = self.services.clock.now();
            file.append(body, now, &hand).map_err(|why| why.to_string())?;
        }
        self.take_up(file);
        self.shop.refresh_sessions();
        self.command(crate::ui_command::UiCommand::Confirm);
        self.say(
            "Blind confirm readings: rings and locks as left. What was signed is not shown here.",
        );
        Ok(())
    }

    fn review_at_bench(&mut self) {
        let path = self.places.review.open.as_ref().map(|open| open.path.clone());
        if let Some(path) = path
            && let Err(why) = self.open_path(&path)
        {
            self.places.review.refused = Some(why);
        }
    }
}

impl App {
    /// Tells what the window and rule supposed would do to units as this shop makes them; starts reading the
    /// shop's sessions where that takes it.
    pub(crate) fn tell_risk(&mut self) {
        let Some(open) = &self.places.review.open else { return };
        let sessions = self.shop.offers().folder.join("sessions");
        let lies_in = open.path.parent().and_then(|folder| folder.canonicalize().ok());
        let told = if !open.asks_for_risk() || !open.stage.supposed {
            String::new()
        } else if lies_in.is_none() || lies_in != sessions.canonicalize().ok() {
            "What this does to units as a shop makes them is not known: the session does not lie among \
             those of the open shop."
                .to_owned()
        } else if let Some(survey) = &self.places.shop.survey {
            let risk = survey.risk_for(&open.stage.state);
            risk.map_or_else(String::new, |risk| format!("In this shop: {}", risk.words()))
        } else {
            if !self.places.shop.reading.is_going_on() && self.places.shop.refused.is_none() {
                self.read_sessions();
            }
            match &self.places.shop.refused {
                Some(why) => format!(
                    "What this does to units as this shop makes them is not known: {why}"
                ),
                None => "What this does to units as this shop makes them is worked out once its sessions \
                         are read."
                    .to_owned(),
            }
        };
        if let Some(open) = &mut self.places.review.open {
            open.risk = told;
        }
    }
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
