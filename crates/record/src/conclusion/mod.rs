//! What the confirm readings come to: the verdict as the facts give it, and all that it rests on.
//!
//! The window, a review and a report all ask here, so that they cannot differ.
//!
//! - [`position`]: where the pods stood; [`mod@counted`]: which readings count;
//! - [`measured`]: means, probabilities and verdict at one position;
//! - [`method`]: the way of judging, and how an old signature keeps its own; [`seatings`]: which
//!   seating a reading is of;
//! - [`caveat`]: what limits the verdict; [`looking`]: the looking test and its distance;
//! - [`on_circle`]: whether the confirm readings lie on their round's circles;
//! - [`numbers`]: what a signature stores.

pub mod caveat;
pub mod counted;
pub mod looking;
pub mod measured;
pub mod method;
pub(crate) mod numbers;
pub mod on_circle;
pub mod position;
mod seatings;

use core::fmt;

use solver::decision::Circumstances;

use crate::fact::{Seq, Verdict};
use crate::fold::Session;
use crate::window::Rule;

pub use caveat::Caveat;
pub use counted::{Counted, counted};
pub use looking::{FarPoint, far_point, looking_tests};
pub use measured::{Measured, Outlook};
pub use method::Method;
pub use numbers::number_in_words;
pub use on_circle::{OnCircle, OnCircleWay, WhichReadings, on_circles};
pub use position::Position;

/// A verdict and what it rests on.
#[derive(Clone, Debug, PartialEq)]
pub struct Conclusion {
    /// The round it is about: the open one.
    pub round: Seq,
    /// The verdict.
    pub verdict: Verdict,
    /// The rule that gave it.
    pub rule: Rule,
    /// The way it was judged.
    pub method: Method,
    /// What was measured where the unit was set up; `None` goes with [`Verdict::NotMeasured`].
    pub measured: Option<Measured>,
    /// What was measured away from there, each position by itself.
    pub elsewhere: Vec<Measured>,
    /// The readings it rests on.
    pub rests_on: Vec<Seq>,
    /// What limits it.
    pub caveats: Vec<Caveat>,
    /// The confirm readings held against their round's circles.
    pub on_circles: Vec<OnCircle>,
}

/// Why the facts give no verdict.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub enum NoConclusion {
    /// An examination is sat: it is the trainee's to judge.
    Withheld,
    /// No round was opened.
    NoRound,
    /// No tolerance window was chosen.
    NoWindow,
    /// It was signed by a way of judging that this program does not know.
    UnknownMethod {
        /// As stored.
        number: f64,
    },
    /// The readings or the station's uncertainties cannot be judged.
    CannotJudge(solver::Error),
}

impl fmt::Display for NoConclusion {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Withheld => f.write_str("an examination withholds it until it is signed"),
            Self::NoRound => f.write_str("no round was opened, so nothing was measured"),
            Self::NoWindow => f.write_str("no tolerance window was chosen, so nothing is judged"),
            Self::UnknownMethod { number } => write!(
                f,
                "it was judged in a way that this program does not know (number {number}); \
                 open it with a newer version"
            ),
            Self::CannotJudge(why) => write!(f, "the confirm readings cannot be judged: {why}"),
        }
    }
}

/// The verdict on a session's open round.
///
/// It rests on the round's confirm readings of single channels, as [`counted()`] says. Fewer than
/// one of each channel where the unit was set up is [`Verdict::NotMeasured`].
///
/// Each position of the pods has its own means and is judged by itself, by the window's rule. The
/// unit has to hold wherever it was read: one position that fails makes it *fail*, one that is
/// undecided makes it *undecided*; a position read through one channel only is named and decides
/// nothing.
///
/// The spread of a reading is what the station states, else the scatter of these readings (at least
/// three a channel under the guarded rule, else *undecided*); never both. A looking test of these
/// settings that showed double, or was broken off, turns a pass into *undecided*, and a later one
/// that fused does not turn it back. So do readings that lie off the circles of their own round by more
/// than their uncertainty explains ([`on_circle`]).
///
/// Where the unit was seated more than once, the seatings' own scatter counts
/// ([`solver::decision::seating`]); judged once, it stays judged that way ([`method`]): a session whose
/// signature still speaks for it is judged as it was signed.
///
/// # Errors
/// [`NoConclusion`] when there is nothing to judge by.
pub fn conclude(session: &Session) -> Result<Conclusion, NoConclusion> {
    conclude_by(session, Method::for_session(session))
}

/// The same by a given way of judging.
///
/// # Errors
/// As [`conclude`].
pub fn conclude_by(session: &Session, method: Method) -> Result<Conclusion, NoConclusion> {
    if session.withholds() {
        return Err(NoConclusion::Withheld);
    }
    conclude_to_sign(session, method)
}

/// The same whether or not an examination is sat: for what a signature stores, and to hold that against the
/// facts before it.
///
/// # Errors
/// As [`conclude`].
pub fn conclude_to_sign(session: &Session, method: Method) -> Result<Conclusion, NoConclusion> {
    let round = session.round().ok_or(NoConclusion::NoRound)?;
    let window = session.window().ok_or(NoConclusion::NoWindow)?;
    let read = counted(session, round);
    let mut conclusion = Conclusion {
        round: round.id,
        verdict: Verdict::NotMeasured,
        rule: window.rule,
        method,
        measured: None,
        elsewhere: Vec::new(),
        rests_on: Vec::new(),
        caveats: Vec::new(),
        on_circles: Vec::new(),
    };
    let seatings = seatings::seatings(round);
    for at in &read {
        let station = session.station();
        let circumstances = match method {
            Method::First => Circumstances::default(),
            Method::BySeatings => seatings::circumstances(at, &seatings, station),
        };
        let Some(measured) = Measured::of(at, &circumstances, station, window)? else { continue };
        if at.position == Position::SetUp {
            conclusion.measured = Some(measured);
        } else {
            conclusion.elsewhere.push(measured);
        }
    }
    if conclusion.measured.is_none() {
        conclusion.elsewhere.clear();
        return Ok(conclusion);
    }
    conclusion.rests_on = read
        .iter()
        .filter(|at| at.is_whole())
        .flat_map(|at| at.entries().map(|entry| entry.seq))
        .collect();
    conclusion.rests_on.sort_unstable();
    conclusion.verdict = worst(conclusion.positions().map(|measured| measured.verdict));
    conclusion.on_circles = on_circles(session, round);
    conclusion.caveats = caveat::caveats(session, round, &read, &conclusion);
    let troubled = conclusion.caveats.iter().any(Caveat::forbids_pass);
    if troubled && conclusion.verdict == Verdict::Pass {
        conclusion.verdict = Verdict::Undecided;
    }
    Ok(conclusion)
}

fn worst(verdicts: impl Iterator<Item = Verdict>) -> Verdict {
    let mut worst = Verdict::Pass;
    for verdict in verdicts {
        worst = match (worst, verdict) {
            (Verdict::Fail, _) | (_, Verdict::Fail) => Verdict::Fail,
            (Verdict::Pass, Verdict::Pass) => Verdict::Pass,
            _ => Verdict::Undecided,
        };
    }
    worst
}

impl Conclusion {
    /// Every position that was judged, the set-up's first.
    pub fn positions(&self) -> impl Iterator<Item = &Measured> {
        self.measured.iter().chain(&self.elsewhere)
    }

    /// The caveats that mark the verdict until they are resolved: the station cannot be shown to
    /// read right.
    pub fn marks(&self) -> impl Iterator<Item = &Caveat> {
        self.caveats.iter().filter(|caveat| caveat.marks())
    }

    /// The verdict's word with its marks: `pass, marked: the station's calibration ran out on
    /// 2026-11-30`.
    #[must_use]
    pub fn verdict_words(&self) -> String {
        let word = self.verdict.word();
        let marks: Vec<String> = self.marks().map(ToString::to_string).collect();
        if marks.is_empty() {
            word.to_owned()
        } else {
            format!("{word}, marked: {}", marks.join("; "))
        }
    }
}
