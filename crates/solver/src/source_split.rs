//! Housing error apart from tube offset, from rounds with tubes swapped or turned.
//!
//! With eyepieces staying, the centre of a channel's circle is c = b + R(−τ) t: b the pod's own error,
//! t the offset of the tube in it, τ how far the tube was turned (degrees clockwise). Rounds
//! with tubes in other pods or turned give equations; their rank says what they determine. What they
//! do not determine is not reported.
//!
//! Round 1 with tube A left, round 2 swapped, fixes b_L − b_R = ((c_L1 + c_L2) − (c_R1 + c_R2))/2 and
//! t_A − t_B = ((c_L1 − c_L2) + (c_R2 − c_R1))/2, and no more.

use nalgebra::{DMatrix, DVector};

use crate::angle::rad_from_deg;
use crate::channel::Channel;
use crate::direction::Direction;
use crate::error::Error;
use crate::stats::quantile::chi_squared_above;
use crate::stats::sample::{check_count, check_values};
use crate::uncertainty::Uncertainty;

/// One channel's centre in one round.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Observation {
    /// Which pod.
    pub pod: Channel,
    /// Which tube, counted from 0.
    pub tube: usize,
    /// How far the tube was turned in its seat, degrees clockwise seen from the eye side.
    pub turned_deg: f64,
    /// The circle's centre.
    pub centre: Direction,
    /// Its standard uncertainty, each axis, arcminutes, from 0.001 to 1000.
    pub u_arcmin: f64,
}

/// What a centre is made of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CentrePart {
    /// A pod's own error, b.
    Pod(Channel),
    /// A tube's offset, t, unturned.
    Tube(usize),
}

/// A quantity that the rounds determine.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Determined {
    /// Its value.
    pub value: Direction,
    /// Its standard uncertainty along x and y, arcminutes.
    pub u_arcmin: [f64; 2],
}

impl Determined {
    /// Half the width of the interval that holds it with 95 %, along x and y, arcminutes: the
    /// uncertainties are stated, so the normal distribution's.
    #[must_use]
    pub fn half_width_95(&self) -> [Option<f64>; 2] {
        self.u_arcmin
            .map(|standard| Uncertainty { standard, freedom: f64::INFINITY }.half_width_95())
    }
}

/// The split of a set of rounds.
#[derive(Clone, Debug, PartialEq)]
pub struct Split {
    tubes: usize,
    /// Independent combinations that are determined, of all unknown components.
    pub rank: usize,
    /// Unknown components: two for each pod and tube.
    pub unknowns: usize,
    /// Equations to spare: a check, when there are any.
    pub degrees_of_freedom: usize,
    /// Weighted sum of squares left, χ² of the stated uncertainties.
    pub chi_squared: f64,
    solution: DVector<f64>,
    covariance: DMatrix<f64>,
    row_space: DMatrix<f64>,
}

/// Most tubes in one split: more than any shop turns over in one unit.
const MOST_TUBES: usize = 64;
/// Singular values below this share of the largest count as none: angles are typed to 1e-3 at best,
/// rounding is 1e-15.
const NO_SINGULAR_VALUE: f64 = 1e-9;

impl Split {
    /// By least squares, the smallest solution, with its rank.
    ///
    /// # Errors
    /// [`Error::TooFew`] without observations; [`Error::OutOfRange`] for what is no number, an
    /// uncertainty out of range, or a tube number beyond 63.
    pub fn of(observations: &[Observation]) -> Result<Self, Error> {
        check_count("centres measured", observations.len(), 1)?;
        for observation in observations {
            let Observation { tube, turned_deg, centre, u_arcmin, .. } = *observation;
            Error::check(tube < MOST_TUBES, "a tube's number", tube as f64, "from 0 to 63")?;
            check_values("a turn of a tube", &[turned_deg])?;
            check_values("a centre", &[centre.x_arcmin, centre.y_arcmin])?;
            let holds = (1e-3..=1e3).contains(&u_arcmin);
            Error::check(holds, "a standard uncertainty", u_arcmin, "from 0.001′ to 1000′")?;
        }
        let tubes = observations.iter().map(|o| o.tube + 1).max().unwrap_or(0);
        let (rows, unknowns) = (2 * observations.len(), 4 + 2 * tubes);
        let mut design = DMatrix::zeros(rows, unknowns);
        let mut seen = DVector::zeros(rows);
        for (k, observation) in observations.iter().enumerate() {
            let weight = 1.0 / observation.u_arcmin;
            let (sin, cos) = rad_from_deg(-observation.turned_deg).sin_cos();
            let pod = column_of(CentrePart::Pod(observation.pod));
            let tube = column_of(CentrePart::Tube(observation.tube));
            for axis in 0..2 {
                design[(2 * k + axis, pod + axis)] = weight;
            }
            design[(2 * k, tube)] = weight * cos;
            design[(2 * k, tube + 1)] = -weight * sin;
            design[(2 * k + 1, tube)] = weight * sin;
            design[(2 * k + 1, tube + 1)] = weight * cos;
            seen[2 * k] = weight * observation.centre.x_arcmin;
            seen[2 * k + 1] = weight * observation.centre.y_arcmin;
        }
        // All entries are finite and iterations are capped: the decomposition cannot hang.
        let undetermined = Error::TooFew { what: "independent centres", found: 0, needed: 1 };
        let svd =
            design.clone().try_svd(true, true, f64::EPSILON, 10_000).ok_or(undetermined.clone())?;
        let (Some(u), Some(v_t)) = (svd.u, svd.v_t) else {
            return Err(undetermined);
        };
        let largest = svd.singular_values.iter().copied().fold(0.0, f64::max);
        let mut solution = DVector::zeros(unknowns);
        let mut covariance = DMatrix::zeros(unknowns, unknowns);
        let mut row_space = DMatrix::zeros(unknowns, unknowns);
        let mut rank = 0;
        for (k, &value) in svd.singular_values.iter().enumerate() {
            if value <= NO_SINGULAR_VALUE * largest {
                continue;
            }
            rank += 1;
            let direction = v_t.row(k).transpose();
            solution += &direction * (u.column(k).dot(&seen) / value);
            let outer = &direction * direction.transpose();
            covariance += &outer / (value * value);
            row_space += outer;
        }
        let chi_squared = (design * &solution - seen).norm_squared();
        Ok(Self {
            tubes,
            rank,
            unknowns,
            degrees_of_freedom: rows - rank,
            chi_squared,
            solution,
            covariance,
            row_space,
        })
    }

    /// How likely rounds that differ by their stated uncertainties alone disagree at least as much
    /// (χ²); `None` where nothing is left over to tell.
    #[must_use]
    pub fn chance(&self) -> Option<f64> {
        let freedom = self.degrees_of_freedom as f64;
        (freedom > 0.0).then(|| chi_squared_above(self.chi_squared, freedom).ok()).flatten()
    }

    /// Σ weight × part, if the rounds determine it; `None` if they do not, or know no such tube.
    #[must_use]
    pub fn determined(&self, combination: &[(CentrePart, f64)]) -> Option<Determined> {
        let turned: Vec<_> =
            combination.iter().map(|&(part, weight)| (part, weight, 0.0)).collect();
        self.determined_turned(&turned)
    }

    /// Σ weight × R(−τ) part, τ in degrees clockwise: parts as they sit. `None` if the rounds do not
    /// determine it, or know no such tube.
    #[must_use]
    pub fn determined_turned(&self, combination: &[(CentrePart, f64, f64)]) -> Option<Determined> {
        let mut weights = [DVector::zeros(self.unknowns), DVector::zeros(self.unknowns)];
        for &(part, weight, turned_deg) in combination {
            let known = !matches!(part, CentrePart::Tube(tube) if tube >= self.tubes);
            if !known || !weight.is_finite() || !turned_deg.is_finite() {
                return None;
            }
            let (sin, cos) = rad_from_deg(-turned_deg).sin_cos();
            let column = column_of(part);
            weights[0][column] += weight * cos;
            weights[0][column + 1] -= weight * sin;
            weights[1][column] += weight * sin;
            weights[1][column + 1] += weight * cos;
        }
        let mut parts = [0.0; 2];
        let mut u_arcmin = [0.0; 2];
        for (axis, weights) in weights.iter().enumerate() {
            let missing = weights - &self.row_space * weights;
            if missing.norm() > 1e-6 * weights.norm() {
                return None;
            }
            parts[axis] = weights.dot(&self.solution);
            u_arcmin[axis] =
                (weights.transpose() * &self.covariance * weights)[(0, 0)].max(0.0).sqrt();
        }
        Some(Determined { value: Direction::new(parts[0], parts[1]), u_arcmin })
    }
}

const fn column_of(part: CentrePart) -> usize {
    match part {
        CentrePart::Pod(Channel::Left) => 0,
        CentrePart::Pod(Channel::Right) => 2,
        CentrePart::Tube(tube) => 4 + 2 * tube,
    }
}
