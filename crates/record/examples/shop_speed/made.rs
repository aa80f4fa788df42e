//! Invented sessions in any number: the demo job, each with a unit, hand and circles of its own.

use std::path::Path;
use std::{fs, io};

use rand::rngs::ChaCha8Rng;
use rand::{RngExt as _, SeedableRng as _};
use record::file::{scan, write_all_lines};
use record::{Body, Error, Fact, Lock, Purpose, Seen, Typed};
use solver::PerChannel;
use solver::meet::{RELATION_TOLERANCE, meet};

use crate::bench::{Bench, circle};

/// The job that all of them tell.
const JOB: &[u8] = include_bytes!("../../../../demo-data/sessions/2026-11-23 0152.samepoint");
const HANDS: [&str; 3] = ["KT", "RB", "AM"];

/// The job's facts without its setting, its readings with open locks, and the last two: 40 facts.
fn job() -> Result<Vec<Fact>, Error> {
    let scanned = scan(Path::new("the demo job"), JOB)?;
    let kept = |fact: &Fact| match &fact.body {
        Body::SettingChosen(_) => false,
        Body::Reading(reading) => reading.lock != Some(Lock::Before),
        _ => true,
    };
    let mut facts: Vec<Fact> = scanned.facts.into_iter().filter(kept).collect();
    let spare = facts.len().saturating_sub(40);
    let from = facts.len().saturating_sub(spare + 1);
    facts.drain(from..from + spare);
    for (seq, fact) in (1..).zip(&mut facts) {
        fact.seq = seq;
    }
    Ok(facts)
}

/// Makes so many sessions in a folder and says how many bytes they are.
pub(crate) fn sessions(folder: &Path, count: u64) -> Result<u64, Error> {
    let job = job()?;
    let mut bytes = 0;
    for seed in 0..count {
        let mut written = Vec::new();
        write_all_lines(&varied(&job, seed)?, &mut written)?;
        bytes += written.len() as u64;
        let path = folder.join(format!("2026-11-23 {seed:05}.samepoint"));
        fs::write(&path, written).map_err(|why: io::Error| Error::FactNotWritable {
            what: format!("{}: {why}", path.display()),
        })?;
    }
    Ok(bytes)
}

fn varied(job: &[Fact], seed: u64) -> Result<Vec<Fact>, Error> {
    let mut chance = ChaCha8Rng::seed_from_u64(seed);
    let mut within = |low: f64, high: f64| low + (high - low) * chance.random::<f64>();
    let mut drawn = || {
        let centre = (within(-9.0, 9.0), within(-9.0, 9.0));
        circle(centre, within(20.0, 32.0), within(0.0, 360.0))
    };
    let circles = PerChannel { left: drawn(), right: drawn() };
    let met = meet(&circles.left, &circles.right, RELATION_TOLERANCE)?;
    let rings = met.nearest().map_or(PerChannel::default(), |nearest| nearest.ring_deg);
    let mut bench = Bench::new(seed, circles.left, circles.right);
    let hand = HANDS.get(seed as usize % HANDS.len()).copied().unwrap_or_default();
    let mut facts = job.to_vec();
    for fact in &mut facts {
        hand.clone_into(&mut fact.hand);
        match &mut fact.body {
            Body::Header(header) => header.session = format!("{seed:032x}"),
            Body::Unit(unit) => unit.name = format!("{seed:05}"),
            Body::Reading(reading) => {
                let purpose = reading.purpose;
                if let Seen::Direction(seen) = &mut reading.seen {
                    let logged = seen.ring_deg.as_ref().map_or(0.0, Typed::value);
                    let set = rings[seen.channel].filter(|_| purpose == Purpose::Confirm);
                    let ring_deg = set.map_or(logged, f64::round);
                    let at = bench.read(seen.channel, ring_deg);
                    seen.ring_deg = Some(Typed::parse(&ring_deg.to_string())?);
                    seen.x = Typed::parse(&format!("{:.1}", at.x_arcmin))?;
                    seen.y = Typed::parse(&format!("{:.1}", at.y_arcmin))?;
                }
            }
            _ => {}
        }
    }
    Ok(facts)
}
