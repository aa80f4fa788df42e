//! Numbers as a hand typed them: the text is what is kept, its value is worked out from it.

use crate::decimal::{self, DecimalMark};
use crate::error::Error;

/// Longest text taken for a number; a cell never needs more.
const LONGEST: usize = 40;

/// A number as typed. Made only by [`Typed::parse`], so its value is always a finite number.
///
/// ```
/// use record::Typed;
/// let typed = Typed::parse(" −12,5 ")?;
/// assert_eq!(typed.text(), "−12,5");
/// assert_eq!(typed.value(), -12.5);
/// # Ok::<(), record::Error>(())
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct Typed {
    text: String,
    value: f64,
}

impl Typed {
    /// Keeps the text (without the spaces round it) and its value.
    ///
    /// # Errors
    /// [`Error::NumberMissing`] for an empty cell, [`Error::NotANumber`] for what is no finite number.
    pub fn parse(text: &str) -> Result<Self, Error> {
        let value = parse_number(text)?;
        Ok(Self { text: text.trim().to_owned(), value })
    }

    /// The same for what a hand types from a graticule or a ring: digits, a sign and a decimal mark. A
    /// letter in it is a slip of the hand, so no exponent is taken.
    ///
    /// ```
    /// use record::Typed;
    /// assert_eq!(Typed::by_hand("−2.5")?.value(), -2.5);
    /// assert!(Typed::by_hand("1e3").is_err() && Typed::by_hand("2O.5").is_err());
    /// # Ok::<(), record::Error>(())
    /// ```
    ///
    /// # Errors
    /// As [`parse`](Self::parse).
    pub fn by_hand(text: &str) -> Result<Self, Error> {
        let typed = Self::parse(text)?;
        if typed.text.contains(char::is_alphabetic) {
            return Err(Error::NotANumber { text: typed.text });
        }
        Ok(typed)
    }

    /// The text, as typed.
    #[must_use]
    pub fn text(&self) -> &str {
        &self.text
    }

    /// The text as it is shown: as typed, with a true minus sign.
    ///
    /// ```
    /// assert_eq!(record::Typed::parse("-3,5")?.shown(), "−3,5");
    /// # Ok::<(), record::Error>(())
    /// ```
    #[must_use]
    pub fn shown(&self) -> String {
        self.text.replace('-', "\u{2212}")
    }

    /// How many digits stand behind its decimal mark: how finely it was read.
    ///
    /// ```
    /// assert_eq!(record::Typed::parse("−12,50")?.decimals(), 2);
    /// assert_eq!(record::Typed::parse("7")?.decimals(), 0);
    /// # Ok::<(), record::Error>(())
    /// ```
    #[must_use]
    pub fn decimals(&self) -> usize {
        self.text
            .split_once(['.', ','])
            .map_or(0, |(_, digits)| digits.chars().take_while(char::is_ascii_digit).count())
    }

    /// Its value, finite.
    #[must_use]
    pub const fn value(&self) -> f64 {
        self.value
    }
}

/// Reads a typed number: spaces round it are dropped, U+2212 is a minus sign, and a single comma
/// is a decimal comma.
///
/// # Errors
/// [`Error::NumberMissing`] for an empty cell, [`Error::NotANumber`] for anything that is not one
/// finite number, so `nan`, `inf` and `1e999` too.
fn parse_number(text: &str) -> Result<f64, Error> {
    let trimmed = text.trim();
    if trimmed.is_empty() {
        return Err(Error::NumberMissing);
    }
    let refused = || Error::NotANumber { text: trimmed.chars().take(LONGEST).collect() };
    if trimmed.chars().count() > LONGEST {
        return Err(refused());
    }
    let mark = if trimmed.contains(',') { DecimalMark::Comma } else { DecimalMark::Point };
    decimal::number(trimmed, mark).map_err(|_| refused())
}

/// A sentence with a true minus sign before its numbers; hyphens between words stay.
pub(crate) fn with_true_minus(text: &str) -> String {
    let mut signed = String::with_capacity(text.len());
    let mut characters = text.chars().peekable();
    while let Some(character) = characters.next() {
        let before_digit = characters.peek().is_some_and(char::is_ascii_digit);
        signed.push(if character == '-' && before_digit { '\u{2212}' } else { character });
    }
    signed
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "tests fail by panicking")]
    use super::*;

    #[test]
    fn numbers_as_hands_type_them() {
        for (text, value) in [
            ("12", 12.0),
            (" -3.5\t", -3.5),
            ("\u{2212}3,5", -3.5),
            ("+0.25", 0.25),
            (".5", 0.5),
            ("5.", 5.0),
            ("1e2", 100.0),
            ("-0", 0.0),
        ] {
            assert_eq!(parse_number(text).unwrap(), value, "{text:?}");
        }
    }

    #[test]
    fn what_is_no_number_is_refused() {
        for text in [
            "NaN",
            "inf",
            "-infinity",
            "1e999",
            "1.2.3",
            "1,234.5",
            "1,2,3",
            "12′",
            "0x10",
            "--1",
            "1 2",
            "e",
            "１２",
            "1_000",
            &"1".repeat(41),
        ] {
            assert!(matches!(parse_number(text), Err(Error::NotANumber { .. })), "{text:?}");
        }
        assert!(matches!(parse_number("  "), Err(Error::NumberMissing)));
    }
}
