//! Sums along every straight piece of line: pieces of 8, 16, 32… rows of bins, made from halves.
//!
//! # Source
//! M. L. Brady, *A fast discrete approximation algorithm for the Radon transform*, SIAM J. Comput. 27
//! (1998) 107: the sum over a piece is that over its upper half and that over its lower half, moved.

use wide::{f32x8, i16x8};

use crate::coarse::{Bins, CLIP};

/// The steepest line looked for, across per along: 20° of roll, and what perspective and a line not quite
/// square add.
const STEEPEST: f64 = 0.45;

/// The shortest piece that counts, rows of bins.
const SHORTEST: usize = 8;

/// The longest, rows of bins.
const LONGEST: usize = 256;

/// A straight piece of line, in bins.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Piece {
    /// Its sum over its standard deviation where there is only noise.
    pub(crate) z: f64,
    /// Its first row.
    pub(crate) from: usize,
    /// Where it is there, across.
    pub(crate) at: f64,
    /// How far it moves across from its first to its last row.
    pub(crate) moves: f64,
    /// Its rows.
    pub(crate) rows: usize,
}

impl Piece {
    /// Where it is across at a row, which may lie beyond its ends.
    pub(crate) fn across(&self, row: f64) -> f64 {
        let span = (self.rows as f64 - 1.0).max(1.0);
        self.at + self.moves * (row - self.from as f64) / span
    }
}

/// A sixteenth of a standard deviation is one: 256 rows of the most that counts are a sum below 2¹⁵.
const STEPS: f32 = 16.0;

const _: () = assert!((CLIP * STEPS) as usize * LONGEST < 1 << 15);

/// Room for the sums, kept from one search to the next.
#[derive(Debug, Default)]
pub(crate) struct Room {
    sums: Vec<i16>,
    made: Vec<i16>,
}

/// The piece of line that stands out most; `None` where there are too few rows.
pub(crate) fn strongest(bins: &Bins, room: &mut Room) -> Option<Piece> {
    let [along, across] = bins.lengths;
    if across == 0 || along < SHORTEST {
        return None;
    }
    let mut best: Option<Piece> = None;
    // Strips of `rows` rows; in each, for every slope from −`most` to `most`, one value a starting place.
    let (mut rows, mut most) = (1_usize, 0_usize);
    let mut strips = along;
    let Room { sums, made } = room;
    in_steps(&bins.values, sums);
    while rows < along && rows < LONGEST {
        let next = rows * 2;
        let wanted = (STEEPEST * (next as f64 - 1.0)).ceil() as usize;
        let next_most = wanted.min(2 * most + 1);
        let next_strips = strips.div_ceil(2);
        let slopes = 2 * next_most + 1;
        let needed = next_strips * slopes * across;
        if made.len() < needed {
            made.resize(needed, 0);
        }
        let old = |strip: usize, slope: isize| -> Option<&[i16]> {
            let place = strip * (2 * most + 1) + (slope + most as isize) as usize;
            sums.get(place * across..)?.get(..across)
        };
        for (strip, rows_made) in made[..needed].chunks_exact_mut(slopes * across).enumerate() {
            let from = strip * next;
            // A strip cut off by the edge has fewer rows.
            let there = next.min(along - from).max(SHORTEST);
            let deviation = f64::from(STEPS) * (there as f64).sqrt();
            let whole = 2 * strip + 1 < strips;
            for (place, row) in rows_made.chunks_exact_mut(across).enumerate() {
                let slope = place as isize - next_most as isize;
                let half = slope / 2;
                let Some(upper) = old(2 * strip, half) else { continue };
                let lower = if whole { old(2 * strip + 1, half) } else { None };
                let largest = joined(row, upper, lower, slope - half);
                if next < SHORTEST {
                    continue;
                }
                let z = f64::from(largest) / deviation;
                if best.is_none_or(|best| z > best.z) {
                    let at = row.iter().position(|value| *value >= largest).unwrap_or(0);
                    best = Some(Piece { z, from, at: at as f64, moves: slope as f64, rows: next });
                }
            }
        }
        core::mem::swap(sums, made);
        (rows, most, strips) = (next, next_most, next_strips);
    }
    best
}

/// Values in steps; what is less than one is cut off, alike for both signs.
fn in_steps(values: &[f32], steps: &mut Vec<i16>) {
    const LANES: usize = 8;
    if steps.len() < values.len() {
        steps.resize(values.len(), 0);
    }
    let (whole, rest) = values.as_chunks::<LANES>();
    let (steps, steps_rest) = steps[..values.len()].as_chunks_mut::<LANES>();
    for (steps, values) in steps.iter_mut().zip(whole) {
        let cut = (f32x8::from(*values) * STEPS).trunc_int();
        *steps = i16x8::from_i32x8_saturate(cut).to_array();
    }
    for (step, value) in steps_rest.iter_mut().zip(rest) {
        *step = (value * STEPS) as i16;
    }
}

/// Sums of a piece from those of its halves, the lower one moved across; the largest of them.
fn joined(row: &mut [i16], upper: &[i16], lower: Option<&[i16]>, moved: isize) -> i16 {
    let Some(lower) = lower else {
        row.copy_from_slice(upper);
        return largest(row);
    };
    let shift = moved.unsigned_abs().min(row.len());
    let kept = row.len() - shift;
    // Where the lower half is outside, the upper one stands alone.
    let (alone, both, lower) = if moved >= 0 {
        (kept..row.len(), 0..kept, &lower[shift..])
    } else {
        (0..shift, shift..row.len(), &lower[..kept])
    };
    row[alone.clone()].copy_from_slice(&upper[alone.clone()]);
    let most = largest(&row[alone]);
    most.max(added(&mut row[both.clone()], &upper[both], lower))
}

/// Sums that are made at once: two times what a processor takes.
const LANES: usize = 16;

fn lanes(values: &[i16; LANES]) -> [i16x8; 2] {
    let (halves, _) = values.as_chunks();
    [halves[0], halves[1]].map(i16x8::from)
}

/// Sums of two rows of one length; the largest of them.
fn added(row: &mut [i16], a: &[i16], b: &[i16]) -> i16 {
    let (row, row_rest) = row.as_chunks_mut::<LANES>();
    let ((a, a_rest), (b, b_rest)) = (a.as_chunks(), b.as_chunks());
    let mut most = [i16x8::MIN; 2];
    for ((sums, a), b) in row.iter_mut().zip(a).zip(b) {
        let ([a, a_next], [b, b_next]) = (lanes(a), lanes(b));
        let [sum, sum_next] = [a + b, a_next + b_next];
        most = [most[0].max(sum), most[1].max(sum_next)];
        let (halves, _) = sums.as_chunks_mut();
        [halves[0], halves[1]] = [sum.to_array(), sum_next.to_array()];
    }
    let mut most = most[0].max(most[1]).reduce_max();
    for ((sum, a), b) in row_rest.iter_mut().zip(a_rest).zip(b_rest) {
        *sum = a.wrapping_add(*b);
        most = most.max(*sum);
    }
    most
}

/// The largest of some values.
fn largest(row: &[i16]) -> i16 {
    let (whole, rest) = row.as_chunks();
    let most = whole.iter().fold([i16x8::MIN; 2], |most, values| {
        let [one, next] = lanes(values);
        [most[0].max(one), most[1].max(next)]
    });
    rest.iter().copied().fold(most[0].max(most[1]).reduce_max(), i16::max)
}

/// The same piece, placed between bins: the best of places near both ends, first in wide steps, then in halves of them.
pub(crate) fn placed(bins: &Bins, piece: Piece) -> Piece {
    const STEPS: [f64; 2] = [0.75, 0.375];
    let [along, across] = bins.lengths;
    let last = (piece.from + piece.rows).min(along);
    let sum_of = |piece: &Piece| {
        let mut sum = 0.0;
        for row in piece.from..last {
            let place = piece.across(row as f64).max(-1.0) + 1.0;
            // One more than it is, so that what is cut off is what is below.
            let whole = place as usize;
            if whole < 1 || whole >= across {
                continue;
            }
            let (share, from) = ((place - whole as f64) as f32, row * across + whole - 1);
            if let Some([near, far]) = bins.values.get(from..).and_then(<[_]>::first_chunk) {
                sum += f64::from(near + share * (far - near));
            }
        }
        sum
    };
    let (mut most, mut best) = (f64::MIN, piece);
    for (reach, step) in [2_i32, 1].into_iter().zip(STEPS) {
        let about = best;
        for start in -reach..=reach {
            for end in -reach..=reach {
                let (start, end) = (f64::from(start) * step, f64::from(end) * step);
                let moved =
                    Piece { at: about.at + start, moves: about.moves + end - start, ..about };
                let sum = sum_of(&moved);
                if sum > most {
                    (most, best) = (sum, moved);
                }
            }
        }
    }
    best
}
