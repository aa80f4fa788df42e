//! Two results compared, and what many comparisons at once are worth.

use crate::error::Error;

/// E_n score of a result against a reference, from expanded (95 %) uncertainties:
/// (x − x_ref)/√(U² + U_ref²). |E_n| ≤ 1 is satisfactory.
///
/// # Errors
/// [`Error::OutOfRange`] for what is no number, an expanded uncertainty below 0, or both of them 0.
///
/// # Source
/// ISO 13528:2022, 9.7.
///
/// ```
/// let en = solver::stats::compare::en_score(10.5, 0.3, 10.0, 0.4)?;
/// assert!((en - 1.0).abs() < 1e-12);
/// # Ok::<(), solver::Error>(())
/// ```
pub fn en_score(
    value: f64,
    expanded: f64,
    reference: f64,
    reference_expanded: f64,
) -> Result<f64, Error> {
    for (what, value) in [("the result", value), ("the reference", reference)] {
        Error::check(value.is_finite(), what, value, "a number")?;
    }
    for value in [expanded, reference_expanded] {
        let holds = value >= 0.0 && value.is_finite();
        Error::check(holds, "an expanded uncertainty", value, "0 or more")?;
    }
    let both = expanded.hypot(reference_expanded);
    Error::check(both > 0.0, "the expanded uncertainty of the difference", both, "more than 0")?;
    let score = (value - reference) / both;
    Error::check(score.is_finite(), "the score", score, "a number")?;
    Ok(score)
}

/// p-values corrected so that, of all comparisons made, one is wrongly called different with no
/// more than the chosen probability; in the order given.
///
/// # Errors
/// [`Error::OutOfRange`] for a p-value not in [0, 1].
///
/// # Source
/// S. Holm, Scand. J. Statist. 6 (1979) 65.
///
/// ```
/// let corrected = solver::stats::compare::holm(&[0.01, 0.04, 0.03])?;
/// assert_eq!(corrected, [0.03, 0.06, 0.06]);
/// # Ok::<(), solver::Error>(())
/// ```
pub fn holm(p_values: &[f64]) -> Result<Vec<f64>, Error> {
    for &p in p_values {
        Error::check((0.0..=1.0).contains(&p), "a p-value", p, "from 0 to 1")?;
    }
    let mut order: Vec<usize> = (0..p_values.len()).collect();
    order.sort_by(|&a, &b| p_values[a].total_cmp(&p_values[b]));
    let mut corrected = vec![0.0; p_values.len()];
    let mut largest = 0.0_f64;
    for (rank, &index) in order.iter().enumerate() {
        let left = (p_values.len() - rank) as f64;
        largest = largest.max((p_values[index] * left).min(1.0));
        corrected[index] = largest;
    }
    Ok(corrected)
}
