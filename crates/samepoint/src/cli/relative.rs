//! `samepoint solve` of differences: both offsets, and rings that agree, without boresight.

use std::fmt::{self, Write as _};

use record::difference_words::{certainty, read_next, stands, stands_out, unsure};
use record::differences::{self, Set};
use record::figures::Turned;
use record::import_csv::relative::ImportedDifferences;
use serde::Serialize;
use solver::relative::{
    RelativeFit, RelativeProblem, RelativeSetting, RelativeSolution, WindowStatus, solve_relative,
};
use solver::{Channel, PerChannel, SenseBasis, SettingKind, turn};

use super::arguments::Solve;
use super::figures::{arcmin, counted_s, percent, ring};
use super::plain::RINGS_EXACT;
use super::refusal::{CommandRefusal, RefusalKind};
use super::sentences::broken;
use super::{Outcome, figures};

/// Rings are set and read to whole degrees.
const STEP_DEG: f64 = 1.0;

/// Solves and words it.
pub(super) fn run(asked: &Solve, table: ImportedDifferences) -> Result<Outcome, CommandRefusal> {
    for (given, name) in
        [(asked.swing.is_some(), "--swing"), (asked.housing.is_some(), "--housing")]
    {
        if given {
            return Err(RefusalKind::WithDifferences(name).into());
        }
    }
    let spread = asked.spread()?;
    let choice = asked.sense.choice();
    let problem = RelativeProblem {
        readings: table.readings,
        sigma_arcmin: spread.sigma_arcmin,
        ring_sigma_deg: spread.ring_sigma_deg,
        ring_step_deg: STEP_DEG,
        step_arcmin: table.step_arcmin,
        sense: PerChannel { left: choice, right: choice },
        window: asked.window,
        rings_now_deg: None,
    };
    let solution =
        solve_relative(&problem).map_err(|error| RefusalKind::Solver(error).of(&asked.readings))?;
    let set = differences::set(&problem, &solution);
    let text = if asked.json {
        json(&solution, set.as_ref())?
    } else {
        let file = figures::path(&asked.readings);
        let mut page = String::new();
        // Writing into a string cannot fail.
        let _ = write_page(&mut page, &file, &problem, &solution, set.as_ref());
        page
    };
    Ok(Outcome::Answered { text, code: u8::from(!is_good(&solution, set.as_ref())) })
}

/// Inside the window's box, or without a window, rings that agree; never from readings that do not fit
/// or do not settle it.
fn is_good(solution: &RelativeSolution, set: Option<&Set>) -> bool {
    match set.map(|set| set.standing) {
        Some(WindowStatus::NoWindow) => solution.setting.kind == SettingKind::Crossing,
        Some(standing) => verdict(solution, Some(standing)) == Some("inside"),
        None => false,
    }
}

/// `None` where nothing is judged. It is of the setting before its angles are rounded, as for directions.
fn verdict(solution: &RelativeSolution, standing: Option<WindowStatus>) -> Option<&'static str> {
    match standing? {
        WindowStatus::Open | WindowStatus::DoesNotFit => None,
        WindowStatus::NoWindow => Some("no window"),
        standing => {
            let inside = solution.setting.window_use.is_some_and(|used| used.is_inside());
            match (inside, standing) {
                (true, WindowStatus::Outside) => Some("inside"),
                (true, _) => standing.counts_as_inside().then_some("inside"),
                (false, _) => Some("outside"),
            }
        }
    }
}

fn write_page(
    page: &mut String,
    file: &str,
    problem: &RelativeProblem,
    solution: &RelativeSolution,
    set: Option<&Set>,
) -> fmt::Result {
    let fit = &solution.fit;
    writeln!(page, "{file}: {} of the difference\n", counted_s(fit.residuals.len(), "reading"))?;
    writeln!(page, "{:<8}{:>8} {:>11}   runs", "Offsets", "radius", "uncertainty")?;
    for (channel, offset) in fit.offsets.iter() {
        let known = match offset.radius_u_arcmin {
            _ if fit.does_not_fit() => "not stated".to_owned(),
            known => known.map_or_else(|| "unknown".to_owned(), arcmin),
        };
        let runs = turn::runs(offset.phase.sense);
        let how = match offset.sense_basis {
            SenseBasis::Given => ", as told",
            SenseBasis::Assumed => ", assumed",
            SenseBasis::Doubted => ", not settled",
            SenseBasis::Found { .. } => "",
        };
        let radius = arcmin(offset.radius_arcmin);
        writeln!(page, "  {:<6}{radius:>8} {known:>11}   {runs}{how}", channel.word())?;
    }
    let rings = if problem.ring_sigma_deg > 0.0 {
        format!("{}° for a ring angle", problem.ring_sigma_deg)
    } else {
        RINGS_EXACT.to_owned()
    };
    page.push_str(&broken("  ", &format!("Standard uncertainties; {rings}.")));
    writeln!(
        page,
        "  right centre from left: x {}, y {}; rms off {}",
        arcmin(fit.between.x_arcmin),
        arcmin(fit.between.y_arcmin),
        arcmin(fit.rms_arcmin)
    )?;
    for (place, _) in standing_out(fit) {
        let text = stands_out(place);
        page.push_str(&broken("! ", &text));
    }
    for text in stands(solution) {
        page.push_str(&broken("! ", &text));
    }
    page.push('\n');
    let Some(set_to) = set else {
        page.push_str(&broken("", &read_next(solution)));
        return closing(page, solution, set);
    };
    let setting = &solution.setting;
    if setting.kind == SettingKind::Crossing {
        targets(page, "Set the rings", setting)?;
        if let Some(other) = &solution.other {
            targets(page, "Or", other)?;
            page.push_str(&broken("  ", "The pair that takes the less turning comes first."));
        }
    } else {
        let text = format!(
            "No setting makes both channels agree; at best {} are left.",
            arcmin(setting.misalignment.length_arcmin())
        );
        page.push_str(&broken("", &text));
        targets(page, "Set the rings", setting)?;
    }
    page.push_str(&broken(
        "  ",
        "Turns are from the last reading, clockwise as you look into the eyepiece.",
    ));
    let known = certainty(solution, set_to.spread.as_ref());
    if !known.is_empty() {
        page.push_str("\nHow sure\n");
    }
    for text in known {
        page.push_str(&broken("  ", &text));
    }
    closing(page, solution, set)
}

/// What is not known, the verdict, and that it is a prediction.
fn closing(page: &mut String, solution: &RelativeSolution, set: Option<&Set>) -> fmt::Result {
    page.push('\n');
    for caution in solution.cautions() {
        page.push_str(&broken("! ", caution));
    }
    let standing = set.map(|set| set.standing);
    if let Some(text) = standing.and_then(unsure) {
        page.push_str(&broken("! ", &format!("{text}.")));
    }
    match (verdict(solution, standing), solution.setting.window_use) {
        (Some(verdict), Some(used)) => {
            writeln!(page, "Window use {}. Verdict: {verdict}", percent(used.worst()))?;
        }
        (Some(verdict), None) => {
            writeln!(page, "Verdict: {verdict}. Nothing is judged; --window states the limits.")?;
        }
        (None, _) => writeln!(page, "No verdict: nothing is judged.")?,
    }
    let caution = "A solve predicts, it does not measure. Set the rings, tighten the locks, then \
                   read the difference again.";
    write!(page, "\n{}", broken("", caution))
}

/// One pair of ring targets, in columns.
fn targets(page: &mut String, title: &str, setting: &RelativeSetting) -> fmt::Result {
    writeln!(page, "{title:<18}{:>8} {:>11}   turn", "to", "uncertainty")?;
    for channel in Channel::BOTH {
        let by = setting.turn_deg[channel];
        let way = Turned::or_stay(by, paper::words::step_decimals(1.0));
        let known = setting.ring_u_deg[channel]
            .map_or_else(|| "unknown".to_owned(), |u| format!("{:.1}°", u.standard));
        let to = ring(setting.ring_deg[channel], 1.0);
        writeln!(page, "  {:<16}{to:>8} {known:>11}   {way}", format!("{channel} ring"))?;
    }
    Ok(())
}

/// Readings that stand out, counted from 1, with their p.
fn standing_out(fit: &RelativeFit) -> impl Iterator<Item = (usize, Option<f64>)> {
    (1..)
        .zip(&fit.residuals)
        .filter(|(_, off)| off.stands_out)
        .map(|(place, off)| (place, off.p_value))
}

#[derive(Serialize)]
struct RelativeDocument {
    format: u32,
    relative: RelativeKeys,
    relation: &'static str,
    setting: Option<RelativeSettingKeys>,
    other_setting: Option<RelativeSettingKeys>,
    cautions: Vec<&'static str>,
    /// Of the setting to the ring's step; `None` where nothing is recommended.
    set_to_step: Option<SetKeys>,
    /// What the readings leave open; empty where a setting is recommended.
    undetermined: Vec<String>,
    /// The pair of ring angles whose difference would tell most.
    read_next_deg: [f64; 2],
    verdict: Option<&'static str>,
}

/// What is said of the setting at 95 %.
#[derive(Serialize)]
struct SetKeys {
    left_ring_deg: f64,
    right_ring_deg: f64,
    misalignment_arcmin: [f64; 2],
    window_use: Option<f64>,
    left_ring_95_deg: Option<f64>,
    right_ring_95_deg: Option<f64>,
    misalignment_95_arcmin: Option<f64>,
    window_use_95: Option<f64>,
    probability_inside: Option<f64>,
}

/// `covariance` in the order D_x, D_y, r_L, φ_L, r_R, φ_R; arcminutes, degrees.
#[derive(Serialize)]
struct RelativeKeys {
    centre_difference_arcmin: [f64; 2],
    left: OffsetKeys,
    right: OffsetKeys,
    readings: usize,
    degrees_of_freedom: usize,
    rms_arcmin: f64,
    covariance: Option<[[f64; 6]; 6]>,
    chi_squared: Option<f64>,
    does_not_fit: bool,
    standing_out: Vec<RelativeStandingOut>,
}

#[derive(Serialize)]
struct OffsetKeys {
    radius_arcmin: f64,
    phase_deg: f64,
    sense: &'static str,
}

#[derive(Serialize)]
struct RelativeStandingOut {
    reading: usize,
    p: Option<f64>,
}

#[derive(Serialize)]
struct RelativeSettingKeys {
    kind: &'static str,
    left_ring_deg: f64,
    right_ring_deg: f64,
    left_turn_deg: f64,
    right_turn_deg: f64,
    left_ring_u_deg: Option<f64>,
    right_ring_u_deg: Option<f64>,
    misalignment_arcmin: [f64; 2],
    misalignment_u_arcmin: Option<f64>,
    window_use: Option<f64>,
}

fn json(solution: &RelativeSolution, set: Option<&Set>) -> Result<String, serde_json::Error> {
    let fit = &solution.fit;
    let offset = |channel: Channel| OffsetKeys {
        radius_arcmin: fit.offsets[channel].radius_arcmin,
        phase_deg: fit.offsets[channel].phase.zero_deg,
        sense: fit.offsets[channel].phase.sense.word(),
    };
    let document = RelativeDocument {
        format: 1,
        relative: RelativeKeys {
            centre_difference_arcmin: [fit.between.x_arcmin, fit.between.y_arcmin],
            left: offset(Channel::Left),
            right: offset(Channel::Right),
            readings: fit.residuals.len(),
            degrees_of_freedom: fit.degrees_of_freedom,
            rms_arcmin: fit.rms_arcmin,
            covariance: fit.covariance,
            chi_squared: fit.consistency.map(|found| found.chi_squared),
            does_not_fit: fit.does_not_fit(),
            standing_out: standing_out(fit)
                .map(|(reading, p)| RelativeStandingOut { reading, p })
                .collect(),
        },
        relation: solution.relation.word(),
        setting: set.map(|_| setting_keys(&solution.setting)),
        other_setting: set.and(solution.other.as_ref()).map(setting_keys),
        cautions: solution.cautions().collect(),
        set_to_step: set.map(set_keys),
        undetermined: solution.open.iter().map(ToString::to_string).collect(),
        read_next_deg: [solution.read_next_deg.left, solution.read_next_deg.right],
        verdict: verdict(solution, set.map(|set| set.standing)),
    };
    serde_json::to_string_pretty(&document).map(|text| text + "\n")
}

fn set_keys(set: &Set) -> SetKeys {
    let (setting, spread) = (&set.setting, set.spread.as_ref());
    SetKeys {
        left_ring_deg: setting.ring_deg.left,
        right_ring_deg: setting.ring_deg.right,
        misalignment_arcmin: [setting.misalignment.x_arcmin, setting.misalignment.y_arcmin],
        window_use: setting.window_use.map(|used| used.worst()),
        left_ring_95_deg: spread.and_then(|spread| spread.ring_95_deg.left),
        right_ring_95_deg: spread.and_then(|spread| spread.ring_95_deg.right),
        misalignment_95_arcmin: spread.map(|spread| spread.misalignment_95_arcmin),
        window_use_95: spread.and_then(|spread| spread.use_95),
        probability_inside: spread.and_then(|spread| spread.inside),
    }
}

fn setting_keys(setting: &RelativeSetting) -> RelativeSettingKeys {
    let ring_u = |channel: Channel| setting.ring_u_deg[channel].map(|u| u.standard);
    RelativeSettingKeys {
        kind: setting.kind.word(),
        left_ring_deg: setting.ring_deg.left,
        right_ring_deg: setting.ring_deg.right,
        left_turn_deg: setting.turn_deg.left,
        right_turn_deg: setting.turn_deg.right,
        left_ring_u_deg: ring_u(Channel::Left),
        right_ring_u_deg: ring_u(Channel::Right),
        misalignment_arcmin: [setting.misalignment.x_arcmin, setting.misalignment.y_arcmin],
        misalignment_u_arcmin: setting.misalignment_u.map(|u| u.standard),
        window_use: setting.window_use.map(|used| used.worst()),
    }
}
