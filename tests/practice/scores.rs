//! The first formula, part by part: what is kept for the files of the first series.

use record::practice::{Built, Formula, Grade, PracticeUnit, Score, ScorePart, Series, score};
use record::{Body, Lock, PerChannel, Remedy, Verdict};

use crate::hands::{Hand, Play, play};

fn unit(grade: Grade, number: u64) -> PracticeUnit {
    PracticeUnit::of_series(Series::First, grade, number).unwrap()
}

fn scored(play: &Play) -> Score {
    score(&play.session()).unwrap()
}

fn best(built: &Built) -> PerChannel<f64> {
    built.best_setting().unwrap().ring_deg
}

/// Sets rings, confirms, signs what the readings give.
fn set(unit: &PracticeUnit, rings: PerChannel<f64>) -> Score {
    let mut play = Play::begun(unit).unwrap();
    play.confirm(rings, Lock::After, 6).unwrap();
    play.sign(None).unwrap();
    scored(&play)
}

/// The first of a grade that is hopeless, or is not.
fn third(hopeless: bool) -> PracticeUnit {
    let units = (1..).map(|number| unit(Grade::Third, number));
    units.take(50).find(|unit| unit.reach().is_hopeless() == hopeless).unwrap()
}

#[test]
fn the_weights_make_a_hundred() {
    for formula in [Formula::First, Formula::Second] {
        let sum: f64 = formula.parts().iter().map(|(_, weight)| weight).sum();
        assert!((sum - 100.0).abs() < 1e-12);
        assert!(formula.parts().iter().all(|(part, _)| formula.rule(*part).ends_with('.')));
    }
    let total = set(&unit(Grade::First, 1), best(unit(Grade::First, 1).as_made()));
    assert!((total.total_percent() - 100.0).abs() < 1e-9, "{total}");
}

#[test]
fn window_use_falls_evenly_from_full_to_nothing() {
    let unit = unit(Grade::First, 1);
    let rings = best(unit.as_made());
    let least = unit.reach().least_use;
    let mut before = 1.1;
    for off in [0.0, 5.0, 10.0, 15.0, 20.0, 25.0, 35.0, 50.0] {
        let turned = PerChannel { left: rings.left + off, ..rings };
        let cells = turned.map(|ring_deg| record::practice::BuiltCell {
            ring_deg,
            approach: record::Approach::Clockwise,
            locked: true,
        });
        let points = unit.as_made().points(cells).unwrap();
        let window = PracticeUnit::window().unwrap().limits;
        let used = window.used_by(points.left, points.right).worst();
        let by_hand = (1.0 - (used - least - 0.05).max(0.0)).clamp(0.0, 1.0);
        let earned = set(&unit, turned).earned(ScorePart::WindowUse);
        assert!((earned - by_hand).abs() < 1e-9, "{off}: {earned}, not {by_hand}");
        assert!(earned <= before);
        before = earned;
    }
    assert_eq!(before, 0.0, "far off is worth nothing");
}

#[test]
fn passing_a_failing_unit_costs_most_and_an_honest_undecided_little() {
    let unit = unit(Grade::First, 2);
    let rings = best(unit.as_made());
    let outside = PerChannel { left: rings.left + 40.0, ..rings };
    let total = |rings, instead: Option<Verdict>, times: usize| {
        let mut play = Play::begun(&unit).unwrap();
        play.confirm(rings, Lock::After, times).unwrap();
        play.sign(instead).unwrap();
        scored(&play)
    };
    let honest_fail = total(outside, None, 6);
    let false_pass = total(outside, Some(Verdict::Pass), 6);
    assert!(false_pass.passed_failing && !honest_fail.passed_failing);
    let (honest, wrong) = (honest_fail.total_percent(), false_pass.total_percent());
    // Half of thirty points for giving up a good unit honestly; none, and half of the rest, for passing it.
    assert_eq!(honest_fail.earned(ScorePart::Verdict), 0.5, "{honest_fail}");
    assert!((wrong - (honest - 15.0) / 2.0).abs() < 1e-9, "{honest} {wrong}");
    let hopeless = third(true);
    let given_up = set(&hopeless, best(hopeless.as_made()));
    assert!((given_up.total_percent() - 100.0).abs() < 1e-9, "{given_up}");
    // Doing nothing and failing every unit is no way to score.
    assert!(total(PerChannel { left: 0.0, right: 180.0 }, None, 1).total_percent() < 50.0);

    let pass = total(rings, None, 6);
    assert_eq!(pass.earned(ScorePart::Verdict), 1.0, "{pass}");
    // Signed otherwise than the readings give: nothing, whatever it says.
    for other in [Verdict::Fail, Verdict::Undecided, Verdict::NotMeasured] {
        assert_eq!(total(rings, Some(other), 6).earned(ScorePart::Verdict), 0.0);
    }
    // Nothing confirmed: not measured, and honest about it.
    let mut lazy = Play::begun(&unit).unwrap();
    lazy.sign(None).unwrap();
    let lazy = scored(&lazy);
    assert_eq!(lazy.earned(ScorePart::Verdict), 0.2, "{lazy}");
    assert_eq!(lazy.earned(ScorePart::WindowUse), 0.0);
    // At the window's edge the readings cannot tell: undecided costs six points of thirty.
    let undecided = edge(&unit, rings);
    assert_eq!(undecided.earned(ScorePart::Verdict), 0.8, "{undecided}");
}

/// The first setting, turning the left ring out, whose readings give undecided.
fn edge(unit: &PracticeUnit, rings: PerChannel<f64>) -> Score {
    let turned = |tenths: i32| PerChannel { left: rings.left + 0.1 * f64::from(tenths), ..rings };
    (0..400)
        .map(|tenths| set(unit, turned(tenths)))
        .find(|score| score.parts[4].words.contains("undecided"))
        .unwrap()
}

#[test]
fn the_right_remedy_is_one_that_was_needed_and_helps() {
    let part = |unit: &PracticeUnit, remedies: &[Remedy]| {
        let mut play = Play::begun(unit).unwrap();
        for remedy in remedies {
            play.remedy(remedy.clone()).unwrap();
        }
        let rings = best(&play.built);
        play.confirm(rings, Lock::After, 6).unwrap();
        play.sign(None).unwrap();
        scored(&play).earned(ScorePart::Remedy)
    };
    let curable = third(false);
    let cure = curable.reach().remedy.clone().unwrap();
    assert_eq!(part(&curable, std::slice::from_ref(&cure)), 1.0);
    assert_eq!(part(&curable, &[]), 0.0);
    // Twice half a turn of a tube does nothing.
    let half =
        |by_deg| Remedy::TurnTube(record::TurnedPart { channel: record::Channel::Left, by_deg });
    assert_eq!(part(&curable, &[half(360.0)]), 0.0);
    let hopeless = third(true);
    assert_eq!(part(&hopeless, &[]), 1.0);
    assert_eq!(part(&hopeless, &[half(360.0)]), 0.5);
    let easy = unit(Grade::First, 1);
    assert_eq!(part(&easy, &[]), 1.0);
    assert_eq!(part(&easy, &[half(360.0)]), 0.5);
}

#[test]
fn thrift_counts_every_reading_and_round_beyond_par() {
    let unit = unit(Grade::First, 1);
    let rings = best(unit.as_made());
    let thrift = |times: usize, rounds: usize| {
        let mut play = Play::begun(&unit).unwrap();
        for _ in 1..rounds {
            let opened =
                record::RoundOpened { why: record::RoundReason::Reseated, note: String::new() };
            let seq = play.add(Body::RoundOpened(opened)).unwrap();
            play.round = seq;
        }
        play.confirm(rings, Lock::After, times).unwrap();
        play.sign(None).unwrap();
        scored(&play).earned(ScorePart::Thrift)
    };
    assert_eq!(thrift(12, 1), 1.0);
    assert!((thrift(18, 1) - 0.5).abs() < 1e-12, "36 readings are halfway to 48");
    assert_eq!(thrift(24, 1), 0.0);
    // 14 readings and two rounds more: 24. 16: 26.
    assert_eq!(thrift(7, 3), 1.0);
    assert!((thrift(8, 3) - 22.0 / 24.0).abs() < 1e-12);
}

#[test]
fn nothing_done_after_the_truth_was_told_changes_the_score() {
    let unit = unit(Grade::Second, 9);
    let facts = play(Hand::Far, &unit).unwrap();
    let mut again = Play::begun(&unit).unwrap();
    again.facts = facts.clone();
    let first = scored(&again);
    let reading = facts.iter().find(|fact| matches!(fact.body, Body::Reading(_))).unwrap().seq;
    again.add(Body::Withdrawn(record::Withdrawn { reading, reason: "regretted".into() })).unwrap();
    let opened = record::RoundOpened { why: record::RoundReason::Other, note: String::new() };
    again.round = again.add(Body::RoundOpened(opened)).unwrap();
    again.confirm(best(unit.as_made()), Lock::After, 6).unwrap();
    again.sign(None).unwrap();
    assert_eq!(scored(&again), first);
}

#[test]
fn the_score_reads_as_a_supervisor_would_say_it() {
    let words = set(&unit(Grade::First, 1), best(unit(Grade::First, 1).as_made())).to_string();
    assert!(words.starts_with("window use: 30 of 30. Left at "), "{words}");
    assert!(words.contains("verdict: 30 of 30. Signed “pass”, and the unit is inside."), "{words}");
    assert!(words.ends_with("Total: 100 %"), "{words}");
}
