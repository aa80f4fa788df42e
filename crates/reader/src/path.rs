//! The course of a line: across as a polynomial of along, fitted so that stray places do not pull.
//!
//! # Source
//! Start: H. Theil's incomplete method (median of slopes of pairs half the data apart). Weights: Tukey's
//! biweight, c = 4.685 (95 % efficient for normal errors); J. W. Tukey and A. E. Beaton, Technometrics 16
//! (1974) 147.

use nalgebra::{Matrix3, Vector3};

/// Tukey's constant.
const TUKEY: f64 = 4.685;

/// Mean of weight × square over mean weight for normal errors of variance 1, by the moments of a normal
/// distribution.
const SQUARES_KEPT: f64 = 0.828;

/// Where a line runs: across = c₀ + c₁ t + c₂ t², t = along − `mid`; pixels.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Path {
    pub(crate) mid: f64,
    pub(crate) c: [f64; 3],
}

impl Path {
    /// Through two places.
    pub(crate) fn through(a: [f64; 2], b: [f64; 2]) -> Self {
        let span = b[0] - a[0];
        let slope = if span.abs() > 1e-9 { (b[1] - a[1]) / span } else { 0.0 };
        Self { mid: 0.5 * (a[0] + b[0]), c: [0.5 * (a[1] + b[1]), slope, 0.0] }
    }

    pub(crate) fn at(&self, along: f64) -> f64 {
        let t = along - self.mid;
        self.c[0] + t * (self.c[1] + t * self.c[2])
    }

    pub(crate) fn slope(&self, along: f64) -> f64 {
        self.c[1] + 2.0 * self.c[2] * (along - self.mid)
    }
}

/// A place on a line: along, across, variance of across.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Node {
    pub(crate) along: f64,
    pub(crate) across: f64,
    pub(crate) variance: f64,
}

/// A fitted path.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Fitted {
    pub(crate) path: Path,
    /// Of c₀, c₁, c₂.
    pub(crate) covariance: Matrix3<f64>,
}

impl Fitted {
    /// The variance of across at a place along.
    pub(crate) fn variance_at(&self, along: f64) -> f64 {
        let t = along - self.path.mid;
        let row = Vector3::new(1.0, t, t * t);
        (row.transpose() * self.covariance * row)[0]
    }
}

/// The path through places; bent only where it is clearly so. `None` with fewer than four places.
pub(crate) fn fit(nodes: &[Node]) -> Option<Fitted> {
    let straight = fit_degree(nodes, 2)?;
    if nodes.len() < 16 {
        return Some(straight);
    }
    let bent = fit_degree(nodes, 3)?;
    let clearly = bent.path.c[2].abs() > 4.0 * bent.covariance[(2, 2)].sqrt();
    Some(if clearly { bent } else { straight })
}

/// The median of some values; `None` of none.
pub(crate) fn median_of(values: impl Iterator<Item = f64>) -> Option<f64> {
    let mut values: Vec<f64> = values.collect();
    if values.is_empty() {
        return None;
    }
    let middle = values.len() / 2;
    let (_, median, _) = values.select_nth_unstable_by(middle, f64::total_cmp);
    Some(*median)
}

fn fit_degree(nodes: &[Node], terms: usize) -> Option<Fitted> {
    if nodes.len() < 4 {
        return None;
    }
    let total: f64 = nodes.iter().map(|node| 1.0 / node.variance).sum();
    let mid = nodes.iter().map(|node| node.along / node.variance).sum::<f64>() / total;
    let half = nodes.len() / 2;
    let slope = median_of(nodes.iter().zip(&nodes[half..]).filter_map(|(a, b)| {
        let span = b.along - a.along;
        (span.abs() > 1e-6).then(|| (b.across - a.across) / span)
    }))?;
    let level = median_of(nodes.iter().map(|node| node.across - slope * (node.along - mid)))?;
    let mut c = Vector3::new(level, slope, 0.0);
    let mut normal = Matrix3::identity();
    let mut scatter = 1.0;
    let roots: Vec<f64> = nodes.iter().map(|node| node.variance.sqrt()).collect();
    let mut rests = vec![0.0; nodes.len()];
    for round in 0..12 {
        for ((rest, node), root) in rests.iter_mut().zip(nodes).zip(&roots) {
            let t = node.along - mid;
            *rest = (node.across - c[0] - t * (c[1] + t * c[2])) / root;
        }
        let typical = median_of(rests.iter().map(|rest| rest.abs()))?;
        let cut = TUKEY * (1.4826 * typical).max(1.0);
        normal = Matrix3::zeros();
        let mut right = Vector3::zeros();
        let (mut weights, mut squares) = (0.0, 0.0);
        for (node, z) in nodes.iter().zip(&rests) {
            let t = node.along - mid;
            let share = 1.0 - (z / cut).powi(2);
            if share <= 0.0 {
                continue;
            }
            let weight = share * share;
            let row = Vector3::new(1.0, t, if terms > 2 { t * t } else { 0.0 });
            let full = weight / node.variance;
            normal += full * row * row.transpose();
            right += full * row * node.across;
            weights += weight;
            squares += weight * z * z;
        }
        if terms < 3 {
            normal[(2, 2)] = 1.0;
        }
        if weights < terms as f64 + 1.0 {
            return None;
        }
        // Against the size of along: columns of one size.
        let size = nodes.iter().map(|node| (node.along - mid).abs()).fold(1.0, f64::max);
        let scale = Matrix3::from_diagonal(&Vector3::new(1.0, 1.0 / size, 1.0 / (size * size)));
        let inverse = (scale * normal * scale).cholesky()?.inverse();
        let next = scale * inverse * scale * right;
        let moved = (next - c).component_mul(&Vector3::new(1.0, size, size * size)).abs().max();
        c = next;
        normal = scale * inverse * scale;
        scatter = squares / ((weights - terms as f64) * SQUARES_KEPT);
        if moved < 1e-7 && round > 1 {
            break;
        }
    }
    if terms < 3 {
        normal[(2, 2)] = 0.0;
    }
    let path = Path { mid, c: [c[0], c[1], c[2]] };
    // Less scatter than expected is partly luck: eight places' worth of what was expected is added.
    let spare = (nodes.len() as f64 - terms as f64).max(1.0);
    let scatter = if scatter < 1.0 { (scatter * spare + 8.0) / (spare + 8.0) } else { scatter };
    let covariance = normal * (scatter * fewer(nodes, &path));
    let finite = covariance.iter().chain(c.iter()).all(|value| value.is_finite());
    finite.then_some(Fitted { path, covariance })
}

/// By how much less places tell when neighbours err alike: one and twice the sum of their correlations, up
/// to four apart (Bartlett's weights), at least 1.
fn fewer(nodes: &[Node], path: &Path) -> f64 {
    let errors: Vec<f64> = nodes
        .iter()
        .map(|node| (node.across - path.at(node.along)) / node.variance.sqrt())
        .collect();
    let Some(typical) = median_of(errors.iter().map(|error| error.abs())) else { return 1.0 };
    let most = 4.0 * typical.max(f64::MIN_POSITIVE);
    let cut: Vec<f64> = errors.iter().map(|error| error.clamp(-most, most)).collect();
    let squares: f64 = cut.iter().map(|error| error * error).sum();
    let alike: f64 = (1..=4_u8)
        .map(|apart| {
            let later = cut.iter().skip(usize::from(apart));
            let products: f64 = cut.iter().zip(later).map(|(a, b)| a * b).sum();
            (1.0 - f64::from(apart) / 5.0) * products / squares.max(f64::MIN_POSITIVE)
        })
        .sum();
    (1.0 + 2.0 * alike).max(1.0)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "tests fail by panicking")]
    use super::*;

    /// By hand: y = 2 + x/2 exactly, one place 5 off: it does not pull.
    #[test]
    fn a_stray_place_does_not_pull() {
        let nodes: Vec<Node> = (0..20_u8)
            .map(|i| {
                let along = f64::from(i) * 6.0;
                let stray = if i == 13 { 5.0 } else { 0.0 };
                Node { along, across: 2.0 + 0.5 * along + stray, variance: 0.01 }
            })
            .collect();
        let fitted = fit(&nodes).unwrap();
        assert!((fitted.path.at(0.0) - 2.0).abs() < 1e-9);
        assert!((fitted.path.slope(7.0) - 0.5).abs() < 1e-9);
    }

    #[test]
    fn too_few_places_make_no_line() {
        assert!(fit(&[]).is_none());
        let node = Node { along: 1.0, across: 1.0, variance: 1.0 };
        assert!(fit(&[node; 3]).is_none());
        // All at one place along: no slope.
        assert!(fit(&[node; 9]).is_none());
    }
}
