//! Figures published outside this project, and what this solver makes of the same input: kept once, for the
//! tests and for the program's check of itself.
//!
//! Only numbers and the names of their sources are kept. A tolerance is half a unit of the last printed
//! digit unless a line says where another comes from. "Recomputed" means that the source gives the
//! data but fewer digits than are checked: the digits come from the general-purpose library named.
//!
//! - [`fits`]: circles; [`crossings`]: where two meet; [`units`]: angles, prism dioptres, decentred lenses;
//! - [`statistics`]: lines, distributions, shares, charts; [`decisions`]: conformance and its risks.

pub mod crossings;
pub mod decisions;
pub mod fits;
pub mod statistics;
pub mod units;

use crate::error::Error;

/// A published number beside what comes out here.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Figure {
    /// What it is.
    pub what: &'static str,
    /// As published.
    pub expected: f64,
    /// As worked out here.
    pub got: f64,
    /// How far they may lie apart.
    pub allowed: f64,
}

impl Figure {
    /// Whether they lie no farther apart than allowed; never where either is no number.
    #[must_use]
    pub fn agrees(&self) -> bool {
        (self.got - self.expected).abs() <= self.allowed
    }
}

/// Figures of one source.
#[derive(Clone, Copy, Debug)]
pub struct Case {
    /// What is worked out.
    pub what: &'static str,
    /// Who published it where; what is from memory or recomputed.
    pub source: &'static str,
    /// Works it out.
    pub work: fn() -> Result<Vec<Figure>, Error>,
}

impl Case {
    /// Works it out, and whether there are figures and all of them agree.
    ///
    /// # Errors
    /// What the solver refused.
    pub fn worked(&self) -> Result<(Vec<Figure>, bool), Error> {
        let figures = (self.work)()?;
        let agrees = !figures.is_empty() && figures.iter().all(Figure::agrees);
        Ok((figures, agrees))
    }
}

/// Every case, by subject.
pub fn cases() -> impl Iterator<Item = &'static Case> {
    [fits::CASES, crossings::CASES, units::CASES, statistics::CASES, decisions::CASES]
        .into_iter()
        .flatten()
}

/// How many cases there are, and how many of them agree.
#[must_use]
pub fn tally() -> (usize, usize) {
    let agreeing = cases().filter(|case| case.worked().is_ok_and(|(_, agrees)| agrees)).count();
    (cases().count(), agreeing)
}

/// A figure within a tolerance.
const fn close(what: &'static str, got: f64, expected: f64, allowed: f64) -> Figure {
    Figure { what, expected, got, allowed }
}

/// A figure printed to so many decimals.
fn printed(what: &'static str, got: f64, expected: f64, decimals: i32) -> Figure {
    // A whisker more than half a unit: the printed figure itself is not a binary number.
    close(what, got, expected, 0.500_001 * 10_f64.powi(-decimals))
}

/// A figure to a share of itself.
const fn within(what: &'static str, got: f64, expected: f64, share: f64) -> Figure {
    close(what, got, expected, share * expected.abs())
}
