//! What can be typed on the command line; what mends a file: `mending`; of whole shops: `shops`.

mod mending;
mod shops;

use std::path::PathBuf;

use clap::{Args, Parser, Subcommand, ValueEnum};
use paper::PaperSize;
use record::Date;
use record::import_csv::{DecimalMark, number};
use solver::swing::SwingRange;
use solver::{Channel, Sense, SenseChoice, Spread, Window};

use super::refusal::{BadValue, RefusalKind};

pub(super) use mending::{SalvageArguments, SetAsideArguments};
pub(super) use shops::ShopArguments;

/// Collimate head-worn binocular viewers: log readings, see where the two offset circles meet,
/// turn the rings there.
///
/// Without a command the bench opens: on PATH, or on the session that was open last.
#[derive(Debug, Parser)]
#[command(
    name = "samepoint",
    version,
    args_conflicts_with_subcommands = true,
    after_help = "The bench needs a display. `samepoint solve`, `review`, `seal`, `report`,\n`shop`, `shelf`, `tables`, `salvage`, `set-aside`, `picture` and `check-self` need none."
)]
pub(super) struct CliArguments {
    /// A session (.samepoint) or a shop folder to open on the bench
    pub(super) path: Option<PathBuf>,

    #[command(subcommand)]
    pub(super) command: Option<CliCommand>,
}

/// The commands that need no display.
#[derive(Debug, Subcommand)]
pub(super) enum CliCommand {
    Solve(Solve),
    Review(Review),
    Seal(SealArguments),
    Report(ReportArguments),
    Shop(ShopArguments),
    Shelf(ShelfArguments),
    Tables(Tables),
    CheckSelf(CheckSelf),
    Salvage(SalvageArguments),
    SetAside(SetAsideArguments),
    Picture(PictureArguments),
}

/// Check this program against figures that others published
///
/// Works out every published case that it was tested with and prints each with its source, what is
/// expected and what comes out here: a validation record of this version on this computer.
#[derive(Debug, Args)]
#[command(after_help = CHECK_SELF_NOTES)]
pub(super) struct CheckSelf {}

const CHECK_SELF_NOTES: &str = "\
Expected and got lie no farther apart than stated: half a unit of the last digit
printed, or what the method promises. The last page of a report says how many
cases agreed when it was drawn.

Exit code
  0  every case agrees
  1  some do not; they are marked";

/// Read the crosshairs in pictures of a station, in divisions and in arcminutes
///
/// Finds one crosshair or two in each picture, to hundredths of a pixel, with its uncertainty, and takes
/// it through the camera map to divisions of the graticule. What cannot be read says why and is never guessed.
#[derive(Debug, Args)]
#[command(after_help = PICTURE_NOTES)]
pub(super) struct PictureArguments {
    /// Pictures: PNG or TIFF of 8 or 16 bits, PNM, JPEG; grey, or colours of which the brightest is taken
    #[arg(value_name = "PICTURE", required = true)]
    pub(super) pictures: Vec<PathBuf>,

    /// The camera map, a file of a shop's cameras/
    #[arg(long, value_name = "FILE")]
    pub(super) camera: PathBuf,

    /// The station, a file of a shop's stations/: adds arcminutes
    #[arg(long, value_name = "FILE")]
    pub(super) station: Option<PathBuf>,

    /// Which channel the camera looks through; needed where the station maps them differently
    #[arg(long, value_enum, value_name = "CHANNEL")]
    pub(super) channel: Option<ChannelArgument>,

    /// A picture with the crosshair's lamp off, to be subtracted: takes away a graticule behind
    #[arg(long, value_name = "PICTURE")]
    pub(super) background: Option<PathBuf>,

    /// Print the answer as JSON
    #[arg(long)]
    pub(super) json: bool,
}

/// `--channel`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(super) enum ChannelArgument {
    /// The left eye's
    Left,
    /// The right eye's
    Right,
}

impl ChannelArgument {
    pub(super) const fn channel(self) -> Channel {
        match self {
            Self::Left => Channel::Left,
            Self::Right => Channel::Right,
        }
    }
}

const PICTURE_NOTES: &str = "\
A crosshair is two straight lines that cross near square, turned by up to 20°, 1 px
to 12 px wide, each arm 30 px or longer; the middle, and parts of its arms, may be
missing. The strongest comes first, at most two. A ± holds at 95 %.

A camera map is (format: 1, camera: (name: \"…\", station: \"…\", size_px: (640, 480),
lines: bright, marks: [(px: (12.0, 40.5), divisions: (-20.0, 15.0)), …])): four marks
or more; pixel (0, 0) is the centre of the top left one, x right, y down; lines are
bright or dark. With eight marks or more the lens's distortion is found, too.

A JPEG carries nothing by which damage inside it could be known: one whose end is there
is read, whatever became of its middle. Keep evidence as PNG, which checks itself.

Keys of --json
  camera: name, station, size_px, marks (how many), radial_k, u_mark_px (standard;
    null where no mark is spare), residuals_px, left_out_px (of each mark: the same
    with that mark left out)
  pictures: file, and refusal, a sentence, or crosshairs: px, divisions, arcmin (with
    --station), covariance_px2, covariance_divisions2, covariance_arcmin2 (standard),
    map_uncertainty_included, roll_deg (counter-clockwise), contrast_to_noise, width_px

Exit code
  0  a crosshair was read in every picture
  1  in some not; each says why
  2  a file or an argument cannot be used; one message on standard error says why

Example
  samepoint picture demo-data/pictures/*.png --camera \"demo-data/cameras/Bench 2.ron\"";

/// Draw the report of a session as PDF, or its field plot as SVG; the sheet of a calibration as PDF
///
/// The first page is for the customer, the rest for the specialist. Everything in it comes from the
/// session, so the same session gives the same file.
#[derive(Debug, Args)]
#[command(after_help = REPORT_NOTES)]
pub(super) struct ReportArguments {
    /// The session, a .samepoint file, or a station's .samepoint-calibration
    #[arg(value_name = "SESSION")]
    pub(super) session: PathBuf,

    /// Where to put it: a name that ends in .pdf for the report, in .svg for the field plot alone
    #[arg(long, value_name = "FILE")]
    pub(super) to: PathBuf,

    /// The paper
    #[arg(long, value_enum, default_value_t = Paper::A4)]
    pub(super) paper: Paper,

    /// Show the pictures that its confirm readings rest on, small, their crosshairs marked
    #[arg(long, conflicts_with = "label")]
    pub(super) pictures: bool,

    /// Draw the label of the unit's case instead, 62 mm × 29 mm: a name in .pdf, .svg or .png
    #[arg(long, conflicts_with = "paper")]
    pub(super) label: bool,

    /// The day that the label says the unit is due on [default: a line to write it on]
    #[arg(long, value_name = "YYYY-MM-DD", value_parser = due_day, requires = "label")]
    pub(super) due: Option<Date>,
}

const REPORT_NOTES: &str = "\
The label bears unit, verdict, when it was signed and by whom, and the last line of
the session in digits and as a QR code of 0.5 mm modules: print it at its size. A
session that is unsigned, returned, outdated, practice, damaged, marked, or does not
follow has a label that says so, and no verdict.

Pictures are of the round that counts, the newest of each position and channel. One that
is gone from the shop's pictures, or is another now, is told in words.

An unsigned, practice, returned or damaged session, one whose end is missing or was
set aside, and one written anew since it
was countersigned, is marked so on every page.
An earlier report is replaced; any other file is left alone.

Exit code
  0  the report is written
  2  the session or an argument cannot be used, or the file cannot be written;
     one message on standard error says why";

/// `--paper`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(super) enum Paper {
    /// 210 mm × 297 mm
    A4,
    /// 8½ in × 11 in
    Letter,
}

impl Paper {
    pub(super) const fn size(self) -> PaperSize {
        match self {
            Self::A4 => PaperSize::A4,
            Self::Letter => PaperSize::Letter,
        }
    }
}

/// Match what lies on a shop's shelf: which two tubes in which housing, with which eyepieces
///
/// Of the parts that the shop's shelf.ron lists, with what its sessions tell of them: the most units inside
/// the tolerance window without a shim, then the most units, then the fewest leaves of shims, then the least
/// window use. What is predicted of each, how likely it is inside, what is not known and which reading would
/// tell, and what came of units that were built since.
#[derive(Debug, Args)]
#[command(after_help = SHELF_NOTES)]
pub(super) struct ShelfArguments {
    /// The shop's folder
    #[arg(value_name = "FOLDER")]
    pub(super) folder: PathBuf,

    /// Print the plan as JSON, at full precision
    #[arg(long)]
    pub(super) json: bool,

    /// Write one line a unit to this file, which must end in .csv
    #[arg(long, value_name = "FILE")]
    pub(super) csv: Option<PathBuf>,
}

const SHELF_NOTES: &str = "\
shelf.ron: (format: 1, shelf: (window: \"NAME\", ipd_mm: 64.0, most_leaves: 4,
housings: [(unit: \"0155\", housing: \"TYPE\")], tubes: [(serial: \"T-1\", housing:
\"TYPE\")], eyepieces: [(serial: \"E-1\", housing: \"TYPE\")])). What a certificate
states may stand beside a part: offset_mm, for an eyepiece decentre_mm, with u_mm
and source. in_use: true is for a part that is not on the shelf; may_turn: false for
a tube that fits one way up; eyepieces: (left: \"E-1\", right: \"E-2\") for a housing
that keeps its own. With ipd_mm units are judged over the swing of their pods.

A part of which nothing is known is not matched, and is named.

Exit code
  0  done
  1  done, with sessions left out, parts of which something is not known, or a plan
     that is not proved to be the best
  2  the folder, its shelf.ron or an argument cannot be used, or the table cannot be
     written; one message on standard error says why";

/// Write what shops hold as Parquet tables, for other programs
///
/// Sessions, rounds, readings, verdicts, remedies, checks, studies and troubles, a file a shop and month, with
/// the numbers this program works out itself. A run writes only what changed. Whatever reads Parquet goes on
/// from there.
#[derive(Debug, Args)]
#[command(after_help = TABLES_NOTES)]
pub(super) struct Tables {
    /// The shops' folders
    #[arg(value_name = "FOLDER", required_unless_present = "schema")]
    pub(super) folders: Vec<PathBuf>,

    /// The folder of the tables, outside every shop
    #[arg(long, value_name = "DIR", required_unless_present = "schema")]
    pub(super) to: Option<PathBuf>,

    /// Print every table and column, its unit and meaning, and nothing else
    #[arg(long)]
    pub(super) schema: bool,
}

const TABLES_NOTES: &str = "\
The files lie in DIR/TABLE/shop=NAME/month=YYYY-MM/part.parquet. DIR holds the shops
named and no others: one that is not named any more leaves. A session that lies in two
folders counts once, and is named. Count only rows whose column counts is true; practice,
examinations, damaged sessions and how each stands are columns beside it.

What did not change since the last run is told by the hash of every file of a shop, in
DIR/samepoint-tables.json; only files with other bytes are replaced, each whole. It says
`whole: false` while a run is at work and after one that was broken off: run it again.
Nothing is written over, or taken away, that this command did not write.

Tables are written by a program of its own, samepoint-tables, which lies beside this one.

Exit code
  0  done
  1  done, with files passed over, or a session that went on in two folders; each is
     named on standard error and in the table troubles
  2  a folder, DIR or an argument cannot be used, or something cannot be written; one
     message on standard error says why

Example
  samepoint tables /shops/north /shops/south --to /srv/tables";

/// Work a session out again: its chain, its rounds, and whether what was signed follows
///
/// Reads the session without touching it, checks every line of its chain, works everything out
/// again from the readings as they were typed, and compares the result with what was signed.
#[derive(Debug, Args)]
#[command(after_help = REVIEW_NOTES)]
pub(super) struct Review {
    /// The session, a .samepoint file, or a station's .samepoint-calibration
    #[arg(value_name = "SESSION")]
    pub(super) session: PathBuf,

    /// Print the account as JSON
    #[arg(long)]
    pub(super) json: bool,

    /// Write every seal, what it is over, and the shop's keys into this folder, for OpenSSH's own
    /// program to check
    #[arg(long, value_name = "DIR")]
    pub(super) seals: Option<PathBuf>,
}

/// Seal the signature of a session, or its answer, with a key of the hand that gave it
///
/// OpenSSH's own program makes the seal, with a key file or with the agent's key of a public key
/// file; samepoint never sees a private key. What is not sealed yet is sealed: the answer in force,
/// else the signature.
#[derive(Debug, Args)]
#[command(after_help = SEAL_NOTES)]
pub(super) struct SealArguments {
    /// The session, a .samepoint file of format 2
    #[arg(value_name = "SESSION")]
    pub(super) session: PathBuf,

    /// The key: a private key file, or a .pub file whose key the agent holds
    #[arg(long, value_name = "FILE")]
    pub(super) key: PathBuf,

    /// Whose signature or answer is sealed [default: the last that is not sealed]
    #[arg(long, value_name = "INITIALS")]
    pub(super) hand: Option<String>,
}

const SEAL_NOTES: &str = "\
A key that the shop lists for another hand or for nobody, that is revoked, or that was
not in force on that day seals nothing. Where the shop lists no hands any key does.

Exit code
  0  sealed, and on disk
  2  nothing was sealed; one message on standard error says why";

const REVIEW_NOTES: &str = "\
A session is unsigned, signed, countersigned, outdated (facts were added since it
was signed), returned, does not follow, or damaged; of several the last of these.

Exit code
  0  intact, a pass that follows, signed, in force, and nothing said after the
     signature but another hand's countersignature
  1  intact, but not that: unsigned, fail, undecided, not measured, returned,
     outdated, countersigned by the hand that signed, or anything said after the
     signature, a note or what was taken back again too
  2  the file cannot be used; one message on standard error says why
  3  damaged, the end missing, or what was signed, chosen or countersigned does not
     follow
Exit code 1, too: who signed had no authority by the shop's list of hands, a seal does
not hold, or one that the shop requires is missing (“signed, not sealed”).
The last line, or exit_code_because, says why. What lies beside the session, such as
the shop's window of that name, or a picture that it names and that is gone or another
now, is said and does not change the exit code: the verdict rests on what was typed.
A picture that a reading rests on is read again: what it shows otherwise does not follow.

The chain shows damage and casual edits. It is no proof against somebody who
rewrites the whole file, and whole lines cut off the end cannot be seen by it:
compare the last line with the one on the report or the countersignature.

Keys of --json, null or [] where there is nothing (angles in degrees, ring angles
clockwise; covariances are standard; probabilities and window use as shares)
  session, practice, facts, last_hash, last_time: the file; unit, housing, station
  chain: intact, end missing, damaged; damage: what is wrong with it
  state, exit_code, exit_code_because: as above
  rounds: number, why, …_readings, withdrawn, relation, crossing_arcmin, and of each
    side …_ring_deg, …_closure_arcmin, …_centre_arcmin, …_radius_arcmin
  window: name, source, rule, and its limits in arcmin
  verdict, no_verdict_because, rests_on, caveats: what the readings give now
  measured, each place of the pods: position, verdict, …_readings, …_arcmin of each
    side, misalignment_arcmin, boresight_arcmin, window_use, probability_…,
    misalignment_covariance_arcmin2
  signed: seq, hand, time, verdict, rule, program, round, window and station (their
    facts), statement, outdated
  answer: kind (countersigned, returned), seq, hand, time, comment, line_found
    (whether the line it was given for is in the file)
  said_after: first, kind, count of what was said after the signature
  follows, differences, unknown_numbers, numbers_not_stored, remarks
  on_circles, confirm readings against their round's circles: channel, readings
    (with the lock open, …), way (across, along), count, off_arcmin, u_arcmin,
    probability of as much by chance, explained_arcmin, off
  shop: its folder; otherwise, where the shop's window or station of that name is
    another, or one changed within the session: what, name, fact, how, words
  blind_readings (agree, disagree, say nothing); blind: file, agrees, words
  ledger (null outside a shop): stands, confirmed, late, not_noted, troubles; findings: what, seq,
    kind, hand, time, hash, words; copies: file, what, alike; recall (null where the zero of its
    station was inside its limits): station, last_good_check, left_zero_off_arcmin, left_zero_u_arcmin,
    right_zero_off_arcmin, right_zero_u_arcmin, verdict, corrected, corrected_window_use, words
  hands_listed, seals_required: what the shop does; hands_sha256: named (the list
    that the countersignature was given under), now (the shop's)
  answerable, the signature and its answer: fact, act, hand, day, authority (held, not
    checked, or why not), line_hash, sealed, seals: fact, state, words
  pictures that it names, as they lie in the shop: fact, sha256, found (whole, missing,
    another, unread), words (what is wrong); read_again, pictures of readings as the reader reads
    them now: fact, reading, found (agrees, missing, another, unread, or what does not follow),
    words; handovers: fact, hand, time, text; read: hand, time";

/// From a file of readings: both offset circles, where they meet, where to turn each ring
///
/// Fits the offset circle of each channel, finds where the two meet, and says where to turn each
/// eyepiece ring so that both channels point alike, nearest boresight. It predicts, it does not
/// measure: set the rings, tighten the locks, and read both channels again.
#[derive(Debug, Args)]
#[command(after_help = SOLVE_NOTES)]
pub(super) struct Solve {
    /// The readings, a CSV file in UTF-8
    #[arg(value_name = "READINGS.csv")]
    pub(super) readings: PathBuf,

    /// Tolerance window in arcminutes: how far the eyes may have to converge, to diverge, the
    /// images to differ in height (dipvergence), and, if limited, both to point from boresight
    #[arg(long, value_name = "CONV,DIV,DIP[,BORE]", value_parser = window, allow_hyphen_values = true)]
    pub(super) window: Option<Window>,

    /// Standard uncertainty of one reading, each axis, arcminutes [default: estimated from how
    /// far the readings lie off their circles]
    #[arg(long, value_name = "ARCMIN", value_parser = sigma, allow_hyphen_values = true)]
    pub(super) sigma: Option<f64>,

    /// Standard uncertainty of a ring angle, degrees; needs --sigma [default: 0]
    #[arg(long, value_name = "DEG", value_parser = ring_sigma, allow_hyphen_values = true)]
    pub(super) ring_sigma: Option<f64>,

    /// Which way round the crosshairs run as the rings turn clockwise
    #[arg(long, value_enum, default_value_t = SenseWord::Auto)]
    pub(super) sense: SenseWord,

    /// How far the pods swing from where the readings were taken, degrees; needs --window
    #[arg(long, value_name = "LO,HI", value_parser = swing, allow_hyphen_values = true)]
    pub(super) swing: Option<SwingRange>,

    /// A housing file of a shop: its shim seats and optics give shim plans (with --window), its
    /// ring step the targets
    #[arg(long, value_name = "FILE")]
    pub(super) housing: Option<PathBuf>,

    /// Print the answer as JSON, every number at full precision, with all that its uncertainties are made from
    #[arg(long)]
    pub(super) json: bool,
}

const SOLVE_NOTES: &str = "\
The file has the header
  channel,ring_deg,x_arcmin,y_arcmin
and one reading a line: L or R; the ring angle in degrees, clockwise as you look
into the eyepiece, or nothing where the ring cannot be read; where the crosshair
was, arcminutes right of and above boresight as seen from the eye side. Lines
that begin with # are comments. A file whose header is written with ; between
the names has decimal commas.

A station that shows only the difference: the header
  left_ring_deg,right_ring_deg,dx_arcmin,dy_arcmin
and both ring angles with right less left, on three pairs or more, each ring turned
and not both alike. Rings are then set to agree; boresight is not known.

What is said to hold at 95 % counts the readings' uncertainty and rings that are set
to whole steps (1°, or the housing's) by the scale that was read: each may stand
anywhere within its step, and is off by --ring-sigma once more. Without --sigma no
reading counts as surer than its last decimal. Readings that lie farther off their
circle than --sigma explains get no interval, no chance and no verdict.

Exit code
  0  the setting is inside the window; without a window, the circles meet
  1  the setting is outside, there is none, the readings do not fit --sigma, or
     without a window the circles do not meet
  2  the file or the arguments cannot be used; one message on standard error
     says why, with file, line and column

Example
  samepoint solve demo-data/readings/good.csv --window 45,20,15,40 --sigma 0.2";

/// `--sense`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(super) enum SenseWord {
    /// Found from the readings; where they cannot tell, with the ring
    Auto,
    /// With the ring, as the optics give it
    With,
    /// Against the ring: a flipped station map, or a ring numbered backwards
    Against,
}

impl SenseWord {
    pub(super) const fn choice(self) -> SenseChoice {
        match self {
            Self::Auto => SenseChoice::Auto,
            Self::With => SenseChoice::Given(Sense::With),
            Self::Against => SenseChoice::Given(Sense::Against),
        }
    }
}

impl Solve {
    /// How well readings and ring angles are said to be known.
    pub(super) fn spread(&self) -> Result<Spread, RefusalKind> {
        let ring_sigma_deg = self.ring_sigma.unwrap_or_default();
        let spread = Spread { sigma_arcmin: self.sigma, ring_sigma_deg };
        spread.check().map_err(RefusalKind::RingSigma)?;
        Ok(spread)
    }
}

fn window(text: &str) -> Result<Window, BadValue> {
    let mut limits = Vec::new();
    for (place, field) in text.split(',').enumerate() {
        let text = field.trim();
        let limit = number(text, DecimalMark::Point).map_err(|why| BadValue::Limit {
            place: place + 1,
            text: text.to_owned(),
            why,
        })?;
        limits.push(limit);
    }
    let (sides, boresight) = match limits.as_slice() {
        [convergence, divergence, dipvergence] => ([*convergence, *divergence, *dipvergence], None),
        [convergence, divergence, dipvergence, boresight] => {
            ([*convergence, *divergence, *dipvergence], Some(*boresight))
        }
        other => return Err(BadValue::Limits(other.len())),
    };
    let [convergence, divergence, dipvergence] = sides;
    Ok(Window::new(convergence, divergence, dipvergence, boresight)?)
}

fn swing(text: &str) -> Result<SwingRange, BadValue> {
    let ends: Vec<&str> = text.split(',').collect();
    let [low, high] = ends.as_slice() else {
        return Err(BadValue::Ends(ends.len()));
    };
    let end = |field: &str| {
        let text = field.trim();
        number(text, DecimalMark::Point).map_err(|why| BadValue::End { text: text.to_owned(), why })
    };
    Ok(SwingRange::new(end(low)?, end(high)?)?)
}

fn due_day(text: &str) -> Result<Date, BadValue> {
    text.trim().parse().map_err(|_| BadValue::Day(text.to_owned()))
}

fn sigma(text: &str) -> Result<f64, BadValue> {
    let value_arcmin = number(text, DecimalMark::Point)?;
    let spread = Spread { sigma_arcmin: Some(value_arcmin), ring_sigma_deg: 0.0 };
    spread.check()?;
    Ok(value_arcmin)
}

fn ring_sigma(text: &str) -> Result<f64, BadValue> {
    let value_deg = number(text, DecimalMark::Point)?;
    // Any σ will do here: whether one was stated is seen when all arguments are there.
    let spread = Spread { sigma_arcmin: Some(1.0), ring_sigma_deg: value_deg };
    spread.check()?;
    Ok(value_deg)
}
