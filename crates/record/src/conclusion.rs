//! What the confirm readings come to: the verdict as the facts give it, and all that it rests on.
//!
//! The window, a review and a report all ask here, so that they cannot differ.

use core::fmt;

use solver::{Channel, Direction, Misalignment, PerChannel, WindowUse};

use crate::fact::{Lock, LookingResult, Number, Purpose, Seq, Verdict};
use crate::fold::{Entry, Round, Session};
use crate::window::Rule;

/// A verdict and what it rests on.
#[derive(Clone, Debug, PartialEq)]
pub struct Conclusion {
    /// The round it is about: the open one.
    pub round: Seq,
    /// The verdict.
    pub verdict: Verdict,
    /// The rule that gave it.
    pub rule: Rule,
    /// What was measured; `None` goes with [`Verdict::NotMeasured`].
    pub measured: Option<Measured>,
    /// The readings it rests on.
    pub rests_on: Vec<Seq>,
    /// What limits it, in sentences.
    pub caveats: Vec<String>,
}

/// The means of the confirm readings.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Measured {
    /// How many readings of each channel.
    pub readings: PerChannel<usize>,
    /// Their mean.
    pub points: PerChannel<Direction>,
    /// p_R − p_L of the means.
    pub misalignment: Misalignment,
    /// Distance of (p_L + p_R)/2 from boresight, arcminutes.
    pub boresight_arcmin: f64,
    /// Window use of the means.
    pub window_use: WindowUse,
}

/// Why the facts give no verdict.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum NoConclusion {
    /// No round was opened.
    NoRound,
    /// No tolerance window was chosen.
    NoWindow,
    /// This program does not work out the rule yet.
    RuleNotBuilt(Rule),
}

impl fmt::Display for NoConclusion {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoRound => f.write_str("no round was opened, so nothing was measured"),
            Self::NoWindow => f.write_str("no tolerance window was chosen, so nothing is judged"),
            Self::RuleNotBuilt(rule) => write!(
                f,
                "the {} rule is not worked out by this version of the program; the means are \
                 given without a verdict",
                rule.word()
            ),
        }
    }
}

/// The verdict on a session's open round.
///
/// It rests on the round's confirm readings of single channels, where the unit was set up, except
/// those noted as taken before the locks were tightened. Fewer than one of each channel is
/// [`Verdict::NotMeasured`]. Simple rule: the means inside the window pass, else fail. A looking
/// test that showed double, or was broken off, turns a pass into [`Verdict::Undecided`]; fused
/// changes nothing.
///
/// # Errors
/// [`NoConclusion`] when there is nothing to judge by.
pub fn conclude(session: &Session) -> Result<Conclusion, NoConclusion> {
    let round = session.round().ok_or(NoConclusion::NoRound)?;
    let window = session.window().ok_or(NoConclusion::NoWindow)?;
    let confirm = PerChannel::from_fn(|channel| confirming(round, channel));
    let mut conclusion = Conclusion {
        round: round.id,
        verdict: Verdict::NotMeasured,
        rule: window.rule,
        measured: None,
        rests_on: Vec::new(),
        caveats: Vec::new(),
    };
    let (Some(left), Some(right)) = (mean(&confirm.left), mean(&confirm.right)) else {
        return Ok(conclusion);
    };
    if window.rule != Rule::Simple {
        return Err(NoConclusion::RuleNotBuilt(window.rule));
    }
    let window_use = window.limits.used_by(left, right);
    conclusion.measured = Some(Measured {
        readings: confirm.as_ref().map(Vec::len),
        points: PerChannel { left, right },
        misalignment: Misalignment::between(left, right),
        boresight_arcmin: left.midpoint(right).boresight_arcmin(),
        window_use,
    });
    conclusion.verdict = if window_use.is_inside() { Verdict::Pass } else { Verdict::Fail };
    conclusion.rests_on =
        confirm.iter().flat_map(|(_, read)| read.iter().map(|(entry, _)| entry.seq)).collect();
    conclusion.rests_on.sort_unstable();
    let entries = || confirm.iter().flat_map(|(_, read)| read.iter().map(|(entry, _)| entry));
    if !entries().any(|entry| entry.reading.reseated) {
        conclusion.caveats.push("seating repeatability not included".to_owned());
    }
    if entries().all(|entry| entry.reading.lock.is_none()) {
        conclusion.caveats.push("nobody noted whether the locks were tightened".to_owned());
    }
    let looked = session.looking_tests.iter().rev().find(|test| test.seq > round.id);
    if let Some(test) = looked
        && test.value.result != LookingResult::Fused
        && conclusion.verdict == Verdict::Pass
    {
        conclusion.verdict = Verdict::Undecided;
        conclusion.caveats.push("the looking test showed double or was broken off".to_owned());
    }
    Ok(conclusion)
}

impl Conclusion {
    /// The numbers a signature stores, under lasting names.
    #[must_use]
    pub fn numbers(&self) -> Vec<Number> {
        let Some(measured) = &self.measured else { return Vec::new() };
        let points = &measured.points;
        let named = [
            ("left_x_arcmin", points.left.x_arcmin),
            ("left_y_arcmin", points.left.y_arcmin),
            ("right_x_arcmin", points.right.x_arcmin),
            ("right_y_arcmin", points.right.y_arcmin),
            ("misalignment_x_arcmin", measured.misalignment.x_arcmin),
            ("misalignment_y_arcmin", measured.misalignment.y_arcmin),
            ("boresight_arcmin", measured.boresight_arcmin),
            ("window_use", measured.window_use.worst()),
        ];
        let number = |(name, value): (&str, f64)| Number { name: name.to_owned(), value };
        named.into_iter().map(number).collect()
    }
}

/// The readings of one channel that a verdict rests on, with where they point.
fn confirming(round: &Round, channel: Channel) -> Vec<(&Entry, Direction)> {
    round
        .of(channel, Purpose::Confirm)
        .filter(|entry| entry.at_set_up_position() && entry.reading.lock != Some(Lock::Before))
        .filter_map(|entry| Some((entry, entry.direction(channel)?.1)))
        .collect()
}

fn mean(readings: &[(&Entry, Direction)]) -> Option<Direction> {
    if readings.is_empty() {
        return None;
    }
    let sum = readings.iter().fold(Direction::BORESIGHT, |sum, (_, point)| sum + *point);
    Some(sum * (1.0 / readings.len() as f64))
}
