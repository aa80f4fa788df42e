//! Sums in lanes that a processor takes at once.

use wide::f64x4;

/// Numbers taken at once.
pub(crate) const LANES: usize = 4;

/// The sum of products of two lists, as far as the shorter goes.
pub(crate) fn product(a: &[f64], b: &[f64]) -> f64 {
    let [product] = products(a, [b]);
    product
}

/// The sums of products of a list with some others, as far as the shortest goes: at once, for none waits for another.
pub(crate) fn products<const N: usize>(a: &[f64], others: [&[f64]; N]) -> [f64; N] {
    let count = others.iter().fold(a.len(), |count, other| count.min(other.len()));
    let (a_whole, a_rest) = a[..count].as_chunks::<LANES>();
    let others = others.map(|other| other[..count].as_chunks::<LANES>());
    let others_whole = others.map(|(whole, _)| &whole[..a_whole.len()]);
    let mut sums = [f64x4::ZERO; N];
    for (place, a) in a_whole.iter().enumerate() {
        let a = f64x4::from(*a);
        for (sum, other) in sums.iter_mut().zip(others_whole) {
            *sum += a * f64x4::from(other[place]);
        }
    }
    core::array::from_fn(|which| {
        let (_, rest) = others[which];
        let rest: f64 = a_rest.iter().zip(rest).map(|(a, b)| a * b).sum();
        sums[which].as_array().iter().sum::<f64>() + rest
    })
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
