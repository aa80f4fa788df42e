//! One session looked over: stepped through fact by fact, supposed otherwise, laid beside another
//! session of its unit, answered. Nothing here but an answer is ever written.
//!
//! - [`stage`]: how things stood after a fact, or would stand; [`mod@sides`]: its rounds side by side;
//! - [`other`]: another session beside it; [`several`]: those looked at (`marked`), countersigned together;
//!   `not_given`: why an answer is not; `apply`: what is asked; [`ui`]: what it looks like.

pub(crate) mod apply;
pub(crate) mod marked;
pub(crate) mod not_given;
pub(crate) mod other;
pub(crate) mod several;
pub(crate) mod sides;
pub(crate) mod stage;
pub(crate) mod ui;

use crate::ui_command::UiCommand;
use paper::words::capital;
use std::path::PathBuf;

use record::fact::{Fact, Seq};
use record::review::{FrameAgain, FramesToRead};
use record::{
    Account, Chain, Error, Follows, NamedWindow, RealDisk, Supposition, TimelineEntry,
    review_with_facts, timeline, what_if,
};

use crate::jobs::{Job, Work, Workers};
use crate::pictures::PictureReader;
use crate::plot::FieldView;
use crate::shell::sealing::choice::SealChoice;
use crate::widgets::Tone;
use marked::MarkedSession;
use other::Other;
use sides::{SideRow, sides};
use stage::ReviewStage;

/// What stands beside the plot.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum ReviewPart {
    /// The account in words.
    #[default]
    Account,
    /// Rounds side by side.
    Rounds,
    /// What would be.
    WhatIf,
    /// Another session of the unit.
    Compare,
    /// Countersign, or return.
    Answer,
}

impl ReviewPart {
    /// All of them, in the order of the screen.
    pub const ALL: [Self; 5] =
        [Self::Account, Self::Rounds, Self::WhatIf, Self::Compare, Self::Answer];

    /// Its name.
    #[must_use]
    pub const fn text(self) -> &'static str {
        match self {
            Self::Account => "Account",
            Self::Rounds => "Rounds",
            Self::WhatIf => "What if",
            Self::Compare => "Compare",
            Self::Answer => "Answer",
        }
    }
}

/// What is in sight in a small window.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Sight {
    /// The facts.
    Timeline,
    /// The field plot.
    Plot,
    /// What stands beside it.
    #[default]
    Part,
}

/// What the place remembers.
#[derive(Default)]
pub struct Reviewing {
    /// The session looked over.
    pub open: Option<Reviewed>,
    /// Where things were drawn.
    pub view: FieldView,
    /// What stands beside the plot.
    pub part: ReviewPart,
    /// What is in sight in a small window.
    pub sight: Sight,
    /// Whose initials answer, as typed: never the bench's hand, and never kept for the next answer.
    pub hand: String,
    /// With which key the answer is sealed, if it is.
    pub seal: SealChoice,
    /// What is said with an answer, as typed.
    pub comment: String,
    /// What was refused.
    pub refused: Option<String>,
    /// What was done last.
    pub notice: String,
    /// The sessions looked at and marked to be countersigned together.
    pub marked: Vec<MarkedSession>,
    /// The words that a session to compare with must contain.
    pub filter: String,
}

impl Reviewing {
    /// Hears what came in of the session looked over.
    pub fn hear(&mut self) {
        if let Some(open) = &mut self.open {
            open.hear();
        }
    }
}

/// The session looked over.
pub struct Reviewed {
    /// Its file.
    pub path: PathBuf,
    /// Its account.
    pub account: Account,
    /// All its facts as lines, with what became of them in the end.
    pub lines: Vec<TimelineEntry>,
    /// How things stood after the fact looked at; with something supposed, how they would stand.
    pub stage: ReviewStage,
    /// Its rounds side by side.
    pub sides: Vec<SideRow>,
    /// What is supposed.
    pub supposing: Supposition,
    /// What that would come to, in words.
    pub supposed: String,
    /// What the window and rule supposed would do to units as this shop makes them, in words; empty where
    /// neither is supposed.
    pub risk: String,
    /// Another session beside it.
    pub other: Option<Other>,
    /// Blind readings of it, in words: the file's name and what they say.
    pub blind: Vec<(String, Vec<String>)>,
    /// The pictures its readings rest on, being read again.
    reading_again: Job<Vec<FrameAgain>>,
    /// Why they were not.
    not_read_again: Option<String>,
    facts: Vec<Fact>,
    at: Seq,
}

impl Reviewed {
    /// Opens a session to look it over; what is on disk counts.
    ///
    /// # Errors
    /// Why there is nothing to review.
    pub fn open(path: PathBuf) -> Result<Self, Error> {
        let (account, facts) = review_with_facts(&path, &RealDisk)?;
        let stage = ReviewStage::after(&facts, facts.len() as Seq);
        Ok(Self {
            lines: timeline(&facts),
            sides: sides(&account),
            at: facts.len() as Seq,
            stage,
            supposing: Supposition::default(),
            supposed: String::new(),
            risk: String::new(),
            other: None,
            blind: Vec::new(),
            reading_again: Job::idle(Work::PicturesAgain),
            not_read_again: None,
            path,
            account,
            facts,
        })
    }

    /// Has the pictures read again that its readings rest on, if there are any.
    pub fn read_pictures_again(&mut self, workers: &Workers) {
        if let Some(frames) = FramesToRead::of(&self.account) {
            self.reading_again.start(workers, move || frames.read(&PictureReader));
        }
    }

    /// Hears what came of it.
    pub fn hear(&mut self) {
        match self.reading_again.hear() {
            None => {}
            Some(Ok(frames)) => self.account.take_read_again(frames),
            Some(Err(broken)) => self.not_read_again = Some(broken.to_string()),
        }
    }

    /// Its facts.
    #[must_use]
    pub fn facts(&self) -> &[Fact] {
        &self.facts
    }

    /// The fact looked at: things are shown as they stood after it.
    #[must_use]
    pub const fn at(&self) -> Seq {
        self.at
    }

    /// The last fact.
    #[must_use]
    pub fn last(&self) -> Seq {
        self.facts.len() as Seq
    }

    /// Looks at how things stood after a fact. What was supposed is over.
    pub fn step_to(&mut self, seq: Seq) {
        let seq = seq.clamp(1, self.last().max(1));
        if seq == self.at && self.supposing.is_nothing() {
            return;
        }
        self.at = seq;
        self.supposing = Supposition::default();
        self.supposed.clear();
        self.stage = ReviewStage::after(&self.facts, seq);
    }

    /// Counts a reading, or leaves it out, as a supposition.
    pub fn toggle(&mut self, seq: Seq) {
        if let Some(entry) = self.account.session.entry(seq) {
            self.supposing.toggle(entry);
            self.suppose();
        }
    }

    /// Supposes another window, or the one in force again.
    pub fn suppose_window(&mut self, window: Option<NamedWindow>) {
        self.supposing.window = window;
        self.suppose();
    }

    /// Supposes another rule, or the window's own again.
    pub fn suppose_rule(&mut self, rule: Option<record::Rule>) {
        self.supposing.rule = rule;
        self.suppose();
    }

    /// Whether a window or a rule is supposed: what that does to units is told too.
    #[must_use]
    pub const fn asks_for_risk(&self) -> bool {
        self.supposing.window.is_some() || self.supposing.rule.is_some()
    }

    /// Supposes nothing any more.
    pub fn as_it_is(&mut self) {
        self.supposing = Supposition::default();
        self.suppose();
    }

    fn suppose(&mut self) {
        self.at = self.last();
        if self.supposing.is_nothing() {
            self.supposed.clear();
            self.stage = ReviewStage::after(&self.facts, self.at);
            return;
        }
        match what_if(&self.account.session, &self.supposing) {
            Ok(found) => {
                self.supposed = found.words(&self.account.conclusion);
                self.stage = ReviewStage::supposed(found);
            }
            Err(why) => self.supposed = capital(&why.to_string()),
        }
    }

    /// Whether the verdict follows and the chain holds, in a sentence, and how it is meant.
    #[must_use]
    pub fn headline(&self) -> (Tone, String) {
        let verdict = match &self.account.conclusion {
            Ok(conclusion) => {
                format!("The readings give “{}”.", conclusion.verdict.word())
            }
            Err(why) => format!("No verdict: {why}."),
        };
        match (&self.account.chain, &self.account.follows) {
            (Chain::Damaged(damage), _) => (Tone::Look, format!("Damaged: {damage}. {verdict}")),
            (Chain::EndMissing(end), _) => {
                (Tone::Look, format!("{}. {verdict}", capital(&end.to_string())))
            }
            _ if self.account.beside_contradicts() => {
                let gone = "What was signed is gone or was rewritten: the shop says otherwise.";
                (Tone::Look, format!("{verdict} {gone} {}", self.account.follows_words()))
            }
            _ if self.account.countersigned_line_found == Some(false) => {
                let gone = "The line it was countersigned with is not in the file any more.";
                (Tone::Look, format!("{verdict} {gone} {}", self.account.follows_words()))
            }
            (_, Follows::No(_)) => {
                (Tone::Look, format!("{verdict} {}", self.account.follows_words()))
            }
            _ if !self.account.blind_disagreements().is_empty() => {
                let blind = self.account.blind_disagreements().join(" ");
                (Tone::Look, format!("{verdict} {} {blind}", self.account.follows_words()))
            }
            _ if self.reading_again.is_going_on() => {
                let on = "The pictures that its readings rest on are being read again.";
                (Tone::Plain, format!("{verdict} {} {on}", self.account.follows_words()))
            }
            _ if self.not_read_again.is_some() => {
                let why = self.not_read_again.as_deref().unwrap_or_default();
                (Tone::Look, format!("{verdict} {} {why}", self.account.follows_words()))
            }
            (_, Follows::Yes { .. }) if self.account.objections().is_empty() => {
                (Tone::Good, format!("{verdict} {}", self.account.follows_words()))
            }
            _ => (Tone::Plain, format!("{verdict} {}", self.account.follows_words())),
        }
    }

    /// Why it cannot be countersigned, if it cannot.
    #[must_use]
    pub fn not_to_countersign(&self) -> Option<String> {
        let signature = self.not_to_return().err().map(String::from);
        match (&self.account.chain, &self.account.follows) {
            _ if signature.is_some() => signature,
            (Chain::Damaged(_), _) => Some("The file is damaged: nothing can be added to it.".to_owned()),
            _ if self.account.beside_contradicts() => Some(
                "The shop contradicts this file: find out which is true before agreeing with it.".to_owned(),
            ),
            (Chain::EndMissing(_), _) => Some(
                "The file's end is missing: open it on the bench and say what to do about that first."
                    .to_owned(),
            ),
            (_, Follows::No(_)) => {
                Some("What was stored does not follow from the readings: return it.".to_owned())
            }
            _ if self.reading_again.is_going_on() => {
                Some("Its pictures are being read again: wait for what they say.".to_owned())
            }
            _ => None,
        }
    }

    /// The signature that an answer is about.
    ///
    /// # Errors
    /// [`NotAnswered`].
    pub fn not_to_return(&self) -> Result<Seq, NotAnswered> {
        let Some(signature) = self.account.signature() else {
            return Err(NotAnswered::NotSigned);
        };
        if signature.outdated {
            return Err(NotAnswered::Outdated);
        }
        Ok(signature.seq)
    }
}

/// Why a session cannot be answered, in a sentence.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum NotAnswered {
    /// Nothing to answer.
    #[error("Nobody signed: there is nothing to answer yet.")]
    NotSigned,
    /// What was signed is not what stands there now.
    #[error("Facts were added since it was signed: it has to be signed anew.")]
    Outdated,
}

/// For the sheet, which keeps what it shows.
impl From<NotAnswered> for String {
    fn from(why: NotAnswered) -> Self {
        why.to_string()
    }
}

/// What a hand asks of a review.
#[derive(Clone, Debug, PartialEq)]
pub enum ReviewAction {
    /// Look a session over.
    Open(PathBuf),
    /// Look at how things stood after this fact.
    StepTo(Seq),
    /// So many facts on, or back.
    StepBy(i64),
    /// Show another part beside the plot.
    Show(ReviewPart),
    /// Bring this into sight in a small window.
    Bring(Sight),
    /// Suppose a reading out, or counted; or no longer.
    Toggle(Seq),
    /// Suppose another window.
    SupposeWindow(Option<Box<NamedWindow>>),
    /// Suppose another rule.
    SupposeRule(Option<record::Rule>),
    /// Suppose nothing.
    AsItIs,
    /// Lay another session beside it.
    CompareWith(PathBuf),
    /// Take it away again.
    CompareNone,
    /// Countersign.
    Countersign,
    /// Return it with the comment.
    Return,
    /// Mark the session looked over to be countersigned with others, or no longer.
    Mark,
    /// Take a session's mark away.
    TakeMark(PathBuf),
    /// Countersign all that are marked.
    CountersignMarked,
    /// Look over the next session that waits for a countersignature.
    NextWaiting,
    /// Take blind confirm readings in a session of their own.
    ReadBlind,
    /// Go on at the bench with the session looked over.
    AtBench,
    /// A command of the window.
    Do(UiCommand),
    /// Ask where the private part of this key is.
    AskKey(String),
}

impl From<UiCommand> for ReviewAction {
    fn from(command: UiCommand) -> Self {
        Self::Do(command)
    }
}
