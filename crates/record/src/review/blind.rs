//! Blind readings beside a session: a supervisor's own session of the same unit, linked to it, in the same
//! shop.

use std::path::Path;

use crate::fact::Fact;
use crate::file::{plain, scan};
use crate::fold::{Session, fold};
use crate::linked::{BlindCheck, Link, NoBlindCheck, blind_check};
use crate::shop::Shop;

/// The most sessions of one unit that are looked into, the last by name.
const MOST_OF_A_UNIT: usize = 20;

/// A blind session and what it says of the signed one, or the other way round.
#[derive(Clone, Debug, PartialEq)]
pub struct Blind {
    /// The other session's file, without folder.
    pub file: String,
    /// What the blind readings say, or why they say nothing.
    pub check: Result<BlindCheck, NoBlindCheck>,
}

impl Blind {
    /// Whether the blind readings disagree: E_n above 1 at some position, or one verdict a pass and the
    /// other a fail.
    #[must_use]
    pub fn disagrees(&self) -> bool {
        self.check.as_ref().is_ok_and(BlindCheck::disagrees)
    }

    /// Whether they agree; `None` where they say nothing, or no score is to be had.
    #[must_use]
    pub fn agrees(&self) -> Option<bool> {
        let check = self.check.as_ref().ok()?;
        if check.disagrees() { Some(false) } else { check.agrees() }
    }

    /// It in sentences.
    #[must_use]
    pub fn words(&self) -> Vec<String> {
        match &self.check {
            Ok(check) => check.words(),
            Err(why) => vec![crate::figures::sentence(&why.to_string())],
        }
    }
}

/// What blind readings beside a session come to, in a word.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum BlindWord {
    /// They say nothing.
    SayNothing,
    /// They agree.
    Agree,
    /// They disagree.
    Disagree,
}

impl BlindWord {
    /// The worst of several; `None` of none.
    #[must_use]
    pub fn of(all: &[Blind]) -> Option<Self> {
        let each = all.iter().map(|blind| match blind.agrees() {
            Some(false) => Self::Disagree,
            Some(true) => Self::Agree,
            None => Self::SayNothing,
        });
        each.max()
    }

    /// It after “blind readings”: `agree`, `disagree`, `say nothing`.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::SayNothing => "say nothing",
            Self::Agree => "agree",
            Self::Disagree => "disagree",
        }
    }
}

/// Every blind session of a shop that is linked to this one; of a blind session, the one it checks.
/// Sessions that cannot be read are passed over: the shop names them.
#[must_use]
pub fn blind_beside(facts: &[Fact], session: &Session, shop: &Path) -> Vec<Blind> {
    let folder = shop.join("sessions");
    if let Some(link) = Link::of(session) {
        return beside_blind(&folder, session, &link).into_iter().collect();
    }
    let (Some(header), Some(unit)) = (&session.header, session.unit()) else { return Vec::new() };
    let Ok(files) = Shop::session_files(shop) else { return Vec::new() };
    let of_unit = files.iter().rev().filter(|other| Shop::is_named_for(other, &unit.name));
    let mut found = Vec::new();
    for other in of_unit.take(MOST_OF_A_UNIT) {
        let Some(other_facts) = facts_of(other) else { continue };
        let blind = fold(&other_facts);
        if Link::of(&blind).is_some_and(|link| link.session == header.session) {
            let name = other.file_name().unwrap_or_default();
            found.push(Blind {
                file: name.to_string_lossy().into_owned(),
                check: blind_check(facts, &blind),
            });
        }
    }
    found
}

/// What a blind session says of the one it checks; `None` where that is not beside it.
pub fn beside_blind(folder: &Path, blind: &Session, link: &Link) -> Option<Blind> {
    // A name, not a path: nothing outside the shop is read for it.
    let name = Path::new(&link.file).file_name()?;
    let original = facts_of(&folder.join(name))?;
    Some(Blind { file: link.file.clone(), check: blind_check(&original, blind) })
}

fn facts_of(path: &Path) -> Option<Vec<Fact>> {
    let bytes = plain::open(path).ok()?;
    Some(scan(path, bytes).ok()?.facts)
}
