//! Stations that show only the difference of the channels, or only a box: logged, solved, and never
//! said to be more than they are.

use std::path::Path;

use egui::{Key, Modifiers, vec2};
use egui_kittest::kittest::Queryable as _;
use record::fact::{Purpose, Seen};
use record::station::{Shows, Station};
use record::{ReadingUnit, Shop};
use samepoint::testing::Target;
use solver::Channel;
use solver::relative::{BORESIGHT_NOT_JUDGED, BORESIGHT_UNKNOWN};

use crate::bench::Bench;
use crate::layout::everything_fits;

/// A session just started on a station that shows this.
pub(crate) fn bench(home: &Path, shows: Shows, size: egui::Vec2) -> Bench {
    let folder = home.join("shop");
    Shop::lay_out(&folder).unwrap();
    let mut shop = Shop::load(&folder).unwrap();
    let station = Station { shows, usual_unit: ReadingUnit::Arcmin, ..Station::plain("Bench D") };
    shop.keep_station(station).unwrap();
    let window = record::NamedWindow {
        name: "Shop window".to_owned(),
        source: "invented".to_owned(),
        limits: solver::Window::new(12.0, 6.0, 5.0, Some(30.0)).unwrap(),
        rule: record::Rule::Guarded,
        far_point_share: None,
        note: String::new(),
    };
    shop.keep_window(window).unwrap();
    let mut bench = Bench::open_sized(home, Some(folder), size, 1.0);
    bench.type_text("0171");
    bench.key(Key::Tab);
    bench.keys(Modifiers::COMMAND, Key::A);
    bench.enter("KT");
    assert!(bench.app().session().is_some());
    bench.key(Key::Escape);
    bench
}

/// Types a pair of ring angles and, where there is one, the difference.
fn read(bench: &mut Bench, left: &str, right: &str, difference: Option<[&str; 2]>) {
    // From x backwards to the left ring.
    let back = if difference.is_some() { 2 } else { 0 };
    for _ in 0..back {
        bench.keys(Modifiers::SHIFT, Key::Tab);
    }
    for ring in [left, right] {
        bench.keys(Modifiers::COMMAND, Key::A);
        bench.enter(ring);
    }
    for number in difference.into_iter().flatten() {
        bench.enter(number);
    }
}

fn ring(bench: &Bench, channel: Channel) -> Target {
    bench.app().session().unwrap().picture().rings[channel].target.clone()
}

/// Both offsets 10′ to the right at ring zero, centres 12′ apart across: the circles meet 6′ across from
/// either centre and 8′ up or down (6² + 8² = 10²), so the left ring stands at 53.13° before or after
/// zero, and the right where its arm points 180° less that.
#[test]
fn differences_give_targets_and_no_boresight() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = bench(home.path(), Shows::Relative, vec2(1280.0, 800.0));
    assert!(bench.says("As found: read what the station shows"));
    bench.enter("11.5");
    bench.enter("-0.5");
    assert_eq!(bench.app().entry().purpose, Purpose::Log, "one look reads both as found");
    assert!(bench.says(BORESIGHT_UNKNOWN));
    assert!(matches!(ring(&bench, Channel::Left), Target::Missing(_)));
    // Rings go on by turns, and never together.
    bench.enter("12");
    bench.enter("0");
    let rings = bench.app().entry().ring.clone();
    assert_eq!((rings.left.as_str(), rings.right.as_str()), ("60", "0"));
    read(&mut bench, "90", "0", Some(["22", "10"]));
    assert!(bench.says("three"), "what is missing is said");
    read(&mut bench, "0", "90", Some(["2", "-10"]));
    // From 0°, 90°: 53° and 127° take less turning than 307° and 233°.
    assert_eq!(ring(&bench, Channel::Left), Target::Ring("53°".to_owned()));
    assert_eq!(ring(&bench, Channel::Right), Target::Ring("127°".to_owned()));
    assert!(bench.says("↻ 53°") && bench.says("↻ 37°"));
    assert!(bench.says("they agree at left 307°, right 233° too"));
    // Three pairs leave nothing to spare: how sure it is cannot be told, and is not said to be.
    assert!(bench.says("how sure that is cannot be told"));
    assert!(!bench.says("The difference is inside if set here"));
    assert!(bench.says("Read next with the left ring at"));
    assert!(bench.says(BORESIGHT_NOT_JUDGED), "the window's boresight limit is not judged");
    assert!(bench.says("Differences, right less left."), "the plane is told in words");
    // From 0 to 20′: both radii are 10′.
    assert!(bench.says("from 0.0′ to 20.0′ away"));

    // Views that need directions say why they are empty.
    bench.keys(Modifiers::ALT, Key::Num3);
    assert!(bench.says("This view needs directions from boresight."));
    bench.keys(Modifiers::ALT, Key::Num1);

    // Withdrawing and reading again work as with directions.
    bench.key(Key::F8);
    assert!(bench.says("Reading 3: rings 0°, 90°, Δx 2, Δy −10"));
    bench.enter("misread");
    assert!(matches!(ring(&bench, Channel::Left), Target::Missing(_)));
    bench.keys(Modifiers::COMMAND, Key::Z);
    assert_eq!(ring(&bench, Channel::Left), Target::Ring("53°".to_owned()));

    // Confirming here says what is needed instead, and nothing can be signed as a pass.
    bench.keys(Modifiers::COMMAND, Key::Num6);
    assert!(bench.says("A verdict needs each channel read by itself"));
    bench.wait_saved().unwrap();
    let account =
        record::review(bench.app().session().unwrap().file().path(), &record::RealDisk).unwrap();
    let words = account.words();
    assert!(words.contains(BORESIGHT_UNKNOWN), "{words}");
    assert_eq!(account.verdict(), Some(record::fact::Verdict::NotMeasured), "{words}");
}

/// More pairs than needed: how sure it is stands beside the targets, with the chance of being inside.
#[test]
fn more_pairs_say_how_sure_it_is() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = bench(home.path(), Shows::Relative, vec2(1280.0, 800.0));
    bench.enter("11.5");
    bench.enter("-0.5");
    // Both offsets 10′ to the right at ring zero, centres 12′ apart, read to a tenth.
    let apart = |left: f64, right: f64| {
        let arm = |deg: f64| (10.0 * deg.to_radians().cos(), -10.0 * deg.to_radians().sin());
        let ((lx, ly), (rx, ry)) = (arm(left), arm(right));
        [12.0 + rx - lx, ry - ly]
    };
    let pairs = [(0, 0), (60, 120), (120, 240), (180, 60), (240, 200), (300, 300)];
    for (left, right) in pairs {
        let [x, y] = apart(f64::from(left), f64::from(right)).map(|part| format!("{part:.1}"));
        let rings = [left, right].map(|deg| deg.to_string());
        if (left, right) == (0, 0) {
            bench.enter(&x);
            bench.enter(&y);
        } else {
            read(&mut bench, &rings[0], &rings[1], Some([&x, &y]));
        }
    }
    let picture = bench.app().session().unwrap().picture();
    assert_eq!(picture.verdict.tone, samepoint::testing::Tone::Good, "{}", picture.verdict.text);
    assert!(picture.rings.left.known_to.is_some());
    assert!(bench.says("the chance of being inside is") && bench.says("of the window at 95 %"));

    // One turned by hand and read wrong: nothing is judged any more. σ is not stated here, so the interval
    // is as wide as what was read wrong.
    read(&mut bench, "90", "10", Some(["-30", "40"]));
    let picture = bench.app().session().unwrap().picture();
    assert_ne!(picture.verdict.tone, samepoint::testing::Tone::Good, "{}", picture.verdict.text);
}

/// Both rings turned alike: no setting is recommended, and the pair that would tell is named.
#[test]
fn rings_turned_alike_get_no_target() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = bench(home.path(), Shows::Relative, vec2(1280.0, 800.0));
    bench.enter("11.5");
    bench.enter("-0.5");
    bench.enter("12");
    bench.enter("0");
    for (left, right, x, y) in [
        ("60", "61", "12.1", "0.1"),
        ("120", "119", "11.9", "-0.1"),
        ("180", "181", "12.0", "0.2"),
        ("240", "239", "12.1", "-0.2"),
        ("300", "301", "11.8", "0.0"),
    ] {
        read(&mut bench, left, right, Some([x, y]));
    }
    for channel in Channel::BOTH {
        assert!(matches!(ring(&bench, channel), Target::Missing(_)), "{channel}");
    }
    assert!(
        bench.says("both rings were turned alike") && bench.says("Read next with the left ring at")
    );
}

/// A box is logged with the rings it was seen at, and nothing is worked out from it.
#[test]
fn a_box_is_never_more_than_a_box() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = bench(home.path(), Shows::Box, vec2(1280.0, 800.0));
    bench.press("In the box");
    assert_eq!(bench.app().entry().purpose, Purpose::Log);
    bench.press("Outside");
    let rings = bench.app().entry().ring.clone();
    assert_eq!((rings.left.as_str(), rings.right.as_str()), ("60", "0"));
    bench.window.get_by_label("left ring angle entry, both channels").focus();
    bench.rest();
    // The keyboard waits where letters are commands.
    bench.type_text("i");
    let session = bench.app().session().unwrap();
    let seen: Vec<_> = session
        .state()
        .round()
        .unwrap()
        .in_use()
        .map(|entry| match &entry.reading.seen {
            Seen::Box(read) => (read.inside, entry.reading.purpose),
            other => panic!("{other:?}"),
        })
        .collect();
    let expected = [(true, Purpose::AsFound), (false, Purpose::Log), (true, Purpose::Log)];
    assert_eq!(seen, expected);
    assert!(bench.says("a box gives no number to turn by"));
    assert!(bench.says("no numbers: nothing can be computed"));
}

/// Nothing is cut short or out of reach at any size.
#[test]
fn both_kinds_fit_every_size() {
    for shows in [Shows::Relative, Shows::Box] {
        for size in [vec2(1280.0, 800.0), vec2(960.0, 600.0), vec2(640.0, 480.0)] {
            let home = tempfile::tempdir().unwrap();
            let mut bench = bench(home.path(), shows, size);
            for (left, right, x, y) in
                [("0", "0", "12", "0"), ("90", "0", "22", "10"), ("0", "90", "2", "-10")]
            {
                if shows == Shows::Box {
                    bench.press("Outside");
                } else if bench.app().entry().purpose == Purpose::AsFound {
                    bench.enter(x);
                    bench.enter(y);
                }
                if shows == Shows::Relative {
                    read(&mut bench, left, right, Some([x, y]));
                }
            }
            for key in [Key::F10, Key::F10, Key::F10] {
                bench.key(key);
                everything_fits(&bench, size, "both at one look");
            }
        }
    }
}
