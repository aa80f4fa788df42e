//! Scores over time, from a shop's `practice/`.

use std::fs;
use std::path::Path;

use record::file::write_all_lines;
use record::practice::progress::COLUMNS;
use record::practice::roster::{Assigned, Threshold};
use record::practice::{Attempt, Exam, Grade, PracticeUnit, Progress, Roster, Series};
use record::{Fact, RealDisk, Shop, Stamp};

use crate::hands::{Hand, play};
use crate::trainees::{Trainee, work};

/// The same facts some days later.
fn later(facts: Vec<Fact>, days: i64) -> Vec<Fact> {
    let moved = |fact: Fact| {
        let time = fact.time.unix_milliseconds() + days * 86_400_000;
        Fact { time: Stamp::from_unix_milliseconds(time).unwrap(), ..fact }
    };
    facts.into_iter().map(moved).collect()
}

fn write_session(path: &Path, facts: &[Fact]) {
    let mut bytes = Vec::new();
    write_all_lines(facts, &mut bytes).unwrap();
    fs::write(path, bytes).unwrap();
}

#[test]
fn attempts_are_listed_in_order_and_the_rest_is_named() {
    let folder = tempfile::tempdir().unwrap();
    Shop::lay_out(folder.path()).unwrap();
    let practice = folder.path().join("practice");
    let write = |name: &str, facts: &[Fact]| write_session(&practice.join(name), facts);
    let unit = PracticeUnit::of_series(Series::First, Grade::Second, 12).unwrap();
    let good = play(Hand::Knowing, &unit).unwrap();
    write("b.samepoint", &later(play(Hand::Random, &unit).unwrap(), 0));
    write("a.samepoint", &later(good.clone(), 3));
    write("begun.samepoint", &good[..good.len() - 1]);
    fs::write(practice.join("broken.samepoint"), "not a session").unwrap();

    let shop = Shop::load(folder.path()).unwrap();
    let progress = Progress::of_shop(&shop, &RealDisk).unwrap();
    let files: Vec<&str> = progress.attempts.iter().map(|one| one.file.as_str()).collect();
    assert_eq!(files, ["b.samepoint", "a.samepoint"]);
    let [begun] = &progress.unsigned[..] else { panic!("{:?}", progress.unsigned) };
    assert_eq!(begun.path, practice.join("begun.samepoint"));
    assert_eq!(
        (begun.day.to_string().as_str(), begun.grade, begun.number),
        ("2026-11-25", Grade::Second, 12)
    );
    assert_eq!(progress.skipped.len(), 1);
    assert!(progress.skipped[0].to_string().contains("broken.samepoint"));

    let csv = progress.csv().unwrap();
    let mut lines = std::str::from_utf8(&csv).unwrap().lines();
    assert_eq!(lines.next().unwrap(), COLUMNS.join(","));
    assert!(lines.next().unwrap().starts_with("b.samepoint,2026-11-25,script,2,12,"));
    let best: Vec<&str> = lines.next().unwrap().split(',').collect();
    assert_eq!(best[..5], ["a.samepoint", "2026-11-28", "script", "2", "12"]);
    let total: f64 = best[5].parse().unwrap();
    assert!((total - progress.attempts[1].score.total_percent()).abs() < 1e-12);
    assert_eq!(best[11..15], ["false", "pass", "12", "1"]);
    // What came with the second formula stays empty: by which formula, told readings, examination, minutes.
    assert_eq!(best[15..22], ["1", "", "", "", "", "0", "false"]);
    assert_eq!(best[23], "");
    assert_eq!(best.len(), COLUMNS.len());
    assert_eq!(lines.next(), None);
}

/// The mean of the last five by hand, and the least number that is free.
#[test]
fn a_course_has_a_running_mean_and_the_next_number() {
    let unit = |number| PracticeUnit::invented(Grade::First, number).unwrap();
    let mut progress = Progress::default();
    for (day, number) in [1, 2, 3, 4, 6, 7].into_iter().enumerate() {
        let hand = if day % 2 == 0 { Hand::Random } else { Hand::Knowing };
        let facts = later(play(hand, &unit(number)).unwrap(), day as i64);
        let attempt = Attempt::of(&format!("{day}.samepoint"), &record::fold(&facts)).unwrap();
        progress.attempts.push(attempt);
    }
    let course = progress.course(Grade::First, None);
    let totals: Vec<f64> = course.iter().map(|one| one.attempt.score.total_percent()).collect();
    assert_eq!(course.len(), 6);
    let close = |at: usize, mean: f64| {
        assert!((course[at].mean_percent - mean).abs() < 1e-9, "{at}: {course:?}");
    };
    close(0, totals[0]);
    close(2, (totals[0] + totals[1] + totals[2]) / 3.0);
    close(5, (totals[1] + totals[2] + totals[3] + totals[4] + totals[5]) / 5.0);
    assert!(progress.course(Grade::Third, None).is_empty());
    assert_eq!(progress.next_number(Grade::First), 5);
    assert_eq!(progress.next_number(Grade::Second), 1);
    // By hand: everybody played as one script; another hand's attempt is another course.
    assert_eq!(progress.hands(), ["script"]);
    progress.attempts[1].hand = "AB".to_owned();
    assert_eq!(progress.hands(), ["AB", "script"]);
    assert_eq!(progress.course(Grade::First, Some("AB")).len(), 1);
    assert_eq!(progress.course(Grade::First, Some("script")).len(), 5);
}

/// Mastery by hand and grade: the last three, first times only, in time, no failing unit passed.
#[test]
fn a_grade_is_mastered_by_its_last_three_units() {
    let mut progress = Progress::default();
    for number in 1..=4 {
        let unit = PracticeUnit::invented(Grade::First, number).unwrap();
        let facts = later(work(Trainee::Expert, &unit).unwrap(), number as i64);
        let attempt = Attempt::of(&format!("{number}"), &record::fold(&facts)).unwrap();
        progress.attempts.push(attempt);
    }
    let mut roster = Roster::default();
    let threshold = |percent| Threshold { hand: "script".into(), grade: Grade::First, percent };
    let standing = |roster: &Roster, progress: &Progress| roster.standings(progress)[0].clone();
    assert!(!standing(&roster, &progress).mastered, "no threshold, no mastery");
    roster.set_threshold(threshold(90.0)).unwrap();
    let held = standing(&roster, &progress);
    assert!(held.mastered && held.signed == 4 && held.threshold_percent == Some(90.0), "{held:?}");
    // Too late is not passed; nor is a failing unit that was passed.
    let mut late = progress.clone();
    late.attempts[3].exam = Some(Exam { minutes: Some(1) });
    late.attempts[3].minutes = 2.0;
    assert!(!standing(&roster, &late).mastered);
    let mut passed = progress.clone();
    passed.attempts[2].score.passed_failing = true;
    assert!(!standing(&roster, &passed).mastered);
    // Working the same unit again and again masters nothing.
    let mut again = progress.clone();
    again.attempts.truncate(1);
    again.attempts = vec![again.attempts[0].clone(); 5];
    assert_eq!(standing(&roster, &again).mean_percent, None);
    for percent in [0.0, -1.0, 100.5, f64::NAN] {
        assert!(roster.set_threshold(threshold(percent)).is_err());
    }
}

#[test]
fn the_instructors_file_is_kept_whole_and_the_one_before_beside_it() {
    let folder = tempfile::tempdir().unwrap();
    let now: Stamp = "2026-11-25T09:00:00.000+00:00".parse().unwrap();
    assert_eq!(Roster::load(folder.path()).unwrap(), Roster::default());
    let mut roster = Roster::default();
    let exam = Exam { minutes: Some(40) };
    let assigned =
        Assigned { hand: "AB".into(), grade: Grade::Fourth, number: 3, exam: Some(exam) };
    roster.assign(assigned.clone()).unwrap();
    assert!(roster.assign(assigned.clone()).is_err(), "once");
    roster.save(folder.path(), now).unwrap();
    assert_eq!(Roster::load(folder.path()).unwrap(), roster);
    roster
        .set_threshold(Threshold { hand: "AB".into(), grade: Grade::Fourth, percent: 80.0 })
        .unwrap();
    roster.save(folder.path(), now).unwrap();
    assert_eq!(Roster::load(folder.path()).unwrap(), roster);
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 2);
    // Done by the trainee it was given to, as the examination it was given as.
    let unit = PracticeUnit::invented(Grade::Fourth, 3).unwrap().examined(exam);
    let facts = work(Trainee::Expert, &unit).unwrap();
    let mut progress = Progress::default();
    progress.attempts.push(Attempt::of("x", &record::fold(&facts)).unwrap());
    assert!(assigned.done(&progress).is_none());
    progress.attempts[0].hand = "AB".into();
    assert!(assigned.done(&progress).is_some());
    assert!(Assigned { exam: None, ..assigned }.done(&progress).is_none());
    // What is no such file is refused with its place, and left alone.
    for wrong in ["(format: 2, thresholds: [], assigned: [])", "(", "(format: 1, thresholds: [])"] {
        fs::write(folder.path().join("instructor.ron"), wrong).unwrap();
        assert!(Roster::load(folder.path()).unwrap_err().to_string().contains("instructor.ron"));
    }
}

/// An examination of a unit that the hand had met, signed or only begun, is marked with when, answers no
/// assignment and counts toward nothing; another hand's counts.
#[test]
fn an_examination_of_a_unit_that_was_met_does_not_count() {
    let folder = tempfile::tempdir().unwrap();
    Shop::lay_out(folder.path()).unwrap();
    let practice = folder.path().join("practice");
    let write = |name: &str, facts: &[Fact]| write_session(&practice.join(name), facts);
    let unit = |number| PracticeUnit::invented(Grade::First, number).unwrap();
    let exam = Exam { minutes: None };
    let by = |hand: &str, facts: Vec<Fact>| -> Vec<Fact> {
        let named = |fact: Fact| Fact { hand: fact.hand.replace("script", hand), ..fact };
        facts.into_iter().map(named).collect()
    };
    let practised = |number| work(Trainee::Expert, &unit(number)).unwrap();
    let sat = |number| work(Trainee::Expert, &unit(number).examined(exam)).unwrap();
    // 21: practised and signed, then sat. 22: begun in practice, then sat. 23: sat by KT after AB did.
    // 24: sat first, practised after.
    write("21 a.samepoint", &practised(21));
    write("21 b.samepoint", &later(sat(21), 1));
    let begun = practised(22);
    write("22 a.samepoint", &begun[..begun.len() - 1]);
    write("22 b.samepoint", &later(sat(22), 1));
    write("23 a.samepoint", &by("AB", sat(23)));
    write("23 b.samepoint", &later(sat(23), 1));
    write("24 a.samepoint", &sat(24));
    write("24 b.samepoint", &later(practised(24), 1));
    let progress = Progress::of_shop(&Shop::load(folder.path()).unwrap(), &RealDisk).unwrap();
    assert!(progress.skipped.is_empty(), "{:?}", progress.skipped);
    let seen = |file: &str| {
        let attempt = progress.attempts.iter().find(|one| one.file == file).unwrap();
        attempt.seen.as_ref().map(ToString::to_string)
    };
    assert_eq!(seen("21 b.samepoint").unwrap(), "script in practice, signed on 2026-11-25");
    assert_eq!(
        seen("22 b.samepoint").unwrap(),
        "script in practice, not signed, begun on 2026-11-25"
    );
    for new in ["21 a", "23 a", "23 b", "24 a", "24 b"] {
        assert_eq!(seen(&format!("{new}.samepoint")), None, "{new}");
    }
    let mut roster = Roster::default();
    for number in [21, 22, 23, 24] {
        let assigned =
            Assigned { hand: "script".to_owned(), grade: Grade::First, number, exam: Some(exam) };
        let done = assigned.done(&progress).map(|one| one.file.clone());
        assert_eq!(done.is_some(), number > 22, "{number}: {done:?}");
        roster.assign(assigned).unwrap();
    }
    let percent = 1.0;
    let hand = "script".to_owned();
    roster.set_threshold(Threshold { hand, grade: Grade::First, percent }).unwrap();
    let standings = roster.standings(&progress);
    let mine = standings.iter().find(|one| one.hand == "script").unwrap();
    // 21 in practice, 23 and 24 as examinations: 22 was met before, and nothing counts twice.
    assert_eq!((mine.signed, mine.mastered), (3, true));
    assert!(std::str::from_utf8(&progress.csv().unwrap()).unwrap().contains("script in practice"));
}
