//! One unit from set-up to signature with a shim round between, by keyboard alone.

use egui::{Key, Modifiers};
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use record::fact::{Purpose, Remedy, RoundReason, Verdict};
use record::{SignatureState, review};
use samepoint::testing::Check;
use solver::{Channel, Direction, OffsetCircle, PerChannel, Phase, Sense};

use crate::bench::Bench;
use crate::remedy::wait_for_list;

/// Tab until a control has the keyboard.
pub(crate) fn tab_to(bench: &mut Bench, name: &str) {
    for _ in 0..80 {
        let has_keyboard =
            bench.window.query_all_by_label(name).any(|node| node.accesskit_node().is_focused());
        if has_keyboard {
            return;
        }
        bench.key(Key::Tab);
    }
    panic!("Tab never comes to {name}");
}

fn with_phase(x: f64, y: f64, radius_arcmin: f64, zero_deg: f64) -> OffsetCircle {
    OffsetCircle {
        centre: Direction::new(x, y),
        radius_arcmin,
        phase: Some(Phase { zero_deg, sense: Sense::With }),
    }
}

/// Reads both channels at 0°, 60°, 120° and 180°, to a tenth as a hand does, a little off.
fn read_round(bench: &mut Bench, circles: &PerChannel<OffsetCircle>) {
    for (channel, letter) in [(Channel::Left, "l"), (Channel::Right, "r")] {
        bench.type_text(letter);
        let circle = circles[channel];
        let zero_deg = circle.phase.unwrap().zero_deg;
        for (place, ring_deg) in [0.0_f64, 60.0, 120.0, 180.0].into_iter().enumerate() {
            let (sin, cos) = (zero_deg - ring_deg).to_radians().sin_cos();
            let slip = if place % 2 == 0 { 0.1 } else { -0.1 };
            let x = circle.centre.x_arcmin + circle.radius_arcmin * cos + slip;
            let y = circle.centre.y_arcmin + circle.radius_arcmin * sin - slip;
            bench.enter(&format!("{x:.1}"));
            bench.enter(&format!("{y:.1}"));
        }
    }
}

/// One confirm reading of each channel, where the setting should have put them.
fn confirm_both(bench: &mut Bench, points: &PerChannel<Direction>, slip: f64) {
    for channel in Channel::BOTH {
        bench.enter(&format!("{:.1}", points[channel].x_arcmin + slip));
        bench.enter(&format!("{:.1}", points[channel].y_arcmin));
    }
}

#[test]
fn a_unit_from_set_up_to_signature() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = Bench::open(home.path(), None);

    // Set up.
    bench.keys(Modifiers::COMMAND, Key::N);
    bench.type_text("0171");
    bench.key(Key::Tab);
    bench.type_text("KT");
    tab_to(&mut bench, "Interpupillary distance set, mm");
    bench.type_text("64");
    for side in ["left dioptre at", "right dioptre at"] {
        tab_to(&mut bench, side);
        bench.type_text("0");
    }
    bench.key(Key::Enter);
    let state = bench.app().session().unwrap().state();
    assert_eq!(state.setup.as_ref().unwrap().body.ipd_mm.as_ref().unwrap().value(), 64.0);

    // As found, before anything is touched.
    for (x, y) in [("36.1", "12.4"), ("-40.0", "-20.2")] {
        bench.enter(x);
        bench.enter(y);
    }
    assert_eq!(bench.app().entry().purpose, Purpose::Log);

    // Logged: centres 62.4′ apart, radii 56′ together, so the circles stay 6.4′ apart. All that is read
    // lies within the 60 divisions of the station's graticule.
    let circles = PerChannel {
        left: with_phase(27.0, 4.0, 30.0, 20.0),
        right: with_phase(-35.0, -3.0, 26.0, 140.0),
    };
    read_round(&mut bench, &circles);
    assert!(bench.says("the circles lie 6."));

    // Remedy: the first of the list is a shim that brings them inside.
    bench.keys(Modifiers::COMMAND, Key::Num5);
    wait_for_list(&mut bench);
    bench.keys(Modifiers::ALT, Key::ArrowDown);
    bench.keys(Modifiers::ALT, Key::Enter);
    let state = bench.app().session().unwrap().state();
    let round = state.round().unwrap();
    assert_eq!((round.number, round.why), (2, RoundReason::Remedy));
    let taken = record::remedies::remedy_before(state).unwrap().clone();
    assert!(matches!(&taken.remedy, Remedy::Shim(shims) if !shims.is_empty()));
    let prediction = taken.prediction.unwrap();
    assert!(prediction.window_use.unwrap() < 1.0);
    // The guidance shows the prediction, the plot its circles.
    assert!(bench.says("The remedy: predicted, measured"));
    assert!(bench.app().session().unwrap().picture().telling.contains("Predicted"));

    // The round after it measures what was predicted.
    let predicted = PerChannel::from_fn(|channel| {
        let circle = prediction.circles[channel].unwrap();
        let [x, y] = circle.centre_arcmin;
        with_phase(x, y, circle.radius_arcmin, circle.phase_deg.unwrap())
    });
    read_round(&mut bench, &predicted);
    let session = bench.app().session().unwrap();
    let solution = session.picture().solution.as_ref();
    let compared = record::remedies::compared(session.state(), solution);
    // Slips of 0.1′ and readings to 0.1′: a mean of four is off by less than 0.2′ each way.
    assert!(compared.iter().take(2).all(|c| c.difference().unwrap().boresight_arcmin() < 0.3));

    // Meet.
    bench.keys(Modifiers::COMMAND, Key::Num4);
    let setting = bench.app().session().unwrap().picture().setting.unwrap();
    assert!(setting.window_use.unwrap().is_inside());
    bench.keys(Modifiers::COMMAND, Key::Enter);
    let round = bench.app().session().unwrap().state().round().unwrap();
    assert_eq!(round.settings.len(), 1, "the setting is on record");

    // Confirm: the list asks for one thing after the other.
    bench.keys(Modifiers::COMMAND, Key::Num6);
    let check = |bench: &Bench| bench.app().confirming().check;
    bench.keys(Modifiers::COMMAND, Key::B);
    assert_eq!(check(&bench), Check::Open);
    confirm_both(&mut bench, &setting.points, 0.0);
    assert_eq!(check(&bench), Check::Tight);
    bench.keys(Modifiers::COMMAND, Key::T);
    confirm_both(&mut bench, &setting.points, 0.2);
    confirm_both(&mut bench, &setting.points, 0.1);
    assert_eq!(check(&bench), Check::Reseated);
    bench.keys(Modifiers::ALT, Key::R);
    confirm_both(&mut bench, &setting.points, 0.1);
    assert_eq!(check(&bench), Check::Narrow);
    bench.keys(Modifiers::ALT, Key::S);
    confirm_both(&mut bench, &setting.points, 0.1);
    assert_eq!(check(&bench), Check::Wide);
    bench.keys(Modifiers::ALT, Key::S);
    confirm_both(&mut bench, &setting.points, 0.1);
    assert_eq!(check(&bench), Check::Looked);
    bench.key(Key::F11);
    bench.type_text("200");
    tab_to(&mut bench, "Fused");
    bench.key(Key::Space);
    tab_to(&mut bench, "Note it");
    bench.key(Key::Space);
    for words in ["Verdict: pass", "as found", "as left"] {
        assert!(bench.says(words), "{words}");
    }

    // Sign.
    bench.key(Key::F12);
    bench.key(Key::Enter);
    bench.wait_saved().unwrap();
    let session = bench.app().session().unwrap();
    let SignatureState::Signed(signature) = session.state().signature() else { panic!() };
    assert_eq!(signature.signed.verdict, Verdict::Pass);
    assert_eq!(signature.hand, "KT");
    // The screen is what the file says, and a review comes to the same.
    assert_eq!(session.state(), &record::fold(session.file().facts()));
    let account = review(session.file().path(), &record::RealDisk).unwrap();
    assert_eq!((account.exit_code(), account.last_hash), (0, session.file().last_hash()));
}
