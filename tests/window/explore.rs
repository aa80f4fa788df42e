//! The optics opened up: every preset's claim is on screen, numbers move circles, and can be taken
//! back.

use egui::accesskit::Role;
use egui::{Key, Modifiers, vec2};
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use record::practice::explore::{Plane, Preset};
use samepoint::testing::{Exploring, Leaf, OffAxisPart, Parameter};
use solver::{Channel, Relation};

use crate::bench::Bench;
use crate::layout::{PLACE_SIZES, everything_fits};
use crate::whole_unit::tab_to;

fn explore(home: &std::path::Path, size: egui::Vec2, pixels_per_point: f32) -> Bench {
    let mut bench = Bench::open_sized(home, None, size, pixels_per_point);
    bench.keys(Modifiers::ALT, Key::E);
    bench
}

fn open(home: &std::path::Path) -> Bench {
    explore(home, vec2(1280.0, 800.0), 1.0)
}

fn exploring(bench: &Bench) -> &Exploring {
    &bench.app().places().explore
}

fn value(bench: &Bench, channel: Channel, knob: Parameter) -> f64 {
    knob.value(&exploring(bench).explored.as_ref().unwrap().model.channels[channel])
}

/// The words of what assistive technology hears of the field plot.
fn plot_words(bench: &Bench) -> String {
    let plot = bench.window.get_by_label_contains("Field plot.");
    plot.accesskit_node().label().unwrap_or_default()
}

/// Names, questions, answers and what each preset is named for are on screen, walked with one button.
#[test]
fn every_presets_claim_is_on_screen() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = open(home.path());
    for preset in Preset::ALL {
        assert_eq!(exploring(&bench).preset, preset);
        assert!(bench.says(&format!("Preset: {}", preset.name())) && bench.says(preset.question()));
        let model = preset.model().unwrap();
        let answer = preset.answer(&model).unwrap().words;
        assert!(!bench.says(&answer), "the answer waits to be asked for");
        bench.press("Show the answer");
        assert!(bench.says(&answer), "{answer}");
        let meeting = model.meeting().unwrap();
        assert!(bench.says(&format!("The circles are {}:", meeting.relation.word())));
        assert!(plot_words(&bench).contains("Left circle: centre"));
        // What makes the preset's point, in the window's own numbers.
        let used = exploring(&bench).picture.as_ref().unwrap().as_ref().unwrap().used;
        let claims: &[&str] = match preset {
            Preset::MatchedBores => &["centres 0.0′ apart", "They meet all round"],
            Preset::BarelyMeeting => &["from boresight, at", "; and "],
            Preset::Nested => &["They meet nowhere."],
            Preset::OneGoodCrossing => &["; and ", "At worst over the swing"],
            Preset::OneDistanceOnly => &["At an interpupillary distance of 56 mm it uses"],
            Preset::DioptreError => &["The bench sees the right centre at"],
            Preset::RingPlay => &["With the rings at their targets"],
            Preset::WrongFlip => &["The bench sees the left centre at", "against"],
        };
        for claim in claims {
            assert!(bench.says(claim), "{preset:?}: {claim}");
        }
        match preset {
            Preset::Nested => assert_eq!(meeting.relation, Relation::Contained),
            // The rings are right or at their targets, and yet: the bars say what the answer says.
            Preset::DioptreError | Preset::RingPlay => {
                let name = match preset {
                    Preset::RingPlay => "use_other_side",
                    _ => "window_use",
                };
                let told = preset.answer(&model).unwrap().figure(name).unwrap();
                assert!((used.worst() - told).abs() < 1e-9, "{used:?}, not {told}");
            }
            Preset::MatchedBores | Preset::OneDistanceOnly => assert!(used.worst() <= 1.0),
            _ => {}
        }
        bench.press("Next");
    }
    assert_eq!(exploring(&bench).preset, Preset::MatchedBores, "the last leads to the first");
}

/// A derivation is a press away, and more than its first line is in sight.
#[test]
fn a_derivation_is_a_press_away() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = open(home.path());
    let lines = || Preset::MatchedBores.derivation(&Preset::MatchedBores.model().unwrap()).unwrap();
    assert!(!bench.says(&lines()[0].formula));
    bench.press("Show the derivation");
    bench.rest();
    let above = bench.window.get_by_label("Fit the picture").rect().top();
    let seen = lines()
        .iter()
        .filter(|line| {
            let mut shown = bench.window.query_all_by_label(&line.formula);
            shown.next().is_some_and(|node| node.rect().bottom() < above)
        })
        .count();
    // A line takes some 40 points of the 200 there are.
    assert!(seen >= 4, "{seen} lines are in sight");
}

/// A slider moves the circles at once; what was moved can be taken back and brought back by key.
#[test]
fn a_slider_moves_the_circles_and_can_be_taken_back() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = open(home.path());
    let knob = Parameter::At(OffAxisPart::BoreFront, Plane::Across);
    let before = (value(&bench, Channel::Left, knob), plot_words(&bench));
    bench.window.get_by_role_and_label(Role::Slider, "left bore offset, front, right").focus();
    bench.rest();
    for _ in 0..4 {
        bench.key(Key::ArrowRight);
    }
    let moved = value(&bench, Channel::Left, knob);
    // Four steps of 0.005 mm.
    assert!((moved - before.0 - 0.02).abs() < 1e-9, "{moved}");
    assert_ne!(plot_words(&bench), before.1);
    assert!(bench.says("The circles are crossing:"), "no longer coincident");
    // One end moved by 0.02 mm moves the centre by 0.02/27 rad: 2.5′.
    assert!(bench.says("centres 2.5′ apart"));
    bench.keys(Modifiers::COMMAND, Key::Z);
    assert_eq!((value(&bench, Channel::Left, knob), plot_words(&bench)), before);
    bench.keys(Modifiers::COMMAND | Modifiers::SHIFT, Key::Z);
    assert!((value(&bench, Channel::Left, knob) - moved).abs() < 1e-12);
    bench.press("As it came");
    assert_eq!(value(&bench, Channel::Left, knob), before.0);
    // The session at the bench was not touched.
    let facts = bench.app().session().unwrap().file().facts().len();
    bench.keys(Modifiers::COMMAND, Key::Z);
    assert_eq!(bench.app().session().unwrap().file().facts().len(), facts);
}

/// A number can be typed, a comma being a point; what is beyond is refused beside it.
#[test]
fn a_number_is_typed_or_refused_beside_its_field() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = open(home.path());
    let field = "left shim thickness, millimetres";
    tab_to(&mut bench, field);
    bench.keys(Modifiers::COMMAND, Key::A);
    bench.enter("0,05");
    assert_eq!(value(&bench, Channel::Left, Parameter::Shim), 0.05);
    // A full-length shim of 0.05 mm moves the line of sight by 2 × 0.05/27 rad: 12.7′.
    assert!(bench.says("centres 12.7′ apart"));
    bench.keys(Modifiers::COMMAND, Key::A);
    bench.enter("7");
    assert_eq!(value(&bench, Channel::Left, Parameter::Shim), 0.05);
    assert!(bench.says("Shim thickness goes from 0.0 to 0.3 mm; 7.000 is beyond."));
    bench.keys(Modifiers::COMMAND, Key::A);
    bench.enter("0.1");
    assert!(!bench.says("is beyond."));
    // The section tells of it.
    let sections = exploring(&bench).picture.as_ref().unwrap().as_ref().unwrap().sections.left;
    let [_, up] = sections;
    // At clock 0°, from above, it pushes down.
    assert!((up.tube[0] - up.tube_without_shims[0] + 0.1).abs() < 1e-12);
    bench.press("Cut open, seen from the side");
    assert!(bench.says("Section of the left channel. Seen from the side"));
}

/// Flip, approach and shim ends are switches with names of their own, each channel's apart.
#[test]
fn switches_belong_to_their_channel() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = open(home.path());
    bench.press("▲ Right");
    bench.press_anywhere("right station map has x the wrong way round");
    let channels = exploring(&bench).explored.as_ref().unwrap().model.channels.clone();
    assert!(channels.right.map_flipped && !channels.left.map_flipped);
    assert!(bench.says("The bench sees the right centre at"));
    bench.press_anywhere("right target reached counter-clockwise");
    assert!(exploring(&bench).explored.as_ref().unwrap().counter.right);
    for _ in 0..2 {
        bench.keys(Modifiers::COMMAND, Key::Z);
    }
    assert!(!exploring(&bench).explored.as_ref().unwrap().model.channels.right.map_flipped);
}

/// Nothing is cut short or out of the window at any size, whatever leaf is in sight.
#[test]
fn explore_fits_every_size() {
    for (size, pixels_per_point) in PLACE_SIZES {
        let home = tempfile::tempdir().unwrap();
        let mut bench = explore(home.path(), size, pixels_per_point);
        let check = |bench: &Bench, what: &str| everything_fits(bench, size, what);
        for preset in Preset::ALL {
            for leaf in Leaf::ALL {
                let tab = format!("Show {}", leaf.text());
                if bench.window.query_by_label(&tab).is_some() {
                    bench.press(&tab);
                }
                check(&bench, &format!("{preset:?}, {leaf:?}"));
            }
            bench.press("Show the answer");
            check(&bench, &format!("the answer to {preset:?}"));
            bench.press("Next");
        }
    }
}
