//! What a round says where the station shows only the difference of the channels, or only a box.
//!
//! Differences go to [`solver::relative`]; box readings are counted and told, and are never more than
//! they are: no number can be had from them.

use solver::relative::{
    BORESIGHT_UNKNOWN, RelativeProblem, RelativeReading, RelativeSetting, RelativeSolution,
    RelativeSpread, WindowStatus, solve_relative,
};
use solver::{Channel, PerChannel, SettingKind};

use crate::difference_words::{certainty, read_next, stands};
use crate::fact::{Purpose, Seq};
use crate::figures::{counted, counted_s, form_for};
use crate::fold::{Entry, Session, Value};
use crate::step::{ReadTo, step_arcmin};

/// A round's differences and box readings.
#[derive(Clone, Debug, PartialEq)]
pub struct Differences {
    /// The readings that are solved, by their identity, in the order of the problem.
    pub seqs: Vec<Seq>,
    /// What is solved: the log readings of the difference that have both ring angles, taken where the
    /// unit was set up, with the station's σ and the window in force.
    pub problem: RelativeProblem,
    /// Readings of the difference left out because a ring angle is missing.
    pub without_rings: usize,
    /// Box readings inside.
    pub inside: usize,
    /// Box readings outside.
    pub outside: usize,
    /// What the differences come to; `None` where there are none.
    pub answer: Option<Result<RelativeSolution, solver::Error>>,
    /// The setting as hands set it, to whole steps of the ring, and how sure it is.
    pub set: Option<Set>,
}

/// A setting to whole steps of the ring.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Set {
    /// What it leaves.
    pub setting: RelativeSetting,
    /// What random trials say of it; `None` where neither σ nor spare readings are, and where readings do
    /// not fit their stated σ.
    pub spread: Option<RelativeSpread>,
    /// How it stands.
    pub standing: WindowStatus,
}

/// What a round's differences and box readings come to; `None` without such a round, or where it
/// has neither.
#[must_use]
pub fn differences(session: &Session, round: Seq) -> Option<Differences> {
    let given = session.problem(round)?;
    let round = session.rounds.iter().find(|known| known.id == round)?;
    let (mut readings, mut seqs) = (Vec::new(), Vec::new());
    let mut used: Vec<&Entry> = Vec::new();
    let (mut without_rings, mut inside, mut outside) = (0, 0, 0);
    for entry in round.in_use() {
        match entry.value {
            Some(Value::Relative { ring_deg, misalignment })
                if entry.reading.purpose == Purpose::Log && entry.at_set_up_position() =>
            {
                match (ring_deg.left, ring_deg.right) {
                    (Some(left), Some(right)) => {
                        let ring_deg = PerChannel { left, right };
                        readings.push(RelativeReading { ring_deg, misalignment });
                        seqs.push(entry.seq);
                        used.push(entry);
                    }
                    _ => without_rings += 1,
                }
            }
            Some(Value::Box { inside: true, .. }) => inside += 1,
            Some(Value::Box { inside: false, .. }) => outside += 1,
            _ => {}
        }
    }
    if readings.is_empty() && without_rings + inside + outside == 0 {
        return None;
    }
    let places = PerChannel::from_fn(|channel| round.place(channel).and_then(|at| at.ring_deg));
    let problem = RelativeProblem {
        readings,
        sigma_arcmin: given.spread.sigma_arcmin,
        ring_sigma_deg: given.spread.ring_sigma_deg,
        ring_step_deg: session.housing().map_or(1.0, |housing| housing.ring_step_deg),
        step_arcmin: step_arcmin(
            Channel::Right,
            used.into_iter().filter_map(ReadTo::of_difference),
            session.station(),
        ),
        sense: given.sense,
        window: given.window,
        rings_now_deg: places
            .left
            .zip(places.right)
            .map(|(left, right)| PerChannel { left, right }),
    };
    let answer = (!problem.readings.is_empty()).then(|| solve_relative(&problem));
    let set = answer.as_ref().and_then(|answer| set(&problem, answer.as_ref().ok()?));
    Some(Differences { seqs, problem, without_rings, inside, outside, answer, set })
}

/// The recommended setting to whole steps of the ring, and how sure it is; `None` where the readings leave
/// open what to recommend.
#[must_use]
pub fn set(problem: &RelativeProblem, solution: &RelativeSolution) -> Option<Set> {
    if !solution.is_determined() {
        return None;
    }
    let setting = solution.rounded_to(&solution.setting, problem.ring_step_deg, problem.window);
    let spread =
        solution.spread(setting.kind, setting.ring_deg, solution.window_box(problem.window));
    let standing = solution.standing(&setting, spread.as_ref());
    Some(Set { setting, spread, standing })
}

impl Differences {
    /// The whole of it in sentences, for screen and paper; ring angles in whole degrees, since the
    /// answer carries them in full.
    #[must_use]
    pub fn words(&self) -> Vec<String> {
        let mut said = Vec::new();
        match &self.answer {
            Some(Ok(solution)) => {
                said.extend(stands(solution));
                if !solution.is_determined() {
                    said.push(read_next(solution));
                    said.extend(self.remarks());
                    return said;
                }
                let setting = &solution.setting;
                let (left, right) = (whole(setting.ring_deg.left), whole(setting.ring_deg.right));
                said.push(match setting.kind {
                    SettingKind::Crossing => {
                        format!("Set the left ring to {left}° and the right to {right}°: both then agree.")
                    }
                    _ => format!(
                        "No setting makes both agree. The best is the left ring at {left}° and the \
                         right at {right}°, which leaves {:.1}′.",
                        setting.misalignment.length_arcmin()
                    ),
                });
                if let Some(other) = &solution.other {
                    said.push(format!(
                        "They agree at {}° and {}° too, which takes more turning.",
                        whole(other.ring_deg.left),
                        whole(other.ring_deg.right)
                    ));
                }
                said.extend(
                    self.set.iter().flat_map(|set| certainty(solution, set.spread.as_ref())),
                );
            }
            Some(Err(error)) => said.push(format!("No setting can be worked out: {error}.")),
            None => {}
        }
        said.extend(self.remarks());
        said
    }

    /// What must be said beside a setting: of boresight, of what is left out, of box readings.
    #[must_use]
    pub fn remarks(&self) -> Vec<String> {
        let solved = matches!(self.answer, Some(Ok(_)));
        let unknown = solved.then(|| BORESIGHT_UNKNOWN.to_owned());
        unknown.into_iter().chain(self.remarks_beside_boresight()).collect()
    }

    /// The same where it is said already that boresight is not known.
    #[must_use]
    pub fn remarks_beside_boresight(&self) -> Vec<String> {
        let mut said = Vec::new();
        if let Some(Ok(solution)) = &self.answer {
            said.extend(solution.limit_caution().map(str::to_owned));
        }
        if self.without_rings > 0 {
            said.push(format!(
                "{} without both ring angles: left out.",
                counted(
                    self.without_rings,
                    "reading of the difference",
                    "readings of the difference"
                )
            ));
        }
        for (count, place) in [(self.inside, "in the box"), (self.outside, "outside the box")] {
            if count > 0 {
                let them = form_for(count, "it", "them");
                said.push(format!(
                    "{} {place}, no numbers: nothing can be computed from {them}.",
                    counted_s(count, "reading")
                ));
            }
        }
        said
    }
}

/// A ring angle in whole degrees, 0 to 359.
fn whole(ring_deg: f64) -> f64 {
    solver::angle::rounded_deg(ring_deg, 1.0)
}
