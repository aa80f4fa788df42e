//! What every room of the window stands on, and what names none of them: the world, what is remembered of the
//! user, the open shop, who is at the bench, and a voice.
//!
//! - [`open_shop`]: the shop that is open, [`offers`]: what it offers to choose from; [`who`]: who is at the bench;
//! - [`effect`]: what a place asks of the window;
//! - [`held`]: files that facts may wait for; [`kept_file`]: whether the facts of one are safe;
//!   [`to_salvage`]: one that could not be opened;
//! - [`open_journal`]: an open file beside the sessions; [`path_sheet`]: a path, typed or chosen; [`of_shop`]: what is
//!   written of a shop;
//! - [`reading_form`]: ring, x and y of a check's or a study's reading;
//! - [`sealing`]: with which key something is sealed; `authority`: who may sign and answer;
//! - [`layout_size`]: wide or small; [`refusals`]: what several refuse in the same words.

pub(crate) mod authority;
pub(crate) mod effect;
pub(crate) mod held;
pub(crate) mod kept_file;
pub(crate) mod layout_size;
pub(crate) mod of_shop;
pub(crate) mod offers;
pub(crate) mod open_journal;
pub(crate) mod open_shop;
pub(crate) mod path_sheet;
pub(crate) mod reading_form;
pub(crate) mod refusals;
pub(crate) mod sealing;
pub(crate) mod to_salvage;
pub(crate) mod who;

use std::sync::Arc;

use record::{FileOptions, Opener, Stamp};

use crate::jobs::{Broken, WakeWindow, Workers};
use crate::preferences::Preferences;
use crate::services::Services;
use crate::widgets::cut_place;
use open_shop::OpenShop;
use refusals::Refusal;
use sealing::running::RunningSeal;
use who::Who;

/// What every room may use.
pub struct Shell {
    pub(crate) services: Services,
    pub(crate) preferences: Preferences,
    /// What the preferences were when last written.
    written_preferences: Preferences,
    pub(crate) shop: OpenShop,
    pub(crate) who: Who,
    /// What was said last.
    pub(crate) notice: Option<String>,
    /// The notice with the whole of a place in it, where it shows only a part.
    pub(crate) notice_whole: Option<String>,
    /// Sentences that stay until something is done about them.
    pub(crate) warnings: Vec<String>,
    /// The seal that is being made, or was made last.
    pub(crate) sealing: Option<RunningSeal>,
    pub(crate) wake: WakeWindow,
}

impl Shell {
    /// With no shop yet; preferences are read.
    #[must_use]
    pub fn new(services: Services, wake: WakeWindow) -> Self {
        let (preferences, trouble) = Preferences::load(&services.folders.config);
        Self {
            written_preferences: preferences.clone(),
            shop: OpenShop::none(),
            who: Who::at_start(preferences.ask_after_minutes, &preferences.hand),
            notice: None,
            notice_whole: None,
            sealing: None,
            warnings: trouble.into_iter().collect(),
            wake,
            services,
            preferences,
        }
    }

    /// The time.
    #[must_use]
    pub fn now(&self) -> Stamp {
        self.services.clock.now()
    }

    /// Those who do what may take longer than a frame.
    #[must_use]
    pub fn workers(&self) -> Workers {
        Workers { threads: Arc::clone(&self.services.threads), wake: self.wake.clone() }
    }

    /// Says something, until something else is said.
    pub fn say(&mut self, notice: impl Into<String>) {
        let notice = notice.into();
        log::info!("{notice}");
        self.notice = Some(notice);
        self.notice_whole = None;
    }

    /// Says what was put where: of a long place its end, and all of it on hover.
    pub fn say_where(&mut self, what: &str, place: &std::path::Path, more: &str) {
        let place = record::shown::path(place);
        let short = cut_place(&place);
        let whole = (short != place).then(|| format!("{what} {place}{more}"));
        self.say(format!("{what} {short}{more}"));
        self.notice_whole = whole;
    }

    /// Says something that stays until it is put away.
    pub fn warn(&mut self, why: impl ToString) {
        self.warnings.push(why.to_string());
    }

    /// Says that a worker ended without an answer, where no place of its own shows it.
    pub fn warn_of(&mut self, broken: &Broken) {
        let told = broken.to_string();
        if !self.warnings.contains(&told) {
            self.warnings.push(told);
        }
    }

    /// How files are opened here.
    #[must_use]
    pub fn file_options(&self) -> FileOptions {
        let hand = &self.preferences.hand;
        FileOptions {
            disk: Arc::clone(&self.services.disk),
            opener: Opener {
                now: self.now(),
                ..Opener::here(if hand.is_empty() { "somebody" } else { hand })
            },
            wake: self.wake.clone(),
        }
    }

    /// The initials that facts bear.
    #[must_use]
    pub fn hand(&self) -> String {
        if self.who.asks() || self.preferences.hand.is_empty() {
            record::fact::NOT_NAMED.to_owned()
        } else {
            self.preferences.hand.clone()
        }
    }

    /// The initials last given; empty while nobody said who is at the bench.
    #[must_use]
    pub fn known_hand(&self) -> &str {
        if self.who.asks() { "" } else { &self.preferences.hand }
    }

    /// Nothing bears anybody's initials before it was said whose they are.
    ///
    /// # Errors
    /// What to do first; the keyboard goes there.
    pub fn who_first(&mut self) -> Result<(), Refusal> {
        if !self.who.asks() {
            return Ok(());
        }
        self.who.take_keyboard = true;
        Err(Refusal::WhoFirst)
    }

    /// The initials of whoever is at the bench, for what must bear some.
    ///
    /// # Errors
    /// What to do first.
    pub fn named_hand(&mut self) -> Result<String, Refusal> {
        self.who_first()?;
        let hand = self.preferences.hand.trim();
        if hand.is_empty() {
            return Err(Refusal::NoHand);
        }
        Ok(hand.to_owned())
    }

    /// Writes the preferences where they changed.
    pub fn save_preferences(&mut self) {
        if self.preferences == self.written_preferences {
            return;
        }
        if let Err(error) = self.preferences.save(&self.services.folders.config) {
            self.say(format!(
                "Preferences not saved: {error}. Folder: {}",
                record::shown::path(&self.services.folders.config)
            ));
        }
        // Said once, not once a frame.
        self.written_preferences = self.preferences.clone();
    }
}
