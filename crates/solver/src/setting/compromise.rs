//! The best compromise: the smallest window use over both rings, and the proof.

use core::f64::consts::{PI, TAU};
use std::collections::BinaryHeap;

use nalgebra::{Matrix2, Matrix3, Vector2, Vector3};

use crate::channel::PerChannel;
use crate::circle::OffsetCircle;
use crate::direction::{Direction, Misalignment};
use crate::error::Error;
use crate::meet::{RELATION_TOLERANCE, meet};
use crate::setting::shares::{BORESIGHT, COUNT, Linear, Shares};
use crate::tolerance::Window;

/// The best that two rings can do.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Compromise {
    /// Where each channel points.
    pub points: PerChannel<Direction>,
    /// Window use there; without a window |m| in arcminutes.
    pub value: f64,
    /// No setting whatever is better than `value` by more than this.
    pub gap: f64,
}

/// The search ends when no setting can be better by more than this share of the window.
const GAP: f64 = 1e-6;
/// The same as a share of the use, for circles that lie far out of any window.
const ROUNDING: f64 = 1e-9;
/// Local searches made while proving; after that better cells are offered as they are.
const MOST_POLISHED: u32 = 64;
/// Cells looked at before the gap reached so far is reported instead.
const MOST_CELLS: usize = 40_000;
/// Starts of the local search on each ring.
const STARTS: u8 = 12;
/// Values closer than this are ties: smaller |m| decides, then nearer boresight.
const TIE: f64 = 1e-9;

/// Finds the smallest window use over both rings; without a window the smallest |m|.
///
/// # Proof
/// Every setting lies in one of the cells of a partition of (angle on the left circle, angle on
/// the right). A cell's bound is the largest, over the shares, of the least value of a linear
/// function not above that share; each least value over an arc is exact. So nothing in a cell is
/// below its bound. The cell with the lowest bound is halved each way until that bound is within
/// `gap` of the best setting found; the best setting is therefore within `gap` of the global
/// minimum. Local search (Newton on every set of up to three shares that may be equal at a
/// minimum) only ever supplies settings, never bounds.
///
/// # Errors
/// As [`meet`]: circles whose numbers are not finite.
///
/// # Degenerate input
/// Circles of radius zero are points. Among ties the smaller |m|, then the nearer to boresight.
///
/// # Accuracy
/// The setting is a stationary point to 1e-12; `gap` says how surely it is the lowest: at most
/// 1e-6, or 1e-9 of the use where that is more, unless the search was cut short.
pub fn best_compromise(
    left: &OffsetCircle,
    right: &OffsetCircle,
    window: Option<&Window>,
) -> Result<Compromise, Error> {
    let met = meet(left, right, RELATION_TOLERANCE)?;
    let crossings: Vec<PerChannel<Direction>> = met
        .crossings()
        .map(|crossing| PerChannel { left: crossing.point, right: crossing.point })
        .collect();
    let Some(window) = window else {
        return Ok(smallest_misalignment(left, right, &crossings));
    };
    if window.boresight_arcmin().is_none()
        && let Some(&points) = crossings.first()
    {
        // Both shares are zero at a crossing, and none is ever less.
        return Ok(Compromise { points, value: 0.0, gap: 0.0 });
    }
    let shares = Shares::new(PerChannel { left: *left, right: *right }, window);
    let mut best = Best::new(window);
    for &points in &crossings {
        best.offer(points);
    }
    for i in 0..STARTS {
        for j in 0..STARTS {
            let start = [i, j].map(|k| f64::from(k) * TAU / f64::from(STARTS));
            best.offer(shares.points(start));
            if i % 3 == 0 && j % 3 == 0 {
                polish(&shares, start, &mut best);
            }
        }
    }
    let gap = prove(&shares, &mut best);
    Ok(Compromise { points: best.points, value: best.value, gap })
}

/// The best setting so far, with ties decided.
struct Best<'a> {
    window: &'a Window,
    points: PerChannel<Direction>,
    value: f64,
}

impl<'a> Best<'a> {
    fn new(window: &'a Window) -> Self {
        Self { window, points: PerChannel::default(), value: f64::INFINITY }
    }

    fn offer(&mut self, points: PerChannel<Direction>) {
        let value = self.window.used_by(points.left, points.right).worst();
        let better = if (value - self.value).abs() <= TIE {
            ties(points) < ties(self.points)
        } else {
            value < self.value
        };
        if better && value.is_finite() {
            (self.points, self.value) = (points, value);
        }
    }
}

fn ties(points: PerChannel<Direction>) -> (Rounded, Rounded) {
    (
        Rounded(Misalignment::between(points.left, points.right).length_arcmin()),
        Rounded(points.left.midpoint(points.right).boresight_arcmin()),
    )
}

/// A length compared to 1e-9.
#[derive(PartialEq)]
struct Rounded(f64);

impl PartialOrd for Rounded {
    fn partial_cmp(&self, other: &Self) -> Option<core::cmp::Ordering> {
        if (self.0 - other.0).abs() <= TIE {
            Some(core::cmp::Ordering::Equal)
        } else {
            self.0.partial_cmp(&other.0)
        }
    }
}

/// A cell of the partition, ordered lowest bound first.
struct Cell {
    bound: f64,
    middle: [f64; 2],
    half: f64,
}

impl PartialEq for Cell {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other).is_eq()
    }
}
impl Eq for Cell {}
impl PartialOrd for Cell {
    fn partial_cmp(&self, other: &Self) -> Option<core::cmp::Ordering> {
        Some(self.cmp(other))
    }
}
impl Ord for Cell {
    fn cmp(&self, other: &Self) -> core::cmp::Ordering {
        other.bound.total_cmp(&self.bound)
    }
}

/// Branch and bound; returns the gap that is left.
fn prove(shares: &Shares, best: &mut Best<'_>) -> f64 {
    let cell = |middle, half| Cell { bound: shares.bound(middle, half), middle, half };
    let mut open = BinaryHeap::new();
    let mut polished = 0;
    open.push(cell([PI, PI], PI));
    for _ in 0..MOST_CELLS {
        // Where the window is used a thousand times over and more, rounding has to be allowed for.
        let gap = GAP.max(ROUNDING * best.value);
        let Some(Cell { bound, middle, half }) = open.pop() else { return 0.0 };
        if bound >= best.value - gap || !best.value.is_finite() {
            return (best.value - bound).max(0.0);
        }
        let half = half / 2.0;
        for step in [[-half, -half], [-half, half], [half, -half], [half, half]] {
            let inner = cell([middle[0] + step[0], middle[1] + step[1]], half);
            // A closed cell is kept as well: it may turn out to decide the gap.
            if inner.bound < best.value - gap / 2.0 && shares.worst(inner.middle) < best.value - gap
            {
                best.offer(shares.points(inner.middle));
                if polished < MOST_POLISHED {
                    polished += 1;
                    polish(shares, inner.middle, best);
                }
            }
            open.push(inner);
        }
    }
    open.peek().map_or(0.0, |lowest| (best.value - lowest.bound).max(0.0))
}

/// Newton from a start on every set of one to three shares; each place it comes to rest is a
/// setting and offered as such.
fn polish(shares: &Shares, start: [f64; 2], best: &mut Best<'_>) {
    for i in 0..COUNT {
        stationary(shares, start, &[i], best);
        for j in i + 1..COUNT {
            stationary(shares, start, &[i, j], best);
            for k in j + 1..COUNT {
                corner(shares, start, [i, j, k], best);
            }
        }
    }
}

/// Gradient and Hessian of one share in the two angles.
fn slopes(shares: &Shares, share: usize, at: [f64; 2]) -> (Vector2<f64>, Matrix2<f64>) {
    let Linear { left, right } = shares.tangent(share, at);
    let arm = |circle: &OffsetCircle, angle| Direction::polar(circle.radius_arcmin, angle);
    let arms = [arm(&shares.circles.left, at[0]), arm(&shares.circles.right, at[1])];
    let tangents = arms.map(|arm| Direction::new(-arm.y_arcmin, arm.x_arcmin));
    let gradient = Vector2::new(left.dot(tangents[0]), right.dot(tangents[1]));
    let mut hessian = Matrix2::new(-left.dot(arms[0]), 0.0, 0.0, -right.dot(arms[1]));
    if share == BORESIGHT {
        // n itself turns with b: add what is across n, over |b|.
        let size = left.boresight_arcmin();
        let PerChannel { left: p, right: q } = shares.points(at);
        let sum = (p + q).boresight_arcmin();
        if size > 0.0 && sum > 0.0 {
            let across = Direction::new(-left.y_arcmin, left.x_arcmin) * (1.0 / size);
            let turn = Vector2::new(across.dot(tangents[0]), across.dot(tangents[1]));
            hessian += turn * turn.transpose() * (size / sum);
        }
    }
    (gradient, hessian)
}

/// One share stationary, or two equal with their mixture stationary.
fn stationary(shares: &Shares, start: [f64; 2], set: &[usize], best: &mut Best<'_>) {
    let mut at = start;
    let mut mixture = 0.5;
    for _ in 0..24 {
        let (g0, h0) = slopes(shares, set[0], at);
        let step = match set.get(1) {
            None => match solve2(h0, -g0) {
                Some(step) => Vector3::new(step[0], step[1], 0.0),
                None => return,
            },
            Some(&other) => {
                let (g1, h1) = slopes(shares, other, at);
                let values = shares.at(at);
                let h = h0 * (1.0 - mixture) + h1 * mixture;
                let g = g0 * (1.0 - mixture) + g1 * mixture;
                let d = g1 - g0;
                let matrix = Matrix3::new(
                    h[(0, 0)],
                    h[(0, 1)],
                    d[0], //
                    h[(1, 0)],
                    h[(1, 1)],
                    d[1], //
                    d[0],
                    d[1],
                    0.0,
                );
                let right = Vector3::new(-g[0], -g[1], values[set[0]] - values[other]);
                match matrix.lu().solve(&right) {
                    Some(step) => step,
                    None => return,
                }
            }
        };
        if !step.iter().all(|part| part.is_finite()) {
            return;
        }
        at = [at[0] + step[0].clamp(-0.7, 0.7), at[1] + step[1].clamp(-0.7, 0.7)];
        mixture = (mixture + step[2]).clamp(-0.5, 1.5);
        if step.norm() < 1e-14 {
            break;
        }
    }
    best.offer(shares.points(at));
}

/// Three shares equal.
fn corner(shares: &Shares, start: [f64; 2], set: [usize; 3], best: &mut Best<'_>) {
    let mut at = start;
    for _ in 0..24 {
        let values = shares.at(at);
        let gradients = set.map(|share| slopes(shares, share, at).0);
        let (a, b) = (gradients[1] - gradients[0], gradients[2] - gradients[0]);
        let matrix = Matrix2::new(a[0], a[1], b[0], b[1]);
        let right = Vector2::new(values[set[0]] - values[set[1]], values[set[0]] - values[set[2]]);
        let Some(step) = solve2(matrix, right) else { return };
        at = [at[0] + step[0].clamp(-0.7, 0.7), at[1] + step[1].clamp(-0.7, 0.7)];
        if step.norm() < 1e-14 {
            break;
        }
    }
    best.offer(shares.points(at));
}

fn solve2(matrix: Matrix2<f64>, right: Vector2<f64>) -> Option<Vector2<f64>> {
    let step = matrix.lu().solve(&right)?;
    step.iter().all(|part| part.is_finite()).then_some(step)
}

/// The smallest |m|: zero at a crossing, else along the line of centres.
fn smallest_misalignment(
    left: &OffsetCircle,
    right: &OffsetCircle,
    crossings: &[PerChannel<Direction>],
) -> Compromise {
    if let Some(&points) = crossings.first() {
        return Compromise { points, value: 0.0, gap: 0.0 };
    }
    let between = right.centre - left.centre;
    let d = between.boresight_arcmin();
    // From the left centre towards the right one; concentric circles may choose, and choose the
    // way that comes nearest to boresight.
    // Centres a subnormal apart have no direction that can be divided out: they share a place.
    let along = if (1.0 / d).is_finite() {
        between * (1.0 / d)
    } else {
        let away = left.centre.boresight_arcmin();
        if (1.0 / away).is_finite() {
            left.centre * (-1.0 / away)
        } else {
            Direction::new(0.0, 1.0)
        }
    };
    let (r, s) = (left.radius_arcmin, right.radius_arcmin);
    // Separate: both face each other. One inside the other: both on the side where the inner
    // circle comes nearest to the outer.
    let (to_left, to_right) = if d >= r + s {
        (along, along * -1.0)
    } else if r >= s {
        (along, along)
    } else {
        (along * -1.0, along * -1.0)
    };
    let points = PerChannel { left: left.centre + to_left * r, right: right.centre + to_right * s };
    let value = Misalignment::between(points.left, points.right).length_arcmin();
    Compromise { points, value, gap: 0.0 }
}
