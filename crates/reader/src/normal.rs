//! What a block's least squares need, summed row by row: level, slope, bend, height and place of the shape.

use nalgebra::{SMatrix, SVector};
use wide::f64x4;

use crate::shape::Shape;
use crate::sums::LANES;

/// Tables of the shape a pixel, between which it is interpolated.
const TABLES: usize = 64;

/// Rows across a line of one shape: where they begin to differ is less than a pixel, so that tables hold the shape.
pub(crate) struct Rows {
    reach: f64,
    /// Places of a row, filled up to whole lanes.
    places: usize,
    /// Height and slope of the shape at each place of a row, for each of the tables and one more.
    tables: [Vec<f64>; 2],
    /// A row's values, its distances as shares of the reach, height and slope of the shape there; nothing beyond its end.
    values: Vec<f64>,
    of: Vec<f64>,
    height: Vec<f64>,
    slope: Vec<f64>,
}

impl Rows {
    pub(crate) fn of(shape: Shape) -> Self {
        let reach = shape.reach_px();
        let places = ((2.0 * reach) as usize + 1).next_multiple_of(LANES);
        let mut tables = [(); 2].map(|()| Vec::with_capacity((TABLES + 1) * places));
        let shape = shape.drawn();
        for table in 0..=TABLES {
            for place in 0..places {
                let d = table as f64 / TABLES as f64 + place as f64 - reach;
                let both = if d > reach { [0.0; 2] } else { shape.at(d) };
                for (table, value) in tables.iter_mut().zip(both) {
                    table.push(value);
                }
            }
        }
        let [values, of, height, slope] = [(); 4].map(|()| vec![0.0; places]);
        Self { reach, places, tables, values, of, height, slope }
    }

    pub(crate) const fn reach_px(&self) -> f64 {
        self.reach
    }

    /// Where so many values of a row go.
    pub(crate) fn values(&mut self, count: usize) -> &mut [f64] {
        let count = count.min(self.places);
        self.values[count..].fill(0.0);
        &mut self.values[..count]
    }
}

/// Sums over a block, in lanes that a processor takes at once: each has every fourth pixel of a row.
#[derive(Clone, Copy, Default)]
pub(crate) struct Sums {
    count: f64,
    /// Of the distance's first to fourth power.
    powers: [f64x4; 4],
    /// Of height and of slope with the distance's powers from none to two.
    height: [f64x4; 3],
    slope: [f64x4; 3],
    /// Of height², height × slope, slope².
    own: [f64x4; 3],
    /// Of the value with each of the five; and its square.
    right: [f64x4; 5],
    squares: f64x4,
}

impl Sums {
    /// Adds the row whose `count` values are there, less `base`, the first of them at the distance `first`.
    pub(crate) fn add(&mut self, rows: &mut Rows, count: usize, first: f64, base: f64) {
        let Rows { reach, places, tables, values, of, height, slope } = rows;
        self.count += count as f64;
        let scale = 1.0 / *reach;
        values[..count].iter_mut().for_each(|value| *value -= base);
        of[count..].fill(0.0);
        for (of, place) in of[..count].iter_mut().zip(0_i32..) {
            *of = (first + f64::from(place)) * scale;
        }
        let table = ((first + *reach) * TABLES as f64).clamp(0.0, TABLES as f64 - 1e-9);
        let (from, share) = (table as usize * *places, table.fract());
        for (shown, table) in [&mut *height, &mut *slope].into_iter().zip(tables) {
            let (here, next) = table[from..from + 2 * *places].split_at(*places);
            for ((shown, here), next) in shown.iter_mut().zip(here).zip(next) {
                *shown = here + share * (next - here);
            }
        }
        let [y, of, t, s] = [values, of, height, slope].map(|of| of.as_chunks::<LANES>().0);
        // One after another, each with no more sums than a processor keeps at hand.
        self.add_powers(of);
        self.add_values(y, of);
        self.add_heights(y, of, t);
        self.add_slopes(y, of, t, s);
    }

    fn add_powers(&mut self, of: &[[f64; LANES]]) {
        let [mut d1, mut d2, mut d3, mut d4] = self.powers;
        for of in of {
            let of = f64x4::from(*of);
            let of2 = of * of;
            d1 += of;
            d2 += of2;
            d3 += of2 * of;
            d4 += of2 * of2;
        }
        self.powers = [d1, d2, d3, d4];
    }

    fn add_values(&mut self, y: &[[f64; LANES]], of: &[[f64; LANES]]) {
        let ([mut y0, mut y1, mut y2, yt, ys], mut yy) = (self.right, self.squares);
        for (y, of) in y.iter().zip(of) {
            let [y, of] = [*y, *of].map(f64x4::from);
            y0 += y;
            y1 += y * of;
            y2 += y * (of * of);
            yy += y * y;
        }
        (self.right, self.squares) = ([y0, y1, y2, yt, ys], yy);
    }

    fn add_heights(&mut self, y: &[[f64; LANES]], of: &[[f64; LANES]], t: &[[f64; LANES]]) {
        let ([mut t0, mut t1, mut t2], mut tt, mut yt) = (self.height, self.own[0], self.right[3]);
        for ((y, of), t) in y.iter().zip(of).zip(t) {
            let [y, of, t] = [*y, *of, *t].map(f64x4::from);
            t0 += t;
            t1 += t * of;
            t2 += t * (of * of);
            tt += t * t;
            yt += y * t;
        }
        (self.height, self.own[0], self.right[3]) = ([t0, t1, t2], tt, yt);
    }

    fn add_slopes(
        &mut self,
        y: &[[f64; LANES]],
        of: &[[f64; LANES]],
        t: &[[f64; LANES]],
        s: &[[f64; LANES]],
    ) {
        let ([mut s0, mut s1, mut s2], mut ys) = (self.slope, self.right[4]);
        let [tt, mut ts, mut ss] = self.own;
        for (((y, of), t), s) in y.iter().zip(of).zip(t).zip(s) {
            let [y, of, t, s] = [*y, *of, *t, *s].map(f64x4::from);
            s0 += s;
            s1 += s * of;
            s2 += s * (of * of);
            ts += t * s;
            ss += s * s;
            ys += y * s;
        }
        (self.slope, self.own, self.right[4]) = ([s0, s1, s2], [tt, ts, ss], ys);
    }

    /// Normal matrix, right side, squares, and how many pixels.
    pub(crate) fn whole(&self) -> (SMatrix<f64, 5, 5>, SVector<f64, 5>, f64, f64) {
        let of = |lanes: &f64x4| lanes.as_array().iter().sum::<f64>();
        let [d1, d2, d3, d4] = self.powers.each_ref().map(of);
        let [[t0, t1, t2], [s0, s1, s2]] =
            [self.height, self.slope].map(|with| with.each_ref().map(of));
        let [tt, ts, ss] = self.own.each_ref().map(of);
        let normal = SMatrix::from([
            [self.count, d1, d2, t0, s0],
            [d1, d2, d3, t1, s1],
            [d2, d3, d4, t2, s2],
            [t0, t1, t2, tt, ts],
            [s0, s1, s2, ts, ss],
        ]);
        (normal, SVector::from(self.right.each_ref().map(of)), of(&self.squares), self.count)
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "tests fail by panicking")]
    use super::*;

    /// A row that is made of level, slope, bend, height and a place a little off gives these back.
    #[test]
    fn what_a_row_is_made_of_comes_back() {
        for sigma in [0.7, 1.7, 6.3] {
            let shape = Shape::bell(sigma);
            let mut rows = Rows::of(shape);
            let reach = rows.reach_px();
            let planted = [3.0, -0.4, 0.2, 5.0, 0.03];
            let mut sums = Sums::default();
            for begin in [0.0, 0.3, 0.77, 0.99] {
                let first = begin - reach;
                let count = (reach - first) as usize + 1;
                for (place, value) in rows.values(count).iter_mut().enumerate() {
                    let d = first + place as f64;
                    let [t, s] = shape.drawn().at(d);
                    let terms = [1.0, d / reach, (d / reach).powi(2), t, s];
                    *value = 100.0 + terms.iter().zip(planted).map(|(a, b)| a * b).sum::<f64>();
                }
                sums.add(&mut rows, count, first, 100.0);
            }
            let (normal, right, squares, _) = sums.whole();
            let found = normal.cholesky().unwrap().solve(&right);
            for (found, planted) in found.iter().zip(planted) {
                assert!((found - planted).abs() < 5e-3, "{sigma}: {found} {planted}");
            }
            assert!((squares - found.dot(&right)).abs() < 1e-4 * squares);
        }
    }
}
