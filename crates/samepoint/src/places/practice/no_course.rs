//! Why earlier attempts are not shown.

use crate::jobs::Broken;
use crate::shell::refusals::NO_SHOP;

/// Why there are no earlier attempts to show.
#[derive(Debug, thiserror::Error)]
pub enum NoCourse {
    /// There is nowhere to look.
    #[error("{NO_SHOP}")]
    NoShop,
    /// They cannot be read.
    #[error(transparent)]
    Unread(record::Error),
    /// The reading of them broke off.
    #[error("{0}")]
    Broken(Broken),
}
