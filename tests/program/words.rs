//! Numbers in words: by the digits that mean something, and clock angles within a turn.

use std::fs;

use crate::run::{readings, root, samepoint};
use crate::told_numbers::numbers_mean_something;

/// All that the invented shop gives on the command line.
#[test]
fn no_number_is_told_by_digits_that_mean_nothing() {
    let mut told = 0;
    for folder in ["sessions", "practice", "readings"] {
        let Ok(listed) = fs::read_dir(root().join("demo-data").join(folder)) else { continue };
        for entry in listed {
            let path = entry.unwrap().path();
            let name = path.to_str().unwrap();
            let run = if name.ends_with(".csv") {
                let housing = root().join("demo-data/housings/Heron B.ron");
                let housing = format!("--housing={}", housing.display());
                samepoint(&["solve", name, "--window=20,10,8,40", "--swing=-12,12", &housing])
            } else {
                samepoint(&["review", name])
            };
            numbers_mean_something(&run.out);
            numbers_mean_something(&run.err);
            told += 1;
        }
    }
    assert!(told > 60, "{told}");
    numbers_mean_something(&samepoint(&["shop", "demo-data"]).out);
}

/// Clock angles as a housing lists them, below nothing and beyond a turn: told in [0°, 360°), in words
/// and as JSON, with the same plans as the same places listed within a turn.
#[test]
fn clock_angles_are_told_within_a_turn() {
    let folder = tempfile::tempdir().unwrap();
    let heron = fs::read_to_string(root().join("demo-data/housings/Heron B.ron")).unwrap();
    let (before, rest) = heron.split_once("clock_deg: [").unwrap();
    let (_, after) = rest.split_once(']').unwrap();
    let solve = |name: &str, clocks: &str| {
        let path = folder.path().join(name);
        fs::write(&path, format!("{before}clock_deg: [{clocks}]{after}")).unwrap();
        let file = readings("not-meeting.csv");
        let housing = format!("--housing={}", path.display());
        [vec![], vec!["--json"]].map(|more| {
            let mut arguments = vec!["solve", &file, "--window=20,10,8,40", &housing];
            arguments.extend(more);
            samepoint(&arguments).out
        })
    };
    let within = solve("within.ron", "330.0, 40.0, 150.0, 220.0");
    let beyond = solve("beyond.ron", "-30.0, 400.0, -210.0, 940.0");
    assert!(within[0].contains("mm at clock"), "{}", within[0]);
    assert_eq!(beyond[0], within[0]);
    let plans =
        |json: &str| serde_json::from_str::<serde_json::Value>(json).unwrap()["shims"].clone();
    let [beyond, within] = [&beyond[1], &within[1]].map(|json| plans(json));
    let (beyond, within) = (beyond.as_array().unwrap(), within.as_array().unwrap());
    assert!(!within.is_empty() && beyond.len() == within.len());
    for (beyond, within) in beyond.iter().zip(within) {
        assert_eq!(beyond["plan"], within["plan"]);
        for shim in beyond["plan"].as_array().unwrap() {
            let deg = shim["clock_deg"].as_f64().unwrap();
            assert!((0.0..360.0).contains(&deg), "{deg}");
        }
    }
}
