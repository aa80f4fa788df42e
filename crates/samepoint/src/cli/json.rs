//! The answer for a program: keys are only ever added to, numbers are at full precision.

use serde::Serialize;
use solver::angle::reduced_deg;
use solver::diagnostic::{Cause, Diagnosis, Slip};
use solver::fit::SigmaBasis;
use solver::remedy::PredictedSetting;
use solver::remedy::rank::RankedRemedy;
use solver::remedy::shim::ChannelShim;
use solver::swing::SwingRange;
use solver::{CircleFit, CrossingPoint, Direction, PerChannel, Setting, Window};

use super::answer::SolveAnswer;
use super::certainty::Certainty;
use super::remedies::Remedies;

/// Raised only when a key changes its meaning, which none should.
const FORMAT: u32 = 1;

#[derive(Serialize)]
struct AnswerDocument {
    format: u32,
    left: Circle,
    right: Circle,
    relation: &'static str,
    crossings: Vec<CrossingJson>,
    /// Whether the readings do not tell which of two is nearer boresight.
    crossings_equally_near: Option<bool>,
    setting: Option<SettingKeys>,
    compromise: Option<SettingKeys>,
    setting_over_swing: Option<SettingKeys>,
    setting_uncertainty: Option<UncertaintyKeys>,
    next_reading: Option<NextKeys>,
    swing: Option<SwingKeys>,
    shims: Option<Vec<PlanJson>>,
    remedies: Option<Vec<RemedyKeys>>,
    verdict: Option<&'static str>,
}

#[derive(Serialize)]
struct Circle {
    centre_arcmin: [f64; 2],
    radius_arcmin: f64,
    phase_deg: Option<f64>,
    sense: Option<&'static str>,
    readings: usize,
    rms_arcmin: f64,
    covariance: Option<Vec<Vec<f64>>>,
    /// What the covariance rests on: `stated`, `residuals`, `step` or `unknown`.
    uncertainty_from: &'static str,
    /// Readings to spare.
    degrees_of_freedom: usize,
    /// Standard uncertainties in a ± of 95 %; null where none is stated.
    coverage_factor_95: Option<f64>,
    /// Whether the readings lie farther off the circle than the stated σ explains: no ± holds then.
    does_not_fit: bool,
    consistency: Option<ConsistencyKeys>,
    standing_out: Vec<StandingOut>,
}

/// χ² of the residuals against the stated σ; `p` counts both tails.
#[derive(Serialize)]
struct ConsistencyKeys {
    chi_squared: f64,
    degrees_of_freedom: usize,
    p: f64,
}

/// A reading, counted from 1 within its channel, and what was probably misread.
#[derive(Serialize)]
struct StandingOut {
    reading: usize,
    p: f64,
    cause: Option<&'static str>,
    slip: Option<&'static str>,
    expected_ring_deg: Option<f64>,
    expected_arcmin: Option<[f64; 2]>,
}

#[derive(Serialize)]
struct CrossingJson {
    point_arcmin: [f64; 2],
    boresight_arcmin: f64,
    left_ring_deg: Option<f64>,
    right_ring_deg: Option<f64>,
    covariance_arcmin2: Option<[[f64; 2]; 2]>,
    /// Of the covariance; null where it has no limit or is not known.
    degrees_of_freedom: Option<f64>,
    ellipse_95: Option<EllipseKeys>,
    grazing: bool,
    /// Along an arc rather than in an ellipse.
    bent: bool,
    /// Where the linear covariance does not hold, of the nearest crossing: from seeded trials.
    region_95: Option<RegionKeys>,
}

/// 95 % of all trials lie within the radius about the centre; `radius_arcmin` is null where the circles met
/// in fewer.
#[derive(Serialize)]
struct RegionKeys {
    centre_arcmin: [f64; 2],
    radius_arcmin: Option<f64>,
    boresight_95_arcmin: Option<f64>,
    meets: f64,
    trials: usize,
}

#[derive(Serialize)]
struct EllipseKeys {
    semi_major_arcmin: f64,
    semi_minor_arcmin: f64,
    angle_deg: f64,
}

/// Standard uncertainties and covariance; what ends in `_95` and `inside_probability` is from seeded
/// trials with ring-setting error.
#[derive(Serialize)]
struct UncertaintyKeys {
    left_ring_u_deg: Option<f64>,
    right_ring_u_deg: Option<f64>,
    left_ring_95_deg: Option<f64>,
    right_ring_95_deg: Option<f64>,
    misalignment_degrees_of_freedom: Option<f64>,
    misalignment_covariance_arcmin2: Option<[[f64; 2]; 2]>,
    misalignment_95_arcmin: Option<f64>,
    boresight_95_arcmin: Option<f64>,
    window_use_95: Option<f64>,
    inside_probability: Option<f64>,
}

#[derive(Serialize)]
struct NextKeys {
    channel: &'static str,
    ring_deg: Option<f64>,
    place_arcmin: [f64; 2],
    determinant_ratio: f64,
}

#[derive(Serialize)]
struct SettingKeys {
    kind: &'static str,
    left_ring_deg: Option<f64>,
    right_ring_deg: Option<f64>,
    misalignment_arcmin: [f64; 2],
    boresight_arcmin: f64,
    window_use: Option<f64>,
}

#[derive(Serialize)]
struct SwingKeys {
    worst_window_use: f64,
    at_deg: f64,
}

#[derive(Serialize)]
struct PlanJson {
    plan: Vec<ShimKeys>,
    window_use: Option<f64>,
    crossing_arcmin: Option<[f64; 2]>,
}

/// One of the ranked remedies, whatever its kind: what to do and what it is predicted to give.
#[derive(Serialize)]
struct RemedyKeys {
    hands: Vec<String>,
    kind: Option<&'static str>,
    window_use: Option<f64>,
    worst_window_use: Option<f64>,
    crossing_arcmin: Option<[f64; 2]>,
    /// Of the setting told, whatever its kind: how far out, and how far apart.
    boresight_arcmin: Option<f64>,
    misalignment_arcmin: Option<[f64; 2]>,
}

#[derive(Serialize)]
struct ShimKeys {
    channel: &'static str,
    clock_deg: f64,
    leaves_mm: Vec<f64>,
    ends: &'static str,
    /// The rear end does the same.
    either_end: bool,
}

/// The document, with a line feed at its end.
pub(super) fn text(answer: &SolveAnswer<'_>) -> serde_json::Result<String> {
    let document = AnswerDocument {
        format: FORMAT,
        left: circle(answer.fits.left, &answer.certainty.diagnoses.left),
        right: circle(answer.fits.right, &answer.certainty.diagnoses.right),
        relation: answer.meeting.relation.word(),
        crossings: crossings(answer),
        crossings_equally_near: answer.meeting.nearer().map(|nearer| nearer.is_open()),
        setting: answer.solution.setting.as_ref().ok().map(setting),
        // Worked out for its own sake even where a crossing is recommended; two fitted circles
        // always have one.
        compromise: solver::solve::compromise(answer.problem.window, answer.fits)
            .ok()
            .as_ref()
            .map(setting),
        setting_over_swing: answer
            .problem
            .window
            .zip(answer.problem.swing)
            .and_then(|(window, range)| over_swing(answer, window, range)),
        setting_uncertainty: answer
            .solution
            .setting
            .is_ok()
            .then(|| uncertainty(&answer.certainty)),
        next_reading: answer.certainty.next.map(|next| NextKeys {
            channel: next.channel.word(),
            ring_deg: next.ring_deg,
            place_arcmin: pair(next.place),
            determinant_ratio: next.determinant_ratio,
        }),
        swing: answer
            .solution
            .over_swing
            .map(|worst| SwingKeys { worst_window_use: worst.used.worst(), at_deg: worst.at_deg }),
        shims: answer
            .remedies
            .as_ref()
            .and_then(Remedies::shim_plans)
            .map(|plans| plans.map(|(shims, remedy)| plan(shims, remedy)).collect()),
        remedies: answer
            .remedies
            .as_ref()
            .and_then(Remedies::ranking)
            .map(|ranking| ranking.remedies.iter().map(remedy).collect()),
        verdict: answer.verdict().map(super::answer::SettingVerdict::word),
    };
    let mut text = serde_json::to_string_pretty(&document)?;
    text.push('\n');
    Ok(text)
}

fn plan(shims: &PerChannel<Option<ChannelShim>>, remedy: &RankedRemedy) -> PlanJson {
    let predicted = &remedy.predicted;
    let shims = shims.iter().filter_map(|(channel, shim)| {
        shim.as_ref().map(|shim| ShimKeys {
            channel: channel.word(),
            clock_deg: reduced_deg(shim.clock_deg),
            leaves_mm: shim.leaves_mm.clone(),
            ends: shim.ends.word(),
            either_end: shim.either_end,
        })
    });
    PlanJson {
        plan: shims.collect(),
        // No number stands for circles that still do not meet.
        window_use: predicted.score.is_finite().then_some(predicted.score),
        crossing_arcmin: predicted.crossing.map(pair),
    }
}

fn remedy(remedy: &RankedRemedy) -> RemedyKeys {
    let setting = remedy.predicted.setting.as_ref();
    RemedyKeys {
        hands: remedy.action.sentences(),
        kind: setting.map(|setting| setting.kind.word()),
        window_use: setting.map(|setting| setting.window_use.worst()),
        worst_window_use: setting
            .and_then(|setting| setting.over_swing)
            .map(|worst| worst.used.worst()),
        crossing_arcmin: remedy.predicted.crossing.map(pair),
        boresight_arcmin: setting.map(PredictedSetting::boresight_arcmin),
        misalignment_arcmin: setting.map(|setting| {
            let apart = setting.misalignment();
            [apart.x_arcmin, apart.y_arcmin]
        }),
    }
}

fn over_swing(answer: &SolveAnswer<'_>, window: Window, range: SwingRange) -> Option<SettingKeys> {
    solver::solve::over_swing(&window, range, answer.fits).ok().as_ref().map(setting)
}

fn uncertainty(certainty: &Certainty) -> UncertaintyKeys {
    let spread = certainty.spread.as_ref();
    let ring = certainty.ring_u_deg.map(|u| u.map(|u| u.standard));
    UncertaintyKeys {
        left_ring_u_deg: ring.left,
        right_ring_u_deg: ring.right,
        left_ring_95_deg: certainty.ring_u_deg.left.and_then(|u| u.half_width_95()),
        right_ring_95_deg: certainty.ring_u_deg.right.and_then(|u| u.half_width_95()),
        misalignment_degrees_of_freedom: certainty.setting.and_then(|of| finite(of.freedom)),
        misalignment_covariance_arcmin2: certainty.setting.map(|of| of.misalignment_arcmin2),
        misalignment_95_arcmin: spread.map(|spread| spread.misalignment_95_arcmin),
        boresight_95_arcmin: spread.map(|spread| spread.boresight_95_arcmin),
        window_use_95: spread.and_then(|spread| spread.use_95),
        inside_probability: spread.and_then(|spread| spread.inside),
    }
}

fn standing_out(index: usize, of: &Diagnosis) -> Option<StandingOut> {
    let p = of.p_value.filter(|_| of.stands_out)?;
    let slip = match of.cause {
        Some(Cause::Graticule { slip, .. } | Cause::Ring { or: slip, .. }) => slip.map(Slip::words),
        Some(Cause::Exchanged { .. }) => Some("it looks exchanged with another reading"),
        None => None,
    };
    let (cause, expected_ring_deg, expected_arcmin) = match of.cause {
        Some(Cause::Ring { expected_deg, .. }) => (Some("ring"), Some(expected_deg), None),
        Some(Cause::Graticule { expected, .. }) => (Some("graticule"), None, Some(pair(expected))),
        Some(Cause::Exchanged { with_ring_deg, expected }) => {
            (Some("exchanged"), Some(with_ring_deg), Some(pair(expected)))
        }
        None => (None, None, None),
    };
    Some(StandingOut { reading: index + 1, p, cause, slip, expected_ring_deg, expected_arcmin })
}

fn circle(fit: &CircleFit, diagnoses: &[Diagnosis]) -> Circle {
    let covariance = fit.covariance.map(|covariance| {
        let places = 0..covariance.size();
        places
            .clone()
            .map(|row| places.clone().map(|column| covariance.get(row, column)).collect())
            .collect()
    });
    Circle {
        centre_arcmin: pair(fit.circle.centre),
        radius_arcmin: fit.circle.radius_arcmin,
        phase_deg: fit.circle.phase.map(|phase| phase.zero_deg),
        sense: fit.circle.phase.map(|phase| phase.sense.word()),
        readings: fit.readings,
        rms_arcmin: fit.rms_arcmin,
        covariance,
        uncertainty_from: match fit.sigma_basis {
            SigmaBasis::Stated => "stated",
            SigmaBasis::Residuals => "residuals",
            SigmaBasis::Step => "step",
            SigmaBasis::Unknown => "unknown",
        },
        degrees_of_freedom: fit.degrees_of_freedom,
        coverage_factor_95: fit
            .coverage_factor()
            .filter(|_| fit.states_regions() && !fit.does_not_fit()),
        does_not_fit: fit.does_not_fit(),
        consistency: fit.consistency().map(|found| ConsistencyKeys {
            chi_squared: found.chi_squared,
            degrees_of_freedom: found.freedom,
            p: found.p_value,
        }),
        standing_out: diagnoses
            .iter()
            .enumerate()
            .filter_map(|(index, of)| standing_out(index, of))
            .collect(),
    }
}

/// Endless degrees of freedom are no number in JSON.
fn finite(value: f64) -> Option<f64> {
    value.is_finite().then_some(value)
}

fn crossings(answer: &SolveAnswer<'_>) -> Vec<CrossingJson> {
    let fits_well = answer.solution.misfits().next().is_none();
    let mut region = answer.certainty.grazing.map(|spread| RegionKeys {
        centre_arcmin: pair(spread.mean),
        radius_arcmin: spread.radius_95_arcmin,
        boresight_95_arcmin: spread.boresight_95_arcmin,
        meets: spread.meets,
        trials: spread.trials,
    });
    let crossings = answer.meeting.crossings();
    // The first is the nearest, which the trials are of.
    crossings.map(|found| crossing(found, fits_well, region.take())).collect()
}

fn crossing(crossing: &CrossingPoint, fits_well: bool, region: Option<RegionKeys>) -> CrossingJson {
    CrossingJson {
        point_arcmin: pair(crossing.point),
        boresight_arcmin: crossing.boresight_arcmin,
        left_ring_deg: crossing.ring_deg.left,
        right_ring_deg: crossing.ring_deg.right,
        covariance_arcmin2: crossing.covariance_arcmin2,
        degrees_of_freedom: crossing.uncertainty.and_then(|known| finite(known.freedom())),
        ellipse_95: crossing.ellipse().filter(|_| fits_well).map(|ellipse| EllipseKeys {
            semi_major_arcmin: ellipse.semi_major_arcmin,
            semi_minor_arcmin: ellipse.semi_minor_arcmin,
            angle_deg: ellipse.angle_deg,
        }),
        grazing: crossing.grazing,
        bent: crossing.bent,
        region_95: region,
    }
}

fn setting(setting: &Setting) -> SettingKeys {
    SettingKeys {
        kind: setting.kind.word(),
        left_ring_deg: setting.ring_deg.left,
        right_ring_deg: setting.ring_deg.right,
        misalignment_arcmin: [setting.misalignment.x_arcmin, setting.misalignment.y_arcmin],
        boresight_arcmin: setting.boresight_arcmin,
        window_use: setting.window_use.map(|used| used.worst()),
    }
}

const fn pair(direction: Direction) -> [f64; 2] {
    [direction.x_arcmin, direction.y_arcmin]
}
