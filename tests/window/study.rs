//! A repeatability and reproducibility study at the screen: the plan, cell by cell, what it tells.
//!
//! Source of the readings and results: AIAG, *Measurement Systems Analysis*, 4th ed. (2010), chapter
//! III section B; the numbers stand in for arcminutes.

use egui::{Key, Modifiers, vec2};
use record::Shop;
use samepoint::testing::Place;

use crate::bench::Bench;
use crate::layout::everything_fits;
use crate::published_aiag::READINGS;
use crate::session::start;

/// The bench in the study's place, with a plan written and begun.
pub(crate) fn begun(bench: &mut Bench, parts: &str, hands: &str, trials: &str) {
    bench.keys(Modifiers::ALT, Key::U);
    assert_eq!(bench.app().place(), Place::Study);
    bench.press("New study…");
    bench.type_text(parts);
    bench.key(Key::Tab);
    bench.type_text(hands);
    bench.key(Key::Tab);
    bench.keys(Modifiers::COMMAND, Key::A);
    bench.enter(trials);
}

/// The published study, typed cell by cell in the order the program drew.
#[test]
fn the_published_study_is_guided_to_its_published_result() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    begun(&mut bench, "1,2,3,4,5,6,7,8,9,10", "A, B, C", "3");
    assert!(bench.says("(1 of 90)."));
    let open = |bench: &Bench| bench.app().places().study.open.as_ref().unwrap().study().open();
    while let Some(cell) = open(&bench).first().copied() {
        let value = READINGS[cell.hand][cell.trial][cell.part];
        bench.enter(&format!("{value}"));
        bench.enter(&format!("{}", -value));
        if open(&bench).len() == 45 {
            assert!(!bench.says("One hand repeats"), "half a study tells nothing");
            assert!(!bench.says(&format!("{value:.1}′")), "no value is in sight before the end");
        }
    }
    assert!(bench.says("All 90 cells are measured."));
    // GRR 0.30237 by analysis of variance, 27.86 % of all; 0.30577 by average and range.
    assert!(bench.says("both together 0.30′"));
    assert!(bench.says("28 % of all the spread seen. It tells 4 groups of units apart."));
    assert!(bench.says("By average and range the bench and the hands together spread by 0.31′."));
    let study = bench.app().places().study.open.as_ref().unwrap();
    assert!(study.study().out_of_order.is_empty());
    // 3 × 0.302 371 522 323 of the tighter limit sideways.
    let window = bench.app().session().unwrap().state().window().unwrap().clone();
    let limit = window.limits.convergence_arcmin().min(window.limits.divergence_arcmin());
    let share = paper::words::percent(3.0 * 0.302_371_522_323 / limit);
    let limit = paper::words::arcmin(limit);
    assert!(bench.says(&format!(
        "X: three standard deviations of bench and hands are {share} of the tighter sideways limit of \
         {limit} ({}).",
        window.name
    )));
    // The chart's means are told: appraiser A measured part 1 as 0.29, 0.41, 0.64.
    assert!(bench.says("1: A 0.45′"));

    // A withdrawn cell opens again, and the result waits for it.
    bench.press_anywhere_first("Withdraw…");
    bench.key(Key::Enter);
    assert!(bench.says("the reason"), "a reason is asked for");
    bench.enter("wrong unit on the stand");
    assert!(bench.says("(90 of 90)."));
    assert!(!bench.says("both together"));
    assert!(bench.says("withdrawn: wrong unit on the stand"));
}

/// What is refused is said beside the field, and nothing is lost; the study is there again later.
#[test]
fn refusals_are_said_and_a_study_waits() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    begun(&mut bench, "0147", "KT", "3");
    assert!(bench.says("from 2 to 30"));
    bench.press("Leave it");
    begun(&mut bench, "0147, 0152", "KT, MB", "2");
    bench.enter("1.2.3");
    bench.enter("0.5");
    assert!(bench.says("1.2.3"), "the refusal names what was typed");
    // The keyboard is back in x.
    bench.keys(Modifiers::COMMAND, Key::A);
    bench.enter("1.5");
    bench.keys(Modifiers::COMMAND, Key::A);
    bench.enter("-0.5");
    assert!(bench.says("(2 of 8)."));
    bench.type_text("9.9");
    // The first leaves the field.
    bench.key(Key::Escape);
    bench.key(Key::Escape);
    assert_eq!(bench.app().place(), Place::Bench);
    bench.keys(Modifiers::ALT, Key::U);
    assert!(bench.says("(2 of 8)."));
    assert_eq!(bench.app().places().study.cell.x, "9.9", "what was typed waits");
    let folder = bench.app().places().study.open.as_ref().unwrap().file().path().to_owned();
    let shop = Shop::load(folder.parent().unwrap().parent().unwrap()).unwrap();
    assert!(shop.studies().unwrap().contains(&folder));
}

/// Nothing is cut short or out of reach at any size.
#[test]
fn the_study_fits_every_size() {
    for size in [vec2(1280.0, 800.0), vec2(960.0, 600.0), vec2(640.0, 480.0)] {
        let home = tempfile::tempdir().unwrap();
        let mut bench = Bench::open_sized(home.path(), None, size, 1.0);
        bench.keys(Modifiers::ALT, Key::U);
        bench.press("New study…");
        let check = |bench: &Bench, what: &str| everything_fits(bench, size, what);
        check(&bench, "a plan");
        bench.press("Leave it");
        begun(&mut bench, "0147, 0152", "KT, MB", "2");
        for _ in 0..8 {
            bench.enter("1.5");
            bench.enter("-0.5");
            check(&bench, "a study");
        }
    }
}
