//! How much of a file is looked at.

/// Larger files are refused unread: a hundred times the longest bench day fits.
pub const FILE_LIMIT_BYTES: usize = 4 * 1024 * 1024;

/// A field longer than this holds no reading.
pub const FIELD_LIMIT_CHARS: usize = 64;

const _: () =
    assert!(FILE_LIMIT_BYTES.is_multiple_of(1024 * 1024), "the text gives the limit in MiB");
