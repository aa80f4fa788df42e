//! Who may write: one opener at a time, by a lock on `.NAME.lock` beside the session.
//!
//! The lock file is never deleted: whoever deletes a lock file while another opens it gives two
//! of them the lock. Should somebody delete or move it all the same, or come by another name of the
//! session's file, the file itself is locked too. It holds who has the session open, where and since when, for the second
//! opener to be told.

use core::fmt;
use std::io;
use std::path::{Path, PathBuf};

use serde::{Deserialize, Serialize};

use crate::fact::texts::{plainly, texts};
use crate::file::disk::{Disk, Locking};
use crate::stamp::Stamp;

/// Who opens a session.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Opener {
    /// The hand, or the user's name.
    pub who: String,
    /// The computer.
    pub place: String,
    /// When.
    pub now: Stamp,
}

impl Opener {
    /// A hand at this computer, now.
    #[must_use]
    pub fn here(who: &str) -> Self {
        // The longest name that a computer can have is 255 letters.
        let place = super::plain::read_text(Path::new("/etc/hostname"), 1024)
            .ok()
            .or_else(|| std::env::var("COMPUTERNAME").ok())
            .map(|name| name.trim().to_owned())
            .filter(|name| !name.is_empty())
            .unwrap_or_else(|| "another computer".to_owned());
        Self { who: who.to_owned(), place, now: Stamp::now() }
    }
}

/// Who has a session open; parts that could not be read are empty.
#[derive(Clone, Debug, Default, PartialEq, Eq, Deserialize, Serialize)]
pub struct Holder {
    /// The hand, or the user's name.
    pub who: String,
    /// The computer.
    #[serde(rename = "where")]
    pub place: String,
    /// Since when, RFC 3339.
    pub since: String,
}

texts!(Holder { who, place, since; });

impl fmt::Display for Holder {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let who = if self.who.is_empty() { "somebody" } else { &self.who };
        f.write_str(who)?;
        if !self.place.is_empty() {
            write!(f, " at {}", self.place)?;
        }
        // The lock's note is anybody's text: a time is shown as one, the rest as it stands.
        match self.since.parse::<Stamp>() {
            Ok(since) => write!(f, " since {} on {}", since.time_of_day(), since.date())?,
            Err(_) if self.since.is_empty() => {}
            Err(_) => write!(f, " since {}", self.since)?,
        }
        Ok(())
    }
}

/// What asking for the lock gave.
pub(crate) enum LockAnswer {
    /// Ours until dropped.
    Held(Box<dyn Send>),
    /// Somebody else's.
    Taken(Holder),
    /// Files cannot be locked there.
    Unsupported,
    /// The lock file cannot be made or opened.
    Refused(io::Error),
}

pub(crate) fn take(disk: &dyn Disk, session: &Path, opener: &Opener) -> LockAnswer {
    let note = Holder {
        who: opener.who.clone(),
        place: opener.place.clone(),
        since: opener.now.to_string(),
    };
    let words = ron::to_string(&note).unwrap_or_default();
    match disk.try_lock(&lock_path(&disk.resolved(session)), &words) {
        Ok(Locking::Held(lock)) => LockAnswer::Held(lock),
        Ok(Locking::Taken(words)) => {
            let mut holder: Holder = ron::from_str(&words).unwrap_or_default();
            plainly(&mut holder);
            LockAnswer::Taken(holder)
        }
        Err(why) if why.kind() == io::ErrorKind::Unsupported => LockAnswer::Unsupported,
        Err(why) => LockAnswer::Refused(why),
    }
}

/// `.NAME.lock` beside `NAME`.
#[must_use]
pub fn lock_path(session: &Path) -> PathBuf {
    let mut name = std::ffi::OsString::from(".");
    name.push(session.file_name().unwrap_or_default());
    name.push(".lock");
    session.with_file_name(name)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_lock_lies_beside_the_session() {
        let lock = lock_path(Path::new("/shop/sessions/a b.samepoint"));
        assert_eq!(lock, Path::new("/shop/sessions/.a b.samepoint.lock"));
    }

    #[test]
    fn a_holder_is_said_as_far_as_known() {
        let holder = Holder { who: "RV".into(), place: "bench-2".into(), since: String::new() };
        assert_eq!(holder.to_string(), "RV at bench-2");
        assert_eq!(Holder::default().to_string(), "somebody");
    }
}
