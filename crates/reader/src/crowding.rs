//! Whether something lies along a line: another line, or a second crosshair almost on the first.

use core::f64::consts::FRAC_1_SQRT_2;
use core::ops::Range;

use nalgebra::{SMatrix, SVector};

use crate::blocks::{Around, Block, Seen};
use crate::path::median_of;
use crate::picture::View;
use crate::shape::Shape;
use crate::trace::Line;

/// Blocks of a piece whose width is told by itself.
const PIECE: usize = 8;

/// What shows that a line is not alone.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Crowding {
    /// By how much its place differs when told from its middle alone, pixels; 0 where that may be noise.
    pub(crate) lopsided_px: f64,
    /// By how much its place differs when the surroundings may bend one way on one side and the other way on
    /// the other, pixels; 0 where that may be noise.
    pub(crate) by_bend_px: f64,
    /// By how much its place differs when it is taken to be of another shape, pixels: all that few pixels
    /// across tell of a thin line that runs along them.
    pub(crate) by_shape_px: f64,
    /// By how much its width differs from piece to piece, pixels; 0 where that may be noise.
    pub(crate) uneven_px: f64,
    /// How far pieces of it lie off its course, or how much wider it would be where its height jumps, pixels:
    /// a second line that covers it in part.
    pub(crate) doubled_px: f64,
}

/// Looks along a line and to its sides.
pub(crate) fn of(line: &Line, seen: &Seen) -> Crowding {
    let shape = line.shape;
    let reach = seen.reach_px();
    let whole = seen.stacked(0..line.blocks.len());
    let narrow = (2.0 * shape.sigma_px()).max(2.5);
    let mut found = Crowding { doubled_px: doubled_px(line), ..Crowding::default() };
    if let Some(wide) = told(&whole, shape, reach, 0.0) {
        let differs = |other: Option<Told>, clearly: f64| -> f64 {
            let Some(other) = other else { return 0.0 };
            let by_px = (other.shift - wide.shift).abs();
            let variance =
                (other.shift_variance - wide.shift_variance).max(0.25 * wide.shift_variance);
            if by_px > clearly * line.noise * variance.sqrt() { by_px } else { 0.0 }
        };
        found.lopsided_px = differs(told(&whole, shape, narrow, 0.0), 3.0);
        found.by_bend_px = differs(told(&whole, shape, reach, 1.0), 2.0);
        let others = shape.others().into_iter().filter_map(|other| told(&whole, other, reach, 0.0));
        let most = others.map(|other| (other.shift - wide.shift).abs()).fold(0.0, f64::max);
        found.by_shape_px = most;
    }
    let pieces: Vec<Told> = pieces(line, PIECE)
        .filter(|blocks| 2 * blocks.len() >= PIECE)
        .filter_map(|blocks| told(&seen.stacked(blocks), shape, reach, 0.0))
        .collect();
    let Some(typical) = median_of(pieces.iter().map(|piece| piece.widening)) else { return found };
    let (mut squares, mut noise, mut count) = (0.0, 0.0, 0.0);
    for piece in &pieces {
        let variance = piece.widening_variance * line.noise * line.noise;
        squares += (piece.widening - typical).powi(2);
        noise += variance;
        count += 1.0;
    }
    // Three pieces at least, and clearly more than noise makes of them.
    if count >= 3.0 && squares > noise * (1.0 + 4.0 * (2.0_f64 / count).sqrt()) {
        found.uneven_px = ((squares - noise) / count).sqrt() * shape.sigma_px();
    }
    found
}

/// A line's profile as far as its width and place are told by it.
pub(crate) fn seen(view: &View<'_>, line: &Line, around: &Around) -> Seen {
    let reach_px = line.shape.reach_px().min(40.0);
    Seen::along(view, line.path(), &line.blocks, reach_px, around)
}

/// Pieces of a line, of so many blocks each but the last.
fn pieces(line: &Line, blocks: usize) -> impl Iterator<Item = Range<usize>> {
    let count = line.blocks.len();
    (0..count).step_by(blocks).map(move |from| from..(from + blocks).min(count))
}

/// How much wider than the whole each piece of two blocks is, a share of it, with its variance.
pub(crate) fn widths(line: &Line, seen: &Seen) -> Vec<(f64, f64)> {
    const TWO: usize = 2;
    let pieces = pieces(line, TWO);
    let told =
        pieces.filter_map(|blocks| told(&seen.stacked(blocks), line.shape, seen.reach_px(), 0.0));
    let noise2 = line.noise * line.noise;
    told.map(|piece| (piece.widening, piece.widening_variance * noise2))
        .filter(|(width, variance)| width.is_finite() && *variance > 0.0)
        .collect()
}

type Stack = [(f64, f64, f64)];

/// Blocks next to each other that are clearly off to one side; or a jump of the height between one piece of
/// the line and the next, which light falling off does not make.
fn doubled_px(line: &Line) -> f64 {
    const HALF_PIECE: usize = 4;
    const JUMP: f64 = 1.4;
    let path = line.path();
    let off = |block: &Block| {
        let px = block.across - path.at(block.along);
        let clear = px.abs() > 0.5 && px.abs() > 7.0 * block.variance.sqrt();
        if clear { px } else { 0.0 }
    };
    let mut most = 0.0_f64;
    for two in line.blocks.windows(2) {
        if let [a, b] = two {
            let (a, b) = (off(a), off(b));
            if a * b > 0.0 {
                most = most.max(a.abs().min(b.abs()));
            }
        }
    }
    let pieces: Vec<f64> = line
        .blocks
        .chunks_exact(HALF_PIECE)
        .filter_map(|blocks| median_of(blocks.iter().map(|block| block.height)))
        .collect();
    let told = median_of(line.blocks.iter().map(|block| block.height_sd)).unwrap_or(0.0);
    // As they scatter from one to the next: a tube's noise is alike from pixel to pixel.
    let steps = line.blocks.windows(2).filter_map(|two| match two {
        [a, b] => Some((a.height - b.height).abs()),
        _ => None,
    });
    let sd = told.max(1.4826 * median_of(steps).unwrap_or(0.0) * FRAC_1_SQRT_2);
    for two in pieces.windows(2) {
        if let [a, b] = two {
            let (low, high) = (a.min(*b), a.max(*b));
            // The median of four: 0.6 of one's standard deviation, twice.
            if high > JUMP * low && high - low > 6.0 * 0.85 * sd {
                most = most.max(line.shape.sigma_px() * (high / low - 1.0));
            }
        }
    }
    most
}

/// What a stacked profile tells of place and width.
struct Told {
    /// How far from where it was looked for, pixels; variance for noise 1.
    shift: f64,
    shift_variance: f64,
    /// By what share wider; variance for noise 1.
    widening: f64,
    widening_variance: f64,
}

/// With `cubed` 1 the surroundings may also have a part that grows with the cube of the distance.
fn told(stack: &Stack, shape: Shape, reach: f64, cubed: f64) -> Option<Told> {
    /// Level, slope, bend, height, place, width, and the cubed part.
    const TERMS: usize = 7;
    let mut normal = SMatrix::<f64, TERMS, TERMS>::zeros();
    normal[(6, 6)] = 1.0 - cubed;
    let shape = shape.drawn();
    let mut right = SVector::<f64, TERMS>::zeros();
    for &(d, value, count) in stack.iter().filter(|(d, ..)| d.abs() <= reach) {
        let [t, s] = shape.at(d);
        let of = d / reach;
        // Wider by a share w: T(d/(1 + w)) is T − w d T′.
        let row = SVector::from([1.0, of, of * of, t, s, -d * s, cubed * of * of * of]);
        // What is above the diagonal is not looked at.
        let weighted = count * row;
        for column in 0..TERMS {
            for place in column..TERMS {
                normal[(place, column)] += weighted[place] * row[column];
            }
        }
        right += count * value * row;
    }
    let inverse = normal.cholesky()?.inverse();
    let found = inverse * right;
    let height = found[3];
    let usable = height > 0.0;
    usable.then(|| Told {
        shift: -found[4] / height,
        shift_variance: inverse[(4, 4)] / (height * height),
        widening: found[5] / height,
        widening_variance: inverse[(5, 5)] / (height * height),
    })
}
