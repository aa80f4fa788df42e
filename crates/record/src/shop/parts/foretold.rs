//! What was predicted of units that were built of known parts, beside what was measured.
//!
//! Nothing is stored when a match is chosen: what can be derived is not. Whenever a session names a unit,
//! both its tubes and both its eyepieces, and one tube at least sits in its pod as no earlier session had
//! it, what earlier sessions and stated values tell is put together as the shelf does it, and compared
//! with the circles that were then read.

use std::collections::BTreeMap;

use solver::shelf::{
    Against, Estimate, MatchPrediction, Seated, against, at_crossing_near, predict,
};
use solver::{Channel, Direction, OffsetCircle, PerChannel};

use super::gather::Gathered;
use super::known::{KnownParts, PartsAsked};
use super::seen::PodSeen;
use super::stock::Stock;
use crate::stamp::Stamp;
use crate::window::NamedWindow;

/// A unit that was built of parts that were known, and what came of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Foretold {
    /// The session's file.
    pub file: String,
    /// When the round was opened.
    pub time: Stamp,
    /// Which round.
    pub round: usize,
    /// The unit.
    pub unit: String,
    /// The tube in each pod.
    pub tubes: PerChannel<String>,
    /// How far each was turned, degrees clockwise.
    pub turned_deg: PerChannel<f64>,
    /// The eyepiece in each pod.
    pub eyepieces: PerChannel<String>,
    /// What the shelf would have said before it was read.
    pub prediction: MatchPrediction,
    /// The circles that were read.
    pub measured: PerChannel<OffsetCircle>,
    /// Where they cross, nearest to where it was predicted, and what that uses of the window, if they meet.
    pub crossing: Option<(Direction, f64)>,
    /// How far they came out.
    pub against: Against,
}

/// The most that are told.
const MOST: usize = 50;

/// Every such unit, the newest first, at most fifty.
#[must_use]
pub(super) fn foretold(gathered: &Gathered, stock: &Stock, window: &NamedWindow) -> Vec<Foretold> {
    let mut rounds: BTreeMap<(&str, usize), PerChannel<Option<&PodSeen>>> = BTreeMap::new();
    for one in &gathered.seen {
        let pods = rounds.entry((&one.file, one.round)).or_default();
        match one.channel {
            Channel::Left => pods.left = Some(one),
            Channel::Right => pods.right = Some(one),
        }
    }
    let mut built: Vec<PerChannel<&PodSeen>> = rounds
        .into_values()
        .filter_map(|pods| Some(PerChannel { left: pods.left?, right: pods.right? }))
        .collect();
    built.sort_by_key(|pods| core::cmp::Reverse(pods.left.time.unix_milliseconds()));
    let first = First::of(&gathered.seen);
    let mut told = Vec::new();
    for pods in built {
        if told.len() >= MOST {
            break;
        }
        if !pods.iter().all(|(_, one)| first.had(one)) {
            told.extend(of(gathered, stock, window, &pods));
        }
    }
    told
}

/// A tube in a pod, one way up: unit, housing type, whether left, tube, turn.
type Sitting<'a> = (&'a str, &'a str, bool, &'a str, u64);

/// When each tube was first read in each pod it sat in.
struct First<'a>(BTreeMap<Sitting<'a>, i64>);

impl<'a> First<'a> {
    fn of(seen: &'a [PodSeen]) -> Self {
        let mut first = BTreeMap::new();
        for one in seen {
            let time = one.time.unix_milliseconds();
            let held = first.entry(sitting(one)).or_insert(time);
            *held = time.min(*held);
        }
        Self(first)
    }

    /// Whether it was read as it sits before.
    fn had(&self, one: &PodSeen) -> bool {
        self.0.get(&sitting(one)).is_some_and(|&first| first < one.time.unix_milliseconds())
    }
}

fn sitting(one: &PodSeen) -> Sitting<'_> {
    let left = one.channel == Channel::Left;
    (&one.unit, &one.housing, left, &one.tube, one.turned_deg.to_bits())
}

fn of(
    gathered: &Gathered,
    stock: &Stock,
    window: &NamedWindow,
    pods: &PerChannel<&PodSeen>,
) -> Option<Foretold> {
    let PodSeen { unit, housing, time, .. } = pods.left;
    let named = pods.iter().all(|(_, one)| !one.tube.is_empty() && !one.eyepiece.is_empty());
    if unit.is_empty() || !named || pods.left.tube == pods.right.tube {
        return None;
    }
    let earlier = || gathered.seen.iter().filter(|one| one.time.is_before(*time));
    let key = |name: &String| (name.clone(), housing.clone());
    let asked = PartsAsked {
        housings: vec![key(unit)],
        tubes: vec![key(&pods.left.tube), key(&pods.right.tube)],
        eyepieces: vec![key(&pods.left.eyepiece), key(&pods.right.eyepiece)],
    };
    let known = KnownParts::of(&asked, earlier(), stock, &gathered.types);
    let [Some(left), Some(right)] = known.radii[..] else { return None };
    let radii = PerChannel { left, right };
    let seated = |tube: usize, one: &PodSeen| Seated { tube, turned_deg: one.turned_deg };
    let seated = PerChannel { left: seated(0, pods.left), right: seated(1, pods.right) };
    let centres = known.offsets.centres(0, seated).ok()?;
    let effect = gathered.types.effect(housing);
    let (left, relative_u) = pods.left.shimmed_by(effect)?;
    let (right, other_u) = pods.right.shimmed_by(effect)?;
    let swing =
        gathered.types.known.get(housing).and_then(|(housing, _)| housing.swing(stock.ipd_mm?));
    let shims = PerChannel { left, right };
    let limits = &window.limits;
    let prediction = predict(centres, radii, shims, relative_u.max(other_u), limits, swing)?;
    let measured = pods.map(|one| one.circle);
    let read = pods.map(|one| Estimate {
        value: one.circle.centre,
        covariance_arcmin2: one.covariance_arcmin2,
    });
    let against = against(&prediction, read, pods.map(|one| one.radius))?;
    Some(Foretold {
        file: pods.left.file.clone(),
        time: *time,
        round: pods.left.round,
        unit: unit.clone(),
        tubes: pods.map(|one| one.tube.clone()),
        turned_deg: pods.map(|one| one.turned_deg),
        eyepieces: pods.map(|one| one.eyepiece.clone()),
        crossing: at_crossing_near(&measured, prediction.crossing, limits, swing),
        prediction,
        measured,
        against,
    })
}
