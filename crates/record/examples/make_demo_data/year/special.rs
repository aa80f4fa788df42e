//! Sessions that are made from others: units that came back, the blind check, the bench that shows only
//! the difference; and the two files that were tampered with.

use jiff::ToSpan as _;
use jiff::civil::date;
use record::{
    Approach, Body, DirectionReading, Error, Fact, Link, Note, Number, Purpose, Reading,
    ReadingUnit, RelativeReading, RingNumbering, Seen, Seq, Typed, Verdict, conclude, figures,
    fold,
};
use solver::{Channel, Direction, Misalignment, PerChannel};

use super::Told;
use super::job::{SUPERVISOR, answer, confirm, look, measure};
use super::log::{Begin, Log, bytes_of, last_hash};
use super::plan::{DAMAGED, Done, FORGED, begin, left_at_deg};
use super::shelf;
use super::truth::Draw;
use crate::shop;

/// How far a knock moved the right channel of the unit that came back, arcminutes.
const KNOCK_ARCMIN: (f64, f64) = (3.0, -2.0);

/// Sessions that follow from others.
pub(crate) fn made_from(done: &[Done]) -> Result<Vec<Told>, Error> {
    let whole = |station, from, to| whole(done, station, from, to);
    let mut told = vec![only_the_difference()?];
    if let Some(knocked) = whole("Bench 5", 8, 30) {
        let (x, y) = (figures::arcmin(KNOCK_ARCMIN.0), figures::arcmin(KNOCK_ARCMIN.1));
        let story = format!(
            "The unit of {} again after a knock: its right channel moved by {x}, {y} and nothing else.",
            knocked.job.day
        );
        told.push(came_back(knocked, "Bench 5", KNOCK_ARCMIN, 901, &story)?);
    }
    if let Some(untouched) = untouched(done) {
        told.push(came_back(untouched, "Bench 4", (0.0, 0.0), 902, &format!(
            "The unit of {} again, untouched, on the bench that wanders: both channels seem to have \
             moved by what Bench 4 adds.",
            untouched.job.day
        ))?);
    }
    if let Some(signed) = whole("Bench 5", 42, 51) {
        told.push(blind(signed)?);
    }
    Ok(told)
}

/// The unit that comes back untouched, and is sent to the second shop in between.
pub(crate) fn untouched(done: &[Done]) -> Option<&Done> {
    whole(done, "Bench 5", 30, 42)
}

/// The first of some jobs on a station that passed as it came.
fn whole<'a>(done: &'a [Done], station: &str, from: u64, to: u64) -> Option<&'a Done> {
    done.iter().find(|one| {
        one.one_round
            && one.job.station == station
            && (from..to).contains(&one.job.number)
            && ![DAMAGED, FORGED].contains(&one.job.number)
            && conclude(&fold(&one.facts)).is_ok_and(|found| found.verdict == Verdict::Pass)
    })
}

/// A unit some months later, as found where its rings were left.
fn came_back(
    done: &Done,
    station: &'static str,
    moved: (f64, f64),
    seed: u64,
    story: &str,
) -> Result<Told, Error> {
    let job = &done.job;
    let day = date(2026, 11, 9).checked_add(((seed % 10) as i64).days()).unwrap_or(job.day);
    let mut log = begin(job, day, station, "KT", seed, "does it still hold")?;
    log.bench.circles = done.left_with;
    let right = &mut log.bench.circles.right.centre;
    *right = tenths(*right + Direction::new(moved.0, moved.1));
    let circles = log.bench.circles;
    let mut draw = Draw::new(seed);
    measure(&mut log, left_at_deg(done), job.truth.lock_turn_deg, &mut draw)?;
    look(&mut log, record::LookingResult::Fused)?;
    let signature = log.sign("set anew and locked as shown")?;
    answer(&mut log, signature, "", true)?;
    Ok(Told {
        file: format!("{day} {}.samepoint", job.unit.name),
        story: format!("{}, {station}, KT. {}", job.housing.name, story),
        left: circles.left,
        right: circles.right,
        zero: log.zero,
        bytes: log.bytes()?,
    })
}

/// True values as the README tells them.
fn tenths(direction: Direction) -> Direction {
    let tenth = |value: f64| (10.0 * value).round() / 10.0 + 0.0;
    Direction::new(tenth(direction.x_arcmin), tenth(direction.y_arcmin))
}

/// The supervisor's own confirm readings of a signed session, on the same bench a day later.
fn blind(done: &Done) -> Result<Told, Error> {
    let job = &done.job;
    let signed_by = done.facts.iter().rposition(|fact| matches!(fact.body, Body::Signed(_)));
    let signed = done.facts.get(..=signed_by.unwrap_or(0)).unwrap_or_default();
    let session = fold(signed);
    let hash = last_hash(&bytes_of(signed)?)?;
    let link = Link::to(&session, &done.told.file, &hash)
        .map_err(|why| Error::FactNotWritable { what: why.to_string() })?;
    let day = job.day.tomorrow().unwrap_or(job.day);
    let station = shelf::station(job.station, day)?;
    let begun = Begin {
        day,
        hand: SUPERVISOR,
        seed: 903,
        job: String::new(),
        complaint: "",
        station: station.clone(),
        window: shelf::strict_window()?,
        housing: job.housing.clone(),
        unit: job.unit.clone(),
    };
    let mut log = Log::begin(begun, &done.left_with, link.beginning(&session, Some(station)))?;
    let turned = PerChannel::default();
    // Locks stay tight: the readings with open locks are left out.
    let (rings, mut draw) = (left_at_deg(done), Draw::new(903));
    let from = log.facts.len();
    confirm(&mut log, rings, turned, &mut draw)?;
    let tight = |fact: &Fact| !matches!(&fact.body, Body::Reading(reading) if reading.lock == Some(record::Lock::Before));
    let kept: Vec<Fact> = log.facts.drain(from..).filter(tight).collect();
    for fact in kept {
        let seq = log.facts.len() as Seq + 1;
        log.facts.push(Fact { seq, ..fact });
    }
    Ok(Told {
        file: format!("{day} {} blind.samepoint", job.unit.name),
        story: format!(
            "{}, {}, {SUPERVISOR}. The supervisor’s own confirm readings of `{}`, taken blind.",
            job.housing.name, job.station, done.told.file
        ),
        left: done.left_with.left,
        right: done.left_with.right,
        zero: log.zero,
        bytes: log.bytes()?,
    })
}

/// A session on Bench 6, which shows only how far the channels differ.
fn only_the_difference() -> Result<Told, Error> {
    let day = date(2026, 11, 13);
    let mut draw = Draw::new(904);
    let housing = shelf::housings().remove(2);
    let truth = draw.unit(&housing.name);
    let begun = Begin {
        day,
        hand: "RB",
        seed: 904,
        job: "W-2188".into(),
        complaint: "eyes tire",
        station: shelf::station("Bench 6", day)?,
        window: shelf::strict_window()?,
        unit: shop::unit("0460", &housing.name, RingNumbering::Clockwise, ""),
        housing,
    };
    let mut log = Log::begin(begun, &truth.circles, Vec::new())?;
    for (left_deg, right_deg) in [
        (0.0, 0.0),
        (90.0, 0.0),
        (180.0, 0.0),
        (180.0, 90.0),
        (180.0, 210.0),
        (300.0, 210.0),
        (0.0, 0.0),
    ] {
        let left = log.bench.read(Channel::Left, left_deg);
        let right = log.bench.read(Channel::Right, right_deg);
        let m = Misalignment::between(left, right);
        let typed = |value: f64| Typed::parse(&format!("{value:.1}"));
        let ring = |deg: f64| Typed::parse(&deg.to_string()).map(Some);
        let seen = RelativeReading {
            ring_deg: PerChannel { left: ring(left_deg)?, right: ring(right_deg)? },
            x: typed(m.x_arcmin)?,
            y: typed(m.y_arcmin)?,
            unit: ReadingUnit::Arcmin,
            approach: PerChannel { left: Approach::Clockwise, right: Approach::Clockwise },
        };
        let round = log.round;
        let blank = DirectionReading {
            channel: Channel::Left,
            ring_deg: None,
            x: Typed::parse("0")?,
            y: Typed::parse("0")?,
            unit: ReadingUnit::Arcmin,
            approach: Approach::NotNoted,
        };
        let reading = Reading::direction(round, Purpose::Log, blank);
        log.add(30, Body::Reading(Reading { seen: Seen::Relative(seen), ..reading }))?;
    }
    log.add(
        40,
        Body::Note(Note {
            text: "Set by the difference alone; to be confirmed on Bench 5.".into(),
            about: None,
        }),
    )?;
    Ok(Told {
        file: format!("{day} 0460.samepoint"),
        story: "Turnstone, Bench 6, RB. Read on a bench that shows only the difference of the channels: \
                rings that agree can be told, where they point cannot."
            .into(),
        left: truth.circles.left,
        right: truth.circles.right,
        zero: Direction::BORESIGHT,
        bytes: log.bytes()?,
    })
}

/// Forges one file and damages another.
pub(crate) fn spoil(done: &mut [Done]) -> Result<(), Error> {
    for one in done {
        match one.job.number {
            FORGED => one.told.bytes = forged(&one.facts)?,
            DAMAGED => {
                let middle = one.told.bytes.len() / 2;
                if let Some(byte) = one.told.bytes.get_mut(middle) {
                    *byte ^= 4;
                }
            }
            _ => {}
        }
    }
    Ok(())
}

/// The signature says pass and a small window use; every line's hash is made anew.
fn forged(facts: &[Fact]) -> Result<Vec<u8>, Error> {
    let mut facts = facts.to_vec();
    for fact in &mut facts {
        if let Body::Signed(signed) = &mut fact.body {
            signed.verdict = Verdict::Pass;
            for Number { name, value } in &mut signed.numbers {
                if name == "window_use" {
                    *value = 0.42;
                }
            }
        }
    }
    bytes_of(&facts)
}
