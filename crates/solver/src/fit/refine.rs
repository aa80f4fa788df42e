//! The search: Newton's method with a fall-back to damped steps, weights held and renewed.

use nalgebra::{Matrix4, Vector4};

use crate::circle::Sense;
use crate::direction::Direction;
use crate::fit::frame::FramedReadings;
use crate::fit::linear::{sensed, times};
use crate::fit::ring_sums::{RingSlope, RingSums};
use crate::fit::row_qr::RowQr;
use crate::fit::settled::{CONDITION_LIMIT, Parameters, Settled, finite};

/// A centre or radius this many times the reach of the readings is a straight line.
const STRAIGHT: f64 = 1e6;
/// Steps below this (relative) are in Newton's quadratic reach: the next is at rounding.
const NEARLY_THERE: f64 = 1e-7;
const MOST_STEPS: usize = 200;
const MOST_WEIGHTINGS: usize = 100;
const MOST_QUICK_STEPS: usize = 12;

/// What is fitted: readings in their frame, the sense, and how uncertain a ring angle is.
#[derive(Clone, Copy, Debug)]
pub(super) struct RefineModel<'a> {
    pub(super) readings: &'a FramedReadings<'a>,
    pub(super) sense: Sense,
    /// σθ in radians over σ in frame units: (σθ r/σ)² is the tangential excess variance.
    pub(super) ring_ratio: f64,
    /// Whether any reading has a ring angle, so that φ is a parameter.
    phased: bool,
    /// The readings that have a ring angle, summed.
    ring_sums: RingSums,
}

/// Sum of squares, gradient (half), Hessian (half), the diagonal of its Gauss–Newton part, and how
/// the gradient grows with the radius that the weights are taken from.
struct Slope {
    cost: f64,
    gradient: Vector4<f64>,
    hessian: Matrix4<f64>,
    gauss_newton: Vector4<f64>,
    by_weight_radius: Vector4<f64>,
}

/// One residual component: its value, first derivatives and weight.
struct Component {
    value: f64,
    row: [f64; 4],
    weight: f64,
}

impl<'a> RefineModel<'a> {
    pub(super) fn new(
        readings: &'a FramedReadings<'a>,
        sense: Sense,
        ring_ratio: f64,
        phased: bool,
    ) -> Self {
        let ring_sums = RingSums::of(readings, sense);
        Self { readings, sense, ring_ratio, phased, ring_sums }
    }

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
        let weight = self.tangential_weight(weight_radius);
        let r = at.radius;
        let zero = Direction::polar(1.0, at.phase_rad);
        for reading in self.readings.iter() {
            let from_centre = reading.at - at.centre;
            let Some(turn) = reading.turn else {
                let distance = from_centre.dot(from_centre).sqrt();
                let n = if distance > 0.0 {
                    from_centre * (1.0 / distance)
                } else {
                    Direction::BORESIGHT
                };
                let row = [-n.x_arcmin, -n.y_arcmin, -1.0, 0.0];
                visit(&Component { value: distance - r, row, weight: 1.0 });
                continue;
            };
            let u = times(zero, sensed(turn, self.sense));
            let t = Direction::new(-u.y_arcmin, u.x_arcmin);
            let (radial, tangential) = (from_centre.dot(u) - r, from_centre.dot(t));
            let mut radial_row = [-u.x_arcmin, -u.y_arcmin, -1.0, 0.0];
            let mut tangential_row = [-t.x_arcmin, -t.y_arcmin, 0.0, -r];
            if self.ring_ratio > 0.0 {
                // The directions of the split turn with φ; so do their derivatives. With equal
                // weights the split means nothing: the residual is the plain vector p − c − r u.
                radial_row[3] = tangential;
                tangential_row[3] = -(radial + r);
            }
            visit(&Component { value: radial, row: radial_row, weight: 1.0 });
            visit(&Component { value: tangential, row: tangential_row, weight });
        }
    }

    /// Distance from the circle and outward normal of each reading without a ring angle.
    fn each_free(&self, at: &Parameters, mut visit: impl FnMut(f64, Direction)) {
        for reading in self.readings.iter().filter(|reading| reading.turn.is_none()) {
            let from_centre = reading.at - at.centre;
            let distance = from_centre.dot(from_centre).sqrt();
            let n =
                if distance > 0.0 { from_centre * (1.0 / distance) } else { Direction::BORESIGHT };
            visit(distance, n);
        }
    }

    /// The weighted sum of squares in units of σ² (σ in frame units).
    pub(super) fn cost(&self, at: &Parameters, weight_radius: f64) -> f64 {
        let mut cost = self.ring_sums.cost(at, self.tangential_weight(weight_radius));
        self.each_free(at, |distance, _| cost += (distance - at.radius).powi(2));
        cost
    }

    /// How much of a cost is rounding: its largest terms are squares of the places and of the radius.
    fn rounding(&self, at: &Parameters) -> f64 {
        let largest = 1.0 + at.centre.dot(at.centre) + at.radius * at.radius;
        4.0 * f64::EPSILON * self.readings.len() as f64 * largest
    }

    fn slope(&self, at: &Parameters, weight_radius: f64) -> Slope {
        let weight = self.tangential_weight(weight_radius);
        let RingSlope { mut cost, mut gradient, mut hessian, mut gauss_newton, by_weight } =
            self.ring_sums.slope(at, weight);
        self.each_free(at, |distance, n| {
            let value = distance - at.radius;
            let bend = if distance > 0.0 { value / distance } else { 0.0 };
            let (x, y) = (n.x_arcmin, n.y_arcmin);
            cost += value * value;
            gradient -= Vector4::new(x, y, 1.0, 0.0) * value;
            hessian[(0, 0)] += x * x + bend * y * y;
            hessian[(1, 1)] += y * y + bend * x * x;
            hessian[(0, 1)] += (1.0 - bend) * x * y;
            hessian[(0, 2)] += x;
            hessian[(1, 2)] += y;
            hessian[(2, 2)] += 1.0;
            gauss_newton += Vector4::new(x * x, y * y, 1.0, 0.0);
        });
        for i in 0..4 {
            for j in 0..i {
                hessian[(i, j)] = hessian[(j, i)];
            }
        }
        if !self.phased {
            // φ is no parameter: hold it with a unit equation of its own.
            hessian[(3, 3)] = 1.0;
            gauss_newton[3] = 1.0;
        }
        let by_radius = -2.0 * self.ring_ratio.powi(2) * weight_radius * weight * weight;
        Slope { cost, gradient, hessian, gauss_newton, by_weight_radius: by_weight * by_radius }
    }

    /// One more step at a place of rest, its slope taken from the residuals themselves: what the sums
    /// lost where readings lie close together is found again.
    fn polished(&self, at: Parameters) -> Parameters {
        let mut gradient = Vector4::zeros();
        self.each_component(&at, at.radius, |component| {
            gradient += Vector4::from(component.row) * (component.weight * component.value);
        });
        let hessian = self.slope(&at, at.radius).hessian;
        let step = hessian.cholesky().map(|hessian| -hessian.solve(&gradient));
        // Steps here are rounding; where one is not, the matrix is, and the place stays.
        step.filter(|step| step.norm() < NEARLY_THERE).map_or(at, |step| at.moved(step.into()))
    }

    /// From a start to a fixed point of weights and parameters, and polished; `None` when the circle runs away
    /// to a straight line or does not come to rest.
    pub(super) fn settle(&self, start: Parameters) -> Option<Parameters> {
        let mut at = start;
        let mut last_change = f64::INFINITY;
        for _ in 0..MOST_WEIGHTINGS {
            if self.ring_ratio > 0.0
                && last_change < 1e-3
                && let Some(found) = self.fixed_point_near(at)
            {
                return Some(self.polished(found));
            }
            let next = self.minimise(at, at.radius)?;
            if self.ring_ratio <= 0.0 {
                return Some(self.polished(next));
            }
            let change = at.distance(&next);
            at = next;
            if change <= f64::EPSILON || (change < 1e-12 && change >= last_change) {
                return Some(self.polished(at));
            }
            last_change = change;
        }
        None
    }

    /// The fixed point of weights and parameters by Newton's method on its condition itself, that the
    /// gradient with weights held at the circle's own radius vanishes; near it only. The weights'
    /// derivative speeds the way there and has no part in where it ends. `None` unless steps
    /// shrink, to rounding.
    fn fixed_point_near(&self, start: Parameters) -> Option<Parameters> {
        let mut at = start;
        let mut last_size = 1e-3;
        for _ in 0..MOST_QUICK_STEPS {
            let slope = self.slope(&at, at.radius);
            let hessian = slope.hessian.cholesky()?;
            // (H + v e_rᵀ) step = −g, v = ∂g/∂(weight radius), by Sherman and Morrison.
            let [held, turned] =
                [slope.gradient, slope.by_weight_radius].map(|v| hessian.solve(&v));
            let step = turned * (held[2] / (1.0 + turned[2])) - held;
            let next = at.moved(step.into());
            let size = step.norm() / (1.0 + at.centre.boresight_arcmin() + at.radius);
            if size <= f64::EPSILON {
                return Some(next);
            }
            if size.is_nan() || size >= 0.5 * last_size {
                // At rounding steps no longer shrink.
                return (last_size < 1e-12).then_some(at);
            }
            (at, last_size) = (next, size);
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
                // A step in the wrong sense is often refused: its cost alone is cheap to see. What the cost
                // itself is rounded by says nothing: where the phase hardly counts, good steps drown in it.
                if free || self.cost(&next, weight_radius) <= slope.cost + self.rounding(&at) {
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
