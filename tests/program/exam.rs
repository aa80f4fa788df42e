//! An examination by the command line: nothing of a file that is sat is worked out for anybody, and all of it
//! once it is signed.

use std::fs;
use std::path::Path;

use record::file::write_all_lines;
use record::practice::{Exam, Grade, PracticeUnit};
use record::{Body, Fact, SessionKind};

use crate::run::samepoint;

const WHOLE: &str = "tests/data/format1/whole-job.samepoint";

/// A whole job as an examination's: as it was signed, and before that.
fn files(folder: &Path) -> [String; 2] {
    let path = crate::run::root().join(WHOLE);
    let mut facts = record::file::scan(&path, &fs::read(&path).unwrap()[..]).unwrap().facts;
    let unit = PracticeUnit::invented(Grade::First, 12).unwrap();
    let exercise = unit.examined(Exam { minutes: None }).exercise();
    let Body::Header(header) = &mut facts[0].body else { panic!("{:?}", facts[0]) };
    header.kind = SessionKind::Practice(exercise);
    let signed = facts.iter().position(|fact| matches!(fact.body, Body::Signed(_))).unwrap();
    let put = |name: &str, facts: &[Fact]| {
        let mut bytes = Vec::new();
        write_all_lines(facts, &mut bytes).unwrap();
        let path = folder.join(name);
        fs::write(&path, bytes).unwrap();
        path.to_str().unwrap().to_owned()
    };
    [put("signed.samepoint", &facts[..=signed]), put("sat.samepoint", &facts[..signed])]
}

/// Every number that stands below a name by which an answer is told, with that name.
fn numbers_that_answer(value: &serde_json::Value) -> Vec<String> {
    const NAMES: [&str; 12] = [
        "measured",
        "on_circles",
        "misalignment",
        "window_use",
        "boresight",
        "crossing",
        "setting",
        "centre",
        "radius",
        "closure",
        "ring_deg",
        "shims",
    ];
    fn walk(value: &serde_json::Value, named: &str, found: &mut Vec<String>) {
        match value {
            serde_json::Value::Object(fields) => {
                // The window's own limits are everybody's to know.
                for (name, value) in fields.iter().filter(|(name, _)| *name != "window") {
                    let answers = NAMES.iter().any(|part| name.contains(part));
                    walk(value, if answers { name } else { named }, found);
                }
            }
            serde_json::Value::Array(values) => {
                values.iter().for_each(|value| walk(value, named, found));
            }
            serde_json::Value::Number(number) if !named.is_empty() => {
                found.push(format!("{named}: {number}"));
            }
            _ => {}
        }
    }
    let mut found = Vec::new();
    walk(value, "", &mut found);
    found
}

#[test]
fn a_file_that_is_sat_is_not_worked_out() {
    let folder = tempfile::tempdir().unwrap();
    let [signed, sat] = files(folder.path());
    // What is said of it once it is signed, and is the answer: rings, places, shares, verdict.
    let told = samepoint(&["review", &signed]);
    let words = ["Set the left ring", "of the window", "′ from boresight", "circle:"];
    let there: Vec<_> = words.into_iter().filter(|word| told.out.contains(word)).collect();
    assert!(there.len() >= 2, "{there:?} of {}", told.out);
    let hidden = samepoint(&["review", &sat]);
    assert_eq!(hidden.code, 1, "{}", hidden.err);
    for word in there {
        assert!(!hidden.out.contains(word), "{word}: {}", hidden.out);
    }
    assert!(
        hidden.out.contains("an examination withholds it until it is signed"),
        "{}",
        hidden.out
    );
    assert!(hidden.out.contains("is intact to the last byte"), "{}", hidden.out);

    // Nor as JSON.
    let json = |path: &str| -> serde_json::Value {
        serde_json::from_str(&samepoint(&["review", path, "--json"]).out).unwrap()
    };
    let (told, hidden) = (numbers_that_answer(&json(&signed)), numbers_that_answer(&json(&sat)));
    assert!(told.len() > 10, "{told:?}");
    assert!(hidden.is_empty(), "{hidden:?}");

    // Nothing goes on paper.
    for name in ["r.pdf", "plot.svg"] {
        let to = folder.path().join(name);
        let run = samepoint(&["report", &sat, "--to", to.to_str().unwrap()]);
        assert_eq!(run.code, 2);
        assert!(run.err.contains("it is put on paper once it is signed"), "{}", run.err);
        assert!(!to.exists());
        assert_eq!(samepoint(&["report", &signed, "--to", to.to_str().unwrap()]).code, 0);
        assert!(to.exists());
    }

    // Among a shop's sessions it is of practice, and its verdict is in no table.
    let sessions = folder.path().join("shop/sessions");
    fs::create_dir_all(&sessions).unwrap();
    fs::copy(&sat, sessions.join("sat.samepoint")).unwrap();
    let csv = folder.path().join("shop.csv");
    let shop = folder.path().join("shop");
    let run = samepoint(&["shop", shop.to_str().unwrap(), "--csv", csv.to_str().unwrap()]);
    assert!(run.out.starts_with("0 sessions, 1 of practice left out"), "{}", run.out);
    let table = fs::read_to_string(&csv).unwrap();
    let row = table.lines().last().unwrap();
    assert!(!row.contains("pass") && !row.contains("fail"), "{table}");
}
