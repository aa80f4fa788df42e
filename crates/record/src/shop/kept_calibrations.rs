//! The calibrations of a shop's stations, and whether a station's numbers are those of the one it names.

use std::fs;
use std::path::PathBuf;

use jiff::civil::Date;

use super::{CALIBRATION_EXTENSION, Shop, files_in, free_name};
use crate::calibrations::FoundBy;
use crate::calibrations::noted::review_in_shop;
use crate::calibrations::source::TYPED;
use crate::error::Error;
use crate::file::Disk;
use crate::review::State;
use crate::station::Station;

/// Where the numbers of a station are from, looked into.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum MapStanding {
    /// A hand typed them.
    Typed,
    /// They are those of the calibration it names.
    Found(FoundBy),
    /// It names a calibration, and something is not as it says: each a sentence without its full stop.
    NotAsSaid(FoundBy, Vec<String>),
}

impl MapStanding {
    /// It in sentences without their full stops, and whether that needs a look.
    #[must_use]
    pub fn words(&self) -> (Vec<String>, bool) {
        match self {
            Self::Typed => (vec![TYPED.to_owned()], false),
            Self::Found(by) => (vec![by.told()], false),
            Self::NotAsSaid(by, why) => {
                let said = std::iter::once(format!("{}, but that does not hold", by.told()));
                (said.chain(why.iter().cloned()).collect(), true)
            }
        }
    }
}

impl Shop {
    /// The calibrations' files, by name.
    ///
    /// # Errors
    /// [`Error::Io`] when the folder is there but cannot be read.
    pub fn calibrations(&self) -> Result<Vec<PathBuf>, Error> {
        let mut paths = files_in(&self.folder.join("calibrations"), CALIBRATION_EXTENSION)?;
        paths.retain(|path| path.is_file());
        Ok(paths)
    }

    /// A free name in `calibrations/` for a station's calibration begun on a day. The folder is made if it is not
    /// there.
    ///
    /// # Errors
    /// [`Error::Io`] when the folder cannot be made.
    pub fn new_calibration_path(&self, day: Date, station: &str) -> Result<PathBuf, Error> {
        let folder = self.folder.join("calibrations");
        fs::create_dir_all(&folder).map_err(|why| Error::io("make the folder", &folder, why))?;
        Ok(free_name(&folder, &format!("{day} {station}"), CALIBRATION_EXTENSION))
    }

    /// Whether a station's numbers are those of the calibration it names.
    #[must_use]
    pub fn map_standing(&self, station: &Station, disk: &dyn Disk) -> MapStanding {
        let Some(by) = FoundBy::of(station) else { return MapStanding::Typed };
        let path = self.folder.join("calibrations").join(&by.file);
        let review = match review_in_shop(&path, disk) {
            Ok(review) => review,
            Err(why) => return MapStanding::NotAsSaid(by, vec![why.to_string()]),
        };
        let mut why = Vec::new();
        if review.signing_line.as_ref() != Some(&by.line) {
            why.push("the line that signs the calibration is another now".to_owned());
        }
        if review.means.station() != station.name {
            why.push(format!("the calibration is of {}", review.means.station()));
        }
        if review.state != State::Signed {
            why.push(format!("the calibration is {}", review.state.word()));
        }
        match review.means.signed.as_ref().map(|signed| &signed.body) {
            Some(signed) => {
                why.extend(signed.differences_of(station, ["found", "the station has"]));
            }
            None => why.push("nobody signed the calibration".to_owned()),
        }
        if let (Some(terms), Some(held)) = (&review.means.terms, &station.calibration)
            && (terms.due != held.due || Some(terms.done) != held.done)
        {
            why.push(format!(
                "the calibration holds to {}, the station says {}",
                terms.due, held.due
            ));
        }
        if why.is_empty() { MapStanding::Found(by) } else { MapStanding::NotAsSaid(by, why) }
    }
}
