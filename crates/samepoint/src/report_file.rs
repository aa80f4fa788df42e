//! A report put into a file: never half of one, never over something that is not a report.

use std::ffi::OsStr;
use std::fs;
use std::io::{self, Read, Write};
use std::path::{Path, PathBuf};

use paper::chart::ChartOnPaper;
use paper::{HeadShown, PaperSize, Pictures};
use record::file::{names, plain};
use record::practice::progress;
use record::shop::SESSION_EXTENSION;
use record::shop::parts::table as shelf_table;
use record::shop::survey::period::Period;
use record::shop::survey::table as shop_table;
use record::{Account, Date, Stamp, Survey, shown};

use crate::pictures::head;
use crate::pictures::small::small_pictures;

/// What is not written, and why: its file, what is wrong and what to do.
#[derive(Debug, thiserror::Error)]
#[error("{}: {why}", shown::path(file))]
pub(crate) struct NotWritten {
    /// Where to, or of which session.
    pub file: PathBuf,
    /// Why not.
    #[source]
    pub why: ReportRefusal,
}

/// Why something is not put into a file.
#[derive(Debug, thiserror::Error)]
pub(crate) enum ReportRefusal {
    /// The name is a session's.
    #[error("this would be written over a session; name a file that ends in .pdf or .svg")]
    OverSession,
    /// The name says neither.
    #[error("the name must end in .pdf (the report) or .svg (the field plot alone)")]
    NotPdfOrSvg,
    /// The name does not say what it is.
    #[error("the name must end in {0}")]
    NotEnding(&'static str),
    /// The session cannot be read once more.
    #[error("the session cannot be read to go with its report: {}", shown::system(.0))]
    NotReadAgain(#[source] io::Error),
    /// It is longer than what goes into a PDF.
    #[error(
        "the session is longer than 256 MiB, which a report does not carry with it; keep the file itself"
    )]
    TooLongWithin,
    /// Its last line is another than a moment ago.
    #[error("the session was written to while its report was drawn; write the report again")]
    Changed,
    /// The name says no kind of picture a label can be.
    #[error("the name must end in .pdf, .svg or .png (the label of the case)")]
    NotLabel,
    /// A label that is due before it is made.
    #[error(
        "the unit cannot be due on {due}, before it was signed on {signed}; leave it out, or name a later day"
    )]
    DueBefore {
        /// As said.
        due: Date,
        /// When it was signed.
        signed: Date,
    },
    /// The picture cannot be drawn.
    #[error(transparent)]
    Png(#[from] paper::png::PngError),
    /// Nothing is told of an examination before it is signed.
    #[error("an examination is sat here; it is put on paper once it is signed")]
    Examination,
    /// Something is there, and nothing takes its place.
    #[error("there is something of this name already, and it is not replaced; name another file")]
    There,
    /// The place of a folder is taken.
    #[error(
        "there is something of this name that is no folder; name a folder that is new or empty"
    )]
    NoFolder,
    /// The folder holds something.
    #[error(
        "this folder is not empty, and nothing is put beside what is in it; name a new one or an empty one"
    )]
    NotEmpty,
    /// It is no file.
    #[error("this is a folder; name a file")]
    Folder,
    /// What is there might be anything.
    #[error("what is there cannot be looked at: {}", shown::system(.0))]
    NotLookedAt(#[source] io::Error),
    /// What is there is what it is about.
    #[error("this is the session itself; name another file")]
    TheSession,
    /// What is there is no earlier one: `no report`.
    #[error(
        "there is a file that is {0} written by this program; name another file or move that one away"
    )]
    Others(&'static str),
    /// It cannot be put together.
    #[error(transparent)]
    Paper(#[from] paper::Error),
    /// The table cannot.
    #[error(transparent)]
    Table(#[from] record::Error),
    /// The disk refuses it.
    #[error("cannot be written: {}", shown::system(.0))]
    System(#[source] io::Error),
}

impl ReportRefusal {
    /// Of a file.
    #[must_use]
    pub(crate) fn of(self, file: &Path) -> NotWritten {
        NotWritten { file: file.to_owned(), why: self }
    }
}

/// What a report can be written as.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum ReportKind {
    /// The whole report.
    Pdf,
    /// The field plot alone.
    Svg,
}

/// The field plot alone is this wide and high, points: a column of a page.
pub(crate) const PLOT_PT: f64 = 480.0;

impl ReportKind {
    fn of(path: &Path) -> Result<Self, NotWritten> {
        let extension = path.extension().map(OsStr::to_ascii_lowercase);
        match extension.as_ref().and_then(|extension| extension.to_str()) {
            Some("pdf") => Ok(Self::Pdf),
            Some("svg") => Ok(Self::Svg),
            Some(SESSION_EXTENSION) => Err(ReportRefusal::OverSession.of(path)),
            _ => Err(ReportRefusal::NotPdfOrSvg.of(path)),
        }
    }

    /// How one that this program wrote is known.
    const fn ours(self) -> Ours {
        match self {
            Self::Pdf => paper::marks::is_our_pdf,
            Self::Svg => paper::marks::is_our_svg,
        }
    }
}

/// Whether a file is one that this program wrote.
type Ours = fn(&mut fs::File) -> io::Result<bool>;

/// Writes the report of a session, or its field plot, as the file's name asks; with the `pictures` that its confirm
/// readings rest on, where they are wanted. `issued`: the day that stands on the report.
///
/// An earlier report that this program wrote is replaced once the new one is whole on disk. Any other
/// file stays.
///
/// # Errors
/// One message that names the file and says what to do.
pub(crate) fn write_report(
    account: &Account,
    to: &Path,
    paper: PaperSize,
    issued: Date,
    pictures: bool,
) -> Result<(), NotWritten> {
    let kind = ReportKind::of(to)?;
    if account.session.withholds() {
        return Err(ReportRefusal::Examination.of(&account.path));
    }
    may_replace(Some(&account.path), to, kind.ours(), "no report")?;
    let bytes = match kind {
        ReportKind::Pdf => {
            let beside = account.beside.as_ref();
            let head = beside.and_then(|shop| head::kept(&shop.folder, shop.head_picture.as_ref()));
            report_and_session(account, paper, issued, pictures, head.as_ref())?.0
        }
        ReportKind::Svg => {
            let scene = paper::session_scene(account);
            paper::svg(&scene, [PLOT_PT, PLOT_PT]).into_bytes()
        }
    };
    put(to, &bytes).map_err(|why| ReportRefusal::System(why).of(to))
}

/// The report of a session as PDF, and the bytes of its file that it carries. `head`: the picture of the shop's papers.
///
/// # Errors
/// As [`write_report`].
pub(crate) fn report_and_session(
    account: &Account,
    paper: PaperSize,
    issued: Date,
    pictures: bool,
    head: Option<&HeadShown>,
) -> Result<(Vec<u8>, Vec<u8>), NotWritten> {
    if account.session.withholds() {
        return Err(ReportRefusal::Examination.of(&account.path));
    }
    let bytes = session_bytes(account)?;
    let confirm = pictures.then(|| small_pictures(account));
    let pictures = Pictures { head, confirm: confirm.as_deref() };
    let session = Some(bytes.clone());
    let report = paper::report_with(account, session, paper, issued, pictures)
        .map_err(|why| ReportRefusal::Paper(why).of(&account.path))?;
    Ok((report, bytes))
}

/// The longest session that goes into its report, bytes: what a reader may be asked to hold.
const LONGEST_WITHIN: u64 = 256 << 20;

/// The bytes of a session as it was reviewed: the same last line, so that what goes with a report is what it was drawn
/// from.
fn session_bytes(account: &Account) -> Result<Vec<u8>, NotWritten> {
    let refused = |why: io::Error| ReportRefusal::NotReadAgain(why).of(&account.path);
    let file = plain::open(&account.path).map_err(refused)?;
    let mut bytes = Vec::new();
    file.into_inner().take(LONGEST_WITHIN + 1).read_to_end(&mut bytes).map_err(refused)?;
    if bytes.len() as u64 > LONGEST_WITHIN {
        return Err(ReportRefusal::TooLongWithin.of(&account.path));
    }
    let read = record::file::scan(&account.path, &bytes[..]);
    match read {
        Ok(read) if read.last_hash.to_string() == account.last_hash => Ok(bytes),
        _ => Err(ReportRefusal::Changed.of(&account.path)),
    }
}

/// Writes the label of a session's unit, as the file's name asks; an earlier label in PDF or SVG is replaced, no
/// picture is.
///
/// # Errors
/// As [`write_report`]; a day that it is due before it was signed.
pub(crate) fn write_label(
    account: &Account,
    to: &Path,
    due: Option<Date>,
) -> Result<(), NotWritten> {
    if account.session.withholds() {
        return Err(ReportRefusal::Examination.of(&account.path));
    }
    let signed = account.signature().map(|signature| signature.time.date());
    if let (Some(due), Some(signed)) = (due, signed)
        && due < signed
    {
        return Err(ReportRefusal::DueBefore { due, signed }.of(&account.path));
    }
    let label = paper::label(account, due);
    let extension = to.extension().map(OsStr::to_ascii_lowercase);
    match extension.as_ref().and_then(|extension| extension.to_str()) {
        Some("pdf") => {
            may_replace(Some(&account.path), to, paper::marks::is_our_label_pdf, "no label")?;
            let bytes = label.pdf().map_err(|why| ReportRefusal::Paper(why).of(&account.path))?;
            put(to, &bytes).map_err(|why| ReportRefusal::System(why).of(to))
        }
        Some("svg") => {
            may_replace(Some(&account.path), to, paper::marks::is_our_label_svg, "no label")?;
            put(to, label.svg().as_bytes()).map_err(|why| ReportRefusal::System(why).of(to))
        }
        Some("png") => {
            let bytes = label.png().map_err(|why| ReportRefusal::Png(why).of(&account.path))?;
            write_picture(to, &bytes)
        }
        Some(SESSION_EXTENSION) => Err(ReportRefusal::OverSession.of(to)),
        _ => Err(ReportRefusal::NotLabel.of(to)),
    }
}

/// Writes a shop's recall list under a name that ends in .pdf; an earlier recall list is replaced, and no
/// report is.
///
/// # Errors
/// As [`write_table`].
pub(crate) fn write_recall_list(
    survey: &Survey,
    to: &Path,
    now: Stamp,
    paper: PaperSize,
) -> Result<(), NotWritten> {
    if !to.extension().is_some_and(|extension| extension.eq_ignore_ascii_case("pdf")) {
        return Err(ReportRefusal::NotEnding(".pdf").of(to));
    }
    may_replace(None, to, paper::marks::is_our_recall_list, "no recall list")?;
    let bytes = paper::recall_list(survey, &shops_name(survey), now, paper)
        .map_err(|why| ReportRefusal::Paper(why).of(to))?;
    put(to, &bytes).map_err(|why| ReportRefusal::System(why).of(to))
}

/// Writes the report of a shop's month under a name that ends in .pdf; an earlier one is replaced, and no other
/// report is.
///
/// # Errors
/// As [`write_table`].
pub(crate) fn write_month_report(
    survey: &Survey,
    month: Period,
    shop: &str,
    to: &Path,
    (now, paper): (Stamp, PaperSize),
) -> Result<(), NotWritten> {
    if !to.extension().is_some_and(|extension| extension.eq_ignore_ascii_case("pdf")) {
        return Err(ReportRefusal::NotEnding(".pdf").of(to));
    }
    may_replace(None, to, paper::marks::is_our_month_report, "no monthly report")?;
    let bytes = paper::month_report(survey, month, shop, now, paper)
        .map_err(|why| ReportRefusal::Paper(why).of(to))?;
    put(to, &bytes).map_err(|why| ReportRefusal::System(why).of(to))
}

/// Writes a calibration's sheet under a name that ends in .pdf; an earlier sheet is replaced, and nothing else is.
///
/// # Errors
/// As [`write_table`].
pub(crate) fn write_sheet(calibration: &Path, to: &Path, bytes: &[u8]) -> Result<(), NotWritten> {
    if !to.extension().is_some_and(|extension| extension.eq_ignore_ascii_case("pdf")) {
        return Err(ReportRefusal::NotEnding(".pdf").of(to));
    }
    let ours = paper::marks::is_our_calibration_sheet;
    may_replace(Some(calibration), to, ours, "no calibration sheet")?;
    put(to, bytes).map_err(|why| ReportRefusal::System(why).of(to))
}

/// Shops as people call them: by their folders' names.
pub(crate) fn shops_name(survey: &Survey) -> String {
    let named = (0..survey.folders.len()).map(|folder| survey.folder_name(folder));
    named.collect::<Vec<_>>().join(", ")
}

/// Writes a table of a shop under a name that ends in .csv; an earlier table is replaced.
///
/// # Errors
/// One message that names the file and says what to do.
pub(crate) fn write_table(to: &Path, bytes: &[u8]) -> Result<(), NotWritten> {
    write_csv(to, bytes, |file| has_columns(file, &shop_table::COLUMNS, 35), "no table of a shop")
}

/// Writes a table in the columns that a hand chose under a name that ends in .csv. It replaces nothing: its head
/// may be one that somebody else's table has.
///
/// # Errors
/// As [`write_table`].
pub(crate) fn write_chosen_table(to: &Path, bytes: &[u8]) -> Result<(), NotWritten> {
    if !to.extension().is_some_and(|extension| extension.eq_ignore_ascii_case("csv")) {
        return Err(ReportRefusal::NotEnding(".csv").of(to));
    }
    write_new(to, bytes)
}

/// Writes what goes together of a shelf under a name that ends in .csv; an earlier table of it is
/// replaced.
///
/// # Errors
/// One message that names the file and says what to do.
pub(crate) fn write_shelf_table(to: &Path, bytes: &[u8]) -> Result<(), NotWritten> {
    write_csv(to, bytes, |file| has_columns(file, &shelf_table::COLUMNS, 25), "no table of a shelf")
}

fn write_csv(to: &Path, bytes: &[u8], ours: Ours, other: &'static str) -> Result<(), NotWritten> {
    if !to.extension().is_some_and(|extension| extension.eq_ignore_ascii_case("csv")) {
        return Err(ReportRefusal::NotEnding(".csv").of(to));
    }
    may_replace(None, to, ours, other)?;
    put(to, bytes).map_err(|why| ReportRefusal::System(why).of(to))
}

/// Writes the results of practice under a name that ends in .csv; an earlier table of them is
/// replaced.
///
/// # Errors
/// As [`write_table`].
pub(crate) fn write_progress(to: &Path, bytes: &[u8]) -> Result<(), NotWritten> {
    let ours = |file: &mut fs::File| has_columns(file, &progress::COLUMNS, 15);
    write_csv(to, bytes, ours, "no table of practice results")
}

/// Writes a chart as SVG or PNG, as the file's name asks; no picture is replaced.
///
/// # Errors
/// One message that names the file and says what to do.
pub(crate) fn write_chart(to: &Path, chart: &ChartOnPaper) -> Result<(), NotWritten> {
    let extension = to.extension().map(OsStr::to_ascii_lowercase);
    match extension.as_ref().and_then(|extension| extension.to_str()) {
        Some("svg") => write_new(to, chart.svg().as_bytes()),
        Some("png") => write_new(to, &chart.png().map_err(|why| ReportRefusal::Png(why).of(to))?),
        _ => Err(ReportRefusal::NotEnding(".svg or .png").of(to)),
    }
}

/// Writes a picture, never over another file: a picture is not worth what may be lost.
///
/// # Errors
/// One message that names the file.
pub(crate) fn write_picture(to: &Path, bytes: &[u8]) -> Result<(), NotWritten> {
    write_new(to, bytes)
}

/// A new file, where nothing of its name is.
fn write_new(to: &Path, bytes: &[u8]) -> Result<(), NotWritten> {
    let named = |why: io::Error| match why.kind() {
        io::ErrorKind::AlreadyExists => ReportRefusal::There.of(to),
        _ => ReportRefusal::System(why).of(to),
    };
    let file = filled(to, bytes).map_err(named)?;
    file.persist_noclobber(to).map_err(|why| named(why.error))?;
    Ok(())
}

/// A header line is shorter, bytes.
const LONGEST_HEADER: u64 = 16_384;

/// Whether a table's first line is all of our columns, or all that there were in an earlier version,
/// `at_least`. A column that somebody added makes the table theirs.
fn has_columns(file: &mut fs::File, columns: &[&str], at_least: usize) -> io::Result<bool> {
    let mut head = Vec::new();
    Read::take(file, LONGEST_HEADER).read_to_end(&mut head)?;
    let Some(end) = head.iter().position(|&byte| byte == b'\n') else { return Ok(false) };
    let line = head.get(..end).and_then(|line| str::from_utf8(line).ok());
    let Some(line) = line else { return Ok(false) };
    let found: Vec<&str> = line.split(',').collect();
    Ok(found.len() >= at_least && columns.starts_with(&found))
}

/// Whether what is written may take a file's place: there is none, or it is one of the same kind that
/// this program wrote.
fn may_replace(
    session: Option<&Path>,
    to: &Path,
    ours: Ours,
    other: &'static str,
) -> Result<(), NotWritten> {
    // Before anything is opened: a name of Windows' own may be a device.
    names::taken_here(to).map_err(|why| ReportRefusal::System(why).of(to))?;
    if to.is_dir() {
        return Err(ReportRefusal::Folder.of(to));
    }
    let mut file = match plain::open(to) {
        Ok(file) => file.into_inner(),
        Err(why) if why.kind() == io::ErrorKind::NotFound => return Ok(()),
        Err(why) => return Err(ReportRefusal::NotLookedAt(why).of(to)),
    };
    if let Some(Ok(session)) = session.map(Path::canonicalize)
        && to.canonicalize().is_ok_and(|there| there == session)
    {
        return Err(ReportRefusal::TheSession.of(to));
    }
    match ours(&mut file) {
        Ok(true) => Ok(()),
        _ => Err(ReportRefusal::Others(other).of(to)),
    }
}

/// A new file under the name once all of it is on disk. A link of that name is replaced, and what it
/// led to is left alone: nothing is written but where the user pointed.
fn put(to: &Path, bytes: &[u8]) -> io::Result<()> {
    filled(to, bytes)?.persist(to).map_err(|why| why.error)?;
    Ok(())
}

/// A temporary file beside where it is to be, all of it on disk.
fn filled(to: &Path, bytes: &[u8]) -> io::Result<tempfile::NamedTempFile> {
    names::taken_here(to)?;
    let folder = to.parent().filter(|folder| !folder.as_os_str().is_empty());
    let folder = folder.unwrap_or_else(|| Path::new("."));
    let mut file = temporary().tempfile_in(folder)?;
    // Through the file itself: what the system says comes as it is, without the temporary name.
    file.as_file_mut().write_all(bytes)?;
    file.as_file().sync_all()?;
    Ok(file)
}

/// A temporary file that, renamed, is as readable as any other file of this user.
fn temporary() -> tempfile::Builder<'static, 'static> {
    let mut builder = tempfile::Builder::new();
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt as _;
        builder.permissions(fs::Permissions::from_mode(0o666));
    }
    builder.prefix(".samepoint-report-");
    builder
}
