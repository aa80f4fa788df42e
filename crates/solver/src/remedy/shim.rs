//! Shims: what a seat takes, what a shim does, and every shim a seat can be given.

use std::collections::BTreeSet;

use crate::direction::Direction;
use crate::error::Error;
use crate::optics::{Lateral, Optics, ShimEnds};

pub use crate::remedy::plans::{ShimPlan, best_plans};
pub use crate::remedy::words::sentence;

/// What a housing's tube seats take.
#[derive(Clone, Debug, PartialEq)]
pub struct SeatLimits {
    /// Clock positions, degrees clockwise from up, seen from the eye side.
    pub clocks_deg: Vec<f64>,
    /// Ends at which a shim may lie.
    pub ends: Vec<ShimEnds>,
    /// Leaves in stock, mm; each may be used more than once.
    pub leaves_mm: Vec<f64>,
    /// Largest stack, mm.
    pub largest_mm: f64,
}

/// What a shim does.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum ShimEffect {
    /// As the optics say.
    Model(Optics),
    /// As measured on this housing: arcminutes per millimetre of one stack.
    Measured {
        /// The effect.
        arcmin_per_mm: f64,
        /// Its standard uncertainty.
        u_arcmin_per_mm: f64,
    },
}

/// A shim that was tried, and by how much it moved the line of sight.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TriedShim {
    /// Where along the tube.
    pub ends: ShimEnds,
    /// How thick, mm.
    pub thickness_mm: f64,
    /// Clock position, degrees.
    pub clock_deg: f64,
    /// What it did.
    pub shift: Direction,
}

impl ShimEffect {
    /// The effect measured on a housing, by least squares; `None` for fewer than three shims, or when it is
    /// not known to better than 20 %.
    #[must_use]
    pub fn measured(tried: &[TriedShim]) -> Option<Self> {
        if tried.len() < 3 {
            return None;
        }
        let pushed = |shim: &TriedShim| {
            let mm = -Lateral::toward_clock(shim.thickness_mm, shim.clock_deg)
                * shim.ends.count() as f64;
            Direction::new(mm.x_mm, mm.y_mm)
        };
        let squares: f64 = tried.iter().map(|shim| pushed(shim).dot(pushed(shim))).sum();
        let product: f64 = tried.iter().map(|shim| pushed(shim).dot(shim.shift)).sum();
        let arcmin_per_mm = product / squares;
        let rest: f64 = tried
            .iter()
            .map(|shim| {
                let off = shim.shift - pushed(shim) * arcmin_per_mm;
                off.dot(off)
            })
            .sum();
        let u_arcmin_per_mm = (rest / (2 * tried.len() - 1) as f64 / squares).sqrt();
        (arcmin_per_mm > 0.0 && u_arcmin_per_mm < 0.2 * arcmin_per_mm)
            .then_some(Self::Measured { arcmin_per_mm, u_arcmin_per_mm })
    }

    /// Its standard uncertainty as a share of itself; the model states none.
    #[must_use]
    pub fn relative_u(&self) -> f64 {
        match *self {
            Self::Model(_) => 0.0,
            Self::Measured { arcmin_per_mm, u_arcmin_per_mm } => {
                let relative = u_arcmin_per_mm / arcmin_per_mm.abs();
                if relative.is_finite() { relative } else { 0.0 }
            }
        }
    }

    /// The shift of the line of sight by a shim.
    #[must_use]
    pub fn shift(&self, ends: ShimEnds, thickness_mm: f64, clock_deg: f64) -> Direction {
        match self {
            Self::Model(optics) => optics.shim_shift(ends, thickness_mm, clock_deg),
            Self::Measured { arcmin_per_mm, .. } => {
                let mm = -Lateral::toward_clock(thickness_mm, clock_deg);
                Direction::new(mm.x_mm, mm.y_mm) * (arcmin_per_mm * ends.count() as f64)
            }
        }
    }
}

/// One channel's shim.
#[derive(Clone, Debug, PartialEq)]
pub struct ChannelShim {
    /// Clock position, degrees clockwise from up, seen from the eye side.
    pub clock_deg: f64,
    /// Where along the tube.
    pub ends: ShimEnds,
    /// Whether the other end would do the same: `ends` is the front one then, and the rear one is as good.
    pub either_end: bool,
    /// The leaves of one stack, thickest first, mm.
    pub leaves_mm: Vec<f64>,
    /// What it does to the line of sight.
    pub shift: Direction,
}

impl ChannelShim {
    /// Height of a stack, mm.
    #[must_use]
    pub fn thickness_mm(&self) -> f64 {
        self.leaves_mm.iter().sum()
    }

    /// Leaves used in all.
    #[must_use]
    pub fn leaves(&self) -> usize {
        self.leaves_mm.len() * self.ends.count()
    }
}

/// Most shims one seat may take: every pair is looked at, and 5,000 a channel are 25 million pairs.
pub const MOST_SHIMS: usize = 5_000;

/// Every shim a seat takes, fewest leaves first.
///
/// # Errors
/// [`Error::OutOfRange`] for a leaf or stack that is not above 0 and at most 10 mm, a clock position that
/// is no number, or a seat that takes more than [`MOST_SHIMS`]. Heights are worked in whole micrometres.
pub fn shims_of(seat: &SeatLimits, effect: &ShimEffect) -> Result<Vec<ChannelShim>, Error> {
    for &clock in &seat.clocks_deg {
        Error::check(clock.is_finite(), "a clock position in degrees", clock, "a number")?;
    }
    let micrometres = |what, mm: f64| {
        Error::check((0.001..=10.0).contains(&mm), what, mm, "from 0.001 to 10")?;
        Ok((mm * 1000.0).round() as usize)
    };
    let largest = micrometres("the largest stack in mm", seat.largest_mm)?;
    let mut leaves = Vec::new();
    for &leaf in &seat.leaves_mm {
        leaves.push(micrometres("a leaf in mm", leaf)?);
    }
    leaves.sort_unstable_by(|a, b| b.cmp(a));
    leaves.dedup();
    // Fewest leaves for each height, and the thickest leaf that such a stack may start with.
    let mut fewest: Vec<Option<(usize, usize)>> = vec![None; largest + 1];
    for height in 1..=largest {
        for &leaf in leaves.iter().filter(|&&leaf| leaf <= height) {
            let rest = if leaf == height { Some(0) } else { fewest[height - leaf].map(|f| f.0) };
            if let Some(rest) = rest
                && fewest[height].is_none_or(|(count, _)| rest + 1 < count)
            {
                fewest[height] = Some((rest + 1, leaf));
            }
        }
    }
    let heights = fewest.iter().flatten().count();
    let count = heights.saturating_mul(seat.ends.len()).saturating_mul(seat.clocks_deg.len());
    let must = "5,000 at most; allow fewer clock positions, leaves or ends";
    Error::check(count <= MOST_SHIMS, "the number of shims a seat takes", count as f64, must)?;
    let mut shims = Vec::with_capacity(count);
    for height in 1..=largest {
        let mut leaves_mm = Vec::new();
        let mut left = height;
        while let Some((_, leaf)) = fewest[left] {
            leaves_mm.push(leaf as f64 / 1000.0);
            left -= leaf;
        }
        if leaves_mm.is_empty() {
            continue;
        }
        for &ends in &seat.ends {
            for &clock_deg in &seat.clocks_deg {
                let shift = effect.shift(ends, height as f64 / 1000.0, clock_deg);
                let leaves_mm = leaves_mm.clone();
                shims.push(ChannelShim { clock_deg, ends, either_end: false, leaves_mm, shift });
            }
        }
    }
    shims.sort_by_key(ChannelShim::leaves);
    Ok(shims)
}

/// Shims at the front and at the rear end that do the same, as one that may go at either.
///
/// A shim at one end tilts the tube by as much as at the other, so of every two such a list would hold both.
#[must_use]
pub fn without_twins(mut shims: Vec<ChannelShim>) -> Vec<ChannelShim> {
    // A shift has no turn of its own: the same leaves at the same place do the same.
    let key = |shim: &ChannelShim| {
        let leaves: Vec<u64> = shim.leaves_mm.iter().map(|leaf| leaf.to_bits()).collect();
        let shift = [shim.shift.x_arcmin.to_bits(), shim.shift.y_arcmin.to_bits()];
        (shim.clock_deg.to_bits(), leaves, shift)
    };
    let of = |ends: ShimEnds| -> BTreeSet<_> {
        shims.iter().filter(|shim| shim.ends == ends).map(key).collect()
    };
    let (front, rear) = (of(ShimEnds::Front), of(ShimEnds::Rear));
    for shim in shims.iter_mut().filter(|shim| shim.ends == ShimEnds::Front) {
        shim.either_end = rear.contains(&key(shim));
    }
    shims.retain(|shim| shim.ends != ShimEnds::Rear || !front.contains(&key(shim)));
    shims
}
