//! A station that shows only the difference of the channels, or only a box, made ready to look at: the
//! readings, the ring targets, the plane of differences. Where boresight lies is in none of it.

use paper::plane::plane_words;
use paper::words;
use record::difference_words::{certainty, read_next, stands, stands_out, unsure};
use record::differences::Set;
use record::fact::{Purpose, Seen, Seq};
use record::station::Shows;
use record::{
    ApproachUsed, Differences, PerChannel, ReadingUnit, Round, Session, Station, differences,
};
use solver::relative::{BORESIGHT_UNKNOWN, RelativeSetting, RelativeSolution, WindowStatus};
use solver::{Channel, Direction, Misalignment, SettingKind, Turn, Window};

use super::round::{RingGuidance, RoundView, Target, TonedSentence};
use super::targets::{side, turn_words, typed_words};
use super::use_words::{outside, outside_at_best};
use crate::widgets::{Dial, Tone};

/// A reading as the log shows it.
#[derive(Clone, Debug, PartialEq)]
pub struct DifferenceRow {
    /// The reading's identity.
    pub seq: Seq,
    /// Its place among the round's readings of its purpose, from 1.
    pub number: usize,
    /// What it is for.
    pub purpose: Purpose,
    /// Ring angles as typed.
    pub rings: PerChannel<Option<String>>,
    /// What was seen.
    pub saw: Saw,
    /// What it leaves over, arcminutes, once the differences are fitted.
    pub off_arcmin: Option<f64>,
    /// Whether it stands out.
    pub stands_out: bool,
    /// Why it was withdrawn, if it was.
    pub withdrawn: Option<String>,
}

/// What was seen.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Saw {
    /// Right less left, as typed.
    Difference {
        /// Across.
        x: String,
        /// Up.
        y: String,
        /// Unit as typed.
        unit: ReadingUnit,
    },
    /// Inside the box, or outside.
    Box(bool),
}

impl DifferenceRow {
    /// In a sentence, without its full stop.
    #[must_use]
    pub fn words(&self) -> String {
        let ring = |ring: &Option<String>| {
            ring.as_deref().map_or_else(|| "not read".to_owned(), |deg| format!("{deg}°"))
        };
        let saw = match &self.saw {
            Saw::Difference { x, y, unit } => format!("Δx {x}, Δy {y} {}", unit.word()),
            Saw::Box(true) => "in the box".to_owned(),
            Saw::Box(false) => "outside the box".to_owned(),
        };
        let purpose = match self.purpose {
            Purpose::AsFound => ", as found",
            Purpose::Confirm => ", to confirm",
            Purpose::Log => "",
        };
        let off = self.off_arcmin.map_or_else(String::new, |off| {
            format!(", {} off what the others say", words::arcmin(off))
        });
        let (left, right) = (ring(&self.rings.left), ring(&self.rings.right));
        let purpose = format!("{}{purpose}", withdrawn_word(self.withdrawn.as_deref()));
        format!("Reading {}{purpose}: rings {left}, {right}, {saw}{off}", self.number)
    }
}

/// What is said of a reading that was withdrawn, behind its number.
#[must_use]
pub(crate) const fn withdrawn_word(withdrawn: Option<&str>) -> &'static str {
    if withdrawn.is_some() { ", withdrawn" } else { "" }
}

/// All of them, and what they come to.
#[derive(Clone, Debug, PartialEq)]
pub struct DifferenceView {
    /// The round's readings.
    pub rows: Vec<DifferenceRow>,
    /// Where they lie and what the rings can reach.
    pub plane: DifferencePlane,
}

/// The plane of differences: right less left, arcminutes; the middle is where both agree.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct DifferencePlane {
    /// The tolerance window's box.
    pub window: Option<Window>,
    /// Each reading's number and place.
    pub readings: Vec<(usize, [f64; 2])>,
    /// The centre difference, and how near to it and how far from it rings can bring the difference.
    pub reach: Option<([f64; 2], [f64; 2])>,
    /// What the setting leaves.
    pub setting: Option<[f64; 2]>,
    /// In words.
    pub told: String,
}

/// Whether the open round is read on a station that shows no directions.
#[must_use]
pub(crate) fn is_without_directions(state: &Session) -> bool {
    let shows = state.station().is_some_and(|station| station.shows != Shows::Direction);
    let round = state.round();
    let (in_use, directions) =
        round.map_or((0, 0), |round| (round.readings.in_use(), round.readings.of_one_channel()));
    in_use > directions || (shows && directions == 0)
}

/// What the open round comes to; `None` where directions are read.
#[must_use]
pub(crate) fn difference_picture(state: &Session) -> Option<(DifferenceView, Option<Differences>)> {
    if !is_without_directions(state) {
        return None;
    }
    let round = state.round();
    let found = round.and_then(|round| differences(state, round.id));
    let rows = round.map(|round| rows(round, found.as_ref())).unwrap_or_default();
    let plane = plane(state, found.as_ref(), &rows);
    Some((DifferenceView { rows, plane }, found))
}

fn rows(round: &Round, found: Option<&Differences>) -> Vec<DifferenceRow> {
    let mut rows: Vec<DifferenceRow> = Vec::new();
    let residual = |seq: Seq| {
        let found = found?;
        let place = found.seqs.iter().position(|other| *other == seq)?;
        solution(found)?.fit.residuals.get(place).copied()
    };
    for entry in &round.readings {
        let typed = |rings: &PerChannel<Option<record::Typed>>| {
            rings.as_ref().map(|ring| ring.as_ref().map(record::Typed::shown))
        };
        let (rings, saw) = match &entry.reading.seen {
            Seen::Direction(_) => continue,
            Seen::Relative(read) => (
                typed(&read.ring_deg),
                Saw::Difference { x: read.x.shown(), y: read.y.shown(), unit: read.unit },
            ),
            Seen::Box(read) => (typed(&read.ring_deg), Saw::Box(read.inside)),
        };
        let purpose = entry.reading.purpose;
        let left_over = residual(entry.seq);
        rows.push(DifferenceRow {
            seq: entry.seq,
            number: entry.number,
            purpose,
            rings,
            saw,
            off_arcmin: left_over.map(|left| left.off.length_arcmin()),
            stands_out: left_over.is_some_and(|left| left.stands_out),
            withdrawn: entry.withdrawn.as_ref().map(|withdrawn| withdrawn.reason.clone()),
        });
    }
    rows
}

fn solution(found: &Differences) -> Option<&RelativeSolution> {
    found.answer.as_ref()?.as_ref().ok()
}

fn xy(m: Misalignment) -> [f64; 2] {
    [m.x_arcmin, m.y_arcmin]
}

fn plane(state: &Session, found: Option<&Differences>, rows: &[DifferenceRow]) -> DifferencePlane {
    let window = state.window().map(|window| window.limits);
    let Some(found) = found else {
        return DifferencePlane {
            window,
            told: "No difference is logged yet.".to_owned(),
            ..DifferencePlane::default()
        };
    };
    // Numbered as their rows are: one that could not be solved has its number too.
    let number = |seq: &Seq| rows.iter().find(|row| row.seq == *seq).map_or(0, |row| row.number);
    let readings: Vec<(usize, [f64; 2])> = found
        .seqs
        .iter()
        .map(number)
        .zip(found.problem.readings.iter().map(|read| xy(read.misalignment)))
        .collect();
    let solution = solution(found);
    let set = found.set.map(|set| set.setting);
    let reach = solution.map(|solved| (xy(solved.fit.between), solved.reach_arcmin()));
    let told = plane_words(readings.len(), solution, set.map(|set| set.misalignment));
    DifferencePlane { window, readings, reach, setting: set.map(|set| xy(set.misalignment)), told }
}

/// Makes a picture speak of differences: ring targets, what they leave, and that boresight is not
/// known.
pub(crate) fn speak(
    picture: &mut RoundView,
    state: &Session,
    found: Option<&Differences>,
    plane: &DifferencePlane,
    unit: ReadingUnit,
) {
    picture.telling = format!("Differences. {}", plane.told);
    picture.meeting_words.clear();
    picture.remarks.clear();
    picture.remarks.push(TonedSentence::plain(BORESIGHT_UNKNOWN));
    let more = found.map(Differences::remarks_beside_boresight).unwrap_or_default();
    picture.remarks.extend(more.into_iter().map(TonedSentence::plain));
    let shows_box = state.station().is_some_and(|station| station.shows == Shows::Box);
    let answer = found.and_then(|found| found.answer.as_ref());
    let solved = match answer {
        Some(Ok(solved)) => solved,
        waiting => {
            let why = match waiting {
                Some(Err(error)) => error.to_string(),
                _ if shows_box => "a box gives no number to turn by".to_owned(),
                _ => "log differences at three pairs of ring angles".to_owned(),
            };
            picture.verdict = TonedSentence::plain(format!("Not known yet: {why}."));
            for channel in Channel::BOTH {
                picture.rings[channel] = missing(&why);
            }
            return;
        }
    };
    let said = stands(solved).into_iter().map(TonedSentence::look);
    let Some(set) = found.and_then(|found| found.set) else {
        picture.remarks.splice(0..0, said);
        picture.verdict = TonedSentence::look(read_next(solved));
        for channel in Channel::BOTH {
            picture.rings[channel] = missing("the readings do not settle it");
        }
        stand_out(picture, solved, plane);
        return;
    };
    picture.remarks.splice(0..0, said);
    let step_deg = state.housing().map_or(1.0, |housing| housing.ring_step_deg);
    let window = state.window().map(|window| window.limits);
    let read = DifferencesRead { round: state.round(), station: state.station(), unit, step_deg };
    for channel in Channel::BOTH {
        picture.rings[channel] = guidance(channel, &set, &read);
    }
    picture.verdict = verdict(&set);
    picture.meeting_words = meeting(solved, &set, step_deg, window);
    picture.meeting_words.extend(certainty(solved, set.spread.as_ref()));
    stand_out(picture, solved, plane);
}

/// Points at what stands out.
fn stand_out(picture: &mut RoundView, solved: &RelativeSolution, plane: &DifferencePlane) {
    let numbered = plane.readings.iter().zip(&solved.fit.residuals);
    for ((number, _), _) in numbered.filter(|(_, left)| left.stands_out) {
        let text = stands_out(*number);
        picture.remarks.insert(0, TonedSentence::look(text));
    }
}

fn missing(why: &str) -> RingGuidance {
    RingGuidance {
        target: Target::Missing(why.to_owned()),
        dial: None,
        turn: None,
        known_to: None,
        will_read: None,
        off: None,
    }
}

fn guidance(channel: Channel, set: &Set, read: &DifferencesRead<'_>) -> RingGuidance {
    let setting = &set.setting;
    let (ring_deg, clockwise_deg) = (setting.ring_deg[channel], setting.turn_deg[channel]);
    let mut turn = turn_words(
        Turn { clockwise_deg, of_ring: true, from_rad: 0.0, sweep_rad: 0.0 },
        read.step_deg,
    );
    let approach = read.round.map_or(ApproachUsed::NotNoted, |round| round.approach(channel));
    if let (false, Some(side)) = (turn.way.is_empty(), side(approach)) {
        turn.finish = format!("finish {side}, as logged");
    }
    let known_to = set
        .spread
        .and_then(|spread| spread.ring_95_deg[channel])
        .map(|half_deg| format!("±{}°", words::number(half_deg, 1)));
    RingGuidance {
        target: Target::Ring(words::ring(ring_deg, read.step_deg)),
        dial: Some(Dial { from_deg: ring_deg - clockwise_deg, clockwise_deg }),
        turn: Some(turn),
        known_to,
        will_read: Some(format!("{}, both set", read.words(setting.misalignment))),
        off: None,
    }
}

/// How differences are read.
struct DifferencesRead<'a> {
    round: Option<&'a Round>,
    station: Option<&'a Station>,
    unit: ReadingUnit,
    step_deg: f64,
}

impl DifferencesRead<'_> {
    /// A difference as the station shows it.
    fn words(&self, m: Misalignment) -> String {
        let Some(station) = self.station else {
            return typed_words(xy(m), ReadingUnit::Arcmin);
        };
        let map = station.map[Channel::Right].of_differences();
        let [x, y] = xy(m);
        typed_words(map.typed_from_direction(self.unit, Direction::new(x, y)), self.unit)
    }
}

fn verdict(set: &Set) -> TonedSentence {
    let setting = &set.setting;
    let apart = words::arcmin(setting.misalignment.length_arcmin());
    let beyond = "How far from boresight is not known.";
    if let Some(text) = unsure(set.standing) {
        return TonedSentence::look(format!("{text}. {beyond}"));
    }
    match (set.standing, setting.kind, setting.window_use) {
        (WindowStatus::DoesNotFit | WindowStatus::Open, ..) => {
            TonedSentence::look("Nothing is judged: the readings do not fit each other.")
        }
        (WindowStatus::Inside, ..) => TonedSentence {
            tone: Tone::Good,
            text: format!("The difference is inside if set here, {apart} apart. {beyond}"),
        },
        (_, _, None) => TonedSentence::plain(format!(
            "{apart} apart if set here. No window: nothing is judged. {beyond}"
        )),
        (_, SettingKind::Crossing, Some(used)) => TonedSentence::look(outside(used)),
        (_, _, Some(used)) => TonedSentence::look(outside_at_best(used)),
    }
}

fn meeting(
    solved: &RelativeSolution,
    set: &Set,
    step_deg: f64,
    window: Option<Window>,
) -> Vec<String> {
    let setting = &set.setting;
    let rings = |one: &RelativeSetting| {
        let at = one.ring_deg.map(|deg| words::ring(deg, step_deg));
        format!("left {}, right {}", at.left, at.right)
    };
    let mut said = Vec::new();
    match (setting.kind, &solved.other) {
        (SettingKind::Crossing, Some(other)) => {
            let other = solved.rounded_to(other, step_deg, window);
            said.push("Both agree here".to_owned());
            said.push(format!(
                "the pair that takes the less turning; they agree at {} too",
                rings(&other)
            ));
        }
        (SettingKind::Crossing, None) => said.push("Both agree here".to_owned()),
        _ => {
            said.push("No setting makes both agree".to_owned());
            said.push(format!("at best {} are left", words::arcmin(solved.gap_arcmin)));
        }
    }
    said.push(format!("Set to whole steps, {}.", words::misalignment(setting.misalignment)));
    said
}
