//! Shims that were tried, and by how much they moved a line of sight.

use solver::remedy::shim::TriedShim;
use solver::{Channel, CircleFit};

use crate::account::circles_of;
use crate::fact::{Remedy, Seq, ShimUnder};
use crate::fold::{Round, Session};

/// The shims of a session whose effect was measured: one shim and nothing else was put under a tube
/// between a round and the next, and both rounds tell that channel's circle. The shift is how far its
/// centre went.
#[must_use]
pub fn tried_shims(session: &Session) -> Vec<TriedShim> {
    let mut found = Vec::new();
    for pair in session.rounds.windows(2) {
        let [before, after] = pair else { continue };
        let Some(shims) = only_shims(before) else { continue };
        for channel in Channel::BOTH {
            let mut under = shims.iter().filter(|under| under.channel == channel);
            let (Some(one), None) = (under.next(), under.next()) else { continue };
            let centres = [before.id, after.id].map(|round| fit(session, round, channel));
            let [Some(before), Some(after)] = centres else { continue };
            found.push(TriedShim {
                ends: one.shim.ends,
                thickness_mm: one.shim.leaves_mm.iter().sum(),
                clock_deg: one.shim.clock_deg,
                shift: after.circle.centre - before.circle.centre,
            });
        }
    }
    found
}

/// The shims put in upon a round, when nothing else was done.
fn only_shims(round: &Round) -> Option<Vec<ShimUnder>> {
    let mut all = Vec::new();
    for (_, taken) in &round.remedies {
        match &taken.remedy {
            Remedy::Shim(shims) => all.extend(shims.iter().cloned()),
            _ => return None,
        }
    }
    Some(all)
}

/// A channel's circle in a round, when it can be trusted.
pub(super) fn fit(session: &Session, round: Seq, channel: Channel) -> Option<CircleFit> {
    circles_of(session, round)?.trusted(channel).copied()
}
