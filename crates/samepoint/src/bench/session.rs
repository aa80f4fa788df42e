//! The open session: its file, the fold of its facts, and the picture of its open round.

use crate::views::picture;
use paper::Ghost;
use record::fact::{Body, Purpose, Seen, Seq};
use record::ledger::signing::kind_of;
use record::practice::WITHHELD;
use record::review::{Stands, StandsWords};
use record::station::Shows;
use record::{
    Access, Conclusion, Derived, Error, Event, Folding, Handover, NoConclusion, ReadingUnit, Round,
    SaveState, Session, SessionFile, SessionKind, SetAside, Stamp, Value,
};
use solver::setting::RingPlace;
use solver::{Channel, PerChannel};

use super::confirm::picture::ConfirmView;
use super::log::advice::Advice;
use super::station_words::Judging;
use super::{closing, station_words};
use crate::shell::kept_file::Saved;
use crate::views::differences::DifferenceView;
use crate::views::log::{AtHand, LogRow, LogView};
use crate::views::overlay::Overlay;
use crate::views::round::{RoundView, TonedSentence};

/// Said where no window is chosen.
const JUDGED_BY_NOTHING: &str = "Judged by nothing: no tolerance window is chosen.";

/// An open session.
pub struct OpenSession {
    file: SessionFile,
    /// The fold of its facts, one fact more at a time.
    folding: Folding,
    /// The open round, and how many facts it followed.
    at_hand: AtHand,
    followed: usize,
    picture: RoundView,
    closing: PerChannel<Option<TonedSentence>>,
    confirm: ConfirmView,
    /// What its facts come to, for the signature.
    conclusion: Result<Conclusion, NoConclusion>,
    aside: Overlay,
    /// What is read where only the difference, or a box, is shown.
    differences: Option<DifferenceView>,
    advice: Advice,
    /// When the last fact was seen to be on disk.
    saved_at: Option<Stamp>,
    /// The shop it lies in, as it stood when it was opened.
    shop: Option<record::Beside>,
    /// Facts that sign, countersign or return and were seen to be on disk.
    signed: Vec<Seq>,
    /// How it stands, and that in words.
    stands: Stands,
    stands_words: StandsWords,
    /// The handovers that nobody said was read.
    unread: Vec<Handover>,
}

impl OpenSession {
    /// Folds and draws what a file holds.
    #[must_use]
    pub fn new(file: SessionFile, unit: ReadingUnit) -> Self {
        let mut folding = Folding::new();
        folding.advance(file.facts());
        let state = folding.session();
        let account = Derived::of(state);
        let aside = Overlay::of(&account);
        let (at_hand, followed) = (AtHand::of(state), file.facts().len());
        let (picture, differences) = picture(state, &at_hand, unit, None, &aside, None);
        let closing = closing(state);
        let shop = record::Beside::of(file.path());
        let confirm = ConfirmView::new(&account, picture.solution.as_ref(), shop.as_ref());
        let conclusion = account.into_what_is_signed();
        let advice = Advice::of(state, &at_hand.problem, picture.solution.as_ref());
        let stands = Stands::of(&file, state, shop.as_ref(), &record::RealDisk);
        let stands_words = stands.words(&file, state);
        let unread = state.unread_handovers().collect();
        Self {
            file,
            folding,
            at_hand,
            followed,
            picture,
            closing,
            confirm,
            conclusion,
            aside,
            differences,
            advice,
            saved_at: None,
            shop,
            signed: Vec::new(),
            stands,
            stands_words,
            unread,
        }
    }

    /// The fold of all facts.
    #[must_use]
    pub const fn state(&self) -> &Session {
        self.folding.session()
    }

    /// The picture of the open round.
    #[must_use]
    pub const fn picture(&self) -> &RoundView {
        &self.picture
    }

    /// What confirming comes to.
    #[must_use]
    pub const fn confirm(&self) -> &ConfirmView {
        &self.confirm
    }

    /// The hash of the file's last line, once everything is on disk.
    #[must_use]
    pub fn last_hash(&self) -> Option<String> {
        matches!(self.file.save_state(), SaveState::Saved).then(|| self.file.last_hash())
    }

    /// The file.
    #[must_use]
    pub const fn file(&self) -> &SessionFile {
        &self.file
    }

    /// The file, to agree, copy or close.
    pub const fn file_mut(&mut self) -> &mut SessionFile {
        &mut self.file
    }

    /// The handovers that nobody said was read.
    #[must_use]
    pub fn unread(&self) -> &[Handover] {
        &self.unread
    }

    /// Whether it is about an invented unit.
    #[must_use]
    pub fn is_practice(&self) -> bool {
        let kind = self.state().header.as_ref().map(|header| &header.kind);
        matches!(kind, Some(SessionKind::Practice(_)))
    }

    /// Whether facts may be added.
    #[must_use]
    pub fn is_writable(&self) -> bool {
        matches!(self.file.access(), Access::Writing)
    }

    /// Adds a fact: folded and drawn at once, on its way to disk.
    ///
    /// # Errors
    /// Why the fact cannot be added; nothing has changed then.
    pub fn append(
        &mut self,
        body: Body,
        now: Stamp,
        hand: &str,
        unit: ReadingUnit,
    ) -> Result<Seq, Error> {
        self.state().admits_from(hand, &body)?;
        let seq = self.file.append(body, now, hand)?;
        self.fold(unit);
        Ok(seq)
    }

    /// Goes on although the file's end is missing: what stands there is kept beside it, and noted.
    ///
    /// # Errors
    /// Why it cannot be done.
    pub fn set_end_aside(
        &mut self,
        now: Stamp,
        hand: &str,
        unit: ReadingUnit,
    ) -> Result<SetAside, Error> {
        let aside = self.file.set_end_aside(now, hand)?;
        self.fold(unit);
        Ok(aside)
    }

    /// Adds many facts, folded and drawn once at the end; says how many.
    ///
    /// # Errors
    /// Why one of them cannot be added. Those before it were; they are folded and drawn.
    pub fn append_all(
        &mut self,
        bodies: Vec<Body>,
        now: Stamp,
        hand: &str,
        unit: ReadingUnit,
    ) -> Result<usize, Error> {
        let count = bodies.len();
        let mut refused = None;
        for body in bodies {
            let admitted = self.state().admits_from(hand, &body);
            let added = admitted.and_then(|()| self.file.append(body, now, hand));
            if let Err(why) = added {
                refused = Some(why);
                break;
            }
        }
        self.fold(unit);
        refused.map_or(Ok(count), Err)
    }

    /// What the readings advise.
    #[must_use]
    pub const fn advice(&self) -> &Advice {
        &self.advice
    }

    /// Folds and draws all that the file holds by now.
    fn fold(&mut self, unit: ReadingUnit) {
        let facts = self.file.facts();
        self.folding.advance(facts);
        let added = facts.get(self.followed..).unwrap_or(facts);
        self.at_hand.follow(self.folding.session(), added);
        self.followed = facts.len();
        let account = Derived::of(self.folding.session());
        // The facts changed, so what was being tried is over.
        self.aside = Overlay { rested: self.aside.rested, ..Overlay::of(&account) };
        (self.picture, self.differences) =
            picture(account.session(), &self.at_hand, unit, None, &self.aside, None);
        self.closing = closing(account.session());
        let (solution, shop) = (self.picture.solution.as_ref(), self.shop.as_ref());
        self.confirm = ConfirmView::new(&account, solution, shop);
        if self.aside.rested {
            self.confirm.leave_unanswered();
        }
        self.conclusion = account.into_what_is_signed();
        self.advice = Advice::of(
            self.folding.session(),
            &self.at_hand.problem,
            self.picture.solution.as_ref(),
        );
        self.stands.advance(&self.file, self.folding.session(), self.shop.as_ref());
        self.stands_words = self.stands.words(&self.file, self.folding.session());
        self.unread = self.state().unread_handovers().collect();
    }

    /// Whether answers may be told: what shows any asks here.
    ///
    /// # Errors
    /// That an examination is sat, in a sentence.
    pub fn told(&self) -> Result<(), &'static str> {
        if self.state().withholds() { Err(WITHHELD) } else { Ok(()) }
    }

    /// What its facts come to, for the signature and nothing else: while an examination is sat it is not to
    /// be seen.
    ///
    /// # Errors
    /// What is missing.
    pub const fn to_sign(&self) -> Result<&Conclusion, &NoConclusion> {
        self.conclusion.as_ref()
    }

    /// How it stands, in the word a review has for it, and why.
    #[must_use]
    pub const fn stands(&self) -> &StandsWords {
        &self.stands_words
    }

    /// That a supervisor sent its signature back, until it is signed anew.
    #[must_use]
    pub fn returned_words(&self) -> Option<String> {
        match self.folding.session().signature() {
            record::SignatureState::Signed(signature) => signature.returned_words(),
            record::SignatureState::Unsigned => None,
        }
    }

    /// How each channel's round closes.
    #[must_use]
    pub const fn closing(&self) -> &PerChannel<Option<TonedSentence>> {
        &self.closing
    }

    /// What is read where the station shows only the difference, or a box; `None` where directions
    /// are read.
    #[must_use]
    pub const fn differences(&self) -> Option<&DifferenceView> {
        self.differences.as_ref()
    }

    /// The open round's readings as the log shows them.
    #[must_use]
    pub fn log(&self) -> LogView<'_> {
        let solution = self.picture.solution.as_ref();
        LogView { log: &self.at_hand.log, round: self.state().round(), solution }
    }

    /// All of them in words.
    #[must_use]
    pub fn rows(&self) -> PerChannel<Vec<LogRow>> {
        PerChannel::from_fn(|channel| self.log().rows(channel).collect())
    }

    /// The readings the log shows, in the order it shows them.
    #[must_use]
    pub fn shown(&self) -> Vec<Seq> {
        match &self.differences {
            Some(differences) => differences.rows.iter().map(|row| row.seq).collect(),
            None => {
                let lines = |&channel| self.at_hand.log.lines(channel).iter().map(|line| line.seq);
                Channel::BOTH.iter().flat_map(lines).collect()
            }
        }
    }

    /// What the station in force shows; directions where nothing is said.
    #[must_use]
    pub fn shows(&self) -> Shows {
        self.state().station().map_or(Shows::Direction, |station| station.shows)
    }

    /// Whether a remedy was taken.
    #[must_use]
    pub fn remedied(&self) -> bool {
        self.state().rounds.iter().any(|round| !round.remedies.is_empty())
    }

    /// Whether the last reading of a channel is the one that closes its round.
    #[must_use]
    pub fn closed_by_last(&self, channel: Channel) -> bool {
        self.state().round().is_some_and(|round| {
            let last = round.fitted(channel).next_back().map(|entry| entry.seq);
            round.closure(channel).is_some_and(|closure| Some(closure.last) == last)
        })
    }

    /// Draws again: the unit or the selection changed.
    pub fn redraw(&mut self, unit: ReadingUnit, selected: Option<Seq>) {
        (self.picture, self.differences) = picture(
            self.folding.session(),
            &self.at_hand,
            unit,
            selected,
            &self.aside,
            Some(&self.picture),
        );
        self.closing = closing(self.state());
    }

    /// Tries a setting, or ends the trial.
    pub fn try_out(
        &mut self,
        trial: Option<PerChannel<RingPlace>>,
        unit: ReadingUnit,
        selected: Option<Seq>,
    ) {
        self.aside.trial = trial;
        self.redraw(unit, selected);
    }

    /// The round was left alone and must be asked about before it goes on, or that was answered: until then
    /// nothing of it is called good.
    pub fn set_rested(&mut self, rested: bool, unit: ReadingUnit, selected: Option<Seq>) {
        if self.aside.rested == rested {
            return;
        }
        self.aside.rested = rested;
        self.redraw(unit, selected);
        let account = Derived::of(self.folding.session());
        let (solution, shop) = (self.picture.solution.as_ref(), self.shop.as_ref());
        self.confirm = ConfirmView::new(&account, solution, shop);
        if rested {
            self.confirm.leave_unanswered();
        }
    }

    /// What is laid beside the readings.
    #[must_use]
    pub const fn aside(&self) -> &Overlay {
        &self.aside
    }

    /// Shows what a remedy would make of the circles, or no longer.
    pub fn consider(&mut self, remedy: Option<Ghost>, unit: ReadingUnit, selected: Option<Seq>) {
        self.aside.considered = remedy;
        self.redraw(unit, selected);
    }

    /// To what a ring can be set, degrees.
    #[must_use]
    pub fn ring_step_deg(&self) -> f64 {
        self.state().housing().map_or(1.0, |housing| housing.ring_step_deg)
    }

    /// Hears what became of facts on their way to disk; returns what must be said.
    pub fn hear(&mut self, now: Stamp) -> Vec<String> {
        let mut said = Vec::new();
        for event in self.file.poll() {
            match event {
                Event::Saved { seq } | Event::Written { seq } => {
                    self.saved_at = Some(now);
                    self.signed.extend(Some(seq).filter(|seq| self.signs(*seq)));
                }
                Event::Stopped { why, .. } => said.push(why.to_string()),
            }
        }
        said
    }

    /// Whether a ledger notes a fact.
    fn signs(&self, seq: Seq) -> bool {
        let index = usize::try_from(seq.saturating_sub(1)).unwrap_or(usize::MAX);
        self.file.facts().get(index).is_some_and(|fact| kind_of(&fact.body).is_some())
    }

    /// The facts that sign, countersign or return and were saved since this was asked last.
    pub fn take_signed(&mut self) -> Vec<Seq> {
        std::mem::take(&mut self.signed)
    }

    /// Waits until all is written, or cannot be.
    ///
    /// # Errors
    /// Why what is still in memory could not be written.
    pub fn finish(&mut self) -> Result<(), Error> {
        let waiting: Vec<Seq> = self.file.unsaved().iter().map(|fact| fact.seq).collect();
        let done = self.file.finish();
        let lost: Vec<Seq> = self.file.unsaved().iter().map(|fact| fact.seq).collect();
        let saved = waiting.into_iter().filter(|seq| !lost.contains(seq) && self.signs(*seq));
        let saved: Vec<Seq> = saved.collect();
        self.signed.extend(saved);
        done
    }

    /// Whether facts are safe, in words.
    #[must_use]
    pub fn saved(&self) -> Saved {
        Saved::of(&self.file, self.saved_at)
    }

    /// Whether a reading can still be *as found*: nothing was logged yet.
    #[must_use]
    pub fn as_found_possible(&self) -> bool {
        let logged = |round: &Round| round.taken_for(Purpose::Log).next().is_some();
        self.state().rounds.len() <= 1 && !self.state().rounds.iter().any(logged)
    }

    /// Whether both channels were read as found; one look at the difference reads both.
    #[must_use]
    pub fn as_found_done(&self) -> bool {
        let Some(round) = self.state().rounds.first() else { return false };
        let found = || round.taken_for(Purpose::AsFound).map(|entry| &entry.reading);
        found().any(|reading| !matches!(reading.seen, Seen::Direction(_)))
            || Channel::BOTH
                .iter()
                .all(|&channel| found().any(|reading| reading.channel() == Some(channel)))
    }

    /// Whether both channels were read as they were left.
    #[must_use]
    pub fn confirmed(&self) -> bool {
        self.confirm.can_be_signed && !self.confirm.rests_on.is_empty()
    }

    /// The ring angle of a channel's last logged reading in the open round: the outer `None` is
    /// no reading, the inner one a reading without ring angle.
    #[must_use]
    pub fn last_logged_ring_deg(&self, channel: Channel) -> Option<Option<f64>> {
        let round = self.state().round()?;
        round.of(channel, Purpose::Log).next_back().and_then(|entry| match entry.value {
            Some(Value::Direction { ring_deg, .. }) => Some(ring_deg),
            _ => None,
        })
    }

    /// The unit's name.
    #[must_use]
    pub fn title(&self) -> String {
        self.state().unit().map_or_else(|| "Unnamed unit".to_owned(), |unit| unit.name.clone())
    }

    /// Housing and round, in words.
    #[must_use]
    pub fn under_title(&self) -> String {
        let housing = self.state().housing().map(|housing| housing.name.clone());
        let round = self.state().round().map(|round| format!("round {}", round.number));
        [housing, round].into_iter().flatten().collect::<Vec<_>>().join(" · ")
    }

    /// What readings are judged by, in words.
    #[must_use]
    pub fn judged_by(&self) -> String {
        self.state().window().map_or_else(
            || JUDGED_BY_NOTHING.to_owned(),
            |window| {
                format!("Judged by {}. {}", window.name, crate::views::use_words::limits(window))
            },
        )
    }

    /// The same in a few words: the window's name.
    #[must_use]
    pub fn judged_by_name(&self) -> String {
        self.state().window().map_or_else(
            || JUDGED_BY_NOTHING.to_owned(),
            |window| format!("Judged by {}.", window.name),
        )
    }

    /// Why the station needs a look, in two or three words; empty where it needs none.
    #[must_use]
    pub fn station_reason(&self, now: Stamp) -> &'static str {
        self.state().station().map_or("no station", |station| {
            let judging = Judging::in_session(self.state(), station, now);
            station_words::reason(station, judging, now)
        })
    }

    /// The station and its state in words, and whether that needs a look.
    #[must_use]
    pub fn station_words(&self, now: Stamp) -> (String, bool) {
        let Some(station) = self.state().station() else {
            return ("no station: arcminutes from boresight".to_owned(), true);
        };
        let judging = Judging::in_session(self.state(), station, now);
        station_words::in_one_line(station, judging, now)
    }
}

fn closing(state: &Session) -> PerChannel<Option<TonedSentence>> {
    let sigma_arcmin = state.station().and_then(|station| station.spread.sigma_arcmin);
    // While an examination is sat it is the trainee's to judge whether a round closes.
    let round = state.round().filter(|_| !state.withholds());
    round.map(|round| closing::closing(round, sigma_arcmin)).unwrap_or_default()
}
