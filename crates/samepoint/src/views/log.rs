//! The open round's readings as the log shows them. What all of them need at every fact is kept up reading by
//! reading; the words of one are made when it is shown, since a round may have many thousand.

use paper::{MarkKind, ReadingMark, words};
use record::fact::{Approach, Body, Fact, Purpose, Seen, Seq};
use record::fold::Entry;
use record::{ReadingUnit, Round, Session, Typed, Value};
use solver::{Channel, PerChannel, Problem, Reading, Residual, Solution};

/// Each channel's readings in the order logged, withdrawn ones too.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Log {
    round: Option<Seq>,
    lines: PerChannel<Vec<LogLine>>,
    /// How many readings of the round were taken up.
    taken: usize,
}

/// A reading, before it is put in words.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LogLine {
    /// The reading's identity.
    pub seq: Seq,
    /// Its place among its channel's readings of its purpose in the round, from 1.
    pub number: usize,
    /// What it is for.
    pub purpose: Purpose,
    /// Where it points and at what ring angle.
    pub reading: Reading,
    /// Whether it counts: it was not withdrawn.
    pub in_use: bool,
    /// Where it stands among the round's readings.
    place: usize,
}

/// A reading as the log shows it.
#[derive(Clone, Debug, PartialEq)]
pub struct LogRow {
    /// The reading's identity.
    pub seq: Seq,
    /// Its place among its channel's readings of its purpose in the round, from 1.
    pub number: usize,
    /// Ring angle as typed, with a true minus sign, as x and y are.
    pub ring: Option<String>,
    /// x as typed.
    pub x: String,
    /// y as typed.
    pub y: String,
    /// Unit as typed.
    pub unit: ReadingUnit,
    /// What it is for.
    pub purpose: Purpose,
    /// Where it points and at what ring angle.
    pub reading: Reading,
    /// The way the ring was turned.
    pub approach: Approach,
    /// What else was noted with it, as recorded: lock, seating, place, dioptre.
    pub noted: Vec<String>,
    /// What it leaves over, once its circle is known.
    pub residual: Option<Residual>,
    /// Why it was withdrawn, if it was.
    pub withdrawn: Option<String>,
}

impl Log {
    /// Takes up what was added to a session: its open round, and the facts since this was asked last.
    pub fn follow(&mut self, round: Option<&Round>, added: &[Fact]) {
        let changes =
            |fact: &Fact| matches!(fact.body, Body::Withdrawn(_) | Body::Undo(_) | Body::Redo(_));
        if self.round != round.map(|round| round.id) || added.iter().any(changes) {
            *self = Self { round: round.map(|round| round.id), ..Self::default() };
        }
        let readings = round.map_or(&[][..], |round| &round.readings);
        for (place, entry) in readings.iter().enumerate().skip(self.taken) {
            if let Some(Value::Direction { channel, ring_deg, direction }) = entry.value {
                self.lines[channel].push(LogLine {
                    seq: entry.seq,
                    number: entry.number,
                    purpose: entry.reading.purpose,
                    reading: Reading { direction, ring_deg },
                    in_use: entry.in_use(),
                    place,
                });
            }
        }
        self.taken = readings.len();
    }

    /// A channel's readings, in the order logged.
    #[must_use]
    pub fn lines(&self, channel: Channel) -> &[LogLine] {
        &self.lines[channel]
    }

    /// Whose reading one is, and its place among theirs; `None` where it is not shown.
    #[must_use]
    pub fn find(&self, seq: Seq) -> Option<(Channel, usize)> {
        Channel::BOTH.into_iter().find_map(|channel| {
            let at = self.lines(channel).binary_search_by_key(&seq, |line| line.seq).ok()?;
            Some((channel, at))
        })
    }

    /// The reading logged last.
    #[must_use]
    pub fn newest(&self) -> Option<Seq> {
        self.lines.iter().filter_map(|(_, lines)| lines.last()).map(|line| line.seq).max()
    }

    /// The readings that count, to be drawn.
    #[must_use]
    pub fn marks(&self, selected: Option<Seq>) -> Vec<ReadingMark> {
        let of = |channel: Channel| self.lines(channel).iter().map(move |line| (channel, line));
        let all = Channel::BOTH.into_iter().flat_map(of);
        all.filter(|(_, line)| line.in_use)
            .map(|(channel, line)| ReadingMark {
                key: line.seq,
                number: line.number,
                channel,
                reading: line.reading,
                kind: match line.purpose {
                    Purpose::AsFound => MarkKind::AsFound,
                    Purpose::Log => MarkKind::Log,
                    Purpose::Confirm => MarkKind::Confirm,
                },
                selected: selected == Some(line.seq),
            })
            .collect()
    }
}

/// A log with the round and the circles that its words need.
#[derive(Clone, Copy, Debug)]
pub struct LogView<'a> {
    /// The readings.
    pub log: &'a Log,
    /// The round they are of.
    pub round: Option<&'a Round>,
    /// What they come to.
    pub solution: Option<&'a Solution>,
}

/// The open round, made ready to be solved and drawn.
#[derive(Clone, Debug, Default)]
pub struct AtHand {
    /// Its readings.
    pub log: Log,
    /// What there is to solve of them.
    pub problem: Problem,
}

impl AtHand {
    /// Of a session as it is.
    #[must_use]
    pub fn of(state: &Session) -> Self {
        let mut at_hand = Self::default();
        at_hand.follow(state, &[]);
        at_hand
    }

    /// Takes up the facts that were added to the session since this was asked last.
    pub fn follow(&mut self, state: &Session, added: &[Fact]) {
        self.log.follow(state.round(), added);
        let problem = state.round().and_then(|round| state.problem_as_read(round.id));
        self.problem = problem.unwrap_or_else(|| Problem {
            window: state.window().map(|window| window.limits),
            ..Problem::default()
        });
    }
}

impl LogView<'_> {
    /// A channel's reading in words, by its place in the log.
    #[must_use]
    pub fn row(&self, channel: Channel, at: usize) -> Option<LogRow> {
        let line = self.log.lines(channel).get(at)?;
        let entry = self.round?.readings.get(line.place)?;
        LogRow::of(entry, line, self.solution.and_then(|found| found.fits[channel].as_ref().ok()))
    }

    /// A reading that is shown in words, and whose it is.
    #[must_use]
    pub fn find(&self, seq: Seq) -> Option<(Channel, LogRow)> {
        let (channel, at) = self.log.find(seq)?;
        Some((channel, self.row(channel, at)?))
    }

    /// All of a channel's.
    pub fn rows(&self, channel: Channel) -> impl DoubleEndedIterator<Item = LogRow> {
        (0..self.log.lines(channel).len()).filter_map(move |at| self.row(channel, at))
    }
}

impl LogRow {
    fn of(entry: &Entry, line: &LogLine, fit: Option<&solver::CircleFit>) -> Option<Self> {
        let Seen::Direction(typed) = &entry.reading.seen else { return None };
        let fitted = line.in_use && line.purpose == Purpose::Log;
        Some(Self {
            seq: line.seq,
            number: line.number,
            ring: typed.ring_deg.as_ref().map(Typed::shown),
            x: typed.x.shown(),
            y: typed.y.shown(),
            unit: typed.unit,
            purpose: line.purpose,
            reading: line.reading,
            approach: typed.approach,
            noted: record::timeline::readings::notes(&entry.reading),
            residual: fit.filter(|_| fitted).map(|fit| fit.residual(&line.reading)),
            withdrawn: entry.withdrawn.as_ref().map(|withdrawn| withdrawn.reason.clone()),
        })
    }

    /// In a few words, for a sheet.
    #[must_use]
    pub fn words(&self, channel: Channel) -> String {
        let ring = self
            .ring
            .as_deref()
            .map_or_else(|| "no ring angle".to_owned(), |deg| format!("ring {deg}°"));
        let off = self.residual.map_or_else(String::new, |left| {
            format!(", {} off circle", words::arcmin(left.off_circle_arcmin))
        });
        format!(
            "{channel} reading {}: {ring}, x {}, y {} {}{off}",
            self.number,
            self.x,
            self.y,
            self.unit.word()
        )
    }
}
