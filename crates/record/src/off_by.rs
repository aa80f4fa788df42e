//! How far each confirm reading lies from where it was predicted to be.
//!
//! Predicted: where the channel's circle has the ring angle noted with the reading; where none is noted,
//! the setting chosen last, else the recommended one in whole steps of the ring. At a stop of the swing
//! the pod has rolled by ψ, so that direction is turned about boresight with it, and the reading is turned
//! back before it is held against its circle ([`solver::own_circle`]).
//!
//! Judged one by one, across the circle; along it with the lock open only, since a lock may drag its ring.
//! Neither decides anything: the verdict has tests of its own ([`crate::conclusion::on_circle`]).

use solver::angle::deg_from_rad;
use solver::own_circle::Departure;
use solver::pointing::step_u_deg;
use solver::swing::swung;
use solver::{Channel, CircleFit, Direction, PerChannel, Setting, Solution, Uncertainty};

use crate::conclusion::Position;
use crate::conclusion::on_circle::{FALSE_ALARM, WhichReadings, confirm_readings};
use crate::fact::{Purpose, Seq, SettingSource};
use crate::fold::{Entry, Round, Session};

/// A confirm reading beside what was predicted of it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OffBy {
    /// The reading.
    pub seq: Seq,
    /// Whose.
    pub channel: Channel,
    /// Where the pods stood.
    pub position: Position,
    /// Under what it was taken.
    pub readings: WhichReadings,
    /// Where the crosshair was to be there.
    pub predicted: Direction,
    /// Measured less predicted.
    pub off: Direction,
    /// Standard uncertainty of that, x and y, arcminutes; `None` where no ring angle is known, and as for
    /// `across`.
    pub off_u: Option<[Uncertainty; 2]>,
    /// How far across its circle, outwards positive; `None` where neither σ nor readings to spare tell how
    /// well the circle is known.
    pub across: Option<Departure>,
    /// How far along it, counter-clockwise positive; `None` too where no ring angle is known.
    pub along: Option<Departure>,
    /// The same as an angle round the circle, degrees, counter-clockwise positive.
    pub along_deg: Option<f64>,
    /// How far across or along is explained, arcminutes, at [`FALSE_ALARM`] for all of these together.
    pub explained_arcmin: PerWay,
}

/// A number across the circle and one along it, arcminutes; infinite where nothing is judged.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PerWay {
    /// Across.
    pub across: f64,
    /// Along.
    pub along: f64,
}

impl OffBy {
    /// Whether it lies farther off its own circle than is explained.
    #[must_use]
    pub fn is_off_circle(&self) -> bool {
        self.across.is_some_and(|it| it.off_arcmin.abs() > self.explained_arcmin.across)
    }

    /// Whether, with the lock open, it lies farther along its circle than is explained: the ring stands
    /// elsewhere.
    #[must_use]
    pub fn is_off_setting(&self) -> bool {
        self.along.is_some_and(|it| it.off_arcmin.abs() > self.explained_arcmin.along)
    }
}

/// What an open round's rings are recommended to be set to, in whole steps.
fn recommended(session: &Session, solution: &Solution) -> Option<Setting> {
    let circles = solution.both_fits()?.map(|fit| &fit.circle);
    let step_deg = ring_step_deg(session);
    let window = session.window().map(|window| window.limits);
    Some(solution.setting.as_ref().ok()?.rounded_to(circles, step_deg, window))
}

fn ring_step_deg(session: &Session) -> f64 {
    session.housing().map_or(1.0, |housing| housing.ring_step_deg)
}

/// Every confirm reading of the open round that was taken since its ring was last logged, in the order read,
/// beside what was predicted of it; none without a circle. `solution`: that round's.
#[must_use]
pub fn off_by(session: &Session, solution: &Solution) -> Vec<OffBy> {
    let Some(round) = session.round() else { return Vec::new() };
    let aim = recommended(session, solution);
    let setting_u_deg = step_u_deg(ring_step_deg(session));
    let mut found: Vec<OffBy> = confirm_readings(round)
        .filter_map(|(entry, readings)| {
            let channel = entry.reading.channel()?;
            let fit = solution.fits[channel].as_ref().ok()?;
            let logged = round.of(channel, Purpose::Log).next_back()?;
            if entry.seq < logged.seq {
                return None;
            }
            let (ring_deg, measured) = entry.direction(channel)?;
            let chosen = chosen(round, channel, entry, logged.seq);
            let aimed = ring_deg
                .or_else(|| chosen.and_then(|(deg, _)| deg))
                .or_else(|| aim.filter(|_| chosen.is_none())?.ring_deg[channel]);
            let at_rest = aimed
                .and_then(|deg| fit.circle.at_ring(deg))
                .or_else(|| chosen.map(|(_, point)| point))
                .or_else(|| aim.map(|aim| aim.points[channel]))?;
            let position = Position::of(entry, session);
            let swing_deg = swing_deg(session, position)?;
            let predicted = swung(PerChannel::from_fn(|_| at_rest), swing_deg)[channel];
            let back = swung(PerChannel::from_fn(|_| measured), -swing_deg)[channel];
            let moved_u_arcmin = match position {
                Position::SetUp => readings.moved_u_arcmin(),
                // The pods were moved, and whatever a seating may do, a hinge may.
                _ => WhichReadings::Reseated.moved_u_arcmin(),
            };
            let along = aimed.and_then(|deg| along(fit, back, deg, setting_u_deg));
            let rolled_deg = match channel {
                Channel::Left => swing_deg,
                Channel::Right => -swing_deg,
            };
            let off_u = aimed
                .and_then(|deg| fit.departure_u(deg, setting_u_deg, moved_u_arcmin, rolled_deg));
            let radius_arcmin = fit.circle.radius_arcmin;
            Some(OffBy {
                seq: entry.seq,
                channel,
                position,
                readings,
                predicted,
                off: measured - predicted,
                off_u,
                across: fit.departure_across(&[back], moved_u_arcmin),
                along,
                along_deg: along.map(|it| deg_from_rad(it.off_arcmin / radius_arcmin)),
                explained_arcmin: PerWay { across: f64::INFINITY, along: f64::INFINITY },
            })
        })
        .collect();
    let judged_along =
        |it: &OffBy| it.readings == WhichReadings::LockOpen && it.position == Position::SetUp;
    let tests: usize = found
        .iter()
        .map(|it| {
            usize::from(it.across.is_some()) + usize::from(it.along.is_some() && judged_along(it))
        })
        .sum();
    let level = FALSE_ALARM / tests.max(1) as f64;
    for it in &mut found {
        let explained = |departure: Option<Departure>| {
            departure.and_then(|it| it.explained_arcmin(level)).unwrap_or(f64::INFINITY)
        };
        it.explained_arcmin.across = explained(it.across);
        if judged_along(it) {
            it.explained_arcmin.along = explained(it.along);
        }
    }
    found
}

fn along(fit: &CircleFit, at: Direction, ring_deg: f64, setting_u_deg: f64) -> Option<Departure> {
    fit.departure_along(&[at], ring_deg, setting_u_deg)
}

/// Where the ring was meant to stand: by the setting chosen last before a reading, since its ring was
/// logged, or by hand.
fn chosen(
    round: &Round,
    channel: Channel,
    entry: &Entry,
    since: Seq,
) -> Option<(Option<f64>, Direction)> {
    let mut before = round.settings.iter().rev().filter(|(seq, _)| *seq < entry.seq);
    let (seq, chosen) = before.next()?;
    let stands = *seq > since || chosen.source == SettingSource::ByHand;
    let [x, y] = chosen.points_arcmin[channel];
    stands.then(|| (chosen.ring_deg[channel], Direction::new(x, y)))
}

/// ψ at a position of the pods, degrees; `None` where housing or set-up do not tell it.
/// Where channels that point at `points` where the unit was set up point at another position of the pods;
/// `None` where housing or set-up do not say how far the pods swing.
#[must_use]
pub fn expected_at(
    session: &Session,
    points: PerChannel<Direction>,
    position: Position,
) -> Option<PerChannel<Direction>> {
    Some(swung(points, swing_deg(session, position)?))
}

fn swing_deg(session: &Session, position: Position) -> Option<f64> {
    let [narrow, wide] = match position {
        Position::SetUp => return Some(0.0),
        Position::Ipd { mm } => [mm; 2],
        Position::Narrow | Position::Wide => session.housing()?.ipd_range_mm?,
    };
    let ipd_mm = if position == Position::Wide { wide } else { narrow };
    let set_up_mm = session.setup.as_ref()?.body.ipd_mm.as_ref()?.value();
    session.housing()?.swing_deg(set_up_mm, ipd_mm)
}
