//! The shim leaves that one session took.

use crate::fact::Remedy;
use crate::fold::Session;
use crate::housing::ShimEnds;

/// The leaves that a session's shims took, mm each, in order: a full-length shim is one stack at each end.
pub(super) fn leaves_used_mm(session: &Session) -> Vec<f64> {
    let remedies = session.rounds.iter().flat_map(|round| &round.remedies);
    let shims = remedies.filter_map(|(_, taken)| match &taken.remedy {
        Remedy::Shim(shims) => Some(shims),
        _ => None,
    });
    let stacks = shims.flatten().flat_map(|under| {
        let stacks = if under.shim.ends == ShimEnds::Both { 2 } else { 1 };
        std::iter::repeat_n(&under.shim.leaves_mm, stacks)
    });
    stacks.flatten().copied().collect()
}
