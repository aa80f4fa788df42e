//! A session that was read on a station while its zero was off, as it would be.

use jiff::civil::Date;
use solver::{Channel, Direction, PerChannel};

use super::spells::{Spell, ZeroAt};
use crate::conclusion::conclude;
use crate::fact::Verdict;
use crate::figures::{arcmin_fine, direction, percent};
use crate::fold::{Session, Value};
use crate::shown;
use crate::station::Shows;
use crate::window::Rule;

/// What a station that was off means for a session.
#[derive(Clone, Debug, PartialEq)]
pub struct Recall {
    /// The station.
    pub station: String,
    /// The day of its last reading.
    pub day: Date,
    /// The last good check before.
    pub last_good: Option<Date>,
    /// How far off each channel's zero was on that day; `None` where no check tells.
    pub zero: PerChannel<Option<ZeroAt>>,
    /// The verdict as the readings give it.
    pub verdict: Option<Verdict>,
    /// What it would be with the station's zero taken off.
    pub would: Would,
    /// Window use with the zero taken off, where it can be worked out.
    pub window_use: Option<f64>,
}

/// What a verdict would be with the station's zero taken off.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Would {
    /// It would pass.
    Pass,
    /// It would fail.
    Fail,
    /// It cannot be told.
    CannotTell,
}

impl Would {
    /// `would pass`, `would fail`, `cannot be told`.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Pass => "would pass",
            Self::Fail => "would fail",
            Self::CannotTell => "cannot be told",
        }
    }
}

/// What the spells of its station mean for a session; `None` where it was read in none of them.
///
/// It is judged by the guarded rule whatever its window's own is, since what is taken off is known only so
/// well: its uncertainty is added to the station's reference.
#[must_use]
pub fn recall(session: &Session, spells: &[Spell]) -> Option<Recall> {
    let station = session.station()?;
    let last = session.rounds.iter().rev().find_map(|round| round.in_use().next_back())?;
    let day = last.time.date();
    let spell = spells.iter().find(|spell| spell.station == station.name && spell.holds(day))?;
    let zero = spell.zero_on(day);
    let verdict = conclude(session).ok().map(|conclusion| conclusion.verdict);
    let (would, window_use) = judged(session, &zero);
    let station = station.name.clone();
    let last_good = spell.last_good;
    Some(Recall { station, day, last_good, zero, verdict, would, window_use })
}

fn judged(session: &Session, zero: &PerChannel<Option<ZeroAt>>) -> (Would, Option<f64>) {
    let unknown = (Would::CannotTell, None);
    let (Some(left), Some(right)) = (zero.left, zero.right) else { return unknown };
    let zero = PerChannel { left, right };
    let mut corrected = session.clone();
    let (Some(station), Some(window)) =
        (corrected.stations.last_mut(), corrected.windows.last_mut())
    else {
        return unknown;
    };
    if station.body.shows != Shows::Direction {
        return unknown;
    }
    for channel in Channel::BOTH {
        for (own, u) in
            station.body.reference.own_u_arcmin[channel].iter_mut().zip(zero[channel].u_arcmin)
        {
            *own = own.hypot(u);
        }
    }
    window.body.rule = Rule::Guarded;
    for round in &mut corrected.rounds {
        round.readings.change(|entries| {
            for entry in entries {
                if let Some(Value::Direction { channel, direction, .. }) = &mut entry.value {
                    *direction = *direction - zero[*channel].off;
                }
            }
        });
    }
    let Ok(conclusion) = conclude(&corrected) else { return unknown };
    let would = match conclusion.verdict {
        Verdict::Pass => Would::Pass,
        Verdict::Fail => Would::Fail,
        Verdict::Undecided | Verdict::NotMeasured => Would::CannotTell,
    };
    (would, conclusion.measured.map(|measured| measured.window_use.worst()))
}

impl Recall {
    /// Whether the correction makes another verdict of it, or leaves it open.
    #[must_use]
    pub fn changes(&self) -> bool {
        !matches!(
            (self.verdict, self.would),
            (Some(Verdict::Pass), Would::Pass) | (Some(Verdict::Fail), Would::Fail)
        )
    }

    /// It in sentences.
    #[must_use]
    pub fn words(&self) -> String {
        let station = shown::one_line(&self.station);
        let good = self.last_good.map_or_else(
            || "before any good check".to_owned(),
            |last| format!("after its last good check, {last}"),
        );
        let each: Vec<String> = self
            .zero
            .iter()
            .filter_map(|(channel, zero)| {
                Some(format!("{} {}", channel.word(), off(zero.as_ref()?)))
            })
            .collect();
        let zero = if each.is_empty() {
            "how far its zero was off cannot be told".to_owned()
        } else {
            format!("by its checks it read {} too much", each.join(", "))
        };
        let is = self.verdict.map_or("no verdict", Verdict::word);
        let would = match (self.would, self.window_use) {
            (Would::CannotTell, _) => "whether it would pass cannot be told".to_owned(),
            (would, Some(used)) => {
                format!("it {}, window use {}", would.word(), percent(used))
            }
            (would, None) => format!("it {}", would.word()),
        };
        format!(
            "Read on {station} on {}, {good}: {zero}. The verdict is {is}; with that taken off, {would} \
             (guarded rule).",
            self.day
        )
    }
}

/// `6.1′, 0.0′ (± 0.52′, 0.48′)`
fn off(zero: &ZeroAt) -> String {
    let [x, y] = zero.half_widths_95_arcmin().map(arcmin_fine);
    let Direction { x_arcmin, y_arcmin } = zero.off;
    format!("{} (± {x}, {y})", direction(Direction::new(x_arcmin, y_arcmin)))
}
