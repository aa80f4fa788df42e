//! A shop on disk: what is kept comes back, what is broken is skipped and said.

#![allow(clippy::unwrap_used, clippy::panic, reason = "tests fail by panicking")]

use super::*;
use crate::housing::Hinge;
use crate::unit::Eyepiece;

fn shop() -> (tempfile::TempDir, Shop) {
    let folder = tempfile::tempdir().unwrap();
    Shop::lay_out(folder.path()).unwrap();
    let shop = Shop::load(folder.path()).unwrap();
    (folder, shop)
}

#[test]
fn what_is_kept_comes_back() {
    let (folder, mut shop) = shop();
    let station = Station::plain("Bench 2: the long one/\u{7}");
    let path = shop.keep_station(station.clone()).unwrap();
    assert_eq!(path.file_name().unwrap(), "Bench 2- the long one--.ron");
    let limits = solver::Window::new(45.0, 20.0, 15.0, None).unwrap();
    let window = Window {
        name: "Shop".into(),
        source: "invented".into(),
        limits,
        rule: crate::Rule::Simple,
        far_point_share: Some(0.1),
        note: String::new(),
    };
    shop.keep_window(window.clone()).unwrap();
    let mut housing = Housing::named("Heron B");
    housing.adjustment =
        crate::Adjustment::Hinge(Hinge { spread_mm: 24.0, arm_mm: 21.0, pods_above: true });
    shop.keep_housing(housing.clone()).unwrap();
    let mut unit = Unit { name: "0147".into(), housing: "Heron B".into(), ..Unit::default() };
    unit.eyepieces.left = Eyepiece { serial: "E-7".into(), ..Eyepiece::default() };
    shop.keep_unit(unit.clone()).unwrap();

    let again = Shop::load(folder.path()).unwrap();
    assert_eq!(again.skipped.len(), 0, "{:?}", again.skipped);
    // What a name holds besides letters is in the file as it was given, and seen as its number.
    assert!(fs::read_to_string(&path).unwrap().contains("the long one/\\u{7}"));
    let shown = Station::plain("Bench 2: the long one/\\u0007");
    assert_eq!(again.stations, [Kept { path, value: shown }]);
    assert_eq!(again.windows[0].value, window);
    assert_eq!(again.housings[0].value, housing);
    assert_eq!(again.units[0].value, unit);
}

#[test]
fn a_file_is_never_replaced() {
    let (_folder, mut shop) = shop();
    let first = shop.keep_station(Station::plain("Bench")).unwrap();
    let second = shop.keep_station(Station::plain("Bench")).unwrap();
    assert_ne!(first, second);
    assert!(first.exists() && second.exists());
}

#[test]
fn a_hand_may_leave_out_what_it_does_not_know() {
    let (folder, _) = shop();
    let text = r#"
        // Written by hand.
        (
            format: 1,
            station: (
                name: "Bench 3",
                map: (
                    left: (arcmin_per_division: (2, 2)),
                    right: (flip_x: true, arcmin_per_division: (2, 2.5), boresight_divisions: (1, 0)),
                ),
                spread: (sigma_arcmin: 0.3),
                calibration: (due: "2027-03-04"),
            ),
        )
    "#;
    fs::write(folder.path().join("stations/three.ron"), text).unwrap();
    let shop = Shop::load(folder.path()).unwrap();
    assert_eq!(shop.skipped.len(), 0, "{:?}", shop.skipped);
    let station = &shop.stations[0].value;
    assert_eq!(station.spread.sigma_arcmin, Some(0.3));
    assert!(station.map.right.flip_x);
    assert_eq!(station.in_calibration("2027-03-05".parse().unwrap()), Some(false));
    assert_eq!(station.in_calibration("2027-03-04".parse().unwrap()), Some(true));
}

#[test]
fn a_broken_file_is_skipped_and_said_by_line_or_field() {
    let (folder, _) = shop();
    let windows = folder.path().join("windows");
    let good = "(format: 1, window: (name: \"a\", source: \"b\", limits: (convergence_arcmin: 1, \
                divergence_arcmin: 1, dipvergence_arcmin: 1)))";
    let broken = [
        ("syntax", "(format: 1,\n  window: (name: 3))".to_owned(), "line 2"),
        ("unknown", good.replace("source", "sauce"), "sauce"),
        (
            "negative",
            good.replace("convergence_arcmin: 1,", "convergence_arcmin: -1,"),
            "convergence",
        ),
        (
            "infinite",
            good.replace("dipvergence_arcmin: 1", "dipvergence_arcmin: inf"),
            "dipvergence",
        ),
        ("newer", good.replace("format: 1", "format: 7"), "format 7"),
        ("empty", String::new(), "line 1"),
        ("nameless", good.replace("\"a\"", "\" \""), "name"),
    ];
    fs::write(windows.join("good.ron"), good).unwrap();
    for (name, text, _) in &broken {
        fs::write(windows.join(format!("{name}.ron")), text).unwrap();
    }
    fs::write(windows.join("bytes.ron"), [0xff, 0xfe]).unwrap();
    fs::write(windows.join("readme.txt"), "not a window").unwrap();
    let shop = Shop::load(folder.path()).unwrap();
    assert_eq!(shop.windows.len(), 1);
    assert_eq!(shop.skipped.len(), broken.len() + 1);
    let said: Vec<String> = shop.skipped.iter().map(ToString::to_string).collect();
    for (name, _, evidence) in &broken {
        let about = said.iter().find(|words| words.contains(&format!("{name}.ron"))).unwrap();
        assert!(about.contains(evidence), "{about}");
    }
}

#[test]
fn sessions_are_listed_and_named_without_clash() {
    let (folder, shop) = shop();
    let day = "2026-11-25".parse().unwrap();
    let first = shop.new_session_path(day, "01/47").unwrap();
    assert_eq!(first.file_name().unwrap(), "2026-11-25 01-47.samepoint");
    fs::write(&first, "x").unwrap();
    let second = shop.new_session_path(day, "01/47").unwrap();
    assert_eq!(second.file_name().unwrap(), "2026-11-25 01-47 (2).samepoint");
    fs::write(folder.path().join("sessions/.hidden.samepoint"), "x").unwrap();
    fs::write(folder.path().join("sessions/a.samepoint.torn-1"), "x").unwrap();
    let listed: Vec<PathBuf> = shop.sessions().unwrap().into_iter().map(|s| s.path).collect();
    assert_eq!(listed, [first]);
    assert_eq!(shop.practice_sessions().unwrap(), []);
}

/// However many are written at a time, the last given is the newest.
#[test]
fn unpacking_keeps_the_order() {
    let folder = tempfile::tempdir().unwrap();
    let names: Vec<String> = (10..60).map(|k| format!("sessions/{k}.samepoint")).collect();
    let files = names.iter().map(|name| (name.as_str(), name.as_bytes()));
    assert_eq!(Shop::unpack(folder.path(), files).unwrap().len(), 50);
    let listed = Shop::load(folder.path()).unwrap().sessions().unwrap();
    let times: Vec<_> = listed.iter().map(|listing| listing.modified.unwrap()).collect();
    assert!(times.windows(2).all(|pair| pair[0] >= pair[1]) && times[0] > times[49]);
    let newest_first: Vec<_> = names.iter().rev().map(|name| folder.path().join(name)).collect();
    assert_eq!(listed.into_iter().map(|listing| listing.path).collect::<Vec<_>>(), newest_first);
    assert_eq!(fs::read(&newest_first[49]).unwrap(), b"sessions/10.samepoint");
}

#[test]
fn unpacking_never_overwrites_and_never_leaves_the_shop() {
    let folder = tempfile::tempdir().unwrap();
    let inside = folder.path().join("shop");
    let files = [("stations/a.ron", &b"one"[..]), ("README.md", b"two")];
    assert_eq!(Shop::unpack(&inside, files).unwrap().len(), 2);
    fs::write(inside.join("README.md"), "mine").unwrap();
    assert_eq!(Shop::unpack(&inside, files).unwrap().len(), 0);
    assert_eq!(fs::read_to_string(inside.join("README.md")).unwrap(), "mine");
    for escape in ["../b", "/tmp/b", "a/../../b"] {
        assert!(Shop::unpack(&inside, [(escape, &b"x"[..])]).is_err(), "{escape}");
    }
    assert!(!folder.path().join("b").exists());
}

#[test]
fn a_session_is_named_for_its_unit() {
    let folder = tempfile::tempdir().unwrap();
    Shop::lay_out(folder.path()).unwrap();
    let shop = Shop::load(folder.path()).unwrap();
    let day = jiff::civil::date(2026, 11, 25);
    for unit in ["0147", "2026", "a/b: c", ""] {
        let first = shop.new_session_path(day, unit).unwrap();
        fs::write(&first, "").unwrap();
        let second = shop.new_session_path(day, unit).unwrap();
        assert_ne!(first, second);
        for path in [first, second] {
            assert!(unit.is_empty() || Shop::is_named_for(&path, unit), "{path:?} for {unit}");
            assert!(!Shop::is_named_for(&path, "014"), "{path:?}");
        }
    }
    let other = Path::new("2026-11-25 0147.samepoint");
    assert!(!Shop::is_named_for(other, "2026"), "the day is not the unit");
    assert!(!Shop::is_named_for(Path::new("0147.samepoint"), "0147"));
}
