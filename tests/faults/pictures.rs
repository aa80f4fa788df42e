//! Pictures that a session names: read again later, and told where they are gone or are others.

use std::fs;
use std::num::NonZeroUsize;
use std::path::{Path, PathBuf};

use record::fact::Frame;
use record::shop::PictureFound;
use record::shop::survey::troubles::Trouble;
use record::{Account, Body, NotedPicture, RealDisk, Shop, review, survey};

use crate::flips::lines_of;
use crate::support::*;

/// The signature of a PNG file, and something behind it.
const PNG: &[u8] = b"\x89PNG\r\n\x1a\nlens";

/// The SHA-256 of nothing (FIPS 180-4; from memory).
const OF_NOTHING: &str = "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855";

fn shop() -> (tempfile::TempDir, Shop) {
    let folder = tempfile::tempdir().unwrap();
    Shop::lay_out(folder.path()).unwrap();
    let shop = Shop::load(folder.path()).unwrap();
    (folder, shop)
}

fn kept(folder: &Path, bodies: &[Body]) -> PathBuf {
    let path = folder.join("sessions/a.samepoint");
    fs::write(&path, lines_of(&facts_of(bodies))).unwrap();
    path
}

fn named(hash: &str, extension: &str) -> Body {
    Body::Picture(NotedPicture {
        hash: hash.to_owned(),
        extension: extension.to_owned(),
        caption: "received: left lens".to_owned(),
        about: None,
    })
}

fn reviewed(path: &Path) -> Account {
    review(path, &RealDisk).unwrap()
}

fn to_look_at(folder: &Path) -> Vec<String> {
    let survey = survey(folder, NonZeroUsize::MIN).unwrap();
    let all = survey.sessions[0].troubles();
    let pictures = all.iter().filter(|why| matches!(why, Trouble::Picture(_)));
    pictures.map(Trouble::words).collect()
}

#[test]
fn a_picture_that_is_gone_or_another_is_told_by_review_and_shop() {
    let (folder, shop) = shop();
    let source = folder.path().join("from the camera.png");
    fs::write(&source, PNG).unwrap();
    let picture = shop.keep_picture(&source).unwrap();
    let mut bodies = beginning();
    bodies.push(named(&picture.hash, &picture.extension));
    let path = kept(folder.path(), &bodies);
    let before = reviewed(&path);
    assert!(before.words().contains("The picture it names is kept whole."), "{}", before.words());
    assert!(to_look_at(folder.path()).is_empty());
    let ways = [
        ("missing", "is missing from"),
        ("another", "another SHA-256"),
        ("another", "another SHA-256"),
        ("unread", "cannot be read in"),
    ];
    for (way, (found, words)) in ways.into_iter().enumerate() {
        match way {
            0 => fs::remove_file(&picture.path).unwrap(),
            1 => fs::write(&picture.path, [PNG, b"s"].concat()).unwrap(),
            2 => fs::write(&picture.path, b"").unwrap(),
            _ => {
                fs::remove_file(&picture.path).unwrap();
                fs::create_dir(&picture.path).unwrap();
            }
        }
        let account = reviewed(&path);
        assert_eq!(account.pictures[0].found.word(), found);
        // The verdict rests on what was typed.
        assert_eq!(account.exit_code(), before.exit_code());
        let told = account.words();
        for said in [words, "“received: left lens”", &picture.hash] {
            assert!(told.contains(said) && !told.contains("kept whole"), "{said}: {told}");
        }
        let [trouble] = &to_look_at(folder.path())[..] else { panic!("one is listed") };
        assert!(trouble.contains(words) && told.contains(trouble.as_str()), "{trouble}");
    }
    // Outside a shop nobody can look.
    let outside = folder.path().join("a.samepoint");
    fs::copy(&path, &outside).unwrap();
    let words = reviewed(&outside).words();
    assert!(words.contains("The 1 picture it names was not looked for."), "{words}");
}

/// The picture a reading rests on may be of any kind that can be read: its SHA-256 is its name.
#[test]
fn the_picture_a_reading_rests_on_is_read_again() {
    let (folder, _) = shop();
    let mut bodies = beginning();
    bodies.push(log(record::Channel::Left, "10", "1", "2"));
    bodies.push(Body::Frame(Frame {
        picture_sha256: OF_NOTHING.to_owned(),
        background_sha256: Some("0a".repeat(32)),
        ..frame(bodies.len() as u64)
    }));
    let mut facts = facts_of(&bodies);
    if let Body::Header(header) = &mut facts[0].body {
        header.format = record::LATEST_FORMAT;
    }
    let path = folder.path().join("sessions/a.samepoint");
    fs::write(&path, lines_of(&facts)).unwrap();
    let found =
        |account: &Account| account.pictures.iter().map(|one| one.found.word()).collect::<Vec<_>>();
    assert_eq!(found(&reviewed(&path)), ["missing", "missing"]);
    fs::write(folder.path().join(format!("pictures/{OF_NOTHING}.tiff")), b"").unwrap();
    let account = reviewed(&path);
    assert_eq!(found(&account), ["whole", "missing"]);
    assert!(account.words().contains("Of the 2 pictures that it names 1 are kept whole."));
}

/// What a forged fact names leads nowhere.
#[test]
fn a_name_that_is_no_sha_256_leads_nowhere() {
    let (folder, _) = shop();
    fs::write(folder.path().join("secret.png"), b"").unwrap();
    for (hash, extension) in [
        ("../secret", "png"),
        (OF_NOTHING, "/../../secret.png"),
        ("/etc/passwd", ""),
        (&OF_NOTHING.to_uppercase(), "png"),
        ("", "png"),
    ] {
        let mut bodies = beginning();
        bodies.push(named(hash, extension));
        let account = reviewed(&kept(folder.path(), &bodies));
        let found: Vec<&PictureFound> = account.pictures.iter().map(|one| &one.found).collect();
        assert!(found.iter().all(|found| **found == PictureFound::Missing), "{hash} {found:?}");
    }
}
