//! Invented sessions: as many figures each as a real one has, scattered as those of the invented shop are.

use std::ops::Range;

use jiff::civil::{Date, date};
use rand::rngs::ChaCha8Rng;
use rand::{RngExt as _, SeedableRng as _};
use record::review::State;
use record::{Channel, SessionSummary, ShimOutcome, Verdict};
use solver::{Direction, Misalignment, PerChannel, Relation, Sense};
use tables::columns::OfSession;
use tables::columns::remedies::RemedyRow;
use tables::columns::sessions::{FileSays, SessionRow};

pub(crate) const SHOPS: usize = 10;
pub(crate) const MONTHS: usize = 60;

/// A session, and what its shim did where it had one.
pub(crate) struct Invented {
    shop: String,
    last_hash: String,
    summary: SessionSummary,
    pub(crate) effect: Option<ShimOutcome>,
}

pub(crate) fn shop_name(shop: usize) -> String {
    format!("Shop-{shop:02}")
}

fn first_of(month: usize) -> Date {
    date(2020 + (month / 12) as i16, (month % 12 + 1) as i8, 1)
}

pub(crate) fn month_of(month: usize) -> String {
    first_of(month).to_string().chars().take(7).collect()
}

/// The sessions of a shop and month, by their numbers among all.
pub(crate) fn sessions(shop: usize, month: usize, numbers: Range<usize>) -> Vec<Invented> {
    let mut rng = ChaCha8Rng::seed_from_u64((shop * MONTHS + month) as u64);
    numbers.map(|number| session(&mut rng, (shop, month), number)).collect()
}

fn session(rng: &mut ChaCha8Rng, (shop, month): (usize, usize), number: usize) -> Invented {
    let first = first_of(month);
    let day = first.with().day(rng.random_range(1..=28)).build().unwrap_or(first);
    // The zero of one station wanders.
    let bench = rng.random_range(1..=6_usize);
    let zero = if bench == 4 { 0.05 * month as f64 } else { 0.0 };
    let mut about = |middle: f64, spread: f64| middle + spread * (2.0 * rng.random::<f64>() - 1.0);
    let centres = PerChannel {
        left: Direction::new(about(zero - 6.0, 20.0), about(-3.0, 20.0)),
        right: Direction::new(about(zero + 6.0, 20.0), about(3.0, 20.0)),
    };
    let misalignment = Misalignment::new(about(0.0, 12.0), about(0.0, 8.0));
    let figures: [f64; 8] = std::array::from_fn(|_| about(3.0, 3.0));
    let (window_use, shift) = (about(0.6, 0.7), Direction::new(about(0.0, 15.0), about(0.0, 15.0)));
    let miss = Direction::new(about(0.0, 1.0), about(0.0, 1.0));
    let (rounds, hand, unit) = (
        rng.random_range(1..=3_usize),
        rng.random_range(0..12_usize),
        rng.random_range(0..200_000_u32),
    );
    let hash: u128 = rng.random();
    let effect = (rounds > 1).then(|| ShimOutcome {
        remedy: 40,
        channel: if hash.is_multiple_of(2) { Channel::Left } else { Channel::Right },
        predicted: centres.left + shift,
        before: Some(centres.left),
        after: centres.left + shift * 0.85 + miss,
    });
    let verdict = match window_use {
        used if used <= 0.9 => Verdict::Pass,
        used if used <= 1.1 => Verdict::Undecided,
        _ => Verdict::Fail,
    };
    let summary = SessionSummary {
        file: format!("{day} {number:07}.samepoint"),
        session: format!("{hash:032x}"),
        facts: 60 + (hash % 40) as u64,
        day: Some(day),
        unit: format!("{unit:06}").into(),
        housing: format!("Type {}", unit % 8).into(),
        tubes: PerChannel {
            left: format!("T-{unit:06}-1").into(),
            right: format!("T-{unit:06}-2").into(),
        },
        station: format!("Bench {bench}").into(),
        hand: format!("H{hand}").into(),
        window: "Shop window".into(),
        rounds,
        verdict: Some(verdict),
        signed: verdict == Verdict::Pass,
        signature: State::Countersigned,
        state: State::Countersigned,
        follows: Some(true),
        boresight_arcmin: Some(figures[0]),
        misalignment: Some(misalignment),
        window_use: Some(window_use.abs()),
        centres_apart_arcmin: Some(centres.left.distance_arcmin(centres.right)),
        centres: centres.map(Some),
        relation: Some(Relation::Crossing),
        senses: PerChannel { left: Some(Sense::With), right: Some(Sense::With) },
        scatter_arcmin: Some(figures[1]),
        setting_miss_arcmin: Some(figures[2]),
        lock_turn_deg: PerChannel { left: Some(figures[3]), right: Some(figures[4]) },
        ..SessionSummary::default()
    };
    Invented { shop: shop_name(shop), last_hash: format!("{hash:032x}").repeat(2), summary, effect }
}

impl Invented {
    pub(crate) fn of(&self) -> OfSession<'_> {
        OfSession {
            shop: &self.shop,
            folder: "sessions",
            file: &self.summary.file,
            session: &self.summary.session,
            practice: Some(false),
            examination: Some(false),
            state: self.summary.state,
            counts: self.summary.counts(),
        }
    }

    pub(crate) fn session<'a>(&'a self, of: OfSession<'a>) -> SessionRow<'a> {
        let file =
            FileSays { format: Some(2), last_hash: Some(&self.last_hash), ..FileSays::default() };
        SessionRow { of, summary: Some(&self.summary), file, elsewhere: None }
    }

    pub(crate) fn remedy<'a>(&'a self, of: &'a OfSession<'a>) -> RemedyRow<'a> {
        RemedyRow {
            of,
            unit: &self.summary.unit,
            housing: &self.summary.housing,
            day: self.summary.day,
            seq: 40,
            time: None,
            number: 1,
            taken: None,
            channel: self.effect.map(|effect| effect.channel),
            effect: self.effect,
        }
    }
}
