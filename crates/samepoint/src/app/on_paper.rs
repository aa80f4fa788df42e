//! Reports and labels of what is on disk: their sheets, and the files, which are read and written on a thread of their own.

use std::path::{Path, PathBuf};

use paper::words::{capital, counted};
use record::{Account, Date};

use super::App;
use crate::jobs::{Broken, Job, Work};
use crate::pictures::PictureReader;
use crate::report_file::{NotWritten, write_label, write_report};
use crate::sheets::Sheet;
use crate::sheets::label::LabelSheet;
use crate::sheets::paths::ReportSheet;
use crate::shell::open_shop::words_of;
use crate::shell::path_sheet::PathSheet;

/// One on its way.
#[derive(Debug)]
pub(crate) struct OnPaper {
    report: Job<Result<WrittenReport, NotOnPaper>>,
    label: Job<Result<(), NotOnPaper>>,
    says: Job<Result<Vec<String>, NotOnPaper>>,
    /// Where the report and the label go.
    to: [PathBuf; 2],
}

/// A report that is written.
#[derive(Debug)]
struct WrittenReport {
    /// Facts that are not on disk yet and not in it.
    left_out: usize,
}

impl Default for OnPaper {
    fn default() -> Self {
        Self {
            report: Job::idle(Work::Report),
            label: Job::idle(Work::Label),
            says: Job::idle(Work::Label),
            to: Default::default(),
        }
    }
}

/// Why there is none.
#[derive(Debug, thiserror::Error)]
enum NotOnPaper {
    /// The session cannot be read.
    #[error(transparent)]
    Record(#[from] record::Error),
    /// The file cannot be written.
    #[error(transparent)]
    NotWritten(#[from] NotWritten),
    /// Nobody answers.
    #[error("{0}")]
    Broken(Broken),
}

/// What became of one, once it is known.
fn heard<T: Send + 'static>(job: &mut Job<Result<T, NotOnPaper>>) -> Option<Result<T, NotOnPaper>> {
    Some(job.hear()?.map_err(NotOnPaper::Broken).flatten())
}

impl App {
    pub(crate) fn show_report_sheet(&mut self) {
        let Some(session) = &self.session else { return };
        let path = session.file().path();
        let name = format!("{}.pdf", words_of(path));
        self.bring(Sheet::Report(ReportSheet::of(path, &path.with_file_name(name))));
    }

    /// Writes the report of what is on disk: its last hash names a line of the file.
    pub(crate) fn write_report(&mut self, to: &Path) {
        let Some(of) = self.sheet_of() else { return };
        let Sheet::Report(sheet) = &mut self.front else { return };
        if self.on_paper.report.is_going_on() {
            return;
        }
        sheet.writing = true;
        sheet.path.refused = None;
        let pictures = sheet.pictures;
        let at_bench = self.session.as_ref().filter(|session| session.file().path() == of);
        let known = at_bench.map_or(0, |session| session.file().facts().len());
        self.on_paper.to[0] = to.to_owned();
        let (to, issued) = (to.to_owned(), self.shell.now().date());
        self.on_paper.report.start(&self.shell.workers(), move || {
            let account = account_on_disk(&of)?;
            write_report(&account, &to, paper::PaperSize::A4, issued, pictures)?;
            Ok(WrittenReport { left_out: known.saturating_sub(account.facts) })
        });
    }

    pub(crate) fn show_label_sheet(&mut self) {
        let Some(session) = &self.session else { return };
        let path = session.file().path().to_owned();
        let name = format!("{} label.pdf", words_of(&path));
        let to = PathSheet::at(&path.with_file_name(name));
        self.bring(Sheet::Label(LabelSheet { path: to, ..LabelSheet::default() }));
        self.on_paper.says.start(&self.shell.workers(), move || {
            Ok(paper::label(&account_on_disk(&path)?, None).says)
        });
    }

    /// Writes the label of what is on disk: its QR code names a line of the file.
    pub(crate) fn write_label(&mut self, to: &Path) {
        let (Sheet::Label(sheet), Some(session)) = (&mut self.front, &self.session) else { return };
        if self.on_paper.label.is_going_on() {
            return;
        }
        let due = match sheet.due.trim() {
            "" => None,
            typed => match typed.parse::<Date>() {
                Ok(due) => Some(due),
                Err(_) => {
                    sheet.path.refused = Some(format!(
                        "“{typed}” is no day, such as 2027-11-25; leave it empty for a line to write on"
                    ));
                    return;
                }
            },
        };
        sheet.writing = true;
        sheet.path.refused = None;
        let path = session.file().path().to_owned();
        self.on_paper.to[1] = to.to_owned();
        let to = to.to_owned();
        self.on_paper.label.start(&self.shell.workers(), move || {
            Ok(write_label(&account_on_disk(&path)?, &to, due)?)
        });
    }

    /// Whether a report or a label is on its way.
    #[must_use]
    pub const fn puts_on_paper(&self) -> bool {
        let OnPaper { report, label, says, .. } = &self.on_paper;
        report.is_going_on() || label.is_going_on() || says.is_going_on()
    }

    /// Hears what became of them.
    pub(crate) fn hear_on_paper(&mut self) {
        if let Some(said) = heard(&mut self.on_paper.says) {
            for sheet in self.sheets_on_paper() {
                match (sheet, &said) {
                    (Sheet::Label(sheet), Ok(says)) => sheet.says.clone_from(says),
                    (Sheet::Label(sheet), Err(why)) => sheet.path.refused = Some(why.to_string()),
                    _ => {}
                }
            }
        }
        if let Some(written) = heard(&mut self.on_paper.report) {
            let to = std::mem::take(&mut self.on_paper.to[0]);
            let written = written.map(|report| still_waiting(report.left_out));
            let is_it = |sheet: &Sheet| matches!(sheet, Sheet::Report(_));
            self.tell_written("Report written to", &to, written, is_it);
        }
        if let Some(written) = heard(&mut self.on_paper.label) {
            let to = std::mem::take(&mut self.on_paper.to[1]);
            let written = written.map(|()| String::new());
            let is_it = |sheet: &Sheet| matches!(sheet, Sheet::Label(_));
            self.tell_written("Label written to", &to, written, is_it);
        }
    }

    /// Puts its sheet away, or says on it why not; above everything where the hand put it away before.
    fn tell_written(
        &mut self,
        what: &'static str,
        to: &Path,
        written: Result<String, NotOnPaper>,
        is_it: fn(&Sheet) -> bool,
    ) {
        let mut waits = false;
        for sheet in self.sheets_on_paper().filter(|sheet| is_it(sheet)) {
            let (Sheet::Report(ReportSheet { path, writing, .. })
            | Sheet::Label(LabelSheet { path, writing, .. })) = sheet
            else {
                continue;
            };
            if std::mem::take(writing) {
                waits = true;
                path.refused = written.as_ref().err().map(ToString::to_string);
            }
        }
        match written {
            Ok(more) => {
                if waits && is_it(&self.front) {
                    self.put_away();
                }
                self.shell.say_where(what, to, &more);
            }
            Err(why) if !waits => self.shell.warnings.push(capital(&why.to_string())),
            Err(_) => {}
        }
    }

    fn sheets_on_paper(&mut self) -> impl Iterator<Item = &mut Sheet> {
        std::iter::once(&mut self.front).chain(&mut self.behind).chain(&mut self.laid_by)
    }
}

/// Of facts that wait to be written.
fn still_waiting(facts: usize) -> String {
    match facts {
        0 => String::new(),
        n => format!("; {} not on disk yet and not in it", counted(n, "fact is", "facts are")),
    }
}

/// A session as its file has it, its pictures read again.
fn account_on_disk(path: &Path) -> Result<Account, record::Error> {
    let mut account = record::review(path, &record::RealDisk)?;
    account.read_pictures_again(&PictureReader);
    Ok(account)
}
