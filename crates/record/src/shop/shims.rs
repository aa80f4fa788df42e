//! What shims did in the sessions of a housing.

use std::path::Path;

use solver::remedy::shim::TriedShim;

use super::Shop;
use crate::error::Error;
use crate::file::Disk;
use crate::remedies::tried_shims;

impl Shop {
    /// The shims that were tried in a housing type and measured, the newest first. Reads files: not
    /// for the window's thread.
    ///
    /// # Errors
    /// As [`sessions_of`](Self::sessions_of).
    pub fn tried_shims_of(
        &self,
        housing: &str,
        except: &Path,
        disk: &dyn Disk,
    ) -> Result<Vec<TriedShim>, Error> {
        let sessions = self.sessions_of(housing, except, disk)?;
        Ok(sessions.flat_map(|session| tried_shims(&session)).collect())
    }
}
