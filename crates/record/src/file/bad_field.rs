//! What a line, or a file of the shop, says that its format does not allow, and in which field.

use core::fmt;

/// A value that a format does not allow, and where it stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BadField {
    field: String,
    what: String,
}

impl BadField {
    pub(crate) fn new(what: impl ToString) -> Self {
        Self { field: String::new(), what: what.to_string() }
    }

    /// A header that names a format that never was.
    pub(crate) fn no_format(format: u32) -> Self {
        Self::new(format!("there is no format {format}")).within("format")
    }

    /// A text that is the hash of no line.
    pub(crate) fn no_hash() -> Self {
        Self::new("not 64 digits, 0 to f")
    }

    /// The same, seen from the field that it stands in.
    pub(crate) fn within(mut self, field: &str) -> Self {
        self.field =
            if self.field.is_empty() { field.into() } else { format!("{field}.{}", self.field) };
        self
    }

    /// The field, from the outermost on, parted by full stops; empty where it is the whole.
    #[must_use]
    pub fn field(&self) -> &str {
        &self.field
    }
}

impl fmt::Display for BadField {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.field.is_empty() {
            f.write_str(&self.what)
        } else {
            write!(f, "{}: {}", self.field, self.what)
        }
    }
}

impl std::error::Error for BadField {}
