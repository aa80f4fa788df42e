//! The live solve done with a general least-squares crate: the same residuals, parameters, senses
//! and covariance, then the same crossings, window use and setting.

use levenberg_marquardt::{LeastSquaresProblem, LevenbergMarquardt};
use nalgebra034::{Const, Dyn, Matrix, OMatrix, OVector, Owned, SVector};
use solver::meet::meet;
use solver::{
    Channel, CircleFit, Direction, Misalignment, OffsetCircle, PerChannel, Phase, Problem, Reading,
    Sense, Setting, SettingKind,
};

/// Where a search starts: what anyone would write down first, the mean of the points and their
/// mean distance from it. Taubin's fit, which needs code of its own, starts nearer.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Start {
    Mean,
    Taubin,
}

/// c_x, c_y, r, φ; each reading leaves the vector p − c − r(cos(φ − sθ), sin(φ − sθ)).
struct Phased<'a> {
    readings: &'a [Reading],
    sign: f64,
    at: SVector<f64, 4>,
}

/// c_x, c_y, r; each reading leaves |p − c| − r.
struct Free<'a> {
    readings: &'a [Reading],
    at: SVector<f64, 3>,
}

impl Phased<'_> {
    fn angle_rad(&self, reading: &Reading) -> f64 {
        self.at[3] - self.sign * reading.ring_deg.unwrap().to_radians()
    }
}

impl LeastSquaresProblem<f64, Dyn, Const<4>> for Phased<'_> {
    type ResidualStorage = Owned<f64, Dyn>;
    type JacobianStorage = Owned<f64, Dyn, Const<4>>;
    type ParameterStorage = Owned<f64, Const<4>>;

    fn set_params(&mut self, at: &SVector<f64, 4>) {
        self.at = *at;
    }

    fn params(&self) -> SVector<f64, 4> {
        self.at
    }

    fn residuals(&self) -> Option<OVector<f64, Dyn>> {
        let mut residuals = OVector::<f64, Dyn>::zeros(2 * self.readings.len());
        for (k, reading) in self.readings.iter().enumerate() {
            let (sin, cos) = self.angle_rad(reading).sin_cos();
            residuals[2 * k] = reading.direction.x_arcmin - self.at[0] - self.at[2] * cos;
            residuals[2 * k + 1] = reading.direction.y_arcmin - self.at[1] - self.at[2] * sin;
        }
        Some(residuals)
    }

    fn jacobian(&self) -> Option<Matrix<f64, Dyn, Const<4>, Self::JacobianStorage>> {
        let mut jacobian = OMatrix::<f64, Dyn, Const<4>>::zeros(2 * self.readings.len());
        for (k, reading) in self.readings.iter().enumerate() {
            let (sin, cos) = self.angle_rad(reading).sin_cos();
            let r = self.at[2];
            jacobian[(2 * k, 0)] = -1.0;
            jacobian[(2 * k, 2)] = -cos;
            jacobian[(2 * k, 3)] = r * sin;
            jacobian[(2 * k + 1, 1)] = -1.0;
            jacobian[(2 * k + 1, 2)] = -sin;
            jacobian[(2 * k + 1, 3)] = -r * cos;
        }
        Some(jacobian)
    }
}

impl LeastSquaresProblem<f64, Dyn, Const<3>> for Free<'_> {
    type ResidualStorage = Owned<f64, Dyn>;
    type JacobianStorage = Owned<f64, Dyn, Const<3>>;
    type ParameterStorage = Owned<f64, Const<3>>;

    fn set_params(&mut self, at: &SVector<f64, 3>) {
        self.at = *at;
    }

    fn params(&self) -> SVector<f64, 3> {
        self.at
    }

    fn residuals(&self) -> Option<OVector<f64, Dyn>> {
        let centre = Direction::new(self.at[0], self.at[1]);
        Some(OVector::<f64, Dyn>::from_iterator(
            self.readings.len(),
            self.readings.iter().map(|r| r.direction.distance_arcmin(centre) - self.at[2]),
        ))
    }

    fn jacobian(&self) -> Option<Matrix<f64, Dyn, Const<3>, Self::JacobianStorage>> {
        let centre = Direction::new(self.at[0], self.at[1]);
        let mut jacobian = OMatrix::<f64, Dyn, Const<3>>::zeros(self.readings.len());
        for (row, reading) in self.readings.iter().enumerate() {
            let off = reading.direction - centre;
            let distance = off.boresight_arcmin();
            jacobian[(row, 0)] = -off.x_arcmin / distance;
            jacobian[(row, 1)] = -off.y_arcmin / distance;
            jacobian[(row, 2)] = -1.0;
        }
        Some(jacobian)
    }
}

/// One circle with χ² (σ = 1) and (JᵀJ)⁻¹, summed so that nothing of it is left out.
struct Solved {
    circle: OffsetCircle,
    squares: f64,
    covariance_sum: f64,
}

fn phased(readings: &[Reading], sense: Sense, at: SVector<f64, 4>) -> Solved {
    let sign = sense.sign();
    let (solved, report) = LevenbergMarquardt::new().minimize(Phased { readings, sign, at });
    let jacobian = solved.jacobian().unwrap();
    let covariance = (jacobian.transpose() * jacobian).try_inverse().unwrap();
    let phase = Some(Phase { zero_deg: solved.at[3].to_degrees(), sense });
    Solved {
        circle: OffsetCircle { phase, ..circle(solved.at[0], solved.at[1], solved.at[2]) },
        squares: 2.0 * report.objective_function,
        covariance_sum: covariance.sum(),
    }
}

fn free(readings: &[Reading], at: SVector<f64, 3>) -> Solved {
    let (solved, report) = LevenbergMarquardt::new().minimize(Free { readings, at });
    let jacobian = solved.jacobian().unwrap();
    let covariance = (jacobian.transpose() * jacobian).try_inverse().unwrap();
    Solved {
        circle: circle(solved.at[0], solved.at[1], solved.at[2]),
        squares: 2.0 * report.objective_function,
        covariance_sum: covariance.sum(),
    }
}

fn circle(x_arcmin: f64, y_arcmin: f64, radius_arcmin: f64) -> OffsetCircle {
    OffsetCircle::unphased(Direction::new(x_arcmin, y_arcmin), radius_arcmin)
}

fn start_circle(readings: &[Reading], start: Start) -> OffsetCircle {
    let points = readings.iter().map(|reading| reading.direction);
    match start {
        Start::Taubin => {
            let points: Vec<Direction> = points.collect();
            solver::fit::algebraic::taubin(&points).unwrap()
        }
        Start::Mean => {
            let share = 1.0 / readings.len() as f64;
            let centre = points.clone().fold(Direction::BORESIGHT, |sum, p| sum + p) * share;
            let radius = points.map(|p| p.distance_arcmin(centre)).sum::<f64>() * share;
            OffsetCircle::unphased(centre, radius)
        }
    }
}

fn fitted(readings: &[Reading], start: Start) -> Solved {
    let OffsetCircle { centre, radius_arcmin, .. } = start_circle(readings, start);
    let (x, y) = (centre.x_arcmin, centre.y_arcmin);
    let first = readings[0];
    let Some(ring_deg) = first.ring_deg else {
        return free(readings, SVector::<f64, 3>::new(x, y, radius_arcmin));
    };
    let [with, against] = [Sense::With, Sense::Against].map(|sense| {
        let seen_rad = (first.direction - centre).angle_rad();
        let phase_rad = seen_rad + sense.sign() * ring_deg.to_radians();
        phased(readings, sense, SVector::<f64, 4>::new(x, y, radius_arcmin, phase_rad))
    });
    if with.squares <= against.squares { with } else { against }
}

/// Both circles with their covariance, summed up so that none of it is left out.
pub(crate) fn fits(problem: &Problem, start: Start) -> PerChannel<(OffsetCircle, f64)> {
    PerChannel::from_fn(|channel| {
        let solved = fitted(&problem.readings[channel], start);
        (solved.circle, solved.covariance_sum)
    })
}

/// The whole job; `fits` lends its shape to what the crate found, so that the crossings get
/// their covariance at the same price.
pub(crate) fn solve(
    problem: &Problem,
    fits: PerChannel<&CircleFit>,
    start: Start,
) -> (PerChannel<OffsetCircle>, Setting, f64) {
    let solved = PerChannel::from_fn(|channel| fitted(&problem.readings[channel], start));
    let found = PerChannel::from_fn(|channel| CircleFit {
        circle: solved[channel].circle,
        ..*fits[channel]
    });
    let circles = found.map(|fit| fit.circle);
    let met = meet(&circles.left, &circles.right, problem.relation_tolerance)
        .unwrap()
        .with_covariance(found.as_ref());
    let crossing = met.nearest().unwrap();
    let points = PerChannel { left: crossing.point, right: crossing.point };
    let setting = Setting {
        kind: SettingKind::Crossing,
        ring_deg: crossing.ring_deg,
        points,
        misalignment: Misalignment::between(points.left, points.right),
        boresight_arcmin: crossing.boresight_arcmin,
        window_use: problem.window.map(|window| window.used_by(points.left, points.right)),
    };
    let covariances = solved.left.covariance_sum
        + solved[Channel::Right].covariance_sum
        + crossing.covariance_arcmin2.unwrap()[0][0];
    (circles, setting, covariances)
}
