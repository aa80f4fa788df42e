//! What a remedy may really give: its use with uncertainty, by seeded trials. A job for a worker
//! thread, not for a frame.

use crate::angle::rad_from_deg;
use crate::channel::{Channel, PerChannel};
use crate::direction::Direction;
use crate::error::Error;
use crate::monte_carlo::{FitSampler, Source, check_trials, quantile};
use crate::remedy::plans::scored;
use crate::remedy::predicted::Prediction;
use crate::swing::{SwingRange, worst_over};
use crate::tolerance::Window;

/// What random trials make of a prediction.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RemedySpread {
    /// Share of the trials in which the circles meet.
    pub meets: f64,
    /// Share of the trials that are inside the window with both rings set to their nearest crossing, over
    /// the swing if one is given.
    pub inside: f64,
    /// Half of the trials use no more of the window than this; `None` where they meet in fewer.
    pub use_50: Option<f64>,
    /// 95 % of them use no more than this; `None` where they meet in fewer.
    pub use_95: Option<f64>,
    /// Trials made.
    pub trials: usize,
    /// The seed.
    pub seed: u64,
}

/// Propagates both fits and what is uncertain of a remedy to the use of the crossing that would then be
/// measured and set: in each trial the circles as they may be, and their own nearest crossing, with both
/// rings set to it by their scales (off by σθ each). What the next round's readings leave open is not in it.
///
/// # Errors
/// [`Error::TooFew`] for fewer than two trials, or a fit without covariance.
///
/// # Source
/// JCGM 101:2008, 5 (propagation of distributions).
pub fn use_after(
    prediction: &Prediction,
    window: &Window,
    swing: Option<SwingRange>,
    trials: usize,
    seed: u64,
) -> Result<RemedySpread, Error> {
    let drawn = |channel: Channel| {
        let predicted = &prediction.circles[channel];
        FitSampler::new(channel, predicted.circle, predicted.of_fit.as_ref(), predicted.freedom)
    };
    let circles = PerChannel { left: drawn(Channel::Left)?, right: drawn(Channel::Right)? };
    let trials = check_trials(trials)?;
    let scales = prediction.circles.iter().any(|(_, circle)| circle.ring_sigma_deg > 0.0);
    let mut source = Source::seeded(seed);
    let mut scores: Vec<f64> = (0..trials)
        .map(|_| {
            let mut left = circles.left.draw(&mut source);
            let mut right = circles.right.draw(&mut source);
            for step in &prediction.together {
                let by = source.normal();
                let moved = |centre: Direction, step: Direction| centre + step * by;
                left.centre = moved(left.centre, step.left);
                right.centre = moved(right.centre, step.right);
            }
            let (score, crossing) = scored(&left, &right, window, swing);
            let Some(point) = crossing.filter(|_| scales) else { return score };
            let points = PerChannel { left: &left, right: &right };
            let points = PerChannel::from_fn(|channel| {
                let slip_deg = prediction.circles[channel].ring_sigma_deg * source.normal();
                let centre = points[channel].centre;
                centre + (point - centre).rotated(rad_from_deg(slip_deg))
            });
            let used = match swing {
                Some(range) => worst_over(points, window, range).used,
                None => window.used_by(points.left, points.right),
            };
            used.worst()
        })
        .collect();
    scores.sort_by(f64::total_cmp);
    let share = |limit: f64| scores.partition_point(|&score| score <= limit) as f64 / trials as f64;
    let finite = |probability| quantile(&scores, probability).filter(|score| score.is_finite());
    Ok(RemedySpread {
        meets: share(f64::MAX),
        inside: share(1.0),
        use_50: finite(0.5),
        use_95: finite(0.95),
        trials,
        seed,
    })
}
