//! What the program asks of the world, behind traits so that tests can answer instead: the
//! clock, folders, file dialogs, threads, the disk, and where `ssh-keygen` is.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use etcetera::BaseStrategy as _;
use record::shop::survey::SurveyCache;
use record::{Disk, RealDisk, Stamp};

use crate::dialogs::{DesktopDialogs, Dialogs};
use crate::jobs::{NamedThreads, Threads};
use crate::sealing::OpenSsh;

/// Tells the time.
pub trait Clock: Send + Sync {
    /// Now, with the local zone's offset.
    fn now(&self) -> Stamp;
}

/// The machine's clock.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct SystemClock;

impl Clock for SystemClock {
    fn now(&self) -> Stamp {
        Stamp::now()
    }
}

/// Now, for names of files that no session depends on.
#[must_use]
pub(crate) fn time_stamp() -> String {
    SystemClock.now().to_string()
}

/// The program's own folders.
#[derive(Clone, Debug)]
pub struct Folders {
    /// Where the demo shop is unpacked.
    pub data: PathBuf,
    /// Where preferences are kept.
    pub config: PathBuf,
    /// Where what can be worked out again is kept, to be deleted at any time.
    pub cache: PathBuf,
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
                cache: base.cache_dir().join("samepoint"),
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
            cache: folder.join("cache"),
            state: folder.join("state"),
            runtime: None,
            home: folder.to_owned(),
        }
    }

    /// Where surveys of shops keep what they read. Another build of the program, told by its version and by
    /// its own file, uses nothing of it.
    #[must_use]
    pub(crate) fn survey_cache(&self) -> SurveyCache {
        let file = std::env::current_exe().and_then(|program| program.metadata()).ok();
        let written = file.as_ref().and_then(|file| file.modified().ok());
        let length = file.as_ref().map(std::fs::Metadata::len);
        let build = format!("{} {length:?} {written:?}", env!("CARGO_PKG_VERSION"));
        SurveyCache::new(self.cache.join("surveys"), build)
    }

    /// Where facts that could not be written are kept: the first that takes them.
    #[must_use]
    pub fn rescue(&self) -> Vec<PathBuf> {
        let below = |folder: &PathBuf| folder.join("rescue");
        std::iter::once(&self.state).chain(&self.runtime).map(below).collect()
    }
}

/// Everything of the world that the window uses.
pub struct Services {
    /// The clock.
    pub clock: Box<dyn Clock>,
    /// File dialogs.
    pub dialogs: Arc<dyn Dialogs>,
    /// Threads for what may take longer than a frame.
    pub threads: Arc<dyn Threads>,
    /// The program's folders.
    pub folders: Folders,
    /// The disk that files of facts are written to.
    pub disk: Arc<dyn Disk>,
    /// OpenSSH's own program, that seals are made with.
    pub openssh: OpenSsh,
}

impl Services {
    /// The real ones.
    #[must_use]
    pub fn of_user() -> Self {
        Self {
            clock: Box::new(SystemClock),
            dialogs: Arc::new(DesktopDialogs),
            threads: Arc::new(NamedThreads),
            folders: Folders::of_user(),
            disk: Arc::new(RealDisk),
            openssh: OpenSsh::of_user(),
        }
    }
}
