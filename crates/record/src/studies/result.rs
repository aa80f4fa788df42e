//! What a study tells of the bench: each axis by itself, by analysis of variance and by average and
//! range, or what is missing.

use core::fmt;

use solver::stats::anova::Crossed;
use solver::upkeep::gauge_study::{self, AnovaStudy, RangeStudy, by_anova, by_average_and_range};

use super::Study;
use crate::axis::Axis;
use crate::figures::counted_s;

/// The interaction is pooled with the repeats above this p-value: AIAG's.
const POOL_ABOVE: f64 = 0.25;

/// Cells named in a sentence before the rest is only counted.
const NAMED: usize = 3;

/// Both axes of a study.
#[derive(Clone, Debug, PartialEq)]
pub struct Results {
    /// Across.
    pub x: AxisResult,
    /// Up.
    pub y: AxisResult,
}

/// One axis of a study, arcminutes. Either way may fail by itself, and says why.
#[derive(Clone, Debug, PartialEq)]
pub struct AxisResult {
    /// By analysis of variance.
    pub anova: Result<AnovaStudy, solver::Error>,
    /// By average and range, where its factors cover the plan.
    pub range: Result<RangeStudy, solver::Error>,
}

/// Why a study tells nothing yet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum StudyGap {
    /// There is no plan.
    NoPlan,
    /// Cells are still open.
    Open {
        /// How many.
        open: usize,
        /// Of how many.
        cells: usize,
        /// The first of them, in words, in the order they are to be measured.
        first: Vec<String>,
    },
}

impl fmt::Display for StudyGap {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoPlan => f.write_str("the study has no plan; begin a new one"),
            Self::Open { open, cells, first } => {
                write!(f, "{open} of {cells} cells are not measured: {}", first.join("; "))?;
                let rest = open.saturating_sub(first.len());
                if rest > 0 { write!(f, "; and {rest} more") } else { Ok(()) }
            }
        }
    }
}

impl Study {
    /// What the study tells. Parts are the rows, hands the columns; a full table only.
    ///
    /// # Errors
    /// [`StudyGap`]: what is missing.
    pub fn results(&self) -> Result<Results, StudyGap> {
        let plan = self.plan().ok_or(StudyGap::NoPlan)?;
        let open = self.open();
        if !open.is_empty() {
            let first = open.iter().take(NAMED).map(|cell| plan.words(*cell)).collect();
            return Err(StudyGap::Open { open: open.len(), cells: plan.cells(), first });
        }
        let mut measured: Vec<_> =
            self.in_use().map(|held| (plan.number_of(held.taken.cell), held.direction)).collect();
        measured.sort_by_key(|(number, _)| *number);
        let of = |axis: Axis| {
            let values: Vec<f64> = measured.iter().map(|(_, p)| axis.of(*p)).collect();
            let (parts, hands) = (plan.parts().len(), plan.hands().len());
            match Crossed::new(parts, hands, plan.trials(), &values) {
                Ok(table) => AxisResult {
                    anova: by_anova(&table, POOL_ABOVE),
                    range: by_average_and_range(&table),
                },
                Err(why) => AxisResult { anova: Err(why.clone()), range: Err(why) },
            }
        };
        Ok(Results { x: of(Axis::X), y: of(Axis::Y) })
    }
}

/// How much of a limit the bench and the hands use up by themselves.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LimitShare {
    /// Along which axis.
    pub axis: Axis,
    /// The limit: across the tighter of convergence and divergence, up dipvergence; arcminutes.
    pub limit_arcmin: f64,
    /// Three standard deviations of bench and hands over it.
    pub share: f64,
}

impl Results {
    /// How much of a tolerance window the bench and the hands use up, x first; an axis of which nothing
    /// can be told is not there.
    pub fn shares_of(&self, window: &solver::Window) -> impl Iterator<Item = LimitShare> {
        let across = window.convergence_arcmin().min(window.divergence_arcmin());
        let each = [(Axis::X, &self.x, across), (Axis::Y, &self.y, window.dipvergence_arcmin())];
        each.into_iter().filter_map(|(axis, result, limit_arcmin)| {
            let share = result.share_of_limit(limit_arcmin)?;
            Some(LimitShare { axis, limit_arcmin, share })
        })
    }
}

impl AxisResult {
    /// The result to go by: of the analysis of variance, else of average and range.
    #[must_use]
    pub fn study(&self) -> Option<&gauge_study::GaugeStudy> {
        let by_variance = self.anova.as_ref().ok().map(|anova| &anova.study);
        by_variance.or_else(|| self.range.as_ref().ok().map(|range| &range.study))
    }

    /// How much of a limit the bench and the hands use up: three standard deviations of the gauge
    /// over a limit on one side, the same as six over the whole width.
    #[must_use]
    pub fn share_of_limit(&self, limit_arcmin: f64) -> Option<f64> {
        let share = 3.0 * self.study()?.gauge() / limit_arcmin;
        (share.is_finite() && share >= 0.0).then_some(share)
    }

    /// The result in a sentence.
    #[must_use]
    pub fn words(&self) -> String {
        let Some(study) = self.study() else {
            return match &self.anova {
                Err(why) => format!("Nothing can be told: {why}."),
                Ok(_) => String::new(),
            };
        };
        let categories = study.categories().map_or_else(String::new, |number| {
            format!(" It tells {} of units apart.", counted_s(number, "group"))
        });
        format!(
            "One hand repeats to {:.2}′, hands differ by {:.2}′, both together {:.2}′ (standard \
             deviations; {}): {:.0} % of all the spread seen.{categories}",
            study.repeatability,
            study.reproducibility,
            study.gauge(),
            study.method.words(),
            100.0 * study.share_of_total(study.gauge()),
        )
    }
}
