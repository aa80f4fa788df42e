//! Texts and names from outside, made harmless to show.
//!
//! A file's name may hold a line feed, a command to the terminal or a mark that turns the reading
//! direction round, and so may a text in a file that somebody else wrote. Shown as they stand they
//! could break a message in two, move the cursor, or make one name look like another. Each such
//! character is shown as its number instead, `\u202e`, which JSON reads as the character itself.

use std::borrow::Cow;
use std::io;
use std::path::Path;

/// A text on one line, its marks visible.
///
/// ```
/// use record::shown::one_line;
/// assert_eq!(one_line("unit 0147"), "unit 0147");
/// assert_eq!(one_line("a\nb\u{202e}c"), "a\\u000ab\\u202ec");
/// ```
#[must_use]
pub fn one_line(text: &str) -> Cow<'_, str> {
    visible(text, is_hidden)
}

/// A text of several lines, its marks visible.
#[must_use]
pub fn lines(text: &str) -> Cow<'_, str> {
    visible(text, |c| is_hidden(c) && c != '\n')
}

/// How the end of a line is shown on one.
const LINE_END: &str = " ↵ ";

/// A hand's text on one line, its marks visible and the end of a line as `↵`.
///
/// ```
/// assert_eq!(record::shown::paragraphs("loose\r\nlock"), "loose ↵ lock");
/// ```
#[must_use]
pub fn paragraphs(text: &str) -> String {
    one_line(&text.replace("\r\n", "\n").replace('\n', LINE_END)).into_owned()
}

/// What [`paragraphs`] showed on one line, as the lines it was: for what a shop itself wants printed.
///
/// ```
/// let shown = record::shown::paragraphs("1 Quay\nHarbour");
/// assert_eq!(record::shown::in_lines(&shown), "1 Quay\nHarbour");
/// ```
#[must_use]
pub fn in_lines(shown: &str) -> String {
    shown.replace(LINE_END, "\n")
}

/// Whether a text is shown otherwise than it stands.
#[must_use]
pub fn is_changed(text: &str) -> bool {
    !text.is_ascii() && has_stack(text) || text.contains(is_hidden)
}

/// The start of a text for a place that holds no more than so many letters, `…` where more follow.
///
/// ```
/// assert_eq!(record::shown::short("Bench 4", 5), "Benc…");
/// ```
#[must_use]
pub fn short(text: &str, most: usize) -> Cow<'_, str> {
    if text.chars().nth(most).is_none() {
        return Cow::Borrowed(text);
    }
    let mut start: String = text.chars().take(most.saturating_sub(1)).collect();
    start.push('…');
    Cow::Owned(start)
}

/// What the system refuses, in words a hand can act on, without the system's numbers.
///
/// ```
/// let gone = std::io::Error::from_raw_os_error(2);
/// assert!(!record::shown::system(&gone).contains("os error"));
/// ```
#[must_use]
pub fn system(why: &io::Error) -> String {
    use io::ErrorKind as Kind;
    let ours = why.raw_os_error().is_none();
    match why.kind() {
        // The project's own refusals say what to do themselves.
        _ if ours => why.to_string(),
        // `ERROR_SHARING_VIOLATION`, `ERROR_LOCK_VIOLATION`.
        _ if cfg!(windows) && matches!(why.raw_os_error(), Some(32 | 33)) => {
            "another program has it open; close it there".to_owned()
        }
        Kind::NotFound => "there is no such file or folder; check its name".to_owned(),
        Kind::PermissionDenied => "it may not be read or written here; ask for access".to_owned(),
        Kind::StorageFull | Kind::QuotaExceeded => "the disk is full; make room".to_owned(),
        Kind::FileTooLarge => "the system lets no file grow that large here (a file-size limit); \
            continue in a new file, or have the limit raised"
            .to_owned(),
        Kind::ReadOnlyFilesystem => {
            "this disk can be read and not written; choose another folder".to_owned()
        }
        _ => {
            let said = why.to_string();
            said.split(" (os error ").next().unwrap_or_default().to_owned()
        }
    }
}

/// The name of a file or folder on one line, its marks visible.
#[must_use]
pub fn path(path: &Path) -> String {
    let words = path.to_string_lossy();
    one_line(&if cfg!(windows) { as_typed(words) } else { words }).into_owned()
}

/// A path as a hand would type it: Windows tells whole paths in a form of its own, `\\?\C:\shop` and
/// `\\?\UNC\server\shop`.
fn as_typed(words: Cow<'_, str>) -> Cow<'_, str> {
    if let Some(rest) = words.strip_prefix(r"\\?\UNC\") {
        return Cow::Owned(format!(r"\\{rest}"));
    }
    match words.strip_prefix(r"\\?\") {
        Some(rest) if rest.as_bytes().get(1) == Some(&b':') => Cow::Owned(rest.to_owned()),
        _ => words,
    }
}

/// Whether a character is shown as its number: control characters, the line feed among them, line and
/// paragraph separators, the marks that change the reading direction (the `Bidi_Control` property of
/// the Unicode Character Database; UAX #9, section 2), and those that are nothing to be seen, so that
/// two texts would look alike (`Default_Ignorable_Code_Point`, UAX #44, and the marks of interlinear
/// notes; from memory).
#[must_use]
pub fn is_hidden(c: char) -> bool {
    c.is_control()
        || matches!(
            c,
            '\u{00AD}' | '\u{034F}' | '\u{061C}' | '\u{115F}' | '\u{1160}' | '\u{3164}'
                | '\u{17B4}' | '\u{17B5}'
                | '\u{180B}'..='\u{180F}'
                | '\u{200B}'..='\u{200F}'
                | '\u{2028}'..='\u{202E}'
                | '\u{2060}'..='\u{206F}'
                | '\u{FE00}'..='\u{FE0F}'
                | '\u{FEFF}' | '\u{FFA0}'
                | '\u{FFF0}'..='\u{FFFB}'
                | '\u{1BCA0}'..='\u{1BCA3}'
                | '\u{1D173}'..='\u{1D17A}'
                | '\u{E0000}'..='\u{E0FFF}'
        )
}

/// More marks than this on one letter are a stack that covers the lines around it.
const MOST_MARKS: usize = 3;

/// Whether a character goes over or under the letter before it: the blocks of combining marks that
/// belong to no script (Unicode 16, from memory). Scripts pile up no more than two.
const fn is_mark(c: char) -> bool {
    matches!(
        c,
        '\u{0300}'..='\u{036F}'
            | '\u{0483}'..='\u{0489}'
            | '\u{1AB0}'..='\u{1AFF}'
            | '\u{1DC0}'..='\u{1DFF}'
            | '\u{20D0}'..='\u{20FF}'
            | '\u{FE20}'..='\u{FE2F}'
    )
}

/// Whether a letter carries more marks than are shown on it.
fn has_stack(text: &str) -> bool {
    let mut marks = 0;
    text.chars().any(|c| {
        marks = if is_mark(c) { marks + 1 } else { 0 };
        marks > MOST_MARKS
    })
}

fn visible(text: &str, hidden: impl Fn(char) -> bool + Copy) -> Cow<'_, str> {
    if !text.contains(hidden) && (text.is_ascii() || !has_stack(text)) {
        return Cow::Borrowed(text);
    }
    let mut shown = String::with_capacity(text.len() + 16);
    let mut marks = 0;
    for c in text.chars() {
        marks = if is_mark(c) { marks + 1 } else { 0 };
        if hidden(c) || marks > MOST_MARKS {
            shown.push_str(&format!("\\u{:04x}", u32::from(c)));
        } else {
            shown.push(c);
        }
    }
    Cow::Owned(shown)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The forms are those of "Naming Files, Paths, and Namespaces" (Windows documentation).
    #[test]
    fn a_whole_path_of_windows_is_shown_as_it_is_typed() {
        for (told, typed) in [
            (r"\\?\C:\shop\a", r"C:\shop\a"),
            (r"\\?\UNC\server\shop", r"\\server\shop"),
            (r"\\?\Volume{1}\a", r"\\?\Volume{1}\a"),
            (r"\\server\shop", r"\\server\shop"),
            (r"C:\shop", r"C:\shop"),
        ] {
            assert_eq!(as_typed(Cow::Borrowed(told)), typed);
        }
    }

    #[test]
    fn what_could_mislead_is_shown_as_its_number() {
        for text in ["", "unit 0147", "é", "a\nb", "a\u{200d}", &"\u{0301}".repeat(9)] {
            assert_eq!(is_changed(text), one_line(text) != text, "{text:?}");
        }
        assert_eq!(one_line("a\u{1b}[2J\u{9b}b"), "a\\u001b[2J\\u009bb");
        assert_eq!(one_line("x\u{2028}y\u{200f}z"), "x\\u2028y\\u200fz");
        assert_eq!(lines("a\nb\rc"), "a\nb\\u000dc");
        assert_eq!(path(Path::new("/shop/a\tb.samepoint")), "/shop/a\\u0009b.samepoint");
        assert_eq!(one_line("S\u{200b}H\u{e0041}"), "S\\u200bH\\ue0041");
        let stack = format!("a{}", "\u{0301}".repeat(5));
        assert_eq!(one_line(&stack), "a\u{0301}\u{0301}\u{0301}\\u0301\\u0301");
        // Words of any language, and what belongs to them, stay.
        assert_eq!(one_line("Δ′ − 機 é שלום ệ"), "Δ′ − 機 é שלום ệ");
    }
}
