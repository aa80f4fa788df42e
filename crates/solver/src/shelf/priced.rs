//! What no choice of a shelf can come to that is too large for every unit to be looked at.
//!
//! Tubes and eyepieces have prices. At any prices, a choice of n units is worth no more than all prices
//! together and, for each housing, what its best unit is worth beyond the prices of its parts; and a
//! housing's best unit is found without a look at all of them: a unit uses no less of the window than half
//! of what its two circles allow, added up, so halves in the order of what they allow and cost are paired
//! until no later pair can be better. The prices are those of the linear programme of the units found so; it
//! gets each housing's best and is solved anew until no unit is worth more than its parts.
//!
//! In whole numbers: prices are rounded up, uses to millionths, as in a plan's sum.
//!
//! # Source
//! A. M. Geoffrion, "Lagrangean relaxation for integer programming", Mathematical Programming Study 2, 1974,
//! 82; M. E. Lübbecke and J. Desrosiers, "Selected topics in column generation", Operations Research 53, 2005,
//! 1007.

use std::collections::HashSet;

use crate::channel::Channel;
use crate::shelf::columns::Candidate;
use crate::shelf::known::{Half, Known};
use crate::shelf::lp::{MOST_ROWS, NO_ROW, Rows, Simplex};
use crate::shelf::model::Shelf;
use crate::shelf::worth::WindowJudge;

/// Parts of a window that uses are counted in.
pub(super) const PARTS: f64 = 1e6;
/// What a unit is worth besides what it leaves of the window: more than all uses of a plan.
pub(super) const UNIT: i64 = 1_000_000_000;
/// Units taken up of a housing at a time.
const AT_A_TIME: usize = 24;
/// Pairs of a housing that are looked at for that.
const MOST_LOOKS: usize = 4_000_000;
/// Reduced weights up to this count as none.
const TOLERANCE: f64 = 1e-2;
/// How often units are taken up between two that are settled.
const ROUNDS: usize = 6;

/// A housing's halves and its judge.
struct Pods {
    judge: WindowJudge,
    sides: [Vec<Half>; 2],
}

/// Prices of tubes and eyepieces, and of a unit, in whole millionths of a window.
struct Prices {
    tubes: Vec<i64>,
    eyepieces: Vec<i64>,
    unit: i64,
}

/// A half with what its parts cost, and with half of what it allows.
#[derive(Clone, Copy)]
struct Offered {
    at: u32,
    parts: i64,
    least: i64,
    order: i64,
}

/// The best units of a housing at some prices.
struct BestUnits {
    /// The best first.
    units: Vec<Candidate>,
    /// None is worth more beyond its parts, or than was asked for.
    most: i64,
}

/// The programme with its prices and the units that were taken up.
pub(super) struct Pricing<'a> {
    shelf: &'a Shelf,
    pods: Vec<Pods>,
    /// No choice has more units.
    pub(super) count: usize,
    most_steps: usize,
    go_on: &'a dyn Fn() -> bool,
    /// Rows that are not to be had: of parts in units that are settled.
    used: Vec<bool>,
    pub(super) units: Vec<Candidate>,
    held: HashSet<([u16; 5], [bool; 2])>,
    columns: Vec<Rows>,
    weights: Vec<f64>,
    pub(super) simplex: Simplex,
}

impl<'a> Pricing<'a> {
    /// Nothing taken up yet but the best units of each housing.
    pub(super) fn of(
        shelf: &'a Shelf,
        known: &Known,
        count: usize,
        most_steps: usize,
        go_on: &'a dyn Fn() -> bool,
    ) -> Self {
        let pods = shelf.housings.iter().enumerate().map(|(index, housing)| {
            let judge = WindowJudge::new(shelf.window, housing.swing);
            let sides = Channel::BOTH.map(|channel| {
                let halves = known.halves(shelf, index, channel, &judge);
                halves.into_iter().flatten().filter(|half| half.least_use <= 1.0).collect()
            });
            Pods { judge, sides }
        });
        let [tubes, eyepieces] = [shelf.tubes.len(), shelf.eyepieces.len()];
        let parts = shelf.housings.len() + tubes + eyepieces;
        let mut pricing = Self {
            shelf,
            pods: pods.collect(),
            count,
            most_steps,
            go_on,
            used: vec![false; parts + 1],
            units: Vec::new(),
            held: HashSet::new(),
            columns: Vec::new(),
            weights: Vec::new(),
            simplex: Simplex::new(limits(parts, count)),
        };
        // Nothing costs anything yet: the best of all is among these.
        let none = Prices { tubes: vec![0; tubes], eyepieces: vec![0; eyepieces], unit: 0 };
        for housing in 0..shelf.housings.len() {
            for unit in pricing.best_of(housing, &none, 0).units {
                pricing.take(unit);
            }
        }
        pricing
    }

    pub(super) fn may_go_on(&self) -> bool {
        self.simplex.pivots < self.most_steps && (self.go_on)()
    }

    /// What no choice of so many units at most is worth more than; `None` where there was no time to tell.
    pub(super) fn bound(&mut self, count: usize) -> Option<i64> {
        self.count = count;
        self.used.fill(false);
        self.simplex.restart(limits(self.used.len() - 1, count));
        let mut least: Option<i64> = None;
        while self.may_go_on() {
            let (bound, more) = self.round();
            let bound = bound?;
            least = Some(least.map_or(bound, |held| held.min(bound)));
            if more == 0 {
                break;
            }
        }
        least
    }

    /// Solves the programme, and takes up of each housing the units that are worth more than its prices have it:
    /// what no choice is worth more than, unless it was stopped, and how many were taken up.
    fn round(&mut self) -> (Option<i64>, usize) {
        self.solve();
        let (prices, of_housings) = self.prices();
        let mut beyond = 0;
        let mut offers = Vec::new();
        for (housing, &own) in of_housings.iter().enumerate() {
            if self.used[housing] {
                continue;
            }
            if !(self.go_on)() {
                return (None, 0);
            }
            let found = self.best_of(housing, &prices, own);
            beyond += found.most.max(0);
            offers.extend(found.units);
        }
        let more = offers.into_iter().map(|unit| usize::from(self.take(unit))).sum();
        (Some(prices.sum(self.count) + beyond), more)
    }

    /// Settles what the programme takes most of, unit by unit, beside those that are settled: all units then.
    /// `freed`: what stood there before, and is to be bettered.
    pub(super) fn dive(
        &mut self,
        settled: &[Candidate],
        freed: Option<&[Candidate]>,
    ) -> Vec<Candidate> {
        self.simplex.restart(limits(self.used.len() - 1, self.count));
        self.used.fill(false);
        let mut settled = settled.to_vec();
        let rows: Vec<Rows> = settled.iter().map(|one| self.rows_of(one)).collect();
        rows.iter().for_each(|rows| self.settle(rows));
        let mut first = true;
        while self.may_go_on() {
            for _ in 0..ROUNDS {
                let (bound, more) = self.round();
                let Some(_) = bound else { return settled };
                if more == 0 {
                    break;
                }
            }
            let open = |column: usize| self.is_open(&self.columns[column]);
            let mut shares = self.simplex.taken();
            shares.retain(|(column, _)| open(*column));
            if let Some(freed) = freed.filter(|_| first) {
                let worth: f64 = shares.iter().map(|&(c, share)| share * self.weights[c]).sum();
                let held: i64 = freed.len() as i64 * UNIT - sum_of(freed);
                if worth <= held as f64 + 0.5 {
                    return settled;
                }
            }
            first = false;
            shares.sort_by(|a, b| b.1.total_cmp(&a.1));
            if shares.is_empty() {
                break;
            }
            for (place, (column, share)) in shares.into_iter().enumerate() {
                let rows = self.columns[column];
                if (place == 0 || share > 0.999) && self.is_open(&rows) {
                    settled.push(self.units[column]);
                    self.settle(&rows);
                }
            }
        }
        self.used.fill(false);
        settled
    }

    fn is_open(&self, rows: &Rows) -> bool {
        rows.iter().take_while(|&&row| row != NO_ROW).all(|&row| !self.used[usize::from(row)])
    }

    /// Its parts are not to be had any more.
    fn settle(&mut self, rows: &Rows) {
        let count = self.used.len() - 1;
        for &row in rows.iter().take_while(|&&row| row != NO_ROW) {
            self.used[usize::from(row)] = usize::from(row) != count;
        }
    }

    fn rows_of(&self, unit: &Candidate) -> Rows {
        let (housings, tubes) = (self.shelf.housings.len(), self.shelf.tubes.len());
        let mut taken = vec![usize::from(unit.housing)];
        taken.extend(unit.tubes.map(|tube| housings + usize::from(tube)));
        let stays = self.shelf.housings.get(usize::from(unit.housing));
        if stays.is_some_and(|housing| housing.eyepieces.is_none()) {
            taken.extend(unit.eyepieces.map(|one| housings + tubes + usize::from(one)));
        }
        taken.push(self.used.len() - 1);
        let mut rows = [NO_ROW; MOST_ROWS];
        for (row, taken) in rows.iter_mut().zip(taken) {
            *row = taken as u16;
        }
        rows
    }

    /// Takes up a unit, if it is not held yet.
    pub(super) fn take(&mut self, unit: Candidate) -> bool {
        let [a, b] = unit.tubes;
        let [c, d] = unit.eyepieces;
        if !self.held.insert(([unit.housing, a, b, c, d], unit.turned)) {
            return false;
        }
        let rows = self.rows_of(&unit);
        self.columns.push(rows);
        self.weights.push((UNIT - parts_of(unit.window_use)) as f64);
        self.units.push(unit);
        true
    }

    fn solve(&mut self) {
        let columns = &self.columns;
        let open: Vec<bool> = columns.iter().map(|rows| self.is_open(rows)).collect();
        let offered: Vec<u32> = (0..columns.len() as u32).filter(|&c| open[c as usize]).collect();
        let weights = &self.weights;
        // What is settled may be in the basis still, and is to leave it.
        let weight = |c: usize| if open[c] { weights[c] } else { -4.0 * UNIT as f64 };
        let left = self.most_steps.saturating_sub(self.simplex.pivots);
        self.simplex.maximise((columns, &offered), &weight, TOLERANCE, left, self.go_on);
    }

    /// Prices of what goes from unit to unit, and of housings.
    fn prices(&self) -> (Prices, Vec<i64>) {
        let (housings, tubes) = (self.shelf.housings.len(), self.shelf.tubes.len());
        let whole = |(price, &used): (&f64, &bool)| {
            if used { 2 * UNIT } else { price.max(0.0).ceil() as i64 }
        };
        let all: Vec<i64> = self.simplex.prices.iter().zip(&self.used).map(whole).collect();
        let prices = Prices {
            tubes: all[housings..housings + tubes].to_vec(),
            eyepieces: all[housings + tubes..all.len() - 1].to_vec(),
            unit: all[all.len() - 1],
        };
        (prices, all[..housings].to_vec())
    }

    /// The best units of a housing that are worth more than `above` beyond their other parts.
    fn best_of(&self, housing: usize, prices: &Prices, above: i64) -> BestUnits {
        let pods = &self.pods[housing];
        let stays = self.shelf.housings[housing].eyepieces.is_some();
        // A unit costs what it uses and its parts: less than this.
        let mut limit = UNIT - prices.unit - above;
        let mut sides = [0, 1].map(|side: usize| {
            let offered = pods.sides[side].iter().enumerate().map(|(at, half)| {
                let eyepiece = if stays { 0 } else { prices.eyepieces[usize::from(half.eyepiece)] };
                let parts = prices.tubes[usize::from(half.tube)] + eyepiece;
                let least = (half.least_use * PARTS).floor() as i64;
                // Twice, so that a half is a whole number.
                Offered { at: at as u32, parts, least, order: 2 * parts + least }
            });
            offered.collect::<Vec<_>>()
        });
        let cheapest = |side: &Vec<Offered>| side.iter().map(|one| one.order).min();
        let [Some(left), Some(right)] = [cheapest(&sides[0]), cheapest(&sides[1])] else {
            return BestUnits { units: Vec::new(), most: 0 };
        };
        let other = [right, left];
        for (side, other) in sides.iter_mut().zip(other) {
            side.retain(|one| one.order + other < 2 * limit);
            side.sort_unstable_by_key(|one| one.order);
        }
        let [lefts, rights] = &sides;
        let mut found: Vec<(i64, Candidate)> = Vec::new();
        let mut looks = 0;
        let mut cut: Option<i64> = None;
        'pairs: for l in lefts {
            if l.order + rights.first().map_or(i64::MAX / 4, |r| r.order) >= 2 * limit {
                break;
            }
            let left = &pods.sides[0][l.at as usize];
            for r in rights {
                if l.order + r.order >= 2 * limit {
                    break;
                }
                looks += 1;
                let parts = l.parts + r.parts;
                if parts + l.least.max(r.least) >= limit {
                    continue;
                }
                let right = &pods.sides[1][r.at as usize];
                if left.tube == right.tube || left.eyepiece == right.eyepiece {
                    continue;
                }
                if looks > MOST_LOOKS {
                    cut = Some(l.order + rights.first().map_or(0, |r| r.order));
                    break 'pairs;
                }
                let most_use = ((limit - parts) as f64 / PARTS).min(1.0);
                let Some(used) = pods.judge.below(&left.circle, &right.circle, most_use) else {
                    continue;
                };
                let cost = parts + parts_of(used);
                if cost >= limit {
                    continue;
                }
                let unit = Candidate {
                    housing: housing as u16,
                    tubes: [left.tube, right.tube],
                    eyepieces: [left.eyepiece, right.eyepiece],
                    turned: [left.turned, right.turned],
                    leaves: 0,
                    window_use: used,
                };
                let place = found.partition_point(|(held, _)| *held <= cost);
                found.insert(place, (cost, unit));
                if found.len() > AT_A_TIME {
                    found.truncate(AT_A_TIME);
                }
                if found.len() == AT_A_TIME
                    && let Some((worst, _)) = found.last()
                {
                    limit = limit.min(*worst);
                }
            }
        }
        // Nothing that was not looked at costs less than this.
        let cheapest = found.first().map_or(limit, |(cost, _)| *cost);
        let cheapest = cut.map_or(cheapest, |order| cheapest.min(order.div_euclid(2)));
        let worth = |cost: i64| UNIT - prices.unit - cost;
        BestUnits {
            units: found.into_iter().map(|(_, unit)| unit).collect(),
            most: worth(cheapest),
        }
    }
}

impl Prices {
    fn sum(&self, count: usize) -> i64 {
        self.tubes.iter().chain(&self.eyepieces).sum::<i64>() + self.unit * count as i64
    }
}

/// One of each part, and so many units.
fn limits(parts: usize, count: usize) -> Vec<f64> {
    let mut limits = vec![1.0; parts];
    limits.push(count as f64);
    limits
}

/// What some units use, added up, in whole parts.
pub(super) fn sum_of(units: &[Candidate]) -> i64 {
    units.iter().map(|one| parts_of(one.window_use)).sum()
}

/// A use in whole parts.
fn parts_of(window_use: f64) -> i64 {
    (window_use * PARTS).round() as i64
}
