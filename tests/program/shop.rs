//! `samepoint shop`: every exit code, and the table.

use std::fs;

use crate::run::samepoint;

#[test]
fn the_invented_shop_is_listed() {
    // One of its 65 files is damaged on purpose: named, and the rest is done. One of the others is a
    // blind check of another session and counts in the list, not in the table.
    let run = samepoint(&["shop", "demo-data"]);
    assert_eq!(run.code, 1, "{}", run.err);
    assert!(run.err.contains("0412.samepoint") && run.err.lines().count() == 1, "{}", run.err);
    let out = run.out;
    for part in ["64 sessions", "housing", "Heron B", "Plover", "Bench 2", "KT", "Shop window"] {
        assert!(out.contains(part), "{part} is missing:\n{out}");
    }
}

#[test]
fn a_broken_session_is_named_and_the_rest_is_done() {
    let folder = tempfile::tempdir().unwrap();
    let sessions = folder.path().join("sessions");
    fs::create_dir(&sessions).unwrap();
    let whole = crate::run::root().join("tests/data/format1/whole-job.samepoint");
    fs::copy(whole, sessions.join("good.samepoint")).unwrap();
    fs::write(sessions.join("bad.samepoint"), "nonsense").unwrap();
    let csv = folder.path().join("shop.csv");
    let shop = folder.path().to_str().unwrap();
    let run = samepoint(&["shop", shop, "--csv", csv.to_str().unwrap()]);
    assert_eq!(run.code, 1, "{}", run.err);
    assert!(run.err.contains("bad.samepoint") && run.err.lines().count() == 1, "{}", run.err);
    assert!(run.out.contains("1 session,") && run.out.contains("1 of 1"), "{}", run.out);
    let table = fs::read_to_string(&csv).unwrap();
    assert_eq!(table.lines().count(), 2, "{table}");
    assert!(table.starts_with("file,practice,day,"), "{table}");
    let head = table.lines().next().unwrap();
    let added = "job,customer,signed_verdict,signer,signed_on,countersigner,countersigned_on,begun";
    assert!(head.ends_with(added), "{head}");
    // A table is replaced by a newer one.
    assert_eq!(samepoint(&["shop", shop, "--csv", csv.to_str().unwrap()]).code, 1);
}

/// Files of practice are left out, and counted where they lie.
#[test]
fn files_of_practice_are_counted() {
    let folder = tempfile::tempdir().unwrap();
    for name in ["sessions", "practice"] {
        fs::create_dir(folder.path().join(name)).unwrap();
    }
    let whole = crate::run::root().join("tests/data/format1/whole-job.samepoint");
    fs::copy(&whole, folder.path().join("sessions/good.samepoint")).unwrap();
    for name in ["a", "b", "c"] {
        fs::copy(&whole, folder.path().join(format!("practice/{name}.samepoint"))).unwrap();
    }
    let run = samepoint(&["shop", folder.path().to_str().unwrap()]);
    assert!(run.out.starts_with("1 session, 3 of practice left out; 0 passed over"), "{}", run.out);
}

#[test]
fn what_is_no_shop_is_refused() {
    let folder = tempfile::tempdir().unwrap();
    let empty = folder.path().to_str().unwrap();
    assert!(samepoint(&["shop", empty]).refused().contains("sessions"));
    samepoint(&["shop", "no such folder"]).refused();
    let other = folder.path().join("readings.csv");
    fs::write(&other, "channel,ring_deg,x_arcmin,y_arcmin\n").unwrap();
    let message = samepoint(&["shop", "demo-data", "--csv", other.to_str().unwrap()]).refused();
    assert!(message.contains("no table of a shop"), "{message}");
    samepoint(&["shop", "demo-data", "--csv", "shop.txt"]).refused();
}

/// The recall list takes the place of an earlier one and of nothing else, and is written where there is
/// nothing to recall too.
#[test]
fn the_recall_list_is_put_on_paper() {
    let folder = tempfile::tempdir().unwrap();
    let list = folder.path().join("recall.pdf");
    let name = list.to_str().unwrap();
    let run = samepoint(&["shop", "demo-data", "--recall", name]);
    assert_eq!(run.code, 1, "{}", run.err);
    let first = fs::read(&list).unwrap();
    assert!(first.starts_with(b"%PDF-"));
    assert_eq!(samepoint(&["shop", "demo-data", "--recall", name]).code, 1);
    assert!(fs::read(&list).unwrap() == first, "the same shop gives the same bytes");
    let other = samepoint(&["shop", "demo-data", "--recall", name, "--paper", "letter"]);
    assert_eq!(other.code, 1, "{}", other.err);
    assert!(fs::read(&list).unwrap() != first);
    // A shop without checks: a page all the same, that says so.
    let sessions = folder.path().join("sessions");
    fs::create_dir(&sessions).unwrap();
    let whole = crate::run::root().join("tests/data/format1/whole-job.samepoint");
    fs::copy(whole, sessions.join("good.samepoint")).unwrap();
    let shop = folder.path().to_str().unwrap();
    assert_eq!(samepoint(&["shop", shop, "--recall", name]).code, 0);
    assert!(fs::read(&list).unwrap().len() < first.len());

    // A report stays, and any other file; the name must say what it is.
    let report = folder.path().join("report.pdf");
    let report = report.to_str().unwrap();
    let session = "demo-data/sessions/2026-11-23 0152.samepoint";
    samepoint(&["report", session, "--to", report]).answered(0);
    let kept = fs::read(report).unwrap();
    let message = samepoint(&["shop", "demo-data", "--recall", report]).refused();
    assert!(message.contains("no recall list"), "{message}");
    assert!(fs::read(report).unwrap() == kept);
    let message = samepoint(&["report", session, "--to", name]).refused();
    assert!(message.contains("no report"), "{message}");
    for wrong in ["recall.txt", "recall", "."] {
        samepoint(&["shop", "demo-data", "--recall", wrong]).refused();
    }
    let nowhere = folder.path().join("no such folder/recall.pdf");
    samepoint(&["shop", "demo-data", "--recall", nowhere.to_str().unwrap()]).refused();
}

/// The units that wait are counted, and a list that cannot be read whole is named.
#[test]
fn units_that_wait_are_counted() {
    let folder = tempfile::tempdir().unwrap();
    for name in ["sessions", "waiting"] {
        fs::create_dir(folder.path().join(name)).unwrap();
    }
    let whole = crate::run::root().join("tests/data/format1/whole-job.samepoint");
    fs::copy(whole, folder.path().join("sessions/good.samepoint")).unwrap();
    let kept = crate::run::root().join("tests/data/waiting1/every-fact.samepoint-waiting");
    let list = folder.path().join("waiting/units.samepoint-waiting");
    fs::copy(kept, &list).unwrap();
    let shop = folder.path().to_str().unwrap();
    let run = samepoint(&["shop", shop]);
    assert_eq!(run.code, 0, "{}", run.err);
    assert!(run.out.contains("1 unit waits: 1 ready\n"), "{}", run.out);
    let bytes = fs::read(&list).unwrap();
    fs::write(&list, &bytes[..bytes.len() - 9]).unwrap();
    let run = samepoint(&["shop", shop]);
    assert_eq!(run.code, 1, "{}", run.err);
    assert!(run.err.contains("not all of it can be read"), "{}", run.err);
    assert!(run.out.contains("2 units wait"), "as far as it can be read: {}", run.out);
}

/// The three questions, as the record answers them; SQL beside `samepoint tables` is held against this.
#[test]
fn what_a_shop_tells_is_told_as_json() {
    let run = samepoint(&["shop", "demo-data", "--json"]);
    assert_eq!((run.code, run.err.lines().count()), (1, 1), "{}", run.err);
    let told: serde_json::Value = serde_json::from_str(&run.out).unwrap();
    let folder = crate::run::root().join("demo-data");
    let survey = record::survey(&folder, std::num::NonZeroUsize::MIN).unwrap();
    assert_eq!((told["sessions"].as_u64(), told["passed_over"].as_u64()), (Some(64), Some(1)));
    let months = told["first_pass"].as_array().unwrap();
    let sum = |key: &str| months.iter().map(|month| month[key].as_u64().unwrap()).sum::<u64>();
    let rates = survey.pass_rate_by_housing();
    let trials: usize = rates.iter().map(|month| month.rate.passed_first.trials).sum();
    let passed: usize = rates.iter().map(|month| month.rate.passed_first.successes).sum();
    assert!(trials > 20 && (sum("units"), sum("passed_first")) == (trials as u64, passed as u64));
    for month in months {
        let [low, share, high] = ["low", "share", "high"].map(|key| month[key].as_f64().unwrap());
        assert!((0.0..=share).contains(&low) && (share..=1.0).contains(&high), "{month}");
    }
    // The zero of Bench 4 is planted to wander, and no other's.
    let wander: Vec<&str> = told["stations"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|station| station["wanders"] == true)
        .map(|station| station["station"].as_str().unwrap())
        .collect();
    assert!(!wander.is_empty() && wander.iter().all(|name| *name == "Bench 4"), "{wander:?}");
    // Shims are planted to do 0.85 of what the model predicts.
    let shims = told["shims"].as_array().unwrap();
    let most = shims.iter().max_by_key(|one| one["shims"].as_u64()).unwrap();
    assert!((most["slope"].as_f64().unwrap() - 0.85).abs() < 0.05, "{most}");
    assert_eq!(most["as_predicted"], false);
}

/// Two folders are one shop: what both have counts once and is named by its whole path; where one session has
/// other lines in each, that is an error that is told of.
#[test]
fn several_folders_are_one_shop() {
    let home = tempfile::tempdir().unwrap();
    let whole = crate::run::root().join("tests/data/format1/whole-job.samepoint");
    let [north, south] = ["north", "south"].map(|name| home.path().join(name));
    for shop in [&north, &south] {
        fs::create_dir_all(shop.join("sessions")).unwrap();
        fs::copy(&whole, shop.join("sessions/job.samepoint")).unwrap();
    }
    let [one, other] = [&north, &south].map(|shop| shop.to_str().unwrap());
    let run = samepoint(&["shop", one, other]);
    assert_eq!(run.code, 0, "{}", run.err);
    let copy = south.join("sessions/job.samepoint").display().to_string();
    let counts = north.join("sessions/job.samepoint").display().to_string();
    assert!(
        run.out.contains(&format!("{copy} is a copy of {counts}, which counts")),
        "{}",
        run.out
    );
    assert!(run.out.contains(&format!("{other}: 1 session, 0 of them counted")), "{}", run.out);
    // The last two lines of one are taken off and it goes on otherwise.
    let bytes = fs::read(&whole).unwrap();
    let mut facts = record::file::scan(&whole, &bytes[..]).unwrap().facts;
    facts.truncate(facts.len() - 2);
    let last = facts.last().unwrap().clone();
    let body = record::Body::Note(record::Note { text: "otherwise".to_owned(), about: None });
    facts.push(record::Fact { seq: last.seq + 1, body, ..last });
    let to = fs::File::create(south.join("sessions/job.samepoint")).unwrap();
    record::file::write_all_lines(&facts, to).unwrap();
    let told = samepoint(&["shop", one, other, "--json"]);
    let told: serde_json::Value = serde_json::from_str(&told.out).unwrap();
    assert_eq!(told["folders"].as_array().unwrap().len(), 2);
    assert_eq!(told["forked"].as_array().unwrap().len(), 1, "{told}");
    let run = samepoint(&["shop", other, one]);
    assert_eq!(run.code, 1, "{}", run.out);
    assert!(run.err.contains("is the same session with other lines after"), "{}", run.err);
    assert!(samepoint(&["shop", one, "no such folder"]).refused().contains("no such folder"));
}

/// A unit of the invented shop, and one that nobody has.
#[test]
fn a_round_robin_is_told() {
    let run = samepoint(&["shop", "demo-data", "--round-robin", "0152"]);
    assert!(run.out.starts_with("unit 0152 on "), "{}{}", run.out, run.err);
    assert!(run.out.contains("dipvergence"), "{}", run.out);
    let none = samepoint(&["shop", "demo-data", "--round-robin", "none such"]);
    assert_eq!(none.code, 1);
    assert!(none.err.contains("no session here is of the unit “none such”"), "{}", none.err);
    let table = ["shop", "demo-data", "--round-robin", "0152", "--csv", "x.csv"];
    samepoint(&table).refused();
    // For a program: the same figures, standard uncertainties, and what is not counted.
    let run = samepoint(&["shop", "demo-data", "--round-robin", "0330", "--json"]);
    let told: serde_json::Value = serde_json::from_str(&run.out).unwrap();
    let survey =
        record::survey(&crate::run::root().join("demo-data"), std::num::NonZeroUsize::MIN).unwrap();
    let found =
        record::shop::survey::round_robin::RoundRobin::of(&survey, "0330", &record::RealDisk);
    let found = found.unwrap();
    let of_unit = &told["round_robin"];
    assert_eq!((&of_unit["unit"], found.benches.len()), (&"0330".into(), 2));
    for (at, compared) in of_unit["compared"].as_array().unwrap().iter().enumerate() {
        for (one, bench) in compared["benches"].as_array().unwrap().iter().zip(&found.benches) {
            assert_eq!(one["station"], bench.station);
            assert_eq!(one["read_arcmin"].as_f64(), bench.value[at]);
            assert_eq!(one["u_arcmin"].as_f64(), bench.u[at].map(|u| u.standard));
            // Bench 4 was off: one bench is no consensus.
            assert_eq!((&one["en"], &one["word"]), (&serde_json::Value::Null, &"not known".into()));
            assert_eq!(one["not_counted"].is_string(), bench.station == "Bench 4");
        }
    }
    let shop = samepoint(&["shop", "demo-data", "--json"]);
    let told: serde_json::Value = serde_json::from_str(&shop.out).unwrap();
    assert!(told["round_robin"].as_array().unwrap().contains(of_unit));
    assert_eq!(told["folders"][0]["sessions"], 64);
}
