//! The looking test: how far its point must be, and which tests count.

use solver::Channel;

use super::counted::last_free;
use crate::fact::{Fact, LookingTest, Seq};
use crate::fold::{Round, Session};
use crate::number::Typed;

/// The share of the convergence limit that parallax may take when the window states none: a tenth.
/// Common practice for a minor contribution, no source.
pub const USUAL_SHARE: f64 = 0.1;

/// The least distance of a looking test's point, and what it is worked out from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FarPoint {
    /// The least distance, metres.
    pub distance_m: f64,
    /// The interpupillary distance, mm: the set-up's, else the widest the housing allows.
    pub ipd_mm: f64,
    /// The share of the convergence limit that parallax may take.
    pub share: f64,
}

/// How far the point of a looking test must be. `None` without a window, or when nothing says what
/// the interpupillary distance can be.
#[must_use]
pub fn far_point(session: &Session) -> Option<FarPoint> {
    let window = session.window()?;
    let set_up = session.setup.as_ref().and_then(|setup| setup.body.ipd_mm.as_ref());
    let widest = session.housing().and_then(|housing| housing.ipd_range_mm).map(|[_, wide]| wide);
    let ipd_mm = set_up.map(Typed::value).or(widest)?;
    let share = window.far_point_share.unwrap_or(USUAL_SHARE);
    let distance_m = solver::far_point::least_distance_m(ipd_mm, &window.limits, share).ok()?;
    Some(FarPoint { distance_m, ipd_mm, share })
}

/// The looking tests of a round's settings as they were left: those since either ring was last
/// free to turn.
pub fn looking_tests<'a>(
    session: &'a Session,
    round: &Round,
) -> impl Iterator<Item = &'a Fact<LookingTest>> {
    let free = Channel::BOTH.iter().filter_map(|&channel| last_free(round, channel)).max();
    let since: Seq = free.unwrap_or(round.id);
    session.looking_tests.iter().filter(move |test| test.seq > since)
}
