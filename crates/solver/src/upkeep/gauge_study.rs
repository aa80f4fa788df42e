//! Repeatability and reproducibility: how much of what is seen is the bench, how much the hands, how much
//! the parts. By analysis of variance and by average and range: the two may disagree, so a result
//! names its method.
//!
//! # Source
//! AIAG, *Measurement Systems Analysis*, 4th ed. (2010), chapter III section B; factors from
//! A. J. Duncan, *Quality Control and Industrial Statistics*, table D3 (d₂*).

use crate::error::Error;
use crate::stats::anova::{Crossed, FTest, TwoWay};

/// How a study was worked out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum StudyMethod {
    /// Analysis of variance, the interaction of parts and hands kept apart.
    Anova,
    /// Analysis of variance, the interaction pooled with the repeats.
    AnovaPooled,
    /// Average and range.
    AverageAndRange,
}

impl StudyMethod {
    /// The words used on screen and paper.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Anova => "analysis of variance with interaction",
            Self::AnovaPooled => "analysis of variance, interaction pooled",
            Self::AverageAndRange => "average and range",
        }
    }
}

/// Standard deviations of a study, by their causes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GaugeStudy {
    /// How it was worked out.
    pub method: StudyMethod,
    /// Repeatability: one hand, one part, again (equipment).
    pub repeatability: f64,
    /// Reproducibility: another hand, interaction included.
    pub reproducibility: f64,
    /// Parts.
    pub part: f64,
}

impl GaugeStudy {
    /// Repeatability and reproducibility together.
    #[must_use]
    pub fn gauge(&self) -> f64 {
        self.repeatability.hypot(self.reproducibility)
    }

    /// All together.
    #[must_use]
    pub fn total(&self) -> f64 {
        self.gauge().hypot(self.part)
    }

    /// A standard deviation as a share of the total; 0 of none.
    #[must_use]
    pub fn share_of_total(&self, deviation: f64) -> f64 {
        let total = self.total();
        if total > 0.0 { deviation / total } else { 0.0 }
    }

    /// Number of distinct categories, 1.41 × parts/gauge, whole (at least 1); `None` without gauge
    /// spread, when categories have no end.
    #[must_use]
    pub fn categories(&self) -> Option<u32> {
        let gauge = self.gauge();
        (gauge > 0.0).then(|| ((1.41 * self.part / gauge).floor()).max(1.0) as u32)
    }
}

/// A study by analysis of variance (rows are parts, columns are hands), and the test of interaction.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AnovaStudy {
    /// Sums of squares.
    pub table: TwoWay,
    /// Interaction against repeats.
    pub interaction: FTest,
    /// The result.
    pub study: GaugeStudy,
}

/// By analysis of variance. The interaction is pooled with the repeats when its p-value is above
/// `pool_above` (0.25 is AIAG's; 1 or more never pools). A variance that comes out negative is 0.
///
/// # Errors
/// [`Error::OutOfRange`] when nothing varies at all between repeats and cells (0/0), or for a
/// `pool_above` that is no number.
pub fn by_anova(table: &Crossed, pool_above: f64) -> Result<AnovaStudy, Error> {
    Error::check(!pool_above.is_nan(), "the p-value to pool above", pool_above, "a number")?;
    let analysed = table.analysed();
    let interaction = analysed.interaction.against(&analysed.repeat)?;
    let (parts, hands, repeats) =
        (table.rows() as f64, table.columns() as f64, table.repeats() as f64);
    let pooled = interaction.p_value > pool_above;
    let repeat = if pooled { analysed.pooled_error() } else { analysed.repeat }.mean();
    let between = if pooled { repeat } else { analysed.interaction.mean() };
    let of_interaction = if pooled { 0.0 } else { ((between - repeat) / repeats).max(0.0) };
    let of_hands = ((analysed.columns.mean() - between) / (parts * repeats)).max(0.0);
    let of_parts = ((analysed.rows.mean() - between) / (hands * repeats)).max(0.0);
    Ok(AnovaStudy {
        table: analysed,
        interaction,
        study: GaugeStudy {
            method: if pooled { StudyMethod::AnovaPooled } else { StudyMethod::Anova },
            repeatability: repeat.sqrt(),
            reproducibility: (of_hands + of_interaction).sqrt(),
            part: of_parts.sqrt(),
        },
    })
}

/// 1/d₂* for one range of 2 to 10 values (parts or hands), four figures as AIAG prints them.
#[expect(clippy::approx_constant, reason = "as printed, to four figures")]
const ONE_RANGE: [f64; 9] =
    [0.7071, 0.5231, 0.4467, 0.4030, 0.3742, 0.3534, 0.3375, 0.3249, 0.3146];
/// 1/d₂ for many ranges of 2 or 3 repeats, as AIAG prints them.
const MANY_RANGES: [f64; 2] = [0.8862, 0.5908];

/// What average and range see on the way.
#[derive(Clone, Debug, PartialEq)]
pub struct RangeStudy {
    /// Mean range of each hand's repeats.
    pub hand_ranges: Vec<f64>,
    /// Mean of those.
    pub mean_range: f64,
    /// Largest less smallest mean of the hands.
    pub hands_apart: f64,
    /// Largest less smallest mean of the parts.
    pub parts_apart: f64,
    /// The result.
    pub study: GaugeStudy,
}

/// By average and range; 2 or 3 repeats, 2 to 10 hands, 2 to 10 parts.
///
/// # Errors
/// [`Error::OutOfRange`] for a table the factors do not cover.
pub fn by_average_and_range(table: &Crossed) -> Result<RangeStudy, Error> {
    let (parts, hands, repeats) = (table.rows(), table.columns(), table.repeats());
    let factor = |factors: &[f64], count: usize, what: &'static str, must: &'static str| {
        let covered = count.checked_sub(2).and_then(|index| factors.get(index)).copied();
        covered.ok_or(Error::OutOfRange { what, value: count as f64, must })
    };
    let k1 = factor(&MANY_RANGES, repeats, "the number of repeats", "2 or 3")?;
    let k2 = factor(&ONE_RANGE, hands, "the number of hands", "from 2 to 10")?;
    let k3 = factor(&ONE_RANGE, parts, "the number of parts", "from 2 to 10")?;
    let hand_ranges: Vec<f64> = (0..hands)
        .map(|hand| {
            (0..parts).map(|part| range(table.cell(part, hand))).sum::<f64>() / parts as f64
        })
        .collect();
    let mean_range = hand_ranges.iter().sum::<f64>() / hands as f64;
    let hand_means: Vec<f64> = (0..hands).map(|hand| table.column_mean(hand)).collect();
    let part_means: Vec<f64> = (0..parts).map(|part| table.row_mean(part)).collect();
    let (hands_apart, parts_apart) = (range(&hand_means), range(&part_means));
    let repeatability = mean_range * k1;
    let of_hands = (hands_apart * k2).powi(2) - repeatability.powi(2) / (parts * repeats) as f64;
    Ok(RangeStudy {
        hand_ranges,
        mean_range,
        hands_apart,
        parts_apart,
        study: GaugeStudy {
            method: StudyMethod::AverageAndRange,
            repeatability,
            reproducibility: of_hands.max(0.0).sqrt(),
            part: parts_apart * k3,
        },
    })
}

fn range(values: &[f64]) -> f64 {
    let (low, high) = values
        .iter()
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), &v| (low.min(v), high.max(v)));
    (high - low).max(0.0)
}
