//! Several folders seen as one shop: what two of them have counts once, and is named.

use std::fs;
use std::num::NonZeroUsize;
use std::path::{Path, PathBuf};

use record::file::{scan, write_all_lines};
use record::ledger::{Copied, Noting, note_all};
use record::shop::survey::{SurveyOptions, survey_beside, survey_together};
use record::{Body, Fact, Note, Shop, Survey, survey};

use crate::copied::copy_all;
use crate::support::{HAND, real};

fn demo() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo-data")
}

/// Two copies of the demo shop, `north` and `south`.
fn shops() -> (tempfile::TempDir, [PathBuf; 2]) {
    let home = tempfile::tempdir().unwrap();
    let both = ["north", "south"].map(|name| home.path().join(name));
    for shop in &both {
        copy_all(&demo(), shop);
    }
    (home, both)
}

fn together(folders: &[PathBuf]) -> Survey {
    survey_together(folders, &SurveyOptions::whole(NonZeroUsize::MIN)).unwrap().unwrap()
}

fn alone(folder: &Path) -> Survey {
    survey(folder, NonZeroUsize::MIN).unwrap()
}

fn first_file(shop: &Path, survey: &Survey) -> PathBuf {
    let real = survey.counted().next().unwrap().1;
    shop.join("sessions").join(&real.file)
}

fn facts(path: &Path) -> Vec<Fact> {
    scan(path, &fs::read(path).unwrap()[..]).unwrap().facts
}

/// One note more than the file has.
fn one_more(path: &Path, text: &str) {
    let mut facts = facts(path);
    let last = facts.last().unwrap().clone();
    let body = Body::Note(Note { text: text.to_owned(), about: None });
    facts.push(Fact { seq: last.seq + 1, body, ..last });
    write_all_lines(&facts, fs::File::create(path).unwrap()).unwrap();
}

#[test]
fn the_same_sessions_twice_count_once_and_tell_the_same() {
    let (_home, both) = shops();
    let (one, two) = (alone(&both[0]), together(&both));
    assert_eq!(two.sessions.len(), 2 * one.sessions.len());
    assert_eq!(two.counted().count(), one.counted().count());
    assert_eq!(two.skipped.len(), 2 * one.skipped.len());
    assert_eq!(two.pass_rate(), one.pass_rate());
    assert_eq!(two.risks, one.risks);
    for (index, session) in two.sessions.iter().enumerate() {
        assert_eq!(session.folder, usize::from(index >= one.sessions.len()));
        // Each names the other by its whole path.
        let other = two.folders[1 - session.folder].join("sessions").join(&session.file);
        let other = record::shown::path(&other);
        assert!(session.copies.iter().any(|copy| copy.file == other), "{other}");
        assert_eq!(session.folder == 1, session.copy_of.is_some() || session.session.is_empty());
    }
    // The stations are described alike.
    assert!(two.together.iter().any(|said| said.contains("it is taken for one station")));
    assert!(two.sessions.iter().all(|session| !session.station.contains("(south)")));
    assert_eq!(two.ledger.missing.len(), 2 * one.ledger.missing.len());
}

#[test]
fn the_longer_chain_counts_wherever_it_lies_and_a_fork_is_said() {
    let (_home, both) = shops();
    let file = first_file(&both[1], &alone(&both[1]));
    one_more(&file, "gone on with in the south");
    let of_file = |survey: &Survey| -> Vec<record::SessionSummary> {
        let name = file.file_name().unwrap().to_str().unwrap();
        survey.sessions.iter().filter(|session| session.file == name).cloned().collect()
    };
    let found = of_file(&together(&both));
    assert!(found[0].copy_of.is_some() && found[1].copy_of.is_none());
    assert!(matches!(found[0].copies[0].how, Copied::GoesOn(_)));
    assert!(!found[0].is_forked());
    // Whichever folder comes first.
    let turned = [both[1].clone(), both[0].clone()];
    let found = of_file(&together(&turned));
    assert!(found[0].copy_of.is_none() && found[1].copy_of.is_some());
    // Both went on, each for itself.
    one_more(&both[0].join("sessions").join(file.file_name().unwrap()), "and in the north");
    let survey = together(&both);
    let found = of_file(&survey);
    assert!(found.iter().all(record::SessionSummary::is_forked));
    assert_eq!(found.iter().filter(|session| session.counts()).count(), 1);
}

/// One's own, as it is named first, whatever the paths; the tables for other programs say the same
/// (`tests/tables/twice.rs`). A file that is longer counts before it, and one whose end is missing does not.
/// What was sent back in a shop is told there, also where another folder's copy counts in its stead.
#[test]
fn what_was_sent_back_is_told_whichever_copy_counts() {
    let (_home, both) = shops();
    let returned = Shop::load(&both[0]).unwrap().returned().unwrap();
    let path = &returned.first().unwrap().path;
    one_more(&both[1].join("sessions").join(path.file_name().unwrap()), "gone on with");
    let found = together(&both);
    let own = found.sessions.iter().find(|one| one.folder == 0 && path.ends_with(&one.file));
    assert!(own.unwrap().copy_of.is_some(), "the other one counts");
    assert_eq!(found.returned(), returned);
}

#[test]
fn of_equals_those_in_the_folder_named_first_count() {
    let (_home, both) = shops();
    let turned = [both[1].clone(), both[0].clone()];
    for folders in [&both, &turned] {
        let seen = together(folders);
        let copies = || seen.sessions.iter().filter(|session| session.copy_of.is_some());
        assert!(copies().count() > 0);
        assert!(copies().all(|session| session.folder == 1), "{:?}", seen.folders);
        let own = record::shown::path(&folders[0]);
        assert!(copies().all(|one| one.copy_of.as_ref().unwrap().starts_with(&own)));
        let beside =
            survey_beside(&folders[0], &folders[1..], &SurveyOptions::whole(NonZeroUsize::MIN));
        assert_eq!(beside.unwrap().unwrap().sessions, seen.sessions);
    }
}

/// Who says of a session that it goes on from itself takes nothing out of the count.
#[test]
fn a_session_that_says_it_goes_on_from_itself_counts_once() {
    let (_home, both) = shops();
    let one = alone(&both[0]);
    let file = first_file(&both[0], &one);
    for shop in &both {
        let path = shop.join("sessions").join(file.file_name().unwrap());
        let mut told = facts(&path);
        let Body::Header(header) = &mut told[0].body else { panic!("{:?}", told[0]) };
        header.continues = Some(record::fact::Continued {
            file: "itself.samepoint".to_owned(),
            session: header.session.clone(),
            facts: 1,
            last_hash: "0".repeat(64),
        });
        write_all_lines(&told, fs::File::create(&path).unwrap()).unwrap();
    }
    assert_eq!(alone(&both[0]).counted().count(), one.counted().count());
    assert_eq!(together(&both).counted().count(), one.counted().count());
}

#[test]
fn a_session_that_moved_is_not_missing() {
    let (_home, both) = shops();
    let noting = Noting {
        program: "samepoint 0.1.0".to_owned(),
        hand: HAND.to_owned(),
        agreed: false,
        options: real(),
    };
    note_all(&both[0], &noting).unwrap();
    let before = together(&both).ledger.missing.len();
    assert!(together(&both).together.iter().any(|said| said.starts_with("No ledger stands")));
    let noted = alone(&both[0]);
    let signed = noted.counted().find(|(_, session)| !session.signing.is_empty()).unwrap().1;
    let name = &signed.file;
    fs::remove_file(both[0].join("sessions").join(name)).unwrap();
    assert_eq!(alone(&both[0]).ledger.missing.len(), noted.ledger.missing.len() + 1);
    let found = together(&both);
    assert_eq!(found.ledger.missing.len(), before);
    assert!(found.together.iter().any(|said| said.contains("with all that is noted of it")));
    // Cut off in the other folder it is not all there.
    let other = both[1].join("sessions").join(name);
    let cut: Vec<Fact> = facts(&other)
        .into_iter()
        .take_while(|fact| !matches!(fact.body, Body::Signed(_)))
        .collect();
    write_all_lines(&cut, fs::File::create(&other).unwrap()).unwrap();
    assert_eq!(together(&both).ledger.missing.len(), before + 1);
}

#[test]
fn stations_that_are_described_otherwise_are_two() {
    let (_home, both) = shops();
    for entry in fs::read_dir(both[1].join("stations")).unwrap() {
        let path = entry.unwrap().path();
        let text = fs::read_to_string(&path).unwrap();
        let other = text.replacen("station: (", "station: (note: \"another bench\", ", 1);
        let other = if other.contains("note: \"another bench\", ") && text.contains("note: ") {
            text.replacen("note: \"", "note: \"another bench; ", 1)
        } else {
            other
        };
        fs::write(&path, other).unwrap();
    }
    let found = together(&both);
    let stations: std::collections::BTreeSet<&str> =
        found.sessions.iter().map(|session| session.station.as_str()).collect();
    assert!(stations.iter().any(|name| name.ends_with("(north)")), "{stations:?}");
    assert!(stations.iter().any(|name| name.ends_with("(south)")), "{stations:?}");
    for session in &found.sessions {
        if let Some(recall) = &session.recall {
            assert_eq!(recall.station, session.station);
            assert!(found.spells.iter().any(|spell| spell.station == session.station));
        }
    }
    assert!(found.recall_words().len() > 2);
}

#[test]
fn a_folder_named_twice_is_looked_at_once() {
    let (home, both) = shops();
    let again = home.path().join("south").join("..").join("north");
    let found = together(&[both[0].clone(), again]);
    assert_eq!(found.sessions.len(), alone(&both[0]).sessions.len());
    assert!(found.together[0].contains("is named twice and looked at once"));
    assert!(
        survey_together(
            &[both[0].clone(), home.path().join("none")],
            &SurveyOptions::whole(NonZeroUsize::MIN)
        )
        .is_err()
    );
}

/// The table says of every row which folder it is from.
#[test]
fn every_row_names_its_folder() {
    let (_home, both) = shops();
    let found = together(&both);
    let table = found.csv().unwrap();
    let mut reader = csv::Reader::from_reader(&table[..]);
    let folder = reader.headers().unwrap().iter().position(|name| name == "folder").unwrap();
    for (row, session) in reader.records().zip(&found.sessions) {
        assert_eq!(row.unwrap()[folder], both[session.folder].display().to_string());
    }
}

/// Beside a shop, folders that cannot be looked at are told of, each with what to do, and hide nothing; the shop
/// itself must be one.
#[test]
fn what_cannot_be_looked_at_hides_nothing() {
    let (home, both) = shops();
    let looking = SurveyOptions::whole(NonZeroUsize::MIN);
    let beside = |own: &Path, others: &[PathBuf]| survey_beside(own, others, &looking);
    let at = |name: &str| home.path().join(name);
    fs::create_dir(at("empty")).unwrap();
    fs::write(at("file"), "x").unwrap();
    let others = [at("none"), at("empty"), both[1].clone(), at("file"), both[1].join("sessions")];
    let found = beside(&both[0], &others).unwrap().unwrap();
    assert_eq!(found.folders, both);
    assert_eq!(found.counted().count(), alone(&both[0]).counted().count());
    let said: Vec<String> = found.unseen.iter().map(record::shop::survey::Unseen::words).collect();
    for (words, why) in said.iter().zip([
        "nothing is there any more",
        "no folder “sessions” is in it",
        "it is a file",
        "name the folder above it",
    ]) {
        assert!(words.contains(why) && words.ends_with("all else is."), "{words}");
    }
    assert_eq!(said.len(), 4);
    assert!(found.several_words().unwrap().starts_with("2 shops are looked at as one: north ("));
    // All gone: the shop alone, as it is alone, and told of.
    let found = beside(&both[0], &[at("none")]).unwrap().unwrap();
    let one = alone(&both[0]);
    assert_eq!((found.several_words(), found.unseen.len()), (None, 1));
    assert_eq!(
        (&found.sessions, &found.ledger.missing.len()),
        (&one.sessions, &one.ledger.missing.len())
    );
    assert!(beside(&at("none"), &both).is_err());
}

/// A copy that came along from another shop does not make its station one that the folders describe otherwise.
#[test]
fn a_copy_that_came_along_brings_no_station() {
    let (home, both) = shops();
    let south = home.path().join("copies");
    fs::create_dir_all(south.join("sessions")).unwrap();
    let file = first_file(&both[0], &alone(&both[0]));
    fs::copy(&file, south.join("sessions").join(file.file_name().unwrap())).unwrap();
    let found = together(&[both[0].clone(), south]);
    let names = |survey: &Survey| -> Vec<String> {
        survey.sessions.iter().map(|session| session.station.to_string()).collect()
    };
    assert_eq!(names(&found)[..found.sessions.len() - 1], names(&alone(&both[0])));
    assert!(
        !found.together.iter().any(|said| said.contains("describe it alike")),
        "{:?}",
        found.together
    );
}
