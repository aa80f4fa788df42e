//! A session's field plot: the scene that the screen draws, of the round that counts.

use record::fact::{Lock, Purpose, SettingSource};
use record::{Account, RoundAccount, Session, SettingChosen, Stamp};
use solver::{Direction, Misalignment, PerChannel, Setting, SettingKind, Solution, Window};

use crate::scene::Scene;
use crate::{Field, MarkKind, ReadingMark, field_scene};

/// The field plot of a reviewed session: its last round with anything to solve, else its last round.
#[must_use]
pub fn session_scene(account: &Account) -> Scene {
    let mut scene = uncaptioned(account);
    scene.caption = caption(&account.session);
    scene
}

/// What a field plot is of, for a picture that leaves its session: the unit, and the day it was read.
#[must_use]
pub fn caption(session: &Session) -> String {
    let unit = session.unit().map_or("not named", |unit| unit.name.as_str());
    match day(session) {
        Some(day) => format!("Unit {unit}, {}", day.date()),
        None => format!("Unit {unit}"),
    }
}

/// The day the work was done: that of the last reading, else of the station.
pub(super) fn day(session: &Session) -> Option<Stamp> {
    let last = session.rounds.iter().rev().find_map(|round| round.in_use().next_back());
    last.map(|entry| entry.time).or_else(|| session.stations.last().map(|said| said.time))
}

/// The field plot where unit and day stand beside it.
pub(super) fn uncaptioned(account: &Account) -> Scene {
    let Some(round) = plotted(account) else { return field_scene(&Field::default()) };
    let session = &account.session;
    let solution = solution(round);
    let marks = marks(session, round);
    let setting = setting(session, round);
    field_scene(&Field {
        solution,
        marks: &marks,
        window: session.window().map(|window| window.limits),
        setting: setting.as_ref(),
        ..Field::default()
    })
}

/// The round that the plot shows.
pub(super) fn plotted(account: &Account) -> Option<&RoundAccount> {
    let rounds = || account.rounds.iter().rev();
    rounds().find(|round| round.solution.is_some()).or_else(|| rounds().next())
}

/// What a round comes to, when it can be solved.
pub(super) fn solution(round: &RoundAccount) -> Option<&Solution> {
    round.solution.as_ref()?.as_ref().ok()
}

/// The setting of a round: the one chosen last, else the recommended one as a hand can set it.
pub(super) fn setting(session: &Session, round: &RoundAccount) -> Option<Setting> {
    let window = session.window().map(|window| window.limits);
    if let Some((_, chosen)) = session.round_of(round.id).and_then(|round| round.settings.last()) {
        return Some(as_chosen(chosen, window));
    }
    let solution = solution(round)?;
    let circles = solution.both_fits()?.map(|fit| &fit.circle);
    let step_deg = session.housing().map_or(1.0, |housing| housing.ring_step_deg);
    Some(solution.setting.as_ref().ok()?.rounded_to(circles, step_deg, window))
}

fn as_chosen(chosen: &SettingChosen, window: Option<Window>) -> Setting {
    let points = chosen.points_arcmin.map(|[x, y]| Direction::new(x, y));
    let PerChannel { left, right } = points;
    Setting {
        kind: match chosen.source {
            SettingSource::NearestCrossing | SettingSource::OtherCrossing => SettingKind::Crossing,
            SettingSource::Compromise => SettingKind::Compromise,
            SettingSource::ByHand => SettingKind::ByHand,
        },
        ring_deg: chosen.ring_deg,
        points,
        misalignment: Misalignment::between(left, right),
        boresight_arcmin: left.midpoint(right).boresight_arcmin(),
        window_use: window.map(|window| window.used_by(left, right)),
    }
}

/// The round's readings, each with the number that window and table call it by; confirm readings with the lock open are not of
/// how it was left.
fn marks(session: &Session, round: &RoundAccount) -> Vec<ReadingMark> {
    let entries = session.round_of(round.id).into_iter().flat_map(record::Round::in_use);
    entries
        .filter(|entry| entry.at_set_up_position() && entry.reading.lock != Some(Lock::Before))
        .filter_map(|entry| {
            let channel = entry.reading.channel()?;
            let (ring_deg, direction) = entry.direction(channel)?;
            let purpose = entry.reading.purpose;
            Some(ReadingMark {
                key: entry.seq,
                number: entry.number,
                channel,
                reading: solver::Reading { direction, ring_deg },
                kind: match purpose {
                    Purpose::AsFound => MarkKind::AsFound,
                    Purpose::Log => MarkKind::Log,
                    Purpose::Confirm => MarkKind::Confirm,
                },
                selected: false,
            })
        })
        .collect()
}
