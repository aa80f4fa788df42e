//! An error is a type that carries what is wrong and where; a bare sentence loses both.

use crate::tree::sources;

/// Why a sentence does: it is shown as it stands, beside the field or in the place that asked, and nothing is
/// decided by it.
const SHOWN: &str = "shown where it was asked for, and nothing is decided by it";

/// Files that still hand on sentences for errors, how many times, and why. This list may only grow shorter.
const SENTENCES: [(&str, usize, &str); 23] = [
    ("crates/samepoint/src/app/answering.rs", 2, SHOWN),
    ("crates/samepoint/src/app/apply.rs", 2, SHOWN),
    ("crates/samepoint/src/app/effects.rs", 2, SHOWN),
    ("crates/samepoint/src/app/mod.rs", 1, SHOWN),
    ("crates/samepoint/src/app/opening.rs", 3, SHOWN),
    ("crates/samepoint/src/app/sheets.rs", 3, SHOWN),
    ("crates/samepoint/src/bench/blocks/mod.rs", 2, SHOWN),
    ("crates/samepoint/src/bench/day/noting.rs", 2, SHOWN),
    ("crates/samepoint/src/bench/day/units.rs", 2, SHOWN),
    ("crates/samepoint/src/bench/field/trying.rs", 1, SHOWN),
    ("crates/samepoint/src/bench/practice_unit/mod.rs", 1, SHOWN),
    ("crates/samepoint/src/bench/signing/acting.rs", 1, SHOWN),
    ("crates/samepoint/src/bench/signing/sealing/acting.rs", 2, SHOWN),
    ("crates/samepoint/src/places/practice/apply.rs", 1, SHOWN),
    ("crates/samepoint/src/places/practice/mod.rs", 5, SHOWN),
    ("crates/samepoint/src/places/review/apply.rs", 1, SHOWN),
    ("crates/samepoint/src/places/study/apply.rs", 2, SHOWN),
    ("crates/samepoint/src/shell/authority.rs", 1, SHOWN),
    ("crates/samepoint/src/shell/sealing/mod.rs", 2, SHOWN),
    ("crates/samepoint/src/shell/sealing/running.rs", 1, SHOWN),
    ("crates/samepoint/src/upkeep/acting.rs", 3, SHOWN),
    ("crates/samepoint/src/upkeep/mod.rs", 1, SHOWN),
    ("crates/samepoint/src/waiting/sheet.rs", 1, SHOWN),
];

#[test]
fn no_error_is_a_bare_sentence() {
    let mut found = Vec::new();
    for source in sources("crates") {
        if !source.path.contains("/src/") || source.path.ends_with("/tests.rs") {
            continue;
        }
        let shipped = source.text.split("#[cfg(test)]\nmod ").next().unwrap_or_default();
        let lines = shipped.lines().map(|line| line.split("//").next().unwrap_or_default());
        let count = sentences_for_errors(&lines.collect::<Vec<_>>().join("\n"));
        if count > 0 {
            found.push((source.path, count));
        }
    }
    let known: Vec<(String, usize)> =
        SENTENCES.iter().map(|(path, count, _)| ((*path).to_owned(), *count)).collect();
    let more: Vec<_> = found.iter().filter(|one| !known.contains(one)).collect();
    let gone: Vec<_> = known.iter().filter(|one| !found.contains(one)).collect();
    assert!(
        more.is_empty() && gone.is_empty(),
        "make the error a type (an enum with thiserror); where there are fewer now, say so in the list\n\
         found: {more:#?}\nno longer: {gone:#?}"
    );
}

#[test]
fn a_sentence_for_an_error_is_told_from_other_types() {
    let sentences = "fn a() -> Result<(), String>; b: Job<Result<Vec<(A, B)>, String>>; Result<\n A,\n String,\n>";
    assert_eq!(sentences_for_errors(sentences), 3);
    let others =
        "io::Result<String>; Result<String, Error>; Result<A, Vec<String>>; Result<fn(A) -> B, C>";
    assert_eq!(sentences_for_errors(others), 0);
}

/// How often a `Result` has `String` for its error.
fn sentences_for_errors(code: &str) -> usize {
    let begun = code.match_indices("Result<").map(|(at, word)| &code[at + word.len()..]);
    begun.filter(|rest| last_argument(rest) == Some("String")).count()
}

/// The last of two or more type arguments, up to the bracket that closes them.
fn last_argument(rest: &str) -> Option<&str> {
    let (mut depth, mut begins, mut before) = (1_usize, None, ' ');
    for (at, letter) in rest.char_indices() {
        match letter {
            '<' | '(' | '[' => depth += 1,
            ')' | ']' => depth = depth.saturating_sub(1),
            '>' if before != '-' => depth = depth.saturating_sub(1),
            ',' if depth == 1 && !rest[at + 1..].trim_start().starts_with('>') => {
                begins = Some(at + 1);
            }
            _ => {}
        }
        if depth == 0 {
            return begins.map(|from| rest[from..at].trim().trim_end_matches(','));
        }
        before = letter;
    }
    None
}
