//! Whose hand: when a name names nobody, and when two names are one hand.
//!
//! A name is what somebody typed; nothing here proves who did. It only keeps a blank, or the same name
//! written otherwise, from passing for a second person.

/// What stands in a fact where nobody gave a name.
pub const NOT_NAMED: &str = "not named";

/// Whether a fact's hand names nobody: blank, nothing but marks, or [`NOT_NAMED`].
#[must_use]
pub fn is_nobody(hand: &str) -> bool {
    let bare = bare(hand);
    bare.is_empty() || bare == self::bare(NOT_NAMED)
}

/// Whether two names are one hand: the same letters and digits, whatever their case and width, what
/// stands between them, and marks that are not seen. Cyrillic and Greek capitals that look like Latin
/// ones count as these.
#[must_use]
pub fn same_hand(one: &str, other: &str) -> bool {
    bare(one) == bare(other)
}

/// A name's letters and digits in lower case.
fn bare(hand: &str) -> String {
    let seen = without_numbers(hand);
    let upper = seen.chars().flat_map(char::to_uppercase);
    let plain = upper.map(|c| latin(narrow(c))).filter(|c| c.is_alphanumeric());
    plain.flat_map(char::to_lowercase).collect()
}

/// A name without the marks that [`shown`](crate::shown) has made visible as their numbers, `\u202e`.
fn without_numbers(hand: &str) -> String {
    let mut parts = hand.split("\\u");
    let mut kept = parts.next().unwrap_or_default().to_owned();
    for part in parts {
        let is_number = |digits: &str| digits.bytes().all(|byte| byte.is_ascii_hexdigit());
        match part.split_at_checked(4) {
            Some((digits, rest)) if is_number(digits) => kept.push_str(rest),
            _ => kept.push_str(part),
        }
    }
    kept
}

/// A full-width form as the character it is a form of (Unicode, block Halfwidth and Fullwidth Forms).
fn narrow(c: char) -> char {
    match u32::from(c) {
        code @ 0xFF01..=0xFF5E => char::from_u32(code - 0xFEE0).unwrap_or(c),
        _ => c,
    }
}

/// The Latin capital that a Cyrillic or Greek one is drawn as (from memory, after the table of
/// Unicode Technical Standard #39; capitals only).
const fn latin(c: char) -> char {
    match c {
        'А' | 'Α' => 'A',
        'В' | 'Β' => 'B',
        'С' => 'C',
        'Е' | 'Ε' => 'E',
        'Н' | 'Η' => 'H',
        'І' | 'Ι' => 'I',
        'Ј' => 'J',
        'К' | 'Κ' => 'K',
        'М' | 'Μ' => 'M',
        'Ν' => 'N',
        'О' | 'Ο' => 'O',
        'Р' | 'Ρ' => 'P',
        'Ѕ' => 'S',
        'Т' | 'Τ' => 'T',
        'Х' | 'Χ' => 'X',
        'У' | 'Υ' => 'Y',
        'Ζ' => 'Z',
        _ => c,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_hand_written_otherwise_is_one_hand() {
        for other in [
            "r. voss",
            "R.Voss",
            " R. VOSS ",
            "R.\u{a0}Voss",
            "R. \u{202e}Voss",
            "R. Vo\u{200b}ss",
            "Ｒ. Ｖｏｓｓ",
            "R. Vоss",
            "R. Voſſ",
            "R._Voss",
            "R. Voss\u{301}",
            "R. Voss\n",
            "R. Voss\\u202e\\u200b",
            "R.\\u000aVoss",
        ] {
            assert!(same_hand("R. Voss", other), "{other:?}");
        }
        assert!(same_hand("SH", "ЅН"));
        for other in ["R. Vos", "S. Voss", "", "R. Voss 2"] {
            assert!(!same_hand("R. Voss", other), "{other:?}");
        }
    }

    #[test]
    fn blanks_and_marks_name_nobody() {
        for hand in [
            "",
            "  ",
            "\u{200b}",
            "\u{202e}\t",
            "—",
            "…",
            NOT_NAMED,
            "Not  Named",
            "?",
            "\\u200b",
            " \\u202e\\u0009",
        ] {
            assert!(is_nobody(hand), "{hand:?}");
        }
        for hand in ["R. Voss", "7", "陳", "not named 2"] {
            assert!(!is_nobody(hand), "{hand:?}");
        }
    }
}
