//! What lies beside a session: the shop it is kept in, as it stands now.
//!
//! A session copies in what it was worked by; the shop may say otherwise today, or another hand may have
//! copied in something else under the same name. Only a review looks: the session's own facts are never
//! read through the shop.

use std::path::{Path, PathBuf};

use crate::error::Error;
use crate::fact::Camera;
use crate::file::RealDisk;
use crate::hands::Hands;
use crate::ledger::Ledger;
use crate::shop::head_picture::HeadPicture;
use crate::shop::letterhead::Letterhead;
use crate::shop::wording::Wording;
use crate::shop::{Kept, Shop, ShopRules, Zeros};
use crate::station::Station;
use crate::window::NamedWindow;

/// Folders of a shop that hold sessions.
const HOLD_SESSIONS: [&str; 2] = ["sessions", "practice"];

/// Folders by which a folder is known as a shop.
const KNOWN_BY: [&str; 3] = ["stations", "windows", "hands"];

/// The shop beside a session. Its files are read as the shop's own are: plain files only, each with a
/// bound; those that cannot be used are in [`skipped`](Self::skipped).
#[derive(Clone, Debug, Default)]
pub struct Beside {
    /// The shop's folder.
    pub folder: PathBuf,
    /// What stands at the head of its papers.
    pub letterhead: Option<Letterhead>,
    /// Which picture stands beside that.
    pub head_picture: Option<HeadPicture>,
    /// What it wants printed in its reports.
    pub wording: Option<Wording>,
    /// Its stations as they stand now.
    pub stations: Vec<Kept<Station>>,
    /// Its tolerance windows as they stand now.
    pub windows: Vec<Kept<NamedWindow>>,
    /// Its camera maps as they stand now.
    pub cameras: Vec<Kept<Camera>>,
    /// What is noted in it of what was signed.
    pub ledger: Ledger,
    /// When the zero of its stations was outside its limits, and of which nothing can be told.
    pub zeros: Zeros,
    /// Its hands as they stand now.
    pub hands: Hands,
    /// What it demands of its sessions.
    pub rules: ShopRules,
    /// Files that could not be used, each with what is wrong and where.
    pub skipped: Vec<Error>,
}

impl Beside {
    /// The folder of the shop that a session lies in: the parent of its `sessions/` or `practice/`, where
    /// that holds a shop's folders. `session`: its path with links followed.
    #[must_use]
    pub fn folder_of(session: &Path) -> Option<PathBuf> {
        let whole = std::path::absolute(session).ok()?;
        let holding = whole.parent()?;
        let name = holding.file_name()?.to_str()?;
        let shop = holding.parent()?;
        let is_shop = KNOWN_BY.iter().any(|folder| shop.join(folder).is_dir());
        (HOLD_SESSIONS.contains(&name) && is_shop).then(|| shop.to_owned())
    }

    /// What lies beside a session; `None` where it lies in no shop.
    #[must_use]
    pub fn of(session: &Path) -> Option<Self> {
        Self::folder_of(session).map(|folder| Self::load(&folder))
    }

    /// What a shop's folder holds that sessions are held against. What cannot be read is skipped and
    /// reported, the whole folder too.
    #[must_use]
    pub fn load(folder: &Path) -> Self {
        Self { ledger: Ledger::load(folder, &RealDisk), ..Self::without_ledger(folder) }
    }

    /// The same with an empty ledger: that of a shop of many years is long.
    pub(crate) fn without_ledger(folder: &Path) -> Self {
        match Shop::load(folder) {
            Ok(shop) => {
                let zeros = shop.zeros(&RealDisk);
                Self {
                    folder: shop.folder,
                    letterhead: shop.letterhead,
                    head_picture: shop.head_picture,
                    wording: shop.wording,
                    stations: shop.stations,
                    windows: shop.windows,
                    cameras: shop.cameras,
                    ledger: Ledger::default(),
                    zeros,
                    hands: shop.hands,
                    rules: shop.rules,
                    skipped: shop.skipped,
                }
            }
            Err(why) => {
                let folder = folder.to_owned();
                Self { folder, skipped: vec![why], ..Self::default() }
            }
        }
    }
}
