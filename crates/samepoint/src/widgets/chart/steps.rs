//! Ranges with an edge and round steps along them.

/// The range of what is finite, `share` of it more at each end; `None` when nothing is.
pub(crate) fn around(values: impl IntoIterator<Item = f64>, share: f64) -> Option<[f64; 2]> {
    let none = [f64::INFINITY, f64::NEG_INFINITY];
    let [low, high] = values
        .into_iter()
        .filter(|value| value.is_finite())
        .fold(none, |[low, high], value| [low.min(value), high.max(value)]);
    let edge = if high > low { share * (high - low) } else { 0.5 };
    (low <= high).then_some([low - edge, high + edge])
}

/// 1, 2 or 5 times a power of ten: the smallest that is no less; `None` where there is none.
pub(crate) fn round_step(least: f64) -> Option<f64> {
    if !(least.is_finite() && least > 0.0) {
        return None;
    }
    let decade = 10_f64.powf(least.log10().floor());
    let step = [1.0, 2.0, 5.0].into_iter().map(|k| k * decade).find(|step| *step >= least);
    Some(step.unwrap_or(10.0 * decade))
}

/// Decimals that tell steps apart.
pub(crate) fn decimals(step: f64) -> usize {
    if step >= 1.0 { 0 } else { (-step.log10()).ceil().clamp(0.0, 3.0) as usize }
}

/// Round numbers in a range, each `step` from the next.
pub(crate) fn round_values([low, high]: [f64; 2], step: f64) -> impl Iterator<Item = f64> {
    let (first, last) = ((low / step).ceil(), (high / step).floor());
    // A field is some thousand points wide at most; the clamp holds whatever the range.
    let count = if first.is_finite() && last.is_finite() {
        (last - first).clamp(-1.0, 256.0) as i32
    } else {
        -1
    };
    (0..=count).map(move |k| (first + f64::from(k)) * step)
}

/// The same as values and words.
pub(crate) fn round_marks(range: [f64; 2], step: f64) -> Vec<(f64, String)> {
    let places = decimals(step);
    round_values(range, step).map(|value| (value, paper::words::number(value, places))).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn steps_are_round_and_no_less() {
        for (least, step) in [(0.07, 0.1), (1.0, 1.0), (1.1, 2.0), (3.0, 5.0), (51.0, 100.0)] {
            assert_eq!(round_step(least), Some(step), "{least}");
        }
        assert_eq!([0.0, -1.0, f64::NAN, f64::INFINITY].map(round_step), [None; 4]);
        assert_eq!([10.0, 1.0, 0.5, 0.1, 0.01].map(decimals), [0, 0, 1, 1, 2]);
    }

    #[test]
    fn marks_lie_in_their_range() {
        let texts = |range, step| -> Vec<String> {
            round_marks(range, step).into_iter().map(|(_, text)| text).collect()
        };
        assert_eq!(texts([-10.5, 10.5], 5.0), ["−10", "−5", "0", "5", "10"]);
        assert_eq!(texts([0.0, 0.5], 0.2), ["0.0", "0.2", "0.4"]);
        assert!(texts([0.2, 0.8], 1.0).is_empty());
        assert!(texts([f64::NAN, 1.0], 1.0).is_empty());
        assert!(texts([0.0, 1.0], 0.0).is_empty());
    }

    #[test]
    fn a_range_has_an_edge_and_needs_a_value() {
        assert_eq!(around([1.0, f64::NAN, 3.0], 0.1), Some([0.8, 3.2]));
        assert_eq!(around([2.0], 0.1), Some([1.5, 2.5]));
        assert_eq!(around([f64::INFINITY], 0.1), None);
    }
}
