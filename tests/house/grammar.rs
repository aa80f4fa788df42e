//! What a second language would begin with: which form a number asks for is decided in one place, and what works
//! things out says nothing, but for the files that are named here.

use std::collections::BTreeSet;

use crate::sentences::{literals, without_what_is_put_in};
use crate::tree::sources;

/// Where forms are chosen.
const HOME: &str = "crates/solver/src/words.rs";

/// A text that a choice between one and many gives, as it stands in a source.
const CHOICES: [&str; 5] = ["== 1 { \"", "> 1 { \"", "!= 1 { \"", " 1 => \"", " 1 => format!(\""];

/// Choices that are about something else than a number of things: file names, what a field shows as an example, the
/// place in a row, spaces, and a sentence of its own for what cannot be told of one unit.
const NOT_GRAMMAR: [&str; 6] = [
    "crates/record/src/shop/locks.rs",
    "crates/record/src/shop/survey/locks.rs",
    "crates/record/src/studies/plan.rs",
    "crates/samepoint/src/cli/sentences.rs",
    "crates/samepoint/src/own_shop/begin.rs",
    "crates/samepoint/src/sheets/of_shop.rs",
];

#[test]
fn forms_are_chosen_in_one_place() {
    let mut choosing = BTreeSet::new();
    for source in sources("crates") {
        if !source.path.contains("/src/") || source.path == HOME {
            continue;
        }
        let shipped = source.text.split("#[cfg(test)]\nmod ").next().unwrap_or_default();
        let code = shipped.split_whitespace().collect::<Vec<_>>().join(" ");
        if CHOICES.iter().any(|choice| code.contains(choice)) {
            choosing.insert(source.path);
        }
    }
    let known: BTreeSet<String> = NOT_GRAMMAR.iter().map(|path| (*path).to_owned()).collect();
    assert_eq!(choosing, known, "`words::form_for` knows which form goes with a number");
}

/// So many words make a sentence; what is put in counts none.
const SENTENCE_WORDS: usize = 5;

/// Folders in which things are worked out, read, kept or drawn, and those of their files that say something: what is
/// wrong, why, or what was found.
const LOGIC: [(&str, &[&str]); 9] = [
    (
        "crates/solver/src",
        &[
            "decision",
            "diagnostic",
            "ellipse",
            "error",
            "far_point",
            "global_risk",
            "monte_carlo",
            "optics",
            "published/crossings",
            "published/decisions",
            "published/fits",
            "published/statistics",
            "published/units",
            "relative/certainty",
            "relative/mod",
            "remedy/clock_face",
            "remedy/rank",
            "remedy/shim",
            "remedy/words",
            "shelf/columns",
            "shelf/offsets",
            "shelf/plan",
            "simulate",
            "source_split",
            "stats/agreement",
            "stats/compare",
            "stats/consensus",
            "stats/proportion",
            "stats/sample",
            "stats/trend",
            "swing",
            "upkeep/calibration",
            "upkeep/check_standard",
            "upkeep/gauge_study",
            "upkeep/station_map/found",
            "upkeep/station_map/gap",
        ],
    ),
    ("crates/reader/src", &["camera/error", "graticule", "refusal"]),
    ("crates/record/src/fact", &["camera", "day", "mark", "work"]),
    ("crates/record/src/fold", &["anew", "day", "remark", "signature"]),
    (
        "crates/record/src/file",
        &[
            "damage",
            "disk",
            "fact_file",
            "first_line",
            "names",
            "open",
            "plain",
            "salvage",
            "scan",
            "unread",
            "v1/mod",
            "v2/mod",
            "writer",
        ],
    ),
    ("crates/record/src/journal", &["wire"]),
    ("crates/samepoint/src/frames", &["command", "program", "refusal"]),
    ("crates/samepoint/src/plot", &["field_plot", "measuring"]),
    ("crates/samepoint/src/theme", &["palettes"]),
];

#[test]
fn logic_says_nothing_but_where_it_is_listed() {
    for (folder, say) in LOGIC {
        let mut saying = BTreeSet::new();
        for source in sources(folder) {
            let shipped = source.text.split("#[cfg(test)]\nmod ").next().unwrap_or_default();
            let lines: Vec<&str> = shipped.lines().collect();
            let spoken = literals(shipped).into_iter().any(|(line, text)| {
                let lint = lines.get(line - 1).is_some_and(|line| line.contains("reason = "));
                !lint && words(&text) >= SENTENCE_WORDS
            });
            if spoken {
                saying.insert(source.path[folder.len() + 1..].trim_end_matches(".rs").to_owned());
            }
        }
        let known: BTreeSet<String> = say.iter().map(|file| (*file).to_owned()).collect();
        assert_eq!(
            saying, known,
            "{folder}: a sentence stands on its type, in one of the files that say something"
        );
    }
}

fn words(text: &str) -> usize {
    let text = without_what_is_put_in(text).replace("\\n", " ");
    let letters = |c: char| !(c.is_alphabetic() || c == '’' || c == '\'');
    text.split(letters).filter(|word| word.contains(char::is_alphabetic)).count()
}
