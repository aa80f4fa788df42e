//! A tolerance window as a shop keeps it: limits, the rule that decides, and where they come from.

pub use solver::decision::Rule;

use crate::error::Error;
use crate::validate::{self, Checked, named};

/// What the source of a window's numbers says.
pub const SOURCE_NAMES: &str = "document, clause and table its numbers are from";

/// A named tolerance window.
#[derive(Clone, Debug, PartialEq)]
pub struct NamedWindow {
    /// What the shop calls it.
    pub name: String,
    /// Where its numbers come from.
    pub source: String,
    /// Its limits.
    pub limits: solver::Window,
    /// The rule that decides.
    pub rule: Rule,
    /// The looking test: the share of the convergence limit that parallax may take, in (0, 1].
    pub far_point_share: Option<f64>,
    /// Anything else worth knowing.
    pub note: String,
}

impl Checked for NamedWindow {
    fn check(&self) -> Result<(), Error> {
        named("name", &self.name)?;
        named("source", &self.source)?;
        if let Some(share) = self.far_point_share {
            validate::share("far_point_share", share)?;
        }
        Ok(())
    }
}
