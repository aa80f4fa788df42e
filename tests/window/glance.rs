//! Bench mode: seen from two metres, worked with the keys of the bench.

use egui::{Key, Modifiers, Shape, vec2};
use egui_kittest::kittest::Queryable as _;
use record::fact::Purpose;
use samepoint::testing::{Aim, Glance, Tone};
use solver::Channel;

use crate::bench::Bench;
use crate::confirm::{confirm_all, turn_to_confirm};
use crate::layout::{cut_short, everything_fits};
use crate::session::{begin, log_eight, start};

fn glance(bench: &Bench) -> Glance {
    assert!(bench.app().bench_mode());
    bench.app().glance()
}

fn lines(glance: &Glance) -> Vec<String> {
    match &glance.aim {
        Aim::Place { lines, .. } => lines.clone(),
        Aim::None(why) => panic!("no place: {why}"),
    }
}

/// Letters of a text on screen: their size, pixels, and whether they are in sight as a whole.
pub(crate) fn drawn(bench: &Bench, text: &str, pixels_per_point: f32) -> Option<(f32, bool)> {
    let shapes = &bench.window.output().shapes;
    let all = shapes.iter().flat_map(|clipped| match &clipped.shape {
        Shape::Vec(inner) => inner.iter().map(|shape| (clipped.clip_rect, shape)).collect(),
        shape => vec![(clipped.clip_rect, shape)],
    });
    let found = all.filter_map(|(clip, shape)| match shape {
        Shape::Text(drawn) if drawn.galley.text().contains(text) => {
            let size = drawn.galley.job.sections.first()?.format.font_id.size;
            let rect = shape.visual_bounding_rect();
            Some((size * pixels_per_point, clip.expand(1.0).contains_rect(rect)))
        }
        _ => None,
    });
    // Where it stands twice, the one that is whole.
    found.max_by(|a, b| a.1.cmp(&b.1).then(a.0.total_cmp(&b.0)))
}

fn looks(glance: &Glance) -> bool {
    glance.state.iter().any(|(tone, _)| *tone == Tone::Look)
}

fn is_good(glance: &Glance) -> bool {
    glance.state.iter().any(|(tone, _)| *tone == Tone::Good)
}

/// The screens of a bench, 1280 × 800 and 1920 × 1080 pixels, with text of its usual size, half as large again,
/// twice as large.
pub(crate) const SCREENS: [(egui::Vec2, f32); 6] = [
    (vec2(1280.0, 800.0), 1.0),
    (vec2(853.0, 533.0), 1.5),
    (vec2(640.0, 400.0), 2.0),
    (vec2(1920.0, 1080.0), 1.0),
    (vec2(1280.0, 720.0), 1.5),
    (vec2(960.0, 540.0), 2.0),
];

/// What is seen from two metres, pixels of letters, worked out apart from the program: 22′ (ISO 9241-303 recommends
/// 20′ to 22′ for ease of reading; from memory) at 2,000 mm are 12.8 mm of a digit's height. On pixels of 0.19 mm
/// (12 to 14 inches; common practice, no source) that is 67 pixels, and a digit is 0.71 of its letters' size high.
pub(crate) const SEEN_FROM_TWO_METRES: f32 = 95.0;

/// From as found to the targets with the same keys as at the bench: which place to read, which way, how
/// far off, each number legible from two metres and in sight at every size of text, and what to do next.
#[test]
fn a_round_is_worked_from_two_metres() {
    for (size, scale) in SCREENS {
        let home = tempfile::tempdir().unwrap();
        let mut bench = Bench::open_sized(home.path(), None, size, scale);
        bench.key(Key::Insert);
        let mut bench = begin(bench);
        everything_fits(&bench, size, "bench mode while logging");
        // Where to read next: the row's own place, and how far it is from the last.
        let first = glance(&bench);
        assert_eq!((first.channel, lines(&first)), (Channel::Left, vec!["0°".to_owned()]));
        assert!(!is_good(&first) && first.state[0].1.starts_with("No target yet"), "{first:?}");
        bench.enter("38.2");
        bench.enter("14.3");
        let second = glance(&bench);
        assert_eq!(lines(&second), ["60°"]);
        let Aim::Place { turn: Some(turn), .. } = &second.aim else { panic!("{second:?}") };
        assert_eq!((turn.amount.as_str(), turn.way.as_str()), ("↻ 60°", "clockwise"));
        bench.keys(Modifiers::COMMAND, Key::Z);
        log_eight(&mut bench);

        // Meet: the ring of the row, R and L change it.
        let met = glance(&bench);
        assert_eq!((met.channel, met.head), (Channel::Right, "ring to"));
        bench.type_text("l");
        let met = glance(&bench);
        assert_eq!((met.channel, lines(&met)), (Channel::Left, vec!["236°".to_owned()]));
        let Aim::Place { turn: Some(turn), .. } = &met.aim else { panic!("{met:?}") };
        // Read last at 180°: 56° on.
        assert_eq!(turn.amount, "↻ 56°");
        // Hand calculation (tests of the session): the crossing is at −14.3, 21.7, read last −18.2, −6.3.
        let off = met.off.clone().unwrap();
        let far: Vec<f64> = off.xy.iter().map(|text| leading(text)).collect();
        assert!((far[0] + 3.9).abs() < 0.5 && (far[1] + 28.0).abs() < 0.5, "{off:?}");
        assert!(off.xy.iter().all(|text| text.contains('±')), "{off:?}");
        assert!(met.other.as_deref().is_some_and(|other| other.starts_with("Right ring to")));
        assert!(is_good(&met), "inside if set here: {:?}", met.state);
        for text in ["236°", "↻ 56°", off.xy[0].as_str(), off.xy[1].as_str()] {
            let (pixels, whole) = drawn(&bench, text, scale).expect(text);
            assert!(pixels >= SEEN_FROM_TWO_METRES, "{text} is {pixels} px at {size} × {scale}");
            assert!(whole, "{text} is cut at {size} × {scale}");
        }
        let (_, whole) = drawn(&bench, &met.next, scale).expect("what to do next");
        assert!(whole, "what to do next is out of sight at {size} × {scale}");
        everything_fits(&bench, size, "bench mode with targets");
        let entry = bench.window.get_by_label("left x entry").rect();
        assert!(egui::Rect::from_min_size(egui::Pos2::ZERO, size).contains_rect(entry));

        // The same key leaves, and so does Esc.
        bench.key(Key::Insert);
        assert!(!bench.app().bench_mode());
        bench.keys(Modifiers::ALT, Key::G);
        assert!(bench.app().bench_mode());
        bench.key(Key::Escape);
        assert!(!bench.app().bench_mode());
    }
}

/// The number that a text begins with.
fn leading(text: &str) -> f64 {
    let text = text.replace('−', "-");
    let end =
        text.find(|c: char| !(c.is_ascii_digit() || c == '-' || c == '.')).unwrap_or(text.len());
    text[..end].parse().unwrap()
}

/// Confirming: locks, count and verdict as the rules say them; green only with the verdict.
#[test]
fn confirming_is_green_only_when_it_passes() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = turn_to_confirm(start(home.path()));
    bench.key(Key::Insert);
    let before = glance(&bench);
    assert_eq!((before.head, lines(&before)), ("ring stands at", vec!["236°".to_owned()]));
    assert!(!is_good(&before), "{before:?}");
    assert!(before.state.iter().any(|(_, text)| text.contains("Not measured")), "{before:?}");
    assert!(before.state.iter().any(|(_, text)| text.contains("ock ")), "{before:?}");
    everything_fits(&bench, vec2(1280.0, 800.0), "bench mode while confirming");
    confirm_all(&mut bench);
    let after = glance(&bench);
    assert!(is_good(&after), "{after:?}");
    assert!(after.state.iter().any(|(_, text)| text.starts_with("Pass · rests on")), "{after:?}");
    let off = after.off.unwrap();
    assert!(off.name.contains("off by") && off.xy[0].contains('±'), "{off:?}");
    assert_eq!(off.xy, bench.app().session().unwrap().confirm().off_by.last().unwrap().xy);
    assert!(cut_short(&bench).is_empty());

    // Signed: what is next is another unit.
    bench.key(Key::F12);
    bench.key(Key::Enter);
    bench.key(Key::Escape);
    assert!(matches!(glance(&bench).aim, Aim::None(_)));
    assert!(glance(&bench).next.contains("Ctrl+N"));
}

/// Readings that do not fit give no target as if they did: neither while logging nor while confirming.
#[test]
fn readings_that_do_not_fit_give_no_target() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    bench.key(Key::Insert);
    log_eight(&mut bench);
    // One more of the left ring with x of the wrong sign.
    bench.type_text("l");
    bench.enter("18.2");
    bench.enter("-6.3");
    let solution = bench.app().session().unwrap().picture().solution.as_ref().unwrap();
    assert!(solution.misfits().next().is_some());
    for purpose in [Purpose::Log, Purpose::Confirm] {
        if purpose == Purpose::Confirm {
            bench.keys(Modifiers::COMMAND, Key::Num6);
        }
        assert_eq!(bench.app().entry().purpose, purpose);
        let told = glance(&bench);
        assert_eq!(told.aim, Aim::None("No target: the left readings do not fit".to_owned()));
        assert!(told.off.is_none() && told.other.is_none(), "{told:?}");
        assert!(!is_good(&told), "{told:?}");
        assert!(purpose == Purpose::Confirm || looks(&told), "{told:?}");
    }
}

/// What is refused can be read from two metres, and typing goes on where it was refused.
#[test]
fn what_is_refused_is_said_large() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    bench.key(Key::Insert);
    bench.enter("1.2.3");
    let told = glance(&bench);
    assert!(told.state[0].0 == Tone::Look && told.state[0].1.starts_with("X: "), "{told:?}");
    let (pixels, whole) = drawn(&bench, &told.state[0].1, 1.0).unwrap();
    assert!(pixels >= 18.0 && whole, "{pixels}");
}

/// Without a session it says what to do.
#[test]
fn without_a_session_it_says_what_to_do() {
    let home = tempfile::tempdir().unwrap();
    let shop = home.path().join("new-shop");
    record::Shop::lay_out(&shop).unwrap();
    let mut bench = Bench::open(home.path(), Some(shop));
    bench.key(Key::Escape);
    bench.key(Key::Insert);
    assert!(bench.says("No session is open") && bench.says("Ctrl+N"));
    everything_fits(&bench, vec2(1280.0, 800.0), "bench mode without a session");
}

/// A ring that cannot be read: what the graticule will show is the target, as large.
#[test]
fn without_ring_angles_the_target_is_what_it_reads() {
    for (size, scale) in SCREENS {
        let home = tempfile::tempdir().unwrap();
        let mut bench = begin(Bench::open_sized(home.path(), None, size, scale));
        bench.keys(Modifiers::COMMAND, Key::J);
        for _ in 0..6 {
            if bench.app().entry().step_deg == 0.0 {
                break;
            }
            bench.keys(Modifiers::COMMAND, Key::J);
        }
        for (letter, readings) in [
            ("l", [("38.2", "14.3"), ("33.0", "-15.3"), ("4.8", "-25.5"), ("-18.2", "-6.3")]),
            ("r", [("-25.9", "13.7"), ("-1.5", "22.6"), ("18.4", "5.9"), ("13.9", "-19.7")]),
        ] {
            bench.type_text(letter);
            for (x, y) in readings {
                let channel = bench.app().entry().channel;
                bench.focus(&format!("{channel} ring angle entry"));
                bench.keys(Modifiers::COMMAND, Key::A);
                bench.key(Key::Delete);
                bench.key(Key::Enter);
                bench.enter(x);
                bench.enter(y);
            }
        }
        bench.key(Key::Insert);
        let told = glance(&bench);
        let shown = lines(&told);
        assert!(shown[0].starts_with("x ") && shown[1].starts_with("y "), "{told:?}");
        for line in &shown {
            let (pixels, whole) = drawn(&bench, line, scale).unwrap();
            assert!(whole && pixels >= SEEN_FROM_TWO_METRES, "{line} {pixels} at {size} × {scale}");
        }
        everything_fits(&bench, size, "bench mode without ring angles");
    }
}
