//! The plan of a study: who measures what how often, and in which order.

use solver::monte_carlo::Source;

use crate::error::Error;
use crate::fact::texts::texts;
use crate::validate::named;

/// Most parts, hands or trials of a study.
pub const MOST: usize = 30;

/// Most cells of a study: its plan must fit a line, and its hands their patience.
pub const MOST_CELLS: usize = 3000;

/// One place of the plan, each counted from 0.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct PlanCell {
    /// Which part.
    pub part: usize,
    /// Whose hand.
    pub hand: usize,
    /// Which trial.
    pub trial: usize,
}

/// What is to be measured. Made by [`Plan::drawn`] or read from a file, so always whole.
#[derive(Clone, Debug, PartialEq)]
pub struct Plan {
    parts: Vec<String>,
    hands: Vec<String>,
    trials: usize,
    seed: u64,
    /// Every cell once, by its number.
    order: Vec<u64>,
}

impl Plan {
    /// A plan with an order drawn from a seed, the same on every machine.
    ///
    /// A hand measures every part once before the next hand comes; every hand has done a trial
    /// before the next begins; hands and parts are shuffled anew each time. The seed *and* the order
    /// are recorded.
    ///
    /// # Errors
    /// [`Error::FieldEmpty`], [`Error::NamedTwice`] or [`Error::FieldValue`]: at least two parts, hands
    /// and trials, at most [`MOST`] of each and [`MOST_CELLS`] cells, every name once.
    pub fn drawn(
        parts: Vec<String>,
        hands: Vec<String>,
        trials: usize,
        seed: u64,
    ) -> Result<Self, Error> {
        let mut plan = Self { parts, hands, trials, seed, order: Vec::new() };
        plan.check_counts()?;
        let mut source = Source::seeded(seed);
        for trial in 0..trials {
            for hand in shuffled(plan.hands.len(), &mut source) {
                for part in shuffled(plan.parts.len(), &mut source) {
                    plan.order.push(plan.number_of(PlanCell { part, hand, trial }));
                }
            }
        }
        Ok(plan)
    }

    /// A plan as it was recorded.
    ///
    /// # Errors
    /// As [`drawn`](Self::drawn), and [`Error::PlanOrder`] when the order does not name every cell once.
    pub fn recorded(
        parts: Vec<String>,
        hands: Vec<String>,
        trials: usize,
        seed: u64,
        order: Vec<u64>,
    ) -> Result<Self, Error> {
        let plan = Self { parts, hands, trials, seed, order };
        plan.check_counts()?;
        let mut named = plan.order.clone();
        named.sort_unstable();
        if named.len() == plan.cells() && (0..).zip(&named).all(|(number, held)| number == *held) {
            Ok(plan)
        } else {
            Err(Error::PlanOrder { cells: plan.cells() })
        }
    }

    fn check_counts(&self) -> Result<(), Error> {
        for (field, names) in [("units", &self.parts), ("hands", &self.hands)] {
            count(field, names.len())?;
            for (index, name) in names.iter().enumerate() {
                named(field, name)?;
                if names.iter().take(index).any(|before| before.trim() == name.trim()) {
                    return Err(Error::NamedTwice { field, name: name.clone() });
                }
            }
        }
        count("trials", self.trials)?;
        if self.cells() > MOST_CELLS {
            let (field, value) = ("units × hands × trials".to_owned(), self.cells() as f64);
            return Err(Error::FieldValue { field, value, must_be: "at most 3,000" });
        }
        Ok(())
    }

    /// The parts' names.
    #[must_use]
    pub fn parts(&self) -> &[String] {
        &self.parts
    }

    /// The hands' names.
    #[must_use]
    pub fn hands(&self) -> &[String] {
        &self.hands
    }

    /// How often each hand measures each part.
    #[must_use]
    pub const fn trials(&self) -> usize {
        self.trials
    }

    /// What the order was drawn from.
    #[must_use]
    pub const fn seed(&self) -> u64 {
        self.seed
    }

    /// How many measurements it takes.
    #[must_use]
    pub const fn cells(&self) -> usize {
        self.parts.len() * self.hands.len() * self.trials
    }

    /// The cells in the order they are to be measured.
    pub fn order(&self) -> impl Iterator<Item = PlanCell> + '_ {
        self.order.iter().map(|number| self.cell_of(*number))
    }

    /// The order as recorded: numbers of cells.
    pub(super) fn numbers(&self) -> &[u64] {
        &self.order
    }

    /// Whether a cell is one of the plan's.
    #[must_use]
    pub const fn has(&self, cell: PlanCell) -> bool {
        cell.part < self.parts.len() && cell.hand < self.hands.len() && cell.trial < self.trials
    }

    /// A cell in words: `hand B, unit 3, second trial`, the hand and the part by their names.
    #[must_use]
    pub fn words(&self, cell: PlanCell) -> String {
        let name = |names: &[String], index: usize| names.get(index).cloned().unwrap_or_default();
        let (hand, part) = (name(&self.hands, cell.hand), name(&self.parts, cell.part));
        format!("hand {hand}, unit {part}, {} trial", ordinal(cell.trial + 1))
    }

    /// Where a cell stands in a table of part by part, in it hand by hand, in it trial by trial.
    pub(super) const fn number_of(&self, cell: PlanCell) -> u64 {
        ((cell.part * self.hands.len() + cell.hand) * self.trials + cell.trial) as u64
    }

    fn cell_of(&self, number: u64) -> PlanCell {
        let number = usize::try_from(number).unwrap_or(usize::MAX);
        let (trials, hands) = (self.trials.max(1), self.hands.len().max(1));
        PlanCell {
            part: number / trials / hands,
            hand: number / trials % hands,
            trial: number % trials,
        }
    }
}

fn count(field: &str, value: usize) -> Result<(), Error> {
    if (2..=MOST).contains(&value) {
        return Ok(());
    }
    let (field, value) = (format!("the number of {field}"), value as f64);
    Err(Error::FieldValue { field, value, must_be: "from 2 to 30" })
}

/// 0 to `count` − 1 in random order (Fisher and Yates).
fn shuffled(count: usize, source: &mut Source) -> Vec<usize> {
    let mut order: Vec<usize> = (0..count).collect();
    for last in (1..count).rev() {
        let other = source.rectangular(0.0, last as f64 + 1.0) as usize;
        order.swap(last, other.min(last));
    }
    order
}

fn ordinal(number: usize) -> String {
    let word = match number {
        1 => "first",
        2 => "second",
        3 => "third",
        4 => "fourth",
        5 => "fifth",
        6 => "sixth",
        _ => return format!("{number}th"),
    };
    word.to_owned()
}

texts!(Plan { parts, hands; trials, seed, order });
