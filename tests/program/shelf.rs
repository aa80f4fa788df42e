//! `samepoint shelf`: every exit code, the words and the table.

use std::fs;
use std::path::Path;

use crate::run::{root, samepoint};

/// A shop with the invented one's settings, the session of 0155 and a shelf of one's own.
fn shop(shelf: Option<&str>) -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    for name in ["windows", "housings"] {
        let to = folder.path().join(name);
        fs::create_dir(&to).unwrap();
        for entry in fs::read_dir(root().join("demo-data").join(name)).unwrap() {
            let entry = entry.unwrap();
            fs::copy(entry.path(), to.join(entry.file_name())).unwrap();
        }
    }
    let sessions = folder.path().join("sessions");
    fs::create_dir(&sessions).unwrap();
    let name = "2026-11-22 0155.samepoint";
    fs::copy(root().join("demo-data/sessions").join(name), sessions.join(name)).unwrap();
    if let Some(shelf) = shelf {
        fs::write(folder.path().join("shelf.ron"), shelf).unwrap();
    }
    folder
}

fn text(path: &Path) -> &str {
    path.to_str().unwrap()
}

fn shelf_of(window: &str, tubes: &str) -> String {
    format!(
        r#"(format: 1, shelf: (window: "{window}", housings: [(unit: "0155", housing: "Heron B")],
    tubes: [{tubes}],
    eyepieces: [(serial: "E-0155L", housing: "Heron B"), (serial: "E-0155R", housing: "Heron B")]))"#
    )
}

const TUBES: &str =
    r#"(serial: "T-0155L", housing: "Heron B"), (serial: "T-0155R", housing: "Heron B")"#;

#[test]
fn the_invented_shelf_is_matched() {
    let run = samepoint(&["shelf", "demo-data"]);
    assert_eq!(run.code, 1, "{}", run.err);
    assert!(run.err.contains("0412.samepoint"), "{}", run.err);
    insta::assert_snapshot!("shelf", run.out);
}

#[test]
fn the_json_is_whole() {
    let run = samepoint(&["shelf", "demo-data", "--json"]);
    let value: serde_json::Value = serde_json::from_str(&run.out).unwrap();
    assert_eq!((value["format"].as_u64(), value["proved"].as_bool()), (Some(1), Some(true)));
    let matches = value["matches"].as_array().unwrap();
    assert_eq!(Some(matches.len() as u64), value["totals"]["units"].as_u64());
    assert!(!matches.is_empty());
    for one in matches {
        let told = &one["prediction"];
        assert!(told["window_use"].as_f64().unwrap() <= 1.0);
        assert!((0.0..=1.0).contains(&told["inside"].as_f64().unwrap()));
        assert_eq!(told["covariance_arcmin2"].as_array().unwrap().len(), 4);
    }
    assert_eq!(value["foretold"][0]["agrees"].as_bool(), Some(true));
}

#[test]
fn all_known_and_all_read_is_exit_code_0() {
    let folder = shop(Some(&shelf_of("Shop window", TUBES)));
    let table = folder.path().join("plan.csv");
    let asked = ["shelf", text(folder.path()), "--csv", text(&table)];
    let out = samepoint(&asked).answered(0);
    assert!(out.contains("1 unit inside, 1 without a shim") && out.contains("Proved"), "{out}");
    let written = fs::read_to_string(&table).unwrap();
    assert!(written.starts_with("unit,housing,left_tube,"), "{written}");
    assert_eq!(written.lines().count(), 2);
    // A table is replaced by a newer one, and nothing else is.
    samepoint(&asked).answered(0);
    fs::write(&table, "kept").unwrap();
    samepoint(&asked).refused();
    assert_eq!(fs::read_to_string(&table).unwrap(), "kept");
}

#[test]
fn what_cannot_be_used_is_refused_by_name() {
    let without = shop(None);
    let said = samepoint(&["shelf", text(without.path())]).refused();
    assert!(said.contains("shelf.ron") && said.contains("format: 1"), "{said}");
    for (shelf, part) in [
        (shelf_of("No such window", TUBES), "No such window"),
        (shelf_of("Shop window", &format!("{TUBES}, {TUBES}")), "T-0155L is listed twice"),
        (shelf_of("Shop window", r#"(serial: "T-1", housing: "Stork")"#), "Stork"),
        (
            shelf_of(
                "Shop window",
                r#"(serial: "T-1", housing: "Heron B", offset_mm: (0.1, 0.1))"#,
            ),
            "u_mm",
        ),
        (shelf_of("Shop window", r#"(serial: "T-1", bore: 3)"#), "bore"),
        ("nonsense".to_owned(), "shelf.ron"),
        (shelf_of("Shop window", TUBES).replace("format: 1", "format: 2"), "format 2"),
    ] {
        let folder = shop(Some(&shelf));
        let said = samepoint(&["shelf", text(folder.path())]).refused();
        assert!(said.contains(part), "{part}: {said}");
    }
    samepoint(&["shelf", "no/such/folder"]).refused();
}

/// A window that nothing comes inside of: no unit, and it is said.
#[test]
fn a_shelf_that_makes_nothing_says_so() {
    let folder = shop(Some(&shelf_of("Shop window", r#"(serial: "T-0155L", housing: "Heron B")"#)));
    let out = samepoint(&["shelf", text(folder.path())]).answered(0);
    assert!(out.contains("0 units come inside"), "{out}");
}
