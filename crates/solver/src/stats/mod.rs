//! What statrs lacks or does badly, exact and checked against published digits.
//!
//! - [`quantile`]: normal, Student's t, χ² and F, with every input checked;
//! - [`binormal`]: mass of a bivariate normal in a box and, by `disc`, in a disc; `any_scale`: masses whose
//!   variance is scaled by ν/χ²;
//! - [`sample`]: mean, variance, covariance, effective degrees of freedom;
//! - [`robust`]: median and median absolute deviation;
//! - [`ranks`]: groups compared by ranks; [`order`]: quantiles of a sample; [`scatter`]: directions and
//!   their mean;
//! - [`correlated`]: means of quantities read together, and what is worked out from them;
//! - [`mod@line`]: a straight line with covariance and band;
//! - [`anova`]: groups compared, one way and two ways crossed;
//! - [`mod@agreement`]: two measurements of one direction, and whether they agree;
//! - [`mod@consensus`]: what several measurements of one thing come to, and each against it;
//! - [`compare`]: two results compared, and many comparisons corrected;
//! - [`proportion`]: a share of successes with its interval; [`trend`]: whether something rises or falls with time;
//! - [`quadrature`]: integrals to a stated accuracy with bounded work.
//! - `special`: the functions that distributions stand on.

pub mod agreement;
pub mod anova;
pub(crate) mod any_scale;
pub mod binormal;
pub mod compare;
pub mod consensus;
pub mod correlated;
mod disc;
pub mod line;
pub mod order;
pub mod proportion;
pub mod quadrature;
pub mod quantile;
pub mod ranks;
pub mod robust;
pub mod sample;
pub mod scatter;
mod special;
pub mod trend;
