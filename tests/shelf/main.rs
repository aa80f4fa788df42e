//! The shelf against searches that share no idea with it.
//!
//! - here: what is invented, and a search of every plan;
//! - `every_plan`: a thousand small shelves, every plan of each looked at;
//! - `linked`: what readings of linked parts determine, against the split of one unit's rounds;
//! - `large`: the sizes that are promised, proved best; what was left out is bounded.

#![allow(clippy::unwrap_used, clippy::panic, reason = "tests fail by panicking")]

mod every_plan;
mod large;
mod linked;

use rand::RngExt;
use rand::rngs::ChaCha8Rng;
use solver::optics::{Optics, ShimEnds, TubeImage};
use solver::remedy::shim::{SeatLimits, ShimEffect};
use solver::shelf::{
    Estimate, KnownValue, Offsets, Part, Radius, Shelf, ShelfEyepiece, ShelfHousing, ShelfTube,
    Subject,
};
use solver::swing::SwingRange;
use solver::{Channel, Direction, PerChannel, Window};

/// A shelf whose parts' offsets are stated, and the offsets it was made of; `None` of what nobody states.
pub(crate) struct Invented {
    pub(crate) shelf: Shelf,
    pub(crate) bores: Vec<PerChannel<Option<Direction>>>,
    pub(crate) tubes: Vec<Option<Direction>>,
}

/// How a shelf is drawn.
#[derive(Clone, Copy)]
pub(crate) struct Sizes {
    pub(crate) housings: usize,
    pub(crate) tubes: usize,
    /// Eyepieces that go anywhere; `None`: two stay in each housing.
    pub(crate) eyepieces: Option<usize>,
    pub(crate) kinds: usize,
    /// Standard deviation of bores and tubes, arcminutes, each axis.
    pub(crate) spread_arcmin: f64,
    pub(crate) unknown: f64,
    pub(crate) shims: bool,
}

/// With covariances of 0.01′², whatever the truth.
pub(crate) fn stated(part: Part, value: Direction) -> KnownValue {
    KnownValue {
        subject: Subject::Stated(part),
        value,
        covariance_arcmin2: [[0.01, 0.0], [0.0, 0.01]],
    }
}

pub(crate) fn invent(rng: &mut ChaCha8Rng, sizes: Sizes, window: Window) -> Invented {
    let draw = |rng: &mut ChaCha8Rng, known: f64| {
        // The sum of twelve even ones less six has unit variance.
        let mut normal = || {
            let sum: f64 = (0..12).map(|_| rng.random_range(0.0..1.0)).sum();
            sizes.spread_arcmin * (sum - 6.0)
        };
        let value = Direction::new(normal(), normal());
        rng.random_bool(known).then_some(value)
    };
    let known = 1.0 - sizes.unknown;
    let kind = |index: usize| index % sizes.kinds;
    let bores: Vec<PerChannel<Option<Direction>>> =
        (0..sizes.housings).map(|_| PerChannel::from_fn(|_| draw(rng, known))).collect();
    let tubes: Vec<Option<Direction>> = (0..sizes.tubes).map(|_| draw(rng, known)).collect();
    let mut seen = Vec::new();
    for (housing, pods) in bores.iter().enumerate() {
        for (channel, bore) in pods.iter() {
            seen.extend(bore.map(|value| stated(Part::pod(housing, channel), value)));
        }
    }
    for (tube, offset) in tubes.iter().enumerate() {
        seen.extend(offset.map(|value| stated(Part::Tube(tube), value)));
    }
    let count = sizes.eyepieces.unwrap_or(2 * sizes.housings);
    let eyepieces = (0..count)
        .map(|index| ShelfEyepiece {
            kind: if sizes.eyepieces.is_some() { kind(index) } else { kind(index / 2) },
            radius: rng
                .random_bool(known)
                .then(|| Radius { arcmin: rng.random_range(12.0..26.0), u_arcmin: 0.1 }),
            centre: Estimate::default(),
        })
        .collect();
    let seat = SeatLimits {
        clocks_deg: vec![0.0, 90.0, 180.0, 270.0],
        ends: vec![ShimEnds::Rear, ShimEnds::Both],
        leaves_mm: vec![0.03, 0.08],
        largest_mm: 0.11,
    };
    let optics = Optics::new(27.0, 27.0, TubeImage::Inverted).unwrap();
    let housings = (0..sizes.housings)
        .map(|index| ShelfHousing {
            kind: kind(index),
            seat: (sizes.shims && index % 3 != 2).then(|| seat.clone()),
            effect: sizes.shims.then_some(ShimEffect::Model(optics)),
            swing: (index % 2 == 0).then(|| SwingRange::new(-8.0, 12.0).unwrap()),
            eyepieces: sizes
                .eyepieces
                .is_none()
                .then_some(PerChannel { left: 2 * index, right: 2 * index + 1 }),
        })
        .collect();
    let list =
        (0..sizes.tubes).map(|index| ShelfTube { kind: kind(index), may_turn: index % 4 != 3 });
    let shelf = Shelf {
        housings,
        tubes: list.collect(),
        eyepieces,
        offsets: Offsets::of(&seen).unwrap(),
        window,
        most_leaves: if sizes.shims { 2 } else { 0 },
    };
    Invented { shelf, bores, tubes }
}

pub(crate) fn both() -> [Channel; 2] {
    Channel::BOTH
}
