//! Whether shims did as predicted: measured shift along the predicted one, against its length, with a
//! straight line through them.
//!
//! As predicted is slope 1 through 0. The line is fitted by least squares of measured on predicted; the
//! measured shift scatters by how well two circles are known, the predicted one hardly.

use solver::Channel;
use solver::stats::line::LineFit;

use super::{COVERAGE, SIGNIFICANT, Survey};
use crate::figures::number;

/// One shim.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ShimPoint {
    /// The index of its session.
    pub session: usize,
    /// Whose circle.
    pub channel: Channel,
    /// Length of the predicted shift, arcminutes.
    pub predicted_arcmin: f64,
    /// The measured shift along it, arcminutes.
    pub measured_arcmin: f64,
}

/// Every shim with a prediction that was measured, and the line through them.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ShimsFound {
    /// The shims of each unit's first shimmed visit.
    pub points: Vec<ShimPoint>,
    /// Shims of later visits of the same units, which are left out.
    pub later_visits: usize,
    /// The line through them; `None` of fewer than three, or of one predicted length only.
    pub line: Option<LineFit>,
}

/// What the line says at a predicted shift, arcminutes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BandAt {
    /// The predicted shift.
    pub predicted_arcmin: f64,
    /// What the line gives.
    pub line_arcmin: f64,
    /// Half width of the 95 % interval of the line there.
    pub mean_half_arcmin: f64,
    /// Half width of the 95 % interval of the next shim there.
    pub next_half_arcmin: f64,
}

impl ShimsFound {
    /// The line and its bands at a predicted shift.
    #[must_use]
    pub fn band_at(&self, predicted_arcmin: f64) -> Option<BandAt> {
        let line = self.line?;
        Some(BandAt {
            predicted_arcmin,
            line_arcmin: line.at(predicted_arcmin),
            mean_half_arcmin: line.half_width_at(predicted_arcmin, COVERAGE).ok()?,
            next_half_arcmin: line.next_half_width_at(predicted_arcmin, COVERAGE).ok()?,
        })
    }

    /// Whether a shim lies outside the band in which the next one is to be expected.
    #[must_use]
    pub fn stands_out(&self, point: &ShimPoint) -> bool {
        self.band_at(point.predicted_arcmin).is_some_and(|band| {
            (point.measured_arcmin - band.line_arcmin).abs() > band.next_half_arcmin
        })
    }

    /// Probability of such a slope if shims did as predicted.
    #[must_use]
    pub fn p_as_predicted(&self) -> Option<f64> {
        self.line?.slope_is(1.0).ok()
    }

    /// It in a sentence.
    #[must_use]
    pub fn words(&self) -> String {
        let count = self.points.len();
        let (Some(line), Some(p)) = (self.line, self.p_as_predicted()) else {
            return format!("{count} of 3 measured shims of different strength needed to tell.");
        };
        let half = line.slope_half_width(COVERAGE).unwrap_or(f64::INFINITY);
        let verdict = if p < SIGNIFICANT { "not as predicted" } else { "as predicted" };
        format!(
            "{count} shims moved their circles {} ± {} of what was predicted: {verdict} (t-test of \
             slope 1, p {}).{}",
            number(line.slope, 2),
            number(half, 2),
            super::differ::p_words(p),
            super::doubles::later_visits_words(self.later_visits)
        )
    }
}

impl Survey {
    /// The shims of a housing, or of all.
    #[must_use]
    pub fn shims(&self, housing: Option<&str>) -> ShimsFound {
        let of = |name: &str| housing.is_none_or(|housing| housing == name);
        let sessions = self.counted().filter(|(_, session)| of(&session.housing));
        let shims = sessions
            .flat_map(|(index, session)| {
                session.shims.iter().filter_map(move |seen| {
                    let point = ShimPoint {
                        session: index,
                        channel: seen.channel,
                        predicted_arcmin: seen.predicted_arcmin(),
                        measured_arcmin: seen.measured_along_arcmin()?,
                    };
                    Some((index, point))
                })
            })
            .collect();
        let (shims, later_visits) = self.first_visits(shims);
        let points: Vec<ShimPoint> = shims.into_iter().map(|(_, point)| point).collect();
        let predicted: Vec<f64> = points.iter().map(|point| point.predicted_arcmin).collect();
        let measured: Vec<f64> = points.iter().map(|point| point.measured_arcmin).collect();
        let enough = points.len() >= 3;
        let line = LineFit::through(&predicted, &measured).ok().filter(|_| enough);
        ShimsFound { points, later_visits, line }
    }
}
