//! An error is a type that carries what is wrong and where; a bare sentence loses both.

use crate::tree::sources;

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
    assert!(found.is_empty(), "make the error a type (an enum with thiserror): {found:#?}");
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
