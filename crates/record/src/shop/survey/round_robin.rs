//! One unit on several benches: what each measured, held against their consensus.
//!
//! Whether the unit stayed as it was in between is told by what the sessions say: the same parts and shims,
//! no remedy since the first, each ring at the number where it stood before. Where a ring's number is not
//! noted that is not known, and said. What happened to a unit between two sessions is in none of them.

use std::collections::{BTreeMap, BTreeSet, HashMap};
use std::path::PathBuf;

use jiff::civil::Date;
use solver::stats::consensus::{Consensus, consensus};
use solver::uncertainty::Uncertainty;
use solver::words::listed;
use solver::{Channel, angle};

use super::differ::p_words;
use super::{SIGNIFICANT, SessionSummary, Survey};
use crate::apart::pair;
use crate::conclusion::conclude;
use crate::error::Error;
use crate::fact::Purpose;
use crate::figures::{capital, degrees_short, number};
use crate::file::{Disk, End, scan};
use crate::fold::{Session, fold};
use crate::shown;
use crate::station::{ReferenceUncertainty, Shows};
use crate::two_sessions::rebuilt;

/// Two rings stand alike within this, degrees: the step to which rings are set (common practice, no source).
pub const RING_STEP_DEG: f64 = 1.0;

/// What benches are compared in: the misalignment, then the middle of both crosshairs, x and y, arcminutes.
pub const COMPARED: [&str; 4] =
    ["divergence", "dipvergence", "middle of both crosshairs, x", "middle of both crosshairs, y"];

/// One unit on several benches.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct RoundRobin {
    /// The unit.
    pub unit: String,
    /// What each bench measured, in the order of their sessions.
    pub benches: Vec<BenchResult>,
    /// What they come to together, as [`COMPARED`]; `None` where fewer than two are known well enough.
    pub consensus: [Option<Consensus>; 4],
    /// Sessions of the unit that are not compared, and why, a sentence each.
    pub left_out: Vec<String>,
    /// What must be known beside, a sentence each.
    pub notes: Vec<String>,
}

/// What a bench measured of the unit.
#[derive(Clone, Debug, PartialEq)]
pub struct BenchResult {
    /// The station.
    pub station: String,
    /// The day of its last reading.
    pub day: Option<Date>,
    /// The session's file, as it can be shown.
    pub file: String,
    /// Its index in the survey.
    pub session: usize,
    /// What it read, as [`COMPARED`], arcminutes; `None` of what its station does not show.
    pub value: [Option<f64>; 4],
    /// How well that is known, its reference included; `None`: it cannot be told, and it is not counted.
    pub u: [Option<Uncertainty>; 4],
    /// Why it cannot be told, or is not counted.
    pub not_counted: Option<&'static str>,
    /// It less the consensus; of one that is not counted too.
    pub difference: [Option<f64>; 4],
    /// The consensus of all others that are counted, and how well it is known.
    pub others: [Option<(f64, Uncertainty)>; 4],
    /// E_n against that.
    pub en: [Option<f64>; 4],
}

/// How a score is judged: ISO 13528:2022, 9.7, with the words that ISO/IEC 17043:2010, B.4.1.1, has for it (clauses
/// from memory).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ScoreWord {
    /// |E_n| ≤ 1.
    Satisfactory,
    /// More.
    Unsatisfactory,
    /// There is no score.
    NotKnown,
}

impl ScoreWord {
    /// Of a score.
    #[must_use]
    pub fn of(en: Option<f64>) -> Self {
        match en {
            Some(en) if en.abs() <= 1.0 => Self::Satisfactory,
            Some(en) if en.is_finite() => Self::Unsatisfactory,
            _ => Self::NotKnown,
        }
    }

    /// It in a word: `satisfactory`, `unsatisfactory`, `not known`.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Satisfactory => "satisfactory",
            Self::Unsatisfactory => "unsatisfactory",
            Self::NotKnown => "not known",
        }
    }
}

impl BenchResult {
    /// The largest |E_n| and in what; `None` where there is no score.
    #[must_use]
    pub fn worst_en(&self) -> Option<(&'static str, f64)> {
        let each = COMPARED.iter().zip(self.en).filter_map(|(what, en)| Some((*what, en?)));
        each.max_by(|(_, a), (_, b)| a.abs().total_cmp(&b.abs()))
    }

    /// Whether |E_n| ≤ 1 in all that has a score; `None` where nothing has.
    #[must_use]
    pub fn agrees(&self) -> Option<bool> {
        self.worst_en().map(|(_, en)| en.abs() <= 1.0)
    }

    /// It in a sentence.
    #[must_use]
    pub fn words(&self) -> String {
        let station = capital(&shown::one_line(&self.station));
        match (self.worst_en(), self.not_counted) {
            (_, Some(why)) => {
                format!(
                    "{station} is shown beside the consensus and not counted: {why}. E_n is not known."
                )
            }
            (None, None) => {
                format!("{station}: E_n is not known, since nothing it could be held against is.")
            }
            (Some((_, en)), None) if en.abs() <= 1.0 => format!(
                "{station} agrees with the others within the uncertainties stated (largest |E_n| {}).",
                number(en.abs(), 1)
            ),
            (Some((what, en)), None) => format!(
                "{station} lies farther from the others than the uncertainties explain: {what}, E_n {}. \
                 Look at calibrations, at how the unit was seated and at what is stated of uncertainties, \
                 its own and the others’.",
                number(en, 1)
            ),
        }
    }
}

/// A session of the unit, read whole.
struct Visit<'a> {
    index: usize,
    summary: &'a SessionSummary,
    session: Session,
}

impl RoundRobin {
    /// The units that were measured on several stations, by the sessions that could be compared; in their
    /// order. Whether one stayed as it was in between is not asked yet.
    #[must_use]
    pub fn units(survey: &Survey) -> Vec<String> {
        let mut first_on: HashMap<&str, &str> = HashMap::with_capacity(survey.sessions.len());
        let mut several: BTreeSet<&str> = BTreeSet::new();
        let named = survey.sessions.iter().filter(|one| !one.practice && !one.unit.is_empty());
        for one in named.filter(|one| left_out(one).is_none()) {
            if *first_on.entry(&one.unit).or_insert(&one.station) != one.station {
                several.insert(&one.unit);
            }
        }
        several.into_iter().map(str::to_owned).collect()
    }

    /// Of the sessions of one unit, each read whole from its file; `None` where no session is of such a unit.
    #[must_use]
    pub fn of(survey: &Survey, unit: &str, disk: &dyn Disk) -> Option<Self> {
        let mut found = Self { unit: unit.to_owned(), ..Self::default() };
        let each = survey.sessions.iter().enumerate();
        let of_unit: Vec<(usize, &SessionSummary)> =
            each.filter(|(_, one)| !one.practice && one.unit == unit).collect();
        if of_unit.is_empty() {
            return None;
        }
        let mut visits = Vec::new();
        for (index, summary) in of_unit {
            let place = survey.place_of(summary);
            if let Some(why) = left_out(summary) {
                found.left_out.push(format!("{place}: {why}."));
                continue;
            }
            let path = path_of(survey, summary);
            let read = disk.open_read(&path).map_err(|why| Error::io("open", &path, why));
            match read.and_then(|bytes| scan(&path, bytes)) {
                Ok(scanned) if scanned.end == End::Clean => {
                    visits.push(Visit { index, summary, session: fold(&scanned.facts) });
                }
                Ok(_) => found.left_out.push(format!("{place}: its file is not whole any more.")),
                Err(why) => found.left_out.push(format!("{place}: {why}.")),
            }
        }
        visits.sort_by_key(|visit| (visit.summary.day.is_none(), visit.last_time(), visit.index));
        let visits = found.as_it_stood(survey, visits);
        found.compare(survey, &visits);
        Some(found)
    }

    /// Of the sessions in their order, those during which the unit stayed as it was: of the last such time in
    /// which it was on several benches, of each bench the last.
    fn as_it_stood<'a>(&mut self, survey: &Survey, visits: Vec<Visit<'a>>) -> Vec<Visit<'a>> {
        let mut times: Vec<Vec<Visit<'a>>> = Vec::new();
        let mut changes: Vec<String> = Vec::new();
        let mut unknown = false;
        for visit in visits {
            // Each against all before it, so that a ring that creeps is seen.
            let what = times.last().map(|time| {
                let each = time.iter().map(|before| changed(&before.session, &visit.session));
                each.fold(ChangedBetween::default(), ChangedBetween::with)
            });
            match (what, times.last_mut()) {
                (Some(what), Some(time)) if what.is.is_empty() => {
                    unknown |= what.not_known;
                    time.push(visit);
                }
                (what, _) => {
                    if let Some(what) = what {
                        let place = survey.place_of(visit.summary);
                        changes.push(format!("{place}: {}.", listed(&what.is, "; ")));
                    }
                    times.push(vec![visit]);
                }
            }
        }
        let stations = |time: &Vec<Visit<'_>>| {
            let mut names: Vec<&str> =
                time.iter().map(|visit| visit.summary.station.as_str()).collect();
            names.sort_unstable();
            names.dedup();
            names.len()
        };
        let chosen = times.iter().rposition(|time| stations(time) > 1);
        let chosen = chosen.unwrap_or(times.len().saturating_sub(1));
        let mut kept: Vec<Visit<'a>> = Vec::new();
        for (at, time) in times.into_iter().enumerate() {
            for visit in time {
                let place = survey.place_of(visit.summary);
                if at != chosen {
                    self.left_out.push(format!(
                        "{place}: the unit was not as it is in those that are compared."
                    ));
                    continue;
                }
                let same = kept.iter().position(|one| one.summary.station == visit.summary.station);
                if let Some(earlier) = same {
                    let earlier = kept.remove(earlier);
                    let place = survey.place_of(earlier.summary);
                    self.left_out.push(format!("{place}: a later session is of the same bench."));
                }
                kept.push(visit);
            }
        }
        if !changes.is_empty() {
            self.notes.push(format!("The unit was changed in between. {}", listed(changes, " ")));
        }
        if kept.len() < 2 {
            return kept;
        }
        self.notes.push(if unknown {
            "Whether its rings stayed where they were is not known: not every session notes their numbers. \
             The parts and shims that the sessions name are the same."
                .to_owned()
        } else {
            "By what the sessions say its parts, its shims and the numbers its rings stood at are the same \
             (within 1°); what else happened to it in between is in none of them."
                .to_owned()
        });
        kept
    }

    fn compare(&mut self, survey: &Survey, visits: &[Visit<'_>]) {
        self.benches = visits.iter().map(|visit| visit.result(survey)).collect();
        for (at, what) in COMPARED.iter().enumerate() {
            let known: Vec<(usize, (f64, Uncertainty))> = self
                .benches
                .iter()
                .enumerate()
                .filter(|(_, bench)| bench.not_counted.is_none())
                .filter_map(|(index, bench)| {
                    Some((index, (*bench.value.get(at)?.as_ref()?, (*bench.u.get(at)?)?)))
                })
                .collect();
            let results: Vec<(f64, Uncertainty)> =
                known.iter().map(|(_, result)| *result).collect();
            let Ok(found) = consensus(&results) else { continue };
            for bench in &mut self.benches {
                let value = bench.value.get(at).copied().flatten();
                if let Some(difference) = bench.difference.get_mut(at) {
                    *difference = value.map(|value| value - found.value);
                }
                // To one that is no part of it all that are counted are the others.
                if let Some(others) = bench.others.get_mut(at) {
                    *others = value.map(|_| (found.value, found.u));
                }
            }
            for ((index, _), against) in known.iter().zip(&found.each) {
                let Some(bench) = self.benches.get_mut(*index) else { continue };
                if let (Some(en), Some(others)) = (bench.en.get_mut(at), bench.others.get_mut(at)) {
                    *en = Some(against.en);
                    *others = Some((against.others, against.others_u));
                }
            }
            if found.scatters(SIGNIFICANT) {
                self.notes.push(format!(
                    "{}: the benches differ by more than their uncertainties explain together (χ² {} with {} \
                     degrees of freedom, p {}); those that state the smallest draw the consensus to \
                     themselves.",
                    capital(what),
                    number(found.chi_squared, 1),
                    results.len() - 1,
                    p_words(found.p_value)
                ));
            }
            if let Some(held) = self.consensus.get_mut(at) {
                *held = Some(found);
            }
        }
        let counted = self.benches.iter().filter(|bench| bench.not_counted.is_none()).count();
        self.notes.extend(match counted {
            0 | 1 => Some("Fewer than two benches are known well enough to be compared.".to_owned()),
            2 => Some(
                "Two benches say whether they differ, not which of them is off: a third would tell."
                    .to_owned(),
            ),
            _ => None,
        });
        self.say_shared_certificates(visits);
    }

    /// Benches that one certificate stands behind are not independent.
    fn say_shared_certificates(&mut self, visits: &[Visit<'_>]) {
        let mut by: BTreeMap<&str, Vec<&str>> = BTreeMap::new();
        for visit in visits {
            let calibration = visit.session.station().and_then(|one| one.calibration.as_ref());
            let certificate = calibration.map(|calibration| calibration.certificate.trim());
            if let Some(certificate) = certificate.filter(|text| !text.is_empty()) {
                by.entry(certificate).or_default().push(&visit.summary.station);
            }
        }
        for (certificate, stations) in by.into_iter().filter(|(_, stations)| stations.len() > 1) {
            let stations = listed(stations.iter().map(|one| shown::one_line(one)), ", ");
            self.notes.push(format!(
                "{stations} name one certificate, {}: what it may be off by is in all of them, and no score \
                 shows it.",
                shown::one_line(certificate)
            ));
        }
    }

    /// It in sentences: each bench, then what must be known beside.
    #[must_use]
    pub fn words(&self) -> Vec<String> {
        self.benches.iter().map(BenchResult::words).chain(self.caveats()).collect()
    }

    /// What must be known beside, and what is not compared, a sentence each.
    #[must_use]
    pub fn caveats(&self) -> Vec<String> {
        let left_out = self.left_out.iter().map(|why| format!("Not compared: {why}"));
        self.notes.iter().cloned().chain(left_out).collect()
    }
}

fn path_of(survey: &Survey, summary: &SessionSummary) -> PathBuf {
    let folder = survey.folders.get(summary.folder).cloned().unwrap_or_default();
    folder.join("sessions").join(&summary.file)
}

/// Why a session's result is not to be compared at all.
fn left_out(summary: &SessionSummary) -> Option<&'static str> {
    if summary.copy_of.is_some() || summary.continued_in.is_some() {
        Some("another file counts in its stead")
    } else if summary.end_missing.is_some() {
        Some("its end is missing")
    } else if summary.follows == Some(false) {
        Some("what was signed does not follow from the readings")
    } else if summary.station.is_empty() {
        Some("nobody named its station")
    } else if summary.misalignment.is_none() {
        Some("it has no confirm readings of both channels")
    } else {
        None
    }
}

/// What is otherwise with the unit in a session than it was left by one before.
#[derive(Default)]
struct ChangedBetween {
    is: Vec<String>,
    not_known: bool,
}

impl ChangedBetween {
    /// And by another: what that has, too, is said once.
    fn with(mut self, other: Self) -> Self {
        self.not_known |= other.not_known;
        self.is.extend(other.is.into_iter().take(if self.is.is_empty() { usize::MAX } else { 0 }));
        self
    }
}

fn changed(before: &Session, after: &Session) -> ChangedBetween {
    let mut is = rebuilt(before, after);
    if after.rounds.iter().any(|round| !round.remedies.is_empty()) {
        is.push("a remedy was taken".to_owned());
    }
    let mut not_known = false;
    for channel in Channel::BOTH {
        match [before, after].map(|session| ring_deg(session, channel)) {
            [Some(then), Some(now)] => {
                if angle::turn_deg(then, now).abs() > RING_STEP_DEG {
                    let [now, then] = [now, then].map(degrees_short);
                    is.push(format!("the {} ring stands at {now}, before {then}", channel.word()));
                }
            }
            _ => not_known = true,
        }
    }
    ChangedBetween { is, not_known }
}

/// Where a ring was left, by its own numbers.
fn ring_deg(session: &Session, channel: Channel) -> Option<f64> {
    session.rounds.last()?.place(channel)?.ring_deg
}

impl Visit<'_> {
    fn last_time(&self) -> Option<i64> {
        let last = self.session.rounds.iter().rev().find_map(|round| {
            round.in_use().rfind(|entry| entry.reading.purpose == Purpose::Confirm)
        });
        last.map(|entry| entry.time.unix_milliseconds())
    }

    fn result(&self, survey: &Survey) -> BenchResult {
        let station = self.session.station();
        let conclusion = conclude(&self.session).ok();
        let measured = conclusion.and_then(|conclusion| conclusion.measured);
        let mut bench = BenchResult {
            station: self.summary.station.to_string(),
            day: self.summary.day,
            file: survey.place_of(self.summary),
            session: self.index,
            value: [None; 4],
            u: [None; 4],
            not_counted: None,
            difference: [None; 4],
            others: [None; 4],
            en: [None; 4],
        };
        let Some(measured) = measured else {
            bench.not_counted = Some("it has no result");
            return bench;
        };
        let middle = measured.points.left.midpoint(measured.points.right);
        let shows_both = station.is_some_and(|station| station.shows == Shows::Direction);
        let both = |value: f64| Some(value).filter(|_| shows_both);
        bench.value = [
            Some(measured.misalignment.x_arcmin),
            Some(measured.misalignment.y_arcmin),
            both(middle.x_arcmin),
            both(middle.y_arcmin),
        ];
        bench.not_counted = if self.summary.recall.is_some() {
            Some("it was read while its station’s zero was off")
        } else if station.is_none_or(|one| one.reference == ReferenceUncertainty::default()) {
            Some("its station does not state how far its reference may be off")
        } else if measured.judgement.is_none() {
            Some("nothing tells how far its readings scatter")
        } else {
            None
        };
        if let Some(judged) = &measured.judgement {
            let compared = pair(judged, station, false);
            let u = |of: &solver::stats::agreement::Measurement, axis: usize| {
                let variance = of.covariance.get(axis).and_then(|row| row.get(axis)).copied()?;
                (variance > 0.0)
                    .then(|| Uncertainty { standard: variance.sqrt(), freedom: of.freedom })
            };
            let (m, b) = (&compared.misalignment, &compared.shared);
            let shared = |axis: usize| u(b, axis).filter(|_| shows_both);
            bench.u = [u(m, 0), u(m, 1), shared(0), shared(1)];
        }
        bench
    }
}
