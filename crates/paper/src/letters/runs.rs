//! A line → runs that are set in one piece: of one face and one way of writing, in the order in which they are drawn.

use std::ops::Range;

use unicode_bidi::{BidiClass, BidiInfo, Level, bidi_class};

use super::faces::DrawnFace;

/// A piece of a line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct TextRun {
    /// Its bytes.
    pub(super) of: Range<usize>,
    pub(super) face: DrawnFace,
    pub(super) right_to_left: bool,
}

/// Whether a character is of a script that is written from right to left, if only a figure of it.
pub(super) fn is_of_right_to_left(character: char) -> bool {
    let is = |class| matches!(class, BidiClass::R | BidiClass::AL | BidiClass::AN);
    // Nothing before the Hebrew block is.
    character >= '\u{590}' && is(bidi_class(character))
}

/// The runs of a line from left to right (the Unicode bidirectional algorithm, UAX 9, in a line that itself runs from
/// left to right, so that figures stand as they are read). `face_of` says what a character is drawn from.
pub(super) fn runs(text: &str, face_of: impl Fn(char) -> DrawnFace) -> Vec<TextRun> {
    let whole = BidiInfo::new(text, Some(Level::ltr()));
    let mut runs = Vec::new();
    for paragraph in &whole.paragraphs {
        let (levels, pieces) = whole.visual_runs(paragraph, paragraph.range.clone());
        for piece in pieces {
            let right_to_left = levels.get(piece.start).is_some_and(Level::is_rtl);
            let mut inside = of_one_face(text, piece, right_to_left, &face_of);
            if right_to_left {
                inside.reverse();
            }
            runs.append(&mut inside);
        }
    }
    runs
}

/// The pieces of a run that are of one face each, in the order of the text.
fn of_one_face(
    text: &str,
    piece: Range<usize>,
    right_to_left: bool,
    face_of: impl Fn(char) -> DrawnFace,
) -> Vec<TextRun> {
    let mut runs: Vec<TextRun> = Vec::new();
    let start = piece.start;
    for (at, c) in text.get(piece).unwrap_or_default().char_indices() {
        let of = start + at..start + at + c.len_utf8();
        match runs.last_mut() {
            // A mark stays with the letter it stands on.
            Some(run) if bidi_class(c) == BidiClass::NSM || run.face == face_of(c) => {
                run.of.end = of.end;
            }
            _ => runs.push(TextRun { of, face: face_of(c), right_to_left }),
        }
    }
    runs
}

#[cfg(test)]
mod tests {
    use super::super::face::Face;
    use super::*;

    const LATIN: DrawnFace = DrawnFace::Own(Face::Plain);

    fn drawn(text: &str) -> Vec<(&str, bool)> {
        let face_of = |c| if is_of_right_to_left(c) { DrawnFace::RightToLeft } else { LATIN };
        let runs = runs(text, face_of);
        runs.iter().map(|run| (&text[run.of.clone()], run.right_to_left)).collect()
    }

    /// UAX 9: words from right to left in a line from left to right; a number between them is not turned round, and
    /// stands left of the word before it.
    #[test]
    fn figures_are_never_turned_round() {
        assert_eq!(drawn("unit 0147"), [("unit 0147", false)]);
        assert_eq!(
            drawn("\u{5d0}\u{5d1} 0147 x"),
            [("0147", false), (" ", true), ("\u{5d0}\u{5d1}", true), (" x", false)]
        );
        assert_eq!(drawn("x 12.3 \u{5d0}\u{5d1}"), [("x 12.3 ", false), ("\u{5d0}\u{5d1}", true)]);
        // Figures of the Arabic script run as others do.
        assert_eq!(drawn("\u{663}\u{664} 12"), [("\u{663}\u{664}", false), (" 12", false)]);
    }

    #[test]
    fn a_mark_stays_with_its_letter() {
        assert_eq!(drawn("\u{5d0}\u{5b8}\u{5d1}"), [("\u{5d0}\u{5b8}\u{5d1}", true)]);
        assert_eq!(drawn("e\u{301}"), [("e\u{301}", false)]);
    }
}
