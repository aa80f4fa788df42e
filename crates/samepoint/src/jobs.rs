//! Named worker threads: what may take longer than a frame.

use std::sync::mpsc::{Receiver, channel};
use std::time::{Duration, Instant};

use crate::services::{Answer, Ask, Dialogs, Wake};

/// An empty answer faster than this was given by no hand.
const NO_HAND: Duration = Duration::from_millis(150);

/// The desktop's own file dialogs. A portal may take half a minute to say that it is not there,
/// so each question waits on a thread of its own.
#[derive(Clone, Copy, Debug, Default)]
pub struct DesktopDialogs;

impl Dialogs for DesktopDialogs {
    fn ask(&self, ask: Ask, wake: Wake) -> Receiver<Answer> {
        let (sender, receiver) = channel();
        let failed = sender.clone();
        let started = std::thread::Builder::new().name("file dialog".to_owned()).spawn(move || {
            let begun = Instant::now();
            let answer = match show(ask) {
                Some(path) => Answer::Chosen(path),
                None if begun.elapsed() < NO_HAND => Answer::NoService,
                None => Answer::Cancelled,
            };
            // The window may be gone; then nobody waits for the answer.
            if sender.send(answer).is_ok() {
                wake();
            }
        });
        if let Err(error) = started {
            log::warn!("no thread for the file dialog: {error}");
            if failed.send(Answer::NoService).is_err() {
                log::warn!("nobody waited for the file dialog");
            }
        }
        receiver
    }
}

fn show(ask: Ask) -> Option<std::path::PathBuf> {
    let session = ("samepoint session", &["samepoint"][..]);
    let dialog = |(name, endings): (&str, &[&str]), title: &str, start| {
        rfd::FileDialog::new().add_filter(name, endings).set_title(title).set_directory(start)
    };
    let (dialog, name) = match ask {
        Ask::OpenSession { start } => return dialog(session, "Open a session", start).pick_file(),
        Ask::OpenReadings { start } => {
            let readings = ("readings", &["csv", "txt"][..]);
            return dialog(readings, "Import readings", start).pick_file();
        }
        Ask::KeepCopy { start, name } => {
            (dialog(session, "Keep a copy of this session", start), name)
        }
        Ask::Continue { start, name } => (dialog(session, "Continue in a new file", start), name),
        Ask::Report { start, name } => {
            (dialog(("report", &["pdf", "svg"]), "Put the report in a file", start), name)
        }
        Ask::RecallList { start, name } => {
            (dialog(("recall list", &["pdf"]), "Put the recall list in a file", start), name)
        }
        Ask::Table { start, name } => {
            (dialog(("table", &["csv"]), "Put the table in a file", start), name)
        }
        Ask::SavePicture { start, name } => {
            (dialog(("picture", &["svg", "png"]), "Save a picture of the plot", start), name)
        }
    };
    dialog.set_file_name(name).save_file()
}
