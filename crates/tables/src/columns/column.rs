//! A column, and what stands in a cell of it.

use std::borrow::Cow;

use jiff::civil::Date;
use record::Stamp;

/// What a column holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum ColumnKind {
    /// Text in UTF-8, as it was said.
    Text,
    /// A finite number, double precision.
    Number,
    /// A whole number.
    Count,
    /// True or false.
    Truth,
    /// A calendar day.
    Day,
    /// A moment, UTC, to the millisecond.
    Moment,
}

impl ColumnKind {
    /// The word for it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Text => "text",
            Self::Number => "number",
            Self::Count => "whole number",
            Self::Truth => "true or false",
            Self::Day => "day",
            Self::Moment => "time",
        }
    }
}

/// What a number is in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum ColumnUnit {
    /// No number, or one that counts.
    None,
    /// Arcminutes.
    Arcmin,
    /// Degrees.
    Deg,
    /// Millimetres.
    Mm,
    /// A share, 1 the whole.
    Share,
    /// The unit that was typed in, which another column names.
    AsTyped,
}

impl ColumnUnit {
    /// The word for it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::None => "–",
            Self::Arcmin => "arcminutes",
            Self::Deg => "degrees",
            Self::Mm => "millimetres",
            Self::Share => "1",
            Self::AsTyped => "as typed",
        }
    }

    /// What the name of a column in it ends with.
    #[must_use]
    pub const fn ending(self) -> &'static str {
        match self {
            Self::None => "",
            Self::Arcmin => "_arcmin",
            Self::Deg => "_deg",
            Self::Mm => "_mm",
            Self::Share => "_share",
            Self::AsTyped => "_typed",
        }
    }
}

/// A column in words.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Described {
    /// Its name, with the unit.
    pub name: &'static str,
    /// What it holds.
    pub kind: ColumnKind,
    /// What in.
    pub unit: ColumnUnit,
    /// What it means.
    pub meaning: &'static str,
}

/// A column of a table whose rows are made of `R`.
#[derive(Debug)]
pub struct Column<R> {
    /// It in words.
    pub described: Described,
    /// Its cell in a row.
    pub of: for<'r> fn(&'r R) -> Cell<'r>,
}

/// What stands in a cell. What is not known is nothing, never 0 and never an empty text.
#[derive(Clone, Debug, PartialEq)]
pub enum Cell<'a> {
    /// Not known.
    Nothing,
    /// A text.
    Text(Cow<'a, str>),
    /// A number.
    Number(f64),
    /// A whole number.
    Count(i64),
    /// True or false.
    Truth(bool),
    /// A day.
    Day(Date),
    /// A moment.
    Moment(Stamp),
}

impl<'a> Cell<'a> {
    /// A text; nothing of an empty one.
    #[must_use]
    pub fn text(text: &'a str) -> Self {
        if text.is_empty() { Self::Nothing } else { Self::Text(Cow::Borrowed(text)) }
    }

    /// A text where there is one.
    #[must_use]
    pub fn maybe_text(text: Option<&'a str>) -> Self {
        text.map_or(Self::Nothing, Self::text)
    }

    /// A text made for this.
    #[must_use]
    pub fn said(text: String) -> Self {
        if text.is_empty() { Self::Nothing } else { Self::Text(Cow::Owned(text)) }
    }

    /// A number where there is one that is finite.
    #[must_use]
    pub fn number(value: Option<f64>) -> Self {
        value.filter(|value| value.is_finite()).map_or(Self::Nothing, Self::Number)
    }

    /// How many, where that is known.
    #[must_use]
    pub fn count<N: TryInto<i64>>(value: Option<N>) -> Self {
        value.and_then(|value| value.try_into().ok()).map_or(Self::Nothing, Self::Count)
    }

    /// Whether, where that is known.
    #[must_use]
    pub fn truth(value: Option<bool>) -> Self {
        value.map_or(Self::Nothing, Self::Truth)
    }

    /// A day, where it is known.
    #[must_use]
    pub fn day(value: Option<Date>) -> Self {
        value.map_or(Self::Nothing, Self::Day)
    }

    /// A moment, where it is known.
    #[must_use]
    pub fn moment(value: Option<Stamp>) -> Self {
        value.map_or(Self::Nothing, Self::Moment)
    }
}

impl<R> Column<R> {
    const fn new(
        (name, kind, unit): (&'static str, ColumnKind, ColumnUnit),
        meaning: &'static str,
        of: for<'r> fn(&'r R) -> Cell<'r>,
    ) -> Self {
        Self { described: Described { name, kind, unit, meaning }, of }
    }

    /// Of texts.
    pub const fn text(
        name: &'static str,
        meaning: &'static str,
        of: for<'r> fn(&'r R) -> Cell<'r>,
    ) -> Self {
        Self::new((name, ColumnKind::Text, ColumnUnit::None), meaning, of)
    }

    /// Of arcminutes.
    pub const fn arcmin(
        name: &'static str,
        meaning: &'static str,
        of: for<'r> fn(&'r R) -> Cell<'r>,
    ) -> Self {
        Self::new((name, ColumnKind::Number, ColumnUnit::Arcmin), meaning, of)
    }

    /// Of degrees.
    pub const fn deg(
        name: &'static str,
        meaning: &'static str,
        of: for<'r> fn(&'r R) -> Cell<'r>,
    ) -> Self {
        Self::new((name, ColumnKind::Number, ColumnUnit::Deg), meaning, of)
    }

    /// Of millimetres.
    pub const fn mm(
        name: &'static str,
        meaning: &'static str,
        of: for<'r> fn(&'r R) -> Cell<'r>,
    ) -> Self {
        Self::new((name, ColumnKind::Number, ColumnUnit::Mm), meaning, of)
    }

    /// Of shares.
    pub const fn share(
        name: &'static str,
        meaning: &'static str,
        of: for<'r> fn(&'r R) -> Cell<'r>,
    ) -> Self {
        Self::new((name, ColumnKind::Number, ColumnUnit::Share), meaning, of)
    }

    /// Of numbers in the unit typed.
    pub const fn typed(
        name: &'static str,
        meaning: &'static str,
        of: for<'r> fn(&'r R) -> Cell<'r>,
    ) -> Self {
        Self::new((name, ColumnKind::Number, ColumnUnit::AsTyped), meaning, of)
    }

    /// Of whole numbers.
    pub const fn count(
        name: &'static str,
        meaning: &'static str,
        of: for<'r> fn(&'r R) -> Cell<'r>,
    ) -> Self {
        Self::new((name, ColumnKind::Count, ColumnUnit::None), meaning, of)
    }

    /// Of truths.
    pub const fn truth(
        name: &'static str,
        meaning: &'static str,
        of: for<'r> fn(&'r R) -> Cell<'r>,
    ) -> Self {
        Self::new((name, ColumnKind::Truth, ColumnUnit::None), meaning, of)
    }

    /// Of days.
    pub const fn day(
        name: &'static str,
        meaning: &'static str,
        of: for<'r> fn(&'r R) -> Cell<'r>,
    ) -> Self {
        Self::new((name, ColumnKind::Day, ColumnUnit::None), meaning, of)
    }

    /// Of moments.
    pub const fn moment(
        name: &'static str,
        meaning: &'static str,
        of: for<'r> fn(&'r R) -> Cell<'r>,
    ) -> Self {
        Self::new((name, ColumnKind::Moment, ColumnUnit::None), meaning, of)
    }
}
