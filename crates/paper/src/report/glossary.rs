//! The words of a report that its reader may not know, each with what it means.

use super::block::TextLook;
use super::flow::Flow;
use crate::glossary::meaning;
use crate::words::sentence;

/// Words that stand in every report.
const WORDS: [&str; 13] = [
    "as found, as left",
    "boresight",
    "closure error",
    "crossing point",
    "dipvergence",
    "divergence, convergence",
    "guard band",
    "offset circle",
    "round",
    "setting",
    "standard uncertainty",
    "undecided",
    "window use",
];

/// Adds them.
pub(super) fn add(flow: &mut Flow<'_>) {
    flow.heading("Words");
    told(&WORDS, flow);
}

/// Adds some words, each with what it means.
pub(super) fn told(words: &[&str], flow: &mut Flow<'_>) {
    for word in words {
        let means = meaning(word).unwrap_or_default();
        flow.paragraph(
            &sentence(&format!("{word}: {}", means.trim_end_matches('.'))),
            TextLook::QUIET,
        );
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_has_a_meaning() {
        assert!(WORDS.iter().all(|word| meaning(word).is_some()));
    }
}
