//! samepoint's record: what was seen and done on the bench, kept so that nothing is lost and
//! everything can be worked out again.
//!
//! A hand or a file makes a *fact*; facts are appended to a session, never changed; their *fold*
//! is all that a session means; the solver takes it from there. No window, no fonts; callers
//! say when a fact was said. The machine's clock is asked only about files: since when one is held, and
//! how long it is waited for.
//!
//! The way through the house:
//!
//! - [`fact`]: all that can be said, each called by its `seq`; [`number`]: numbers as typed, read by [`decimal`];
//!   [`stamp`]: when; [`step`]: how finely;
//! - [`station`], [`window`], [`housing`], [`mod@unit`]: what a shop keeps and a session copies in;
//!   [`validate`]: what their values must be; `camera_file`: a camera map's file;
//! - [`fold`](mod@fold): from facts to the session they make;
//! - [`mod@as_found`]: how the unit came; [`mod@differences`] and [`difference_words`]: stations that show only the difference;
//! - [`account`]: what a session comes to, each part worked out once;
//! - [`conclusion`]: the verdict they give; [`mod@review`]: does what was signed follow?
//! - [`mod@timeline`]: every fact as a line, with what became of it;
//! - [`mod@what_if`]: a session as it would be with a reading out, another window or rule;
//! - [`linked`]: a supervisor's blind readings of a signed session; [`mod@two_sessions`]: two sessions
//!   of one unit; [`apart`]: how far two results lie apart;
//! - [`figures`]: numbers in sentences;
//! - [`lock_shift`]: what tightening the locks did;
//! - [`mod@aimed`]: where the rings were meant to put the crosshairs, beside where they are;
//!   [`mod@off_by`]: each confirm reading beside what was predicted of it;
//! - [`remedies`]: what a session knows that remedies are worked out from;
//! - [`mod@file`]: the append-only file, its chain, its writer, its lock;
//! - [`rescue`]: facts that could not be written, kept until they can; [`sums`]: SHA-256, and lists of it;
//! - [`shop`]: the folder that holds it all;
//! - [`hands`]: who may sign and countersign; [`seal`]: SSH signatures over what they signed;
//! - [`calibrations`]: a station's map found from known deviations;
//! - [`checks`]: a station's check standard, day by day; [`studies`]: how well its hands repeat;
//!   [`due`]: what is due when; [`axis`]: x and y apart;
//! - [`journal`]: what the files of these two and of the ledger share;
//! - [`ledger`]: what was signed in the shop's sessions, noted beside them;
//! - [`units_waiting`]: the units that wait in the shop;
//! - [`recall`]: what a station that wandered means for what was read on it;
//! - [`practice`]: invented units for a trainee, their truth, their score;
//! - [`shown`]: names and texts from outside, made harmless to show;
//! - [`csv_cell`]: texts as cells no spreadsheet takes for a formula;
//! - [`lists`]: units, hands and sessions to do, from a table; [`import_csv`]: readings from one; [`paste`]: from a spreadsheet's rows;
//! - [`error`]: all that can be refused or go wrong.

pub mod account;
pub mod aimed;
pub mod apart;
pub mod as_found;
pub mod axis;
pub mod calibrations;
mod camera_file;
pub mod checks;
pub mod conclusion;
pub mod csv_cell;
mod decimal;
pub mod difference_words;
pub mod differences;
pub mod due;
pub mod error;
pub mod fact;
pub mod figures;
pub mod file;
pub mod fold;
pub mod hands;
pub mod housing;
pub mod import_csv;
pub mod journal;
pub mod ledger;
pub mod linked;
pub mod lists;
pub mod lock_shift;
pub mod number;
pub mod off_by;
pub mod paste;
pub mod practice;
pub mod recall;
pub mod remedies;
pub mod rescue;
pub mod review;
pub mod seal;
mod seq;
pub mod shop;
pub mod shown;
pub mod stamp;
pub mod station;
mod step;
pub mod studies;
pub mod sums;
pub mod timeline;
pub mod two_sessions;
pub mod unit;
pub mod units_waiting;
pub mod validate;
pub mod what_if;
pub mod window;

pub use account::{Derived, circles_of};
pub use aimed::{Aimed, aimed};
pub use apart::Apart;
pub use as_found::{AsFound, Together, as_found};
pub use axis::Axis;
pub use calibrations::FoundBy;
pub use conclusion::{
    Caveat, Conclusion, Counted, FarPoint, Measured, Method, NoConclusion, Outlook, Position,
    conclude, conclude_by, conclude_to_sign, counted, far_point, looking_tests,
};
pub use differences::{Differences, differences};
pub use due::{CheckFrom, Due, due_list};
pub use error::Error;
pub use fact::*;
pub use file::{
    Access, Damage, DamageKind, Disk, Event, FactFile, FileOptions, GoesOn, Holder, KeptCopy,
    LineFormat, MissingEnd, Notice, Opener, ReadOnlyReason, RealDisk, SaveState, SessionFile,
    SetAside, Wake, new_session_name,
};
pub use fold::{
    AnswerKind, ApproachUsed, Closure, Entry, FactState, Folding, Handover, RESTED_MINUTES,
    Received, Remark, Rested, RingAt, Round, Session, Signature, SignatureState, SupervisorAnswer,
    Value, Withdrawal, fold, fold_back_to, fold_to,
};
pub use hands::{Act, Authority, Hand, HandKey, HandRole, Hands, NoAuthority};
pub use housing::{Adjustment, Hinge, Housing, NoShimModel, Seat, ShimEnds, TubeKind};
pub use jiff::civil::Date;
pub use journal::{JournalBody, JournalFile, JournalHeader, Meaning, Vocabulary};
pub use linked::{BlindCheck, Link, NoBlindCheck, NoLink, blind_check};
pub use lock_shift::{LockShift, lock_shifts, turned_by_locks_deg};
pub use number::Typed;
pub use off_by::{OffBy, expected_at, off_by};
pub use review::{
    Account, Beside, Blind, BlindWord, Chain, Difference, Follows, Objection, Otherwise,
    RoundAccount, State, review, review_with_facts,
};
pub use seal::SealState;
pub use shop::parts::{
    Foretold, Matched, Matching, Stock, StockEyepiece, StockHousing, StockTube, match_shelf,
    match_shelf_while,
};
pub use shop::survey::{
    By, SentBack, SessionSummary, ShimMiss, ShimOutcome, ShimSeen, Survey, SurveyGroup, survey,
};
pub use shop::{
    Edited, Editing, HeadPicture, Kept, LeftOpen, Letterhead, LockAdvice, MapStanding, SealRule,
    SessionListing, Shop, ShopRules, Wording, Zeros,
};
pub use solver::{Channel, PerChannel};
pub use stamp::Stamp;
pub use station::{
    Calibration, DailyCheck, Graticule, ReadingUnit, ReferenceUncertainty, Shows, Station,
    StationMap,
};
pub use timeline::{FactStatus, TimelineEntry, timeline};
pub use two_sessions::{TwoSessions, two_sessions};
pub use unit::{Eyepiece, RingNumbering, Shim, Tube, Unit};
pub use validate::Checked;
pub use what_if::{Supposition, WhatIf, what_if};
pub use window::{NamedWindow, Rule};
