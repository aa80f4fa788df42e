//! What the uncertainties of bores, tubes, eyepieces and shims leave of a match, by seeded trials.
//!
//! In each trial both circles as they may turn out, and both rings at their own nearest crossing: what the
//! bench will measure and set. What its readings leave open then is not in it. Normal distributions.
//!
//! # Source
//! JCGM 101:2008, 5 (propagation of distributions).

use crate::channel::PerChannel;
use crate::circle::OffsetCircle;
use crate::direction::Direction;
use crate::monte_carlo::{Source, quantile};
use crate::remedy::plans::scored;
use crate::shelf::model::{Chance, Radius};
use crate::swing::SwingRange;
use crate::tolerance::Window;

/// What is drawn in each trial.
pub(super) struct Drawn {
    pub(super) centres: PerChannel<Direction>,
    /// Left x, left y, right x, right y.
    pub(super) covariance_arcmin2: [[f64; 4]; 4],
    pub(super) radii: PerChannel<Radius>,
}

/// Trials of each match.
const TRIALS: usize = 4_000;

pub(super) fn chance(
    drawn: &Drawn,
    window: &Window,
    swing: Option<SwingRange>,
    seed: u64,
) -> Chance {
    let factor = lower_factor(drawn.covariance_arcmin2);
    let mut source = Source::seeded(seed);
    let mut scores = Vec::with_capacity(TRIALS);
    let mut met: Vec<Direction> = Vec::new();
    for _ in 0..TRIALS {
        let normals = [(); 4].map(|()| source.normal());
        let off = factor.map(|row| row.iter().zip(&normals).map(|(f, n)| f * n).sum::<f64>());
        let radius = |radius: Radius, normal: f64| (radius.arcmin + radius.u_arcmin * normal).abs();
        let radii = drawn.radii.map(|one| radius(one, source.normal()));
        let left = drawn.centres.left + Direction::new(off[0], off[1]);
        let right = drawn.centres.right + Direction::new(off[2], off[3]);
        let (score, crossing) = scored(
            &OffsetCircle::unphased(left, radii.left),
            &OffsetCircle::unphased(right, radii.right),
            window,
            swing,
        );
        scores.push(score);
        met.extend(crossing);
    }
    scores.sort_by(f64::total_cmp);
    let share = |limit: f64| scores.partition_point(|&score| score <= limit) as f64 / TRIALS as f64;
    let meets = met.len() as f64 / TRIALS as f64;
    Chance {
        inside: share(1.0),
        meets,
        use_95: quantile(&scores, 0.95).filter(|score| score.is_finite()),
        crossing_u_arcmin: (meets >= 0.95).then(|| spread(&met)),
    }
}

/// Standard deviation of x and of y.
fn spread(points: &[Direction]) -> [f64; 2] {
    let count = points.len().max(2) as f64;
    let mean = points.iter().fold(Direction::BORESIGHT, |sum, &point| sum + point * (1.0 / count));
    let squares = points.iter().fold([0.0, 0.0], |[x, y], &point| {
        let off = point - mean;
        [x + off.x_arcmin * off.x_arcmin, y + off.y_arcmin * off.y_arcmin]
    });
    squares.map(|sum| (sum / (count - 1.0)).sqrt())
}

/// Lower triangular L with L Lᵀ the covariance; a variance that is used up leaves a zero column.
pub(super) fn lower_factor(covariance: [[f64; 4]; 4]) -> [[f64; 4]; 4] {
    let mut factor = [[0.0_f64; 4]; 4];
    for column in 0..4 {
        let known: f64 = (0..column).map(|k| factor[column][k].powi(2)).sum();
        let left = covariance[column][column] - known;
        if left.is_nan() || left <= 1e-12 * covariance[column][column] {
            continue;
        }
        let pivot = left.sqrt();
        factor[column][column] = pivot;
        for row in column + 1..4 {
            let known: f64 = (0..column).map(|k| factor[row][k] * factor[column][k]).sum();
            factor[row][column] = (covariance[row][column] - known) / pivot;
        }
    }
    factor
}
