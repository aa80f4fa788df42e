//! The algebraic circle fit that starts the search: never the answer, since it is biased.

use wide::f64x2;

use crate::circle::OffsetCircle;
use crate::direction::Direction;
use crate::fit::frame::{FramedReadings, WorkingFrame};

/// A root that moved by less of the points' own square than this moves by rounding next: Newton's method
/// squares the share.
const AT_REST: f64 = 1e-9;

/// For a start so much less will do.
const STARTS: f64 = 1e-4;

/// Taubin's fit to points: the smallest Σ (|p − c|² − r²)² / Σ |p − c|².
///
/// # Degenerate input
/// `None` for fewer than three points, points on a line, or numbers that are not finite.
///
/// # Source
/// G. Taubin, IEEE Trans. PAMI 13 (1991) 1115; solved as the smallest root of the characteristic
/// polynomial by Newton's method from zero, which cannot overshoot: N. Chernov, *Circular and
/// Linear Regression*, CRC (2010), section 5.
#[must_use]
pub fn taubin(points: &[Direction]) -> Option<OffsetCircle> {
    let frame = WorkingFrame::around(points.len(), points.iter().copied())?;
    let framed = points.iter().map(|&point| frame.framed(point));
    let circle = PointMoments::of(framed).taubin(AT_REST).filter(|_| frame.unit_arcmin > 0.0)?;
    Some(OffsetCircle::unphased(
        frame.unframed(circle.centre),
        circle.radius_arcmin * frame.unit_arcmin,
    ))
}

/// Means of products of points about their mean, z = x² + y²: all that Taubin's fit needs of them.
#[derive(Clone, Copy, Debug)]
pub(super) struct PointMoments {
    count: usize,
    pub(super) xx: f64,
    pub(super) yy: f64,
    pub(super) xy: f64,
    xz: f64,
    yz: f64,
    zz: f64,
}

impl PointMoments {
    /// Of points in the working frame, where their mean is the origin.
    fn of(points: impl Iterator<Item = Direction>) -> Self {
        let mut sums = [f64x2::ZERO; 6];
        let mut count = 0;
        for Direction { x_arcmin, y_arcmin } in points {
            count += 1;
            let parts = products(f64x2::splat(x_arcmin), f64x2::splat(y_arcmin));
            for (sum, part) in sums.iter_mut().zip(parts) {
                *sum += part;
            }
        }
        Self::from_sums(count, sums.map(|sum| sum.to_array()[0]))
    }

    /// The same of all readings.
    pub(super) fn of_readings(readings: &FramedReadings<'_>) -> Self {
        Self::from_sums(readings.len(), readings.sums(products))
    }

    fn from_sums(count: usize, sums: [f64; 6]) -> Self {
        let share = 1.0 / count as f64;
        let [xx, yy, xy, xz, yz, zz] = sums.map(|sum| sum * share);
        Self { count, xx, yy, xy, xz, yz, zz }
    }

    /// Taubin's circle near enough to start from: off by less than the square of how far it is from the
    /// geometric one.
    pub(super) fn start(&self) -> Option<OffsetCircle> {
        self.taubin(STARTS)
    }

    /// Taubin's circle; `None` of fewer than three points, or of points on a line. The root is at rest where
    /// its last move was less than this share of the points' mean square.
    fn taubin(&self, at_rest: f64) -> Option<OffsetCircle> {
        let Self { count, xx, yy, xy, xz, yz, zz } = *self;
        if count < 3 {
            return None;
        }
        let z = xx + yy;
        let determinant = xx * yy - xy * xy;
        let spread = zz - z * z;
        let a3 = 4.0 * z;
        let a2 = -3.0 * z * z - zz;
        let a1 = spread * z + 4.0 * determinant * z - xz * xz - yz * yz;
        let a0 = xz * (xz * yy - yz * xy) + yz * (yz * xx - xz * xy) - spread * determinant;

        let mut root = 0.0_f64;
        let mut value = a0;
        for _ in 0..99 {
            let slope = a1 + root * (2.0 * a2 + 3.0 * a3 * root);
            let step = value / slope;
            let next = root - step;
            let next_value = a0 + next * (a1 + next * (a2 + next * a3));
            if !next.is_finite() || next_value.abs() >= value.abs() {
                break;
            }
            (root, value) = (next, next_value);
            if step.abs() <= at_rest * z {
                break;
            }
        }
        let scale = 2.0 * (root * root - root * z + determinant);
        let centre = Direction::new(
            (xz * (yy - root) - yz * xy) / scale,
            (yz * (xx - root) - xz * xy) / scale,
        );
        let radius = (centre.dot(centre) + z).sqrt();
        (centre.is_finite() && radius.is_finite()).then(|| OffsetCircle::unphased(centre, radius))
    }
}

/// x², y², xy, xz, yz and z² of two points.
fn products(x: f64x2, y: f64x2) -> [f64x2; 6] {
    let (xx, yy) = (x * x, y * y);
    let z = xx + yy;
    [xx, yy, x * y, x * z, y * z, z * z]
}
