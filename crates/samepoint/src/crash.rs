//! What is kept for the day something goes wrong: the last log lines in memory, and, on a panic,
//! one page in the state folder that says what the program was doing. The next start says so.

use std::backtrace::Backtrace;
use std::collections::VecDeque;
use std::fs;
use std::io::Write as _;
use std::path::{Path, PathBuf};
use std::sync::{Mutex, MutexGuard, OnceLock, PoisonError};

use crate::services::time_stamp;

/// Log lines kept.
const KEPT_LINES: usize = 200;
const NEW: &str = "crash-";
const SEEN: &str = "seen-crash-";

static LOG: RingLog = RingLog { lines: Mutex::new(VecDeque::new()) };
static SESSION: Mutex<Option<PathBuf>> = Mutex::new(None);
static RESCUE: Mutex<Option<PathBuf>> = Mutex::new(None);
static STATE_FOLDER: OnceLock<PathBuf> = OnceLock::new();

/// The last log lines, oldest first.
struct RingLog {
    lines: Mutex<VecDeque<String>>,
}

fn held<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    // A panic while logging must not hide the log.
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}

impl log::Log for RingLog {
    fn enabled(&self, metadata: &log::Metadata<'_>) -> bool {
        metadata.level() <= log::Level::Info
    }

    fn log(&self, record: &log::Record<'_>) {
        if self.enabled(record.metadata()) {
            let mut lines = held(&self.lines);
            if lines.len() == KEPT_LINES {
                lines.pop_front();
            }
            lines.push_back(format!(
                "{} {} {}: {}",
                time_stamp(),
                record.level(),
                record.target(),
                record.args()
            ));
        }
    }

    fn flush(&self) {}
}

/// Starts the log and has panics written to the state folder. Later calls change nothing.
pub fn install(state_folder: &Path) {
    if STATE_FOLDER.set(state_folder.to_owned()).is_err() {
        return;
    }
    if log::set_logger(&LOG).is_ok() {
        log::set_max_level(log::LevelFilter::Info);
    }
    let usual = std::panic::take_hook();
    std::panic::set_hook(Box::new(move |info| {
        if crate::system_faces::may_fail_here() {
            return;
        }
        let page = page(&info.to_string(), &Backtrace::force_capture());
        if let Some(folder) = STATE_FOLDER.get()
            && let Ok(path) = write_page(folder, &page)
        {
            log::error!("crash page written to {}", record::shown::path(&path));
        }
        usual(info);
    }));
}

/// Names the session that is open, for the page.
pub fn remember_session(path: Option<&Path>) {
    *held(&SESSION) = path.map(Path::to_owned);
}

/// Names the rescue file that waiting facts are in, for the page.
pub fn remember_rescue(path: Option<&Path>) {
    let mut held = held(&RESCUE);
    if held.as_deref() != path {
        *held = path.map(Path::to_owned);
    }
}

/// The log lines kept so far.
#[must_use]
pub(crate) fn log_lines() -> Vec<String> {
    held(&LOG.lines).iter().cloned().collect()
}

fn page(message: &str, backtrace: &Backtrace) -> String {
    let session = held(&SESSION)
        .as_ref()
        .map_or_else(|| "none open".to_owned(), |path| record::shown::path(path));
    let rescue = held(&RESCUE).as_ref().map_or_else(String::new, |path| {
        let path = record::shown::path(path);
        format!("Facts that waited to be written are in {path}; the next start offers them.\n")
    });
    let mut page = format!(
        "samepoint {} stopped at {}\n\n{message}\n\nSession: {session}\n\
         Every fact shown as saved is in that file.\n{rescue}\nLast log lines:\n",
        env!("CARGO_PKG_VERSION"),
        time_stamp(),
    );
    for line in log_lines() {
        page.push_str(&line);
        page.push('\n');
    }
    page.push_str(&format!("\nBacktrace:\n{backtrace}\n"));
    page
}

fn write_page(folder: &Path, page: &str) -> std::io::Result<PathBuf> {
    fs::create_dir_all(folder)?;
    let stamp: String =
        time_stamp().chars().map(|c| if c.is_ascii_alphanumeric() { c } else { '-' }).collect();
    let path = folder.join(format!("{NEW}{stamp}.txt"));
    let mut file = fs::File::create(&path)?;
    file.write_all(page.as_bytes())?;
    file.sync_all()?;
    Ok(path)
}

/// A crash page that has not been shown yet: marks it as shown and says where it is.
#[must_use]
pub(crate) fn unseen_page(state_folder: &Path) -> Option<PathBuf> {
    let newest = fs::read_dir(state_folder)
        .ok()?
        .flatten()
        .map(|entry| entry.path())
        .filter(|path| path.file_name().is_some_and(|name| name.to_string_lossy().starts_with(NEW)))
        .max()?;
    let name = newest.file_name()?.to_string_lossy().replacen(NEW, SEEN, 1);
    let seen = newest.with_file_name(name);
    match fs::rename(&newest, &seen) {
        Ok(()) => Some(seen),
        Err(_) => Some(newest),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A page is shown once, and holds version, session, log and backtrace.
    #[test]
    fn a_page_is_written_and_shown_once() -> std::io::Result<()> {
        let folder = tempfile::tempdir()?;
        assert_eq!(unseen_page(folder.path()), None);
        let text = page("it broke", &Backtrace::force_capture());
        for part in [env!("CARGO_PKG_VERSION"), "it broke", "Session:", "Last log", "Backtrace"] {
            assert!(text.contains(part), "{part}");
        }
        write_page(folder.path(), &text)?;
        let shown = unseen_page(folder.path());
        let kept = shown.as_deref().map(fs::read_to_string).transpose()?;
        assert_eq!(kept, Some(text));
        assert_eq!(unseen_page(folder.path()), None);
        Ok(())
    }
}
