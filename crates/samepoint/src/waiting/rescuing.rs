//! Keeping the rescue files while facts wait, and telling of it.

use super::held::{HeldFile, Rescuing};
use super::keepers::{SLOW, Waits};
use crate::app::App;
use crate::shell::held::Held;
use crate::shell::kept_file::counted;
use paper::words::form_for;
use record::rescue::KeptWhere;
use record::{Meaning as _, SaveState};
use std::path::Path;
use std::sync::Arc;
use std::time::{Duration, Instant};

impl App {
    /// An open file, and what it is about.
    pub(crate) fn held(&self, held: Held) -> Option<(&dyn HeldFile, String)> {
        Some(match held {
            Held::Session => {
                let open = self.session.as_ref()?;
                (open.file(), open.title())
            }
            Held::Checks => {
                let open = self.checks.as_ref()?;
                (open.file()?, open.station().name.clone())
            }
            Held::Study => {
                let open = self.places.study.open.as_ref()?;
                let station = open.study().about().map(|about| about.station.clone());
                (open.file(), station.unwrap_or_default())
            }
        })
    }

    /// An open file, to try again.
    pub(crate) fn held_mut(&mut self, held: Held) -> Option<&mut dyn HeldFile> {
        Some(match held {
            Held::Session => self.session.as_mut()?.file_mut(),
            Held::Checks => self.checks.as_mut()?.journal_mut()?.file_mut(),
            Held::Study => self.places.study.open.as_mut()?.file_mut(),
        })
    }

    /// Brings the rescue files up to what waits: at once where the hand is about to leave, else once
    /// writing has stopped or takes long.
    pub(crate) fn rescue_waiting(&mut self, at_once: bool) {
        let any = Held::ALL.iter().any(|&held| self.is_saving(held));
        let since = any.then(|| self.keepers.saving_since.unwrap_or_else(Instant::now));
        self.keepers.saving_since = since;
        let at_once = at_once || since.is_some_and(|since| since.elapsed() > SLOW);
        let folders = self.shell.services.folders.rescue();
        let stopped = Held::ALL.iter().any(|&held| self.unsaved(held) > 0);
        if stopped && (at_once || !any) {
            for folder in &folders {
                if let Err(why) = std::fs::create_dir_all(folder) {
                    log::warn!("{}: {why}", folder.display());
                }
            }
        }
        let disk = Arc::clone(&self.shell.services.disk);
        let (disk, now) = (&*disk, self.shell.services.clock.now());
        let to = Rescuing { folders: &folders, disk, now, at_once };
        let mut keepers = std::mem::take(&mut self.keepers);
        for held in Held::ALL {
            if let Some((file, title)) = self.held(held) {
                file.rescue_with(keepers.of_mut(held), (&title, &self.shell.preferences.hand), &to);
            }
        }
        self.keepers = keepers;
        let rescue = Held::ALL.iter().find_map(|&held| match self.keepers.of(held).kept() {
            KeptWhere::InFile(path) => Some(path),
            KeptWhere::Nothing | KeptWhere::MemoryOnly(_) => None,
        });
        crate::crash::remember_rescue(rescue);
    }

    /// While facts are on their way the window looks again when that has taken long.
    pub(crate) fn look_again_while_saving(&self, ctx: &egui::Context) {
        if self.keepers.saving_since.is_some() {
            ctx.request_repaint_after(SLOW + Duration::from_millis(100));
        }
    }

    /// How many facts of a file are not on disk.
    pub(crate) fn unsaved(&self, held: Held) -> usize {
        self.held(held).map_or(0, |(file, _)| file.unsaved())
    }

    /// Whether facts of a file are on their way to disk.
    pub(crate) fn is_saving(&self, held: Held) -> bool {
        let state = self.held(held).map(|(file, _)| file.save_state());
        matches!(state, Some(SaveState::Saving { .. }))
    }

    /// What waits for a file, if anything does.
    #[must_use]
    pub fn waits(&self, held: Held) -> Option<Waits> {
        let (file, title) = self.held(held)?;
        let title = match held {
            Held::Session => title,
            Held::Checks => format!("checks of {title}"),
            Held::Study => format!("study of {title}"),
        };
        let count = file.unsaved();
        if count == 0 {
            return None;
        }
        let why = match file.save_state() {
            SaveState::Stopped { why, .. } => Some(why),
            _ => None,
        };
        let (rescue, kept) = match self.keepers.of(held).kept() {
            KeptWhere::InFile(path) => (Some(path.to_owned()), self.kept_in(path)),
            KeptWhere::MemoryOnly(why) => (None, format!("They are in memory only: {why}.")),
            KeptWhere::Nothing => (None, "They are in memory only.".to_owned()),
        };
        Some(Waits { count, title, path: file.path().to_owned(), why, rescue, kept })
    }

    fn kept_in(&self, rescue: &Path) -> String {
        let runtime = self.shell.services.folders.runtime.as_ref();
        let until = if runtime.is_some_and(|folder| rescue.starts_with(folder)) {
            ": that folder lasts until you log out"
        } else {
            ", and offered at the next start"
        };
        format!("They are kept in the rescue file {} too{until}.", record::shown::path(rescue))
    }

    /// What is said for as long as facts wait that cannot be written.
    pub(crate) fn waiting_words(&self) -> Vec<(Held, String)> {
        let waits = Held::ALL.iter().filter_map(|&held| Some((held, self.waits(held)?)));
        waits
            .filter(|(_, waits)| waits.why.is_some())
            .map(|(held, waits)| {
                let title = record::shown::one_line(&waits.title).into_owned();
                let verb = form_for(waits.count, "waits", "wait");
                let words = format!(
                    "{} of “{title}” {verb} to be written. {}",
                    counted(waits.count),
                    waits.kept
                );
                (held, words)
            })
            .collect()
    }
}
