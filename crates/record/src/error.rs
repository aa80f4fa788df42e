//! Everything the record can refuse or run into, in the user's words, with the evidence inside.

use std::io;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use crate::axis::Axis;
use crate::fact::Seq;
use crate::file::Damage;
use crate::shown::one_line;

/// What is wrong, where, and what to do.
#[derive(Clone, Debug, thiserror::Error)]
#[non_exhaustive]
pub enum Error {
    /// An empty cell where a number belongs.
    #[error("a number is missing; type one")]
    NumberMissing,
    /// A text that is not one finite number.
    #[error("“{}” is not a number; type digits with one decimal point or comma", one_line(text))]
    NotANumber {
        /// As typed.
        text: String,
    },
    /// A text that is not a time with offset.
    #[error("“{}” is not a time; write it like 2026-11-25T14:03:22.080+01:00", one_line(text))]
    NotATime {
        /// As found.
        text: String,
    },
    /// A text that is not a calendar day.
    #[error("“{}” is not a day; write it like 2026-11-25", one_line(text))]
    NotADate {
        /// As found.
        text: String,
    },
    /// A text that is not a month.
    #[error("“{}” is not a month; write it like 2026-11", one_line(text))]
    NotAMonth {
        /// As found.
        text: String,
    },
    /// A period that ends before it begins.
    #[error("the period ends on {until}, before it begins on {from}; turn them round")]
    PeriodBackwards {
        /// Its first day.
        from: jiff::civil::Date,
        /// Its last.
        until: jiff::civil::Date,
    },
    /// A field that must say something is empty.
    #[error("{field} is empty; fill it in")]
    FieldEmpty {
        /// Which.
        field: String,
    },
    /// A field holds a number it cannot hold.
    #[error("{field} must be {must_be}, not {}", solver::error::told(*value))]
    FieldValue {
        /// Which.
        field: String,
        /// What it holds.
        value: f64,
        /// What it may hold.
        must_be: &'static str,
    },
    /// A text that is not a SHA-256.
    #[error("{field} must be a SHA-256, 64 digits 0–9 and a–f")]
    NotASha256 {
        /// Which.
        field: String,
    },
    /// A hand that cannot be listed as it is.
    #[error("the hand “{initials}” cannot be used: {what}", initials = crate::shown::one_line(initials))]
    HandRefused {
        /// Its initials.
        initials: String,
        /// What is wrong and what to do.
        what: String,
    },
    /// A hand that may not answer for a session.
    #[error("{why}; see hands/ in the shop’s folder")]
    NoAuthority {
        /// Why.
        why: crate::hands::NoAuthority,
    },
    /// The solver refuses a value.
    #[error(transparent)]
    Solver(#[from] solver::Error),

    /// A reading points farther than the model covers.
    #[error(
        "this reads {value_arcmin:.0}′ from boresight, farther than {limit_arcmin:.0}′; check the number, \
         its unit and the station's map"
    )]
    BeyondField {
        /// The larger part of the direction.
        value_arcmin: f64,
        /// [`solver::direction::FIELD_LIMIT_ARCMIN`].
        limit_arcmin: f64,
    },
    /// A reading lies where the station's graticule has no lines.
    #[error(
        "{} divisions in {axis}, and the graticule of {} goes from {} to {}: read it again",
        solver::error::told(*divisions),
        crate::shown::one_line(station),
        solver::error::told(*lowest),
        solver::error::told(*highest)
    )]
    OffGraticule {
        /// Which axis of the graticule.
        axis: Axis,
        /// Where the reading lies on it, divisions.
        divisions: f64,
        /// The lowest line there, divisions.
        lowest: f64,
        /// The highest, divisions.
        highest: f64,
        /// The station's name.
        station: String,
    },
    /// Divisions were typed but no station says what they mean.
    #[error("divisions mean nothing without a station; choose the station first")]
    NoStation,
    /// A reading before any round.
    #[error("no round is open; open a round before reading")]
    NoRound,
    /// A reading that names a round other than the one that is open.
    #[error("round {named} is not the open one ({open}); read again in the open round")]
    NotTheOpenRound {
        /// The round named.
        named: Seq,
        /// The round that is open.
        open: Seq,
    },
    /// A log reading of a unit that was taken off in between.
    #[error("reseating the unit ends the round; open a round, then read")]
    ReseatedInRound,
    /// A fact names a round that was never opened.
    #[error("there is no round {round}; open it first")]
    NoSuchRound {
        /// What was named.
        round: Seq,
    },
    /// Undo must name the latest live fact that can be undone.
    #[error("fact {named} cannot be undone now; {}", next_in_line(*latest, "undone"))]
    UndoOutOfTurn {
        /// What was named.
        named: Seq,
        /// What can be.
        latest: Option<Seq>,
    },
    /// Redo must name the fact undone last, with nothing said since.
    #[error("fact {named} cannot be redone now; {}", next_in_line(*latest, "redone"))]
    RedoOutOfTurn {
        /// What was named.
        named: Seq,
        /// What can be.
        latest: Option<Seq>,
    },
    /// A fact names a reading that is not there to be named.
    #[error("fact {seq} is not a reading in use; choose one from the log")]
    NotAReadingInUse {
        /// What was named.
        seq: Seq,
    },
    /// A calibration that was told more than any calibration is.
    #[error("a calibration holds {most} {what}, those left out among them; begin a new one")]
    CalibrationFull {
        /// How many it holds.
        most: usize,
        /// Of what.
        what: &'static str,
    },
    /// A reading names a deviation that is not there to be read.
    #[error("fact {seq} is not a known deviation in use; show it first")]
    NotADeviationInUse {
        /// What was named.
        seq: Seq,
    },
    /// A calibration would end before it was done.
    #[error(
        "the calibration holds to {due}, before the day it was done, {done}; one of the days is wrong"
    )]
    DueBeforeDone {
        /// When it was done.
        done: jiff::civil::Date,
        /// To when it is said to hold.
        due: jiff::civil::Date,
    },
    /// Limits need more days than there are.
    #[error(
        "limits need {needed} days of readings and {} has {days}; read the check standard each day",
        point.as_deref().unwrap_or("the baseline")
    )]
    TooFewCheckDays {
        /// Which point has too few; `None`: there is none.
        point: Option<String>,
        /// Its days.
        days: usize,
        /// How many are needed.
        needed: usize,
    },
    /// A reading from before the station was started anew.
    #[error("reading {seq} is from before the station was started anew; choose later ones")]
    BeforeStartedAnew {
        /// Which.
        seq: Seq,
    },
    /// A baseline without any spread.
    #[error(
        "the days agree to the last digit in {axis}, so no limits can be drawn; read to a finer part of \
         a division"
    )]
    CheckDaysAllAlike {
        /// `x` or `y`.
        axis: &'static str,
    },
    /// A name stands in a plan twice.
    #[error("{field}: “{}” is named twice; give each its own name", one_line(name))]
    NamedTwice {
        /// `parts` or `hands`.
        field: &'static str,
        /// The name.
        name: String,
    },
    /// A plan whose order leaves cells out or names them twice.
    #[error("the order must name each of the {cells} cells once; draw a new plan")]
    PlanOrder {
        /// How many cells the plan has.
        cells: usize,
    },
    /// A cell that the plan does not have; counted from 1.
    #[error("the plan has no unit {part}, hand {hand}, trial {trial}; measure a cell of the plan")]
    NoSuchCell {
        /// Which part.
        part: usize,
        /// Whose hand.
        hand: usize,
        /// Which trial.
        trial: usize,
    },
    /// A cell that has a measurement already.
    #[error(
        "{}, is measured already (fact {seq}); withdraw that first if it was wrong",
        one_line(cell)
    )]
    CellMeasured {
        /// In words.
        cell: String,
        /// By which fact.
        seq: Seq,
    },
    /// An exercise that this program does not give.
    #[error(
        "“{}” is no exercise of this program; use the program it was begun with",
        one_line(name)
    )]
    NotAnExercise {
        /// What its header says.
        name: String,
    },
    /// Countersigned or returned, but nothing was signed.
    #[error("fact {seq} is not the signature in force; sign first, or look at the session again")]
    NotTheSignature {
        /// What was named.
        seq: Seq,
    },
    /// The signature no longer speaks for the session as it stands.
    #[error(
        "facts were added since the signature; it must be signed again before it can be countersigned"
    )]
    SignatureOutdated,
    /// A supervisor sent the signature back, and no other hand lifts that.
    #[error(
        "another hand returned the signature; it must be signed again before it can be countersigned"
    )]
    SignatureReturned,
    /// A signature or an answer that names nobody.
    #[error("a signature names its hand: give your initials")]
    NobodySigns,
    /// A handover that is not there, or that somebody said was read.
    #[error("fact {seq} is no handover that waits to be read")]
    NoSuchHandover {
        /// What was named.
        seq: Seq,
    },
    /// A seal over something that is no signature.
    #[error("fact {seq} is no signature, countersignature or return, so there is nothing to seal")]
    NothingToSeal {
        /// What was named.
        seq: Seq,
    },
    /// A fact that the words of the session's format cannot say.
    #[error(
        "this session's file is format {format}, which has no words for {what}; continue in a new file"
    )]
    NotInThisFormat {
        /// The file's format.
        format: u32,
        /// What was to be said.
        what: &'static str,
    },
    /// Facts before the header, or a second header.
    #[error("a file begins once, with its header as fact 1")]
    HeaderOutOfPlace,
    /// A fact too long for one line.
    #[error("this is {bytes} bytes long and a line holds {limit}; shorten the text")]
    FactTooLong {
        /// Its length as a line.
        bytes: usize,
        /// [`crate::file::LONGEST_LINE`].
        limit: usize,
    },
    /// A fact that cannot be written down.
    #[error("this cannot be written down: {}", one_line(what))]
    FactNotWritable {
        /// Why.
        what: String,
    },

    /// The system refuses something.
    #[error("cannot {doing} {}: {}", crate::shown::path(path), crate::shown::system(why))]
    Io {
        /// In words: `open`, `append to`.
        doing: &'static str,
        /// Which file.
        path: PathBuf,
        /// What the system says.
        why: Arc<io::Error>,
    },
    /// A new file would replace one that is there.
    #[error("{} is there already and is left alone; choose another name", crate::shown::path(path))]
    AlreadyThere {
        /// Which file.
        path: PathBuf,
    },
    /// A shop would be begun among other things.
    #[error(
        "{} holds something already, which is left alone: open it if it is a shop, or give a folder that is \
         not there yet",
        crate::shown::path(path)
    )]
    ShopNotEmpty {
        /// Which folder.
        path: PathBuf,
    },
    /// Something would be changed that is no longer what was looked at.
    #[error(
        "{} was changed elsewhere meanwhile, and nothing was written: go back, open the shop again and look at \
         what it says now",
        crate::shown::path(path)
    )]
    ChangedMeanwhile {
        /// Which file.
        path: PathBuf,
    },
    /// Two of a kind would have one name.
    #[error("“{name}” is kept already: change that one, or choose another name")]
    NameTaken {
        /// The name.
        name: String,
    },
    /// Not a file of the kind asked for.
    #[error("{} is not a samepoint {wanted}: {}", crate::shown::path(path), one_line(what))]
    WrongFile {
        /// Which file.
        path: PathBuf,
        /// What was asked for: `session`.
        wanted: &'static str,
        /// What is missing.
        what: String,
    },
    /// Written by a later program.
    #[error(
        "{} is written in format {format}; this program reads formats up to {known}: use a newer samepoint",
        crate::shown::path(path)
    )]
    NewerFormat {
        /// Which file.
        path: PathBuf,
        /// Its format.
        format: u32,
        /// The latest known here.
        known: u32,
    },
    /// The file's chain breaks.
    #[error("{}: {damage}; {}", crate::shown::path(path), what_is_left(damage))]
    Damaged {
        /// Which file.
        path: PathBuf,
        /// Where and how.
        damage: Damage,
    },
    /// The file can only be read here.
    #[error("{} is open for reading only: {why}", crate::shown::path(path))]
    ReadOnly {
        /// Which file.
        path: PathBuf,
        /// Why.
        why: String,
    },
    /// Facts that were said elsewhere do not go on from the file's last line.
    #[error(
        "{} does not end with the line these facts go on from; take them into a new file",
        crate::shown::path(path)
    )]
    DoesNotGoOn {
        /// Which file.
        path: PathBuf,
    },
    /// Nothing is missing at the file's end, or nothing may be written to it.
    #[error("{} has no missing end that could be set aside here", crate::shown::path(path))]
    NoEndToSetAside {
        /// Which file.
        path: PathBuf,
    },
    /// A file of a format without words for what the program does to it is not cut: nothing in it would tell.
    #[error(
        "{}: format {format} has no words for an end that is set aside, so nothing would tell that it was cut; \
         go on in a new file, which has",
        crate::shown::path(path)
    )]
    NoWordsForIt {
        /// Which file.
        path: PathBuf,
        /// Its format.
        format: u32,
    },
    /// The first line is lost, and nothing behind it says whether the unit was a real one.
    #[error(
        "{}: its first line is lost, and nothing that verifies behind it says whether the unit was a \
         real one or of practice; salvage it as of a real unit if you know that it was one",
        crate::shown::path(path)
    )]
    RealOrPractice {
        /// Which file.
        path: PathBuf,
    },
    /// Nothing is lost, so nothing need be salvaged.
    #[error("{} is whole; there is nothing to salvage", crate::shown::path(path))]
    NothingToSalvage {
        /// Which file.
        path: PathBuf,
    },
    /// No unit of the list of units waiting was added by this fact.
    #[error("no unit of the list was added by fact {seq}")]
    NoSuchUnitWaiting {
        /// What was named.
        seq: Seq,
    },
    /// The list of units waiting cannot be written to.
    #[error("nothing can be added to the list of units waiting: {why}")]
    UnitsNotWritable {
        /// Why.
        why: String,
    },
    /// Something that is no picture that can be kept.
    #[error("{}: {why}", crate::shown::path(path))]
    NoPicture {
        /// The file.
        path: PathBuf,
        /// Why.
        why: &'static str,
    },
    /// A note that begins like one of the program's own.
    #[error("a note that begins “samepoint notes” is the program's own; begin it otherwise")]
    ProgramsOwnNote,
    /// The file under our name is another one now.
    #[error(
        "{} was replaced by another file while it was open; what is not saved is kept here: \
         continue in a new file",
        crate::shown::path(path)
    )]
    FileReplaced {
        /// Which file.
        path: PathBuf,
    },
    /// The file under our name is gone.
    #[error(
        "{} was deleted or moved while it was open; all of it is kept here: continue in a new \
         file, or put the file back and try again",
        crate::shown::path(path)
    )]
    FileGone {
        /// Which file.
        path: PathBuf,
    },
    /// Somebody else wrote to the file, or cut it.
    #[error(
        "{} was {found} bytes long, not {ours} as this program left it: something else writes to it; \
         what is not saved is kept here: continue in a new file",
        crate::shown::path(path)
    )]
    LengthChanged {
        /// Which file.
        path: PathBuf,
        /// As we left it.
        ours: u64,
        /// As it is.
        found: u64,
    },
    /// The file or its folder cannot keep what was written safe.
    #[error(
        "{} lies where files cannot be {missing}; agree to write all the same, or keep it on \
         another disk",
        crate::shown::path(path)
    )]
    Unsupported {
        /// Which file.
        path: PathBuf,
        /// `locked` or `synced to disk`.
        missing: &'static str,
    },
    /// The writer thread is not there any more.
    #[error("the writer of {} has stopped; continue in a new file", crate::shown::path(path))]
    WriterGone {
        /// Which file.
        path: PathBuf,
    },
    /// A file of the shop that cannot be used.
    #[error("{}, line {line}, column {column}: {}", crate::shown::path(path), one_line(what))]
    ShopFile {
        /// Which file.
        path: PathBuf,
        /// From 1.
        line: usize,
        /// From 1.
        column: usize,
        /// What is wrong.
        what: String,
    },
    /// A part that a shelf lists twice.
    #[error("{} is listed twice; a part can be built in once", one_line(name))]
    ListedTwice {
        /// Its name.
        name: String,
    },
    /// A value in a file of the shop that cannot be.
    #[error("{}: {}", crate::shown::path(path), one_line(what))]
    ShopValue {
        /// Which file.
        path: PathBuf,
        /// What is wrong, with the field.
        what: String,
    },
}

impl Error {
    /// The file or folder it names, where it names one.
    #[must_use]
    pub fn path(&self) -> Option<&Path> {
        match self {
            Self::Io { path, .. }
            | Self::AlreadyThere { path }
            | Self::ShopNotEmpty { path }
            | Self::ChangedMeanwhile { path }
            | Self::WrongFile { path, .. }
            | Self::NewerFormat { path, .. }
            | Self::Damaged { path, .. }
            | Self::ReadOnly { path, .. }
            | Self::DoesNotGoOn { path, .. }
            | Self::NoEndToSetAside { path, .. }
            | Self::NoWordsForIt { path, .. }
            | Self::RealOrPractice { path, .. }
            | Self::NothingToSalvage { path, .. }
            | Self::NoPicture { path, .. }
            | Self::FileReplaced { path, .. }
            | Self::FileGone { path, .. }
            | Self::LengthChanged { path, .. }
            | Self::Unsupported { path, .. }
            | Self::WriterGone { path, .. }
            | Self::ShopFile { path, .. }
            | Self::ShopValue { path, .. } => Some(path),
            _ => None,
        }
    }

    /// Wraps what the system says.
    #[must_use]
    pub fn io(doing: &'static str, path: &Path, why: io::Error) -> Self {
        Self::Io { doing, path: path.to_owned(), why: Arc::new(why) }
    }
}

/// What a damage leaves, and what to do.
const fn what_is_left(damage: &Damage) -> &'static str {
    if damage.line <= 1 {
        "keep this file: what still verifies behind it can be salvaged into a new one"
    } else {
        "the facts before it are intact: continue in a new file, and keep this one"
    }
}

fn next_in_line(latest: Option<Seq>, done: &str) -> String {
    latest.map_or_else(
        || format!("nothing can be {done}"),
        |seq| format!("fact {seq} is the one that can be {done}"),
    )
}
