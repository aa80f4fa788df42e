//! Sums in lanes that a processor takes at once.

/// Numbers taken at once.
pub(crate) const LANES: usize = 4;

/// The sum of products of two lists, as far as the shorter goes.
pub(crate) fn product(a: &[f64], b: &[f64]) -> f64 {
    let count = a.len().min(b.len());
    let ((a_whole, a_rest), (b_whole, b_rest)) =
        (a[..count].as_chunks::<LANES>(), b[..count].as_chunks::<LANES>());
    let mut lanes = [0.0; LANES];
    for (a, b) in a_whole.iter().zip(b_whole) {
        for (lane, (a, b)) in lanes.iter_mut().zip(a.iter().zip(b)) {
            *lane += a * b;
        }
    }
    let rest: f64 = a_rest.iter().zip(b_rest).map(|(a, b)| a * b).sum();
    lanes.iter().sum::<f64>() + rest
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 1 + 4 + … + n² is n (n + 1) (2 n + 1) / 6.
    #[test]
    fn lanes_and_what_is_left_over_are_all_summed() {
        for n in 0..11_u8 {
            let all: Vec<f64> = (1..=n).map(f64::from).collect();
            let n = f64::from(n);
            let told = n * (n + 1.0) * (2.0 * n + 1.0) / 6.0;
            assert!((product(&all, &all) - told).abs() < 1e-9);
        }
        assert!((product(&[1.0, 2.0, 3.0], &[4.0]) - 4.0).abs() < 1e-12);
    }
}
