//! The state of the open session in the top bar: the word a review has for it, why on hover, and never in the
//! way of whether everything is saved.

use std::fs;

use egui::{Key, Modifiers, vec2};
use egui_kittest::kittest::Queryable as _;
use record::{RealDisk, State, review};
use samepoint::testing::Place;

use crate::bench::Bench;
use crate::confirm::{confirm_all, confirming};
use crate::session::{log_eight, start};
use crate::waiting::path_of;

fn word(bench: &Bench) -> String {
    bench.app().session().unwrap().stands().word.clone()
}

/// Whatever session of the demo shop is opened, bench and review have the same word for it.
#[test]
fn bench_and_review_have_the_same_word() {
    let home = tempfile::tempdir().unwrap();
    drop(Bench::open(home.path(), None));
    let sessions = home.path().join("data/demo-shop/sessions");
    let mut words = Vec::new();
    let mut paths: Vec<_> = fs::read_dir(sessions).unwrap().flatten().map(|at| at.path()).collect();
    paths.retain(|path| path.extension().is_some_and(|end| end == "samepoint"));
    paths.sort();
    for path in paths.into_iter().step_by(5) {
        let account = review(&path, &RealDisk).unwrap();
        let bench = Bench::open(home.path(), Some(path));
        let word = word(&bench);
        let state = match account.state() {
            State::Damaged if word.contains("end missing") => "end missing",
            state => state.word(),
        };
        assert!(word.contains(state), "{word}: {state}");
        if matches!(account.state(), State::Signed | State::Countersigned) {
            let verdict = account.signature().unwrap().signed.verdict.word();
            assert!(word.contains(verdict), "{word}: {verdict}");
        }
        assert!(bench.says(&word));
        words.push(word);
    }
    words.sort();
    words.dedup();
    assert!(words.len() > 1, "{words:?}");
}

#[test]
fn it_follows_what_is_said() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = confirming(home.path());
    assert_eq!(word(&bench), "unsigned");
    confirm_all(&mut bench);
    bench.key(Key::F12);
    bench.key(Key::Enter);
    bench.wait_saved().unwrap();
    bench.key(Key::Escape);
    assert_eq!(word(&bench), "signed pass");
    assert!(bench.says("signed pass"));
    let why = &bench.app().session().unwrap().stands().why;
    assert!(why.contains("Signed “pass” by KT") && why.contains("Nobody else"), "{why}");
    assert_eq!(bench.app().place(), Place::Bench);
}

/// A missing end, and what is marked for ever.
#[test]
fn what_is_wrong_with_the_file_stands_there() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    log_eight(&mut bench);
    bench.wait_saved().unwrap();
    let path = path_of(&bench);
    drop(bench);
    let mut bytes = fs::read(&path).unwrap();
    let end = bytes.len();
    bytes[end - 40..].fill(0);
    fs::write(&path, &bytes).unwrap();
    let mut bench = Bench::open(home.path(), Some(path));
    assert_eq!(word(&bench), "end missing");
    bench.press(samepoint::testing::SET_END_ASIDE);
    assert_eq!(word(&bench), "end set aside, unsigned");
    assert!(bench.app().session().unwrap().stands().why.contains("SHA-256"));
}

/// Beside the saved mark at both sizes, under the longest name there is.
#[test]
fn it_covers_nothing_and_gives_way_to_the_saved_mark() {
    let name = "0171 with a name so long that nobody would ever write it on a housing but here it stands all of it";
    for (size, shown) in [(vec2(1280.0, 800.0), true), (vec2(640.0, 480.0), true)] {
        let home = tempfile::tempdir().unwrap();
        let mut bench = Bench::open_sized(home.path(), None, size, 1.0);
        bench.keys(Modifiers::COMMAND, Key::N);
        bench.type_text(name);
        bench.key(Key::Tab);
        bench.enter("KT");
        bench.wait_saved().unwrap();
        let mark = bench.app().session().unwrap().saved().words().to_owned();
        let saved = bench.window.get_by_label(&mark).rect();
        let state = bench.window.query_by_label("unsigned").map(|node| node.rect());
        assert_eq!(state.is_some(), shown, "{size:?}");
        if let Some(state) = state {
            assert!(state.right() <= saved.left() + 0.5, "{state:?} {saved:?}");
            assert!(state.width() > 30.0);
            for title in bench.window.query_all_by_label(name) {
                assert!(title.rect().right() <= state.left() + 0.5, "{:?} {state:?}", title.rect());
            }
            for button in bench.window.query_all_by_role(egui::accesskit::Role::Button) {
                let into = button.rect().intersect(state);
                assert!(into.width() <= 0.5 || into.height() <= 0.5, "{:?}", button.rect());
            }
        }
    }
}
