//! The search: Newton's method with a fall-back to damped steps, weights held and renewed.

use nalgebra::{Matrix4, Vector4};

use crate::circle::Sense;
use crate::direction::Direction;
use crate::fit::frame::FramedReadings;
use crate::fit::linear::{sensed, times};
use crate::fit::row_qr::RowQr;
use crate::fit::settled::{CONDITION_LIMIT, Parameters, Settled, finite};

/// A centre or radius this many times the reach of the readings is a straight line.
const STRAIGHT: f64 = 1e6;
/// Steps below this (relative) are in Newton's quadratic reach: the next is at rounding.
const NEARLY_THERE: f64 = 1e-7;
const MOST_STEPS: usize = 200;
const MOST_WEIGHTINGS: usize = 100;

/// What is fitted: readings in their frame, the sense, and how uncertain a ring angle is.
#[derive(Clone, Copy, Debug)]
pub(super) struct Model<'a> {
    pub(super) readings: &'a FramedReadings<'a>,
    pub(super) sense: Sense,
    /// σθ in radians over σ in frame units: (σθ r/σ)² is the tangential excess variance.
    pub(super) ring_ratio: f64,
    /// Whether any reading has a ring angle, so that φ is a parameter.
    pub(super) phased: bool,
}

/// Sum of squares, gradient (half), Hessian (half) and the diagonal of its Gauss–Newton part.
struct Slope {
    cost: f64,
    gradient: Vector4<f64>,
    hessian: Matrix4<f64>,
    gauss_newton: Vector4<f64>,
}

/// One residual component: its value, first derivatives, and Σ of value × second derivative.
struct Component {
    value: f64,
    row: [f64; 4],
    weight: f64,
    bend: [[f64; 4]; 4],
}

impl Model<'_> {
    /// Weight of the tangential component, relative to 1/σ².
    fn tangential_weight(&self, radius: f64) -> f64 {
        1.0 / (1.0 + (self.ring_ratio * radius).powi(2))
    }

    /// The one or two residual components of each reading, with weights held at `weight_radius`.
    fn each_component(
        &self,
        at: &Parameters,
        weight_radius: f64,
        mut visit: impl FnMut(&Component),
    ) {
        let tangential_weight = self.tangential_weight(weight_radius);
        let r = at.radius;
        let zero = Direction::polar(1.0, at.phase_rad);
        for reading in self.readings.iter() {
            let from_centre = reading.at - at.centre;
            let mut bend = [[0.0; 4]; 4];
            let Some(turn) = reading.turn else {
                let distance = from_centre.dot(from_centre).sqrt();
                let value = distance - r;
                let mut row = [0.0, 0.0, -1.0, 0.0];
                if distance > 0.0 {
                    let n = from_centre * (1.0 / distance);
                    row = [-n.x_arcmin, -n.y_arcmin, -1.0, 0.0];
                    let k = value / distance;
                    bend[0][0] = k * n.y_arcmin * n.y_arcmin;
                    bend[1][1] = k * n.x_arcmin * n.x_arcmin;
                    bend[0][1] = -k * n.x_arcmin * n.y_arcmin;
                    bend[1][0] = bend[0][1];
                }
                visit(&Component { value, row, weight: 1.0, bend });
                continue;
            };
            let u = times(zero, sensed(turn, self.sense));
            let t = Direction::new(-u.y_arcmin, u.x_arcmin);
            let (radial, tangential) = (from_centre.dot(u) - r, from_centre.dot(t));
            let mut radial_row = [-u.x_arcmin, -u.y_arcmin, -1.0, 0.0];
            let mut tangential_row = [-t.x_arcmin, -t.y_arcmin, 0.0, -r];
            let mut radial_bend = bend;
            let mut tangential_bend = bend;
            if self.ring_ratio > 0.0 {
                // The directions of the split turn with φ; so do their derivatives.
                radial_row[3] = tangential;
                tangential_row[3] = -(radial + r);
                radial_bend[0][3] = -t.x_arcmin * radial;
                radial_bend[1][3] = -t.y_arcmin * radial;
                radial_bend[3][3] = -(radial + r) * radial;
                tangential_bend[0][3] = u.x_arcmin * tangential;
                tangential_bend[1][3] = u.y_arcmin * tangential;
                tangential_bend[3][3] = -tangential * tangential;
                for k in 0..2 {
                    radial_bend[3][k] = radial_bend[k][3];
                    tangential_bend[3][k] = tangential_bend[k][3];
                }
            } else {
                // Equal weights: the plain vector e = p − c − r u, seen along u and t.
                radial_bend[3][3] = r * radial;
                tangential_bend[2][3] = -tangential;
                tangential_bend[3][2] = -tangential;
            }
            let weight = if self.ring_ratio > 0.0 { tangential_weight } else { 1.0 };
            visit(&Component { value: radial, row: radial_row, weight: 1.0, bend: radial_bend });
            visit(&Component {
                value: tangential,
                row: tangential_row,
                weight,
                bend: tangential_bend,
            });
        }
    }

    /// The weighted sum of squares in units of σ² (σ in frame units).
    pub(super) fn cost(&self, at: &Parameters, weight_radius: f64) -> f64 {
        let mut cost = 0.0;
        self.each_component(at, weight_radius, |component| {
            cost += component.weight * component.value * component.value;
        });
        cost
    }

    fn slope(&self, at: &Parameters, weight_radius: f64) -> Slope {
        let mut slope = Slope {
            cost: 0.0,
            gradient: Vector4::zeros(),
            hessian: Matrix4::zeros(),
            gauss_newton: Vector4::zeros(),
        };
        self.each_component(at, weight_radius, |component| {
            let Component { value, row, weight, bend } = component;
            slope.cost += weight * value * value;
            for i in 0..4 {
                let pull = weight * row[i];
                slope.gradient[i] += value * pull;
                slope.gauss_newton[i] += pull * row[i];
                for j in i..4 {
                    slope.hessian[(i, j)] += pull * row[j] + weight * bend[i][j];
                }
            }
        });
        for i in 0..4 {
            for j in 0..i {
                slope.hessian[(i, j)] = slope.hessian[(j, i)];
            }
        }
        if !self.phased {
            // φ is no parameter: hold it with a unit equation of its own.
            slope.hessian[(3, 3)] = 1.0;
            slope.gauss_newton[3] = 1.0;
        }
        slope
    }

    /// From a start to a fixed point of weights and parameters; `None` when the circle runs away
    /// to a straight line or does not come to rest.
    pub(super) fn settle(&self, start: Parameters) -> Option<Parameters> {
        let mut at = start;
        let mut last_change = f64::INFINITY;
        for _ in 0..MOST_WEIGHTINGS {
            let next = self.minimise(at, at.radius)?;
            if self.ring_ratio <= 0.0 {
                return Some(next);
            }
            let change = at.distance(&next);
            at = next;
            if change <= f64::EPSILON || (change < 1e-12 && change >= last_change) {
                return Some(at);
            }
            last_change = change;
        }
        None
    }

    /// The smallest sum of squares near `start`, weights held: to rounding where they stay, else
    /// to where Newton's method is in quadratic reach, for the next weighting takes over there.
    fn minimise(&self, start: Parameters, weight_radius: f64) -> Option<Parameters> {
        let mut at = start;
        let mut damping = 0.0_f64;
        let mut last_small_step = f64::INFINITY;
        for _ in 0..MOST_STEPS {
            let slope = self.slope(&at, weight_radius);
            if !slope.cost.is_finite() {
                return None;
            }
            let mut moved = None;
            while damping < 1e12 {
                let Some(step) = slope.step(damping) else {
                    damping = (damping * 10.0).max(1e-3);
                    continue;
                };
                let next = at.moved(step.into());
                let size = step.norm() / (1.0 + at.centre.boresight_arcmin() + at.radius);
                let free = damping == 0.0 && size < NEARLY_THERE;
                if free && self.ring_ratio > 0.0 {
                    return Some(next);
                }
                // A step in the wrong sense is often refused: its cost alone is cheap to see.
                if free || self.cost(&next, weight_radius) <= slope.cost {
                    moved = Some((next, size, free));
                    damping = if damping < 1e-6 { 0.0 } else { damping * 0.1 };
                    break;
                }
                damping = (damping * 10.0).max(1e-6);
            }
            let Some((next, size, free)) = moved else {
                // No step goes down: at rounding, if the last step was small; else nowhere.
                return (last_small_step < NEARLY_THERE || slope.is_flat()).then_some(at);
            };
            if next.centre.boresight_arcmin().max(next.radius) > STRAIGHT {
                return None;
            }
            at = next;
            if free {
                if size <= f64::EPSILON || size >= 0.5 * last_small_step {
                    return Some(at);
                }
                last_small_step = size;
            } else if size <= f64::EPSILON {
                // Damped to a standstill: the slope is rounding in a direction that hardly bends.
                return Some(at);
            }
        }
        None
    }

    /// (JᵀWJ)⁻¹ in frame units, φ in radians, order c_x, c_y, r, φ; `None` when undetermined.
    fn inverse_information(&self, at: &Parameters) -> Option<[[f64; 4]; 4]> {
        let columns = if self.phased { 4 } else { 3 };
        // φ's column is measured along the circle, so that all columns have one size.
        let along = at.radius;
        if along <= 0.0 {
            return None;
        }
        let mut qr = RowQr::new(columns);
        self.each_component(at, at.radius, |component| {
            let root = component.weight.sqrt();
            let mut row = component.row.map(|entry| entry * root);
            row[3] /= along;
            qr.add_row(row);
        });
        let mut inverse = qr.inverse_gram(CONDITION_LIMIT)?;
        for k in 0..4 {
            inverse[3][k] /= along;
            inverse[k][3] /= along;
        }
        finite(inverse)
    }

    /// The whole answer at a place where the search came to rest.
    pub(super) fn settled(&self, at: Parameters) -> Settled {
        let (mut cost, mut squares) = (0.0, 0.0);
        self.each_component(&at, at.radius, |component| {
            let square = component.value * component.value;
            cost += component.weight * square;
            squares += square;
        });
        Settled { at, cost, squares, inverse: self.inverse_information(&at) }
    }
}

impl Slope {
    /// The step that solves (H + damping·D) step = −g, if that matrix is positive definite.
    fn step(&self, damping: f64) -> Option<Vector4<f64>> {
        let mut matrix = self.hessian;
        for k in 0..4 {
            matrix[(k, k)] += damping * self.gauss_newton[k].max(1e-12);
        }
        let step = -matrix.cholesky()?.solve(&self.gradient);
        step.iter().all(|part| part.is_finite()).then_some(step)
    }

    /// Whether the gradient is at rounding level.
    fn is_flat(&self) -> bool {
        self.gradient.norm() <= 1e-13 * (1.0 + self.cost)
    }
}
