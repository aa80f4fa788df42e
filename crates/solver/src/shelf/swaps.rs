//! A good plan of a shelf that is too large for every pair to be looked at: parts change places, and what is
//! lost by that is put up with less and less.
//!
//! Every tube and every eyepiece that goes anywhere lies in a pod or beside all of them. Two of a sort change
//! places, or a tube turns; a unit that comes inside costs its window use, one that does not a great deal
//! more, the more the farther off it is. Seeded: the same shelf gives the same plan on every machine.
//!
//! # Source
//! S. Kirkpatrick, C. D. Gelatt and M. P. Vecchi, "Optimization by simulated annealing", Science 220, 1983,
//! 671.

use crate::circle::OffsetCircle;
use crate::direction::Direction;
use crate::monte_carlo::Source;
use crate::shelf::columns::Candidate;
use crate::shelf::known::Known;
use crate::shelf::model::Shelf;
use crate::shelf::worth::WindowJudge;

/// What a unit costs that does not come inside, and one of which something is missing.
const OUTSIDE: f64 = 4.0;
const MISSING: f64 = 12.0;
/// What is put up with at first and at last.
const WARMEST: f64 = 0.1;
const COLDEST: f64 = 5e-4;
/// Changes between two questions whether to go on.
const AT_A_TIME: usize = 1_000;

const NONE: u16 = u16::MAX;
const SEED: u64 = 60;

/// Where everything lies.
struct SwapPlaces<'a> {
    shelf: &'a Shelf,
    judges: Vec<WindowJudge>,
    /// By pod, tube and way up: the centre, where it is known.
    centres: Vec<Option<Direction>>,
    /// The tube in each pod, then those beside.
    tubes: Vec<u16>,
    turned: Vec<bool>,
    /// The eyepiece in each pod, then those beside.
    eyepieces: Vec<u16>,
    /// Places whose eyepiece goes anywhere.
    loose: Vec<usize>,
    /// What each housing's unit costs.
    costs: Vec<f64>,
}

/// Changes so many places, and returns the units that come inside then, by housing; `None` where `go_on` said
/// no at once.
pub(super) fn by_swaps(
    shelf: &Shelf,
    known: &Known,
    changes: usize,
    go_on: &dyn Fn() -> bool,
) -> Option<Vec<Candidate>> {
    if !go_on() {
        return None;
    }
    let mut places = SwapPlaces::of(shelf, known);
    let mut source = Source::seeded(SEED);
    let cooling = (COLDEST / WARMEST).ln();
    let (mut best, mut least) = (places.inside(), places.sum());
    let mut warm = WARMEST;
    for change in 0..changes {
        if change % AT_A_TIME == 0 {
            if !go_on() {
                break;
            }
            warm = WARMEST * (cooling * change as f64 / changes as f64).exp();
            let sum = places.sum();
            if sum < least {
                (best, least) = (places.inside(), sum);
            }
        }
        places.change(&mut source, warm);
    }
    Some(if places.sum() < least { places.inside() } else { best })
}

impl<'a> SwapPlaces<'a> {
    fn of(shelf: &'a Shelf, known: &Known) -> Self {
        let pods = 2 * shelf.housings.len();
        let mut centres = vec![None; pods * shelf.tubes.len() * 2];
        for (housing, ways) in known.ways.iter().enumerate() {
            for (side, way) in ways.iter().enumerate() {
                for (tube, turned, centre) in way {
                    let at = place(shelf, 2 * housing + side, *tube, *turned);
                    if let Some(held) = centres.get_mut(at) {
                        *held = Some(centre.value);
                    }
                }
            }
        }
        let kind_at = |pod: usize| shelf.housings.get(pod / 2).map(|housing| housing.kind);
        let laid = |mut held: Vec<u16>, offered: Vec<(u16, usize)>| {
            for (number, kind) in offered {
                let fits = |&pod: &usize| held[pod] == NONE && kind_at(pod) == Some(kind);
                match (0..pods).find(fits) {
                    Some(pod) => held[pod] = number,
                    None => held.push(number),
                }
            }
            held
        };
        let all = shelf.tubes.iter().enumerate().map(|(at, tube)| (at as u16, tube.kind));
        let tubes = laid(vec![NONE; pods], all.collect());
        let mut kept = vec![NONE; pods];
        for (pod, held) in kept.iter_mut().enumerate() {
            let pair = shelf.housings.get(pod / 2).and_then(|housing| housing.eyepieces);
            if let Some(pair) = pair {
                *held = if pod % 2 == 0 { pair.left } else { pair.right } as u16;
            }
        }
        let stays = kept.clone();
        let free = known
            .free
            .iter()
            .filter_map(|&number| Some((number as u16, shelf.eyepieces.get(number)?.kind)));
        let eyepieces = laid(kept, free.collect());
        let loose = (0..eyepieces.len())
            .filter(|&at| stays.get(at).is_none_or(|&stays| stays == NONE))
            .collect();
        let judges = shelf.housings.iter().map(|one| WindowJudge::new(shelf.window, one.swing));
        let mut places = Self {
            shelf,
            judges: judges.collect(),
            centres,
            turned: vec![false; tubes.len()],
            tubes,
            eyepieces,
            loose,
            costs: Vec::new(),
        };
        places.costs =
            (0..shelf.housings.len()).map(|one| places.cost(one, f64::INFINITY)).collect();
        places
    }

    fn sum(&self) -> f64 {
        self.costs.iter().sum()
    }

    /// The circle of a pod with what lies in it.
    fn circle(&self, pod: usize) -> Option<OffsetCircle> {
        let (&tube, &eyepiece) = (self.tubes.get(pod)?, self.eyepieces.get(pod)?);
        if tube == NONE || eyepiece == NONE {
            return None;
        }
        let centre = (*self.centres.get(place(self.shelf, pod, tube, self.turned[pod]))?)?;
        let eyepiece = self.shelf.eyepieces.get(usize::from(eyepiece))?;
        let kind = self.shelf.housings.get(pod / 2)?.kind;
        let radius = eyepiece.radius.filter(|_| eyepiece.kind == kind)?;
        Some(OffsetCircle::unphased(centre + eyepiece.centre.value, radius.arcmin))
    }

    /// What a housing's unit costs as it lies, or more than `limit`.
    fn cost(&self, housing: usize, limit: f64) -> f64 {
        let circles = [2 * housing, 2 * housing + 1].map(|pod| self.circle(pod));
        let [Some(left), Some(right)] = circles else { return MISSING };
        let judge = &self.judges[housing];
        let off = judge.least_use(&left).max(judge.least_use(&right));
        let outside = OUTSIDE + off.min(MISSING - OUTSIDE - 1.0);
        if off > 1.0 {
            return outside;
        }
        if off > limit {
            return f64::INFINITY;
        }
        judge.bare(&left, &right).unwrap_or(outside)
    }

    /// One change, undone where it costs more than is put up with.
    fn change(&mut self, source: &mut Source, warm: f64) {
        let mut up_to = |count: usize| source.rectangular(0.0, count as f64) as usize;
        let (kind, flips) = (up_to(5), up_to(4));
        let pods = self.costs.len() * 2;
        let (of_eyepieces, count) = (kind >= 3, self.loose.len());
        let [a, b] = if of_eyepieces {
            if count < 2 {
                return;
            }
            [(); 2].map(|()| self.loose[up_to(count).min(count - 1)])
        } else if kind == 0 && pods > 0 {
            let pod = up_to(pods).min(pods - 1);
            [pod, pod]
        } else if self.tubes.len() > 1 {
            [(); 2].map(|()| up_to(self.tubes.len()).min(self.tubes.len() - 1))
        } else {
            return;
        };
        if (a == b && (of_eyepieces || kind != 0)) || (a >= pods && b >= pods) {
            return;
        }
        let put_up = -warm * source.rectangular(1e-12, 1.0).ln();
        let before = (self.turned.get(a).copied(), self.turned.get(b).copied());
        if of_eyepieces {
            self.eyepieces.swap(a, b);
        } else {
            self.tubes.swap(a, b);
            let other = before.0 == Some(false);
            let ways = [(a, if a == b { other } else { flips & 1 == 1 }), (b, flips & 2 == 2)];
            for &(at, turned) in ways.iter().take(if a == b { 1 } else { 2 }) {
                let tube = self.shelf.tubes.get(usize::from(self.tubes[at]));
                self.turned[at] = turned && tube.is_some_and(|tube| tube.may_turn);
            }
        }
        let held = |at: usize| (at < pods).then_some(at / 2);
        let (first, second) = (held(a), held(b).filter(|_| held(a) != held(b)));
        let old = |of: Option<usize>| of.map_or(0.0, |one| self.costs[one]);
        let limit = old(first) + old(second) + put_up;
        let new = |of: Option<usize>, limit| of.map_or(0.0, |one| self.cost(one, limit));
        let of_first = new(first, limit);
        let of_second = if of_first <= limit { new(second, limit - of_first) } else { 0.0 };
        if of_first + of_second <= limit {
            for (of, cost) in [(first, of_first), (second, of_second)] {
                if let Some(one) = of {
                    self.costs[one] = cost;
                }
            }
            return;
        }
        if of_eyepieces {
            self.eyepieces.swap(a, b);
        } else {
            self.tubes.swap(a, b);
            for (at, turned) in [(a, before.0), (b, before.1)] {
                if let Some(turned) = turned {
                    self.turned[at] = turned;
                }
            }
        }
    }

    /// The units that come inside as everything lies.
    fn inside(&self) -> Vec<Candidate> {
        let unit = |housing: usize| {
            let pods = [2 * housing, 2 * housing + 1];
            let cost = *self.costs.get(housing)?;
            (cost <= 1.0).then(|| Candidate {
                housing: housing as u16,
                tubes: pods.map(|pod| self.tubes[pod]),
                eyepieces: pods.map(|pod| self.eyepieces[pod]),
                turned: pods.map(|pod| self.turned[pod]),
                leaves: 0,
                window_use: cost,
            })
        };
        (0..self.costs.len()).filter_map(unit).collect()
    }
}

fn place(shelf: &Shelf, pod: usize, tube: u16, turned: bool) -> usize {
    (pod * shelf.tubes.len() + usize::from(tube)) * 2 + usize::from(turned)
}
