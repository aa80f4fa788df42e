//! Stations that show only the difference of the channels, or only a box: logged, solved, and never
//! said to be more than they are.

use std::path::Path;

use egui::{Key, Modifiers, vec2};
use egui_kittest::kittest::Queryable as _;
use record::fact::{Purpose, Seen};
use record::station::{Shows, Station};
use record::{ReadingUnit, Shop};
use samepoint::app::picture::Target;
use solver::Channel;
use solver::relative::{BORESIGHT_NOT_JUDGED, BORESIGHT_UNKNOWN};

use crate::bench::Bench;
use crate::layout::everything_fits;

/// A session just started on a station that shows this.
fn bench(home: &Path, shows: Shows, size: egui::Vec2) -> Bench {
    let folder = home.join("shop");
    Shop::lay_out(&folder).unwrap();
    let mut shop = Shop::load(&folder).unwrap();
    let station = Station { shows, usual_unit: ReadingUnit::Arcmin, ..Station::plain("Bench D") };
    shop.keep_station(station).unwrap();
    let window = record::Window {
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
    assert!(bench.says("The difference is inside if set here"));
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
    bench.window.run();
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
