//! Texts that are no words, and numbers in words, on paper.

use crate::hostile_texts::{corpus, nothing_hides_in, with_texts};
use crate::session::{WHOLE, account, changed, report, root};
use crate::told_numbers::numbers_mean_something;

/// Whatever a session's texts hold, there is a report; every mark is seen, and no text makes a line of
/// its own.
#[test]
fn no_text_makes_a_line_of_its_own_on_paper() {
    for text in corpus() {
        let account = changed(WHOLE, |facts| *facts = with_texts(facts, &text));
        let report = report(&account);
        nothing_hides_in(&report.raw());
        nothing_hides_in(&paper::svg(&paper::session_scene(&account), [480.0, 480.0]));
        paper::png(&paper::session_scene(&account), [100.0, 100.0], 1.0).unwrap();
        if text.starts_with("KT\nSigned") {
            report.says("KT ↵ Signed “pass” by SH");
        }
    }
}

/// No page of the invented shop tells a number by digits that mean nothing.
#[test]
fn numbers_on_paper_mean_something() {
    let sessions = root().join("demo-data/sessions");
    for entry in std::fs::read_dir(sessions).unwrap().step_by(4) {
        let path = entry.unwrap().path();
        if path.extension().is_some_and(|extension| extension == "samepoint") {
            numbers_mean_something(&report(&account(path.to_str().unwrap())).raw());
        }
    }
}
