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
    let window = NamedWindow {
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

fn letterhead() -> Letterhead {
    Letterhead { name: "Sandpiper Optics".into(), address: "1 Quay, Harbour".into() }
}

fn hand(initials: &str, roles: &[crate::HandRole]) -> Hand {
    Hand {
        initials: initials.into(),
        name: String::new(),
        roles: roles.to_vec(),
        from: "2026-11-25".parse().unwrap(),
        until: None,
        keys: Vec::new(),
        revoked: Vec::new(),
        note: String::new(),
    }
}

/// A shop comes whole, and nothing of anybody's is among it; what is there already is left alone.
#[test]
fn a_shop_is_begun_whole_or_not_at_all() {
    let home = tempfile::tempdir().unwrap();
    let folder = home.path().join("new/shop");
    let first = hand("KT", &[crate::HandRole::Technician]);
    let shop = Shop::begin(&folder, letterhead(), Some(first.clone()), &crate::RealDisk).unwrap();
    assert_eq!(shop.letterhead, Some(letterhead()));
    assert_eq!(shop.hands.known[0].value, first);
    assert!(shop.skipped.is_empty() && FOLDERS.iter().all(|name| folder.join(name).is_dir()));
    let beside: Vec<_> = fs::read_dir(folder.parent().unwrap()).unwrap().flatten().collect();
    assert_eq!(beside.len(), 1, "nothing half made lies about: {beside:?}");

    let before = fs::read(folder.join("letterhead.ron")).unwrap();
    let other = Letterhead { name: "Other".into(), address: String::new() };
    let refused = Shop::begin(&folder, other.clone(), None, &crate::RealDisk).unwrap_err();
    assert!(matches!(refused, Error::ShopNotEmpty { .. }), "{refused}");
    assert_eq!(fs::read(folder.join("letterhead.ron")).unwrap(), before);

    // Somebody's folder, a file of that name, and a link that leads nowhere.
    let theirs = home.path().join("theirs");
    fs::create_dir(&theirs).unwrap();
    fs::write(theirs.join("letters.txt"), "mine").unwrap();
    fs::write(home.path().join("file"), "mine").unwrap();
    #[cfg(unix)]
    std::os::unix::fs::symlink("nowhere", home.path().join("link")).unwrap();
    for name in ["theirs", "file", if cfg!(unix) { "link" } else { "file" }] {
        let path = home.path().join(name);
        let refused = Shop::begin(&path, other.clone(), None, &crate::RealDisk).unwrap_err();
        assert!(matches!(refused, Error::ShopNotEmpty { .. }), "{name}: {refused}");
    }
    assert_eq!(fs::read_dir(&theirs).unwrap().count(), 1);

    // An empty folder, and one in which a beginning stopped half way, are taken.
    let empty = home.path().join("empty");
    fs::create_dir_all(empty.join("stations")).unwrap();
    Shop::begin(&empty, other, None, &crate::RealDisk).unwrap();
    // What cannot be is refused before anything is made.
    let nameless = Letterhead::default();
    let nowhere = home.path().join("nowhere");
    assert!(Shop::begin(&nowhere, nameless, None, &crate::RealDisk).is_err());
    assert!(Shop::begin(&nowhere, letterhead(), Some(hand("K*", &[])), &crate::RealDisk).is_err());
    assert!(!nowhere.exists());
}

/// The old one is kept under its date; what was changed elsewhere meanwhile is not written over, and neither is
/// what another is changing.
#[test]
fn what_is_changed_keeps_what_it_was() {
    let (folder, mut shop) = shop();
    let opener = crate::Opener::here("KT");
    let by = Editing { opener: &opener, disk: &crate::RealDisk };
    let first = Station::plain("Bench 1");
    let station = |station: &Station| Edited::Station(Box::new(station.clone()));
    shop.edit(None, station(&first), by).unwrap();
    let taken = shop.edit(None, station(&Station::plain("bench 1 ")), by).unwrap_err();
    assert!(matches!(taken, Error::NameTaken { .. }), "{taken}");

    let mut second = first.clone();
    second.spread.sigma_arcmin = Some(0.3);
    shop.edit(Some(&station(&first)), station(&second), by).unwrap();
    let again = Shop::load(folder.path()).unwrap();
    assert_eq!(again.stations.len(), 1);
    assert_eq!(again.stations[0].value, second);
    assert_eq!(again.earlier(&station(&second)).unwrap()[0].1, station(&first));
    // Twice within a second.
    let mut third = second.clone();
    third.note = "lamp class 1".into();
    shop.edit(Some(&station(&second)), station(&third), by).unwrap();
    let earlier = shop.earlier(&station(&third)).unwrap();
    assert_eq!(earlier.len(), 2, "{earlier:?}");

    // A number that cannot be, and a file that says something else by now.
    let path = shop.stations[0].path.clone();
    let kept = fs::read(&path).unwrap();
    let mut wrong = third.clone();
    wrong.map.left.arcmin_per_division = [0.0, 1.0];
    assert!(shop.edit(Some(&station(&third)), station(&wrong), by).is_err());
    assert_eq!(fs::read(&path).unwrap(), kept);
    let elsewhere = String::from_utf8(kept).unwrap().replace("lamp class 1", "lamp class 2");
    fs::write(&path, &elsewhere).unwrap();
    let refused = shop.edit(Some(&station(&third)), station(&first), by).unwrap_err();
    assert!(matches!(refused, Error::ChangedMeanwhile { .. }), "{refused}");
    assert_eq!(fs::read_to_string(&path).unwrap(), elsewhere);
    assert_eq!(shop.earlier(&station(&third)).unwrap().len(), 2, "nothing was put aside");

    let mut fresh = Shop::load(folder.path()).unwrap();
    let now = fresh.stations[0].value.clone();
    let lock = crate::file::lock::lock_path(&path);
    let held = crate::file::Disk::try_lock(&crate::RealDisk, &lock, "").unwrap();
    assert!(matches!(held, crate::file::Locking::Held(_)));
    let refused = fresh.edit(Some(&station(&now)), station(&first), by).unwrap_err();
    assert!(matches!(refused, Error::ChangedMeanwhile { .. }), "{refused}");
}

/// Others of the shop can read what one of them made.
#[cfg(unix)]
#[test]
fn what_is_kept_has_the_rights_of_any_file() {
    use std::os::unix::fs::PermissionsExt as _;
    let (folder, mut shop) = shop();
    let kept = shop.keep_station(Station::plain("Bench")).unwrap();
    let usual = folder.path().join("usual");
    fs::write(&usual, "").unwrap();
    let mode = |path: &Path| fs::metadata(path).unwrap().permissions().mode();
    assert_eq!(mode(&kept), mode(&usual));
}

/// What is open is listed, and what is said is not.
#[test]
fn what_a_shop_does_not_say_is_listed() {
    let today = "2026-11-25".parse().unwrap();
    let (_folder, mut shop) = shop();
    let open = shop.left_open(today);
    assert_eq!(
        open,
        [LeftOpen::Name, LeftOpen::Hands, LeftOpen::Station, LeftOpen::Window, LeftOpen::Housing]
    );
    shop.keep_hand(hand("KT", &[crate::HandRole::Technician, crate::HandRole::Supervisor]))
        .unwrap();
    // One hand alone cannot countersign what it signed itself.
    assert!(shop.left_open(today).contains(&LeftOpen::Supervisor));
    shop.keep_hand(hand("MA", &[crate::HandRole::Supervisor])).unwrap();
    assert!(!shop.left_open(today).contains(&LeftOpen::Supervisor));
    shop.keep_station(Station::plain("Bench 1")).unwrap();
    let open = shop.left_open(today);
    assert!(open.contains(&LeftOpen::Calibration("Bench 1".into())), "{open:?}");
    assert!(!open.contains(&LeftOpen::Station) && !open.contains(&LeftOpen::Hands));
}

/// The smallest PNG: its signature (ISO/IEC 15948, 5.2) and no more. Whether it is a picture is for its reader.
const PNG: &[u8] = b"\x89PNG\r\n\x1a\nand no more";

/// The picture on a shop's papers is kept as it came, what it was before stays, and what is gone or another is told. Its
/// file is its own: `letterhead.ron` says what it said.
#[test]
fn a_shop_keeps_the_picture_of_its_papers() {
    let (folder, mut shop) = shop();
    let opener = crate::Opener::here("KT");
    let by = Editing { opener: &opener, disk: &crate::RealDisk };
    shop.edit(None, Edited::Letterhead(letterhead()), by).unwrap();
    let letterhead = fs::read(folder.path().join("letterhead.ron")).unwrap();
    assert_eq!(shop.head_picture_found(), None);
    let from = Path::new("/somewhere/mark.png");
    let too_large = vec![0; 1 + usize::try_from(LARGEST_HEAD_PICTURE).unwrap()];
    for (bytes, why) in [(&b"dear sirs"[..], "neither PNG nor JPEG"), (&too_large, "4 MiB")] {
        let refused = shop.keep_head_picture(bytes, from).unwrap_err().to_string();
        assert!(refused.contains("mark.png") && refused.contains(why), "{refused}");
    }
    let kept = shop.keep_head_picture(PNG, from).unwrap();
    assert_eq!(fs::read(&kept.path).unwrap(), PNG);
    let picture = |sha256: Option<&str>| HeadPicture { sha256: sha256.map(str::to_owned) };
    let no_sum = shop.edit(None, Edited::HeadPicture(picture(Some("../mark"))), by).unwrap_err();
    assert!(matches!(no_sum, Error::NotASha256 { .. }), "{no_sum}");
    let first = Edited::HeadPicture(picture(Some(&kept.hash)));
    shop.edit(None, first.clone(), by).unwrap();
    let again = Shop::load(folder.path()).unwrap();
    assert!(again.skipped.is_empty(), "{:?}", again.skipped);
    assert_eq!(again.head_picture, Some(picture(Some(&kept.hash))));
    assert_eq!(again.head_picture_found(), Some(PictureFound::Whole));
    assert_eq!(fs::read(folder.path().join("letterhead.ron")).unwrap(), letterhead);

    let today = "2026-11-25".parse().unwrap();
    let told = |shop: &Shop| {
        let open = shop.left_open(today).into_iter();
        open.map(|open| open.to_string()).find(|open| open.contains("picture on"))
    };
    assert_eq!(told(&shop), None);
    fs::write(&kept.path, "another").unwrap();
    assert!(told(&shop).unwrap().contains("another SHA-256"));
    fs::remove_file(&kept.path).unwrap();
    assert!(told(&shop).unwrap().contains("missing"));

    let none = Edited::HeadPicture(picture(None));
    shop.edit(Some(&first), none.clone(), by).unwrap();
    assert_eq!(told(&shop), None);
    assert_eq!(shop.earlier(&none).unwrap()[0].1, first);
}
