//! Means, probabilities and the verdict at one position.

use solver::decision::{
    Circumstances, Confirmation, Covariance, Judgement, Prospect, ReadingSpread, Reference,
    judge_known,
};
use solver::{Direction, Misalignment, PerChannel, WindowUse};

use super::NoConclusion;
use super::counted::Counted;
use super::position::Position;
use crate::fact::Verdict;
use crate::figures::counted_s;
use crate::station::Station;
use crate::window::{NamedWindow, Rule};

/// Readings of each channel from which their own scatter can be seen.
const FOR_SCATTER: usize = 3;

/// What the confirm readings of one position come to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Measured {
    /// Where the pods stood.
    pub position: Position,
    /// How many readings of each channel.
    pub readings: PerChannel<usize>,
    /// Their mean.
    pub points: PerChannel<Direction>,
    /// p_R − p_L of the means.
    pub misalignment: Misalignment,
    /// Distance of (p_L + p_R)/2 from boresight, arcminutes.
    pub boresight_arcmin: f64,
    /// Window use of the means.
    pub window_use: WindowUse,
    /// The verdict on this position alone.
    pub verdict: Verdict,
    /// Standard uncertainty of a single reading, each axis, arcminutes, where the station states it;
    /// `None`: seen in these readings.
    pub stated_sigma_arcmin: Option<f64>,
    /// Probabilities and covariances; `None` when nothing tells how far readings scatter.
    pub judgement: Option<Judgement>,
    /// What would settle it, when undecided.
    pub outlook: Option<Outlook>,
}

/// What would settle an undecided position.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Outlook {
    /// So many more readings of each channel before their scatter can be seen at all: the station
    /// states none.
    ScatterUnknown(PerChannel<usize>),
    /// The scatter is known.
    Known(Prospect),
}

impl Outlook {
    /// A sentence for the screen and the report, without its full stop.
    #[must_use]
    pub fn sentence(self) -> String {
        match self {
            Self::Known(prospect) => prospect.sentence(),
            Self::ScatterUnknown(lack) => {
                let more: Vec<String> = lack
                    .iter()
                    .filter(|(_, count)| **count > 0)
                    .map(|(channel, count)| counted_s(*count, &format!("more {channel} reading")))
                    .collect();
                format!(
                    "the station states no uncertainty: {} would show how far they scatter",
                    more.join(" and ")
                )
            }
        }
    }
}

impl Measured {
    /// Judges the readings of one position; `None` when a channel has none there.
    pub(super) fn of(
        at: &Counted<'_>,
        circumstances: &Circumstances,
        station: Option<&Station>,
        window: &NamedWindow,
    ) -> Result<Option<Self>, NoConclusion> {
        let stated_sigma_arcmin = station.and_then(|station| station.spread.sigma_arcmin);
        let confirmation = Confirmation {
            readings: at.readings.as_ref().map(|read| read.iter().map(|(_, p)| *p).collect()),
            spread: stated_sigma_arcmin.map_or(ReadingSpread::Observed, |sigma_arcmin| {
                ReadingSpread::Stated(each_axis([sigma_arcmin; 2]))
            }),
            reference: station.map(reference).unwrap_or_default(),
        };
        let counts = confirmation.readings.as_ref().map(Vec::len);
        let missing = counts.map(|count| FOR_SCATTER.saturating_sub(count));
        let unknown = stated_sigma_arcmin.is_none() && missing != PerChannel::default();
        // Too few readings to see a scatter in are still worth their means.
        let rule = if unknown { Rule::Simple } else { window.rule };
        let judged = judge_known(&confirmation, circumstances, &window.limits, rule);
        let Some(judged) = judged.map_err(NoConclusion::CannotJudge)? else { return Ok(None) };
        // Of seatings, where there are several.
        let half = Direction::new(judged.misalignment.x_arcmin, judged.misalignment.y_arcmin) * 0.5;
        let points = if judged.seatings > 1 {
            PerChannel { left: judged.shared - half, right: judged.shared + half }
        } else {
            PerChannel::from_fn(|channel| mean(&confirmation.readings[channel]))
        };
        let undecided = unknown && window.rule.asks_uncertainty();
        Ok(Some(Self {
            position: at.position,
            readings: counts,
            points,
            misalignment: Misalignment::between(points.left, points.right),
            boresight_arcmin: points.left.midpoint(points.right).boresight_arcmin(),
            window_use: window.limits.used_by(points.left, points.right),
            verdict: if undecided { Verdict::Undecided } else { judged.verdict },
            stated_sigma_arcmin,
            judgement: (!unknown).then_some(judged),
            outlook: if undecided {
                Some(Outlook::ScatterUnknown(missing))
            } else {
                judged.prospect.map(Outlook::Known)
            },
        }))
    }
}

/// The station's reference as the decision takes it.
pub(crate) fn reference(station: &Station) -> Reference {
    let reference = &station.reference;
    Reference {
        own: reference.own_u_arcmin.map(each_axis),
        common: each_axis(reference.common_u_arcmin),
    }
}

/// Independent axes of these standard uncertainties.
pub(crate) fn each_axis([x_arcmin, y_arcmin]: [f64; 2]) -> Covariance {
    [[x_arcmin * x_arcmin, 0.0], [0.0, y_arcmin * y_arcmin]]
}

/// The mean of some directions; boresight of none.
pub(crate) fn mean(points: &[Direction]) -> Direction {
    let sum = points.iter().fold(Direction::BORESIGHT, |sum, point| sum + *point);
    sum * (1.0 / points.len().max(1) as f64)
}
