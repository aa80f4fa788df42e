//! Hands: whose initials a shop knows, what they may do, from when to when, and which keys are theirs.
//!
//! One file each, `hands/INITIALS.ron`. A shop that lists nobody checks nobody; what says so is
//! [`Authority::NotChecked`](authority::Authority).
//!
//! - [`hand`]: one of them; [`list`]: all of them, and the list's own hash; [`authority`]: who may sign,
//!   countersign, return; [`role`]: what a hand may do, and why it may not; [`wire`]: the words of the file.

pub mod authority;
pub mod hand;
pub mod list;
pub mod role;
pub(crate) mod wire;

pub use authority::{Act, Authority};
pub use hand::{Hand, HandKey};
pub use list::Hands;
pub use role::{HandRole, NoAuthority};
