//! Other shops' folders, seen beside the open one as one shop with it: added, removed, remembered.

use std::path::{Path, PathBuf};

use record::shop::survey::{Unseen, WhyUnseen};
use record::{Survey, shown};
use solver::words::counted_s;

use crate::dialogs::DialogAnswer;
use crate::jobs::{Job, Work};
use crate::preferences::MOST_BESIDE;
use crate::shell::Shell;

/// Files of one session that are named on the page, at most: more are under “To look at”.
const MOST_DOUBLED: usize = 60;

/// What the page of other shops remembers.
pub struct OtherShops {
    /// The folder to add, as typed.
    pub typed: String,
    /// Why it was not added.
    pub refused: Option<String>,
    /// The looking at it; with the folder of the shop that it was to be beside.
    pub(crate) looking: Job<Result<OtherFolder, NotAdded>>,
    /// The file dialog that asks for it.
    pub(crate) asking: Job<DialogAnswer>,
}

impl Default for OtherShops {
    fn default() -> Self {
        Self {
            typed: String::new(),
            refused: None,
            looking: Job::idle(Work::OtherShop),
            asking: Job::idle(Work::FileDialog),
        }
    }
}

/// A folder to be seen beside another.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct OtherFolder {
    pub(super) own: PathBuf,
    pub(super) folder: PathBuf,
}

/// Why a folder is not seen beside the shop.
#[derive(Debug, thiserror::Error)]
pub(crate) enum NotAdded {
    /// None was named.
    #[error("Name the folder of the other shop: type its path, or choose it.")]
    Nothing,
    /// It is the shop that is open.
    #[error("That is the shop that is open: its sessions are here already.")]
    Own,
    /// It is one of them.
    #[error("That folder is one of them already.")]
    There,
    /// There are too many.
    #[error("{MOST_BESIDE} folders are remembered: remove one first.")]
    TooMany,
    /// It cannot be looked at.
    #[error("{place} cannot be looked at: {why}")]
    Unseen {
        /// Where, as it can be shown.
        place: String,
        /// Why.
        why: WhyUnseen,
    },
}

/// What several folders seen as one come to, in words that are made where the sessions are read.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct SeenTogether {
    /// What the folders are called, in the order of the survey; empty where there is one.
    pub names: Vec<String>,
    /// That they are seen as one; `None` where there is one.
    pub words: Option<String>,
    /// Each folder that is looked at, and how many sessions it holds.
    pub(crate) folders: Vec<(PathBuf, String)>,
    /// Each that cannot be, and why.
    pub unseen: Vec<(PathBuf, String)>,
    /// What must be known of them together: stations and hands of one name, which files are of one session.
    pub told: Vec<String>,
    /// Sessions whose files hold other lines.
    pub forked: Vec<String>,
}

impl SeenTogether {
    /// Of what was read.
    pub(crate) fn of(survey: &Survey) -> Self {
        let all = 0..survey.folders.len();
        let mut told = survey.together.clone();
        if survey.is_of_several() {
            let mut doubled = survey.doubled_words();
            let more = doubled.len().saturating_sub(MOST_DOUBLED);
            doubled.truncate(MOST_DOUBLED);
            told.extend(doubled.into_iter().map(|said| format!("{said}.")));
            if more > 0 {
                told.push(format!("And {more} more: `samepoint shop FOLDER…` names them all."));
            }
        }
        let words_of = |folder: &Unseen| (folder.folder.clone(), folder.words());
        Self {
            names: if survey.is_of_several() {
                all.clone().map(|folder| survey.folder_name(folder)).collect()
            } else {
                Vec::new()
            },
            words: survey.several_words(),
            folders: survey
                .folders
                .iter()
                .cloned()
                .zip(all.map(|folder| format!("{}.", survey.folder_words(folder))))
                .collect(),
            unseen: survey.unseen.iter().map(words_of).collect(),
            told,
            forked: survey.forked_words(),
        }
    }

    /// It in a line; `None` where there is one folder.
    pub(crate) fn short_words(&self) -> Option<String> {
        let seen = match self.names.len() {
            0 => None,
            shops => Some(format!("{shops} shops as one")),
        };
        let unseen = Some(self.unseen.len()).filter(|count| *count > 0);
        let unseen = unseen.map(|count| format!("{} not looked at", counted_s(count, "folder")));
        let both: Vec<String> = seen.into_iter().chain(unseen).collect();
        (!both.is_empty()).then(|| format!("{}: see Other shops.", both.join(", ")))
    }

    /// What a folder is called, where several are seen as one.
    #[must_use]
    pub fn name(&self, folder: usize) -> Option<&str> {
        self.names.get(folder).map(String::as_str)
    }

    /// Where the shop that is called so stands in the survey; `None` where none of those that are seen is.
    #[must_use]
    pub fn place(&self, name: &str) -> Option<usize> {
        self.names.iter().position(|one| one == name)
    }

    /// What became of a folder that is to be seen beside the shop, and whether it must be looked at; `None`
    /// where that is not known yet.
    pub(crate) fn of_folder(&self, folder: &Path) -> Option<(&str, bool)> {
        let of = |each: &'_ [(PathBuf, String)]| each.iter().position(|(path, _)| path == folder);
        if let Some(unseen) = of(&self.unseen).and_then(|at| self.unseen.get(at)) {
            return Some((&unseen.1, true));
        }
        of(&self.folders).and_then(|at| self.folders.get(at)).map(|(_, words)| (&**words, false))
    }
}

/// The folder of the open shop, as it is remembered; `None` where no shop is open.
pub(super) fn own_folder(shell: &Shell) -> Option<PathBuf> {
    let folder = &shell.shop.offers().folder;
    (!folder.as_os_str().is_empty())
        .then(|| std::path::absolute(folder).unwrap_or_else(|_| folder.clone()))
}

/// The folders that are to be seen beside the open shop.
pub(crate) fn remembered(shell: &Shell) -> &[PathBuf] {
    let own = own_folder(shell);
    let kept = own.and_then(|own| shell.preferences.shops_beside.get(&own));
    kept.map(Vec::as_slice).unwrap_or_default()
}

/// Whether a folder can be seen beside a shop; asked of the disk, which may be a share.
pub(super) fn looked_at(
    own: PathBuf,
    kept: &[PathBuf],
    folder: PathBuf,
) -> Result<OtherFolder, NotAdded> {
    let folder = std::path::absolute(&folder).unwrap_or(folder);
    WhyUnseen::check(&folder)
        .map_err(|why| NotAdded::Unseen { place: shown::path(&folder), why })?;
    let whole = |path: &Path| path.canonicalize().unwrap_or_else(|_| path.to_owned());
    let found = whole(&folder);
    if found == whole(&own) {
        return Err(NotAdded::Own);
    }
    if kept.iter().any(|kept| whole(kept) == found) {
        return Err(NotAdded::There);
    }
    Ok(OtherFolder { own, folder })
}
