//! The session file: lines that are only ever added to.
//!
//! Nothing acknowledged as saved may be lost by a crash, a full disk or a pulled plug, and no
//! acknowledged byte is ever rewritten.
//!
//! - [`session_file`]: an open session; [`open`]: beginning, opening, continuing, copying;
//! - [`writer`]: the thread that owns the file; [`lock`]: who may write;
//! - [`chain`]: the line and its hash; [`mod@scan`]: reading them back; [`damage`]: where they break;
//! - `v1`: the words of format 1; [`disk`]: the little that is asked of a disk.

pub mod chain;
pub mod damage;
pub mod disk;
pub mod lock;
pub mod open;
pub mod scan;
pub mod session_file;
pub(crate) mod v1;
pub mod writer;

pub use chain::LONGEST_LINE;
pub use damage::{Damage, DamageKind};
pub use disk::{Disk, DiskFile, FileState, Locking, RealDisk};
pub use lock::{Holder, Opener};
pub use open::{Copied, new_session_name};
pub use scan::{End, Scan, check_chain, scan};
pub use session_file::{
    Access, FileOptions, Notice, ReadOnlyReason, SaveState, SessionFile, write_all_lines,
};
pub use writer::{Event, Wake};
