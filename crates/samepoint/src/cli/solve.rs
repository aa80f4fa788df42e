//! `samepoint solve`: from a file of readings to an answer.

use record::{Shop, import_csv};
use solver::{PerChannel, Problem, Solution, Spread};

use super::answer::{Answer, Verdict};
use super::arguments::Solve;
use super::certainty::Certainty;
use super::remedies::Remedies;
use super::{Outcome, figures, json, plain, relative};

/// The step a ring is set to where no housing says.
const RING_STEP_DEG: f64 = 1.0;

/// Reads, solves, and words the answer.
pub(super) fn run(asked: &Solve) -> Outcome {
    let file = figures::path(&asked.readings);
    match differences(asked) {
        Ok(None) => {}
        Ok(Some(readings)) => return relative::run(asked, readings),
        Err(why) => return Outcome::refused(why),
    }
    let problem = match problem(asked) {
        Ok(problem) => problem,
        Err(why) => return Outcome::refused(why),
    };
    let housing = match asked.housing.as_deref().map(Shop::read_housing).transpose() {
        Ok(housing) => housing,
        Err(error) => return Outcome::refused(error.to_string()),
    };
    let solution = match solver::solve(&problem) {
        Ok(solution) => solution,
        Err(error) => return Outcome::refused(error.to_string()),
    };
    let (Some(fits), Some(meeting)) = (solution.both_fits(), &solution.meeting) else {
        return Outcome::refused(format!("{file}: {}", missing(&solution)));
    };
    let remedies = housing.as_ref().map(|housing| Remedies::for_housing(housing, &problem, fits));
    let housing = housing.as_ref();
    let step_deg = housing.map_or(RING_STEP_DEG, |housing| housing.ring_step_deg);
    let certainty = Certainty::of(&problem, &solution, fits, step_deg);
    let (problem, solution) = (&problem, &solution);
    let answer =
        Answer { file, problem, solution, fits, meeting, step_deg, certainty, housing, remedies };
    let text = if asked.json { json::text(&answer) } else { Ok(plain::text(&answer)) };
    Outcome::answered(text, exit_code(&answer))
}

/// The readings of the difference, where the file's header says that it holds these.
fn differences(asked: &Solve) -> Result<Option<import_csv::relative::Table>, String> {
    let file = figures::path(&asked.readings);
    // What cannot be read at all is told as for any readings.
    let Ok(bytes) = import_csv::read_bytes(&asked.readings) else { return Ok(None) };
    if !import_csv::relative::is_relative(&bytes) {
        return Ok(None);
    }
    import_csv::relative::parse(&bytes).map(Some).map_err(|error| format!("{file}, {error}"))
}

/// How well readings and ring angles are said to be known.
pub(super) fn spread(asked: &Solve) -> Result<Spread, String> {
    let spread =
        Spread { sigma_arcmin: asked.sigma, ring_sigma_deg: asked.ring_sigma.unwrap_or_default() };
    spread.check().map_err(|error| format!("--ring-sigma without --sigma: {error}"))?;
    Ok(spread)
}

fn problem(asked: &Solve) -> Result<Problem, String> {
    let spread = spread(asked)?;
    if asked.swing.is_some() && asked.window.is_none() {
        return Err("--swing without --window: the swing is held against a tolerance window".into());
    }
    let readings = import_csv::read(&asked.readings).map_err(|error| {
        let file = figures::path(&asked.readings);
        match error.line() {
            Some(_) => format!("{file}, {error}"),
            None => format!("{file}: {error}"),
        }
    })?;
    let choice = asked.sense.choice();
    Ok(Problem {
        readings: readings.per_channel(),
        spread,
        step_arcmin: readings.step_arcmin(),
        sense: PerChannel { left: choice, right: choice },
        window: asked.window,
        swing: asked.swing,
        ..Problem::default()
    })
}

/// What either channel lacks, in one line.
fn missing(solution: &Solution) -> String {
    let lacks: Vec<String> = solution
        .fits
        .iter()
        .filter_map(|(_, fit)| fit.as_ref().err())
        .map(ToString::to_string)
        .collect();
    lacks.join("; ")
}

/// 0 where the recommended setting is inside or, without a window, a crossing is recommended; else 1, also
/// where readings do not fit.
fn exit_code(answer: &Answer<'_>) -> u8 {
    let good = match answer.verdict() {
        Some(Verdict::Inside) => true,
        Some(Verdict::NoWindow) => answer.recommends_a_crossing(),
        Some(Verdict::Outside) | None => false,
    };
    u8::from(!good)
}
