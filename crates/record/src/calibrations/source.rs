//! Where a station's map is from. A station's file and the session's copy of it are frozen and have no field of
//! their own for it: it stands in the certificate's words, in one form that is written and read back here.
//!
//! > W-7 · map found by 2026-11-25 Bench 1.samepoint-calibration, line 9f2c…

use crate::file::chain::ChainHash;
use crate::shop::CALIBRATION_EXTENSION;
use crate::station::Station;

const FOUND_BY: &str = "map found by ";
const LINE: &str = ", line ";
const APART: &str = " · ";

/// What is said of a station whose map was not found.
pub const TYPED: &str = "its map was typed, not found by a calibration";

/// Which calibration a map is from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FoundBy {
    /// Its file's name, without folder.
    pub file: String,
    /// The 64 hex digits of the line that signs it.
    pub line: String,
}

impl FoundBy {
    /// The words for a station's certificate, behind the calibration's own.
    #[must_use]
    pub fn words(&self, certificate: &str) -> String {
        let own = certificate.trim();
        format!("{own}{APART}{FOUND_BY}{}{LINE}{}", self.file, self.line)
    }

    /// Where a station says its map is from; `None` where it was typed.
    #[must_use]
    pub fn of(station: &Station) -> Option<Self> {
        Self::split(&station.calibration.as_ref()?.certificate).map(|(_, by)| by)
    }

    /// A certificate's own words, and where the map is from.
    #[must_use]
    pub fn split(certificate: &str) -> Option<(&str, Self)> {
        let (own, rest) = certificate.rsplit_once(FOUND_BY)?;
        let (file, line) = rest.rsplit_once(LINE)?;
        let own = own.strip_suffix(APART)?;
        let line = ChainHash::read(line.trim_end())?.as_str().to_owned();
        let named =
            file.ends_with(&format!(".{CALIBRATION_EXTENSION}")) && !file.contains(['/', '\\']);
        named.then(|| (own, Self { file: file.to_owned(), line }))
    }

    /// It for people: the file and how its line begins.
    #[must_use]
    pub fn told(&self) -> String {
        let begin = self.line.get(..12).unwrap_or(&self.line);
        format!("its map was found by {}, line {begin}…", crate::shown::one_line(&self.file))
    }
}

/// Where a station says its map is from, for people.
#[must_use]
pub fn map_from(station: &Station) -> String {
    FoundBy::of(station).map_or_else(|| TYPED.to_owned(), |by| by.told())
}

/// A certificate for people: its own words, without the sixty-four digits.
#[must_use]
pub fn certificate_told(certificate: &str) -> &str {
    FoundBy::split(certificate).map_or(certificate, |(own, _)| own)
}
