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
        Kind::NotFound => "there is no such file or folder; check its name".to_owned(),
        Kind::PermissionDenied => "it may not be read or written here; ask for access".to_owned(),
        Kind::StorageFull | Kind::QuotaExceeded => "the disk is full; make room".to_owned(),
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
    one_line(&path.to_string_lossy()).into_owned()
}

/// Whether a character is shown as its number: control characters, the line feed among them, line and
/// paragraph separators, and the marks that change the reading direction (the `Bidi_Control` property
/// of the Unicode Character Database; UAX #9, section 2).
#[must_use]
pub fn is_hidden(c: char) -> bool {
    c.is_control()
        || matches!(
            c,
            '\u{2028}' | '\u{2029}'
                | '\u{061C}' | '\u{200E}' | '\u{200F}'
                | '\u{202A}'..='\u{202E}'
                | '\u{2066}'..='\u{2069}'
        )
}

fn visible(text: &str, hidden: impl Fn(char) -> bool + Copy) -> Cow<'_, str> {
    if !text.contains(hidden) {
        return Cow::Borrowed(text);
    }
    let mut shown = String::with_capacity(text.len() + 16);
    for c in text.chars() {
        if hidden(c) {
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

    #[test]
    fn what_could_mislead_is_shown_as_its_number() {
        assert_eq!(one_line("a\u{1b}[2J\u{9b}b"), "a\\u001b[2J\\u009bb");
        assert_eq!(one_line("x\u{2028}y\u{200f}z"), "x\\u2028y\\u200fz");
        assert_eq!(lines("a\nb\rc"), "a\nb\\u000dc");
        assert_eq!(path(Path::new("/shop/a\tb.samepoint")), "/shop/a\\u0009b.samepoint");
        // Words of any language, and what belongs to them, stay.
        assert_eq!(one_line("Δ′ − 機 é שלום"), "Δ′ − 機 é שלום");
    }
}
