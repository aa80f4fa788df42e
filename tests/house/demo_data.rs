//! `demo-data` is what its maker makes, byte for byte, and nothing else lies there.
//! Make it anew with `cargo run -p record --example make_demo_data`.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "tests fail by panicking"
)]

#[path = "../../crates/record/examples/make_demo_data/bench.rs"]
mod bench;
#[path = "../../crates/record/examples/make_demo_data/chosen.rs"]
mod chosen;
#[path = "../../crates/record/examples/make_demo_data/hands.rs"]
mod hands;
#[path = "../../crates/record/examples/make_demo_data/pictures.rs"]
mod pictures;
#[path = "../../crates/record/examples/make_demo_data/readings.rs"]
mod readings;
#[path = "../../crates/record/examples/make_demo_data/readme.rs"]
mod readme;
#[path = "../../crates/record/examples/make_demo_data/sessions.rs"]
mod sessions;
#[path = "../../crates/record/examples/make_demo_data/shop.rs"]
mod shop;
#[path = "../../crates/record/examples/make_demo_data/stock.rs"]
mod stock;
#[path = "../../crates/record/examples/make_demo_data/workshop.rs"]
mod workshop;
#[path = "../../crates/record/examples/make_demo_data/year/mod.rs"]
mod year;

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

use record::{FileOptions, Opener, SessionFile, Shop, Stamp};

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}

#[test]
fn every_file_is_as_made() {
    for (name, made) in workshop::files().unwrap() {
        let kept = fs::read(root().join(&name)).unwrap_or_else(|error| panic!("{name}: {error}"));
        assert!(kept == made, "{name} differs from what make_demo_data makes");
    }
}

/// Lock files and other dot-files may be left by a program that had a session open.
#[test]
fn nothing_else_lies_there() {
    let mut found = BTreeSet::new();
    let mut folders = vec![root().join("demo-data"), root().join("assets/windows")];
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            let name = path.strip_prefix(root()).unwrap().to_str().unwrap().to_owned();
            if path.is_dir() {
                folders.push(path);
            } else if !name.contains("/.") {
                found.insert(name);
            }
        }
    }
    let made: BTreeSet<String> = workshop::files().unwrap().into_keys().collect();
    assert_eq!(found, made);
}

#[test]
fn the_program_can_use_all_of_it() {
    let shop = Shop::load(&root().join("demo-data")).unwrap();
    assert!(shop.skipped.is_empty(), "{:?}", shop.skipped);
    let kept = [shop.stations.len(), shop.windows.len(), shop.housings.len(), shop.units.len()];
    assert_eq!(kept, [5, 5, 5, 5]);
    assert_eq!(shop.hands.known.len(), hands::listed().len());
    let sessions = shop.sessions().unwrap();
    assert_eq!(sessions.len(), sessions::told().len() + 60);
    let now: Stamp = "2026-11-25T09:00:00.000+01:00".parse().unwrap();
    for listing in sessions {
        let opener = Opener { who: "test".into(), place: "here".into(), now };
        let file = SessionFile::open_read_only(&listing.path, FileOptions::real(opener)).unwrap();
        let session = record::fold(file.facts());
        assert!(session.remarks.is_empty(), "{:?}: {:?}", listing.path, session.remarks);
        let name = listing.path.display();
        assert!(session.round().is_some(), "{name} has no round");
    }
    let (checks, skipped) = shop.checks(&record::RealDisk).unwrap();
    assert!(skipped.is_empty(), "{skipped:?}");
    assert_eq!(checks.len(), 2);
    for kept in checks {
        assert_eq!((kept.end, kept.checks.journal.ignored), (record::file::End::Clean, vec![]));
    }
    assert_eq!(shop.studies().unwrap().len(), 1);
}

/// Embedded in the program and unpacked at its first start.
#[test]
fn it_stays_small() {
    let bytes: usize = workshop::files().unwrap().values().map(Vec::len).sum();
    assert!(bytes < 3_000_000, "{bytes} bytes");
}

/// The limits as the sources give them, converted elsewhere to seven digits: 0.125 Δ is 4.297181′,
/// 0.25 Δ is 8.594349′, 0.33 Δ is 11.344523′, 0.67 Δ is 23.032559′.
#[test]
fn published_windows_have_their_published_limits() {
    for (name, [convergence, divergence, dipvergence]) in [
        ("Binoculars, apparent field", [45.0, 20.0, 15.0]),
        ("Protective spectacles, plano", [8.594_349, 4.297_181, 4.297_181]),
        ("Spectacles, mounted pair", [23.032_559, 23.032_559, 11.344_523]),
    ] {
        let path = root().join(format!("assets/windows/{name}.ron"));
        let limits = Shop::read_window(&path).unwrap().limits;
        for (found, published) in [
            (limits.convergence_arcmin(), convergence),
            (limits.divergence_arcmin(), divergence),
            (limits.dipvergence_arcmin(), dipvergence),
        ] {
            // Half of the last digit given.
            assert!((found - published).abs() <= 5e-7, "{name}: {found} is not {published}");
        }
    }
}

/// Whoever signed or answered had the role for it on that day, so no session's state rests on a hand; who
/// learns or left signed nothing.
#[test]
fn everybody_who_signed_might() {
    let mut acts = 0;
    for entry in fs::read_dir(root().join("demo-data/sessions")).unwrap().flatten() {
        let account = record::review::review(&entry.path(), &record::RealDisk).unwrap();
        assert!(account.answerable.listed, "{:?}", entry.path());
        for act in &account.answerable.acts {
            let held = matches!(act.authority, record::Authority::Held(_));
            assert!(held, "{:?}: {:?}", entry.path(), act.authority);
            assert!(!["AL", "TW"].contains(&act.hand.as_str()));
            acts += 1;
        }
        assert!(!account.state_words().contains("not sealed"));
    }
    assert!(acts > 100, "{acts}");
}
