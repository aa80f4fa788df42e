//! What sessions tell of parts by name: the invented shop's own truth, as its README tells it.

use std::fs;
use std::num::NonZeroUsize;
use std::path::{Path, PathBuf};

use record::{Matching, match_shelf};
use solver::Direction;
use solver::shelf::Part;

fn demo() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo-data")
}

fn matched(folder: &Path) -> Matching {
    match_shelf(folder, NonZeroUsize::MIN).unwrap()
}

/// A shop with the invented one's settings, some of its sessions and a shelf of one's own.
fn shop(sessions: &[&str], shelf: &str) -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    for name in ["windows", "housings"] {
        let to = folder.path().join(name);
        fs::create_dir(&to).unwrap();
        for entry in fs::read_dir(demo().join(name)).unwrap() {
            let entry = entry.unwrap();
            fs::copy(entry.path(), to.join(entry.file_name())).unwrap();
        }
    }
    fs::create_dir(folder.path().join("sessions")).unwrap();
    for name in sessions {
        fs::copy(demo().join("sessions").join(name), folder.path().join("sessions").join(name))
            .unwrap();
    }
    fs::write(folder.path().join("shelf.ron"), shelf).unwrap();
    folder
}

const SESSION: &str = "2026-11-22 0155.samepoint";

const SHELF: &str = r#"(format: 1, shelf: (window: "Shop window",
    housings: [(unit: "0155", housing: "Heron B")],
    tubes: [(serial: "T-0155L", housing: "Heron B"), (serial: "T-0155R", housing: "Heron B")],
    eyepieces: [(serial: "E-0155L", housing: "Heron B"), (serial: "E-0155R", housing: "Heron B")],
))"#;

/// Planted: left pod 3′, −9′, right pod −4′, 2′, tubes 5′, 6′ and −2′, −7′, circles of 24′ and 21′
/// (demo-data/README.md). Four standard uncertainties: one in 16,000 lies farther off.
#[test]
fn the_parts_of_a_unit_whose_tubes_were_traded_and_turned_are_known() {
    let matching = matched(&demo());
    let tube = |serial: &str| matching.tubes.iter().position(|one| one.serial == serial).unwrap();
    let housing = matching.housings.iter().position(|one| one.unit == "0155").unwrap();
    let planted = [
        (Part::Tube(tube("T-0155L")), Direction::new(5.0, 6.0)),
        (Part::Tube(tube("T-0155R")), Direction::new(-2.0, -7.0)),
        (Part::pod(housing, record::Channel::Left), Direction::new(3.0, -9.0)),
        (Part::pod(housing, record::Channel::Right), Direction::new(-4.0, 2.0)),
    ];
    for (part, truth) in planted {
        let known = matching.known.offsets.alone(part).unwrap();
        for (off, variance) in [
            (known.value.x_arcmin - truth.x_arcmin, known.covariance_arcmin2[0][0]),
            (known.value.y_arcmin - truth.y_arcmin, known.covariance_arcmin2[1][1]),
        ] {
            assert!(variance.sqrt() < 0.5 && off.abs() < 4.0 * variance.sqrt(), "{part:?}: {off}");
        }
    }
    for (serial, truth) in [("E-0155L", 24.0), ("E-0155R", 21.0)] {
        let at = matching.eyepieces.iter().position(|one| one.serial == serial).unwrap();
        let radius = matching.known.radii[at].unwrap();
        assert!((radius.arcmin - truth).abs() < 4.0 * radius.u_arcmin, "{serial}: {radius:?}");
    }
}

/// Each file of one session counts once: a copy makes nothing better known.
#[test]
fn a_copy_of_a_session_makes_nothing_better_known() {
    let one = shop(&[SESSION], SHELF);
    let before = matched(one.path());
    let copy = one.path().join("sessions/copy.samepoint");
    fs::copy(one.path().join("sessions").join(SESSION), copy).unwrap();
    let after = matched(one.path());
    assert_eq!(before.known.offsets, after.known.offsets);
    assert_eq!(before.known.radii, after.known.radii);
    assert_eq!(after.sessions, 1);
    assert_eq!(before.plan.matches, after.plan.matches);
}

/// 0152 went together of certified parts: what they foretold is what its session then read, and what the
/// session read is not in it.
#[test]
fn what_was_foretold_stands_beside_what_was_read() {
    let matching = matched(&demo());
    let [told] = &matching.foretold[..] else { panic!("{:?}", matching.foretold.len()) };
    assert_eq!(
        (&*told.unit, &*told.tubes.left, &*told.eyepieces.right),
        ("0152", "T-0152L", "E-0152R")
    );
    assert!(told.against.agrees(), "{:?}", told.against);
    // By hand: (0.030 + 0.016) mm / 27 mm in arcminutes, and the root of two times (0.003 mm / 27 mm)².
    let arcmin = |mm: f64| mm / 27.0 * 3_437.746_770_784_939;
    let centre = told.prediction.centres.left;
    assert!((centre.x_arcmin - arcmin(0.046)).abs() < 1e-9);
    assert!((centre.y_arcmin - arcmin(-0.033)).abs() < 1e-9);
    let variance = told.prediction.covariance_arcmin2[0][0];
    assert!((variance.sqrt() - 2.0_f64.sqrt() * arcmin(0.003)).abs() < 1e-9);
    assert!((told.prediction.radii.left.arcmin - arcmin(0.222)).abs() < 1e-9);
    // Planted: 6′, −4′; 28′.
    assert!(told.measured.left.centre.distance_arcmin(Direction::new(6.0, -4.0)) < 1.0);
    let off = told.against.centre_off.left;
    let apart = told.measured.left.centre - centre;
    assert!(off.distance_arcmin(apart) < 1e-9);
}

/// A certificate that is wrong by 0.05 mm (6.4′) is told by the session, and not believed afterwards.
#[test]
fn a_wrong_certificate_is_told_by_the_session() {
    let stated = |offset: &str| {
        format!(
            r#"(format: 1, shelf: (window: "Shop window",
    housings: [(unit: "0152", housing: "Heron B", u_mm: 0.003, source: "report",
        offset_mm: (left: (0.030, -0.020), right: (-0.035, 0.030)))],
    tubes: [(serial: "T-0152L", housing: "Heron B", u_mm: 0.003, source: "certificate", offset_mm: {offset}),
        (serial: "T-0152R", housing: "Heron B", u_mm: 0.003, source: "certificate", offset_mm: (-0.022, 0.010))],
    eyepieces: [(serial: "E-0152L", housing: "Heron B", decentre_mm: 0.222, u_mm: 0.003, source: "certificate"),
        (serial: "E-0152R", housing: "Heron B", decentre_mm: 0.188, u_mm: 0.003, source: "certificate")],
))"#
        )
    };
    let session = "2026-11-23 0152.samepoint";
    let right = matched(shop(&[session], &stated("(0.016, -0.013)")).path());
    assert!(right.foretold[0].against.agrees() && right.remarks.is_empty(), "{:?}", right.remarks);
    let wrong = matched(shop(&[session], &stated("(0.066, -0.013)")).path());
    assert!(!wrong.foretold[0].against.agrees());
    let said = wrong.remarks.join("\n");
    assert!(said.contains("disagree") && said.contains("T-0152L"), "{said}");
}

/// A part that the newest session has in another unit is asked about; one that nothing was read of is named,
/// with what would tell.
#[test]
fn what_is_elsewhere_or_not_known_is_said() {
    let shelf = r#"(format: 1, shelf: (window: "Shop window",
    housings: [(unit: "0171", housing: "Heron B")],
    tubes: [(serial: "T-0155L", housing: "Heron B", may_turn: false), (serial: "T-9", housing: "Heron B")],
    eyepieces: [(serial: "E-9", housing: "Heron B")],
))"#;
    let matching = matched(shop(&[SESSION], shelf).path());
    assert!(matching.plan.matches.is_empty() && matching.plan.proved);
    assert!(
        matching.remarks.iter().any(|said| said.contains("T-0155L") && said.contains("0155 last"))
    );
    let said = matching.unknown.join("\n");
    for part in ["0171, left pod", "0171, right pod", "Tube T-9", "Eyepiece E-9", "would tell"] {
        assert!(said.contains(part), "{part}: {said}");
    }
}

/// What a page says of a part must be what its equations determine: of a unit read once, each pod with one tube,
/// no part by itself but their sums (demo-data/README.md plants 6′, −4′ left), and of four parts, two linked by
/// two, two numbers of four each.
#[test]
fn what_was_read_together_only_is_not_told_apart() {
    let shelf = r#"(format: 1, shelf: (window: "Shop window",
    housings: [(unit: "0152", housing: "Heron B", in_use: true)],
    tubes: [(serial: "T-0152L", housing: "Heron B"), (serial: "T-9", housing: "Heron B")],
    eyepieces: [(serial: "E-0152L", housing: "Heron B"), (serial: "E-9", housing: "Heron B")],
))"#;
    let session = "2026-11-23 0152.samepoint";
    let matching = matched(shop(&[session], shelf).path());
    let part = |name: &str| matching.parts.iter().find(|one| one.name == name).unwrap();
    let words = |name: &str| {
        let lines = part(name).lines.iter().map(|line| line.words.clone());
        lines.collect::<Vec<_>>().join("\n")
    };
    let tube = part("T-0152L");
    assert!(tube.lines.iter().all(|line| line.alone.is_none()));
    assert!(words("T-0152L").contains("not determined"), "{}", words("T-0152L"));
    assert!(words("T-0152L").contains("Of the 4 numbers of 2 parts that hang together 2 are"));
    let told = words("T-0152L");
    let sum = told.lines().find(|line| line.contains("In the left pod of 0152: together")).unwrap();
    let numbers: Vec<f64> = sum
        .split(|c: char| !(c.is_ascii_digit() || c == '.' || c == '−'))
        .filter_map(|word| word.replace('−', "-").parse().ok())
        .collect();
    // 0152, then x, its half width, y, its half width.
    assert!((numbers[1] - 6.0).abs() < 1.0 && (numbers[3] + 4.0).abs() < 1.0, "{sum}");
    assert_eq!(tube.files, [session]);
    assert!(words("T-9").contains("nothing was read or stated") && part("T-9").files.is_empty());
    assert!(words("E-9").contains("nothing was read or stated"));
    let radius = part("E-0152L").lines[0].alone.unwrap()[0];
    assert!((radius - 28.0).abs() < 1.0, "{radius}");
    assert!(part("0152").in_use && part("0152").files == [session]);
}

/// Planted (demo-data/README.md): tubes 5′, 6′ and −2′, −7′, left pod 3′, −9′.
#[test]
fn the_page_tells_each_part_of_a_split_unit() {
    let matching = matched(&demo());
    for (name, line, truth) in
        [("T-0155L", 0, [5.0, 6.0]), ("T-0155R", 0, [-2.0, -7.0]), ("0155", 0, [3.0, -9.0])]
    {
        let part = matching.parts.iter().find(|one| one.name == name).unwrap();
        let alone = part.lines[line].alone.unwrap();
        assert!(
            (alone[0] - truth[0]).abs() < 2.0 && (alone[1] - truth[1]).abs() < 2.0,
            "{alone:?}"
        );
        assert!(part.files.contains(&SESSION.to_owned()));
    }
    let stock = record::Shop::load(&demo()).unwrap().stock().unwrap().unwrap();
    let listed = stock.housings.len() + stock.tubes.len() + stock.eyepieces.len();
    assert_eq!(matching.parts.len(), listed);
}
