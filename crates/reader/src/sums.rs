//! Sums in lanes that a processor takes at once.

use wide::{f32x4, f64x4};

/// Numbers taken at once.
pub(crate) const LANES: usize = 4;

/// The sum of products of two lists, as far as the shorter goes.
pub(crate) fn product(a: &[f64], b: &[f64]) -> f64 {
    let count = a.len().min(b.len());
    let ((a_whole, a_rest), (b_whole, b_rest)) =
        (a[..count].as_chunks::<LANES>(), b[..count].as_chunks::<LANES>());
    let mut lanes = f64x4::ZERO;
    for (a, b) in a_whole.iter().zip(b_whole) {
        lanes += f64x4::from(*a) * f64x4::from(*b);
    }
    let rest: f64 = a_rest.iter().zip(b_rest).map(|(a, b)| a * b).sum();
    lanes.as_array().iter().sum::<f64>() + rest
}

/// The sums of products of a list with itself and with some others, as far as the shortest goes, to seven digits: at
/// once, for none waits for another.
pub(crate) fn products<const N: usize>(a: &[f32], others: [&[f32]; N]) -> (f32, [f32; N]) {
    let count = others.iter().fold(a.len(), |count, other| count.min(other.len()));
    let (a_whole, a_rest) = a[..count].as_chunks::<LANES>();
    let others = others.map(|other| other[..count].as_chunks::<LANES>());
    let (mut own, mut sums) = (f32x4::ZERO, [f32x4::ZERO; N]);
    for (place, a) in a_whole.iter().enumerate() {
        let a = f32x4::from(*a);
        own += a * a;
        for (sum, (whole, _)) in sums.iter_mut().zip(&others) {
            *sum += a * f32x4::from(whole[place]);
        }
    }
    let rest = |of: &[f32]| a_rest.iter().zip(of).map(|(a, b)| a * b).sum::<f32>();
    let own = own.reduce_add() + rest(a_rest);
    (own, core::array::from_fn(|which| sums[which].reduce_add() + rest(others[which].1)))
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
        let six = [1.0, 2.0, 3.0, 4.0, 5.0, 6.0];
        let (own, [with]) = products(&six, [&[1.0; 6]]);
        assert!((own - 91.0).abs() < 1e-6 && (with - 21.0).abs() < 1e-6);
    }
}
