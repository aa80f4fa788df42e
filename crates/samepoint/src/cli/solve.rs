//! `samepoint solve`: from a file of readings to an answer.

use record::{Shop, import_csv};
use solver::{PerChannel, Problem};

use super::answer::{SettingVerdict, SolveAnswer};
use super::arguments::Solve;
use super::certainty::Certainty;
use super::refusal::{CommandRefusal, Lacking, RefusalKind};
use super::remedies::Remedies;
use super::{Outcome, figures, json, plain, relative};

/// The step a ring is set to where no housing says.
const RING_STEP_DEG: f64 = 1.0;

/// Reads, solves, and words the answer.
pub(super) fn run(asked: &Solve) -> Result<Outcome, CommandRefusal> {
    if let Some(readings) = differences(asked)? {
        return relative::run(asked, readings);
    }
    let problem = problem(asked)?;
    let housing = asked.housing.as_deref().map(Shop::read_housing).transpose()?;
    let solution = solver::solve(&problem)?;
    let (Some(fits), Some(meeting)) = (solution.both_fits(), &solution.meeting) else {
        return Err(RefusalKind::NoCircles(Lacking::of(&solution)).of(&asked.readings));
    };
    let remedies = housing.as_ref().map(|housing| Remedies::for_housing(housing, &problem, fits));
    let housing = housing.as_ref();
    let step_deg = housing.map_or(RING_STEP_DEG, |housing| housing.ring_step_deg);
    let certainty = Certainty::of(&problem, &solution, fits, step_deg);
    let (problem, solution) = (&problem, &solution);
    let file = figures::path(&asked.readings);
    let answer = SolveAnswer {
        file,
        problem,
        solution,
        fits,
        meeting,
        step_deg,
        certainty,
        housing,
        remedies,
    };
    let text = if asked.json { json::text(&answer)? } else { plain::text(&answer) };
    Ok(Outcome::Answered { text, code: exit_code(&answer) })
}

/// The readings of the difference, where the file's header says that it holds these.
fn differences(
    asked: &Solve,
) -> Result<Option<import_csv::relative::ImportedDifferences>, CommandRefusal> {
    // What cannot be read at all is told as for any readings.
    let Ok(bytes) = import_csv::read_bytes(&asked.readings) else { return Ok(None) };
    if !import_csv::relative::is_relative(&bytes) {
        return Ok(None);
    }
    let table = import_csv::relative::parse(&bytes);
    table.map(Some).map_err(|error| RefusalKind::Readings(error).of(&asked.readings))
}

fn problem(asked: &Solve) -> Result<Problem, CommandRefusal> {
    let spread = asked.spread()?;
    if asked.swing.is_some() && asked.window.is_none() {
        return Err(RefusalKind::SwingWithoutWindow.into());
    }
    let readings = import_csv::read(&asked.readings)
        .map_err(|error| RefusalKind::Readings(error).of(&asked.readings))?;
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

/// 0 where the recommended setting is inside or, without a window, a crossing is recommended; else 1, also
/// where readings do not fit.
fn exit_code(answer: &SolveAnswer<'_>) -> u8 {
    let good = match answer.verdict() {
        Some(SettingVerdict::Inside) => true,
        Some(SettingVerdict::NoWindow) => answer.recommends_a_crossing(),
        Some(SettingVerdict::Outside) | None => false,
    };
    u8::from(!good)
}
