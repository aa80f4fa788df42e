//! What comes out of a fit: the circle, how well it is known, and what each reading leaves.

use crate::angle::{rad_from_deg, turn_deg};
use crate::circle::OffsetCircle;
use crate::direction::Direction;
use crate::ellipse::Ellipse;
use crate::fit::reading::Reading;
use crate::stats::quantile::chi_squared_above;
use crate::uncertainty::{COVERAGE, Uncertainty};

/// Radii below this many of their standard uncertainties, read without ring angles, get no region.
const SHORT: f64 = 10.0;

/// Arcs below this, read without ring angles and with σ not stated, get none either.
const LEAST_ARC_DEG: f64 = 40.0;

/// A fitted offset circle with its health.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CircleFit {
    /// The circle; its phase is `None` when no reading had a ring angle.
    pub circle: OffsetCircle,
    /// Covariance of the parameters; `None` when neither σ is stated nor readings are to spare.
    pub covariance: Option<CircleCovariance>,
    /// Root mean square length of the residuals, arcminutes.
    pub rms_arcmin: f64,
    /// Weighted sum of squared residuals, square arcminutes (over σ² it is χ²).
    pub weighted_squares_arcmin2: f64,
    /// 2·(with angle) + (without) − 4, or − 3 when no reading has an angle.
    pub degrees_of_freedom: usize,
    /// Readings used.
    pub readings: usize,
    /// Those of them with a ring angle.
    pub with_ring: usize,
    /// How the sense is known; `None` when there is no phase.
    pub sense_basis: Option<SenseBasis>,
    /// What the covariance rests on.
    pub sigma_basis: SigmaBasis,
    /// The stated σ, arcminutes.
    pub sigma_arcmin: Option<f64>,
    /// The stated σθ, degrees.
    pub ring_sigma_deg: f64,
    /// The step that readings were rounded to, arcminutes, where it is known ([`CircleFit::with_step`]).
    pub step_arcmin: Option<f64>,
    /// How far round the readings go as seen from the centre, degrees; known only where that decides what is
    /// stated: no ring angle was read and σ is not stated ([`CircleFit::states_regions`]).
    pub arc_deg: Option<f64>,
    /// What the covariance would be were σ 1′ (σθ in its ratio to σ): known even where neither σ
    /// nor spare readings are.
    pub unit_covariance: CircleCovariance,
}

/// How the sense of the ring is known.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum SenseBasis {
    /// Told by the user.
    Given,
    /// Found: the other sense fits worse by `difference` (Δχ², or n ln of the ratio of sums of
    /// squares when σ is not known).
    Found {
        /// At least 9.
        difference: f64,
    },
    /// All readings fit better against the ring, and all but one fit well with it: the sense is not
    /// settled, *with the ring* is used, and the reading stands out.
    Doubted,
    /// The readings cannot tell; *with the ring* is what the optics give.
    Assumed,
}

/// What a covariance rests on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SigmaBasis {
    /// The stated standard uncertainty of a reading.
    Stated,
    /// The residuals' own spread.
    Residuals,
    /// The graticule's step: the residuals spread less than reading to it makes them
    /// ([`CircleFit::with_step`]).
    Step,
    /// Neither: there is no covariance.
    Unknown,
}

/// Whether the residuals' scatter is what the stated σ lets expect.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Consistency {
    /// Weighted sum of squared residuals over σ².
    pub chi_squared: f64,
    /// Degrees of freedom.
    pub freedom: usize,
    /// How likely a χ² at least as far out, on either side, is by chance.
    pub p_value: f64,
    /// Whether the residuals scatter more than stated, rather than less.
    pub scatters_more: bool,
}

impl Consistency {
    /// p < 0.01: the stated σ and the residuals disagree.
    #[must_use]
    pub fn disagrees(&self) -> bool {
        self.p_value < 0.01
    }
}

/// What one reading leaves over.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Residual {
    /// |p − c| − r, arcminutes: a misread graticule shows here.
    pub off_circle_arcmin: f64,
    /// Ring angle as logged less the ring angle the circle gives for that direction, degrees in
    /// (−180, 180]: a misread ring shows here. `None` without a ring angle.
    pub off_angle_deg: Option<f64>,
    /// Distance from where the fit puts this reading, arcminutes, ≥ 0.
    pub length_arcmin: f64,
}

impl CircleFit {
    /// What a reading leaves over.
    #[must_use]
    pub fn residual(&self, reading: &Reading) -> Residual {
        let off_circle_arcmin = self.circle.off_circle_arcmin(reading.direction);
        let of_ring = reading.ring_deg.and_then(|ring_deg| {
            let expected = self.circle.at_ring(ring_deg)?;
            let expected_deg = self.circle.ring_for(reading.direction)?;
            Some((turn_deg(expected_deg, ring_deg), expected))
        });
        Residual {
            off_circle_arcmin,
            off_angle_deg: of_ring.map(|(off_deg, _)| off_deg),
            length_arcmin: of_ring.map_or(off_circle_arcmin.abs(), |(_, expected)| {
                reading.direction.distance_arcmin(expected)
            }),
        }
    }

    /// Degrees of freedom of the variance behind the covariance: infinite where σ is stated;
    /// `None` without covariance.
    #[must_use]
    pub const fn freedom(&self) -> Option<f64> {
        match self.sigma_basis {
            SigmaBasis::Stated => Some(f64::INFINITY),
            SigmaBasis::Residuals | SigmaBasis::Step => Some(self.degrees_of_freedom as f64),
            SigmaBasis::Unknown => None,
        }
    }

    /// The same as a count, where the variance was seen rather than stated.
    pub(crate) const fn counted_freedom(&self) -> Option<usize> {
        match self.sigma_basis {
            SigmaBasis::Residuals | SigmaBasis::Step => Some(self.degrees_of_freedom),
            SigmaBasis::Stated | SigmaBasis::Unknown => None,
        }
    }

    /// The same fit of readings that were rounded to a step, arcminutes. Where no σ is stated and the residuals
    /// spread less than rounding alone makes them, a rectangle one step wide, variance step²/12, stands for
    /// their spread; readings that repeat each other are off by the same, so that it does not fall with them.
    ///
    /// The larger counts, not the sum: what the residuals show has the rounding in it. Student's t keeps the
    /// residuals' degrees of freedom, since they decided which is the larger. A step that is no number
    /// above 0 changes nothing.
    ///
    /// # Source
    /// JCGM 100:2008, F.2.2.1 (resolution of a displaying device).
    #[must_use]
    pub fn with_step(self, readings: &[Reading], step_arcmin: f64) -> Self {
        if !(step_arcmin > 0.0 && step_arcmin.is_finite()) {
            return self;
        }
        let fit = Self { step_arcmin: Some(step_arcmin), ..self };
        let seen = self.weighted_squares_arcmin2 / self.degrees_of_freedom.max(1) as f64;
        let rectangle = fit.rounding_arcmin2();
        // However often they repeat each other, no more than this.
        if self.sigma_basis != SigmaBasis::Residuals || seen >= rectangle * readings.len() as f64 {
            return fit;
        }
        let bits = |reading: &Reading| {
            let Direction { x_arcmin, y_arcmin } = reading.direction;
            [reading.ring_deg.unwrap_or(f64::NAN), x_arcmin, y_arcmin].map(f64::to_bits)
        };
        // There are no fewer different ones than among the first few, which mostly are enough to tell.
        let mut first = 256;
        let least = loop {
            let mut different: Vec<_> = readings.iter().take(first).map(bits).collect();
            let all = different.len() == readings.len();
            different.sort_unstable();
            different.dedup();
            let repeats = readings.len() as f64 / different.len().max(1) as f64;
            let least = rectangle * repeats;
            if seen >= least {
                return fit;
            }
            if all {
                break least;
            }
            first *= 8;
        };
        let unit = self.unit_covariance;
        let scaled = CircleCovariance::from_fn(unit.size(), |i, j| least * unit.get(i, j));
        if !scaled.entries.iter().flatten().all(|entry| entry.is_finite()) {
            return fit;
        }
        Self { covariance: Some(scaled), sigma_basis: SigmaBasis::Step, ..fit }
    }

    /// Variance of a reading's rounding; 0 where the step is not known.
    pub(crate) fn rounding_arcmin2(&self) -> f64 {
        self.step_arcmin.map_or(0.0, |step| step * step / 12.0)
    }

    /// The χ² test of the stated σ; `None` where none is stated or no reading is to spare.
    ///
    /// Both tails count: residuals far smaller than stated are as odd as far larger ones.
    ///
    /// # Source
    /// N. R. Draper, H. Smith, *Applied Regression Analysis*, 3rd ed. (1998), chapter 2 (from
    /// memory).
    #[must_use]
    pub fn consistency(&self) -> Option<Consistency> {
        let sigma = self.sigma_arcmin?;
        let chi_squared = self.weighted_squares_arcmin2 / (sigma * sigma);
        let above = chi_squared_above(chi_squared, self.degrees_of_freedom as f64).ok()?;
        Some(Consistency {
            chi_squared,
            freedom: self.degrees_of_freedom,
            p_value: (2.0 * above.min(1.0 - above)).min(1.0),
            scatters_more: above < 0.5,
        })
    }

    /// Whether regions and intervals of 95 % are stated: where no ring angle was read, only from r ≥ 10 u(r)
    /// on. On a shorter arc centre and radius lie along a curve that no ellipse covers: of 2,000
    /// rounds of 20° the ellipse of the centre held 90 % (`--example coverage`). The covariance stands, as a
    /// measure of how short the arc is.
    ///
    /// Where σ is not stated either, u(r) is an estimate, and the rounds that would be stated are those whose
    /// estimate is too small: of 30° of arc one in seven, of which 70 % held. So there no region is
    /// stated of an arc below 40°, however small the residuals.
    #[must_use]
    pub fn states_regions(&self) -> bool {
        // What is no number states nothing.
        let long = |u: f64| self.circle.radius_arcmin >= SHORT * u;
        let seen = self.arc_deg.is_none_or(|arc_deg| arc_deg >= LEAST_ARC_DEG);
        self.with_ring > 0 || seen && self.radius_u_arcmin().is_none_or(long)
    }

    /// The 95 % ellipse of the centre; `None` without covariance or where it would not hold
    /// ([`CircleFit::states_regions`]).
    #[must_use]
    pub fn centre_ellipse(&self) -> Option<Ellipse> {
        let covariance = self.covariance.filter(|_| self.states_regions())?;
        let [xx, xy, yy] = [(0, 0), (0, 1), (1, 1)].map(|(i, j)| covariance.get(i, j));
        Ellipse::covering(self.circle.centre, [[xx, xy], [xy, yy]], COVERAGE, self.freedom()?).ok()
    }

    /// Whether the readings lie farther off the circle than the stated σ can explain (χ², p < 0.01): no ± that
    /// rests on that σ holds. `false` where none is stated: the ± then rests on the residuals.
    #[must_use]
    pub fn does_not_fit(&self) -> bool {
        self.consistency().is_some_and(|found| found.disagrees() && found.scatters_more)
    }

    /// Weight of a reading's tangential part beside its radial one: 1/(1 + (r σθ/σ)²).
    pub(crate) fn tangential_weight(&self) -> f64 {
        self.sigma_arcmin.map_or(1.0, |sigma| {
            let along = self.circle.radius_arcmin * rad_from_deg(self.ring_sigma_deg);
            1.0 / (1.0 + (along / sigma).powi(2))
        })
    }

    /// How many standard uncertainties reach 95 % for one number of this fit: the normal 1.96 where
    /// σ is stated, Student's t where it was estimated from the residuals; `None` where neither is
    /// known.
    ///
    /// # Source
    /// JCGM 100:2008, G.3.
    #[must_use]
    pub fn coverage_factor(&self) -> Option<f64> {
        Uncertainty { standard: 1.0, freedom: self.freedom()? }.half_width_95()
    }

    /// Half the 95 % interval of a parameter, in the order and units of the covariance; `None` without
    /// covariance or where it would not hold ([`CircleFit::states_regions`], [`CircleFit::does_not_fit`]).
    #[must_use]
    pub fn half_width_95(&self, parameter: usize) -> Option<f64> {
        let holds = self.states_regions() && !self.does_not_fit();
        let covariance = self.covariance.filter(|_| holds)?;
        let variance = covariance.get(parameter, parameter);
        Some(self.coverage_factor()? * variance.max(0.0).sqrt())
    }

    /// u(r), the standard uncertainty of the radius, arcminutes.
    #[must_use]
    pub fn radius_u_arcmin(&self) -> Option<f64> {
        self.covariance.map(|covariance| covariance.get(2, 2).sqrt())
    }

    /// Whether r < 2 u(r): the readings cover too short an arc for the circle to be trusted.
    #[must_use]
    pub fn arc_too_short(&self) -> bool {
        self.radius_u_arcmin().is_some_and(|u| self.circle.radius_arcmin < 2.0 * u)
    }
}

/// Covariance of (c_x, c_y, r, φ), or of (c_x, c_y, r) without a phase; arcminutes and degrees.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CircleCovariance {
    size: usize,
    entries: [[f64; 4]; 4],
}

impl CircleCovariance {
    /// The root of the sum of the squares of its entries.
    pub(crate) fn norm(&self) -> f64 {
        self.entries.iter().flatten().map(|entry| entry * entry).sum::<f64>().sqrt()
    }

    /// From a rule, for 3 or 4 parameters.
    pub(crate) fn from_fn(size: usize, mut entry: impl FnMut(usize, usize) -> f64) -> Self {
        let mut entries = [[0.0; 4]; 4];
        for (i, row) in entries.iter_mut().enumerate().take(size) {
            for (j, held) in row.iter_mut().enumerate().take(size) {
                *held = entry(i, j);
            }
        }
        Self { size, entries }
    }

    /// 4 with a phase, 3 without.
    #[must_use]
    pub const fn size(&self) -> usize {
        self.size
    }

    /// One entry; 0 outside the matrix.
    #[must_use]
    pub fn get(&self, row: usize, column: usize) -> f64 {
        self.entries.get(row).and_then(|entries| entries.get(column)).copied().unwrap_or(0.0)
    }

    /// The covariance times a vector.
    pub(crate) fn times(&self, vector: [f64; 4]) -> [f64; 4] {
        self.entries.map(|row| row.iter().zip(&vector).map(|(entry, part)| entry * part).sum())
    }

    /// Variance of a linear function of (c_x, c_y, r, φ in degrees) with these coefficients.
    #[must_use]
    pub fn variance_of(&self, coefficients: [f64; 4]) -> f64 {
        let product = self.times(coefficients);
        product.iter().zip(&coefficients).map(|(a, b)| a * b).sum::<f64>().max(0.0)
    }

    /// Variance of the circle's edge seen from its centre along a unit direction: of c·u + r,
    /// square arcminutes.
    #[must_use]
    pub fn edge_variance_arcmin2(&self, unit_x: f64, unit_y: f64) -> f64 {
        self.variance_of([unit_x, unit_y, 1.0, 0.0])
    }
}
