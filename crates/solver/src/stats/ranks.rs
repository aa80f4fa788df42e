//! Groups compared by the ranks of their values: nothing is supposed of how the values are
//! distributed, so distances and shares, which are skewed and cannot be negative, may be compared.

use crate::error::Error;
use crate::stats::quantile::{chi_squared_above, normal_probability};
use crate::stats::sample::{check_count, check_values};

/// Without ties, and with a smaller group of at most this many, the distribution of U is worked out
/// exactly, provided that the larger has no more than [`EXACT_LARGER`].
const EXACT_SMALLER: usize = 8;
const EXACT_LARGER: usize = 100;

/// Several groups compared at once.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct KruskalWallis {
    /// H, corrected for ties.
    pub h: f64,
    /// Its degrees of freedom, groups − 1.
    pub freedom: usize,
    /// Probability of an H so large if all groups were alike.
    pub p_value: f64,
}

/// Compares two groups or more by ranks, corrected for ties; p by the χ² approximation, which is rough
/// where groups have fewer than five values.
///
/// # Errors
/// [`Error::TooFew`] for fewer than two groups or an empty one; [`Error::OutOfRange`] for what is no
/// number.
///
/// # Degenerate input
/// All values equal: H = 0, p = 1.
///
/// # Source
/// W. H. Kruskal, W. A. Wallis, Journal of the American Statistical Association 47 (1952) 583–621.
///
/// ```
/// let found = solver::stats::ranks::kruskal_wallis(&[&[1.0, 2.0, 3.0], &[4.0, 5.0, 6.0]])?;
/// // By hand: rank sums 6 and 15, H = 12/(6·7)·(36/3 + 225/3) − 3·7 = 27/7.
/// assert!((found.h - 27.0 / 7.0).abs() < 1e-12);
/// # Ok::<(), solver::Error>(())
/// ```
pub fn kruskal_wallis(groups: &[&[f64]]) -> Result<KruskalWallis, Error> {
    check_count("groups", groups.len(), 2)?;
    for group in groups {
        check_count("values in a group", group.len(), 1)?;
        check_values("a value", group)?;
    }
    let all: Vec<f64> = groups.iter().flat_map(|group| group.iter().copied()).collect();
    let Ranks { ranks, ties } = ranked(&all);
    let count = all.len() as f64;
    let (mut sum, mut from) = (0.0, 0);
    for group in groups {
        let to = from + group.len();
        let of_group: f64 = ranks.get(from..to).unwrap_or_default().iter().sum();
        sum += of_group * of_group / group.len() as f64;
        from = to;
    }
    let freedom = groups.len() - 1;
    let untied = 1.0 - ties / (count * (count * count - 1.0));
    // NaN for a single value, which two groups rule out.
    if untied <= 0.0 {
        return Ok(KruskalWallis { h: 0.0, freedom, p_value: 1.0 });
    }
    let h = (12.0 / (count * (count + 1.0)) * sum - 3.0 * (count + 1.0)).max(0.0) / untied;
    Ok(KruskalWallis { h, freedom, p_value: chi_squared_above(h, freedom as f64)? })
}

/// Two groups compared.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MannWhitney {
    /// U of the first group: the pairs in which its value is the larger, ties counting half.
    pub u: f64,
    /// Probability of a U so far from the middle, either way, if both groups were alike.
    pub p_value: f64,
    /// Whether the probability is exact; else by the normal approximation with continuity correction.
    pub exact: bool,
}

/// Compares two groups by ranks, two-sided. Exact without ties and with a smaller group of at most 8
/// values (and a larger of at most 100); else by the normal approximation, corrected for ties and
/// continuity.
///
/// # Errors
/// [`Error::TooFew`] for an empty group; [`Error::OutOfRange`] for what is no number.
///
/// # Degenerate input
/// All values equal: p = 1.
///
/// # Source
/// H. B. Mann, D. R. Whitney, Annals of Mathematical Statistics 18 (1947) 50–60, whose recursion counts
/// the orders.
///
/// ```
/// let found = solver::stats::ranks::mann_whitney(&[1.0, 2.0, 3.0], &[4.0, 5.0, 6.0, 7.0])?;
/// // Of the 35 orders one is this one and one its mirror image.
/// assert!((found.p_value - 2.0 / 35.0).abs() < 1e-15 && found.exact);
/// # Ok::<(), solver::Error>(())
/// ```
pub fn mann_whitney(first: &[f64], second: &[f64]) -> Result<MannWhitney, Error> {
    for group in [first, second] {
        check_count("values in a group", group.len(), 1)?;
        check_values("a value", group)?;
    }
    let all: Vec<f64> = first.iter().chain(second).copied().collect();
    let Ranks { ranks, ties } = ranked(&all);
    let (n, m) = (first.len() as f64, second.len() as f64);
    let sum: f64 = ranks.iter().take(first.len()).sum();
    let u = sum - n * (n + 1.0) / 2.0;
    let larger = u.max(n * m - u);
    let sizes = [first.len().min(second.len()), first.len().max(second.len())];
    let exact = ties == 0.0 && sizes[0] <= EXACT_SMALLER && sizes[1] <= EXACT_LARGER;
    let above = if exact {
        exact_above(sizes, larger)
    } else {
        let count = n + m;
        let variance = n * m / 12.0 * (count + 1.0 - ties / (count * (count - 1.0)));
        if variance > 0.0 {
            normal_probability(-(larger - n * m / 2.0 - 0.5) / variance.sqrt())?
        } else {
            1.0
        }
    };
    Ok(MannWhitney { u, p_value: (2.0 * above).min(1.0), exact })
}

/// Share of all orders of two groups whose U is at least so large. Counts stay below 2⁵³ for the
/// sizes let in, so they are exact.
fn exact_above([smaller, larger]: [usize; 2], u: f64) -> f64 {
    // orders[k][v]: orders of k values of the one group and, so far, j of the other with U = v.
    let most = smaller * larger;
    let mut orders = vec![vec![0.0_f64; most + 1]; smaller + 1];
    for row in &mut orders {
        row[0] = 1.0;
    }
    for j in 1..=larger {
        for k in 1..=smaller {
            // The largest of all is of the one group (and beats j) or of the other.
            for v in (0..=k * j).rev() {
                let without = if v >= j { orders[k - 1][v - j] } else { 0.0 };
                let with = if v <= k * (j - 1) { orders[k][v] } else { 0.0 };
                orders[k][v] = without + with;
            }
        }
    }
    let counts = orders.last().map_or(&[][..], |row| &row[..]);
    let all: f64 = counts.iter().sum();
    let from = counts.iter().enumerate().filter(|(v, _)| *v as f64 >= u - 0.25);
    from.map(|(_, count)| count).sum::<f64>() / all
}

struct Ranks {
    /// From 1; equal values share the mean of their ranks.
    ranks: Vec<f64>,
    /// Σ(t³ − t) over runs of t equal values.
    ties: f64,
}

/// Ranks of values without NaN.
fn ranked(values: &[f64]) -> Ranks {
    let mut order: Vec<usize> = (0..values.len()).collect();
    order.sort_by(|&a, &b| values[a].total_cmp(&values[b]));
    let mut ranks = vec![0.0; values.len()];
    let (mut ties, mut from) = (0.0, 0);
    while from < order.len() {
        // 0.0 and −0.0 are one value.
        let same =
            order[from..].iter().take_while(|&&at| values[at] == values[order[from]]).count();
        let mean = from as f64 + (same as f64 + 1.0) / 2.0;
        for &at in &order[from..from + same] {
            ranks[at] = mean;
        }
        let run = same as f64;
        ties += run * (run * run - 1.0);
        from += same;
    }
    Ranks { ranks, ties }
}
