//! Texts, names and lengths that somebody might send.

use std::fs;
use std::path::Path;

use record::{PerChannel, Tube, Unit};
use tables::Table;

use crate::hostile_texts::{corpus, nothing_hides_in, with_texts};
use crate::many_readings;
use crate::read_back::{files, made, rows, shop, text, whole_job};

/// Whatever a session, its file and its shop are called, nothing leaves the folder of the tables, and what is said
/// on the terminal hides nothing.
#[test]
fn no_text_leads_out_of_the_folder() {
    let folder = tempfile::tempdir().unwrap();
    let own = shop(&folder.path().join("own"), &[]);
    let scanned = record::file::scan(&whole_job(), fs::File::open(whole_job()).unwrap()).unwrap();
    let mut written = 0;
    for (number, text) in corpus().iter().enumerate() {
        let facts = with_texts(&scanned.facts, text);
        let path = own.join(format!("sessions/{number}.samepoint"));
        let file = fs::File::create(&path).unwrap();
        written += usize::from(record::file::write_all_lines(&facts, file).is_ok());
        let letterhead = format!("(format: 1, letterhead: (name: {text:?}, address: \"\"))");
        let other = folder.path().join(format!("shop {number}"));
        fs::create_dir_all(other.join("sessions")).unwrap();
        fs::write(other.join("letterhead.ron"), letterhead).unwrap();
    }
    assert!(written > 10, "{written}");
    #[cfg(unix)]
    fs::copy(whole_job(), own.join("sessions/new\nline \u{202e}$(x) =1+1.samepoint")).unwrap();
    let shops: Vec<_> =
        (0..corpus().len()).map(|number| folder.path().join(format!("shop {number}"))).collect();
    let mut named: Vec<&Path> = shops.iter().map(std::path::PathBuf::as_path).collect();
    named.push(&own);
    let to = folder.path().join("to");
    let run = made(&named, &to);
    assert!(run.code < 2, "{run:?}");
    nothing_hides_in(&run.out);
    nothing_hides_in(&run.err);
    let plain = |c: char| c.is_ascii_alphanumeric() || "-=._/".contains(c);
    for path in files(&to) {
        let inside = path.strip_prefix(&to).unwrap().to_str().unwrap().to_owned();
        assert!(inside.chars().all(plain) && inside.len() < 120, "{inside}");
    }
    assert_eq!(rows(&to, Table::Sessions).len(), files(&own.join("sessions")).len());
}

/// A formula is a text like any other: the column says text.
#[test]
fn texts_stand_as_they_were_said() {
    let folder = tempfile::tempdir().unwrap();
    let own = shop(&folder.path().join("own"), &[]);
    let said = "=cmd|' /C calc'!A0";
    let tube = |serial: &str| Tube { serial: serial.to_owned(), turned_deg: 0.0 };
    let unit = Unit {
        name: said.to_owned(),
        tubes: PerChannel { left: tube("NULL"), right: tube("") },
        ..Unit::default()
    };
    many_readings::session(&own.join("sessions"), 20, unit);
    let to = folder.path().join("to");
    made(&[&own], &to);
    let row = &rows(&to, Table::Sessions)[0];
    assert_eq!(text(row, "unit").as_deref(), Some(said));
    assert_eq!(text(row, "left_tube").as_deref(), Some("NULL"));
    assert_eq!(text(row, "right_tube"), None);
    assert_eq!(text(row, "housing"), None);
}

#[test]
fn a_session_of_50_000_readings_is_told_whole() {
    let folder = tempfile::tempdir().unwrap();
    let own = shop(&folder.path().join("own"), &[]);
    many_readings::session(
        &own.join("sessions"),
        50_000,
        Unit { name: "0147".to_owned(), ..Unit::default() },
    );
    let to = folder.path().join("to");
    let run = made(&[&own], &to);
    assert_eq!(run.code, 0, "{run:?}");
    assert_eq!(rows(&to, Table::Readings).len(), 50_000);
}
