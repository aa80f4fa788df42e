//! Whether two lines are those of one crosshair: alike, each in one course and of one width. Where two crosshairs lie
//! nearly on one another, turned alike, a line of both is wider or higher than the line that crosses it, or changes where
//! the shorter of two arms ends.
//!
//! The limits were chosen on 5,000 invented pairs and 1,237 single crosshairs, and counted on others (DEVELOPERS.md): no
//! source.

use nalgebra::{Matrix3, Vector3};

use crate::blocks::Seen;
use crate::crowding::widths;
use crate::path::{Node, median_of};
use crate::refusal::Unlike;
use crate::trace::Line;

/// One may be this much wider than the other, and this much higher: shares of the smaller.
const WIDER: f64 = 1.22;
const HIGHER: f64 = 1.28;

/// How far what a line leaves may add up on one side of its course before it is stepped: standard deviations of the sum
/// of all.
const STEPPED: f64 = 3.0;

/// Its width may differ from piece to piece by this share, where that is clear: squares of standard deviations.
const WIDTHS: f64 = 0.2;
const WIDTHS_CHI2: f64 = 10.0;

/// Pieces of a line for that; fewer tell nothing.
const LEAST_PIECES: usize = 4;

/// Lenses bend no line more than by this share of its distance from the picture's middle, at its corner.
const MOST_RADIAL: f64 = 0.15;

/// Whether both look alike.
pub(crate) fn both(flat: &Line, upright: &Line) -> Result<(), Unlike> {
    let larger = |a: f64, b: f64| a.max(b) / a.min(b);
    let percent = |ratio: f64| 100.0 * (ratio - 1.0);
    let wider = larger(flat.width_px(), upright.width_px());
    let higher = larger(flat.height, upright.height);
    if wider > WIDER {
        return Err(Unlike::Wider { percent: percent(wider) });
    }
    if higher > HIGHER {
        return Err(Unlike::Higher { percent: percent(higher) });
    }
    Ok(())
}

/// Whether a line, as it is seen, runs in one course, and is of one width. `nodes`: its places, the lens's distortion
/// taken away where that is known; `size`: the picture's.
pub(crate) fn along(
    line: &Line,
    seen: &Seen,
    nodes: &[Node],
    size: [usize; 2],
) -> Result<(), Unlike> {
    if is_stepped(line, nodes, size) {
        return Err(Unlike::Stepped);
    }
    if widens(line, seen) {
        return Err(Unlike::Widens);
    }
    Ok(())
}

fn is_stepped(line: &Line, nodes: &[Node], size: [usize; 2]) -> bool {
    let Some(rests) = rests(nodes, lens_may_bend(line, size)) else { return false };
    // As they scatter from one to the next: what is stepped scatters no more than what is not.
    let steps = rests.windows(2).filter_map(|two| match two {
        [a, b] => Some((a - b).abs()),
        _ => None,
    });
    let typical = 1.4826 * median_of(steps).unwrap_or(0.0) * core::f64::consts::FRAC_1_SQRT_2;
    let scale = typical.max(1.0) * (rests.len() as f64).sqrt();
    let mut sum = 0.0;
    rests.iter().any(|rest| {
        sum += rest / scale;
        sum.abs() > STEPPED
    })
}

/// Whether a line may be bent by the camera's lens as far as it is.
fn lens_may_bend(line: &Line, size: [usize; 2]) -> bool {
    let bend = line.path().c[2].abs();
    let [width, height] = size.map(|side| side as f64);
    let [_, middle] = line.way.along_across([0.5 * (width - 1.0), 0.5 * (height - 1.0)]);
    let [along, _] = line.way.along_across([0.5 * (width - 1.0), 0.5 * (height - 1.0)]);
    let away = (line.path().at(along) - middle).abs();
    let half_diagonal2 = 0.25 * (width * width + height * height);
    let spare = 4.0 * line.fitted.covariance[(2, 2)].max(0.0).sqrt();
    bend > 0.0 && bend <= MOST_RADIAL * away / half_diagonal2 + spare
}

/// What a straight or, `bent`, a bent course leaves of each place, standard deviations; plain least squares, for a robust
/// fit hides what is looked for.
fn rests(nodes: &[Node], bent: bool) -> Option<Vec<f64>> {
    let count = nodes.len() as f64;
    let middle = nodes.iter().map(|node| node.along).sum::<f64>() / count;
    let half = nodes.iter().map(|node| (node.along - middle).abs()).fold(1.0, f64::max);
    let row = |node: &Node| {
        let t = (node.along - middle) / half;
        Vector3::new(1.0, t, if bent { t * t } else { 0.0 })
    };
    let mut normal = Matrix3::zeros();
    normal[(2, 2)] = if bent { 0.0 } else { 1.0 };
    let mut right = Vector3::zeros();
    for node in nodes {
        let row = row(node);
        normal += row * row.transpose() / node.variance;
        right += row * (node.across / node.variance);
    }
    let fitted = normal.cholesky()?.solve(&right);
    let rest = |node: &Node| (node.across - fitted.dot(&row(node))) / node.variance.sqrt();
    Some(nodes.iter().map(rest).collect())
}

fn widens(line: &Line, seen: &Seen) -> bool {
    let all = widths(line, seen);
    if all.len() < LEAST_PIECES {
        return false;
    }
    let weights: f64 = all.iter().map(|(_, variance)| 1.0 / variance).sum();
    let mean = all.iter().map(|(width, variance)| width / variance).sum::<f64>() / weights;
    let squares: f64 = all.iter().map(|(width, variance)| (width - mean).powi(2) / variance).sum();
    let chi2 = squares / (all.len() as f64 - 1.0);
    // What noise alone makes of it is taken away.
    let share = ((1.0 - 1.0 / chi2.max(1.0)) * squares / weights).sqrt();
    chi2 > WIDTHS_CHI2 && share > WIDTHS
}

#[cfg(test)]
mod tests {
    use super::*;

    fn nodes(across: impl Fn(f64) -> f64) -> Vec<Node> {
        let at = |k: usize| 6.0 * k as f64;
        (0..30).map(|k| Node { along: at(k), across: across(at(k)), variance: 0.01 }).collect()
    }

    /// What a straight course leaves of a bent one is nothing where it may be bent; of a step it is the step.
    #[test]
    fn a_course_leaves_what_is_not_in_it() {
        let largest = |rests: Option<Vec<f64>>| {
            rests.unwrap_or_default().into_iter().map(f64::abs).fold(0.0, f64::max)
        };
        assert!(largest(rests(&nodes(|x| 3.0 + 0.2 * x), false)) < 1e-6);
        let bent = nodes(|x| 3.0 + 0.2 * x + 0.001 * x * x);
        assert!(largest(rests(&bent, false)) > 5.0 && largest(rests(&bent, true)) < 1e-6);
        // Half a pixel is five standard deviations; a slope takes up part of it.
        let stepped = nodes(|x| if x > 90.0 { 0.5 } else { 0.0 });
        let rest = largest(rests(&stepped, false));
        assert!(rest > 2.0 && rest < 5.0, "{rest}");
        assert!(rests(&[], false).is_none());
    }
}
