//! The looking test: what was seen, by whom, and whether it was made at all.

use record::conclusion::looking_tests;
use record::fact::LookingResult;
use record::{Account, Fact, LookingTest};

use super::figures::moment;

/// A test in a line.
pub(super) fn told(said: &Fact<LookingTest>) -> String {
    let test = &said.body;
    let result = match test.result {
        LookingResult::Fused => "saw one image (fused)",
        LookingResult::Double => "saw TWO IMAGES (double)",
        LookingResult::Stopped => "BROKE THE TEST OFF",
    };
    let far = test.distance_m.as_ref();
    let far = far.map_or_else(String::new, |far| format!(", point at {} m", far.shown()));
    let who = if test.observer.is_empty() { &said.hand } else { &test.observer };
    let note = if test.note.is_empty() { String::new() } else { format!(": {}", test.note) };
    format!("{} {who} {result}{far}{note}", moment(said.time))
}

/// Those of the setting as it was left, else that there is none.
pub(super) fn as_left(account: &Account) -> String {
    let session = &account.session;
    let Some(round) = session.rounds.last() else { return "not made".to_owned() };
    let counted: Vec<String> = looking_tests(session, round).map(told).collect();
    if !counted.is_empty() {
        return counted.join("; ");
    }
    match session.looking_tests.len() {
        0 => "not made".to_owned(),
        _ => "not made since a ring was last free to turn".to_owned(),
    }
}
