//! Invented sessions in any number: the demo job, each with a unit, hand and circles of its own.

use std::path::Path;
use std::{fs, io};

use rand::rngs::ChaCha8Rng;
use rand::{RngExt as _, SeedableRng as _};
use record::file::{scan, write_all_lines};
use record::ledger::{Noting, note_all};
use record::{
    Body, Countersigned, Error, Fact, FileOptions, Lock, Opener, Purpose, Seen, Seq, Signed, Typed,
    conclude, fold,
};
use solver::PerChannel;
use solver::meet::{RELATION_TOLERANCE, meet};

use crate::bench::{Bench, circle};

/// The job that all of them tell.
const JOB: &[u8] = include_bytes!("../../../../demo-data/sessions/2026-11-23 0152.samepoint");
const HANDS: [&str; 3] = ["KT", "RB", "AM"];
const SUPERVISOR: &str = "MB";
const PROGRAM: &str = "samepoint 0.1.0";

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

/// Whether sessions are signed and countersigned.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Answered {
    /// Signed, countersigned, and both noted in the shop's ledger.
    Signed,
    /// Not one.
    Not,
}

/// Makes so many sessions in the `sessions/` of a shop and says how many bytes they are.
pub(crate) fn sessions(shop: &Path, count: u64, answered: Answered) -> Result<u64, Error> {
    let (job, folder) = (job()?, shop.join("sessions"));
    let not_written = |path: &Path, why: io::Error| Error::FactNotWritable {
        what: format!("{}: {why}", path.display()),
    };
    fs::create_dir_all(&folder).map_err(|why| not_written(&folder, why))?;
    let mut bytes = 0;
    for seed in 0..count {
        let mut facts = varied(&job, seed)?;
        if answered == Answered::Signed {
            sign(&mut facts)?;
        }
        let mut written = Vec::new();
        write_all_lines(&facts, &mut written)?;
        bytes += written.len() as u64;
        let path = folder.join(format!("2026-11-23 {seed:05}.samepoint"));
        fs::write(&path, written).map_err(|why| not_written(&path, why))?;
    }
    if answered == Answered::Signed {
        let (program, hand) = (PROGRAM.to_owned(), HANDS[0].to_owned());
        let options = FileOptions::real(Opener::here(&hand));
        note_all(shop, &Noting { program, hand, agreed: true, options })?;
    }
    Ok(bytes)
}

/// Signs a session as it is, and countersigns it.
fn sign(facts: &mut Vec<Fact>) -> Result<(), Error> {
    let session = fold(facts);
    let conclusion = conclude(&session).map_err(|_| Error::NoRound)?;
    let signed = Signed {
        round: conclusion.round,
        verdict: conclusion.verdict,
        rule: conclusion.rule,
        program: PROGRAM.to_owned(),
        window: session.windows.last().map(|said| said.seq),
        station: session.stations.last().map(|said| said.seq),
        rests_on: conclusion.rests_on.clone(),
        numbers: conclusion.numbers(),
        statement: "set and locked as shown".to_owned(),
    };
    let signature = add(facts, None, Body::Signed(signed));
    let mut lines = Vec::new();
    write_all_lines(facts, &mut lines)?;
    // Each line begins with its hash.
    let last = lines.split(|byte| *byte == b'\n').rfind(|line| !line.is_empty());
    let last_hash = last.and_then(|line| line.get(2..66)).unwrap_or_default();
    let countersigned = Countersigned {
        signature,
        last_hash: String::from_utf8_lossy(last_hash).into_owned(),
        comment: String::new(),
        hands_sha256: None,
    };
    add(facts, Some(SUPERVISOR), Body::Countersigned(countersigned));
    Ok(())
}

/// Adds a fact, by this hand or by the last one's; its number.
fn add(facts: &mut Vec<Fact>, hand: Option<&str>, body: Body) -> Seq {
    let Some(Fact { seq, time, hand: last, .. }) = facts.last().cloned() else { return 0 };
    let (seq, hand) = (seq + 1, hand.map_or(last, str::to_owned));
    facts.push(Fact { seq, time, hand, body });
    seq
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
