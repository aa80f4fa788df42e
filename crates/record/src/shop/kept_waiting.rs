//! The units that wait in a shop.

use std::fs;
use std::path::PathBuf;

use super::{Shop, not_all_read};
use crate::error::Error;
use crate::file::{Access, Disk, End, FileOptions, scan_facts};
use crate::journal::{JournalBody, Meaning as _, fold};
use crate::stamp::Stamp;
use crate::units_waiting::{
    EXTENSION, FORMAT, UnitsWaiting, WaitingAbout, WaitingBody, WaitingFile, WaitingHeader,
};

impl Shop {
    /// The file of the units that wait; it need not be there.
    #[must_use]
    pub fn waiting_path(&self) -> PathBuf {
        self.folder.join("waiting").join(format!("units.{EXTENSION}"))
    }

    /// The units that wait, as far as their file can be read, and what is wrong with it: a sentence
    /// without its full stop. Nothing is wrong where there is no file.
    #[must_use]
    pub fn units_waiting(&self, disk: &dyn Disk) -> (UnitsWaiting, Option<String>) {
        let path = self.waiting_path();
        if path.symlink_metadata().is_err() {
            return (UnitsWaiting::default(), None);
        }
        let bytes = disk.open_read(&path).map_err(|why| Error::io("open", &path, why));
        match bytes.and_then(|bytes| scan_facts::<JournalBody<WaitingBody>>(&path, bytes)) {
            Ok(scanned) => {
                let whole = scanned.end == End::Clean;
                let why = not_all_read(&path);
                (fold(&scanned.facts), (!whole).then_some(why))
            }
            Err(why) => (UnitsWaiting::default(), Some(why.to_string())),
        }
    }

    /// Adds to the list of units that wait; it is on disk, or refused. The file is begun with its first
    /// unit and held no longer than it takes.
    ///
    /// # Errors
    /// What the list does not admit, and what keeps the file from being written.
    pub fn say_of_units(
        &self,
        body: WaitingBody,
        now: Stamp,
        (program, hand): (&str, &str),
        options: FileOptions,
    ) -> Result<(), Error> {
        let path = self.waiting_path();
        let mut file = if path.symlink_metadata().is_ok() {
            WaitingFile::open(&path, options)?
        } else {
            let folder = self.folder.join("waiting");
            fs::create_dir_all(&folder)
                .map_err(|why| Error::io("make the folder", &folder, why))?;
            // Refused before anything is made.
            UnitsWaiting::default().admits(&body)?;
            let begun = WaitingHeader::begun(program.to_owned(), WaitingAbout {})?;
            let header = WaitingHeader { format: FORMAT, ..begun };
            WaitingFile::create(&path, header, hand, options)?
        };
        if !matches!(file.access(), Access::Writing) {
            return Err(Error::UnitsNotWritable { why: file.access().to_string() });
        }
        fold(file.facts()).admits(&body)?;
        file.append(JournalBody::Said(body), now, hand)?;
        file.finish()
    }
}
