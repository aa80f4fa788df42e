//! The search over both rings: branch and bound on pairs of arcs, with bounds from mixtures.
//!
//! The worst share is the largest of linear functions of (p_L, p_R), so any mixture of them with
//! weights ≥ 0 that add to 1 is nowhere above it. Along each circle a mixture is a cosine, whose
//! least value on an arc is known exactly: that is a lower bound for every pair of places in a cell.
//! Single functions bound badly where two or three shares hold each other at a minimum; the mixture
//! whose slopes cancel there bounds to second order, so that cells close while they are
//! still wide. Which mixture is taken matters for speed alone.

use core::cmp::Ordering;
use core::f64::consts::TAU;
use std::collections::BinaryHeap;

use crate::channel::{Channel, PerChannel};
use crate::circle::OffsetCircle;
use crate::direction::Direction;
use crate::setting::arms::{Arms, points, turned};
use crate::setting::best::Best;
use crate::setting::descent::descend;
use crate::setting::shares::{Shares, Touch, Wave};

/// Arcs a side to begin with.
const FIRST: usize = 8;
/// Halvings of an arc after which it is a point to rounding.
const DEEPEST: usize = 48;
/// Cells looked at before the gap reached so far is reported instead.
const MOST_CELLS: usize = 2_000;
/// Local searches; after that better cells are offered as they are.
const MOST_DESCENTS: usize = 24;
/// Of these, made before the proof, from the lowest cells of the first grid.
const FIRST_DESCENTS: usize = 6;

/// How closely a search is to prove its answer.
#[derive(Clone, Copy, Debug)]
pub(super) struct Proof {
    /// The gap that is good enough, in units of the window.
    pub(super) gap: f64,
    /// The same as a share of the use, for circles that lie far out of any window.
    pub(super) relative: f64,
    /// No setting uses less than this, as is known beforehand.
    pub(super) floor: f64,
}

/// Sine and cosine of half the width of an arc, by the number of its halvings.
struct HalfArcs([(f64, f64, f64); DEEPEST + 1]);

impl HalfArcs {
    fn new() -> Self {
        let mut half = TAU / (2 * FIRST) as f64;
        Self([(); DEEPEST + 1].map(|()| {
            let (sin, cos) = half.sin_cos();
            let level = (half, sin, cos);
            half *= 0.5;
            level
        }))
    }
}

/// A pair of arcs, ordered lowest bound first.
struct ArcPair {
    bound: f64,
    middle: Arms,
    halvings: [usize; 2],
    /// The arc to halve next.
    longer: usize,
}

impl PartialEq for ArcPair {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other).is_eq()
    }
}
impl Eq for ArcPair {}
impl PartialOrd for ArcPair {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}
impl Ord for ArcPair {
    fn cmp(&self, other: &Self) -> Ordering {
        other.bound.total_cmp(&self.bound)
    }
}

struct CellSearch<'a> {
    shares: &'a Shares<'a>,
    circles: PerChannel<OffsetCircle>,
    halves: HalfArcs,
    touches: Vec<Touch>,
    waves: Vec<Wave>,
}

/// Finds the least worst share over both circles, improving on `best`; returns the gap that is left, in
/// units of the window: no setting is better than `best` by more.
pub(super) fn search(
    shares: &Shares<'_>,
    circles: PerChannel<OffsetCircle>,
    best: &mut Best<'_>,
    proof: Proof,
) -> f64 {
    let unit = shares.unit_arcmin;
    let floor = proof.floor * unit;
    let allowed = |best: &Best<'_>| (proof.gap * unit).max(proof.relative * best.value_arcmin);
    let mut search = CellSearch {
        shares,
        circles,
        halves: HalfArcs::new(),
        touches: Vec::with_capacity(16),
        waves: Vec::with_capacity(16),
    };
    let mut open = BinaryHeap::with_capacity(4 * FIRST * FIRST);
    let mut descents = search.begin(best, &mut open);
    // The lowest bound of the cells that were closed.
    let mut lowest_closed = f64::INFINITY;
    let mut looked_at = 0;
    let lowest_open = loop {
        let Some(cell) = open.pop() else { break f64::INFINITY };
        let enough = best.value_arcmin - allowed(best);
        if cell.bound.max(floor) >= enough
            || looked_at >= MOST_CELLS
            || cell.halvings[cell.longer] >= DEEPEST
        {
            break cell.bound;
        }
        for side in [-1.0, 1.0] {
            looked_at += 1;
            let (inner, value) = search.half_of(&cell, side);
            if value < best.value_arcmin {
                if descents < MOST_DESCENTS {
                    descents += 1;
                    descend(shares, &circles, inner.middle, best);
                } else {
                    best.offer(points(&circles, &inner.middle));
                }
            }
            if inner.bound >= best.value_arcmin - allowed(best) {
                lowest_closed = lowest_closed.min(inner.bound);
            } else {
                open.push(inner);
            }
        }
    };
    let lowest = lowest_open.min(lowest_closed).max(floor);
    let gap = (best.value_arcmin - lowest) / unit;
    if gap.is_nan() { f64::INFINITY } else { gap.max(0.0) }
}

impl CellSearch<'_> {
    /// Lays out the first cells, and searches locally from the lowest of them; returns how often.
    fn begin(&mut self, best: &mut Best<'_>, open: &mut BinaryHeap<ArcPair>) -> usize {
        let arms: [Direction; FIRST] =
            core::array::from_fn(|k| Direction::polar(1.0, (k as f64 + 0.5) * TAU / FIRST as f64));
        let mut values = [[0.0; FIRST]; FIRST];
        for i in 0..FIRST {
            for j in 0..FIRST {
                let middle = PerChannel { left: arms[i], right: arms[j] };
                let (cell, value) = self.cell(middle, [0, 0], f64::NEG_INFINITY);
                values[i][j] = value;
                open.push(cell);
            }
        }
        // Places of the grid that are lower than their neighbours, lowest first.
        let mut lows: Vec<(f64, usize, usize)> = Vec::new();
        for i in 0..FIRST {
            for j in 0..FIRST {
                let lowest_around = (0..9)
                    .map(|k| {
                        values[(i + FIRST + k / 3 - 1) % FIRST][(j + FIRST + k % 3 - 1) % FIRST]
                    })
                    .fold(f64::INFINITY, f64::min);
                if values[i][j] <= lowest_around {
                    lows.push((values[i][j], i, j));
                }
            }
        }
        lows.sort_by(|a, b| a.0.total_cmp(&b.0));
        lows.truncate(FIRST_DESCENTS);
        for &(_, i, j) in &lows {
            let start = PerChannel { left: arms[i], right: arms[j] };
            descend(self.shares, &self.circles, start, best);
        }
        lows.len()
    }

    /// One half of a cell, and the worst share at its middle.
    fn half_of(&mut self, cell: &ArcPair, side: f64) -> (ArcPair, f64) {
        let mut halvings = cell.halvings;
        let mut middle = cell.middle;
        halvings[cell.longer] += 1;
        let (_, sin, cos) = self.halves.0[halvings[cell.longer].min(DEEPEST)];
        let channel = Channel::BOTH[cell.longer];
        middle[channel] = turned(middle[channel], side * sin, cos);
        self.cell(middle, halvings, cell.bound)
    }

    /// A cell with its bound, which is no lower than that of the cell it is part of, and the worst share
    /// at its middle.
    fn cell(&mut self, middle: Arms, halvings: [usize; 2], outer_bound: f64) -> (ArcPair, f64) {
        let value = self.shares.touching(points(&self.circles, &middle), &mut self.touches);
        self.waves.clear();
        let circles = &self.circles;
        self.waves
            .extend(self.touches.iter().map(|touch| Wave::of(&touch.linear, circles, &middle)));
        let halves = halvings.map(|k| self.halves.0[k.min(DEEPEST)]);
        let (bound, longer) = bound(&mut self.waves, halves);
        (ArcPair { bound: bound.max(outer_bound), middle, halvings, longer }, value)
    }
}

/// The best lower bound over a cell that mixtures of up to three functions give, and which arc leaves
/// more of the mixture open.
fn bound(waves: &mut Vec<Wave>, halves: [(f64, f64, f64); 2]) -> (f64, usize) {
    // How far a function can rise from the middle along each arc, at most.
    let reach = |wave: &Wave, axis: usize| {
        let (half, ..) = halves[axis];
        half * (wave.across[axis].abs() + 0.5 * half * wave.along[axis].abs())
    };
    let mut best = (0.0, 0);
    let mut longest = f64::NEG_INFINITY;
    let mut consider = |mixed: &Wave, reached: [f64; 2]| {
        let least = mixed.base
            + least_on_arc(mixed.along[0], mixed.across[0], halves[0])
            + least_on_arc(mixed.along[1], mixed.across[1], halves[1]);
        let reach = reached[0] + reached[1];
        // Until some bound is above 0, the widest reach decides where to look closer.
        if least > best.0 || (best.0 <= 0.0 && reach > longest) {
            longest = reach;
            best = (least.max(best.0), usize::from(reached[1] > reached[0]));
        }
        least
    };
    let mut most = 0.0_f64;
    for wave in waves.iter() {
        most = most.max(consider(wave, [reach(wave, 0), reach(wave, 1)]));
    }
    // What is nowhere in the cell the largest does not help.
    waves.retain(|wave| wave.value() + reach(wave, 0) + reach(wave, 1) >= most);
    let waves = &waves[..];
    for (i, a) in waves.iter().enumerate() {
        for (j, b) in waves.iter().enumerate().skip(i + 1) {
            for axis in 0..2 {
                // Slopes along this arc cancel.
                let share = a.across[axis] / (a.across[axis] - b.across[axis]);
                if share > 0.0 && share < 1.0 {
                    let mixed = Wave::default().plus(a, 1.0 - share).plus(b, share);
                    let reached =
                        [0, 1].map(|axis| (1.0 - share) * reach(a, axis) + share * reach(b, axis));
                    consider(&mixed, reached);
                }
            }
            for c in waves.iter().skip(j + 1) {
                // Slopes along both cancel: 0 lies in the triangle of the three.
                let cross =
                    |p: &Wave, q: &Wave| p.across[0] * q.across[1] - p.across[1] * q.across[0];
                let parts = [cross(b, c), cross(c, a), cross(a, b)];
                let total: f64 = parts.iter().sum();
                let [p, q, r] = parts.map(|part| part / total);
                if p > 0.0 && q > 0.0 && r > 0.0 {
                    let mixed = Wave::default().plus(a, p).plus(b, q).plus(c, r);
                    let reached = [0, 1]
                        .map(|axis| p * reach(a, axis) + q * reach(b, axis) + r * reach(c, axis));
                    consider(&mixed, reached);
                }
            }
        }
    }
    best
}

/// The least of along cos δ + across sin δ for |δ| ≤ half, half < π.
fn least_on_arc(along: f64, across: f64, (_, sin, cos): (f64, f64, f64)) -> f64 {
    let size = (along * along + across * across).sqrt();
    // The side opposite the peak lies on the arc, or the least is at the nearer end.
    if -along >= size * cos { -size } else { along * cos - across.abs() * sin }
}
