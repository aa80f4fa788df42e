//! An open file that facts may wait for, whatever its lines say.

use std::path::{Path, PathBuf};

use record::file::LineFormat;
use record::rescue::Keeper;
use record::{Access, Error, FactFile, ReadOnlyReason, SaveState, Stamp};

/// What waiting asks of an open file, whatever its lines say.
pub(crate) trait HeldFile {
    /// The file.
    fn path(&self) -> &Path;
    /// How many facts are not on disk.
    fn unsaved(&self) -> usize;
    /// How far what was appended has come.
    fn save_state(&self) -> SaveState;
    /// Whether the disk or folder it lies in takes nothing just now.
    fn takes_nothing(&self) -> bool;
    /// Tries to write what waits, where agreed without what the place lacks.
    fn again(&mut self, agreed: bool) -> Result<(), Error>;
    /// Brings a rescue file up to it, as [`Keeper::follow`].
    fn rescue_with(&self, keeper: &mut Keeper, about: (&str, &str), to: &Rescuing<'_>);
}

/// Where rescue files are put, and when.
pub(crate) struct Rescuing<'a> {
    pub(crate) folders: &'a [PathBuf],
    pub(crate) disk: &'a dyn record::Disk,
    pub(crate) now: Stamp,
    pub(crate) at_once: bool,
}

impl<B: LineFormat> HeldFile for FactFile<B> {
    fn path(&self) -> &Path {
        self.path()
    }
    fn unsaved(&self) -> usize {
        self.unsaved().len()
    }
    fn save_state(&self) -> SaveState {
        self.save_state()
    }
    fn takes_nothing(&self) -> bool {
        matches!(self.save_state(), SaveState::Stopped { why: Error::Io { .. }, .. })
            || matches!(self.access(), Access::ReadOnly(ReadOnlyReason::NotPermitted(_)))
    }
    fn again(&mut self, agreed: bool) -> Result<(), Error> {
        if agreed {
            return self.agree();
        }
        self.try_again();
        Ok(())
    }
    fn rescue_with(&self, keeper: &mut Keeper, about: (&str, &str), to: &Rescuing<'_>) {
        keeper.follow(self, about, to.folders, to.disk, to.now, to.at_once);
    }
}
