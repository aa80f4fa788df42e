//! Reading a shop's sessions: ten thousand take seconds. One reading at a time: what is asked for meanwhile is
//! read after it, or in its stead.

use std::num::NonZeroUsize;
use std::path::PathBuf;
use std::sync::Arc;

use record::practice::Progress;
use record::shop::ReturnedSession;
use record::shop::survey::practised::practised as practised_sessions;
use record::shop::survey::{SurveyCache, SurveyOptions, SurveyProgress, survey_beside};
use record::{RealDisk, SessionSummary, Shop};

use super::other_shops::SeenTogether;
use super::practised::Practised;
use super::surveyed::Surveyed;
use crate::jobs::{Broken, Job, Stop, Work, Workers};

/// What was read.
pub(crate) struct ShopReading {
    /// All sessions.
    pub(crate) surveyed: Surveyed,
    /// Those of the shop itself that a supervisor sent back.
    pub(crate) returned: Vec<ReturnedSession>,
    /// What the folders come to that are seen as one.
    pub(crate) together: SeenTogether,
    /// What lies in practice, or why that could not be read.
    pub(crate) practised: Result<Practised, record::Error>,
    /// The same as sessions of the table, as far as they can be read.
    pub(crate) practice_sessions: Vec<SessionSummary>,
}

/// What is to be read.
#[derive(Clone, Debug)]
pub(crate) struct ToRead {
    /// The shop's folder.
    pub(crate) folder: PathBuf,
    /// Other shops' folders, seen as one with it.
    pub(crate) beside: Vec<PathBuf>,
    /// Every file whole, also those that look as they did.
    pub(crate) anew: bool,
}

impl ToRead {
    fn is_of_same_folders(&self, other: &Self) -> bool {
        self.folder == other.folder && self.beside == other.beside
    }

    /// Whether what this reads is what the other wants.
    fn serves(&self, other: &Self) -> bool {
        self.is_of_same_folders(other) && (self.anew || !other.anew)
    }

    /// Whether what is kept of a folder would be wanted by both.
    fn shares_folder(&self, other: &Self) -> bool {
        let all = |one: &Self| -> Vec<PathBuf> {
            std::iter::once(&one.folder).chain(&one.beside).cloned().collect()
        };
        let others = all(other);
        all(self).iter().any(|folder| others.contains(folder))
    }
}

/// The reading of a shop's sessions. Let go of, it is told to stop.
pub struct SessionsReading {
    job: Job<Result<Option<ShopReading>, record::Error>>,
    now: Option<Running>,
    next: Option<(ToRead, SurveyCache)>,
}

/// What is being read.
struct Running {
    what: ToRead,
    stop: Stop,
    progress: Arc<SurveyProgress>,
}

impl Default for SessionsReading {
    fn default() -> Self {
        Self { job: Job::idle(Work::Survey), now: None, next: None }
    }
}

impl Drop for SessionsReading {
    fn drop(&mut self) {
        self.leave();
    }
}

impl SessionsReading {
    /// Reads this. Where something is being read, this waits for that, since both would use what is kept of the shop;
    /// what is no longer wanted is told to stop.
    ///
    /// Of a shop that shares no folder with it nothing is waited for: it may lie on a share that answers no more.
    pub(super) fn ask(&mut self, mut what: ToRead, cache: SurveyCache, workers: &Workers) {
        let Some(now) = &self.now else { return self.begin(what, cache, workers) };
        if !now.what.serves(&what) {
            now.stop.ask();
        }
        if !now.what.shares_folder(&what) {
            self.next = None;
            return self.begin(what, cache, workers);
        }
        // To read all anew is not forgotten because somebody comes by.
        let waits =
            self.next.as_ref().is_some_and(|(next, _)| next.anew && next.is_of_same_folders(&what));
        what.anew |= waits;
        self.next = Some((what, cache));
    }

    /// Nothing of what is being read is wanted any more.
    pub(crate) fn leave(&mut self) {
        self.next = None;
        if let Some(now) = &self.now {
            now.stop.ask();
        }
    }

    /// Whether sessions are being read that are wanted.
    #[must_use]
    pub fn is_going_on(&self) -> bool {
        self.next.is_some() || self.wanted().is_some()
    }

    fn wanted(&self) -> Option<&Running> {
        self.now.as_ref().filter(|now| !now.stop.is_asked())
    }

    /// How far it has come, in words; `None` where nothing is being read, or all is there already (`there`) and what
    /// changed is read anew in a moment.
    #[must_use]
    pub(crate) fn words(&self, there: bool) -> Option<String> {
        if !self.is_going_on() || (there && !self.wanted().is_some_and(|now| now.what.anew)) {
            return None;
        }
        let far = self.wanted().map(|now| now.progress.so_far()).unwrap_or_default();
        Some(match far {
            (_, 0) => "Reading the sessions…".to_owned(),
            (looked_at, all) => format!("Reading the sessions… {looked_at} of {all}"),
        })
    }

    /// What was read, once it is, or that it broke off; then what was asked for meanwhile is begun.
    pub(super) fn hear(
        &mut self,
        workers: &Workers,
    ) -> Option<Result<Result<ShopReading, record::Error>, Broken>> {
        let heard = self.job.hear()?;
        let wanted = self.wanted().is_some();
        self.now = None;
        if let Some((what, cache)) = self.next.take() {
            self.begin(what, cache, workers);
        }
        wanted.then_some(heard)?.map(Result::transpose).transpose()
    }

    fn begin(&mut self, what: ToRead, cache: SurveyCache, workers: &Workers) {
        let (stop, progress) = (Stop::default(), Arc::<SurveyProgress>::default());
        let running =
            Running { what: what.clone(), stop: stop.clone(), progress: progress.clone() };
        self.now = Some(running);
        self.job.start(workers, move || read(&what, cache, &stop, &progress));
    }
}

/// What all sessions of a shop come to, those of the shops beside it among them; `None` where it was told to stop.
/// Those whose files look as they did are taken from what the cache keeps of them, if that is to be trusted.
fn read(
    what: &ToRead,
    cache: SurveyCache,
    stop: &Stop,
    progress: &SurveyProgress,
) -> Result<Option<ShopReading>, record::Error> {
    let cache = if what.anew { cache.read_anew() } else { cache };
    let folder = &what.folder;
    // One is left for the window, unless all is kept: that is looked at within a second.
    let all = std::thread::available_parallelism().unwrap_or(NonZeroUsize::MIN);
    let reading = NonZeroUsize::new(all.get() - 1).unwrap_or(NonZeroUsize::MIN);
    let looking = SurveyOptions {
        reading,
        go_on: &|| !stop.is_asked(),
        cache: Some(&cache),
        progress: Some(progress),
        ..SurveyOptions::whole(all)
    };
    let Some(survey) = survey_beside(folder, &what.beside, &looking)? else { return Ok(None) };
    let together = SeenTogether::of(&survey);
    let practised = Shop::load(folder)
        .and_then(|shop| Progress::of_shop(&shop, &RealDisk))
        .map(|progress| Practised::of(&progress, &folder.join("practice")));
    // What cannot be read of it stands under “Practice”.
    let practice_sessions = practised_sessions(folder, &RealDisk).unwrap_or_default();
    let returned = survey.returned();
    let surveyed = Surveyed::of(survey);
    Ok(Some(ShopReading { surveyed, returned, together, practised, practice_sessions }))
}

/// What a supervisor sent back, looked for where no sessions were read: much quicker than reading all of
/// them. Where it cannot be looked for, the shop's table tells.
pub(super) fn returned(shop: &Shop) -> Vec<ReturnedSession> {
    shop.returned().unwrap_or_else(|why| {
        log::warn!("{why}");
        Vec::new()
    })
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "tests fail by panicking")]
mod tests {
    use std::collections::VecDeque;
    use std::path::Path;
    use std::sync::Mutex;
    use std::{fs, io};

    use super::*;
    use crate::jobs::Threads;

    type Held = Box<dyn FnOnce() + Send>;

    /// Threads that begin when the test lets them.
    #[derive(Clone, Default)]
    struct HeldThreads(Arc<Mutex<VecDeque<Held>>>);

    impl Threads for HeldThreads {
        fn run(&self, _: Work, what: Held) -> io::Result<()> {
            self.0.lock().unwrap().push_back(what);
            Ok(())
        }
    }

    impl HeldThreads {
        fn waiting(&self) -> usize {
            self.0.lock().unwrap().len()
        }

        fn let_one_go(&self) {
            let one = self.0.lock().unwrap().pop_front();
            one.unwrap()();
        }
    }

    /// Two shops without a session, threads that are held, and a reading that has not begun.
    struct Reads {
        home: tempfile::TempDir,
        threads: HeldThreads,
        reading: SessionsReading,
    }

    impl Reads {
        fn new() -> Self {
            let home = tempfile::tempdir().unwrap();
            for shop in ["a", "b"] {
                fs::create_dir_all(home.path().join(shop).join("sessions")).unwrap();
            }
            Self { home, threads: HeldThreads::default(), reading: SessionsReading::default() }
        }

        fn workers(&self) -> Workers {
            Workers { threads: Arc::new(self.threads.clone()), wake: Arc::new(|| ()) }
        }

        fn ask(&mut self, shop: &str, anew: bool) {
            let what = ToRead { folder: self.home.path().join(shop), beside: Vec::new(), anew };
            let cache = SurveyCache::new(self.home.path().join("cache"), "1".to_owned());
            let workers = self.workers();
            self.reading.ask(what, cache, &workers);
        }

        /// The shop that was read, if one was that is wanted.
        fn hear(&mut self) -> Option<String> {
            let workers = self.workers();
            let read = self.reading.hear(&workers)?.unwrap().unwrap();
            let folder: &Path = read.surveyed.survey.folders.first().unwrap();
            Some(folder.file_name().unwrap().to_string_lossy().into_owned())
        }
    }

    /// Two at once would both use what is kept of a shop, and one of them go without.
    #[test]
    fn what_is_asked_for_meanwhile_is_read_afterwards() {
        let mut reads = Reads::new();
        assert!(!reads.reading.is_going_on() && reads.reading.words(false).is_none());
        for _ in 0..3 {
            reads.ask("a", false);
            assert_eq!(reads.threads.waiting(), 1);
        }
        assert_eq!(reads.reading.words(false).unwrap(), "Reading the sessions…");
        assert_eq!(reads.reading.words(true), None, "what is there stays in sight");
        reads.threads.let_one_go();
        assert_eq!(reads.hear().unwrap(), "a");
        // Asked for twice meanwhile: read once more.
        assert!(reads.reading.is_going_on());
        assert_eq!(reads.threads.waiting(), 1);
        reads.threads.let_one_go();
        assert_eq!(reads.hear().unwrap(), "a");
        assert!(!reads.reading.is_going_on());
        assert_eq!(reads.threads.waiting(), 0);
    }

    #[test]
    fn what_is_no_longer_wanted_is_never_taken_for_what_is() {
        let mut reads = Reads::new();
        reads.ask("a", false);
        reads.ask("b", false);
        assert!(reads.reading.is_going_on());
        // Another shop waits for nothing; what the first one still reads is never heard.
        assert_eq!(reads.threads.waiting(), 2);
        reads.threads.let_one_go();
        assert_eq!(reads.hear(), None);
        reads.threads.let_one_go();
        assert_eq!(reads.hear().unwrap(), "b");
        // Read anew is more than read, and is not forgotten over that.
        reads.ask("b", false);
        reads.ask("b", true);
        reads.ask("b", false);
        assert_eq!(reads.threads.waiting(), 1);
        reads.threads.let_one_go();
        assert_eq!(reads.hear(), None);
        assert!(reads.reading.words(true).is_some());
        reads.threads.let_one_go();
        assert_eq!(reads.hear().unwrap(), "b");
        // Read before it was told.
        reads.ask("a", false);
        reads.threads.let_one_go();
        reads.reading.leave();
        assert!(!reads.reading.is_going_on());
        assert_eq!(reads.hear(), None);
        assert_eq!(reads.threads.waiting(), 0);
    }
}
