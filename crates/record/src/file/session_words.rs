//! A session's lines in whichever format its header says its file is.

use super::line_format::LineFormat;
use super::{v1, v2};
use crate::fact::{Body, Fact, FileMark, LATEST_FORMAT};
use crate::file::bad_field::BadField;

impl LineFormat for Body {
    const FILE: &'static str = "session";
    const TAG: &'static str = "";
    const FORMAT: u32 = LATEST_FORMAT;

    fn format(&self) -> u32 {
        match self {
            Self::Header(header) => header.format,
            _ => Self::FORMAT,
        }
    }

    fn is_signing(&self) -> bool {
        self.is_signing()
    }

    fn is_header(&self) -> bool {
        matches!(self, Self::Header(_))
    }

    fn noted(mark: &FileMark, _: u32) -> Option<Self> {
        Some(Self::Note(mark.note()))
    }

    fn write(fact: &Fact, format: u32) -> Result<String, BadField> {
        match (&fact.body, format) {
            (Self::Header(header), v1::FORMAT | v2::FORMAT) => v1::write_header(fact, header),
            (_, v1::FORMAT) => v1::write(fact),
            (_, v2::FORMAT) => v2::write(fact),
            _ => Err(BadField::no_format(format)),
        }
    }

    fn read_header(body: &str) -> Result<Fact, BadField> {
        v1::read_header(body)
    }

    fn read(body: &str, format: u32) -> Result<Fact, BadField> {
        match format {
            v1::FORMAT => v1::read(body),
            v2::FORMAT => v2::read(body),
            _ => Err(BadField::no_format(format)),
        }
    }
}
