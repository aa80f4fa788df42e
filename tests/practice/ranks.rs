//! Trainees of known fault rank as an instructor would rank them; the whole is
//! `cargo run --release --workspace --example practice_hands`.

use record::fold;
use record::practice::{Fault, Grade, PracticeUnit, Score, score};

use crate::trainees::{Trainee, work};

/// Behind the lessons of every grade, and enough that each fault comes.
const UNITS: core::ops::RangeInclusive<u64> = 1..=24;

fn scored(trainee: Trainee, grade: Grade, number: u64) -> Score {
    let unit = PracticeUnit::invented(grade, number).unwrap();
    score(&fold(&work(trainee, &unit).unwrap())).unwrap()
}

fn mean(trainee: Trainee, grade: Grade) -> f64 {
    let count = UNITS.count() as f64;
    UNITS.map(|number| scored(trainee, grade, number).total_percent()).sum::<f64>() / count
}

#[test]
fn trainees_of_known_fault_rank_as_an_instructor_ranks_them() {
    for grade in Grade::ALL {
        let means = Trainee::ALL.map(|trainee| mean(trainee, grade));
        // Each above the next by more than chance: over 24 units the mean of a hand whose scores scatter by
        // 10 is known to 2.
        assert!(means.windows(2).all(|pair| pair[0] > pair[1] + 2.0), "{grade:?}: {means:?}");
        assert!(means[0] >= 95.0, "{grade:?}: {means:?}");
    }
}

#[test]
fn an_expert_finds_every_planted_fault_and_no_lesson_is_beyond_him() {
    for (number, fault) in (1..).zip(Fault::ALL) {
        let unit = PracticeUnit::invented(Grade::Fourth, number).unwrap();
        assert_eq!(unit.planted().map(|it| it.fault), Some(fault));
        let score = scored(Trainee::Expert, Grade::Fourth, number);
        assert!(score.total_percent() >= 90.0, "{fault:?}: {score}");
    }
}
