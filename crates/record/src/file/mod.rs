//! The append-only file of a session, a station's checks or a study: lines that are only ever added to.
//!
//! Nothing acknowledged as saved may be lost by a crash, a full disk or a pulled plug, and no
//! acknowledged byte is ever rewritten.
//!
//! - [`fact_file`]: an open file; [`open`]: beginning, opening, continuing, copying;
//!   [`set_aside`]: going on where the end is missing, when the hand says so;
//! - [`writer`]: the thread that owns the file; [`lock`]: who may write;
//! - [`chain`]: the line and its hash; [`mod@scan`]: reading them back; [`damage`]: where they break;
//!   [`mod@salvage`]: what still verifies behind that; `salvaged`: a new file of it; `first_line`: what
//!   stands in for a first line that is lost; [`unread`]: a file that says nothing, told so that it is known
//!   again;
//! - [`line_format`]: what the lines of one kind of file say; `session_words`: a session's,
//!   by its format: `v1`, `v2`;
//! - [`bad_field`]: what a line says that its format does not allow;
//! - [`disk`]: the little that is asked of a disk; `system`: what of that differs between systems; [`plain`]: nothing but plain files is read;
//!   `hashed`: hashing what is read; [`names`]: names that every system takes.

pub mod bad_field;
pub mod chain;
pub mod damage;
pub mod disk;
pub mod fact_file;
mod first_line;
pub(crate) mod hashed;
pub mod line_format;
pub mod lock;
pub mod names;
pub mod open;
pub mod plain;
pub mod salvage;
mod salvaged;
pub mod scan;
mod session_words;
pub mod set_aside;
mod system;
pub mod unread;
pub(crate) mod v1;
pub(crate) mod v2;
pub mod writer;

pub use bad_field::BadField;
pub use chain::LONGEST_LINE;
pub use damage::{Damage, DamageKind, MissingEnd, SetAside};
pub use disk::{Disk, DiskFile, FileState, Locking, RealDisk};
pub use fact_file::{
    Access, FactFile, FileOptions, Notice, ReadOnlyReason, SaveState, SessionFile, write_all_lines,
};
pub use line_format::{GoesOn, LineFormat};
pub use lock::{Holder, Opener};
pub use open::{KeptCopy, new_session_name};
pub use salvage::{Gap, Salvage, salvage};
pub use scan::{End, Scan, check_chain, line_hashes, scan, scan_each, scan_facts, scan_some};
pub use unread::Unread;
pub use writer::{Event, Wake};
