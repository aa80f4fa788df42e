//! Which unit comes when, to whom, on which bench, and what goes wrong with it.

use jiff::ToSpan as _;
use jiff::civil::{Date, Weekday, date};
use record::{Error, Fact, Housing, LookingResult, RingNumbering, Unit, fold};
use solver::{Channel, OffsetCircle, PerChannel, Sense};

use super::Told;
use super::job::{answer, look, measure, remark};
use super::log::{Begin, Log};
use super::truth::{self, Draw};
use super::{SecondShop, second_shop, shelf, special};
use crate::shop;

/// Jobs of the year that nothing else is told of by itself.
const JOBS: u64 = 56;

/// From which the whole year is drawn: one of sixty tried, so that nothing but what is planted comes out
/// as different by chance.
const SEED: u64 = 24;

/// What is special about a job, by its number.
pub(crate) const DAMAGED: u64 = 12;
const RETURNED_AND_DONE: u64 = 20;
const BACKWARDS: u64 = 27;
pub(crate) const FORGED: u64 = 31;
const DOUBLE: u64 = 35;
const RETURNED: u64 = 47;
/// Weak eyepieces in pods far apart: circles that do not meet, and nothing to shim.
const DO_NOT_MEET: [u64; 3] = [8, FORGED, 40];
const NOT_SIGNED: [u64; 2] = [54, 55];
/// Signed, and nobody looked at them yet.
const WAITING: [u64; 3] = [51, 52, 53];

/// A job as it is drawn.
pub(crate) struct Job {
    pub(crate) number: u64,
    pub(crate) day: Date,
    pub(crate) station: &'static str,
    pub(crate) hand: &'static str,
    pub(crate) housing: Housing,
    pub(crate) unit: Unit,
    pub(crate) truth: truth::Unit,
}

/// A job done: how it is told, its facts, and the circles it was left with.
pub(crate) struct Done {
    pub(crate) job: Job,
    pub(crate) told: Told,
    pub(crate) facts: Vec<Fact>,
    pub(crate) left_with: PerChannel<OffsetCircle>,
    /// Left as it came but for its rings: one round.
    pub(crate) one_round: bool,
}

fn job(number: u64) -> Job {
    let mut draw = Draw::new(SEED * 1000 + number);
    let kind = draw.pick(&["Redshank", "Sandpiper", "Turnstone"]);
    let apart = DO_NOT_MEET.contains(&number);
    let housing = if number == BACKWARDS || apart { "Turnstone" } else { kind };
    let station = draw.pick(&["Bench 4", "Bench 5"]);
    let hand = draw.pick(&["KT", "RB", "JO", truth::HURRIED]);
    let mut unit_truth = draw.unit(housing);
    if apart {
        for (channel, pull) in [(Channel::Left, -14.0), (Channel::Right, 14.0)] {
            let x = &mut unit_truth.circles[channel].centre.x_arcmin;
            *x = (10.0 * (*x + pull)).round() / 10.0;
        }
        unit_truth.circles.left.radius_arcmin = 9.0;
        unit_truth.circles.right.radius_arcmin = 8.0;
    }
    let series = match housing {
        "Redshank" => 2,
        "Sandpiper" => 3,
        _ => 4,
    };
    let name = format!("0{series}{number:02}");
    let backwards = number == BACKWARDS;
    let ring = if backwards { RingNumbering::NotSaid } else { RingNumbering::Clockwise };
    if backwards && let Some(phase) = &mut unit_truth.circles.right.phase {
        phase.sense = Sense::Against;
    }
    let days = (number * 62 / 10) as i64;
    let day = date(2025, 12, 2).checked_add(days.days()).unwrap_or(date(2025, 12, 2));
    let housing = shelf::housings().into_iter().find(|held| held.name == housing);
    let housing = housing.unwrap_or_else(|| Housing::named(""));
    Job {
        number,
        day: working_day(day),
        station,
        hand,
        unit: shop::unit(&name, &housing.name, ring, ""),
        housing,
        truth: unit_truth,
    }
}

/// Saturdays' work is done on Friday, Sundays' on Monday.
fn working_day(day: Date) -> Date {
    let moved = match day.weekday() {
        Weekday::Saturday => day.yesterday(),
        Weekday::Sunday => day.tomorrow(),
        _ => return day,
    };
    moved.unwrap_or(day)
}

/// Every session of the year, and the second shop.
pub(crate) fn told() -> Result<(Vec<Told>, SecondShop), Error> {
    let mut done = (0..JOBS).map(|number| work(job(number))).collect::<Result<Vec<_>, _>>()?;
    let mut told = special::made_from(&done)?;
    let sent = special::untouched(&done).ok_or(Error::NoRound)?;
    let second = second_shop::of(sent)?;
    special::spoil(&mut done)?;
    told.extend(done.into_iter().map(|done| done.told));
    Ok((told, second))
}

/// Begins a job's session.
pub(crate) fn begin(
    job: &Job,
    day: Date,
    station: &str,
    hand: &str,
    seed: u64,
    complaint: &str,
) -> Result<Log, Error> {
    let begin = Begin {
        day,
        hand,
        seed,
        job: format!("W-{}", 1700 + 9 * job.number + seed % 9),
        complaint,
        station: shelf::station(station, day)?,
        window: shelf::strict_window()?,
        housing: job.housing.clone(),
        unit: job.unit.clone(),
    };
    Log::begin(begin, &job.truth.circles, Vec::new())
}

fn work(job: Job) -> Result<Done, Error> {
    let seed = SEED * 10_000 + job.number;
    let mut draw = Draw::new(seed);
    let complaint = draw.pick(&["", "eyes tire", "yearly check", "double image at times"]);
    let mut log = begin(&job, job.day, job.station, job.hand, seed, complaint)?;
    let came_at = PerChannel { left: 45.0, right: 210.0 };
    measure(&mut log, came_at, job.truth.lock_turn_deg, &mut draw)?;
    let double = job.number == DOUBLE;
    look(&mut log, if double { LookingResult::Double } else { LookingResult::Fused })?;
    if job.number == BACKWARDS {
        remark(&mut log, "right ring: figures run the other way round, see eyepiece")?;
    }
    finish(&mut log, &job)?;
    let session = fold(&log.facts);
    let one_round = session.rounds.len() == 1;
    let told = Told {
        file: format!("{} {}.samepoint", job.day, job.unit.name),
        story: story(&job, one_round),
        left: job.truth.circles.left,
        right: job.truth.circles.right,
        zero: log.zero,
        bytes: log.bytes()?,
    };
    Ok(Done { left_with: log.bench.circles, facts: log.facts, told, job, one_round })
}

/// Who signs and what the supervisor says.
fn finish(log: &mut Log, job: &Job) -> Result<(), Error> {
    if NOT_SIGNED.contains(&job.number) {
        return Ok(());
    }
    let signature = log.sign("set and locked as shown")?;
    match job.number {
        number if WAITING.contains(&number) => Ok(()),
        RETURNED_AND_DONE => {
            answer(
                log,
                signature,
                "the reseated readings were not noted as to hand; read again",
                false,
            )?;
            // Read once more, both channels, in the same round.
            let rings =
                log.session().round().and_then(|round| Some(round.settings.last()?.1.ring_deg));
            if let Some(PerChannel { left: Some(left), right: Some(right) }) = rings {
                let rings = PerChannel { left, right };
                super::job::confirm(log, rings, job.truth.lock_turn_deg, &mut Draw::new(77))?;
            }
            let again = log.sign("read again as asked")?;
            answer(log, again, "", true)
        }
        RETURNED => answer(
            log,
            signature,
            "confirm readings at the narrow and wide stops are missing; read both and sign again",
            false,
        ),
        _ => answer(log, signature, "", true),
    }
}

fn story(job: &Job, one_round: bool) -> String {
    let said = match job.number {
        DAMAGED => {
            "One bit of the file was flipped on its way through a bad cable: the chain breaks there."
        }
        RETURNED_AND_DONE => {
            "Returned by the supervisor, read again, signed anew and countersigned."
        }
        BACKWARDS => "The right ring is numbered backwards: its crosshair runs against it.",
        FORGED => {
            "Forged: the readings fail, the signature was rewritten to say pass, and the chain was \
             made anew. It is intact, and the verdict does not follow."
        }
        DOUBLE => "Whoever looked through it saw double, so a pass is undecided.",
        number if DO_NOT_MEET.contains(&number) => {
            "Weak eyepieces in a unit whose tubes pull apart: the circles do not meet, the housing takes no \
             shims, and the best compromise fails."
        }
        RETURNED => "Returned by the supervisor with a comment, and waiting for its technician.",
        number if NOT_SIGNED.contains(&number) => "Read and not signed yet.",
        number if WAITING.contains(&number) => "Signed, and nobody looked at it yet.",
        _ if one_round => "",
        _ => "Shimmed after its first round.",
    };
    let on = format!("{}, {}, {}.", job.housing.name, job.station, job.hand);
    if said.is_empty() { on } else { format!("{on} {said}") }
}

/// Where the rings of a session were left: as chosen last, and turned by its locks.
pub(crate) fn left_at_deg(done: &Done) -> PerChannel<f64> {
    let session = fold(&done.facts);
    let chosen = session.round().and_then(|round| round.settings.last());
    PerChannel::from_fn(|channel: Channel| {
        let ring = chosen.and_then(|(_, chosen)| chosen.ring_deg[channel]).unwrap_or(0.0);
        ring + done.job.truth.lock_turn_deg[channel]
    })
}
