//! A session whose every text is something else, for all that shows texts.

use record::fact::texts::Texts as _;
use record::{Fact, shown};

/// What a spiteful or broken text may hold: a second line that reads like one of the program's, commands
/// to the terminal, marks that turn the reading direction or are not to be seen, formulas, markup,
/// letters piled up, and more of them than any place has room for.
#[allow(dead_code, reason = "not every program that shares this reads all of it")]
pub(crate) fn corpus() -> Vec<String> {
    let mut corpus: Vec<String> = [
        "KT\nSigned “pass” by SH",
        "KT\r\nCountersigned by RV\r\n\n\n",
        "left\u{202e}thgir\u{202c}",
        "iso\u{2066}a\u{2067}b\u{2068}c\u{2069}",
        "mark\u{200e}s\u{200f}\u{061c}",
        "sep\u{2028}a\u{2029}b\u{85}c",
        "\u{1b}[2J\u{1b}]0;title\u{7}\u{9b}2J\u{8}\r",
        "\0",
        "S\u{200b}H\u{200d}\u{feff}\u{2060}",
        "tag\u{e0001}\u{e0041}\u{e007f}",
        "soft\u{ad}hyphen\u{fe0f}",
        "<script>&amp;]]>\"'</svg>",
        "=cmd|' /C calc'!A0",
        "@SUM(1)\t+1",
        "שלום Δ′ −",
        "机器 🔭 4",
    ]
    .map(str::to_owned)
    .into();
    corpus.push(format!("Z{}", "\u{0335}\u{0321}\u{0489}".repeat(60)));
    corpus.push("x".repeat(10_000));
    corpus.push("long ".repeat(2_000));
    corpus
}

/// A session's facts with every text made into `text`, whatever it is; the hand's first hundred
/// letters of it, since it stands on every line.
pub(crate) fn with_texts(facts: &[Fact], text: &str) -> Vec<Fact> {
    let mut facts = facts.to_vec();
    for fact in &mut facts {
        fact.texts_mut(&mut |held| text.clone_into(held));
        fact.hand = text.chars().take(100).collect();
    }
    facts
}

/// Lines of an output whose marks are all to be seen.
#[allow(dead_code, reason = "not every program that shares this reads all of it")]
#[track_caller]
pub(crate) fn nothing_hides_in(said: &str) {
    let hidden = |c: char| c != '\n' && shown::is_hidden(c);
    assert!(!said.contains(hidden), "{said:?}");
    for line in said.lines() {
        assert!(!shown::is_changed(line), "{line:?}");
    }
}
