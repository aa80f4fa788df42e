//! The fit equals independent oracles: linear least squares by QR, the levenberg-marquardt crate
//! (a port of MINPACK), and the condition that the gradient with held weights vanishes.

use crate::given::{circle, errors, readings_of, round_angles, without_rings};
use levenberg_marquardt::{LeastSquaresProblem, LevenbergMarquardt};
use nalgebra::{DMatrix, DVector};
use nalgebra034::{Dyn, Matrix, OMatrix, OVector, Owned, U3, Vector3};
use proptest::prelude::*;
use solver::fit::{CircleFit, Reading, SenseChoice, Spread, fit_circle};
use solver::{Channel, Direction};

/// c_x, c_y, a_x, a_y and their covariance over σ², from p = c + R(−sθ) a by Householder
/// QR (nalgebra's SVD loses four digits here, where singular values come in pairs).
fn linear_oracle(readings: &[Reading], sign: f64) -> ([f64; 4], DMatrix<f64>, f64) {
    let rows = 2 * readings.len();
    let mut design = DMatrix::zeros(rows, 4);
    let mut seen = DVector::zeros(rows);
    for (k, reading) in readings.iter().enumerate() {
        let (sin, cos) = (-sign * reading.ring_deg.unwrap()).to_radians().sin_cos();
        for (row, entries) in [(2 * k, [1.0, 0.0, cos, -sin]), (2 * k + 1, [0.0, 1.0, sin, cos])] {
            for (column, entry) in entries.into_iter().enumerate() {
                design[(row, column)] = entry;
            }
        }
        seen[2 * k] = reading.direction.x_arcmin;
        seen[2 * k + 1] = reading.direction.y_arcmin;
    }
    let (q, r) = design.clone().qr().unpack();
    let found = r.solve_upper_triangular(&(q.transpose() * &seen)).unwrap();
    let squares = (&design * &found - &seen).norm_squared();
    let inverse = (design.transpose() * &design).try_inverse().unwrap();
    ([found[0], found[1], found[2], found[3]], inverse, squares)
}

/// The geometric circle fit as MINPACK sees it.
struct Geometric {
    points: Vec<Direction>,
    at: Vector3<f64>,
}

impl LeastSquaresProblem<f64, Dyn, U3> for Geometric {
    type ResidualStorage = Owned<f64, Dyn>;
    type JacobianStorage = Owned<f64, Dyn, U3>;
    type ParameterStorage = Owned<f64, U3>;

    fn set_params(&mut self, at: &Vector3<f64>) {
        self.at = *at;
    }

    fn params(&self) -> Vector3<f64> {
        self.at
    }

    fn residuals(&self) -> Option<OVector<f64, Dyn>> {
        let centre = Direction::new(self.at[0], self.at[1]);
        Some(OVector::<f64, Dyn>::from_iterator(
            self.points.len(),
            self.points.iter().map(|point| point.distance_arcmin(centre) - self.at[2]),
        ))
    }

    fn jacobian(&self) -> Option<Matrix<f64, Dyn, U3, Self::JacobianStorage>> {
        let centre = Direction::new(self.at[0], self.at[1]);
        let mut jacobian = OMatrix::<f64, Dyn, U3>::zeros(self.points.len());
        for (row, point) in self.points.iter().enumerate() {
            let outward = (*point - centre) * (1.0 / point.distance_arcmin(centre));
            jacobian[(row, 0)] = -outward.x_arcmin;
            jacobian[(row, 1)] = -outward.y_arcmin;
            jacobian[(row, 2)] = -1.0;
        }
        Some(jacobian)
    }
}

/// Σ of weighted squares in units of σ², the tangential weight held at `held_radius`; written
/// from the definition, apart from the solver.
fn held_cost(
    readings: &[Reading],
    spread: Spread,
    sign: f64,
    [x, y, r, phase_deg]: [f64; 4],
    held_radius: f64,
) -> f64 {
    let sigma2 = spread.sigma_arcmin.unwrap().powi(2);
    let tangential2 = sigma2 + (held_radius * spread.ring_sigma_deg.to_radians()).powi(2);
    readings
        .iter()
        .map(|reading| {
            let (dx, dy) = (reading.direction.x_arcmin - x, reading.direction.y_arcmin - y);
            match reading.ring_deg {
                None => (dx.hypot(dy) - r).powi(2) / sigma2,
                Some(ring_deg) => {
                    let (sin, cos) = (phase_deg - sign * ring_deg).to_radians().sin_cos();
                    let (radial, tangential) = (dx * cos + dy * sin - r, dy * cos - dx * sin);
                    radial.powi(2) / sigma2 + tangential.powi(2) / tangential2
                }
            }
        })
        .sum()
}

fn fit(readings: &[Reading], spread: Spread, sense: SenseChoice) -> CircleFit {
    fit_circle(Channel::Left, readings, spread, sense).unwrap()
}

proptest! {
    #[test]
    fn with_all_angles_it_is_linear_least_squares(
        given in circle(),
        angles in round_angles(3..=24),
        errors in errors(1.0),
    ) {
        let phase = given.phase.unwrap();
        let readings = readings_of(&given, &angles, &errors);
        let fit = fit(&readings, Spread::default(), SenseChoice::Given(phase.sense));
        let ([x, y, ax, ay], inverse, squares) = linear_oracle(&readings, phase.sense.sign());
        // Ring angles up to 720° are rounded to 2e-15 rad, 2e-13′ on a radius of 100′, coordinates up
        // to 300′ to 6e-14′; three angles 60° apart multiply that by less than ten.
        let rounding_arcmin = 3e-12;
        prop_assert!(fit.circle.centre.distance_arcmin(Direction::new(x, y)) < rounding_arcmin);
        let radius = ax.hypot(ay);
        prop_assert!((fit.circle.radius_arcmin - radius).abs() < rounding_arcmin);
        let phase_deg = ay.atan2(ax).to_degrees();
        let off_deg = solver::angle::turn_deg(phase_deg, fit.circle.phase.unwrap().zero_deg);
        prop_assert!(off_deg.to_radians().abs() * radius < rounding_arcmin);
        prop_assert!((fit.weighted_squares_arcmin2 - squares).abs() < 1e-9 * (1.0 + squares));

        // (a_x, a_y) → (r, φ in degrees), to first order.
        let dof = 2 * readings.len() - 4;
        let (cos, sin) = (ax / radius, ay / radius);
        let mut jacobian = DMatrix::identity(4, 4);
        let degrees = 1f64.to_degrees() / radius;
        for (k, entry) in [((2, 2), cos), ((2, 3), sin), ((3, 2), -sin * degrees), ((3, 3), cos * degrees)] {
            jacobian[k] = entry;
        }
        let expected = &jacobian * inverse * jacobian.transpose() * (squares / dof as f64);
        let covariance = fit.covariance.unwrap();
        for i in 0..4 {
            for j in 0..4 {
                let size = (expected[(i, i)] * expected[(j, j)]).sqrt();
                prop_assert!((covariance.get(i, j) - expected[(i, j)]).abs() <= 1e-9 * size);
            }
        }
    }

    #[test]
    fn without_angles_it_is_minpacks_geometric_fit(
        given in circle(),
        angles in round_angles(5..=24),
        errors in errors(0.5),
    ) {
        let readings = without_rings(&readings_of(&given, &angles, &errors));
        let fit = fit(&readings, Spread::default(), SenseChoice::Auto);
        let points: Vec<_> = readings.iter().map(|reading| reading.direction).collect();
        let start = solver::fit::algebraic::taubin(&points).unwrap();
        let problem = Geometric {
            points,
            at: Vector3::new(start.centre.x_arcmin, start.centre.y_arcmin, start.radius_arcmin),
        };
        let (problem, report) = LevenbergMarquardt::new().minimize(problem);
        prop_assert!(report.termination.was_successful());
        let oracle = problem.at;
        // MINPACK stops when the sum of squares S stands still to rounding, which leaves the
        // parameters open to the root of that: 1e-8 of √S, times the conditioning.
        let open = 1e-7 * (1.0 + fit.weighted_squares_arcmin2.sqrt());
        prop_assert!(
            fit.circle.centre.distance_arcmin(Direction::new(oracle[0], oracle[1])) < open
        );
        prop_assert!((fit.circle.radius_arcmin - oracle[2].abs()).abs() < open);
        // And ours is no worse than its.
        prop_assert!(
            fit.weighted_squares_arcmin2 <= 2.0 * report.objective_function * (1.0 + 1e-12) + 1e-20
        );
    }

    #[test]
    fn with_ring_uncertainty_the_gradient_with_held_weights_vanishes(
        given in circle(),
        angles in round_angles(5..=24),
        errors in errors(0.5),
        left_out in 1..5_usize,
        sigma_arcmin in 0.1..1.0,
        ring_sigma_deg in 0.1..3.0,
    ) {
        let phase = given.phase.unwrap();
        let sign = phase.sense.sign();
        let mut readings = readings_of(&given, &angles, &errors);
        for reading in readings.iter_mut().skip(1).step_by(left_out) {
            reading.ring_deg = None;
        }
        let spread = Spread { sigma_arcmin: Some(sigma_arcmin), ring_sigma_deg };
        let fit = fit(&readings, spread, SenseChoice::Given(phase.sense));
        let at = [
            fit.circle.centre.x_arcmin,
            fit.circle.centre.y_arcmin,
            fit.circle.radius_arcmin,
            fit.circle.phase.unwrap().zero_deg,
        ];
        let cost = |at| held_cost(&readings, spread, sign, at, fit.circle.radius_arcmin);
        let centre = cost(at);
        prop_assert!(
            (centre * sigma_arcmin * sigma_arcmin - fit.weighted_squares_arcmin2).abs()
                <= 1e-9 * (1.0 + fit.weighted_squares_arcmin2)
        );
        let covariance = fit.covariance.unwrap();
        for i in 0..4 {
            // Central differences a thousandth of a standard uncertainty wide; χ² changes by 1 over
            // about one of those. Their error is the third derivative’s, of order (step/u)²,
            // and rounding, 1e-16 × cost / step: both far under the 1e-5 allowed.
            let u = covariance.get(i, i).sqrt();
            let step = 1e-3 * u;
            let moved = |by: f64| {
                let mut moved = at;
                moved[i] += by;
                cost(moved)
            };
            let (up, down) = (moved(step), moved(-step));
            let slope_per_u = (up - down) / (2.0 * step) * u;
            prop_assert!(slope_per_u.abs() < 1e-5, "parameter {i}: χ² slopes by {slope_per_u} per u");
            let rounding = 1e-12 * (1.0 + centre);
            prop_assert!(up.min(down) > centre - rounding, "no minimum along parameter {i}");
        }
    }

    /// The fixed point is found faster than by the definition's own iteration, and is the same:
    /// one more step of that, weights held, slope and matrix from residuals by this file, stays.
    #[test]
    fn with_ring_uncertainty_one_more_step_goes_nowhere(
        given in circle(),
        angles in round_angles(5..=24),
        errors in errors(0.5),
        left_out in 1..5_usize,
        sigma_arcmin in 0.1..1.0,
        ring_sigma_deg in 0.1..3.0,
    ) {
        let phase = given.phase.unwrap();
        for all in [true, false] {
            let mut readings = readings_of(&given, &angles, &errors);
            if !all {
                for reading in readings.iter_mut().skip(1).step_by(left_out) {
                    reading.ring_deg = None;
                }
            }
            let spread = Spread { sigma_arcmin: Some(sigma_arcmin), ring_sigma_deg };
            let fit = fit(&readings, spread, SenseChoice::Given(phase.sense));
            let circle = fit.circle;
            let (r, zero_rad) = (circle.radius_arcmin, circle.phase.unwrap().zero_deg.to_radians());
            let along = r * ring_sigma_deg.to_radians() / sigma_arcmin;
            let weight = 1.0 / (1.0 + along * along);
            // Gauss–Newton; φ measured along the circle.
            let (mut matrix, mut pull) = (DMatrix::zeros(4, 4), DVector::zeros(4));
            for reading in &readings {
                let off = reading.direction - circle.centre;
                let mut add = |row: [f64; 4], value: f64, weight: f64| {
                    let row = DVector::from_row_slice(&row);
                    matrix += &row * row.transpose() * weight;
                    pull += &row * (value * weight);
                };
                let Some(ring_deg) = reading.ring_deg else {
                    let (sin, cos) = off.y_arcmin.atan2(off.x_arcmin).sin_cos();
                    add([-cos, -sin, -1.0, 0.0], off.x_arcmin.hypot(off.y_arcmin) - r, 1.0);
                    continue;
                };
                let (sin, cos) = (zero_rad - phase.sense.sign() * ring_deg.to_radians()).sin_cos();
                let outward = off.x_arcmin * cos + off.y_arcmin * sin;
                let across = off.y_arcmin * cos - off.x_arcmin * sin;
                add([-cos, -sin, -1.0, across / r], outward - r, 1.0);
                add([sin, -cos, 0.0, -outward / r], across, weight);
            }
            let step = matrix.lu().solve(&pull).unwrap();
            // As for exact data: rounding of coordinates and angles, here seen through phases kept
            // in degrees, times what a round of few angles makes of it.
            prop_assert!(step.norm() < 3e-12, "all angles {all}: a step of {}′", step.norm());
        }
    }
}
