//! Asking for the list, considering a remedy, taking it.

use super::Remedying;
use super::own::{OwnRemedy, Takes};
use super::search::{NotRanked, RemedySearch};
use crate::app::App;
use crate::shell::layout_size::Tab;
use paper::Ghost;
use record::fact::Purpose;
use record::remedies;
use solver::PerChannel;
use solver::optics::ShimEnds;
use solver::remedy::rank::RankedRemedy;

impl App {
    /// Puts the list in sight, ranked for the facts as they stand.
    pub(crate) fn show_remedies(&mut self) {
        if self.entry.purpose != Purpose::Log {
            self.turn_to(Purpose::Log);
        }
        self.lay_by();
        self.tab = Tab::Rings;
        self.remedying.open = true;
        if std::mem::take(&mut self.remedying.broken) {
            self.remedying.asked = None;
        }
        self.rank_remedies();
    }

    /// Puts the list away; false when it was not in sight.
    pub(crate) fn leave_remedies(&mut self) -> bool {
        let open = std::mem::take(&mut self.remedying.open);
        if open {
            self.consider(None);
        }
        open
    }

    /// Ranks again when facts were added since.
    pub(crate) fn rank_remedies(&mut self) {
        let Some(session) = &self.session else { return };
        let facts = session.file().facts().len();
        if !self.remedying.open || self.remedying.asked == Some(facts) {
            return;
        }
        let tried = self.remedying.tried.take();
        let own = std::mem::take(&mut self.remedying.own);
        let takes = session.told().err().map(|_| Takes::of(session.state())).unwrap_or_default();
        let search = RemedySearch::of(session, self.shell.shop.shop().cloned(), tried.clone());
        self.consider(None);
        self.remedying =
            Remedying { open: true, asked: Some(facts), tried, own, takes, ..Remedying::default() };
        let workers = self.shell.workers();
        match search {
            Ok(search) => self.remedying.search.start(&workers, move || search.find()),
            Err(why) => self.remedying.found = Some(Err(why)),
        }
    }

    /// Hears the ranking.
    pub(crate) fn hear_remedies(&mut self) {
        let found = match self.remedying.search.hear() {
            None => return,
            Some(Ok(found)) => found,
            Some(Err(broken)) => {
                self.remedying.broken = true;
                Err(NotRanked::Broken(broken))
            }
        };
        if let Ok(found) = &found {
            self.remedying.tried.clone_from(&found.tried);
        }
        self.remedying.found = Some(found);
    }

    /// Considers a remedy, or none: its circles are laid over the plot.
    pub(crate) fn consider(&mut self, index: Option<usize>) {
        let ghost = index.and_then(|index| self.remedying.remedy(index)).map(|remedy| Ghost {
            label: "predicted".to_owned(),
            circles: PerChannel::from_fn(|channel| Some(remedy.predicted.circles[channel].circle)),
            crossing: remedy.predicted.crossing,
        });
        let considered = index.filter(|_| ghost.is_some());
        if considered == self.remedying.considered {
            return;
        }
        self.remedying.considered = considered;
        let (unit, selected) = (self.entry.unit, self.selected);
        if let Some(session) = &mut self.session {
            session.consider(ghost, unit, selected);
        }
    }

    /// The next remedy of the list, or the one before.
    pub(crate) fn consider_next(&mut self, back: bool) {
        if !self.remedying.open {
            self.show_remedies();
            return;
        }
        let Some(Ok(found)) = &self.remedying.found else { return };
        let count = found.ranking.remedies.len();
        let next = match self.remedying.considered {
            None if back => count.checked_sub(1),
            None => Some(0).filter(|_| count > 0),
            Some(at) if back => at.checked_sub(1),
            Some(at) => Some(at + 1).filter(|next| *next < count),
        };
        self.consider(next);
    }

    /// Takes the remedy being considered: it is recorded with its prediction, and the next round
    /// opens. Shims that may go at either end go at this one.
    pub(crate) fn take_remedy(&mut self, ends: ShimEnds) {
        if self.session.as_ref().is_some_and(|session| session.told().is_err()) {
            self.take_own_remedy();
            return;
        }
        let considered = self.remedying.considered.filter(|_| self.remedying.open);
        let remedy = considered.and_then(|index| self.remedying.remedy(index));
        let (Some(remedy), Some(Ok(found)), Some(session)) =
            (remedy, &self.remedying.found, &self.session)
        else {
            self.say("Choose a remedy of the list first.");
            return;
        };
        let remedy = RankedRemedy { action: remedy.action.at_end(ends), ..remedy.clone() };
        let bodies = remedies::taking(session.state(), found.round, &remedy, &found.known);
        let said = remedy.action.sentences().join(" ");
        for body in bodies {
            if self.append(body).is_err() {
                return;
            }
        }
        self.remedy_taken(&said);
    }

    /// Records the remedy that is the trainee's own, without a prediction, and opens the next round.
    fn take_own_remedy(&mut self) {
        let Some(session) = &self.session else { return };
        let Some(round) = session.state().round().map(|round| round.id) else { return };
        let done = match self.remedying.own.done(&self.remedying.takes) {
            Ok(done) => done,
            Err(why) => {
                self.say(why.to_string());
                self.remedying.own.refused = Some(why.to_string());
                return;
            }
        };
        for body in remedies::taking_own(session.state(), round, &done) {
            if self.append(body).is_err() {
                return;
            }
        }
        self.remedying.own = OwnRemedy::default();
        self.remedy_taken(&done.sentences().join(" "));
    }

    /// A remedy is on record: both channels are read again.
    fn remedy_taken(&mut self, said: &str) {
        self.leave_remedies();
        self.remedying.found = None;
        self.clear_front();
        self.begin_round();
        self.entry.turn_to(solver::Channel::Left);
        self.say(format!("Recorded: {said} A new round is open: read both channels again."));
    }
}
