//! A sentence stands once: said in two places it drifts apart, and a mend reaches only one of them.

use std::collections::BTreeMap;

use crate::tree::sources;

/// Texts of more letters than this are sentences, or long enough to drift; what is put in counts two.
const LONGEST_SHARED: usize = 25;

/// Sentences that may stand more than once, and why. This list may only grow shorter.
const MORE_THAN_ONCE: [(&str, &str); 0] = [];

#[test]
fn no_sentence_stands_twice() {
    let mut places: BTreeMap<String, Vec<String>> = BTreeMap::new();
    for source in sources("crates") {
        if !source.path.contains("/src/") || source.path.ends_with("/tests.rs") {
            continue;
        }
        let shipped = source.text.split("#[cfg(test)]\nmod ").next().unwrap_or_default();
        for (line, text) in literals(shipped) {
            let text = without_what_is_put_in(&text);
            if text.chars().count() > LONGEST_SHARED {
                places.entry(text).or_default().push(format!("{}:{line}", source.path));
            }
        }
    }
    assert!(places.len() > 1_500, "only {} sentences were found", places.len());
    let allowed = |text: &str| MORE_THAN_ONCE.iter().any(|(known, _)| *known == text);
    let twice: Vec<_> = places.iter().filter(|(text, at)| at.len() > 1 && !allowed(text)).collect();
    assert!(twice.is_empty(), "say it once, where its type is, and use that: {twice:#?}");
    for (text, why) in MORE_THAN_ONCE {
        let stands = places.get(text).map_or(0, Vec::len);
        assert!(stands > 1, "“{text}” ({why}) stands {stands} times: strike it off the list");
    }
}

#[test]
fn literals_are_told_from_what_looks_like_them() {
    let source = concat!(
        "// \"a comment\"\n",
        "let a = \"one \\\" two\"; /* \"no\" */ let b = 'x'; let c: &'static str = r#\"raw \"x\"\"#;\n",
        "let d = \"broken \\\n          off\"; let e = '\"'; let f = b\"bytes {it:?} {{}}\";",
    );
    let found: Vec<_> = literals(source)
        .into_iter()
        .map(|(line, text)| (line, without_what_is_put_in(&text)))
        .collect();
    let told = |line: usize, text: &str| (line, text.to_owned());
    let wanted = [
        told(2, "one \\\" two"),
        told(2, "raw \"x\""),
        told(3, "broken off"),
        told(4, "bytes {} "),
    ];
    assert_eq!(found, wanted);
}

/// `{name:.1}` and `{}` alike, so that the same words with other names are the same sentence.
pub(crate) fn without_what_is_put_in(text: &str) -> String {
    let text = text.replace("{{", "").replace("}}", "");
    let mut pieces = text.split('{');
    let mut bare = pieces.next().unwrap_or_default().to_owned();
    for piece in pieces {
        let after = piece.split_once('}').map_or("", |(_, after)| after);
        bare.push_str("{}");
        bare.push_str(after);
    }
    bare
}

/// The string literals of a source as they are typed, each with its line; broken ones joined.
pub(crate) fn literals(source: &str) -> Vec<(usize, String)> {
    let mut found = Vec::new();
    let (mut rest, mut line, mut in_name) = (source, 1, false);
    let at = |rest: &str, wanted: &str| rest.find(wanted).unwrap_or(rest.len());
    while let Some(first) = rest.chars().next() {
        let raw = rest.strip_prefix('r').map(|behind| behind.trim_start_matches('#'));
        let raw = raw.filter(|behind| behind.starts_with('"') && !in_name);
        let taken = if rest.starts_with("//") {
            at(rest, "\n")
        } else if rest.starts_with("/*") {
            (at(rest, "*/") + 2).min(rest.len())
        } else if let Some(behind) = raw {
            let hashes = rest.len() - behind.len() - 1;
            let inside = &behind[1..];
            let length = at(inside, &format!("\"{}", "#".repeat(hashes)));
            found.push((line, inside[..length].to_owned()));
            (rest.len() - inside.len() + length + 1 + hashes).min(rest.len())
        } else if let Some(inside) = rest.strip_prefix('"') {
            let length = end_of(inside, '"');
            found.push((line, joined(&inside[..length])));
            (length + 2).min(rest.len())
        } else if let Some(inside) = rest.strip_prefix('\'') {
            // A letter, and no lifetime.
            let mut letters = inside.chars();
            match (letters.next(), letters.next()) {
                (Some('\\'), _) => (end_of(inside, '\'') + 2).min(rest.len()),
                (Some(letter), Some('\'')) => letter.len_utf8() + 2,
                _ => 1,
            }
        } else {
            first.len_utf8()
        };
        in_name = first.is_alphanumeric() || first == '_';
        // `br"…"` begins with a letter that is no name.
        in_name &= !(first == 'b' && rest[1..].starts_with('r'));
        line += rest[..taken].matches('\n').count();
        rest = &rest[taken..];
    }
    found
}

/// Where a mark stands that no backslash precedes.
fn end_of(inside: &str, mark: char) -> usize {
    let mut escaped = false;
    for (at, letter) in inside.char_indices() {
        if letter == mark && !escaped {
            return at;
        }
        escaped = letter == '\\' && !escaped;
    }
    inside.len()
}

/// A literal that goes on in the next line, as one.
fn joined(inside: &str) -> String {
    let mut pieces = inside.split("\\\n");
    let first = pieces.next().unwrap_or_default().to_owned();
    pieces.fold(first, |whole, piece| whole + piece.trim_start())
}
