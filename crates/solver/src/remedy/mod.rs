//! What to do when the rings alone do not get there: shims, swapped eyepieces, swapped or turned tubes.
//!
//! - [`shim`]: shim plans, every one looked at;
//! - [`swap`]: eyepieces and tubes traded, tubes turned.

pub mod shim;
pub mod swap;
