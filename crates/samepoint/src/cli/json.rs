//! The answer for a program: keys are only ever added to, numbers are at full precision.

use serde::Serialize;
use solver::angle::reduced_deg;
use solver::remedy::shim::ShimPlan;
use solver::{CircleFit, CrossingPoint, Direction, Setting};

use super::solve::Answer;

/// Raised only when a key changes its meaning, which none should.
const FORMAT: u32 = 1;

#[derive(Serialize)]
struct Document {
    format: u32,
    left: Circle,
    right: Circle,
    relation: &'static str,
    crossings: Vec<Crossing>,
    setting: Option<SettingKeys>,
    compromise: Option<SettingKeys>,
    swing: Option<SwingKeys>,
    shims: Option<Vec<Plan>>,
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
}

#[derive(Serialize)]
struct Crossing {
    point_arcmin: [f64; 2],
    boresight_arcmin: f64,
    left_ring_deg: Option<f64>,
    right_ring_deg: Option<f64>,
    covariance_arcmin2: Option<[[f64; 2]; 2]>,
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
struct Plan {
    plan: Vec<ShimKeys>,
    window_use: Option<f64>,
    crossing_arcmin: Option<[f64; 2]>,
}

#[derive(Serialize)]
struct ShimKeys {
    channel: &'static str,
    clock_deg: f64,
    leaves_mm: Vec<f64>,
    ends: &'static str,
}

/// The document, with a line feed at its end.
pub(super) fn text(answer: &Answer<'_>) -> serde_json::Result<String> {
    let document = Document {
        format: FORMAT,
        left: circle(answer.fits.left),
        right: circle(answer.fits.right),
        relation: answer.meeting.relation.word(),
        crossings: answer.meeting.crossings().map(crossing).collect(),
        setting: answer.solution.setting.as_ref().ok().map(setting),
        // Worked out for its own sake even where a crossing is recommended; two fitted circles
        // always have one.
        compromise: solver::solve::compromise(answer.problem.window, answer.fits)
            .ok()
            .as_ref()
            .map(setting),
        swing: answer
            .solution
            .over_swing
            .map(|worst| SwingKeys { worst_window_use: worst.used.worst(), at_deg: worst.at_deg }),
        shims: answer
            .shims
            .as_ref()
            .and_then(|shims| shims.plans())
            .map(|plans| plans.iter().map(plan).collect()),
        verdict: answer.verdict().map(super::solve::Verdict::word),
    };
    let mut text = serde_json::to_string_pretty(&document)?;
    text.push('\n');
    Ok(text)
}

fn plan(plan: &ShimPlan) -> Plan {
    let shims = plan.shims.iter().filter_map(|(channel, shim)| {
        shim.as_ref().map(|shim| ShimKeys {
            channel: channel.word(),
            clock_deg: reduced_deg(shim.clock_deg),
            leaves_mm: shim.leaves_mm.clone(),
            ends: shim.ends.word(),
        })
    });
    Plan {
        plan: shims.collect(),
        // No number stands for circles that still do not meet.
        window_use: plan.score.is_finite().then_some(plan.score),
        crossing_arcmin: plan.crossing.map(pair),
    }
}

fn circle(fit: &CircleFit) -> Circle {
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
    }
}

fn crossing(crossing: &CrossingPoint) -> Crossing {
    Crossing {
        point_arcmin: pair(crossing.point),
        boresight_arcmin: crossing.boresight_arcmin,
        left_ring_deg: crossing.ring_deg.left,
        right_ring_deg: crossing.ring_deg.right,
        covariance_arcmin2: crossing.covariance_arcmin2,
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
