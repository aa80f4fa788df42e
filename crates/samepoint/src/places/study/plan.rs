//! A study's plan being written.

use record::studies::Plan;
use solver::Channel;

/// The plan as typed. The usual size is ten units, three hands, three trials.
///
/// Source of that: AIAG, *Measurement Systems Analysis*, 4th ed. (2010), chapter III section B.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PlanForm {
    /// The station studied.
    pub station: String,
    /// Whose crosshair is read.
    pub channel: Channel,
    /// Units, between commas.
    pub parts: String,
    /// Hands, between commas.
    pub hands: String,
    /// How often each hand measures each unit.
    pub trials: String,
    /// What was refused.
    pub refused: Option<String>,
}

impl PlanForm {
    /// An empty plan for a station.
    #[must_use]
    pub fn of(station: &str) -> Self {
        Self {
            station: station.to_owned(),
            channel: Channel::Left,
            parts: String::new(),
            hands: String::new(),
            trials: "3".to_owned(),
            refused: None,
        }
    }

    /// The plan, its order drawn from a seed.
    ///
    /// # Errors
    /// What is missing or too much, in words.
    pub fn drawn(&self, seed: u64) -> Result<Plan, String> {
        let trials = self.trials.trim();
        let trials: usize = trials
            .parse()
            .map_err(|_| format!("Trials: “{trials}” is not a whole number; 2 or 3 are usual."))?;
        Plan::drawn(names(&self.parts), names(&self.hands), trials, seed)
            .map_err(|why| paper::words::capital(&why.to_string()))
    }

    /// How much work the plan is, in words; `None` while it is not whole.
    #[must_use]
    pub fn size(&self) -> Option<String> {
        let plan = self.drawn(0).ok()?;
        Some(format!(
            "{} units × {} hands × {} trials: {} measurements.",
            plan.parts().len(),
            plan.hands().len(),
            plan.trials(),
            plan.cells()
        ))
    }
}

/// Names between commas or on lines of their own.
fn names(typed: &str) -> Vec<String> {
    typed
        .split([',', ';', '\n'])
        .map(str::trim)
        .filter(|name| !name.is_empty())
        .map(str::to_owned)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_plan_says_how_much_work_it_is() {
        let mut form = PlanForm::of("Bench 2");
        assert_eq!(form.size(), None);
        form.parts = "0147, 0152,\n0160".to_owned();
        form.hands = "KT;MB".to_owned();
        form.trials = " 2 ".to_owned();
        assert_eq!(form.size().as_deref(), Some("3 units × 2 hands × 2 trials: 12 measurements."));
        form.trials = "two".to_owned();
        assert!(form.drawn(1).is_err_and(|why| why.contains("whole number")));
        form.trials = "1".to_owned();
        assert!(form.drawn(1).is_err_and(|why| why.contains("from 2 to 30")));
    }
}
