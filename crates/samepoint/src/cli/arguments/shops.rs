//! What can be asked of whole shops.

use std::path::PathBuf;

use clap::Args;
use record::Date;
use record::shop::survey::period::Period;

use super::{Paper, due_day};

/// Look at every session of a shop: what passes, by housing, station, hand and window
///
/// Sessions that cannot be read are named and passed over; practice is counted apart.
#[derive(Debug, Args)]
#[command(after_help = SHOP_NOTES)]
pub(in crate::cli) struct ShopArguments {
    /// The shop's folder, or those of several shops, which are looked at as one
    #[arg(value_name = "FOLDER", required = true)]
    pub(in crate::cli) folders: Vec<PathBuf>,

    /// Print what passes by housing and month, which stations wander, what shims did and how benches compare,
    /// as JSON
    #[arg(long)]
    pub(in crate::cli) json: bool,

    /// Write one line a session to this file, which must end in .csv
    #[arg(long, value_name = "FILE")]
    pub(in crate::cli) csv: Option<PathBuf>,

    /// Hold what several benches measured of this unit against their consensus, and print that instead
    #[arg(long, value_name = "UNIT", conflicts_with_all = ["csv", "recall"])]
    pub(in crate::cli) round_robin: Option<String>,

    /// Write the recall list to this file, which must end in .pdf: every unit left on a station while its
    /// zero was off, and what taking that off would make of its verdict
    #[arg(long, value_name = "FILE.pdf")]
    pub(in crate::cli) recall: Option<PathBuf>,

    /// Put what was done in a period into this folder, which must be new or empty: the session files and the
    /// report of each, the pictures they name, their seals, ledger, calibrations, checks, hands with their keys, a
    /// list with sums, and SHA256SUMS
    #[arg(long, value_name = "DIR", requires_all = ["from", "until"], conflicts_with_all = ["json", "csv", "recall", "round_robin", "month"])]
    pub(in crate::cli) audit: Option<PathBuf>,

    /// The first day of the pack, as 2026-05-01
    #[arg(long, value_name = "YYYY-MM-DD", value_parser = due_day, requires = "audit")]
    pub(in crate::cli) from: Option<Date>,

    /// The last day of the pack
    #[arg(long, value_name = "YYYY-MM-DD", value_parser = due_day, requires = "audit")]
    pub(in crate::cli) until: Option<Date>,

    /// Put a month, as 2026-05, on paper: what passed, what failed and why, how long it took, what waits
    #[arg(long, value_name = "YYYY-MM", value_parser = month, requires = "to", conflicts_with = "round_robin")]
    pub(in crate::cli) month: Option<Period>,

    /// Where the month goes; the name must end in .pdf
    #[arg(long, value_name = "FILE.pdf", requires = "month")]
    pub(in crate::cli) to: Option<PathBuf>,

    /// The paper of what is put on paper
    #[arg(long, value_enum, default_value_t = Paper::A4)]
    pub(in crate::cli) paper: Paper,
}

fn month(text: &str) -> Result<Period, record::Error> {
    Period::month(text)
}

const SHOP_NOTES: &str = "\
Passed first: of the sessions that came to a verdict, those that passed in their
first round, with the 95 % interval of Wilson. The other figures are medians:
distance from boresight as left, distance between the centres of both offset
circles in the first round, and how far a shim missed where it was predicted to
bring a centre.

Every file is read whole. A session of which two folders have a file counts once: the
longer file where it goes on from the other, of equals the one in the folder named
first; where their lines differ that is said and the exit code is 1. Stations of one
name are one station where the folders describe them alike. Each line of the table
names its folder.

A round robin compares the sessions of one unit on several stations during which, by
what the sessions say, nothing was changed: parts, shims, the numbers its rings stood
at. E_n is each bench's distance from the weighted mean of all others over both expanded
uncertainties (ISO 13528); 1 or less: they agree. Where a bench does not state what its
reference is worth, or its readings do not tell how they scatter, E_n is not known. The
words are those of ISO/IEC 17043: satisfactory up to 1, unsatisfactory beyond.

An audit pack holds the sessions that were begun, read, signed or answered in its days,
byte for byte, each with its report. SHA256SUMS is checked by `sha256sum -c SHA256SUMS`
in its folder. What is left out (practice, damaged files, copies, other days) stands
in left-out.csv with the reason. The folder is there whole, or not at all.

The recall list is written also where there is nothing to recall, and says so; what
could not be looked at stands on it. An earlier recall list, month or table is replaced;
any other file is left alone.

Keys of --json, at full precision, null where nothing is known
  sessions, practice, passed_over: files
  first_pass: of each housing and month, the units that came to a verdict, each with its
    first session, how many passed_first, their share, and low to high at 95 % (Wilson)
  stations: of each axis, units, later_visits left out, in_30_days_arcmin with its
    standard uncertainty u_…, corrected_p (t-test of the slope, Holm), wanders
  shims: of each housing, shims, later_visits left out, slope of measured on predicted,
    at_zero_arcmin, p_as_predicted (t-test of slope 1), as_predicted, standing_out
  folders: of each, its sessions and how many are counted; together, doubled, forked: what
    must be known of several as one, which files are of one session, and which of those
    have other lines, a sentence each
  round_robin: of each unit that several benches measured (with --round-robin of the unit
    asked for), what is compared: consensus_arcmin, u_arcmin, chi_squared, p, and of each
    of its benches read_arcmin, u_arcmin with freedom, others_arcmin (consensus of all
    others) with u_others_arcmin, less_consensus_arcmin, en, word, not_counted: why; all u
    are standard uncertainties; notes; left_out: sessions, and why

Exit code
  0  every session was read
  1  some could not be read, or folders have one session with other lines; they are
     named on standard error
  2  a folder or an argument cannot be used, or the table or the list cannot be
     written; one message on standard error says why";
