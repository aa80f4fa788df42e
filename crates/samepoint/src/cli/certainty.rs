//! How sure an answer is: readings that stand out, what a grazing crossing may be, what the setting may
//! give, and the reading most worth taking next.

use solver::diagnostic::{Diagnosis, diagnose_both};
use solver::monte_carlo::{self, CrossingSpread, SettingSpread};
use solver::next_reading::NextReading;
use solver::pointing::{SettingUncertainty, step_u_deg};
use solver::uncertainty::Uncertainty;
use solver::{Channel, CircleFit, CrossingPoint, PerChannel, Problem, Solution};

use paper::words::{cause, degrees, number, ring};

use super::figures::{arcmin, arcmin_at_most, percent, percent_at_most, probability};
use super::sentences::broken;

/// Random trials for what has no linear uncertainty, and where they start: the same file gives the same
/// answer.
const TRIALS: usize = 20_000;
const SEED: u64 = 1;

/// What stands in place of every ± where readings do not fit.
const NOT_STATED: &str = "± and chances are not stated, and nothing is judged: the readings do not fit what \
                          they are said to scatter by. Look for one misread, of a wrong sign or of the other \
                          channel; read again, or state what a reading is really good to.";

/// What is known of an answer's uncertainty beside its covariances.
pub(super) struct Certainty {
    /// Every reading looked at, in the order of the file.
    pub(super) diagnoses: PerChannel<Vec<Diagnosis>>,
    /// Trials of the nearest crossing, where linear covariance fails it.
    pub(super) grazing: Option<CrossingSpread>,
    /// Covariance of what the setting gives, ring-setting error included.
    pub(super) setting: Option<SettingUncertainty>,
    /// Trials of the same: window use has no linear uncertainty.
    pub(super) spread: Option<SettingSpread>,
    /// Uncertainty of the ring targets, degrees.
    pub(super) ring_u_deg: PerChannel<Option<Uncertainty>>,
    /// Where one more reading would help most.
    pub(super) next: Option<NextReading>,
}

impl Certainty {
    /// Of a solved problem whose rings can be set to a step, degrees.
    pub(super) fn of(
        problem: &Problem,
        solution: &Solution,
        fits: PerChannel<&CircleFit>,
        step_deg: f64,
    ) -> Self {
        let setting_u_deg = step_u_deg(step_deg);
        // Readings that do not fit their stated uncertainty make every number below a false promise.
        let fit_well = solution.misfits().next().is_none();
        let stated = fit_well && fits.iter().all(|(_, fit)| fit.states_regions());
        let nearest = solution.meeting.as_ref().and_then(|met| met.nearest());
        let grazing = nearest
            .filter(|crossing| stated && !crossing.is_linear())
            .and_then(|crossing| monte_carlo::crossing(fits, crossing.point, TRIALS, SEED).ok());
        let rings = solution.setting.as_ref().ok().map(|setting| setting.ring_deg);
        let rings = rings.filter(|_| fit_well);
        let spread = match rings {
            Some(PerChannel { left: Some(left), right: Some(right) }) => {
                let rings = PerChannel { left, right };
                let window = problem.window;
                monte_carlo::setting(fits, rings, setting_u_deg, window, TRIALS, SEED).ok()
            }
            _ => None,
        };
        Self {
            diagnoses: diagnose_both(fits.map(Some), &problem.readings),
            grazing,
            setting: solution
                .setting_uncertainty(setting_u_deg)
                .ok()
                .flatten()
                .filter(|_| fit_well),
            spread,
            ring_u_deg: if fit_well { solution.ring_u_deg() } else { PerChannel::default() },
            next: solution.next_reading(),
        }
    }

    /// What of it a person must know, sentence by sentence.
    pub(super) fn write(
        &self,
        page: &mut String,
        fits: PerChannel<&CircleFit>,
        nearest: Option<&CrossingPoint>,
    ) {
        let mut lines = Vec::new();
        for channel in Channel::BOTH {
            lines.extend(scatter(channel, fits[channel]));
            lines.extend(short(channel, fits[channel]));
            let found = &self.diagnoses[channel];
            lines.extend(found.iter().enumerate().filter_map(|(k, of)| odd(channel, k, of)));
        }
        if let Some(spread) = &self.grazing {
            lines.push(("! ", grazing(spread, nearest.is_some_and(|crossing| crossing.grazing))));
        }
        if fits.iter().any(|(_, fit)| fit.does_not_fit()) {
            lines.push(("! ", NOT_STATED.to_owned()));
        }
        lines.extend(self.setting_in_words().map(|words| ("  ", words)));
        lines.extend(self.next_in_words().map(|words| ("  ", words)));
        if !lines.is_empty() {
            page.push_str("\nHow sure, at 95 %\n");
        }
        for (mark, words) in lines {
            page.push_str(&broken(mark, &words));
        }
    }

    fn setting_in_words(&self) -> Option<String> {
        let half = |of: Option<Uncertainty>| of.and_then(|u| u.half_width_95());
        let (left, right) = (half(self.ring_u_deg.left)?, half(self.ring_u_deg.right)?);
        let mut words = format!(
            "Ring targets: left ± {}, right ± {}.",
            degrees(left, 0.1),
            degrees(right, 0.1)
        );
        if let Some(spread) = &self.spread {
            let misaligned = arcmin_at_most(spread.misalignment_95_arcmin);
            words.push_str(&match (spread.use_95, spread.inside) {
                (Some(used), Some(inside)) => format!(
                    " Set to the ring's step the two channels will be {misaligned} \
                     apart and use {} of the window; the chance of being inside is {}.",
                    percent_at_most(used),
                    probability(inside)
                ),
                _ => format!(
                    " Set to the ring's step the two channels will be {misaligned} \
                     apart."
                ),
            });
        }
        Some(words)
    }

    fn next_in_words(&self) -> Option<String> {
        let next = self.next?;
        let at = match next.ring_deg {
            Some(deg) => format!("with its ring at {}", ring(deg, 1.0)),
            None => format!(
                "where it reads {}, {}",
                arcmin(next.place.x_arcmin),
                arcmin(next.place.y_arcmin)
            ),
        };
        Some(format!(
            "One more reading helps most on the {} channel {at}: it makes the crossing's ellipse {} \
             smaller.",
            next.channel,
            percent(next.ellipse_shrinks_by())
        ))
    }
}

/// Whether stated and seen scatter disagree.
fn scatter(channel: Channel, fit: &CircleFit) -> Option<(&'static str, String)> {
    let found = fit.consistency().filter(solver::fit::Consistency::disagrees)?;
    let how = if found.scatters_more { "more" } else { "less" };
    let words = format!(
        "{channel}: the readings scatter {how} than their stated uncertainty would have them (χ² {} with \
         {}, p {}).",
        number(found.chi_squared, 1),
        paper::words::counted(found.freedom, "degree of freedom", "degrees of freedom"),
        small(found.p_value)
    );
    Some(("! ", words))
}

/// A reading that stands out, with what was probably misread. It is pointed at, never dropped.
fn odd(channel: Channel, index: usize, of: &Diagnosis) -> Option<(&'static str, String)> {
    let p = of.p_value.filter(|_| of.stands_out)?;
    let cause = cause(of.cause);
    let words = format!(
        "{channel}: reading {} stands out (p {}); {cause}. It is used all the same.",
        index + 1,
        small(p)
    );
    Some(("! ", words))
}

/// A region that would not hold is not stated.
fn short(channel: Channel, fit: &CircleFit) -> Option<(&'static str, String)> {
    let known = fit.covariance.is_some() && !fit.arc_too_short();
    (known && !fit.states_regions()).then(|| {
        let words = format!(
            "{channel}: ± is not stated: without ring angles the arc is too short for it. Read farther \
             round, or read the ring."
        );
        ("! ", words)
    })
}

fn grazing(spread: &CrossingSpread, grazing: bool) -> String {
    let meets = percent(spread.meets);
    let place = spread.radius_95_arcmin.map_or_else(
        || "so no region can be given for where".to_owned(),
        |radius| {
            format!(
                "within {} of {}, {}",
                arcmin(radius),
                arcmin(spread.mean.x_arcmin),
                arcmin(spread.mean.y_arcmin)
            )
        },
    );
    let why = if grazing {
        "The circles only graze, so a small error moves the crossing far"
    } else {
        "The crossing lies far from what was read of a circle, along an arc and in no ellipse"
    };
    format!("{why}: in {} random trials they met in {meets}, {place}.", spread.trials)
}

/// A probability, with as many digits as it has something to say.
fn small(p: f64) -> String {
    if p < 0.0001 { "below 0.0001".to_owned() } else { number(p, 4) }
}
