//! Words → lines that fit. A word too long for a line goes on in the next; only what no hand wrote, a
//! text of more than [`LONGEST_TEXT`] letters, is told short, and that is said.

use std::borrow::Cow;

use crate::letters::{Face, Glyph, Letters, is_figure};
use crate::words::counted_s;

/// Widths are sums of single words': shaping across a blank may differ by less than this.
const SLACK_PT: f64 = 0.01;

/// The longest text told whole, letters: four pages of it. A hand types no more than a fifth of that
/// into a field; a file that somebody made may hold a megabyte in one.
const LONGEST_TEXT: usize = 20_000;

/// No line holds more letters than this.
pub(super) const LINE_LETTERS: usize = 1000;

/// Bytes of what may be one line.
const SURELY_SHORT: usize = 200;

/// The part of a line's width that words have to stay within to be surely one line, however blanks are set.
const SURELY_ROOM: f64 = 0.9;

/// A text as it is told.
fn told(text: &str) -> Cow<'_, str> {
    match text.char_indices().nth(LONGEST_TEXT) {
        None => Cow::Borrowed(text),
        Some((end, _)) => {
            let (shown, rest) = text.split_at(end);
            let more = rest.chars().count();
            let more = counted_s(more, "more letter");
            Cow::Owned(format!("{shown}… ({more} in the session’s file)"))
        }
    }
}

/// Whether a text is one line as it stands, so that nothing of it need be looked at word by word: of plain signs,
/// one blank between words, and with room to spare where a face may set two words closer than one by one.
pub(super) fn is_one_line(
    letters: &Letters,
    text: &str,
    face: Face,
    size_pt: f64,
    width_pt: f64,
) -> bool {
    let plain = |c: char| c.is_ascii_graphic() || c == ' ' || is_figure(c);
    let blanks = || text.starts_with(' ') || text.ends_with(' ') || text.contains("  ");
    if text.len() > SURELY_SHORT || !text.chars().all(plain) || blanks() {
        return false;
    }
    let room_pt =
        if letters.are_figures(text, face) { width_pt + SLACK_PT } else { width_pt * SURELY_ROOM };
    letters.width_pt(text, face, size_pt) <= room_pt
}

/// Breaks a text into lines no wider than `width_pt`, at blanks where it can. Its own line breaks
/// stay; what else is no letter is shown as its number. An empty text is one empty line.
pub(crate) fn lines(
    letters: &Letters,
    text: &str,
    face: Face,
    size_pt: f64,
    width_pt: f64,
) -> Vec<String> {
    let ended = ended_lines(letters, text, face, size_pt, width_pt);
    ended.into_iter().map(|line| line.text).collect()
}

/// A line, and whether a word ends with it.
pub(super) struct Ended {
    pub(super) text: String,
    pub(super) ends_word: bool,
}

impl Ended {
    const fn whole(text: String) -> Self {
        Self { text, ends_word: true }
    }
}

/// The same, each with whether a word ends with it.
pub(super) fn ended_lines(
    letters: &Letters,
    text: &str,
    face: Face,
    size_pt: f64,
    width_pt: f64,
) -> Vec<Ended> {
    let text = told(text);
    let text = letters.told(&text);
    let blank_pt = letters.width_pt(" ", face, size_pt);
    let mut lines = Vec::new();
    for paragraph in text.lines() {
        let plain = record::shown::one_line(paragraph);
        let mut line = String::new();
        let mut used_pt = 0.0;
        for word in record::figures::unbroken(&plain) {
            let word_pt = letters.width_pt(word, face, size_pt);
            if !line.is_empty() && used_pt + blank_pt + word_pt <= width_pt + SLACK_PT {
                line.push(' ');
                line.push_str(word);
                used_pt += blank_pt + word_pt;
                continue;
            }
            if !line.is_empty() {
                lines.push(Ended::whole(std::mem::take(&mut line)));
            }
            if word_pt <= width_pt + SLACK_PT {
                line.push_str(word);
                used_pt = word_pt;
            } else {
                (line, used_pt) = broken(letters, word, face, size_pt, width_pt, &mut lines);
            }
        }
        lines.push(Ended::whole(line));
    }
    if lines.is_empty() {
        lines.push(Ended::whole(String::new()));
    }
    lines
}

/// A word over several lines; hands back its last piece and how wide that is.
fn broken(
    letters: &Letters,
    word: &str,
    face: Face,
    size_pt: f64,
    width_pt: f64,
    lines: &mut Vec<Ended>,
) -> (String, f64) {
    let set = letters.set(word, face);
    let mut glyphs: Vec<&Glyph> = set.glyphs.iter().collect();
    // In the order of reading, which may not be that of drawing.
    glyphs.sort_by_key(|glyph| glyph.of.start);
    let mut piece = String::new();
    let mut used_pt = 0.0;
    for letter in glyphs.chunk_by(|one, next| one.of == next.of) {
        let letter_pt = letter.iter().map(|glyph| glyph.advance_em).sum::<f64>() * size_pt;
        if used_pt + letter_pt > width_pt && !piece.is_empty() {
            lines.push(Ended { text: std::mem::take(&mut piece), ends_word: false });
            used_pt = 0.0;
        }
        let of = letter.first().and_then(|glyph| word.get(glyph.of.clone()));
        piece.push_str(of.unwrap_or_default());
        used_pt += letter_pt;
    }
    (piece, used_pt)
}

/// How wide the widest of a text's words is.
pub(super) fn widest_word_pt(letters: &Letters, text: &str, face: Face, size_pt: f64) -> f64 {
    let words = record::figures::unbroken(text).into_iter();
    words.map(|word| letters.width_pt(word, face, size_pt)).fold(0.0, f64::max)
}

/// A text in one line, told short where it must be: a head or foot stands in full on the first page.
pub(crate) fn shortened(
    letters: &Letters,
    text: &str,
    face: Face,
    size_pt: f64,
    width_pt: f64,
) -> String {
    // The rest need not be measured.
    let start: String = text.chars().take(LINE_LETTERS).collect();
    let plain = letters.told(&record::shown::one_line(&start)).into_owned();
    if letters.width_pt(&plain, face, size_pt) <= width_pt {
        return plain;
    }
    let mut kept = String::new();
    let mut used_pt = letters.width_pt("…", face, size_pt);
    for c in plain.chars() {
        used_pt += letters.width_pt(c.encode_utf8(&mut [0; 4]), face, size_pt);
        if used_pt > width_pt {
            break;
        }
        kept.push(c);
    }
    kept + "…"
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(text: &str, width_pt: f64) -> Vec<String> {
        let letters = Letters::load();
        let lines = lines(&letters, text, Face::Plain, 10.0, width_pt);
        for line in &lines {
            let wide = letters.width_pt(line, Face::Plain, 10.0);
            assert!(wide <= width_pt + 0.5, "{line:?} is {wide} pt wide");
        }
        // Nothing is lost.
        let kept = |text: &str| text.chars().filter(|c| !c.is_whitespace()).collect::<String>();
        assert_eq!(kept(&lines.concat()), kept(text));
        lines
    }

    #[test]
    fn words_stay_whole_where_they_fit() {
        let lines = check("the quick brown fox jumps over the lazy dog", 100.0);
        assert!(lines.len() > 1 && lines.iter().all(|line| !line.starts_with(' ')), "{lines:?}");
        assert_eq!(check("one\n\ntwo", 200.0), ["one", "", "two"]);
        assert_eq!(check("", 200.0), [""]);
    }

    /// What is called one line is what comes of breaking it.
    #[test]
    fn one_line_is_what_breaking_gives() {
        let letters = Letters::load();
        let texts = [
            "",
            "R − L",
            "L log",
            " a",
            "a ",
            "a  b",
            "a\tb",
            "a\nb",
            "12.30, −4.50",
            "−12.3, 45.6",
            "é",
            "WWWW iiii WWWW",
            "12 345 678",
            "\u{202e}a",
            "日本",
            "…",
        ];
        let mut seen = [0, 0];
        for text in texts {
            for face in [Face::Plain, Face::Mono] {
                for width_pt in [1.0, 20.0, 41.0, 43.0, 60.0, 80.0, 120.0] {
                    let one = is_one_line(&letters, text, face, 7.2, width_pt);
                    if one {
                        assert_eq!(
                            lines(&letters, text, face, 7.2, width_pt),
                            [text],
                            "{width_pt}"
                        );
                    }
                    seen[usize::from(one)] += 1;
                }
            }
        }
        assert!(seen.iter().all(|&count| count > 30), "{seen:?}");
    }

    #[test]
    fn an_endless_text_is_told_short_and_that_is_said() {
        let most = "ab ".repeat(LONGEST_TEXT / 3) + "ab";
        assert_eq!(most.chars().count(), LONGEST_TEXT);
        check(&most, 500.0);
        let letters = Letters::load();
        let more = format!("{most} and more");
        let told = lines(&letters, &more, Face::Plain, 10.0, 500.0).join(" ");
        assert!(told.ends_with("… (9 more letters in the session’s file)"), "{told}");
    }

    #[test]
    fn a_long_word_goes_on_in_the_next_line() {
        let lines = check(&format!("serial {}", "WXYZ".repeat(40)), 120.0);
        assert!(lines.len() > 8, "{lines:?}");
    }
}
