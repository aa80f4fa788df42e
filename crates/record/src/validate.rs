//! What a value must be before it is taken, said by field.

use crate::error::Error;

/// Something read from a file or a form that can be wrong in itself.
pub trait Checked {
    /// Says what is wrong.
    ///
    /// # Errors
    /// The first field that cannot be.
    fn check(&self) -> Result<(), Error>;
}

pub(crate) fn finite(field: &str, value: f64) -> Result<(), Error> {
    require(value.is_finite(), field, value, "a number")
}

pub(crate) fn positive(field: &str, value: f64) -> Result<(), Error> {
    require(value.is_finite() && value > 0.0, field, value, "more than 0")
}

pub(crate) fn not_negative(field: &str, value: f64) -> Result<(), Error> {
    require(value.is_finite() && value >= 0.0, field, value, "0 or more")
}

pub(crate) fn share(field: &str, value: f64) -> Result<(), Error> {
    require(value > 0.0 && value <= 1.0, field, value, "more than 0 and at most 1")
}

pub(crate) fn named(field: &str, text: &str) -> Result<(), Error> {
    if text.trim().is_empty() {
        return Err(Error::FieldEmpty { field: field.to_owned() });
    }
    Ok(())
}

fn require(holds: bool, field: &str, value: f64, must_be: &'static str) -> Result<(), Error> {
    if holds { Ok(()) } else { Err(Error::FieldValue { field: field.to_owned(), value, must_be }) }
}
