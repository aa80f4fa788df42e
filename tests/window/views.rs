//! The views beside the field plot: through the glass, the ring map, over the swing.

use egui::{Key, Modifiers};
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use samepoint::testing::{CentreSource, GlassView, RingMapView, SourcesView, SwingView, Swings};

use crate::bench::Bench;
use crate::session::{log_eight, start};

/// A session of the demo shop, by the end of its file's name.
fn demo(home: &std::path::Path, name: &str) -> Bench {
    drop(Bench::open(home, None));
    let sessions = home.join("data/demo-shop/sessions");
    let found = std::fs::read_dir(sessions).unwrap().flatten().map(|entry| entry.path());
    let path = found.into_iter().find(|path| path.to_string_lossy().ends_with(name));
    Bench::open(home, path)
}

/// Every view by key, with what is missing said before there is anything to show.
#[test]
fn views_are_walked_by_key() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    for (key, missing) in [
        (Key::Num3, "The ring map needs both circles"),
        (Key::Num4, "How far the pods swing is not known"),
    ] {
        bench.keys(Modifiers::ALT, key);
        assert!(bench.says(missing), "{missing}");
    }
    log_eight(&mut bench);
    assert!(bench.says("How far the pods swing is not known"), "logging goes on beside a view");
    for (key, words) in [
        (Key::Num2, "Through the glass. As read last, in divisions of Bench 2"),
        (Key::Num3, "Ring map. "),
        (Key::Num1, "Field plot. "),
    ] {
        bench.keys(Modifiers::ALT, key);
        let canvas = bench.window.query_all_by_role(egui::accesskit::Role::Canvas);
        let told: Vec<String> = canvas.filter_map(|node| node.accesskit_node().label()).collect();
        assert!(told.iter().any(|told| told.starts_with(words)), "{words}: {told:?}");
    }
}

/// The glass shows where the crosshairs were read, in the station's divisions; Bench 2 shows one
/// arcminute a division and boresight at nought.
#[test]
fn the_glass_shows_what_was_read() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    log_eight(&mut bench);
    let session = bench.app().session().unwrap();
    let glass = GlassView::of(session).unwrap();
    assert_eq!(glass.crosshair.left, Some([-18.2, -6.3]));
    assert_eq!(glass.crosshair.right, Some([13.9, -19.7]));
    assert_eq!((glass.x, glass.y), ([-60.0, 60.0], [-60.0, 60.0]));
    // 45′ of convergence, 20′ of divergence, 15′ of dipvergence round the left crosshair.
    assert_eq!(glass.window[0], [-18.2 - 45.0, -6.3 - 15.0]);
    assert_eq!(glass.window[2], [-18.2 + 20.0, -6.3 + 15.0]);
    // 32.1′ apart where 20′ may be.
    assert!(glass.told.iter().any(|told| told.contains("is outside the window")));
    // A setting that is tried moves the crosshairs, and nothing on record.
    let facts = session.file().facts().len();
    bench.keys(Modifiers::ALT, Key::ArrowRight);
    let session = bench.app().session().unwrap();
    let tried = GlassView::of(session).unwrap();
    assert!(tried.told[0].starts_with("At the setting that is tried"));
    assert!(tried.told.iter().any(|told| told.contains("is inside the window")));
    assert_eq!(session.file().facts().len(), facts);
}

/// The setting stands in what passes, both crossings are there, and a press tries a place.
#[test]
fn the_ring_map_is_pressed() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    log_eight(&mut bench);
    bench.keys(Modifiers::ALT, Key::Num3);
    let session = bench.app().session().unwrap();
    let map = RingMapView::of(session).unwrap();
    assert_eq!(map.crossings.len(), 2);
    let [left, right] = map.setting.unwrap();
    let at = |left: f64, right: f64| {
        let run = map.runs.iter().find(|run| {
            (run.right_deg..run.right_deg + map.step_deg).contains(&right)
                && (run.left_deg[0]..run.left_deg[1]).contains(&left)
        });
        run.unwrap().level
    };
    assert!(at(left, right) <= 1, "the setting passes");
    // Both crosshairs at opposite ends of their circles are far outside.
    assert!(at((left + 180.0) % 360.0, right) >= 2);
    let covered: f64 = map.runs.iter().map(|run| run.left_deg[1] - run.left_deg[0]).sum();
    assert!((covered - 360.0 * 360.0 / map.step_deg).abs() < 1e-6, "the map is whole");

    let canvas = bench.window.get_by_label_contains("Ring map. ").rect();
    bench.window.hover_at(canvas.center());
    bench.rest();
    bench.window.drag_at(canvas.center());
    bench.rest();
    bench.window.drop_at(canvas.center());
    bench.rest();
    assert!(bench.app().session().unwrap().picture().trying);
    bench.key(Key::Escape);
    assert!(!bench.app().session().unwrap().picture().trying);
}

/// Where the readings were taken a crossing uses its boresight share alone; over the swing it splits
/// by 2|X| sin ψ (the nearer one by less), so the farther uses more at the ends.
#[test]
fn the_nearer_crossing_swings_better() {
    let home = tempfile::tempdir().unwrap();
    // A housing with hinges, an interpupillary distance, a window with a boresight limit.
    let mut bench = demo(home.path(), "0147.samepoint");
    bench.keys(Modifiers::ALT, Key::Num4);
    let session = bench.app().session().unwrap();
    let swing = SwingView::of(session).unwrap();
    assert_eq!(swing.across, "interpupillary distance, mm");
    let meeting = session.picture().solution.as_ref().unwrap().meeting.as_ref().unwrap();
    let near_arcmin = meeting.nearest().unwrap().boresight_arcmin;
    let limit = session.state().window().unwrap().limits.boresight_arcmin().unwrap();
    let curve = |what: Swings| {
        swing.curves.iter().find(|curve| curve.what == what).map(|curve| &curve.points).unwrap()
    };
    let nearest_to_read = curve(Swings::Nearer)
        .iter()
        .min_by(|a, b| (a[0] - swing.read_at).abs().total_cmp(&(b[0] - swing.read_at).abs()))
        .unwrap();
    // The nearest drawn place is within half a step of where the readings were taken.
    assert!((nearest_to_read[1] - near_arcmin / limit).abs() < 0.02);
    assert!(
        bench.says("So the nearer crossing is kept, though by this window the farther uses less")
    );
    assert!(bench.says("over the whole swing") || swing.told.len() < 5);
}

/// The demo's 0155, whose pods and tubes are known (demo-data/README.md): left pod 3′, −9′, right pod
/// −4′, 2′; tubes 5′, 6′ and −2′, −7′. Read with 0.2′ a reading, six readings a circle: a centre is
/// known to 0.2·√(2/6) = 0.12′, and no part rests on more than three centres at full weight, so 0.5′ is
/// more than twice what any may be off.
#[test]
fn pods_and_tubes_are_told_apart() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = demo(home.path(), "0155.samepoint");
    bench.keys(Modifiers::ALT, Key::Num5);
    let found = SourcesView::of(bench.app().session().unwrap()).unwrap();
    let value = |name: &str| found.arrows.iter().find(|arrow| arrow.name == name).unwrap().value;
    for (name, x, y) in [
        ("left pod", 3.0, -9.0),
        ("right pod", -4.0, 2.0),
        ("tube T-0155L", 5.0, 6.0),
        ("tube T-0155R", -2.0, -7.0),
    ] {
        let off = value(name) - solver::Direction::new(x, y);
        assert!(off.boresight_arcmin() < 0.5, "{name}: {:?}", value(name));
    }
    assert!(found.arrows.iter().all(|arrow| arrow.of != CentreSource::Difference));
    assert_eq!(found.next, "Nothing is left to settle.");
    assert!(bench.says("It rests on rounds 1, 2, 3"));

    // One round tells nothing apart, and says what to do.
    let mut bench = demo(home.path(), "0163.samepoint");
    bench.keys(Modifiers::ALT, Key::Num5);
    assert!(bench.says("Not told apart: left pod, right pod"));
    assert!(bench.says("Next: swap the tubes between the pods"));
}

/// A view is made when facts change, not when it is drawn; the field plot likewise, with a session and
/// without one.
#[test]
fn nothing_is_worked_out_for_a_frame() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    log_eight(&mut bench);
    for (key, made) in [(Key::Num2, 1), (Key::Num3, 2), (Key::Num4, 3), (Key::Num5, 4)] {
        bench.keys(Modifiers::ALT, key);
        let drawing = bench.app().shown_picture().drawing;
        frames(&mut bench);
        assert_eq!(bench.app().views().times_made(), made, "{key:?}");
        assert_eq!(bench.app().shown_picture().drawing, drawing);
    }
    // Looked at again, it is there.
    bench.keys(Modifiers::ALT, Key::Num3);
    assert_eq!(bench.app().views().times_made(), 4);
    // Another fact, another picture: of what is looked at, and of nothing else.
    bench.keys(Modifiers::COMMAND, Key::Z);
    frames(&mut bench);
    assert_eq!(bench.app().views().times_made(), 5);

    let shop = home.path().join("new-shop");
    record::Shop::lay_out(&shop).unwrap();
    let mut bench = Bench::open(home.path(), Some(shop));
    bench.key(Key::Escape);
    assert!(bench.app().session().is_none());
    let drawing = bench.app().shown_picture().drawing;
    frames(&mut bench);
    assert_eq!(bench.app().shown_picture().drawing, drawing);
}

/// Frames that change nothing: the pointer goes over the window.
fn frames(bench: &mut Bench) {
    for place in 0..12_u8 {
        let along = f32::from(place) * 40.0;
        bench.window.hover_at(egui::pos2(400.0 + along, 300.0 + along / 2.0));
        bench.rest();
    }
}
