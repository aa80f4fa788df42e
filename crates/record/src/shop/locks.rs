//! What tightening the locks did in the sessions of a housing.

use std::path::Path;

use solver::{Channel, PerChannel};

use super::Shop;
use crate::error::Error;
use crate::file::{Disk, scan};
use crate::fold::fold;
use crate::lock_shift::turned_by_locks_deg;

/// The last sessions that are looked at: what older ones say of a housing's locks is worn out, and
/// a shop's whole history need not be read.
const LAST_SESSIONS: usize = 200;

impl Shop {
    /// How far the locks of a housing type turned each ring on tightening, degrees clockwise, a
    /// value a session, the newest first. Sessions that cannot be read, and the one at `except`,
    /// are passed over. Reads files: not for the window's thread.
    ///
    /// # Errors
    /// As [`sessions`](Self::sessions).
    pub fn locks_of(
        &self,
        housing: &str,
        except: &Path,
        disk: &dyn Disk,
    ) -> Result<PerChannel<Vec<f64>>, Error> {
        let mut found: PerChannel<Vec<f64>> = PerChannel::default();
        for listed in self.sessions()?.iter().take(LAST_SESSIONS) {
            if listed.path == except {
                continue;
            }
            let scanned =
                disk.open_read(&listed.path).ok().and_then(|bytes| scan(&listed.path, bytes).ok());
            let Some(scanned) = scanned else { continue };
            let session = fold(&scanned.facts);
            if session.housing().is_none_or(|held| held.name != housing) {
                continue;
            }
            let turned = turned_by_locks_deg(&session);
            for channel in Channel::BOTH {
                found[channel].extend(turned[channel]);
            }
        }
        Ok(found)
    }
}
