//! What was written from what, in a file beside the tables: told before anything is changed, and again when all is.

use serde::{Deserialize, Serialize};

/// The file's name in the folder of the tables.
pub const MANIFEST: &str = "samepoint-tables.json";

/// What it says that it is.
pub const TAG: &str = "tables of samepoint";

/// The manifest.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Manifest {
    /// [`TAG`].
    pub what: String,
    /// The number of its own form.
    pub format: u32,
    /// The program, with version.
    pub program: String,
    /// Whether all was written; `false` while it is, and after a run that was broken off.
    pub whole: bool,
    /// The shops, as they were named: of equal files the first one's counts.
    pub shops: Vec<ShopWritten>,
    /// The months of each shop, and what they were made of.
    #[serde(default)]
    pub months: Vec<MonthWritten>,
    /// The files, by path.
    pub files: Vec<FileWritten>,
    /// What was said.
    pub said: SaidOfShops,
}

/// A shop that tables were made of.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct ShopWritten {
    /// Its folder, as it can be shown.
    pub folder: String,
    /// What it is called.
    pub name: String,
    /// The name of its folder in each table.
    pub partition: String,
    /// The hash of what lay in it.
    pub inputs_sha256: String,
}

/// A shop's month.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct MonthWritten {
    /// Its folder in each table: the shop's and the month's, with `/`.
    pub partition: String,
    /// The hash of all that its rows follow from.
    pub inputs_sha256: String,
    /// What of it was passed over, and why.
    pub passed_over: Vec<String>,
}

/// A file that was written.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct FileWritten {
    /// Its path in the folder of the tables, with `/`.
    pub path: String,
    /// How many rows.
    pub rows: usize,
    /// Its SHA-256.
    pub sha256: String,
}

/// What a run said of the shops; the same is said again while nothing changes.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct SaidOfShops {
    /// Session files, those passed over among them.
    pub sessions: usize,
    /// Of these, how many count.
    pub counting: usize,
    /// What is told of them.
    pub notes: Vec<String>,
    /// What was passed over, and why.
    pub passed_over: Vec<String>,
}

impl Manifest {
    /// The number of its form.
    pub const FORMAT: u32 = 1;

    /// The program that writes it.
    #[must_use]
    pub fn program() -> String {
        format!("samepoint {}", env!("CARGO_PKG_VERSION"))
    }

    /// Of a folder in which nothing was written yet.
    #[must_use]
    pub fn begun() -> Self {
        Self {
            what: TAG.to_owned(),
            format: Self::FORMAT,
            program: Self::program(),
            whole: false,
            shops: Vec::new(),
            months: Vec::new(),
            files: Vec::new(),
            said: SaidOfShops::default(),
        }
    }

    /// It as a file.
    ///
    /// # Errors
    /// None is known.
    pub fn bytes(&self) -> serde_json::Result<Vec<u8>> {
        let mut bytes = serde_json::to_vec_pretty(self)?;
        bytes.push(b'\n');
        Ok(bytes)
    }

    /// What a file says; `None` where it is not a manifest of this form.
    #[must_use]
    pub fn read(bytes: &[u8]) -> Option<Self> {
        let manifest: Self = serde_json::from_slice(bytes).ok()?;
        (manifest.what == TAG && manifest.format == Self::FORMAT).then_some(manifest)
    }

    /// Whether what is to be written now is what was written then, but for what the files hold.
    #[must_use]
    pub fn is_of(&self, shops: &[ShopWritten]) -> bool {
        self.whole && self.program == Self::program() && self.shops == shops
    }
}
