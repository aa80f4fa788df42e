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
    let dialog = rfd::FileDialog::new();
    let of_sessions =
        |dialog: rfd::FileDialog| dialog.add_filter("samepoint session", &["samepoint"]);
    match ask {
        Ask::OpenSession { start } => {
            of_sessions(dialog).set_title("Open a session").set_directory(start).pick_file()
        }
        Ask::KeepCopy { start, name } => of_sessions(dialog)
            .set_title("Keep a copy of this session")
            .set_directory(start)
            .set_file_name(name)
            .save_file(),
        Ask::Report { start, name } => dialog
            .add_filter("report", &["pdf", "svg"])
            .set_title("Put the report in a file")
            .set_directory(start)
            .set_file_name(name)
            .save_file(),
        Ask::SavePicture { start, name } => dialog
            .add_filter("picture", &["svg", "png"])
            .set_title("Save a picture of the plot")
            .set_directory(start)
            .set_file_name(name)
            .save_file(),
    }
}
