//! What a survey read, kept in the user's cache folder: the next one reads whole only what changed.
//!
//! - [`stamp`]: by what a file is known again; [`leans`]: what else a summary leans on;
//! - [`words`]: a summary in words; [`store`]: the database, in it [`bundle`]s; [`sum`]: by what that is known again;
//! - [`ledger`]: the shop's ledger.
//!
//! Never in the shop's folder, which may lie where files cannot be locked; each shop has files of its own.
//! It may be deleted at any time. One that another window holds, that is damaged or of another build of the
//! program, and a folder that takes nothing are worked without or made anew, and nothing is said: the survey
//! is the same, it only takes longer.
//!
//! Kept is what a session's own file says, with what it leans on of its shop, and it counts only while all
//! of that looks as it did. What is told of all sessions together is worked out each time: copies, what the
//! ledger says of them, blind checks seen from the session they check. Sessions whose files are damaged, have lost
//! their end or cannot be read are never kept. A review reads its session whole, whatever is kept here.

mod bundle;
mod leans;
mod ledger;
mod stamp;
mod store;
mod sum;
mod words;

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicU64, Ordering};
use std::sync::{Mutex, PoisonError};

use super::summary::SessionSummary;
use crate::file::v1::wire::Wire as _;
use crate::fold::Session;
use crate::review::Beside;
use crate::shop::{ListedFile, Listing};
use bundle::Kept;
use leans::{Leanings, ShopNow};
use stamp::{FileStamp, short};

use store::{Reader, Store};
use words::Entry;

pub(super) use store::ReadLast;

/// The number of the form in which summaries, and what a ledger says, are kept.
const FORM: u32 = 6;

/// Where surveys keep what they read.
#[derive(Clone, Debug)]
pub struct SurveyCache {
    folder: PathBuf,
    build: String,
    trusts: bool,
}

impl SurveyCache {
    /// In a folder of the user's own. `build`: which build of the program works summaries out; what another
    /// one kept is not used.
    #[must_use]
    pub fn new(folder: PathBuf, build: String) -> Self {
        Self { folder, build, trusts: true }
    }

    /// The same, but nothing that is kept is used: every file is read whole, and what that gives is kept.
    #[must_use]
    pub fn read_anew(self) -> Self {
        Self { trusts: false, ..self }
    }

    /// The file in which what was read of a shop is kept.
    #[must_use]
    pub fn file_of(&self, shop: &Path) -> PathBuf {
        let whole = shop.canonicalize().or_else(|_| std::path::absolute(shop));
        let whole = whole.unwrap_or_else(|_| shop.to_owned());
        let name = short(whole.as_os_str().as_encoded_bytes());
        let name: String = name.iter().map(|byte| format!("{byte:02x}")).collect();
        self.folder.join(format!("{name}.redb"))
    }

    /// Whether a survey of a shop was kept that this build of the program trusts: then the next one is likely to read
    /// little of it whole. Looks at two files of the cache.
    #[must_use]
    pub fn keeps_any_of(&self, shop: &Path) -> bool {
        Store::is_kept(&self.file_of(shop), &self.made_by())
    }

    fn made_by(&self) -> String {
        format!("{FORM} {}", self.build)
    }

    /// Takes up what is kept of a shop's folder. None of it counts before it is held [beside](KeptSummaries::beside)
    /// the shop.
    pub(super) fn take_up(&self, shop: &Path) -> KeptSummaries {
        let store = Store::open(&self.file_of(shop), &self.made_by());
        let reader = store.as_ref().filter(|_| self.trusts).and_then(Store::reader);
        KeptSummaries { store, reader, ..KeptSummaries::nothing() }
    }
}

/// What is kept of one shop, while its sessions are looked at.
pub(super) struct KeptSummaries {
    store: Option<Store>,
    reader: Option<Reader>,
    shop: Option<ShopNow>,
    /// What was read whole, to be kept.
    found: Mutex<Vec<Kept>>,
    /// How many of those that are kept were used.
    used: AtomicU64,
}

/// A file as it looked before it was read whole.
pub(super) struct BeforeReading(Option<FileStamp>);

impl KeptSummaries {
    /// Nothing is kept, and nothing will be.
    pub(super) const fn nothing() -> Self {
        Self {
            store: None,
            reader: None,
            shop: None,
            found: Mutex::new(Vec::new()),
            used: AtomicU64::new(0),
        }
    }

    /// The same, held against the shop as it is now.
    pub(super) fn beside(self, beside: &Beside) -> Self {
        let shop = self.store.is_some().then(|| ShopNow::of(beside));
        Self { shop, ..self }
    }

    /// The summary of a session whose file, and all it leans on, looks as it did when that was kept. `last`: of the
    /// session that was asked for before.
    pub(super) fn of(
        &self,
        listing: &Listing,
        listed: &ListedFile,
        last: &mut ReadLast,
    ) -> Option<SessionSummary> {
        let (reader, shop) = self.reader.as_ref().zip(self.shop.as_ref())?;
        let mut summary: SessionSummary = reader.get(listed.key(), last, |bytes| {
            let entry: Entry<'_> = postcard::from_bytes(bytes).ok()?;
            let holds = entry.stamp.still_holds_of(listing, listed) && entry.leans.still_hold(shop);
            holds.then(|| entry.summary.read().ok())?
        })?;
        summary.file = listed.name().to_str()?.to_owned();
        self.used.fetch_add(1, Ordering::Relaxed);
        Some(summary)
    }

    /// What a file looks like, before it is read whole.
    pub(super) fn before_reading(&self, path: &Path) -> BeforeReading {
        BeforeReading(self.store.as_ref().and_then(|_| FileStamp::of(path).ok()))
    }

    /// Keeps what a file gave that was read whole, unless it changed meanwhile.
    pub(super) fn keep(
        &self,
        path: &Path,
        listed: &ListedFile,
        before: BeforeReading,
        session: &Session,
        summary: &SessionSummary,
    ) {
        let entry = || {
            let (stamp, shop) = before.0.zip(self.shop.as_ref())?;
            listed.name().to_str()?;
            let leans = Leanings::of(session, shop)?;
            let entry = Entry { stamp, leans, summary: words::SummaryWords::write(summary) };
            let bytes = postcard::to_stdvec(&entry).ok()?;
            let unchanged = entry.stamp.still_holds(path);
            Some((listed.key().to_vec(), bytes)).filter(|_| unchanged)
        };
        if let Some(entry) = entry() {
            self.found.lock().unwrap_or_else(PoisonError::into_inner).push(entry);
        }
    }

    /// Writes down what was read whole, and forgets files that are no longer there. `listing`: those that are.
    pub(super) fn write_down(self, listing: &Listing) {
        let Some(store) = self.store else { return };
        let found = self.found.into_inner().unwrap_or_else(PoisonError::into_inner);
        if found.is_empty() && store.count() == Some(self.used.into_inner()) {
            drop(self.reader);
            return store.let_go();
        }
        let there: BTreeSet<&[u8]> = listing.files.iter().map(ListedFile::key).collect();
        drop(self.reader);
        store.write(found, |key| there.contains(key));
    }
}
