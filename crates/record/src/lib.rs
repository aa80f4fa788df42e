//! Stub.
pub mod import_csv;
