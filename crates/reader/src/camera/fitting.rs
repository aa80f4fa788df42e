//! From marks to a camera map.

use nalgebra::{DMatrix, DVector, Matrix2, Matrix3, SMatrix, Vector3};

use super::{
    CameraMap, LEAST_MARKS, MARKS_FOR_RADIAL, MOST_MARKS, MapError, Mark, Radial, through,
};

/// The fit in numbers of size one: divisions about their mean over their spread, pixels about the middle
/// over half the diagonal. Eight numbers of the homography from divisions to straightened pixels (its last
/// is 1), then k.
#[derive(Clone, Debug)]
pub(super) struct Scaled {
    homography: Matrix3<f64>,
    radial: Radial,
    mean: [f64; 2],
    spread: f64,
    parameters: usize,
}

impl Scaled {
    fn to_one(&self, divisions: [f64; 2]) -> [f64; 2] {
        [(divisions[0] - self.mean[0]) / self.spread, (divisions[1] - self.mean[1]) / self.spread]
    }

    /// Where the map puts divisions in the picture, pixels.
    fn px(&self, divisions: [f64; 2]) -> Option<[f64; 2]> {
        let [x, y] = through(&self.homography, self.to_one(divisions))?;
        let [mx, my] = self.radial.middle_px;
        let half = self.radial.half_diagonal_px;
        self.radial.px_from_straight([mx + half * x, my + half * y])
    }

    /// How that place moves with the parameters, 2 × parameters, pixels.
    pub(super) fn moves_px(&self, px: [f64; 2], divisions: [f64; 2]) -> Option<DMatrix<f64>> {
        let [u, v] = self.to_one(divisions);
        let h = &self.homography;
        let p = h * Vector3::new(u, v, 1.0);
        let [x, y] = through(h, [u, v])?;
        let half = self.radial.half_diagonal_px;
        let w = half / p[2];
        let mut straight = DMatrix::zeros(2, self.parameters);
        let rows = [
            [u, v, 1.0, 0.0, 0.0, 0.0, -x * u, -x * v],
            [0.0, 0.0, 0.0, u, v, 1.0, -y * u, -y * v],
        ];
        for (row, values) in rows.iter().enumerate() {
            for (column, value) in values.iter().enumerate() {
                straight[(row, column)] = value * w;
            }
        }
        if self.parameters > 8 {
            // Straightened places stay where the homography puts them: a larger k moves the picture's.
            let from = self.radial.off_middle(px);
            let rho2 = self.radial.rho_squared(from);
            straight[(0, 8)] = -from[0] * rho2;
            straight[(1, 8)] = -from[1] * rho2;
        }
        let back: Matrix2<f64> = self.radial.derivative(px).try_inverse()?;
        Some(DMatrix::from_fn(2, 2, |row, column| back[(row, column)]) * straight)
    }

    fn moved(&self, step: &DVector<f64>) -> Self {
        let mut next = self.clone();
        for place in 0..8 {
            next.homography[(place / 3, place % 3)] += step[place];
        }
        if self.parameters > 8 {
            next.radial.k += step[8];
        }
        next
    }
}

pub(super) fn map(size_px: [u64; 2], marks: &[Mark]) -> Result<CameraMap, MapError> {
    check(size_px, marks)?;
    let parameters = if marks.len() >= MARKS_FOR_RADIAL { 9 } else { 8 };
    // Marks on one line are refused already: here the middle of the graticule would lie beyond the horizon.
    let start = start(size_px, marks, parameters).ok_or(MapError::NoSuchCamera)?;
    let fit = closest(start, marks).ok_or(MapError::NoSuchCamera)?;
    let seen = seen(&fit, marks).ok_or(MapError::NoSuchCamera)?;
    let inverse = seen.normal.clone().cholesky().ok_or(MapError::OnOneLine)?.inverse();
    let spare = 2 * marks.len() - parameters;
    let u_mark_px = (spare > 0).then(|| (seen.squares / spare as f64).sqrt());
    // Rounding alone is no uncertainty worth the name, but no covariance is smaller.
    let covariance = u_mark_px.map(|u| &inverse * (u * u).max(1e-20));
    let left_out_px = (spare > 0).then(|| left_out(&seen, &inverse)).flatten();
    let half = fit.radial.half_diagonal_px;
    let [mx, my] = fit.radial.middle_px;
    let to_px = Matrix3::new(half, 0.0, mx, 0.0, half, my, 0.0, 0.0, 1.0);
    let [dx, dy] = fit.mean;
    let to_one = Matrix3::new(
        1.0 / fit.spread,
        0.0,
        -dx / fit.spread,
        0.0,
        1.0 / fit.spread,
        -dy / fit.spread,
        0.0,
        0.0,
        1.0,
    );
    let straight_from_divisions = to_px * fit.homography * to_one;
    let back = straight_from_divisions.try_inverse().ok_or(MapError::OnOneLine)?;
    // Its sign: in front of the camera where the marks are.
    let first = fit.radial.straight_from_px(marks[0].px);
    let ahead = (back * Vector3::new(first[0], first[1], 1.0))[2];
    let divisions_from_straight = back / ahead;
    let map = CameraMap {
        radial: fit.radial,
        divisions_from_straight,
        straight_from_divisions,
        fit,
        covariance,
        residuals_px: seen.residuals,
        left_out_px,
        u_mark_px,
    };
    for mark in marks {
        map.divisions_from_px(mark.px).ok_or(MapError::NoSuchCamera)?;
    }
    Ok(map)
}

fn check(size_px: [u64; 2], marks: &[Mark]) -> Result<(), MapError> {
    let found = marks.len();
    if found < LEAST_MARKS {
        return Err(MapError::TooFew { found, least: LEAST_MARKS });
    }
    if found > MOST_MARKS {
        return Err(MapError::TooMany { found, most: MOST_MARKS });
    }
    let [width, height] = size_px;
    for (place, mark) in marks.iter().enumerate() {
        let mut values = mark.px.iter().chain(&mark.divisions);
        // Not a number fails, too.
        if !values.all(|value| value.abs() <= 1e6) {
            return Err(MapError::NotAPlace { mark: place + 1 });
        }
        let [x_px, y_px] = mark.px;
        let inside = |at: f64, pixels: u64| (-0.5..=pixels as f64 - 0.5).contains(&at);
        if !inside(x_px, width) || !inside(y_px, height) {
            let mark = place + 1;
            return Err(MapError::OutsidePicture { mark, width, height, x_px, y_px });
        }
    }
    let apart = |a: [f64; 2], b: [f64; 2]| (a[0] - b[0]).hypot(a[1] - b[1]);
    let size = |of: fn(&Mark) -> [f64; 2]| {
        marks.iter().map(|mark| apart(of(mark), of(&marks[0]))).fold(0.0, f64::max)
    };
    let sizes = [size(|mark| mark.px), size(|mark| mark.divisions)];
    for (place, one) in marks.iter().enumerate() {
        for (other_place, other) in marks.iter().enumerate().skip(place + 1) {
            let of = if apart(one.px, other.px) <= 1e-3 * sizes[0] {
                "in the picture"
            } else if apart(one.divisions, other.divisions) <= 1e-4 * sizes[1] {
                "on the graticule"
            } else {
                continue;
            };
            return Err(MapError::SamePlace { first: place + 1, second: other_place + 1, of });
        }
    }
    let places = [
        marks.iter().map(|mark| mark.px).collect::<Vec<_>>(),
        marks.iter().map(|mark| mark.divisions).collect(),
    ];
    if places.iter().any(|places| nearly_on_one_line(places)) {
        return Err(MapError::OnOneLine);
    }
    Ok(())
}

/// Whether all places, or all but one, lie on one line, to a hundredth of how far they spread.
fn nearly_on_one_line(places: &[[f64; 2]]) -> bool {
    // Without any one of them, the rest must spread two ways.
    (0..places.len()).any(|without| {
        let rest = || places.iter().enumerate().filter(move |(place, _)| *place != without);
        let n = rest().count() as f64;
        let mean = |axis: usize| rest().map(|(_, at)| at[axis]).sum::<f64>() / n;
        let (mx, my) = (mean(0), mean(1));
        let (mut xx, mut xy, mut yy) = (0.0, 0.0, 0.0);
        for (_, [x, y]) in rest() {
            xx += (x - mx) * (x - mx);
            xy += (x - mx) * (y - my);
            yy += (y - my) * (y - my);
        }
        let (half, apart) = (0.5 * (xx + yy), (0.5 * (xx - yy)).hypot(xy));
        // Also where it is not a number.
        let spread = half - apart > 1e-4 * (half + apart);
        !spread
    })
}

/// The normalised direct linear transform, k = 0.
fn start(size_px: [u64; 2], marks: &[Mark], parameters: usize) -> Option<Scaled> {
    let n = marks.len() as f64;
    let mean = [0, 1].map(|axis| marks.iter().map(|mark| mark.divisions[axis]).sum::<f64>() / n);
    let squares: f64 = marks
        .iter()
        .map(|mark| (mark.divisions[0] - mean[0]).powi(2) + (mark.divisions[1] - mean[1]).powi(2))
        .sum();
    let spread = (squares / (2.0 * n)).sqrt();
    let radial = Radial::of(size_px, 0.0);
    let mut fit = Scaled { homography: Matrix3::identity(), radial, mean, spread, parameters };
    let mut normal = SMatrix::<f64, 9, 9>::zeros();
    for mark in marks {
        let [u, v] = fit.to_one(mark.divisions);
        let [x, y] = radial.off_middle(mark.px).map(|px| px / radial.half_diagonal_px);
        for row in [
            [u, v, 1.0, 0.0, 0.0, 0.0, -x * u, -x * v, -x],
            [0.0, 0.0, 0.0, u, v, 1.0, -y * u, -y * v, -y],
        ] {
            let row = SMatrix::<f64, 9, 1>::from(row);
            normal += row * row.transpose();
        }
    }
    let values = normal.symmetric_eigen();
    let least = values.eigenvalues.imin();
    let h = values.eigenvectors.column(least);
    let last = h[8];
    if last.abs() < 1e-9 {
        return None;
    }
    fit.homography = Matrix3::from_fn(|row, column| h[3 * row + column] / last);
    Some(fit)
}

/// Residuals, and what of the parameters they tell.
struct Seen {
    residuals: Vec<[f64; 2]>,
    moves: Vec<DMatrix<f64>>,
    normal: DMatrix<f64>,
    pull: DVector<f64>,
    squares: f64,
}

fn seen(fit: &Scaled, marks: &[Mark]) -> Option<Seen> {
    let count = fit.parameters;
    let mut seen = Seen {
        residuals: Vec::with_capacity(marks.len()),
        moves: Vec::with_capacity(marks.len()),
        normal: DMatrix::zeros(count, count),
        pull: DVector::zeros(count),
        squares: 0.0,
    };
    for mark in marks {
        let px = fit.px(mark.divisions)?;
        let residual = [mark.px[0] - px[0], mark.px[1] - px[1]];
        let moves = fit.moves_px(px, mark.divisions)?;
        let column = DVector::from_row_slice(&residual);
        seen.normal += moves.transpose() * &moves;
        seen.pull += moves.transpose() * &column;
        seen.squares += column.norm_squared();
        seen.residuals.push(residual);
        seen.moves.push(moves);
    }
    seen.squares.is_finite().then_some(seen)
}

/// Levenberg's and Marquardt's way to the least squares.
fn closest(start: Scaled, marks: &[Mark]) -> Option<Scaled> {
    let mut fit = start;
    let mut now = seen(&fit, marks)?;
    let mut damp = 1e-6;
    for _ in 0..200 {
        let mut damped = now.normal.clone();
        for place in 0..fit.parameters {
            damped[(place, place)] *= 1.0 + damp;
        }
        let step = damped.cholesky()?.solve(&now.pull);
        let tried = fit.moved(&step);
        let size = step.amax();
        match seen(&tried, marks) {
            Some(next) if next.squares <= now.squares => {
                let done = size < 1e-12;
                (fit, now) = (tried, next);
                damp = f64::max(damp * 0.1, 1e-15);
                if done {
                    break;
                }
            }
            _ => {
                if size < 1e-10 {
                    break;
                }
                damp *= 10.0;
                if damp > 1e12 {
                    break;
                }
            }
        }
    }
    Some(fit)
}

/// Each residual as it would be without its own mark: (I − H)⁻¹ r.
fn left_out(seen: &Seen, inverse: &DMatrix<f64>) -> Option<Vec<[f64; 2]>> {
    let each = seen.moves.iter().zip(&seen.residuals).map(|(moves, [x, y])| {
        let own = moves * inverse * moves.transpose();
        let rest = Matrix2::new(1.0 - own[(0, 0)], -own[(0, 1)], -own[(1, 0)], 1.0 - own[(1, 1)]);
        if rest.determinant() < 1e-9 {
            return None;
        }
        let [out_x, out_y] = rest.try_inverse().map(|back| {
            let out = back * nalgebra::Vector2::new(*x, *y);
            [out[0], out[1]]
        })?;
        Some([out_x, out_y])
    });
    each.collect()
}
