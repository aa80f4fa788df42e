//! The algebraic circle fit that starts the search: never the answer, since it is biased.

use crate::circle::OffsetCircle;
use crate::direction::Direction;
use crate::fit::frame::Frame;

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
    let frame = Frame::around(points.len(), points.iter().copied())?;
    let framed = points.iter().map(|&point| frame.framed(point));
    let circle = taubin_framed(points.len(), framed).filter(|_| frame.unit_arcmin > 0.0)?;
    Some(OffsetCircle::unphased(
        frame.unframed(circle.centre),
        circle.radius_arcmin * frame.unit_arcmin,
    ))
}

/// The same of points in the working frame, where their mean is the origin.
pub(super) fn taubin_framed(
    count: usize,
    points: impl Iterator<Item = Direction>,
) -> Option<OffsetCircle> {
    if count < 3 {
        return None;
    }
    let [mut xx, mut yy, mut xy, mut xz, mut yz, mut zz] = [0.0_f64; 6];
    points.for_each(|Direction { x_arcmin: x, y_arcmin: y }| {
        let z = x * x + y * y;
        xx += x * x;
        yy += y * y;
        xy += x * y;
        xz += x * z;
        yz += y * z;
        zz += z * z;
    });
    let share = 1.0 / count as f64;
    let [xx, yy, xy, xz, yz, zz] = [xx, yy, xy, xz, yz, zz].map(|sum| sum * share);
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
        let next = root - value / slope;
        let next_value = a0 + next * (a1 + next * (a2 + next * a3));
        if !next.is_finite() || next_value.abs() >= value.abs() {
            break;
        }
        (root, value) = (next, next_value);
    }
    let scale = 2.0 * (root * root - root * z + determinant);
    let centre =
        Direction::new((xz * (yy - root) - yz * xy) / scale, (yz * (xx - root) - xz * xy) / scale);
    let radius = (centre.dot(centre) + z).sqrt();
    (centre.is_finite() && radius.is_finite()).then(|| OffsetCircle::unphased(centre, radius))
}
