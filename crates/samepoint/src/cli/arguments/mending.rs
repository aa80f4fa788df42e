//! What can be typed to mend a file that is damaged or lacks its end.

use std::path::PathBuf;

use clap::Args;

/// Make a new session of what still verifies in a damaged one
///
/// Where a line is damaged the lines behind it may still hold together. What verifies is written to a
/// new session, each fact under the number it had, with a note in place of each one that is lost; the
/// damaged file is left as it is.
#[derive(Debug, Args)]
#[command(after_help = SALVAGE_NOTES)]
pub(in crate::cli) struct SalvageArguments {
    /// The damaged session, a .samepoint file
    #[arg(value_name = "SESSION")]
    pub(in crate::cli) session: PathBuf,

    /// Where to put the new one: a name that ends in .samepoint, of no file that is there
    #[arg(long, value_name = "FILE")]
    pub(in crate::cli) to: PathBuf,

    /// Say that its unit was a real one; needed only where the first line is lost and nothing that
    /// verifies tells it from practice
    #[arg(long)]
    pub(in crate::cli) real: bool,
}

const SALVAGE_NOTES: &str = "\
The new session is marked as salvaged for ever, on every page of its reports too.
What was signed in the damaged one was signed over that file and is not in force in
it, and nothing in it passes until station and window were said again and a round
was opened and read after what is lost.

Where the first line is lost, so is what it alone said: which session it is, in which
format, which file it goes on from, and whether its unit was a real one. The first is
looked for in the shop's ledger, the last in what the session was worked with.

Exit code
  0  written, and no fact is lost
  1  written, and facts are lost or may be
  2  nothing is written: the session is whole, or nothing of it can be read, or an
     argument cannot be used; one message on standard error says why";

/// Go on in a file whose end is missing: keep what stands there beside it, and cut it off
///
/// For a session, a ledger, a station's checks or calibration, a study or the list of units that wait. Without a hand's word
/// nothing is touched, and what would be done is said. What is cut off may have been saved: look first
/// whether a copy of the file has it.
#[derive(Debug, Args)]
#[command(after_help = SET_ASIDE_NOTES)]
pub(in crate::cli) struct SetAsideArguments {
    /// The file whose end is missing
    #[arg(value_name = "FILE")]
    pub(in crate::cli) file: PathBuf,

    /// Whose word it is that the bytes there be set aside; it stands in the file for ever
    #[arg(long, value_name = "INITIALS")]
    pub(in crate::cli) hand: Option<String>,

    /// Agree to write although files cannot be locked or synced in that place
    #[arg(long)]
    pub(in crate::cli) agree: bool,
}

const SET_ASIDE_NOTES: &str = "\
What stands where the end is missing is copied to FILE.torn-TIME, byte for byte, and
synced, before anything is cut; the file then says what was set aside, by whom, and
the SHA-256 of the copy. A signature before it is not in force: sign anew what holds.
A file that is damaged before its end is left alone: `samepoint salvage` is for a
session. Checks and studies of format 1 have no words for it and go on in a new
file, from the bench.

Exit code
  0  set aside, and on disk
  1  the end is missing, nobody's word was given, and nothing was touched
  2  the file cannot be used, or nothing is missing, or it cannot be written; one
     message on standard error says why

Example
  samepoint set-aside \"sessions/2026-11-25 0147.samepoint\" --hand RV";
