//! Where to turn each ring, in words: how far, which way, from which side, and what will be read.

use crate::widgets::Dial;
use paper::words;
use record::fact::Approach;
use record::figures::Turned;
use record::{ApproachUsed, ReadingUnit, Station};
use solver::{Channel, Direction, NoSetting, Setting, SettingKind, Solution, Turn};

use super::off_by::xy_words;
use super::source::ReadingsFrom;

/// Where to turn one ring.
#[derive(Clone, Debug, PartialEq)]
pub struct RingGuidance {
    /// What to aim for.
    pub target: Target,
    /// The turn as a hand sees it on the ring.
    pub dial: Option<Dial>,
    /// Which way and how far; `None` where the ring's place is not known.
    pub turn: Option<TurnWords>,
    /// Half the width of the 95 % interval of the target, as the readings stand: `±1.6°`; `None`
    /// where it is not known, and for a setting by hand, which is what it is.
    pub known_to: Option<String>,
    /// What the graticule will show there, in words.
    pub will_read: Option<String>,
    /// How far the last reading of this ring lies from there, x and y, with half the width of its 95 %
    /// interval: `−0.3 ± 0.6′`.
    pub off: Option<[String; 2]>,
}

/// Which way and how far, in words.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct TurnWords {
    /// How far, with an arrow: `↻ 122°`, or that it is there.
    pub amount: String,
    /// Which way, and what is turned.
    pub way: String,
    /// From which side to come to rest: rings have play.
    pub finish: String,
}

/// What one ring aims for.
#[derive(Clone, Debug, PartialEq)]
pub enum Target {
    /// A ring angle, in words.
    Ring(String),
    /// A graticule reading: ring angles are not known.
    Reads(String),
    /// Nothing yet; what is missing.
    Missing(String),
}

/// What one ring's guidance says.
pub(crate) fn ring_guidance(
    channel: Channel,
    solution: Option<&Solution>,
    setting: Option<&Setting>,
    turn: Option<Turn>,
    source: &ReadingsFrom<'_>,
) -> RingGuidance {
    let Some(setting) = setting else {
        return RingGuidance {
            target: Target::Missing(if source.aside.withheld {
                "withheld until you sign".to_owned()
            } else {
                missing(channel, solution)
            }),
            dial: None,
            turn: None,
            known_to: None,
            will_read: None,
            off: None,
        };
    };
    let reads = reading_words(channel, setting.points[channel], source);
    let target = match setting.ring_deg[channel] {
        Some(deg) => Target::Ring(words::ring(deg, source.ring_step_deg)),
        None => Target::Reads(reads.clone()),
    };
    let dial = turn.map(|turn| Dial {
        from_deg: match source.place[channel].and_then(|place| place.ring_deg) {
            Some(ring_deg) if turn.of_ring => ring_deg,
            // The crosshair's own place round its circle.
            _ => 90.0 - solver::angle::deg_from_rad(turn.from_rad),
        },
        clockwise_deg: turn.clockwise_deg,
    });
    let turn = turn.map(|turn| {
        let mut words = turn_words(turn, source.ring_step_deg);
        if let (false, Some(side)) = (words.way.is_empty(), side(source.approach[channel])) {
            words.finish = format!("finish {side}, as logged");
        }
        words
    });
    let known_to = solution
        .filter(|_| setting.kind != SettingKind::ByHand)
        .and_then(|solution| solution.ring_u_deg()[channel])
        .and_then(|uncertainty| uncertainty.half_width_95())
        .map(|half_deg| format!("±{}°", words::number(half_deg, 1)));
    let off = source.place[channel].filter(|_| !source.aside.withheld).map(|place| {
        let fit = solution.and_then(|solution| solution.fits[channel].as_ref().ok());
        let u = fit.zip(setting.ring_deg[channel]);
        let u = u.and_then(|(fit, ring_deg)| fit.departure_u(ring_deg, 0.0, 0.0, 0.0));
        xy_words(place.direction - setting.points[channel], u)
    });
    RingGuidance { target, dial, turn, known_to, will_read: Some(reads), off }
}

fn missing(channel: Channel, solution: Option<&Solution>) -> String {
    match solution {
        None => "the readings cannot be used as they stand".to_owned(),
        Some(solution) => match (&solution.fits[channel], solution.setting) {
            (Err(error), _) => error.beside_channel(),
            (Ok(_), Err(NoSetting::CircleMissing)) => {
                format!("waiting for the {} channel", channel.other())
            }
            (Ok(_), Err(NoSetting::ArcTooShort(short))) => {
                format!("the {short} channel was read over too short an arc")
            }
            (Ok(_), Ok(_)) => "no setting".to_owned(),
        },
    }
}

fn reading_words(channel: Channel, direction: Direction, source: &ReadingsFrom<'_>) -> String {
    reads_at(channel, direction, source.station, source.unit)
}

/// What a channel's graticule shows at a direction, in words.
pub(crate) fn reads_at(
    channel: Channel,
    direction: Direction,
    station: Option<&Station>,
    unit: ReadingUnit,
) -> String {
    let typed = station.map_or([direction.x_arcmin, direction.y_arcmin], |station| {
        station.map[channel].typed_from_direction(unit, direction)
    });
    typed_words(typed, if station.is_some() { unit } else { ReadingUnit::Arcmin })
}

/// x and y as the graticule shows them.
pub(crate) fn typed_words(typed: [f64; 2], unit: ReadingUnit) -> String {
    match unit {
        ReadingUnit::Arcmin => typed.map(words::arcmin).join(", "),
        other => {
            format!("{} {}", typed.map(|value| words::number(value, 1)).join(", "), other.sign())
        }
    }
}

pub(crate) fn turn_words(turn: Turn, step_deg: f64) -> TurnWords {
    let decimals = if turn.of_ring { words::step_decimals(step_deg) } else { 0 };
    let Some(Turned { amount, way }) = Turned::new(turn.clockwise_deg, decimals) else {
        return TurnWords { amount: "it is there".to_owned(), ..TurnWords::default() };
    };
    let arrow = if turn.clockwise_deg > 0.0 { "↻" } else { "↺" };
    let way = if turn.of_ring {
        way.to_owned()
    } else {
        format!("the crosshair, {way} round its circle")
    };
    TurnWords { amount: format!("{arrow} {amount}"), way, finish: String::new() }
}

/// From which side to come to rest, when the readings say.
pub(crate) const fn side(approach: ApproachUsed) -> Option<&'static str> {
    match approach {
        ApproachUsed::Clockwise => Some(Approach::Clockwise.word()),
        ApproachUsed::Counter => Some(Approach::Counter.word()),
        ApproachUsed::NotNoted | ApproachUsed::Mixed => None,
    }
}
