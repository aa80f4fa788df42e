//! What a block's least squares need, summed row by row: level, slope, bend, height and place of the shape.

use nalgebra::{SMatrix, SVector};

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
    /// A row's values, and its distances as shares of the reach; nothing beyond its end.
    values: Vec<f64>,
    of: Vec<f64>,
}

impl Rows {
    pub(crate) fn of(shape: Shape) -> Self {
        let reach = shape.reach_px();
        let places = ((2.0 * reach) as usize + 1).next_multiple_of(LANES);
        let mut tables = [(); 2].map(|()| Vec::with_capacity((TABLES + 1) * places));
        for table in 0..=TABLES {
            for place in 0..places {
                let d = table as f64 / TABLES as f64 + place as f64 - reach;
                let both = if d > reach { [0.0; 2] } else { shape.at(d) };
                for (table, value) in tables.iter_mut().zip(both) {
                    table.push(value);
                }
            }
        }
        Self { reach, places, tables, values: vec![0.0; places], of: vec![0.0; places] }
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
    powers: [[f64; LANES]; 4],
    /// Of height and of slope with the distance's powers from none to two.
    height: [[f64; LANES]; 3],
    slope: [[f64; LANES]; 3],
    /// Of height², height × slope, slope².
    own: [[f64; LANES]; 3],
    /// Of the value with each of the five; and its square.
    right: [[f64; LANES]; 5],
    squares: [f64; LANES],
}

impl Sums {
    /// Adds the row whose `count` values are there, less `base`, the first of them at the distance `first`.
    pub(crate) fn add(&mut self, rows: &mut Rows, count: usize, first: f64, base: f64) {
        let Rows { reach, places, tables, values, of } = rows;
        self.count += count as f64;
        let scale = 1.0 / *reach;
        for (place, (value, of)) in values.iter_mut().zip(of.iter_mut()).enumerate() {
            let inside = place < count;
            *value = if inside { *value - base } else { 0.0 };
            *of = if inside { (first + place as f64) * scale } else { 0.0 };
        }
        let table = ((first + *reach) * TABLES as f64).clamp(0.0, TABLES as f64 - 1e-9);
        let (from, share) = (table as usize * *places, table.fract());
        let [heights, slopes] = tables.each_ref().map(|table| {
            let (here, next) = table[from..from + 2 * *places].split_at(*places);
            here.as_chunks::<LANES>().0.iter().zip(next.as_chunks::<LANES>().0)
        });
        let row = values.as_chunks::<LANES>().0.iter().zip(of.as_chunks::<LANES>().0);
        for (((y, of), (t, next_t)), (s, next_s)) in row.zip(heights).zip(slopes) {
            for lane in 0..LANES {
                let (y, of) = (y[lane], of[lane]);
                let t = t[lane] + share * (next_t[lane] - t[lane]);
                let s = s[lane] + share * (next_s[lane] - s[lane]);
                let of2 = of * of;
                self.powers[0][lane] += of;
                self.powers[1][lane] += of2;
                self.powers[2][lane] += of2 * of;
                self.powers[3][lane] += of2 * of2;
                self.height[0][lane] += t;
                self.height[1][lane] += t * of;
                self.height[2][lane] += t * of2;
                self.slope[0][lane] += s;
                self.slope[1][lane] += s * of;
                self.slope[2][lane] += s * of2;
                self.own[0][lane] += t * t;
                self.own[1][lane] += t * s;
                self.own[2][lane] += s * s;
                self.right[0][lane] += y;
                self.right[1][lane] += y * of;
                self.right[2][lane] += y * of2;
                self.right[3][lane] += y * t;
                self.right[4][lane] += y * s;
                self.squares[lane] += y * y;
            }
        }
    }

    /// Normal matrix, right side, squares, and how many pixels.
    pub(crate) fn whole(&self) -> (SMatrix<f64, 5, 5>, SVector<f64, 5>, f64, f64) {
        let of = |lanes: &[f64; LANES]| lanes.iter().sum::<f64>();
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
                    let [t, s] = shape.at(d);
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
