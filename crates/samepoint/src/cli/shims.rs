//! Shim plans for a housing, or why there are none.

use std::fmt::{self, Write as _};

use record::Housing;
use solver::remedy::shim::{self, ShimEffect, ShimPlan, best_plans, shims_of};
use solver::{Channel, CircleFit, PerChannel, Problem, Sense};

use super::figures::{arcmin, percent};
use super::sentences::broken;

/// Plans listed for a program.
const MOST: usize = 10;
/// Plans listed for a person.
const MOST_IN_WORDS: usize = 3;

/// What came of looking for shims.
pub(super) struct Shims(Result<Vec<ShimPlan>, String>);

impl Shims {
    /// The best plans of a housing for a solved problem.
    pub(super) fn for_housing(
        housing: &Housing,
        problem: &Problem,
        fits: PerChannel<&CircleFit>,
    ) -> Self {
        Self(plans(housing, problem, fits))
    }

    /// Best first; `None` where there can be none.
    pub(super) fn plans(&self) -> Option<&[ShimPlan]> {
        self.0.as_deref().ok()
    }

    /// The best plans in words.
    pub(super) fn write(&self, page: &mut String, housing: &Housing, swung: bool) -> fmt::Result {
        writeln!(page, "\nShims for {}", housing.name)?;
        let plans = match &self.0 {
            Ok(plans) => plans,
            Err(why) => {
                page.push_str(&broken("  ", &format!("No plan: {why}.")));
                return Ok(());
            }
        };
        let useful = plans.iter().filter(|plan| plan.score.is_finite()).take(MOST_IN_WORDS);
        for (place, plan) in useful.clone().enumerate() {
            page.push_str(&broken(&format!("{:>3}. ", place + 1), &hands(plan)));
            page.push_str(&broken("     ", &predicted(plan, swung)));
        }
        let after = if useful.count() == 0 {
            "No plan makes the circles meet."
        } else {
            "Predictions from the optical model. Open a unit only as its maintenance manual directs; \
             after a shim, read both channels again."
        };
        page.push_str(&broken("  ", after));
        Ok(())
    }
}

/// What to do.
fn hands(plan: &ShimPlan) -> String {
    let sentences = plan
        .shims
        .iter()
        .filter_map(|(channel, shim)| shim.as_ref().map(|shim| shim::sentence(channel, shim)));
    sentences.collect::<Vec<_>>().join(" ")
}

/// What it will do.
fn predicted(plan: &ShimPlan, swung: bool) -> String {
    let meets = plan.crossing.map_or_else(String::new, |point| arcmin(point.boresight_arcmin()));
    format!(
        "The circles then meet {meets} from boresight and use {} of the window{}: {}.",
        percent(plan.score),
        if swung { " at worst over the swing" } else { "" },
        if plan.score <= 1.0 { "inside" } else { "outside" },
    )
}

fn plans(
    housing: &Housing,
    problem: &Problem,
    fits: PerChannel<&CircleFit>,
) -> Result<Vec<ShimPlan>, String> {
    let Some(window) = problem.window else {
        return Err("plans are ranked by a tolerance window; give --window".to_owned());
    };
    for channel in Channel::BOTH {
        let fit = fits[channel];
        if fit.circle.phase.is_some_and(|phase| phase.sense == Sense::Against) {
            return Err(format!(
                "the {channel} crosshair runs against its ring, so a flip in the station's map or \
                 the ring's numbering is wrong, and a wrong flip sends a shim the wrong way; find \
                 out which first"
            ));
        }
        if fit.arc_too_short() {
            return Err(format!(
                "the {channel} readings cover too short an arc to trust the circle"
            ));
        }
    }
    let effect = ShimEffect::Model(housing.optics().map_err(|why| why.to_string())?);
    let seat = housing.shim_seat().ok_or_else(|| record::NoShimModel::NoSeat.to_string())?;
    let shims = shims_of(&seat, &effect).map_err(|error| error.to_string())?;
    let circles = fits.map(|fit| fit.circle);
    let candidates = PerChannel { left: &shims[..], right: &shims[..] };
    best_plans(circles, candidates, &window, problem.swing, MOST).map_err(|error| error.to_string())
}
