//! The sessions of a housing: what its units taught.

use std::collections::HashSet;
use std::path::Path;

use super::Shop;
use crate::error::Error;
use crate::fact::Body;
use crate::file::{Disk, End, scan, scan_some};
use crate::fold::{Session, fold};

/// The last sessions that are looked at: what older ones say of a housing is worn out, and a shop's
/// whole history need not be read.
const LAST_SESSIONS: usize = 200;

/// The own name of the session in a file.
fn session_at(path: &Path, disk: &dyn Disk) -> Option<String> {
    let bytes = disk.open_read(path).ok()?;
    let first = scan_some::<Body>(path, bytes, |_| false).ok()?.facts.into_iter().next()?;
    match first.0.body {
        Body::Header(header) => Some(header.session),
        _ => None,
    }
}

impl Shop {
    /// The last sessions of a housing type, the newest first, each once however many files it has.
    /// Those that cannot be read, and the one at `except`, are passed over. Reads files: not for the
    /// window's thread.
    ///
    /// # Errors
    /// As [`sessions`](Self::sessions).
    pub fn sessions_of(
        &self,
        housing: &str,
        except: &Path,
        disk: &dyn Disk,
    ) -> Result<impl Iterator<Item = Session>, Error> {
        let last = self.last_sessions(except, disk)?.map(|(session, _)| session);
        Ok(last.filter(move |session| session.housing().is_some_and(|held| held.name == housing)))
    }

    /// The last sessions of whatever housing, the newest first, each with how its file ends; as
    /// [`sessions_of`](Self::sessions_of).
    pub(super) fn last_sessions(
        &self,
        except: &Path,
        disk: &dyn Disk,
    ) -> Result<impl Iterator<Item = (Session, End)>, Error> {
        let listed = self.sessions()?.into_iter().take(LAST_SESSIONS);
        // Files of one session count once: the one written to last.
        let mut seen: HashSet<String> = HashSet::new();
        if let Some(name) = session_at(except, disk) {
            seen.insert(name);
        }
        Ok(listed
            .filter(move |listed| listed.path != except)
            .filter_map(move |listed| {
                let bytes = disk.open_read(&listed.path).ok()?;
                let scanned = scan(&listed.path, bytes).ok()?;
                Some((fold(&scanned.facts), scanned.end))
            })
            .filter(move |(session, _)| {
                session.header.as_ref().is_none_or(|header| seen.insert(header.session.clone()))
            }))
    }
}
