//! A number as a hand or a spreadsheet writes it.

/// What stands between the whole part and the decimals.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DecimalMark {
    /// `12.5`
    Point,
    /// `12,5`
    Comma,
}

/// Why a text is not a number.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum NumberError {
    /// Not written as a number.
    #[error("is not a number; write it like −12.5")]
    NotANumber,
    /// A decimal point among decimal commas, where it could as well part the thousands.
    #[error("has a decimal point where this file writes decimal commas; write it like −12,5")]
    PointAmongCommas,
    /// A decimal comma among decimal points.
    #[error("has a decimal comma; write it like −12.5")]
    CommaAmongPoints,
    /// NaN, an infinity, or digits beyond what a number can hold.
    #[error("is not a finite number; write the value that was read")]
    NotFinite,
}

/// Reads a finite number: a sign (`+`, `-` or U+2212), digits with at most one decimal mark, and an
/// exponent if need be. Nothing else: no blanks, no thousands marks, no names of infinities.
///
/// # Errors
/// What is wrong with the text, as [`NumberError`].
///
/// ```
/// use record::import_csv::{DecimalMark, NumberError, number};
/// assert_eq!(number("−12.5", DecimalMark::Point), Ok(-12.5));
/// assert_eq!(number("12,5", DecimalMark::Comma), Ok(12.5));
/// assert_eq!(number("1e999", DecimalMark::Point), Err(NumberError::NotFinite));
/// ```
pub fn number(text: &str, mark: DecimalMark) -> Result<f64, NumberError> {
    let (sign, digits) = match text.strip_prefix(['-', '\u{2212}']) {
        Some(rest) => (-1.0, rest),
        None => (1.0, text.strip_prefix('+').unwrap_or(text)),
    };
    if matches!(digits.to_ascii_lowercase().as_str(), "nan" | "inf" | "infinity") {
        return Err(NumberError::NotFinite);
    }
    // A second sign would get past the parser of the language, and so would "infinity".
    if !digits.starts_with(|first: char| first.is_ascii_digit() || matches!(first, '.' | ',')) {
        return Err(NumberError::NotANumber);
    }
    let plain = match mark {
        DecimalMark::Point if digits.contains(',') => return Err(NumberError::CommaAmongPoints),
        DecimalMark::Comma if digits.contains('.') => return Err(NumberError::PointAmongCommas),
        DecimalMark::Point => digits.to_owned(),
        DecimalMark::Comma => digits.replacen(',', ".", 1),
    };
    // An exponent may carry a true minus sign as well.
    let value: f64 = plain.replace('\u{2212}', "-").parse().map_err(|_| NumberError::NotANumber)?;
    if value.is_finite() { Ok(sign * value) } else { Err(NumberError::NotFinite) }
}
