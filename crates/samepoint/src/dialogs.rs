//! File dialogs: what is asked for, what came of it, and the desktop's own.

use std::path::PathBuf;
use std::time::{Duration, Instant};

/// What a file dialog is asked for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Ask {
    /// A session to open.
    OpenSession {
        /// Folder to start in.
        start: PathBuf,
    },
    /// A folder for a shop that is begun.
    ShopFolder {
        /// Folder to start in.
        start: PathBuf,
    },
    /// The folder of another shop, to be seen beside the one that is open.
    OtherShop {
        /// Folder to start in.
        start: PathBuf,
    },
    /// A folder for an audit pack.
    NewFolder {
        /// Folder to start in.
        start: PathBuf,
    },
    /// A CSV file of readings.
    OpenReadings {
        /// Folder to start in.
        start: PathBuf,
    },
    /// A list of what a shop has.
    OpenList {
        /// Folder to start in.
        start: PathBuf,
    },
    /// A picture of a unit.
    OpenPicture {
        /// Folder to start in.
        start: PathBuf,
    },
    /// The picture for a shop's papers.
    OpenHeadPicture {
        /// Folder to start in.
        start: PathBuf,
    },
    /// A picture that a station's camera took.
    OpenStationPicture {
        /// Folder to start in.
        start: PathBuf,
    },
    /// The private part of a key to seal with.
    OpenKey {
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
    /// Where to put a label.
    Label {
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
pub enum DialogAnswer {
    /// A path was chosen.
    Chosen(PathBuf),
    /// Nothing was chosen.
    Cancelled,
    /// The answer came too fast for a hand: no dialog service runs on this desktop.
    NoService,
}

/// Asks for paths. Never on the window's thread: a portal may take half a minute to say that it is
/// not there.
pub trait Dialogs: Send + Sync {
    /// Asks, and waits for the hand.
    fn ask(&self, ask: Ask) -> DialogAnswer;
}

/// What saving the plot is called, by its sheet too.
pub(crate) const SAVE_PICTURE: &str = "Save a picture of the plot";
/// An empty answer faster than this was given by no hand.
const NO_HAND: Duration = Duration::from_millis(150);

/// The desktop's own file dialogs.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct DesktopDialogs;

impl Dialogs for DesktopDialogs {
    fn ask(&self, ask: Ask) -> DialogAnswer {
        let begun = Instant::now();
        match show(ask) {
            Some(path) => DialogAnswer::Chosen(path),
            None if begun.elapsed() < NO_HAND => DialogAnswer::NoService,
            None => DialogAnswer::Cancelled,
        }
    }
}

fn show(ask: Ask) -> Option<PathBuf> {
    let session = ("samepoint session", &["samepoint"][..]);
    let dialog = |(name, endings): (&str, &[&str]), title: &str, start| {
        rfd::FileDialog::new().add_filter(name, endings).set_title(title).set_directory(start)
    };
    let (dialog, name) = match ask {
        Ask::OpenSession { start } => return dialog(session, "Open a session", start).pick_file(),
        Ask::ShopFolder { start } => {
            let dialog = rfd::FileDialog::new().set_title("The folder of the shop");
            return dialog.set_directory(start).pick_folder();
        }
        Ask::OtherShop { start } => {
            let dialog = rfd::FileDialog::new().set_title("The folder of another shop");
            return dialog.set_directory(start).pick_folder();
        }
        Ask::NewFolder { start } => {
            let dialog = rfd::FileDialog::new().set_title("A new or empty folder for the pack");
            return dialog.set_directory(start).pick_folder();
        }
        Ask::OpenReadings { start } => {
            let readings = ("readings", &["csv", "txt"][..]);
            return dialog(readings, "Import readings", start).pick_file();
        }
        Ask::OpenList { start } => {
            return dialog(("list", &["csv", "txt"]), "Import a list", start).pick_file();
        }
        Ask::OpenPicture { start } => {
            let pictures = ("picture", &["png", "jpg", "jpeg"][..]);
            return dialog(pictures, "A picture of the unit", start).pick_file();
        }
        Ask::OpenHeadPicture { start } => {
            let pictures = ("picture", &["png", "jpg", "jpeg"][..]);
            return dialog(pictures, "The picture for the shop’s papers", start).pick_file();
        }
        Ask::OpenStationPicture { start } => {
            let pictures = ["png", "jpg", "jpeg", "pnm", "pgm", "ppm", "tif", "tiff"];
            return dialog(("picture", &pictures), "A picture of the station", start).pick_file();
        }
        Ask::OpenKey { start } => {
            // Keys have any ending, or none.
            let dialog = rfd::FileDialog::new().set_title("The key to seal with");
            return dialog.set_directory(start).pick_file();
        }
        Ask::KeepCopy { start, name } => {
            (dialog(session, "Keep a copy of this session", start), name)
        }
        Ask::Continue { start, name } => (dialog(session, "Continue in a new file", start), name),
        Ask::Report { start, name } => {
            (dialog(("report", &["pdf", "svg"]), "Put the report in a file", start), name)
        }
        Ask::Label { start, name } => {
            (dialog(("label", &["pdf", "svg", "png"]), "Put the label in a file", start), name)
        }
        Ask::RecallList { start, name } => {
            (dialog(("recall list", &["pdf"]), "Put the recall list in a file", start), name)
        }
        Ask::Table { start, name } => {
            (dialog(("table", &["csv"]), "Put the table in a file", start), name)
        }
        Ask::SavePicture { start, name } => {
            (dialog(("picture", &["svg", "png"]), SAVE_PICTURE, start), name)
        }
    };
    dialog.set_file_name(name).save_file()
}
