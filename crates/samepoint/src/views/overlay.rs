//! What is laid beside a round's readings: a setting that is tried or was chosen by hand, and
//! circles that are not this round's. Only what was chosen is on record.

use paper::{Confirmed, Ghost};
use record::fact::{SettingChosen, SettingSource};
use record::{Derived, Round, Session};
use solver::setting::{RingPlace, by_hand};
use solver::{Direction, OffsetCircle, PerChannel, Setting, Window};

/// What is laid beside the readings.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Overlay {
    /// A setting that is only being tried.
    pub trial: Option<PerChannel<RingPlace>>,
    /// The setting chosen last in this round, unless it was the recommended one: that follows the
    /// readings by itself.
    pub chosen: Option<SettingChosen>,
    /// Circles of the last round.
    pub last_round: Option<Ghost>,
    /// What the remedy that opened this round was predicted to make of the circles.
    pub predicted: Option<Ghost>,
    /// What a remedy being considered would make of the circles.
    pub considered: Option<Ghost>,
    /// What confirm readings came to.
    pub confirmed: Option<Confirmed>,
    /// Whether an examination is sat: what is recommended is withheld.
    pub withheld: bool,
    /// Whether the round was left alone and nobody has said yet that nothing was touched: what its readings
    /// tell may hold no longer.
    pub rested: bool,
}

impl Overlay {
    /// What the facts say of it; nothing is being tried.
    #[must_use]
    pub fn of(account: &Derived<'_>) -> Self {
        let state = account.session();
        let chosen = state
            .round()
            .and_then(|round| round.settings.last())
            .map(|(_, chosen)| chosen.clone())
            .filter(|chosen| chosen.source == SettingSource::ByHand);
        let (last_round, confirmed) = (last_round(account), confirmed(account));
        let withheld = state.withholds();
        let predicted = predicted(state).filter(|_| !withheld);
        Self { chosen, last_round, predicted, confirmed, withheld, ..Self::default() }
    }

    /// The setting that is tried, else the one that was chosen.
    #[must_use]
    pub fn by_hand(
        &self,
        circles: PerChannel<&OffsetCircle>,
        window: Option<Window>,
    ) -> Option<Setting> {
        let places = self.trial.or_else(|| self.chosen.as_ref().map(|it| places(it, circles)))?;
        Some(by_hand(circles, places, window))
    }

    /// Circles that are not this round's.
    #[must_use]
    pub fn ghosts(&self) -> Vec<Ghost> {
        // Once the next remedy is considered, the last one has been measured.
        let predicted = self.considered.as_ref().or(self.predicted.as_ref());
        self.last_round.iter().chain(predicted).cloned().collect()
    }
}

/// Where a chosen setting puts the rings: at its ring angles, else where its points were.
fn places(chosen: &SettingChosen, circles: PerChannel<&OffsetCircle>) -> PerChannel<RingPlace> {
    PerChannel::from_fn(|channel| match chosen.ring_deg[channel] {
        Some(ring_deg) => RingPlace::Ring(ring_deg),
        None => {
            let [x, y] = chosen.points_arcmin[channel];
            // Without a ring angle no step rounds.
            RingPlace::nearest(circles[channel], Direction::new(x, y), 0.0)
        }
    })
}

/// Where confirm readings found the left crosshair, and the guard band they leave.
fn confirmed(account: &Derived<'_>) -> Option<Confirmed> {
    let measured = account.conclusion().ok()?.measured.as_ref()?;
    let guard_arcmin = measured.judgement.as_ref().map_or([0.0; 2], |judged| judged.guard_arcmin);
    Some(Confirmed { left: measured.points.left, guard_arcmin })
}

/// The circles of the round before the open one.
fn last_round(account: &Derived<'_>) -> Option<Ghost> {
    let last = account.session().rounds.iter().rev().nth(1)?;
    ghost(account, last, format!("round {}", last.number))
}

/// A round's circles, where there are any.
#[must_use]
pub(crate) fn ghost(account: &Derived<'_>, round: &Round, label: String) -> Option<Ghost> {
    let found = account.circles(round.id)?;
    let circles = found.known();
    let any = circles.iter().any(|(_, circle)| circle.is_some());
    any.then(|| Ghost { label, circles, crossing: found.nearest() })
}

/// What the remedy that opened the round at work was predicted to make of the circles.
fn predicted(state: &Session) -> Option<Ghost> {
    let prediction = record::remedies::remedy_before(state)?.prediction.as_ref()?;
    let direction = |[x, y]: [f64; 2]| Direction::new(x, y);
    Some(Ghost {
        label: "predicted".to_owned(),
        circles: PerChannel::from_fn(|channel| {
            prediction.circles[channel].map(|circle| OffsetCircle {
                centre: direction(circle.centre_arcmin),
                radius_arcmin: circle.radius_arcmin,
                phase: None,
            })
        }),
        crossing: prediction.crossing_arcmin.map(direction),
    })
}
