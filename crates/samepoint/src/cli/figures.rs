//! How numbers and names are written in text: as on screen and on paper, in columns.

use std::path::Path;

use solver::Direction;

pub(super) use paper::words::{
    arcmin, arcmin_at_most, counted_s, degrees_short, equally_near, listed, meeting_sentence,
    misalignment, percent, percent_at_most, percent_short, probability, ring,
};

/// The two parts of a direction, each right-aligned in its column.
pub(super) fn direction(direction: Direction) -> String {
    format!("{:>8} {:>8}", arcmin(direction.x_arcmin), arcmin(direction.y_arcmin))
}

/// A path on one line, whatever characters it holds.
pub(super) fn path(path: &Path) -> String {
    record::shown::path(path)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn writes_a_true_minus_sign_and_no_minus_zero() {
        assert_eq!(arcmin(-14.26), "−14.3′");
        assert_eq!(arcmin(-0.04), "0.0′");
        assert_eq!(arcmin(0.06), "0.1′");
        assert_eq!(percent(0.648), "65 %");
        assert_eq!(direction(Direction::new(-1.0, 22.5)), "   −1.0′    22.5′");
    }

    #[test]
    fn shows_a_path_on_one_line() {
        assert_eq!(path(Path::new("a\nb\u{1b}.csv")), "a\\u000ab\\u001b.csv");
    }
}
