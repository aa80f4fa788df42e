//! Names that every system takes: a shop lies on a drive that Windows and others share.

use std::ffi::OsStr;
use std::io;
use std::path::Path;

use crate::shown;

/// What may stand in no name: "Naming Files, Paths, and Namespaces" of the Windows documentation. A colon would
/// even be taken, and what is written then lies where no folder shows it.
const FORBIDDEN: &str = r#"/\:*?"<>|"#;

/// What Windows calls its devices, in whatever case and whatever follows behind a full stop. Digits behind the last
/// two; the raised ones count too.
const DEVICES: [&str; 6] = ["CON", "PRN", "AUX", "NUL", "CONIN$", "CONOUT$"];
const NUMBERED: [&str; 2] = ["COM", "LPT"];
const NUMBERS: &str = "0123456789\u{b9}\u{b2}\u{b3}";

/// The longest stem, bytes: what is common leaves 255 for a name with its extension, the number of a
/// namesake, and the lock's and the torn end's additions.
const LONGEST_STEM: usize = 160;

/// Why a name is none everywhere.
#[derive(Debug, thiserror::Error)]
enum NotEverywhere {
    #[error("“{}” may stand in no file's name on Windows; {MEND}", shown::one_line(&.0.to_string()))]
    Letter(char),
    #[error("Windows drops a full stop or a space at the end of a name; {MEND}")]
    Ending,
    #[error("Windows keeps “{}” for a device; {MEND}", shown::one_line(.0))]
    Device(String),
}

const MEND: &str = "choose a name that every computer of the shop can open";

/// Refuses the name of a new file or folder, the last part of a path, where some system would not take it or would
/// put what is written somewhere else.
///
/// # Errors
/// `InvalidFilename` with why; what is there already can be opened all the same.
pub fn taken_everywhere(path: &Path) -> io::Result<()> {
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    let why = if let Some(letter) = name.chars().find(|c| *c < ' ' || FORBIDDEN.contains(*c)) {
        NotEverywhere::Letter(letter)
    } else if name.ends_with(['.', ' ']) {
        NotEverywhere::Ending
    } else if is_device(&name) {
        NotEverywhere::Device(name.into_owned())
    } else {
        return Ok(());
    };
    Err(io::Error::new(io::ErrorKind::InvalidFilename, why))
}

/// The same on Windows alone: where a hand puts what no shop needs, its own system's names do.
///
/// # Errors
/// As [`taken_everywhere`].
pub fn taken_here(path: &Path) -> io::Result<()> {
    if cfg!(windows) { taken_everywhere(path) } else { Ok(()) }
}

/// Whether Windows takes a name for a device's.
fn is_device(name: &str) -> bool {
    let bare = name.split('.').next().unwrap_or_default().trim_end().to_uppercase();
    let numbered = |device: &str| {
        let number = bare.strip_prefix(device).unwrap_or_default();
        let mut signs = number.chars();
        signs.next().is_some_and(|sign| NUMBERS.contains(sign)) && signs.next().is_none()
    };
    DEVICES.contains(&bare.as_str()) || NUMBERED.iter().any(|device| numbered(device))
}

/// A text as part of a file's name that every system takes: no separators, no control characters, nothing that
/// turns the reading direction, not hidden, not endless.
pub(crate) fn safe_part(text: &str) -> String {
    let mut kept = String::new();
    for c in text.chars().take(80) {
        let c = if shown::is_hidden(c) || FORBIDDEN.contains(c) { '-' } else { c };
        if kept.len() + c.len_utf8() > LONGEST_STEM {
            break;
        }
        kept.push(c);
    }
    let trimmed = kept.trim_matches(|c: char| c == '.' || c.is_whitespace());
    if trimmed.is_empty() { "unnamed".to_owned() } else { trimmed.to_owned() }
}

/// A text as a file's name without its extension: the same, and no device's.
pub(crate) fn safe_stem(text: &str) -> String {
    let stem = safe_part(text);
    if !is_device(&stem) {
        return stem;
    }
    let (device, rest) = stem.split_at(stem.find('.').unwrap_or(stem.len()));
    format!("{}-{rest}", device.trim_end())
}

/// Whether two names are one where large and small letters are not told apart.
pub(crate) fn same_somewhere(a: &OsStr, b: &OsStr) -> bool {
    a == b || a.to_string_lossy().to_lowercase() == b.to_string_lossy().to_lowercase()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The device names are those of "Naming Files, Paths, and Namespaces" (Windows documentation), whose own
    /// examples are `NUL.txt` and `NUL.tar.gz`; `CONIN$` and `CONOUT$` are those of "Console Handles".
    #[test]
    fn what_windows_keeps_for_itself_is_told() {
        for device in [
            "CON",
            "con",
            "PRN",
            "AUX",
            "NUL",
            "COM1",
            "com9",
            "LPT1",
            "LPT9",
            "COM\u{b9}",
            "COM\u{b2}",
            "LPT\u{b3}",
            "NUL.txt",
            "NUL.tar.gz",
            "nul .txt",
            "CONIN$",
            "conout$",
        ] {
            assert!(is_device(device), "{device}");
            let safe = safe_stem(device);
            assert!(!is_device(&safe) && !is_device(&format!("{safe}.ron")), "{device}: {safe}");
        }
        for other in ["CONE", "COM", "COM10", "LPT", "A CON", "CON-", "2026-11-25 CON", "NULL", ""]
        {
            assert!(!is_device(other), "{other}");
        }
        assert_eq!((safe_stem("CON"), safe_stem("nul.x")), ("CON-".into(), "nul-.x".into()));
    }

    /// Of the same document: the reserved letters, and that names do not end with a space or a full stop.
    #[test]
    fn a_new_name_is_taken_everywhere_or_refused_with_why() {
        let refused = |name: &str| {
            taken_everywhere(&Path::new("/shop").join(name)).map_err(|why| {
                assert_eq!(why.kind(), io::ErrorKind::InvalidFilename);
                why.to_string()
            })
        };
        for good in ["0147.samepoint", "a b (2).pdf", "機.pdf", "CON-.ron", ".hidden", "a..b"] {
            assert!(refused(good).is_ok(), "{good}");
        }
        for (bad, evidence) in [
            ("unit:5.pdf", "“:”"),
            ("a*.pdf", "“*”"),
            ("what?.pdf", "“?”"),
            ("a\"b", "“\"”"),
            ("<a>", "“<”"),
            ("a|b", "“|”"),
            ("a\nb", "\\u000a"),
            ("a.", "full stop"),
            ("a ", "full stop"),
            ("aux.pdf", "“aux.pdf”"),
            ("COM3", "“COM3”"),
        ] {
            let told = refused(bad).err().unwrap_or_default();
            assert!(told.contains(evidence) && told.contains("Windows"), "{bad}: {told}");
        }
    }

    #[test]
    fn a_name_from_words_is_never_hidden_and_never_ends_otherwise() {
        for (words, name) in [
            (". .x", "x"),
            ("a. .", "a"),
            (" .", "unnamed"),
            ("..", "unnamed"),
            ("a\\b/c", "a-b-c"),
            ("C:\\shop", "C--shop"),
            ("\\\\server\\share", "--server-share"),
        ] {
            assert_eq!(safe_stem(words), name);
            assert!(taken_everywhere(Path::new(&format!("{name}.ron"))).is_ok());
        }
        assert!(same_somewhere(OsStr::new("Änne.ron"), OsStr::new("änne.RON")));
        assert!(!same_somewhere(OsStr::new("a.ron"), OsStr::new("b.ron")));
    }
}
