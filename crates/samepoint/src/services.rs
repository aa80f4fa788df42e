//! What the program asks of the world, behind traits so that tests can answer instead: the
//! clock, folders and file dialogs.

use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::mpsc::Receiver;

use etcetera::BaseStrategy as _;
use record::{Disk, RealDisk, Stamp};

/// Tells the time.
pub trait Clock: Send + Sync {
    /// Now, with the local zone's offset.
    fn now(&self) -> Stamp;
}

/// The machine's clock.
#[derive(Clone, Copy, Debug, Default)]
pub struct SystemClock;

impl Clock for SystemClock {
    fn now(&self) -> Stamp {
        Stamp::now()
    }
}

/// Now, for names of files that no session depends on.
#[must_use]
pub fn time_stamp() -> String {
    SystemClock.now().to_string()
}

/// The program's own folders.
#[derive(Clone, Debug)]
pub struct Folders {
    /// Where the demo shop is unpacked.
    pub data: PathBuf,
    /// Where preferences are kept.
    pub config: PathBuf,
    /// Where crash pages go, and facts that could not be written.
    pub state: PathBuf,
    /// Another place for those, in memory, where the system has one: kept until the user logs out.
    pub runtime: Option<PathBuf>,
    /// Where the user keeps things: offered where the shop's disk takes nothing.
    pub home: PathBuf,
}

impl Folders {
    /// The user's, by the desktop's conventions; the temporary folder where there is no home.
    #[must_use]
    pub fn of_user() -> Self {
        match etcetera::choose_base_strategy() {
            Ok(base) => Self {
                data: base.data_dir().join("samepoint"),
                config: base.config_dir().join("samepoint"),
                state: base.state_dir().unwrap_or_else(|| base.data_dir()).join("samepoint"),
                runtime: base.runtime_dir().map(|folder| folder.join("samepoint")),
                home: base.home_dir().to_owned(),
            },
            Err(_) => Self::below(&std::env::temp_dir().join("samepoint")),
        }
    }

    /// All below one folder.
    #[must_use]
    pub fn below(folder: &Path) -> Self {
        Self {
            data: folder.join("data"),
            config: folder.join("config"),
            state: folder.join("state"),
            runtime: None,
            home: folder.to_owned(),
        }
    }

    /// Where facts that could not be written are kept: the first that takes them.
    #[must_use]
    pub fn rescue(&self) -> Vec<PathBuf> {
        let below = |folder: &PathBuf| folder.join("rescue");
        std::iter::once(&self.state).chain(&self.runtime).map(below).collect()
    }
}

/// What a file dialog is asked for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Ask {
    /// A session to open.
    OpenSession {
        /// Folder to start in.
        start: PathBuf,
    },
    /// A CSV file of readings.
    OpenReadings {
        /// Folder to start in.
        start: PathBuf,
    },
    /// Where to put a copy.
    KeepCopy {
        /// Folder to start in.
        start: PathBuf,
        /// Name to offer.
        name: String,
    },
    /// Where to go on in a new file.
    Continue {
        /// Folder to start in.
        start: PathBuf,
        /// Name to offer.
        name: String,
    },
    /// Where to put a report.
    Report {
        /// Folder to start in.
        start: PathBuf,
        /// Name to offer.
        name: String,
    },
    /// Where to put a recall list.
    RecallList {
        /// Folder to start in.
        start: PathBuf,
        /// Name to offer.
        name: String,
    },
    /// Where to put a table.
    Table {
        /// Folder to start in.
        start: PathBuf,
        /// Name to offer.
        name: String,
    },
    /// Where to put a picture of the plot.
    SavePicture {
        /// Folder to start in.
        start: PathBuf,
        /// Name to offer.
        name: String,
    },
}

/// What came of it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Answer {
    /// A path was chosen.
    Chosen(PathBuf),
    /// Nothing was chosen.
    Cancelled,
    /// The answer came too fast for a hand: no dialog service runs on this desktop.
    NoService,
}

/// Calls back into the window when something has come in.
pub type Wake = Arc<dyn Fn() + Send + Sync>;

/// Asks for paths, elsewhere than on the window's thread.
pub trait Dialogs {
    /// Starts asking; the answer arrives once.
    fn ask(&self, ask: Ask, wake: Wake) -> Receiver<Answer>;
}

/// Everything of the world that the window uses.
pub struct Services {
    /// The clock.
    pub clock: Box<dyn Clock>,
    /// File dialogs.
    pub dialogs: Box<dyn Dialogs>,
    /// The program's folders.
    pub folders: Folders,
    /// The disk that files of facts are written to.
    pub disk: Arc<dyn Disk>,
}

impl Services {
    /// The real ones.
    #[must_use]
    pub fn of_user() -> Self {
        Self {
            clock: Box::new(SystemClock),
            dialogs: Box::new(crate::jobs::DesktopDialogs),
            folders: Folders::of_user(),
            disk: Arc::new(RealDisk),
        }
    }
}
