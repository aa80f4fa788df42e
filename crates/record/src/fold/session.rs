//! A session as its facts make it.

use solver::swing::SwingRange;
use solver::{Channel, PerChannel, Problem, SenseChoice};

use crate::fact::{
    Camera, Fact, FileMarkKind, Frame, Header, LATEST_FORMAT, LookingTest, Note, NotedPicture,
    PreconditionItem, Sealed, Seq, SessionKind, Setup,
};
use crate::fold::entry::Entry;
use crate::fold::live::FactState;
use crate::fold::remark::Remark;
use crate::fold::round::Round;
use crate::fold::signature::{Signature, SignatureState};
use crate::housing::Housing;
use crate::station::Station;
use crate::step::step_arcmin;
use crate::unit::Unit;
use crate::window::NamedWindow;

/// What the facts so far come to.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Session {
    /// How it began; `None` only without any fact.
    pub header: Option<Header>,
    /// The job, as last said.
    pub setup: Option<Fact<Setup>>,
    /// What was seen to, as last said, in the order first said.
    pub preconditions: Vec<SaidPrecondition>,
    /// Every station so far; the last is in force.
    pub stations: Vec<Fact<Station>>,
    /// Every window so far; the last is in force.
    pub windows: Vec<Fact<NamedWindow>>,
    /// Every housing so far; the last is in force.
    pub housings: Vec<Fact<Housing>>,
    /// The unit as it was built, each time it changed; the last is in force.
    pub units: Vec<Fact<Unit>>,
    /// The rounds; the last is open.
    pub rounds: Vec<Round>,
    /// Looking tests.
    pub looking_tests: Vec<Fact<LookingTest>>,
    /// Notes.
    pub notes: Vec<Fact<Note>>,
    /// Pictures.
    pub pictures: Vec<Fact<NotedPicture>>,
    /// Signatures, in order; only the last counts.
    pub signatures: Vec<Signature>,
    /// Seals over signatures and answers, in order; whether they hold is [`seal`](crate::file)'s to say.
    pub seals: Vec<Fact<Sealed>>,
    /// Every camera map so far; the last is in force.
    pub cameras: Vec<Fact<Camera>>,
    /// The pictures that readings rest on.
    pub frames: Vec<Fact<Frame>>,
    /// The state of every fact, undone ones too: fact `seq` is at index `seq − 1`.
    pub timeline: Vec<FactState>,
    /// The last fact that was lost before the session was salvaged, where it was.
    pub lost_until: Option<Seq>,
    /// What is worth saying.
    pub remarks: Vec<Remark>,
    pub(super) next_undo: Option<Seq>,
    pub(super) next_redo: Option<Seq>,
    /// Whether this is how things stood before a signature that was given since.
    pub(super) signed_later: bool,
}

/// A precondition as last said.
#[derive(Clone, Debug, PartialEq)]
pub struct SaidPrecondition {
    /// Which.
    pub item: PreconditionItem,
    /// Whether it was seen to.
    pub done: bool,
    /// What was found.
    pub note: String,
    /// The `seq` of the fact.
    pub seq: Seq,
}

impl Session {
    /// The format its file is written in.
    #[must_use]
    pub fn format(&self) -> u32 {
        self.header.as_ref().map_or(LATEST_FORMAT, |header| header.format)
    }

    /// The station in force.
    #[must_use]
    pub fn station(&self) -> Option<&Station> {
        self.stations.last().map(|said| &said.body)
    }

    /// The camera map in force.
    #[must_use]
    pub fn camera(&self) -> Option<&Camera> {
        self.cameras.last().map(|said| &said.body)
    }

    /// The tolerance window in force.
    #[must_use]
    pub fn window(&self) -> Option<&NamedWindow> {
        self.windows.last().map(|said| &said.body)
    }

    /// The housing in force.
    #[must_use]
    pub fn housing(&self) -> Option<&Housing> {
        self.housings.last().map(|said| &said.body)
    }

    /// The unit as it is built now.
    #[must_use]
    pub fn unit(&self) -> Option<&Unit> {
        self.units.last().map(|said| &said.body)
    }

    /// The open round.
    #[must_use]
    pub fn round(&self) -> Option<&Round> {
        self.rounds.last()
    }

    /// A round by its id.
    #[must_use]
    pub fn round_of(&self, id: Seq) -> Option<&Round> {
        let at = self.rounds.binary_search_by_key(&id, |round| round.id).ok()?;
        self.rounds.get(at)
    }

    /// A reading by its identity, withdrawn or not.
    #[must_use]
    pub fn entry(&self, seq: Seq) -> Option<&Entry> {
        let (round, at) = self.place_of(seq)?;
        self.rounds.get(round)?.readings.get(at)
    }

    /// The index of a reading's round, and its own in it: both are in the order of their facts.
    pub(super) fn place_of(&self, seq: Seq) -> Option<(usize, usize)> {
        let round = self.rounds.partition_point(|round| round.id < seq).checked_sub(1)?;
        let readings = &self.rounds.get(round)?.readings;
        Some((round, readings.binary_search_by_key(&seq, |entry| entry.seq).ok()?))
    }

    /// What [`Body::Undo`](crate::fact::Body::Undo) may name now.
    #[must_use]
    pub const fn undo(&self) -> Option<Seq> {
        self.next_undo
    }

    /// What [`Body::Redo`](crate::fact::Body::Redo) may name now.
    #[must_use]
    pub const fn redo(&self) -> Option<Seq> {
        self.next_redo
    }

    /// How the session stands.
    #[must_use]
    pub fn signature(&self) -> SignatureState<'_> {
        self.signatures.last().map_or(SignatureState::Unsigned, SignatureState::Signed)
    }

    /// What the program noted about the session's file, each kind once.
    #[must_use]
    pub fn marks(&self) -> Vec<FileMarkKind> {
        let mut kinds = Vec::new();
        for remark in &self.remarks {
            if let Remark::Marked { kind, .. } = remark
                && !kinds.contains(kind)
            {
                kinds.push(*kind);
            }
        }
        kinds
    }

    /// Whether it is an examination that is not signed yet: then nothing is worked out of its readings for
    /// anybody to see. What solves, judges or compares asks here, so that nothing beside has to.
    #[must_use]
    pub fn withholds(&self) -> bool {
        let exam = self.header.as_ref().is_some_and(|header| match &header.kind {
            SessionKind::Practice(exercise) => exercise.is_exam(),
            SessionKind::Real => false,
        });
        exam && self.signatures.is_empty() && !self.signed_later
    }

    /// How many readings count, in all rounds.
    #[must_use]
    pub fn readings_in_use(&self) -> usize {
        self.rounds.iter().map(|round| round.readings.in_use()).sum()
    }

    /// Whose hand took most of the readings in use; of equals, the first. Empty without any.
    #[must_use]
    pub fn main_hand(&self) -> &str {
        let mut hands: Vec<(&str, usize)> = Vec::new();
        for entry in self.rounds.iter().flat_map(Round::in_use) {
            match hands.iter_mut().find(|(known, _)| *known == entry.hand) {
                Some((_, count)) => *count += 1,
                None => hands.push((&entry.hand, 1)),
            }
        }
        // `max_by_key` keeps the last of equals.
        hands.iter().rev().max_by_key(|(_, count)| *count).map_or("", |(hand, _)| *hand)
    }

    /// What to solve for a round: its fitted readings through their station's map, that
    /// station's spread, the window in force, and the sense that the eyepieces are known to have.
    /// `None` without such a round, and while an examination [is sat](Self::withholds).
    #[must_use]
    pub fn problem(&self, round: Seq) -> Option<Problem> {
        self.problem_as_read(round).filter(|_| !self.withholds())
    }

    /// The same whether or not an examination is sat: for circles that are drawn and nothing else.
    #[must_use]
    pub fn problem_as_read(&self, round: Seq) -> Option<Problem> {
        let round = self.round_of(round)?;
        let readings =
            PerChannel::from_fn(|channel| round.readings.fitted(channel).readings.clone());
        let station = said_by(&self.stations, round.station);
        let unit = said_by(&self.units, round.unit);
        Some(Problem {
            readings,
            spread: station.map(|station| station.spread).unwrap_or_default(),
            step_arcmin: PerChannel::from_fn(|channel| {
                let read_to = round.readings.fitted(channel).read_to.keys().copied();
                step_arcmin(channel, read_to, station)
            }),
            sense: PerChannel::from_fn(|channel| {
                unit.map_or(SenseChoice::Auto, |unit| unit.eyepieces[channel].ring.sense())
            }),
            window: self.window().map(|window| window.limits),
            swing: self.swing(),
            ..Problem::default()
        })
    }

    /// How far the pods swing from where they were set up; `None` where housing or set-up do not
    /// say enough.
    #[must_use]
    pub fn swing(&self) -> Option<SwingRange> {
        let ipd_mm = self.setup.as_ref()?.body.ipd_mm.as_ref()?.value();
        self.housing()?.swing(ipd_mm)
    }

    /// Which readings a round's problem holds, index by index.
    #[must_use]
    pub fn problem_entries(&self, round: Seq) -> PerChannel<Vec<Seq>> {
        let round = self.round_of(round);
        PerChannel::from_fn(|channel: Channel| {
            round.map_or_else(Vec::new, |round| {
                round.fitted(channel).map(|entry| entry.seq).collect()
            })
        })
    }
}

pub(super) fn said_by<T>(all: &[Fact<T>], seq: Option<Seq>) -> Option<&T> {
    let seq = seq?;
    let at = all.binary_search_by_key(&seq, |said| said.seq).ok()?;
    all.get(at).map(|said| &said.body)
}
