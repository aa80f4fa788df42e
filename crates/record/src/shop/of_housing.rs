//! The sessions of a housing: what its units taught.

use std::path::Path;

use super::Shop;
use crate::error::Error;
use crate::file::{Disk, scan};
use crate::fold::{Session, fold};

/// The last sessions that are looked at: what older ones say of a housing is worn out, and a shop's
/// whole history need not be read.
const LAST_SESSIONS: usize = 200;

impl Shop {
    /// The last sessions of a housing type, the newest first. Those that cannot be read, and the one
    /// at `except`, are passed over. Reads files: not for the window's thread.
    ///
    /// # Errors
    /// As [`sessions`](Self::sessions).
    pub fn sessions_of(
        &self,
        housing: &str,
        except: &Path,
        disk: &dyn Disk,
    ) -> Result<impl Iterator<Item = Session>, Error> {
        let listed = self.sessions()?.into_iter().take(LAST_SESSIONS);
        Ok(listed
            .filter(move |listed| listed.path != except)
            .filter_map(move |listed| {
                let bytes = disk.open_read(&listed.path).ok()?;
                let scanned = scan(&listed.path, bytes).ok()?;
                Some(fold(&scanned.facts))
            })
            .filter(move |session| session.housing().is_some_and(|held| held.name == housing)))
    }
}
