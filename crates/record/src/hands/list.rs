//! All hands of a shop.

use std::path::Path;

use sha2::{Digest, Sha256};

use super::hand::{Hand, bare_line};
use crate::error::Error;
use crate::fact::same_hand;
use crate::file::names;
use crate::shop::Kept;

/// The hands of a shop as they were when it was loaded.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Hands {
    /// Those that can be used, by file name.
    pub known: Vec<Kept<Hand>>,
    /// File names of those that cannot; each is among the shop's skipped files with its reason.
    pub unusable: Vec<String>,
}

impl Hands {
    /// A list of what was read, and why a file is left out. Files that would let one hand pass for another
    /// are left out: one that is not called after its initials, and any whose initials look like those of
    /// another.
    pub(crate) fn of(read: Vec<Result<Kept<Hand>, (String, Error)>>) -> (Self, Vec<Error>) {
        let mut list = Self::default();
        let mut skipped = Vec::new();
        for one in read {
            match one {
                Ok(kept) => list.known.push(kept),
                Err((name, why)) => {
                    list.unusable.push(name);
                    skipped.push(why);
                }
            }
        }
        let all: Vec<(String, String)> = list
            .known
            .iter()
            .map(|kept| (kept.value.initials.clone(), file_name(&kept.path)))
            .collect();
        let mut kept_hands = Vec::new();
        for kept in std::mem::take(&mut list.known) {
            let (initials, name) = (kept.value.initials.clone(), file_name(&kept.path));
            let other = all
                .iter()
                .find(|(other, file)| *file != name && same_hand(other, &initials))
                .map(|(_, file)| file.clone());
            let wanted = format!("{}.ron", names::safe_stem(&initials));
            let what = match other {
                Some(file) => format!(
                    "hand.initials: “{initials}” looks like the initials in {file}; give them others"
                ),
                // Where every name is taken a file may be called after initials that no name is everywhere.
                None if name != wanted
                    && name != format!("{}.ron", names::safe_part(&initials)) =>
                {
                    format!("hand.initials: the file of “{initials}” is called {wanted}")
                }
                None => {
                    kept_hands.push(kept);
                    continue;
                }
            };
            list.unusable.push(name);
            skipped.push(Error::ShopValue { path: kept.path, what });
        }
        list.known = kept_hands;
        list.unusable.sort();
        (list, skipped)
    }

    /// Whether the shop lists anybody, usable or not. A list that cannot be used is still a list: nobody
    /// has authority by it.
    #[must_use]
    pub fn lists_anybody(&self) -> bool {
        !self.known.is_empty() || !self.unusable.is_empty()
    }

    /// The hand of these initials, exactly, spaces round them apart.
    #[must_use]
    pub fn hand(&self, initials: &str) -> Option<&Hand> {
        let initials = initials.trim();
        self.known.iter().map(|kept| &kept.value).find(|hand| hand.initials == initials)
    }

    /// A hand whose initials look like these and are others.
    #[must_use]
    pub fn looks_like(&self, initials: &str) -> Option<&Hand> {
        let mut hands = self.known.iter().map(|kept| &kept.value);
        hands.find(|hand| hand.initials != initials.trim() && same_hand(&hand.initials, initials))
    }

    /// Every hand and what counts of it, one line a thing, whatever its file looks like: what the list's
    /// hash is over. Names and remarks are not in it.
    #[must_use]
    pub fn canonical(&self) -> String {
        use core::fmt::Write as _;
        let mut hands: Vec<&Hand> = self.known.iter().map(|kept| &kept.value).collect();
        hands.sort_by(|a, b| a.initials.cmp(&b.initials));
        let mut out = "samepoint hands 1\n".to_owned();
        let day = |day: Option<jiff::civil::Date>| {
            day.map_or_else(|| "-".to_owned(), |day| day.to_string())
        };
        for hand in hands {
            let _ = writeln!(out, "hand {}", hand.initials);
            let mut roles: Vec<&str> = hand.roles.iter().map(|role| role.word()).collect();
            roles.sort_unstable();
            roles.dedup();
            let _ = writeln!(out, "roles {}", roles.join(" "));
            let _ = writeln!(out, "days {} {}", hand.from, day(hand.until));
            let mut lines: Vec<String> = Vec::new();
            for key in &hand.keys {
                let line = bare_line(&key.line).unwrap_or_default();
                lines.push(format!("key {} {} {line}", day(key.from), day(key.until)));
            }
            for line in &hand.revoked {
                lines.push(format!("revoked {}", bare_line(line).unwrap_or_default()));
            }
            lines.sort_unstable();
            for line in lines {
                let _ = writeln!(out, "{line}");
            }
        }
        for name in &self.unusable {
            let _ = writeln!(out, "unusable {}", crate::shown::one_line(name));
        }
        out
    }

    /// The SHA-256 of [`canonical`](Self::canonical), 64 hex digits; `None` where nobody is listed.
    #[must_use]
    pub fn sha256(&self) -> Option<String> {
        let digest = Sha256::digest(self.canonical().as_bytes());
        let hex = digest.iter().map(|byte| format!("{byte:02x}")).collect();
        self.lists_anybody().then_some(hex)
    }
}

fn file_name(path: &Path) -> String {
    path.file_name().unwrap_or_default().to_string_lossy().into_owned()
}
