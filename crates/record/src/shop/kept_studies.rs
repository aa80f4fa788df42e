//! The studies of a shop.

use std::fs;
use std::path::PathBuf;

use jiff::civil::Date;

use super::{STUDY_EXTENSION, Shop, files_in, free_name};
use crate::error::Error;

impl Shop {
    /// The studies' files, by name.
    ///
    /// # Errors
    /// [`Error::Io`] when the folder is there but cannot be read.
    pub fn studies(&self) -> Result<Vec<PathBuf>, Error> {
        let mut paths = files_in(&self.folder.join("studies"), STUDY_EXTENSION)?;
        paths.retain(|path| path.is_file());
        Ok(paths)
    }

    /// A free name in `studies/` for a study of a station begun on a day. The folder is made if it
    /// is not there.
    ///
    /// # Errors
    /// [`Error::Io`] when the folder cannot be made.
    pub fn new_study_path(&self, day: Date, station: &str) -> Result<PathBuf, Error> {
        let folder = self.folder.join("studies");
        fs::create_dir_all(&folder).map_err(|why| Error::io("make the folder", &folder, why))?;
        Ok(free_name(&folder, &format!("{day} {station}"), STUDY_EXTENSION))
    }
}
