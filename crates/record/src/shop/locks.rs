//! What tightening the locks did in the sessions of a housing.

use std::path::Path;

use solver::{Channel, PerChannel};

use super::Shop;
use crate::error::Error;
use crate::file::Disk;
use crate::lock_shift::turned_by_locks_deg;

impl Shop {
    /// How far the locks of a housing type turned each ring on tightening, degrees clockwise, a
    /// value a session, the newest first. Reads files: not for the window's thread.
    ///
    /// # Errors
    /// As [`sessions_of`](Self::sessions_of).
    pub fn locks_of(
        &self,
        housing: &str,
        except: &Path,
        disk: &dyn Disk,
    ) -> Result<PerChannel<Vec<f64>>, Error> {
        let mut found: PerChannel<Vec<f64>> = PerChannel::default();
        for session in self.sessions_of(housing, except, disk)? {
            let turned = turned_by_locks_deg(&session);
            for channel in Channel::BOTH {
                found[channel].extend(turned[channel]);
            }
        }
        Ok(found)
    }
}
