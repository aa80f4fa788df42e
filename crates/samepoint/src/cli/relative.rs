//! `samepoint solve` of differences: both offsets, and rings that agree, without boresight.

use std::fmt::{self, Write as _};

use serde::Serialize;
use solver::relative::{
    RelativeFit, RelativeProblem, RelativeReading, RelativeSetting, RelativeSolution,
    solve_relative,
};
use solver::{Channel, PerChannel, SenseBasis, SettingKind, turn};

use super::arguments::Solve;
use super::figures::{arcmin, counted, degrees, percent, ring};
use super::sentences::broken;
use super::{Outcome, figures};

/// Solves and words it.
pub(super) fn run(asked: &Solve, readings: Vec<RelativeReading>) -> Outcome {
    let file = figures::path(&asked.readings);
    for (given, name) in [
        (asked.ring_sigma.is_some_and(|deg| deg > 0.0), "--ring-sigma"),
        (asked.swing.is_some(), "--swing"),
        (asked.housing.is_some(), "--housing"),
    ] {
        if given {
            return Outcome::refused(format!(
                "{name} with differences: these readings do not say where boresight is, nor weigh a \
                 ring angle; leave {name} out"
            ));
        }
    }
    let choice = asked.sense.choice();
    let problem = RelativeProblem {
        readings,
        sigma_arcmin: asked.sigma,
        sense: PerChannel { left: choice, right: choice },
        window: asked.window,
        rings_now_deg: None,
    };
    let solution = match solve_relative(&problem) {
        Ok(solution) => solution,
        Err(error) => return Outcome::refused(format!("{file}: {error}")),
    };
    let text = if asked.json {
        json(&solution)
    } else {
        let mut page = String::new();
        // Writing into a string cannot fail.
        let _ = write_page(&mut page, &file, &solution);
        Ok(page)
    };
    match text {
        Ok(text) => Outcome::Answered { text, code: u8::from(!is_good(&solution)) },
        Err(error) => Outcome::refused(format!("the answer cannot be written as JSON: {error}")),
    }
}

/// Inside the window's box, or without a window, rings that agree.
fn is_good(solution: &RelativeSolution) -> bool {
    let setting = &solution.setting;
    setting.window_use.map_or(setting.kind == SettingKind::Crossing, |used| used.is_inside())
}

fn verdict(solution: &RelativeSolution) -> &'static str {
    match solution.setting.window_use {
        None => "no window",
        Some(_) if is_good(solution) => "inside",
        Some(_) => "outside",
    }
}

fn write_page(page: &mut String, file: &str, solution: &RelativeSolution) -> fmt::Result {
    let fit = &solution.fit;
    writeln!(page, "{file}: {} of the difference\n", counted(fit.residuals.len(), "reading"))?;
    writeln!(page, "{:<8}{:>8} {:>11}   runs", "Offsets", "radius", "uncertainty")?;
    for (channel, offset) in fit.offsets.iter() {
        let known = offset.radius_u_arcmin.map_or_else(|| "unknown".to_owned(), arcmin);
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
    page.push_str(&broken("  ", "Standard uncertainties; ring angles taken as exact."));
    writeln!(
        page,
        "  right centre from left: x {}, y {}; rms off {}",
        arcmin(fit.between.x_arcmin),
        arcmin(fit.between.y_arcmin),
        arcmin(fit.rms_arcmin)
    )?;
    for (channel, offset) in fit.offsets.iter().filter(|(_, offset)| offset.is_hardly_known()) {
        let text = format!(
            "{channel}: the radius, {}, is less than twice its uncertainty; read at more ring angles.",
            arcmin(offset.radius_arcmin)
        );
        page.push_str(&broken("! ", &text));
    }
    for (place, _) in standing_out(fit) {
        let text = format!("Reading {place} stands out from the others; read it again.");
        page.push_str(&broken("! ", &text));
    }
    page.push('\n');
    let setting = &solution.setting;
    if setting.kind == SettingKind::Crossing {
        set(page, "Set the rings", setting)?;
        if let Some(other) = &solution.other {
            set(page, "Or", other)?;
            page.push_str(&broken("  ", "The pair that takes the less turning comes first."));
        }
    } else {
        let text = format!(
            "No setting makes both channels agree; at best {} are left.",
            arcmin(setting.misalignment.length_arcmin())
        );
        page.push_str(&broken("", &text));
        set(page, "Set the rings", setting)?;
    }
    page.push_str(&broken(
        "  ",
        "Turns are from the last reading, clockwise as you look into the eyepiece.",
    ));
    page.push('\n');
    for caution in solution.cautions() {
        page.push_str(&broken("! ", caution));
    }
    match setting.window_use {
        Some(used) => {
            writeln!(page, "Window use {}. Verdict: {}", percent(used.worst()), verdict(solution))?;
        }
        None => {
            writeln!(page, "Verdict: no window. Nothing is judged; --window states the limits.")?;
        }
    }
    let caution = "A solve predicts, it does not measure. Set the rings, tighten the locks, then \
                   read the difference again.";
    write!(page, "\n{}", broken("", caution))
}

/// One pair of ring targets, in columns.
fn set(page: &mut String, title: &str, setting: &RelativeSetting) -> fmt::Result {
    writeln!(page, "{title:<18}{:>8} {:>11}   turn", "to", "uncertainty")?;
    for channel in Channel::BOTH {
        let by = setting.turn_deg[channel];
        let amount = degrees(by.abs(), 1.0);
        let way = if amount == degrees(0.0, 1.0) {
            "stay".to_owned()
        } else if by > 0.0 {
            format!("{amount} clockwise")
        } else {
            format!("{amount} counter-clockwise")
        };
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
struct Document {
    format: u32,
    relative: RelativeKeys,
    relation: &'static str,
    setting: SettingKeys,
    other_setting: Option<SettingKeys>,
    cautions: Vec<&'static str>,
    verdict: &'static str,
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
    standing_out: Vec<StandingOut>,
}

#[derive(Serialize)]
struct OffsetKeys {
    radius_arcmin: f64,
    phase_deg: f64,
    sense: &'static str,
}

#[derive(Serialize)]
struct StandingOut {
    reading: usize,
    p: Option<f64>,
}

#[derive(Serialize)]
struct SettingKeys {
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

fn json(solution: &RelativeSolution) -> Result<String, serde_json::Error> {
    let fit = &solution.fit;
    let offset = |channel: Channel| OffsetKeys {
        radius_arcmin: fit.offsets[channel].radius_arcmin,
        phase_deg: fit.offsets[channel].phase.zero_deg,
        sense: fit.offsets[channel].phase.sense.word(),
    };
    let document = Document {
        format: 1,
        relative: RelativeKeys {
            centre_difference_arcmin: [fit.between.x_arcmin, fit.between.y_arcmin],
            left: offset(Channel::Left),
            right: offset(Channel::Right),
            readings: fit.residuals.len(),
            degrees_of_freedom: fit.degrees_of_freedom,
            rms_arcmin: fit.rms_arcmin,
            covariance: fit.covariance,
            standing_out: standing_out(fit)
                .map(|(reading, p)| StandingOut { reading, p })
                .collect(),
        },
        relation: solution.relation.word(),
        setting: setting_keys(&solution.setting),
        other_setting: solution.other.as_ref().map(setting_keys),
        cautions: solution.cautions().collect(),
        verdict: verdict(solution),
    };
    serde_json::to_string_pretty(&document).map(|text| text + "\n")
}

fn setting_keys(setting: &RelativeSetting) -> SettingKeys {
    let ring_u = |channel: Channel| setting.ring_u_deg[channel].map(|u| u.standard);
    SettingKeys {
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
