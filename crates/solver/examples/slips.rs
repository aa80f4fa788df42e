//! How often a slip at the bench is seen, and how often a clean unit is accused:
//! `cargo run -p solver --example slips`.
//!
//! 500 seeded units a line, each with readings all round both rings, one slip planted in one of them (or
//! none), solved as the bench does. A slip that moves its reading by less than 3′ is drawn again: nobody
//! could see it, and it hurts nobody. What may follow, the first that is so:
//!
//! - *named*: the reading is pointed at, and what was misread is said rightly;
//! - *pointed at*: the reading is, the slip is not named, or named wrongly;
//! - *another*: only other readings are pointed at;
//! - *does not fit*: no reading is, but the channel is said not to fit (no ±, no green);
//! - *sense*: the crosshairs are said to run opposite ways;
//! - *silent*: nothing is said.
#![allow(clippy::print_stdout, reason = "an example that prints a table")]

use solver::diagnostic::{Cause, Diagnosis, Slip, diagnose_both};
use solver::monte_carlo::Source;
use solver::{
    Channel, Direction, OffsetCircle, PerChannel, Phase, Problem, Reading, Sense, Solution, Spread,
    solve,
};

/// Units a line.
const UNITS: usize = 500;
const SIGMA_ARCMIN: f64 = 0.3;
const RING_SIGMA_DEG: f64 = 0.5;
/// A slip moves its reading by this at least.
const SEEN_ARCMIN: f64 = 3.0;

/// What goes wrong.
#[derive(Clone, Copy, PartialEq)]
enum Planted {
    Nothing,
    SignOfX,
    SignOfY,
    Swapped,
    OtherChannel,
    TenMore,
    RingBy(f64),
    Exchanged,
}

impl Planted {
    const ALL: [Self; 9] = [
        Self::Nothing,
        Self::SignOfX,
        Self::SignOfY,
        Self::Swapped,
        Self::OtherChannel,
        Self::TenMore,
        Self::RingBy(10.0),
        Self::RingBy(60.0),
        Self::Exchanged,
    ];

    fn word(self) -> String {
        match self {
            Self::Nothing => "nothing".to_owned(),
            Self::SignOfX => "sign of x forgotten".to_owned(),
            Self::SignOfY => "sign of y forgotten".to_owned(),
            Self::Swapped => "x and y swapped".to_owned(),
            Self::OtherChannel => "the other channel’s reading".to_owned(),
            Self::TenMore => "x 10′ too large".to_owned(),
            Self::RingBy(deg) => format!("ring misread by {deg:.0}°"),
            Self::Exchanged => "two readings exchanged".to_owned(),
        }
    }

    /// Whether a cause is this slip.
    fn is(self, cause: Option<Cause>) -> bool {
        match (self, cause) {
            (Self::RingBy(deg), Some(Cause::Ring { off_deg, .. })) => (off_deg - deg).abs() < 5.0,
            (_, Some(Cause::Graticule { slip, .. } | Cause::Ring { or: slip @ Some(_), .. })) => {
                match self {
                    Self::SignOfX => slip == Some(Slip::SignOfX),
                    Self::SignOfY => slip == Some(Slip::SignOfY),
                    Self::Swapped => slip == Some(Slip::Swapped),
                    Self::OtherChannel => slip == Some(Slip::OtherChannel),
                    Self::TenMore => slip.is_none(),
                    _ => false,
                }
            }
            (Self::Exchanged, Some(Cause::Exchanged { .. })) => true,
            _ => false,
        }
    }
}

/// What is said.
#[derive(Clone, Copy, PartialEq)]
enum Said {
    Named,
    PointedAt,
    Another,
    DoesNotFit,
    Sense,
    Nothing,
}

const SAID: [(Said, &str); 6] = [
    (Said::Named, "named"),
    (Said::PointedAt, "pointed at"),
    (Said::Another, "another"),
    (Said::DoesNotFit, "does not fit"),
    (Said::Sense, "sense"),
    (Said::Nothing, "silent"),
];

fn main() {
    for stated in [true, false] {
        for count in [4_u8, 6, 8] {
            let known = if stated { "σ stated" } else { "σ not stated" };
            println!("\n{count} readings a channel, {known}; % of {UNITS} units");
            let heads: Vec<String> = SAID.iter().map(|(_, word)| format!("{word:>14}")).collect();
            println!("{:<30}{}", "planted", heads.concat());
            for planted in Planted::ALL {
                println!("{:<30}{}", planted.word(), line(planted, count, stated));
            }
        }
    }
}

fn line(planted: Planted, count: u8, stated: bool) -> String {
    let mut source = Source::seeded(29);
    let mut tally = [0_usize; SAID.len()];
    for _ in 0..UNITS {
        let said = one(planted, count, stated, &mut source);
        for (seen, (kind, _)) in tally.iter_mut().zip(SAID) {
            *seen += usize::from(kind == said);
        }
    }
    let share = |seen: usize| format!("{:>14.1}", 100.0 * seen as f64 / UNITS as f64);
    tally.into_iter().map(share).collect()
}

/// One unit, worked and judged.
fn one(planted: Planted, count: u8, stated: bool, source: &mut Source) -> Said {
    let (readings, wrong) = loop {
        let truth = unit(source);
        let clean = PerChannel::from_fn(|channel| read(&truth[channel], count, source));
        if let Some(slipped) = slip(planted, clean, &truth, source) {
            break slipped;
        }
    };
    let spread = Spread {
        sigma_arcmin: stated.then_some(SIGMA_ARCMIN),
        ring_sigma_deg: if stated { RING_SIGMA_DEG } else { 0.0 },
    };
    let Ok(solution) = solve(&Problem { readings: readings.clone(), spread, ..Problem::default() })
    else {
        return Said::Nothing;
    };
    let fits = solution.fits.as_ref().map(|fit| fit.as_ref().ok());
    judged(planted, &solution, &diagnose_both(fits, &readings), &wrong)
}

fn judged(
    planted: Planted,
    solution: &Solution,
    found: &PerChannel<Vec<Diagnosis>>,
    wrong: &[(Channel, usize)],
) -> Said {
    let at = |&(channel, index): &(Channel, usize)| {
        found[channel].get(index).filter(|found| found.stands_out)
    };
    let mut pointed = wrong.iter().filter_map(at).peekable();
    if pointed.peek().is_some() {
        return if pointed.any(|found| planted.is(found.cause)) {
            Said::Named
        } else {
            Said::PointedAt
        };
    }
    if Channel::BOTH.iter().any(|&channel| found[channel].iter().any(|found| found.stands_out)) {
        Said::Another
    } else if solution.misfits().next().is_some() {
        Said::DoesNotFit
    } else if solution.senses_differ() {
        Said::Sense
    } else {
        Said::Nothing
    }
}

/// Two circles as units have them: bores and tubes off by minutes, decentres about 50′.
fn unit(source: &mut Source) -> PerChannel<OffsetCircle> {
    PerChannel::from_fn(|_| OffsetCircle {
        centre: source.direction(12.0),
        radius_arcmin: source.rectangular(40.0, 60.0),
        phase: Some(Phase { zero_deg: source.rectangular(0.0, 360.0), sense: Sense::With }),
    })
}

fn read(circle: &OffsetCircle, count: u8, source: &mut Source) -> Vec<Reading> {
    let begin_deg = (source.rectangular(0.0, 24.0)).floor() * 15.0;
    (0..count)
        .filter_map(|k| {
            let shown_deg = begin_deg + 360.0 * f64::from(k) / f64::from(count);
            let at = circle.at_ring(shown_deg + RING_SIGMA_DEG * source.normal())?;
            let seen = at + source.direction(SIGMA_ARCMIN);
            // Read to a tenth.
            let tenth = |arcmin: f64| (arcmin * 10.0).round() / 10.0;
            let direction = Direction::new(tenth(seen.x_arcmin), tenth(seen.y_arcmin));
            Some(Reading::at_ring(shown_deg.rem_euclid(360.0), direction))
        })
        .collect()
}

/// Both channels' readings, and which of them are wrong.
type Slipped = (PerChannel<Vec<Reading>>, Vec<(Channel, usize)>);

/// The readings with a slip, and which are wrong; `None` where it moves none of them enough.
fn slip(
    planted: Planted,
    mut readings: PerChannel<Vec<Reading>>,
    truth: &PerChannel<OffsetCircle>,
    source: &mut Source,
) -> Option<Slipped> {
    if planted == Planted::Nothing {
        return Some((readings, Vec::new()));
    }
    let channel = if source.rectangular(0.0, 1.0) < 0.5 { Channel::Left } else { Channel::Right };
    let count = readings[channel].len();
    let index = ((source.rectangular(0.0, 1.0) * count as f64) as usize).min(count - 1);
    let was = readings[channel][index];
    let Direction { x_arcmin: x, y_arcmin: y } = was.direction;
    let other = truth[channel.other()].at_ring(was.ring_deg?)?;
    let mut wrong = vec![(channel, index)];
    let now = match planted {
        Planted::SignOfX => Reading { direction: Direction::new(-x, y), ..was },
        Planted::SignOfY => Reading { direction: Direction::new(x, -y), ..was },
        Planted::Swapped => Reading { direction: Direction::new(y, x), ..was },
        Planted::OtherChannel => {
            Reading { direction: other + source.direction(SIGMA_ARCMIN), ..was }
        }
        Planted::TenMore => Reading { direction: Direction::new(x + 10.0, y), ..was },
        Planted::RingBy(deg) => {
            Reading { ring_deg: was.ring_deg.map(|ring_deg| (ring_deg + deg) % 360.0), ..was }
        }
        Planted::Exchanged => {
            let next = (index + 1) % count;
            wrong.push((channel, next));
            let swapped = readings[channel][next].direction;
            readings[channel][next].direction = was.direction;
            Reading { direction: swapped, ..was }
        }
        Planted::Nothing => was,
    };
    readings[channel][index] = now;
    let meant = truth[channel].at_ring(now.ring_deg?)?;
    (now.direction.distance_arcmin(meant) >= SEEN_ARCMIN).then_some((readings, wrong))
}
