//! Reading a shop's sessions: ten thousand take seconds.

use std::num::NonZeroUsize;
use std::path::{Path, PathBuf};

use record::practice::Progress;
use record::shop::ReturnedSession;
use record::shop::survey::practised::practised as practised_sessions;
use record::shop::survey::{SurveyCache, SurveyOptions, survey_beside};
use record::{RealDisk, SessionSummary, Shop, Survey};

use super::other_shops::SeenTogether;
use super::practised::Practised;

/// What was read.
pub struct ShopReading {
    /// All sessions.
    pub(crate) survey: Survey,
    /// What the folders come to that are seen as one.
    pub(crate) together: SeenTogether,
    /// What lies in practice, or why that could not be read.
    pub(crate) practised: Result<Practised, record::Error>,
    /// The same as sessions of the table, as far as they can be read.
    pub(crate) practice_sessions: Vec<SessionSummary>,
}

/// What all sessions of a shop come to, those of the shops `beside` it among them. Those whose files look as they did are taken from what the cache
/// keeps of them, if that is to be trusted.
///
/// # Errors
/// Why they cannot be read.
pub(crate) fn read(
    folder: &Path,
    beside: &[PathBuf],
    cache: &SurveyCache,
) -> Result<ShopReading, record::Error> {
    // One is left for the window, unless all is kept: that is looked at within a second.
    let all = std::thread::available_parallelism().unwrap_or(NonZeroUsize::MIN);
    let reading = NonZeroUsize::new(all.get() - 1).unwrap_or(NonZeroUsize::MIN);
    let cache = Some(cache);
    let looking = SurveyOptions { reading, cache, ..SurveyOptions::whole(all) };
    let survey = survey_beside(folder, beside, &looking)?.unwrap_or_default();
    let together = SeenTogether::of(&survey);
    let practised = Shop::load(folder)
        .and_then(|shop| Progress::of_shop(&shop, &RealDisk))
        .map(|progress| Practised::of(&progress, &folder.join("practice")));
    // What cannot be read of it stands under “Practice”.
    let practice_sessions = practised_sessions(folder, &RealDisk).unwrap_or_default();
    Ok(ShopReading { survey, together, practised, practice_sessions })
}

/// What a supervisor sent back, looked for when a shop is opened: much quicker than reading all
/// sessions. Where it cannot be looked for, the shop's table tells.
pub(crate) fn returned(shop: &Shop) -> Vec<ReturnedSession> {
    shop.returned().unwrap_or_else(|why| {
        log::warn!("{why}");
        Vec::new()
    })
}
