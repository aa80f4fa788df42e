//! A unit as its session measured it, for what a window and its rule do to units like it.

use solver::Window;
use solver::decision::Rule;
use solver::global_risk::MeasuredUnit;

use crate::conclusion::Measured;
use crate::fold::Session;

/// A unit as it was measured, and what by.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AsMeasured {
    /// Where it was left, and how well that is known.
    pub unit: MeasuredUnit,
    /// The limits in force.
    pub limits: Window,
    /// The rule in force.
    pub rule: Rule,
}

impl AsMeasured {
    /// Of a session's confirm readings; `None` without a window, or where nothing tells how far readings
    /// scatter.
    pub(super) fn of(session: &Session, measured: &Measured) -> Option<Self> {
        let window = session.window()?;
        let judged = measured.judgement.as_ref()?;
        let unit = MeasuredUnit {
            misalignment: judged.misalignment,
            shared: judged.shared,
            misalignment_covariance: judged.misalignment_covariance,
            shared_covariance: judged.shared_covariance,
        };
        Some(Self { unit, limits: window.limits, rule: window.rule })
    }
}
