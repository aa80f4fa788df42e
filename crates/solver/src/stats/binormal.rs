//! How much of a bivariate normal distribution lies in a box; in a disc: `disc`.

use core::f64::consts::TAU;

use crate::error::Error;
use crate::stats::special::normal_below;

/// A bivariate normal distribution.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Binormal {
    mean: [f64; 2],
    covariance: [[f64; 2]; 2],
}

impl Binormal {
    /// From its mean and covariance.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for a mean that is no number; [`Error::NotACovariance`] unless the
    /// matrix is symmetric, its variances 0 or more, and the correlation from −1 to 1 (beyond by
    /// rounding, 1e-12, is taken as ±1).
    pub fn new(mean: [f64; 2], covariance: [[f64; 2]; 2]) -> Result<Self, Error> {
        for value in mean {
            Error::check(value.is_finite(), "a mean", value, "a number")?;
        }
        let [[xx, xy], [yx, yy]] = covariance;
        let limit = xx.sqrt() * yy.sqrt();
        let holds = xx >= 0.0
            && yy >= 0.0
            && xx.is_finite()
            && yy.is_finite()
            && xy.abs() <= limit * (1.0 + 1e-12)
            && (xy - yx).abs() <= 1e-12 * limit;
        if !holds {
            return Err(Error::NotACovariance { what: "this matrix" });
        }
        let xy = xy.clamp(-limit, limit);
        Ok(Self { mean, covariance: [[xx, xy], [xy, yy]] })
    }

    /// The mean.
    #[must_use]
    pub const fn mean(&self) -> [f64; 2] {
        self.mean
    }

    /// The covariance.
    #[must_use]
    pub const fn covariance(&self) -> [[f64; 2]; 2] {
        self.covariance
    }

    /// Mass in the box from `low` to `high`, edges included; infinite edges are edges too.
    ///
    /// # Degenerate input
    /// Without variance along an axis, that coordinate is its mean. Correlation ±1 is a line. An
    /// edge that is NaN, or out of order, holds nothing.
    ///
    /// # Accuracy
    /// 1e-14, absolute.
    #[must_use]
    pub fn mass_in_box(&self, low: [f64; 2], high: [f64; 2]) -> f64 {
        if !(low[0] <= high[0] && low[1] <= high[1]) {
            return 0.0;
        }
        let [[xx, xy], [_, yy]] = self.covariance;
        let [sx, sy] = [xx.sqrt(), yy.sqrt()];
        if sx <= 0.0 {
            let inside = low[0] <= self.mean[0] && self.mean[0] <= high[0];
            return if inside { mass_between(self.mean[1], sy, low[1], high[1]) } else { 0.0 };
        }
        if sy <= 0.0 {
            let inside = low[1] <= self.mean[1] && self.mean[1] <= high[1];
            return if inside { mass_between(self.mean[0], sx, low[0], high[0]) } else { 0.0 };
        }
        let rho = (xy / (sx * sy)).clamp(-1.0, 1.0);
        // Beyond nine standard deviations lies less than 1e-18: as good as infinitely far, and quicker.
        let standard = |value: f64, axis: usize, s: f64| match (value - self.mean[axis]) / s {
            z if z > 9.0 => f64::INFINITY,
            z if z < -9.0 => f64::NEG_INFINITY,
            z => z,
        };
        let (a0, a1) = (standard(low[0], 0, sx), standard(high[0], 0, sx));
        let (b0, b1) = (standard(low[1], 1, sy), standard(high[1], 1, sy));
        let mass =
            upper_orthant(a0, b0, rho) - upper_orthant(a1, b0, rho) - upper_orthant(a0, b1, rho)
                + upper_orthant(a1, b1, rho);
        mass.clamp(0.0, 1.0)
    }

    /// Mean and standard deviations along the principal axes: smaller spread first.
    pub(super) fn principal(&self) -> ([f64; 2], [f64; 2]) {
        let [[xx, xy], [_, yy]] = self.covariance;
        let half_difference = 0.5 * (xx - yy);
        let reach = half_difference.hypot(xy);
        let middle = 0.5 * (xx + yy);
        let large = middle + reach;
        // The product of the two is the determinant: no cancellation.
        let small = if large > 0.0 { ((xx * yy - xy * xy) / large).max(0.0) } else { 0.0 };
        let turned = 0.5 * xy.atan2(half_difference);
        let (sin, cos) = turned.sin_cos();
        let along = cos * self.mean[0] + sin * self.mean[1];
        let across = cos * self.mean[1] - sin * self.mean[0];
        ([across, along], [small.sqrt(), large.sqrt()])
    }
}

/// Mass of a normal distribution between two values; deviation 0 is a point.
pub(crate) fn mass_between(mean: f64, deviation: f64, low: f64, high: f64) -> f64 {
    if deviation <= 0.0 {
        return if low <= mean && mean <= high { 1.0 } else { 0.0 };
    }
    let (a, b) = ((low - mean) / deviation, (high - mean) / deviation);
    // Differences of the smaller tails keep their digits.
    let mass = if a > 0.0 {
        normal_below(-a) - normal_below(-b)
    } else {
        normal_below(b) - normal_below(a)
    };
    mass.max(0.0)
}

/// Half of Gauss–Legendre nodes (negative side) and weights: 6, 12 and 20 points.
const LEGENDRE_6: [(f64, f64); 3] = [
    (0.932_469_514_203_152, 0.171_324_492_379_170_36),
    (0.661_209_386_466_264_5, 0.360_761_573_048_138_6),
    (0.238_619_186_083_196_93, 0.467_913_934_572_691_04),
];
const LEGENDRE_12: [(f64, f64); 6] = [
    (0.981_560_634_246_719_2, 0.047_175_336_386_511_83),
    (0.904_117_256_370_474_9, 0.106_939_325_995_318_43),
    (0.769_902_674_194_304_7, 0.160_078_328_543_346_23),
    (0.587_317_954_286_617_4, 0.203_167_426_723_065_92),
    (0.367_831_498_998_180_2, 0.233_492_536_538_354_8),
    (0.125_233_408_511_468_9, 0.249_147_045_813_402_78),
];
const LEGENDRE_20: [(f64, f64); 10] = [
    (0.993_128_599_185_094_9, 0.017_614_007_139_152_118),
    (0.963_971_927_277_913_8, 0.040_601_429_800_386_94),
    (0.912_234_428_251_326, 0.062_672_048_334_109_06),
    (0.839_116_971_822_218_8, 0.083_276_741_576_704_75),
    (0.746_331_906_460_150_8, 0.101_930_119_817_240_44),
    (0.636_053_680_726_515, 0.118_194_531_961_518_42),
    (0.510_867_001_950_827_1, 0.131_688_638_449_176_63),
    (0.373_706_088_715_419_56, 0.142_096_109_318_382_05),
    (0.227_785_851_141_645_07, 0.149_172_986_472_603_74),
    (0.076_526_521_133_497_33, 0.152_753_387_130_725_85),
];

/// P(X > h, Y > k) of the standard bivariate normal distribution with a correlation.
///
/// # Source
/// A. Genz, *Numerical computation of rectangular bivariate and trivariate normal and t
/// probabilities*, Statistics and Computing 14 (2004) 251, after Z. Drezner and G. O. Wesolowsky,
/// J. Statist. Comput. Simul. 35 (1990) 101.
fn upper_orthant(h: f64, k: f64, rho: f64) -> f64 {
    if h == f64::INFINITY || k == f64::INFINITY {
        return 0.0;
    }
    if h == f64::NEG_INFINITY && k == f64::NEG_INFINITY {
        return 1.0;
    }
    if h == f64::NEG_INFINITY {
        return normal_below(-k);
    }
    if k == f64::NEG_INFINITY {
        return normal_below(-h);
    }
    let rule: &[(f64, f64)] = match rho.abs() {
        r if r < 0.3 => &LEGENDRE_6,
        r if r < 0.75 => &LEGENDRE_12,
        _ => &LEGENDRE_20,
    };
    let each_node = |f: &dyn Fn(f64) -> f64| -> f64 {
        rule.iter().map(|&(node, weight)| weight * (f(1.0 - node) + f(1.0 + node))).sum()
    };
    let product = h * k;
    if rho.abs() < 0.925 {
        let squares = 0.5 * (h * h + k * k);
        let half_angle = 0.5 * rho.asin();
        let sum = each_node(&|node| {
            let sin = (half_angle * node).sin();
            ((sin * product - squares) / (1.0 - sin * sin)).exp()
        });
        return (sum * half_angle / TAU + normal_below(-h) * normal_below(-k)).clamp(0.0, 1.0);
    }
    // Near ±1: expand about the line, for a positive correlation.
    let (k, product) = if rho < 0.0 { (-k, -product) } else { (k, product) };
    let mut sum = 0.0;
    if rho.abs() < 1.0 {
        let gap = (1.0 - rho) * (1.0 + rho);
        let mut a = gap.sqrt();
        let apart = (h - k).powi(2);
        let c = (4.0 - product) / 8.0;
        let d = (12.0 - product) / 80.0;
        let exponent = -0.5 * (apart / gap + product);
        if exponent > -100.0 {
            sum = a
                * exponent.exp()
                * (1.0 - c * (apart - gap) * (1.0 - d * apart) / 3.0 + c * d * gap * gap);
        }
        if product > -100.0 {
            let b = apart.sqrt();
            let tail = TAU.sqrt() * normal_below(-b / a);
            sum -= (-0.5 * product).exp() * tail * b * (1.0 - c * apart * (1.0 - d * apart) / 3.0);
        }
        a *= 0.5;
        sum += a * each_node(&|node| {
            let square = (a * node).powi(2);
            let root = (1.0 - square).sqrt();
            let exponent = -0.5 * (apart / square + product);
            if exponent <= -100.0 {
                return 0.0;
            }
            let model = 1.0 + c * square * (1.0 + 5.0 * d * square);
            let exact = (-0.5 * product * square / (1.0 + root).powi(2)).exp() / root;
            exponent.exp() * (exact - model)
        });
        sum /= -TAU;
    }
    let mass = if rho > 0.0 {
        sum + normal_below(-h.max(k))
    } else if h >= k {
        -sum
    } else {
        let band = if h < 0.0 {
            normal_below(k) - normal_below(h)
        } else {
            normal_below(-h) - normal_below(-k)
        };
        band - sum
    };
    mass.clamp(0.0, 1.0)
}
