//! What the program is built from: each crate, its licence and the licence's text, as `.ci/notices` makes
//! them; in lines short enough for a sheet.

use std::sync::OnceLock;

/// As they are made and shipped beside the program.
const NOTICES: &str = include_str!("../../../assets/notices.txt");

/// The longest line shown, signs: a licence's own lines are no longer.
const LONGEST: usize = 80;

/// The notices in lines, cut between words; made when first asked for.
pub(crate) fn lines() -> &'static [String] {
    static LINES: OnceLock<Vec<String>> = OnceLock::new();
    LINES.get_or_init(|| NOTICES.lines().flat_map(short).collect())
}

/// A line in pieces of no more than [`LONGEST`] signs, where its words are no longer.
fn short(line: &str) -> Vec<String> {
    if line.chars().count() <= LONGEST {
        return vec![line.to_owned()];
    }
    let mut pieces = vec![String::new()];
    for word in line.split(' ') {
        let Some(piece) = pieces.last_mut() else { break };
        if piece.is_empty() {
            piece.push_str(word);
        } else if piece.chars().count() + 1 + word.chars().count() <= LONGEST {
            piece.push(' ');
            piece.push_str(word);
        } else {
            pieces.push(word.to_owned());
        }
    }
    pieces
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_long_line_is_cut_between_words_and_loses_none() {
        let line = "word ".repeat(50) + &"x".repeat(100);
        let pieces = short(&line);
        assert!(pieces.iter().all(|piece| piece.len() <= LONGEST || !piece.contains(' ')));
        assert_eq!(pieces.join(" "), line);
        assert_eq!(short("  as it is"), ["  as it is"]);
    }

    /// The licences ask for it: each one's text goes with the program, and with the faces it embeds.
    #[test]
    fn every_kind_of_licence_is_told_with_its_text() {
        for words in [
            "Permission is hereby granted, free of charge",
            "TERMS AND CONDITIONS FOR USE, REPRODUCTION, AND DISTRIBUTION",
            "Redistribution and use in source and binary forms",
            "Bitstream Vera",
        ] {
            assert!(NOTICES.contains(words), "{words}");
        }
        assert!(lines().iter().any(|line| line.starts_with("egui ")));
    }
}
