//! Sums along every straight piece of line: pieces of 8, 16, 32… rows of bins, made from halves.
//!
//! # Source
//! M. L. Brady, *A fast discrete approximation algorithm for the Radon transform*, SIAM J. Comput. 27
//! (1998) 107: the sum over a piece is that over its upper half and that over its lower half, moved.

use crate::coarse::Bins;

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

/// The piece of line that stands out most; `None` where there are too few rows.
pub(crate) fn strongest(bins: &Bins) -> Option<Piece> {
    let [along, across] = bins.lengths;
    if across == 0 || along < SHORTEST {
        return None;
    }
    let mut best: Option<Piece> = None;
    // Strips of `rows` rows; in each, for every slope from −`most` to `most`, one value a starting place.
    let (mut rows, mut most) = (1_usize, 0_usize);
    let mut strips = along;
    let mut sums = bins.values.clone();
    while rows < along && rows < LONGEST {
        let next = rows * 2;
        let wanted = (STEEPEST * (next as f64 - 1.0)).ceil() as usize;
        let next_most = wanted.min(2 * most + 1);
        let next_strips = strips.div_ceil(2);
        let slopes = 2 * next_most + 1;
        let mut made = vec![0.0_f32; next_strips * slopes * across];
        let old = |strip: usize, slope: isize| -> Option<&[f32]> {
            let place = strip * (2 * most + 1) + (slope + most as isize) as usize;
            sums.get(place * across..)?.get(..across)
        };
        for (place, row) in made.chunks_exact_mut(across).enumerate() {
            let strip = place / slopes;
            let slope = (place % slopes) as isize - next_most as isize;
            let half = slope / 2;
            let moved = slope - half;
            if let Some(upper) = old(2 * strip, half) {
                row.copy_from_slice(upper);
            }
            if 2 * strip + 1 < strips
                && let Some(lower) = old(2 * strip + 1, half)
            {
                let shift = moved.unsigned_abs().min(across);
                let (to, from) = if moved >= 0 {
                    (&mut row[..across - shift], &lower[shift..])
                } else {
                    (&mut row[shift..], &lower[..across - shift])
                };
                for (sum, value) in to.iter_mut().zip(from) {
                    *sum += value;
                }
            }
        }
        (rows, most, strips, sums) = (next, next_most, next_strips, made);
        if rows < SHORTEST {
            continue;
        }
        for (place, row) in sums.chunks_exact(across).enumerate() {
            let largest = largest(row);
            let from = place / slopes * rows;
            // A strip cut off by the edge has fewer rows.
            let there = rows.min(along - from);
            let z = f64::from(largest) / (there.max(SHORTEST) as f64).sqrt();
            if best.is_none_or(|best| z > best.z) {
                let at = row.iter().position(|value| *value >= largest).unwrap_or(0);
                let moves = (place % slopes) as f64 - most as f64;
                best = Some(Piece { z, from, at: at as f64, moves, rows });
            }
        }
    }
    best
}

/// The largest of some values, in lanes that a processor takes at once.
fn largest(row: &[f32]) -> f32 {
    const LANES: usize = 8;
    let larger = |a: f32, b: f32| if b > a { b } else { a };
    let (whole, rest) = row.as_chunks::<LANES>();
    let mut lanes = [f32::MIN; LANES];
    for values in whole {
        for (lane, value) in lanes.iter_mut().zip(values) {
            *lane = larger(*lane, *value);
        }
    }
    lanes.iter().chain(rest).copied().fold(f32::MIN, larger)
}

/// The same piece, placed between bins: the best of places near both ends.
pub(crate) fn placed(bins: &Bins, piece: Piece) -> Piece {
    const STEP: f64 = 0.375;
    let [along, across] = bins.lengths;
    let last = (piece.from + piece.rows).min(along);
    let mut best = (f64::MIN, piece);
    for start in -5_i32..=5 {
        for end in -5_i32..=5 {
            let (start, end) = (f64::from(start) * STEP, f64::from(end) * STEP);
            let moved = Piece { at: piece.at + start, moves: piece.moves + end - start, ..piece };
            let mut sum = 0.0;
            for row in piece.from..last {
                let place = moved.across(row as f64);
                let whole = place.floor();
                if whole < 0.0 || whole as usize + 1 >= across {
                    continue;
                }
                let (share, from) = (place - whole, row * across + whole as usize);
                let [near, far] = [bins.values[from], bins.values[from + 1]].map(f64::from);
                sum += near + share * (far - near);
            }
            if sum > best.0 {
                best = (sum, moved);
            }
        }
    }
    best.1
}
