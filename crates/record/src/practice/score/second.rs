//! Formula 2, for the exercises of the second series: what makes a technician.
//!
//! | part | weight | earns |
//! |---|---|---|
//! | reading | 25 | 1 while the readings' errors are those of a perfect eye, falling to 0 at three times that; then less the share of readings that the program told |
//! | procedure | 20 | the share of seven steps that were gone through; what was skipped is named |
//! | setting | 15 | 1 at the recommended crossing, each ring up to 1° off; see below |
//! | remedy | 10 | as in formula 1 |
//! | verdict | 15 | see below |
//! | finding | 10 | 1 for what was wrong, found and said, or for nothing said where nothing was; less a half for each thing said that was not |
//! | thrift | 5 | 1 up to par, down to 0 at twice par |
//!
//! *Told.* What rests on readings that the program told is not the trainee's own: setting and verdict lose half
//! of the told share. *Not logged.* A remedy, or none, and nothing said to be wrong are guesses where no circle
//! was logged: without three readings of each channel in a round remedy and finding earn nothing, unless the
//! unit was refused.
//!
//! *Setting.* The doctrine is: the nearest crossing, where it is inside the window. At the recommended
//! crossing nothing is lost, however much of the window it uses and whatever less could be reached elsewhere.
//! Window use beyond what ±1° of each ring makes there costs, all of it at 0.6 more; so does distance from
//! boresight, all of it at half the boresight limit more. A unit that a remedy would have brought inside, and
//! that was left outside, earns half at most.
//!
//! *Verdict.* As the readings give it, by the exercise's own window, and right: 1. *Undecided*: 0.8. A *fail* of
//! a unit that could have been brought inside: 0.4; of one that is inside: 0.3. *Not measured*: 0.1, but 1 for a
//! unit that is to be refused. A *pass* of a unit that is outside, or to be refused: 0, and half of the total is
//! lost. Otherwise than the readings give, or by another window: 0.
//!
//! *Par* is 28 readings of the trainee's own in one round; 14 and a round more where a remedy or a fault makes
//! a second round.

use solver::{Channel, WindowUse};

use super::first::of_remedy;
use super::procedure::skipped;
use super::readings::{ReadError, read_errors, root_mean_square};
use super::{Formula, Score, ScorePart, falling, spent_words};
use crate::fact::{Signed, Verdict};
use crate::figures::{arcmin, percent};
use crate::fold::{Round, Session};
use crate::practice::fault::{Fault, PlacedFault};
use crate::practice::opening::COLLEAGUE;
use crate::practice::reach::beside_recommended;
use crate::practice::surroundings::limits;
use crate::practice::truth::Truth;

/// Its parts and their weights.
pub(super) const PARTS: [(ScorePart, f64); 7] = [
    (ScorePart::Reading, 25.0),
    (ScorePart::Procedure, 20.0),
    (ScorePart::Setting, 15.0),
    (ScorePart::Remedy, 10.0),
    (ScorePart::Verdict, 15.0),
    (ScorePart::Finding, 10.0),
    (ScorePart::Thrift, 5.0),
];

/// Readings of one round, and what another round makes it more.
const PAR: [usize; 2] = [28, 14];
/// Errors that chance gives a perfect eye, as a multiple of the station's own scatter.
const AS_A_PERFECT_EYE: f64 = 1.35;
/// How much beyond that earns nothing.
const READING_FALLS_OVER: f64 = 1.65;
/// Window use beyond the recommended crossing's at which the setting earns nothing.
const USE_FALLS_OVER: f64 = 0.6;

/// How a part is worked out, in a sentence or two.
pub(super) const fn rule(part: ScorePart) -> &'static str {
    match part {
        ScorePart::Reading => {
            "Each reading of your own is held against where the crosshair stood. Full while the errors are \
             those of a perfect eye on this bench, nothing at three times that; a reading that the program \
             told counts as none, and setting and verdict that rest on it lose half of their share."
        }
        ScorePart::Procedure => {
            "A seventh each: as found before anything is touched, both dioptres at zero, one approach, the \
             round closed, read before and after the locks, reseated, looked through at a far point."
        }
        ScorePart::Setting => {
            "Full at the recommended crossing, each ring up to 1° off, however much of the window it uses. \
             Nothing at 60 % of the window more, or half the boresight limit farther out; half at most where \
             a remedy would have brought it inside and it was left outside."
        }
        ScorePart::Remedy => super::first::rule(ScorePart::Remedy),
        ScorePart::Verdict => {
            "Full for the right verdict as the readings give it, by the exercise's own window; 80 % for \
             undecided, 40 % for failing a unit that could have been brought inside, 30 % for failing one \
             that is inside, 10 % for not measured unless the unit is to be refused. Passing a failing unit \
             earns nothing and halves the total."
        }
        ScorePart::Finding => {
            "Full for what was wrong, found and said with its channel, or for nothing said where nothing was \
             wrong. Each thing said that was not so costs half. Without both circles logged it is a guess, and earns \
             nothing; so is the remedy."
        }
        ScorePart::Thrift => {
            "Full up to 28 readings in one round, 42 in two where a remedy or a fault takes a second; nothing \
             at twice that, nor where the setting earns nothing."
        }
        // The parts of formula 1 alone.
        ScorePart::WindowUse | ScorePart::Boresight => "",
    }
}

/// One part as scored: which, what it earned, why.
type Earned = (ScorePart, f64, String);

/// The formula: the truth, the session as it was signed, what was signed and what the readings give.
pub(super) fn scored(
    truth: &Truth,
    session: &Session,
    signed: &Signed,
    concluded: Option<Verdict>,
) -> Score {
    let refused = truth.is_to_be_refused() && signed.verdict == Verdict::NotMeasured;
    let round = session.round_of(signed.round);
    let skipped = skipped(truth, session, round, refused);
    let steps = if refused { 1 } else { super::ProcedureStep::ALL.len() };
    let gone_through = (steps - skipped.len().min(steps)) as f64 / steps as f64;
    let words = if skipped.is_empty() {
        "Nothing was skipped.".to_owned()
    } else {
        let named: Vec<&str> = skipped.iter().map(|step| step.word()).collect();
        format!("Skipped: {}.", named.join("; "))
    };
    let errors = read_errors(&truth.unit, session);
    let told = told_share(&errors);
    let setting = of_setting(truth, refused);
    let counts = setting.1 > 0.0;
    let verdict = of_verdict(truth, session, signed.verdict, concluded);
    let logged = refused || session.rounds.iter().any(is_logged);
    let parts = vec![
        of_reading(truth, &errors),
        (ScorePart::Procedure, gone_through, words),
        own(setting, told),
        measured(of_remedy(truth), logged),
        own(verdict, told),
        measured(of_finding(truth, session), logged),
        of_thrift(truth, session, counts),
    ];
    let passed_failing = signed.verdict == Verdict::Pass && !truth.is_inside();
    Score::new(Formula::Second, parts, passed_failing)
}

/// The share of readings that the program told.
fn told_share(errors: &[ReadError]) -> f64 {
    let told = errors.iter().filter(|one| one.told).count();
    told as f64 / errors.len().max(1) as f64
}

/// What is left of a part that rests on readings which were told.
fn own((part, earned, mut words): Earned, told: f64) -> Earned {
    if told > 0.0 {
        words.push_str(" Half of the share that rests on told readings is not yours.");
    }
    (part, earned * (1.0 - 0.5 * told), words)
}

/// Whether both circles could be fitted to what was logged.
fn is_logged(round: &Round) -> bool {
    Channel::BOTH.iter().all(|&channel| round.fitted(channel).count() >= 3)
}

/// What is left of a part that is a guess unless circles were logged.
fn measured((part, earned, words): Earned, logged: bool) -> Earned {
    if logged {
        return (part, earned, words);
    }
    (part, 0.0, format!("{words} Without both circles logged it is a guess."))
}

fn of_reading(truth: &Truth, errors: &[ReadError]) -> Earned {
    let sigma_arcmin = truth.unit.hand().noise_arcmin;
    let Some(rms) = root_mean_square(errors, sigma_arcmin) else {
        return (ScorePart::Reading, 0.0, "Nothing was read.".to_owned());
    };
    let told = errors.iter().filter(|one| one.told).count();
    let own = 1.0 - told_share(errors);
    let earned = own * falling(rms, AS_A_PERFECT_EYE, READING_FALLS_OVER);
    let worst = errors.iter().max_by(|a, b| a.off_arcmin.total_cmp(&b.off_arcmin));
    let worst = worst.map_or_else(String::new, |one| {
        format!(
            " The farthest off is reading {} of the session, {} channel, by {}.",
            one.seq,
            one.channel,
            arcmin(one.off_arcmin)
        )
    });
    let told = match told {
        0 => String::new(),
        count => format!(" {count} of {} were told by the program.", errors.len()),
    };
    let words = format!("{rms:.1} times the scatter of a perfect eye.{worst}{told}");
    (ScorePart::Reading, earned, words)
}

fn of_setting(truth: &Truth, refused: bool) -> Earned {
    let scored = |earned, words| (ScorePart::Setting, earned, words);
    if refused {
        return scored(1.0, "The unit was refused: nothing is set.".to_owned());
    }
    let Some(used) = truth.used.map(|used: WindowUse| used.worst()) else {
        let words = super::RINGS_UNKNOWN;
        return scored(0.0, words.to_owned());
    };
    let Ok(beside) = beside_recommended(&truth.left) else {
        return scored(0.0, "The recommended place cannot be worked out.".to_owned());
    };
    let limit = limits().ok().and_then(|window| window.boresight_arcmin()).unwrap_or(1.0);
    let out = truth.boresight_arcmin.unwrap_or(f64::INFINITY);
    let near = falling(used, beside.used, USE_FALLS_OVER);
    let earned = near * falling(out, beside.boresight_arcmin, limit / 2.0);
    let curable = truth.reach.remedy.is_some() && truth.remedies.is_empty();
    let given_up = curable && used > 1.0;
    let earned = if given_up { earned.min(0.5) } else { earned };
    let kind = if beside.is_crossing { "crossing" } else { "compromise" };
    let mut words = format!(
        "Left at {} of the window, {} from boresight; within 1° of the recommended {kind} up to {} and {}.",
        percent(used),
        arcmin(out),
        percent(beside.used),
        arcmin(beside.boresight_arcmin)
    );
    if given_up {
        words.push_str(" A remedy would have brought it inside.");
    }
    scored(earned, words)
}

fn of_verdict(
    truth: &Truth,
    session: &Session,
    signed: Verdict,
    concluded: Option<Verdict>,
) -> Earned {
    let scored = |earned, words| (ScorePart::Verdict, earned, words);
    let inside = truth.is_inside();
    let is = match (truth.is_to_be_refused(), inside) {
        (true, _) => "to be refused",
        (false, true) => "inside",
        (false, false) => "outside",
    };
    if signed == Verdict::Pass && !inside {
        return scored(0.0, format!("Passed, but the unit is {is}."));
    }
    let own = session.window().is_some_and(|window| limits().is_ok_and(|own| window.limits == own));
    if !own {
        let words = "Judged by another window than the exercise's.";
        return scored(0.0, words.to_owned());
    }
    let nothing_to_judge = signed == Verdict::NotMeasured && concluded.is_none();
    if concluded != Some(signed) && !nothing_to_judge {
        return scored(0.0, super::not_by_readings(signed, concluded));
    }
    let earned = match signed {
        Verdict::Pass => 1.0,
        Verdict::NotMeasured if truth.is_to_be_refused() => 1.0,
        Verdict::Fail if truth.is_to_be_refused() => 0.6,
        Verdict::Fail if inside => 0.3,
        Verdict::Fail if truth.reach.is_hopeless() => 1.0,
        Verdict::Fail => 0.4,
        Verdict::Undecided => 0.8,
        Verdict::NotMeasured => 0.1,
    };
    scored(earned, super::beside_truth(signed, is))
}

fn of_finding(truth: &Truth, session: &Session) -> Earned {
    let said: Vec<PlacedFault> =
        PlacedFault::said(session).into_iter().map(|(_, found)| found).collect();
    let planted = truth.unit.planted();
    let right = |found: &PlacedFault| Some(*found) == planted;
    let wrong = said.iter().filter(|found| !right(found)).count();
    let base = match planted {
        Some(_) => f64::from(u8::from(said.iter().any(&right))),
        None => 1.0,
    };
    let earned = (base - 0.5 * wrong as f64).max(0.0);
    let mut words = match planted {
        None => "Nothing was wrong beside what the grade says.".to_owned(),
        Some(it) if base > 0.0 => format!("Wrong was: {it}. It was found."),
        Some(it) => format!("Wrong was: {it}. It was not said."),
    };
    let others: Vec<String> =
        said.iter().filter(|found| !right(found)).map(ToString::to_string).collect();
    if !others.is_empty() {
        words.push_str(&format!(" Said, but not so: {}.", others.join("; ")));
    }
    (ScorePart::Finding, earned, words)
}

fn of_thrift(truth: &Truth, session: &Session, counts: bool) -> Earned {
    let every = session.rounds.iter().flat_map(|round| &round.readings);
    let readings = every.filter(|entry| entry.hand != COLLEAGUE).count();
    let rounds = truth.rounds;
    let another = truth.reach.needs_remedy() || truth.unit.planted().is_some_and(takes_a_round);
    let (par, par_rounds) = if another { (PAR[0] + PAR[1], 2) } else { (PAR[0], 1) };
    let spent = readings + super::first::ROUND_COUNTS * rounds.saturating_sub(par_rounds);
    let earned = if counts { falling(spent as f64, par as f64, par as f64) } else { 0.0 };
    let mut words = format!("{}; par is {par} in {par_rounds}.", spent_words(readings, rounds));
    if !counts {
        words.push_str(super::NOT_COUNTED);
    }
    (ScorePart::Thrift, earned, words)
}

/// Whether putting a fault right ends the round.
const fn takes_a_round(planted: PlacedFault) -> bool {
    matches!(
        planted.fault,
        Fault::WrongFlip
            | Fault::MovedDioptre
            | Fault::BadSeating
            | Fault::DriftedBench
            | Fault::RemedyDidNotTake
    )
}
