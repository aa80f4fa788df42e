//! Words that every crate says alike: how many of something, which way round, one thing after another.
//!
//! Words of a thing stand on its type; what stands here belongs to none.

use core::fmt;

/// Which way a ring is turned to greater angles, as one looks into the eyepiece.
pub const CLOCKWISE: &str = "clockwise";

/// The other way.
pub const COUNTER_CLOCKWISE: &str = "counter-clockwise";

/// Which way a turn goes, positive clockwise.
#[must_use]
pub fn way_round(clockwise_deg: f64) -> &'static str {
    if clockwise_deg < 0.0 { COUNTER_CLOCKWISE } else { CLOCKWISE }
}

/// What counts: a whole number of any kind.
pub trait Count: fmt::Display + PartialEq + From<u8> {}

impl<N: fmt::Display + PartialEq + From<u8>> Count for N {}

/// Which of two forms goes with a number: that for one, or that for any other. What English asks of a number is
/// decided here alone.
///
/// ```
/// use solver::words::form_for;
/// assert_eq!([0, 1, 2].map(|count| form_for(count, "is", "are")), ["are", "is", "are"]);
/// ```
pub fn form_for<N: Count, T>(count: N, one: T, many: T) -> T {
    if count == N::from(1) { one } else { many }
}

/// So many of something: `1 leaf`, `5 leaves`.
#[must_use]
pub fn counted<N: Count>(count: N, one: &str, many: &str) -> String {
    let text = count.to_string();
    format!("{text} {}", form_for(count, one, many))
}

/// So many of what takes an s: `1 reading`, `5 readings`.
#[must_use]
pub fn counted_s<N: Count>(count: N, one: &str) -> String {
    let text = count.to_string();
    format!("{text} {one}{}", form_for(count, "", "s"))
}

/// So many in letters, as far as nine: `two`, `12`.
#[must_use]
pub fn in_letters(count: usize) -> String {
    const WORDS: [&str; 10] =
        ["no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine"];
    WORDS.get(count).map_or_else(|| count.to_string(), |&word| word.to_owned())
}

/// One thing after another: `1, 2, 4`.
#[must_use]
pub fn listed<T: fmt::Display>(items: impl IntoIterator<Item = T>, between: &str) -> String {
    items.into_iter().map(|item| item.to_string()).collect::<Vec<_>>().join(between)
}

/// Things by number: `round 3`, `rounds 1, 2`.
///
/// ```
/// assert_eq!(solver::words::numbered("round", [3]), "round 3");
/// assert_eq!(solver::words::numbered("round", [1, 2]), "rounds 1, 2");
/// ```
#[must_use]
pub fn numbered<T: fmt::Display>(one: &str, numbers: impl IntoIterator<Item = T>) -> String {
    let numbers: Vec<String> = numbers.into_iter().map(|number| number.to_string()).collect();
    format!("{one}{} {}", form_for(numbers.len(), "", "s"), numbers.join(", "))
}

/// Words with a capital letter at their head.
#[must_use]
pub fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// Words as a sentence: a capital at its head, a full stop at its end. Not for words that begin with a
/// name: a hand's initials are told as they were given.
///
/// ```
/// use solver::words::sentence;
/// assert_eq!(sentence("nobody signed"), "Nobody signed.");
/// assert_eq!(sentence("Nobody signed."), "Nobody signed.");
/// ```
#[must_use]
pub fn sentence(words: &str) -> String {
    let end = if words.ends_with('.') { "" } else { "." };
    capital(words) + end
}
