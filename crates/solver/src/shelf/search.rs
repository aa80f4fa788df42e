//! The best choice of candidates that share no part: branch and bound, with the proof in whole numbers.
//!
//! Rows are the parts, each used once at most. The linear programme of the candidates gives prices of
//! parts; rounded up to 2⁻²⁰ of the smallest step of the objective, they bound every choice: no choice
//! is worth more than the prices of all parts, plus the most that any one candidate is worth beyond its own
//! parts' prices for each unit that could be built. That sum is whole-number arithmetic over every
//! candidate, so rounding of the linear programme can only make the bound worse, never false.
//!
//! First the programme is asked for the most units without a shim and the most units at all; both bounds,
//! rounded down, become rows. Then candidates that are worth too little at the root's prices to be in
//! any better choice are passed over, and what is left is split, one pair of parts together or apart, depth
//! first, until no open branch can be better, or the steps allowed are used up: then the largest bound
//! of an open branch is what is proved.
//!
//! # Source
//! C. Barnhart et al., "Branch-and-price: column generation for solving huge integer programs", Operations
//! Research 46, 1998, 316: pairs together or apart (after D. M. Ryan and B. A. Foster, 1981).

use crate::shelf::columns::{Candidate, LeftOut};
use crate::shelf::lp::{MOST_ROWS, NO_ROW, Rows, Simplex};
use crate::shelf::weights::Weights;

/// What is to be chosen from.
pub(super) struct UnitChoices<'a> {
    pub(super) candidates: &'a [Candidate],
    pub(super) left_out: &'a [LeftOut],
    pub(super) weights: Weights,
    /// No choice has more.
    pub(super) most_units: usize,
    /// Housings, tubes, eyepieces.
    pub(super) counts: [usize; 3],
    /// Whether an eyepiece stays in its housing, and so is no row.
    pub(super) stays: Vec<bool>,
    pub(super) most_steps: usize,
    /// Asked between steps; where it says no, the steps allowed count as used up.
    pub(super) go_on: &'a dyn Fn() -> bool,
}

/// What was chosen.
pub(super) struct ChosenUnits {
    pub(super) candidates: Vec<usize>,
    pub(super) sum: i64,
    /// No choice has a larger sum.
    pub(super) bound: i64,
    pub(super) steps: usize,
}

/// Prices are counted in this share of the objective's smallest step.
const FINE: i128 = 1 << 20;

struct Branch {
    offered: Vec<u32>,
    bound: i64,
}

struct Search<'a> {
    choice: &'a UnitChoices<'a>,
    columns: Vec<Rows>,
    weights: Vec<i64>,
    limits: Vec<i64>,
    simplex: Simplex,
    /// Which columns the programme may take now.
    allowed: Vec<bool>,
    best: Vec<u32>,
    best_sum: i64,
}

/// The best choice, or the best found within the steps allowed with what is proved of any other.
pub(super) fn choose(choice: &UnitChoices<'_>) -> ChosenUnits {
    let mut search = Search::new(choice);
    let all: Vec<u32> = (0..search.columns.len() as u32).collect();
    search.greedy(&all);
    search.cap_counts(&all);
    let root = search.bound_of(&all);
    search.greedy_by_prices(&all);
    let of_left_out = search.bound_of_left_out(root);
    let offered = search.worth_a_look(&all, root);
    let mut open = vec![Branch { offered, bound: root }];
    let mut proved = search.best_sum;
    while let Some(branch) = open.pop() {
        if branch.bound <= search.best_sum {
            continue;
        }
        if search.simplex.pivots >= choice.most_steps || !(choice.go_on)() {
            proved = proved.max(branch.bound);
            continue;
        }
        let unproved = search.split(&branch, &mut open);
        proved = proved.max(unproved.unwrap_or(0));
    }
    proved = proved.max(of_left_out.unwrap_or(0));
    let bound = proved.max(search.best_sum);
    ChosenUnits {
        candidates: search.best.iter().map(|&column| column as usize).collect(),
        sum: search.best_sum,
        bound,
        steps: search.simplex.pivots,
    }
}

impl<'a> Search<'a> {
    fn new(choice: &'a UnitChoices<'a>) -> Self {
        let [housings, tubes, eyepieces] = choice.counts;
        let parts = housings + tubes + eyepieces;
        let columns: Vec<Rows> = choice.candidates.iter().map(|one| rows_of(one, choice)).collect();
        let weights: Vec<i64> = choice
            .candidates
            .iter()
            .map(|one| choice.weights.of(usize::from(one.leaves), one.window_use))
            .collect();
        let most = i64::try_from(choice.most_units).unwrap_or(i64::MAX);
        let mut limits = vec![1; parts];
        limits.extend([most, most]);
        let simplex = Simplex::new(limits.iter().map(|&limit| limit as f64).collect());
        let allowed = vec![true; columns.len()];
        Self { choice, columns, weights, limits, simplex, allowed, best: Vec::new(), best_sum: 0 }
    }

    /// The most units without a shim and in all, bounded by the programme, as the limits of two rows.
    fn cap_counts(&mut self, all: &[u32]) {
        let rows = self.limits.len();
        for (row, bare) in [(rows - 2, true), (rows - 1, false)] {
            let counts: Vec<i64> = self
                .choice
                .candidates
                .iter()
                .map(|one| i64::from(!bare || one.leaves == 0))
                .collect();
            let most = self.choice.most_steps;
            let (offered, count) = ((&*self.columns, all), |c: usize| counts[c] as f64);
            self.simplex.maximise(offered, &count, 1e-7, most, self.choice.go_on);
            let bound = self.certified(all, &counts);
            let left_out = self.beyond_of_left_out(|out| i64::from(!bare || !out.shimmed));
            let more = left_out.unwrap_or(0).max(0) * self.choice.most_units as i128;
            self.limits[row] =
                self.limits[row].min(whole(i128::from(bound) * FINE + more + FINE - 1));
        }
        self.simplex.restart(self.limits.iter().map(|&limit| limit as f64).collect());
    }

    /// What no choice of the columns offered is worth more than, by the programme's prices.
    fn bound_of(&mut self, offered: &[u32]) -> i64 {
        self.allowed.fill(false);
        for &column in offered {
            self.allowed[column as usize] = true;
        }
        let (allowed, weights) = (&self.allowed, &self.weights);
        // What is not offered may be in the basis still, and is to leave it.
        let least = -4.0 * weights.iter().copied().max().unwrap_or(0) as f64;
        let weight = |c: usize| if allowed[c] { weights[c] as f64 } else { least };
        let left = self.choice.most_steps.saturating_sub(self.simplex.pivots);
        let tolerance = 0.2 / self.choice.most_units.max(1) as f64;
        let go_on = self.choice.go_on;
        self.simplex.maximise((&self.columns, offered), &weight, tolerance, left, go_on);
        self.certified(offered, &self.weights)
    }

    /// The bound in whole numbers: prices of all rows, and for each unit that could be built the most that any
    /// candidate is worth beyond them.
    fn certified(&self, offered: &[u32], weights: &[i64]) -> i64 {
        let prices = self.fine_prices();
        let beyond = offered.iter().map(|&column| {
            let index = column as usize;
            i128::from(weights[index]) * FINE - priced(&prices, &self.columns[index])
        });
        let most = beyond.max().unwrap_or(0).max(0);
        whole(self.sum_of(&prices) + most * self.choice.most_units as i128)
    }

    fn sum_of(&self, prices: &[i128]) -> i128 {
        prices.iter().zip(&self.limits).map(|(price, &limit)| price * i128::from(limit)).sum()
    }

    /// What no choice that holds a unit which was left out is worth more than, by the prices of the
    /// root; `None` where nothing was left out.
    fn bound_of_left_out(&self, root: i64) -> Option<i64> {
        let most =
            self.beyond_of_left_out(|out| self.choice.weights.at_most(out.shimmed, out.least_use))?;
        let units = self.choice.most_units as i128;
        // Each such unit may be worth more than its parts' prices, or one at least is worth less.
        let more = if most > 0 { most * units } else { most };
        Some(whole(i128::from(root) * FINE + FINE + more))
    }

    /// The most that a unit which was left out can be worth beyond its parts' prices.
    fn beyond_of_left_out(&self, worth: impl Fn(&LeftOut) -> i64) -> Option<i128> {
        let prices = self.fine_prices();
        let [housings, tubes, eyepieces] = self.choice.counts;
        let least = |prices: &[i128]| prices.iter().copied().min().unwrap_or(0);
        let other = least(&prices[housings..housings + tubes]);
        let stays = self.choice.stays.iter().any(|&stays| stays);
        let of_eyepieces = least(&prices[housings + tubes..housings + tubes + eyepieces]);
        let of_eyepieces = if stays { 0 } else { 2 * of_eyepieces };
        let beyond = self.choice.left_out.iter().map(|out| {
            let own = prices[usize::from(out.housing)] + prices[housings + usize::from(out.tube)];
            i128::from(worth(out)) * FINE - own - other - of_eyepieces
        });
        beyond.max()
    }

    fn fine_prices(&self) -> Vec<i128> {
        let fine = |price: &f64| (price.max(0.0) * FINE as f64).ceil() as i128;
        self.simplex.prices.iter().map(fine).collect()
    }

    /// The columns that could be in a choice better than the best, at the programme's prices.
    fn worth_a_look(&self, offered: &[u32], bound: i64) -> Vec<u32> {
        let prices = self.fine_prices();
        let spare = i128::from(bound - self.best_sum) * FINE + FINE;
        let kept = offered.iter().copied().filter(|&column| {
            priced(&prices, &self.columns[column as usize])
                - i128::from(self.weights[column as usize]) * FINE
                <= spare
        });
        kept.collect()
    }

    /// Splits a branch that could be better than the best in two; a bound, where it cannot be split
    /// and is not proved to be no better.
    fn split(&mut self, branch: &Branch, open: &mut Vec<Branch>) -> Option<i64> {
        let own = self.bound_of(&branch.offered);
        let bound = own.min(branch.bound);
        self.greedy_by_prices(&branch.offered);
        if bound <= self.best_sum {
            return None;
        }
        let Some([a, b]) = self.divided() else {
            return Some(bound);
        };
        let offered = self.worth_a_look(&branch.offered, own);
        let has = |column: u32, row: u16| self.columns[column as usize].contains(&row);
        let apart = offered.iter().copied().filter(|&c| !(has(c, a) && has(c, b))).collect();
        let together = offered.iter().copied().filter(|&c| has(c, a) == has(c, b)).collect();
        open.push(Branch { offered: apart, bound });
        open.push(Branch { offered: together, bound });
        None
    }

    /// Two parts that the programme has together in part only, and nearest to half.
    fn divided(&self) -> Option<[u16; 2]> {
        let taken: Vec<(usize, f64)> =
            self.simplex.taken().into_iter().filter(|(_, share)| *share < 1.0 - 1e-6).collect();
        let parts = (self.limits.len() - 2) as u16;
        let mut best: Option<(f64, [u16; 2])> = None;
        for &(column, _) in &taken {
            let rows: Vec<u16> =
                self.columns[column].iter().copied().filter(|&row| row < parts).collect();
            for (k, &a) in rows.iter().enumerate() {
                for &b in rows.iter().skip(k + 1) {
                    let (mut both, mut either) = (0.0, 0.0);
                    for &(other, share) in &taken {
                        let holds = |row| self.columns[other].contains(&row);
                        match (holds(a), holds(b)) {
                            (true, true) => both += share,
                            (true, false) | (false, true) => either += share,
                            (false, false) => {}
                        }
                    }
                    // Together must leave out something that is taken, apart as well.
                    if both > 1e-6 && either > 1e-6 {
                        let off = (both - 0.6_f64).abs();
                        if best.is_none_or(|(least, _)| off < least) {
                            best = Some((off, [a, b]));
                        }
                    }
                }
            }
        }
        best.map(|(_, pair)| pair)
    }

    /// Candidates by what they are worth, each that still fits.
    fn greedy(&mut self, offered: &[u32]) {
        let mut order = offered.to_vec();
        order.sort_by_key(|&column| core::cmp::Reverse(self.weights[column as usize]));
        self.take_in_order(&order);
    }

    /// What the programme takes most of first, then by what is lost at its prices.
    fn greedy_by_prices(&mut self, offered: &[u32]) {
        let mut share = std::collections::BTreeMap::new();
        for (column, taken) in self.simplex.taken() {
            share.insert(column as u32, taken);
        }
        let mut order: Vec<(f64, f64, u32)> = offered
            .iter()
            .map(|&column| {
                let index = column as usize;
                let lost = self.simplex.priced(&self.columns[index]) - self.weights[index] as f64;
                (-share.get(&column).copied().unwrap_or(0.0), lost, column)
            })
            .collect();
        order.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)));
        let order: Vec<u32> = order.into_iter().map(|(_, _, column)| column).collect();
        self.take_in_order(&order);
    }

    fn take_in_order(&mut self, order: &[u32]) {
        let parts = self.limits.len() - 2;
        let mut used = vec![false; parts];
        let mut taken = Vec::new();
        let mut sum = 0;
        for &column in order {
            let rows = &self.columns[column as usize];
            let own = || rows.iter().map(|&row| usize::from(row)).filter(|&row| row < parts);
            if own().all(|row| !used[row]) {
                own().for_each(|row| used[row] = true);
                sum += self.weights[column as usize];
                taken.push(column);
            }
        }
        if sum > self.best_sum || self.best.is_empty() {
            self.best_sum = sum;
            self.best = taken;
        }
    }
}

fn priced(prices: &[i128], rows: &Rows) -> i128 {
    rows.iter().take_while(|&&row| row != NO_ROW).map(|&row| prices[usize::from(row)]).sum()
}

/// Fine steps in whole ones, rounded down: no choice has a broken sum.
fn whole(fine: i128) -> i64 {
    i64::try_from(fine.div_euclid(FINE)).unwrap_or(i64::MAX)
}

/// A candidate's rows: its parts, then the count without a shim and the count of all.
fn rows_of(one: &Candidate, choice: &UnitChoices<'_>) -> Rows {
    let [housings, tubes, eyepieces] = choice.counts;
    let mut rows = [NO_ROW; MOST_ROWS];
    let mut at = 0;
    let mut take = |row: usize| {
        rows[at] = row as u16;
        at += 1;
    };
    take(usize::from(one.housing));
    one.tubes.iter().for_each(|&tube| take(housings + usize::from(tube)));
    for &eyepiece in &one.eyepieces {
        if !choice.stays.get(usize::from(eyepiece)).copied().unwrap_or(false) {
            take(housings + tubes + usize::from(eyepiece));
        }
    }
    let parts = housings + tubes + eyepieces;
    if one.leaves == 0 {
        take(parts);
    }
    take(parts + 1);
    rows
}
