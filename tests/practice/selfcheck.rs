//! Scripted hands on a small share of the units; the whole is
//! `cargo run --release -p record --example practice_hands`.

use record::fold;
use record::practice::{Grade, PracticeUnit, Series, score};

use crate::hands::{Hand, play};

const UNITS: u64 = 40;

fn mean(grade: Grade, hand: Hand) -> f64 {
    let total = |number| {
        let unit = PracticeUnit::of_series(Series::First, grade, number).unwrap();
        score(&fold(&play(hand, &unit).unwrap())).unwrap().total_percent()
    };
    (1..=UNITS).map(total).sum::<f64>() / UNITS as f64
}

#[test]
fn better_work_scores_better_in_every_grade() {
    for &grade in Series::First.grades() {
        let [knowing, solving, far, random] = Hand::ALL.map(|hand| mean(grade, hand));
        let all = [knowing, solving, far, random];
        assert!(knowing >= 98.0, "{grade:?}: {all:?}");
        assert!(solving < knowing && solving >= 95.0, "{grade:?}: {all:?}");
        assert!(far < solving - 10.0, "{grade:?}: {all:?}");
        assert!(random < 40.0, "{grade:?}: {all:?}");
    }
}
