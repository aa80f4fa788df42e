//! The answer for a person at the bench: sentences and aligned figures, what to turn where.

use std::fmt::{self, Write as _};

use paper::words::number;
use record::figures::Turned;
use solver::fit::{SenseBasis, SigmaBasis};
use solver::{
    Channel, CircleFit, CrossingPoint, NoSetting, Relation, Sense, Setting, SettingKind, Turn,
    Window, turn,
};

use super::answer::{SettingVerdict, SolveAnswer};
use super::figures::{
    arcmin, counted_s, degrees_short, direction, equally_near, meeting_sentence, misalignment,
    percent, percent_short,
};
use super::sentences::broken;

/// The whole answer.
pub(super) fn text(answer: &SolveAnswer<'_>) -> String {
    let mut page = String::new();
    // Writing into a string cannot fail.
    let _ = write_page(&mut page, answer);
    page
}

fn write_page(page: &mut String, answer: &SolveAnswer<'_>) -> fmt::Result {
    let counts = answer.fits.map(|fit| fit.readings);
    writeln!(
        page,
        "{}: {} of the left channel, {} of the right\n",
        answer.file,
        counted_s(counts.left, "reading"),
        counts.right
    )?;
    circles(page, answer)?;
    meeting(page, answer)?;
    match &answer.solution.setting {
        Ok(setting) => set_here(page, answer, setting)?,
        Err(why) => nothing_recommended(page, answer, *why)?,
    }
    answer.certainty.write(page, answer.fits, answer.meeting.nearest());
    if let (Some(remedies), Some(housing)) = (&answer.remedies, answer.housing) {
        remedies.write(page, housing, answer.solution.misfits().next().is_some())?;
    }
    let caution = "This is predicted, not measured. Set the rings, tighten the locks, then read both \
                   channels again.";
    write!(page, "\n{}", broken("", caution))
}

fn circles(page: &mut String, answer: &SolveAnswer<'_>) -> fmt::Result {
    writeln!(
        page,
        "Offset circles\n{:<8}{:>8} {:>8} {:>8} {:>11} {:>8}   runs",
        "", "centre x", "y", "radius", "uncertainty", "rms off"
    )?;
    for (channel, fit) in answer.fits.iter() {
        let uncertainty = match fit.radius_u_arcmin() {
            _ if fit.does_not_fit() => "not stated".to_owned(),
            known => known.map_or_else(|| "unknown".to_owned(), arcmin),
        };
        writeln!(
            page,
            "  {:<6}{} {:>8} {:>11} {:>8}   {}",
            channel.word(),
            direction(fit.circle.centre),
            arcmin(fit.circle.radius_arcmin),
            uncertainty,
            arcmin(fit.rms_arcmin),
            sense_in_short(fit)
        )?;
    }
    page.push_str(&broken("  ", &basis(answer)));
    for (channel, fit) in answer.fits.iter() {
        remarks(page, channel, fit);
    }
    if answer.solution.senses_differ() {
        page.push_str(&broken(
            "! ",
            "The two crosshairs run opposite ways round, which the optics cannot do: a flip in the \
             station's map is wrong, or one ring is numbered backwards.",
        ));
    }
    writeln!(page)
}

fn sense_in_short(fit: &CircleFit) -> String {
    match (fit.circle.phase.map(|phase| phase.sense), fit.sense_basis) {
        (None, _) => "no ring angles".to_owned(),
        (Some(sense), Some(SenseBasis::Assumed)) => format!("{}, assumed", turn::runs(sense)),
        (Some(sense), Some(SenseBasis::Doubted)) => format!("{}, open", turn::runs(sense)),
        (Some(sense), Some(SenseBasis::Given)) => format!("{}, told", turn::runs(sense)),
        (Some(sense), _) => turn::runs(sense).to_owned(),
    }
}

/// Said where no uncertainty of ring angles is stated.
pub(super) const RINGS_EXACT: &str = "ring angles taken as exact";

/// What the uncertainties rest on.
fn basis(answer: &SolveAnswer<'_>) -> String {
    let spread = answer.problem.spread;
    match spread.sigma_arcmin {
        Some(sigma) => {
            let rings = if spread.ring_sigma_deg > 0.0 {
                format!("{}° for a ring angle", spread.ring_sigma_deg)
            } else {
                RINGS_EXACT.to_owned()
            };
            format!(
                "Standard uncertainties, from the stated {sigma}′ for a reading, each axis; {rings}."
            )
        }
        None if answer.fits.iter().any(|(_, fit)| fit.sigma_basis == SigmaBasis::Step) => {
            let step = |channel| answer.problem.step_arcmin[channel].unwrap_or_default();
            format!(
                "Standard uncertainties, from how far the readings lie off their circles, but no less than \
                 the last decimal in the file tells ({}′): closer than that they were not read. Ring \
                 angles taken as exact.",
                step(Channel::Left).max(step(Channel::Right))
            )
        }
        None => "Standard uncertainties, from how far the readings lie off their circles; ring \
                 angles taken as exact."
            .to_owned(),
    }
}

fn remarks(page: &mut String, channel: Channel, fit: &CircleFit) {
    let mut remark = |mark, text: &str| page.push_str(&broken(mark, &format!("{channel}: {text}")));
    if fit.sigma_basis == SigmaBasis::Unknown {
        remark(
            "  ",
            "no reading to spare, so its uncertainty is unknown; log more, or give --sigma.",
        );
    }
    if fit.arc_too_short() {
        remark(
            "! ",
            "arc too short. The radius is less than twice its uncertainty; read farther round the \
             ring.",
        );
    }
    match (fit.circle.phase.map(|phase| phase.sense), fit.sense_basis) {
        (Some(_), Some(SenseBasis::Doubted)) => remark(
            "! ",
            "which way round the crosshair runs is not settled: all readings fit better against the ring, \
             and all but one fit well with it. With the ring is used; look at the reading that stands out.",
        ),
        (Some(_), Some(SenseBasis::Assumed)) => remark(
            "  ",
            "these readings cannot tell which way round the crosshair runs; with the ring is what \
             the optics give. A third ring angle, well away, would tell.",
        ),
        (Some(Sense::Against), _) => remark(
            "! ",
            "by the optics the crosshair runs with the ring. Here it runs against it: a flip in the \
             station's map is wrong, or the ring is numbered backwards. Find out which before \
             anything is shimmed.",
        ),
        _ => {}
    }
}

fn meeting(page: &mut String, answer: &SolveAnswer<'_>) -> fmt::Result {
    page.push_str(&broken("", &meeting_sentence(answer.meeting)));
    if answer.short_arc().is_some() {
        writeln!(page, "  With an arc too short that may change altogether.")?;
    }
    if answer.meeting.nearest().is_some() {
        writeln!(
            page,
            "{:<18}{:>8} {:>8} {:>9} {:>17}",
            "  crossing point", "x", "y", "boresight", "uncertainty x, y"
        )?;
    }
    let recommends = answer.recommends_a_crossing();
    for (place, crossing) in answer.meeting.crossings().enumerate() {
        let name = match place {
            0 if recommends => "meet here",
            0 => "nearest",
            _ => "the other",
        };
        writeln!(
            page,
            "  {name:<16}{} {:>9} {:>17}",
            direction(crossing.point),
            arcmin(crossing.boresight_arcmin),
            place_uncertainty(answer, crossing)
        )?;
    }
    if let Some(sentence) = equally_near(answer.meeting) {
        page.push_str(&broken("  ", &sentence));
    }
    if answer.meeting.relation == Relation::Crossing && recommends {
        page.push_str(&broken(
            "  ",
            "The nearest to boresight is kept: as the pods swing to fit the user's eyes, a crossing \
             point comes apart, the more the farther out it lies.",
        ));
    }
    Ok(())
}

fn place_uncertainty(answer: &SolveAnswer<'_>, crossing: &CrossingPoint) -> String {
    if answer.solution.misfits().next().is_some() {
        return "not stated".to_owned();
    }
    crossing.covariance_arcmin2.map_or_else(
        || "unknown".to_owned(),
        |[[xx, _], [_, yy]]| format!("{} {:>6}", arcmin(xx.sqrt()), arcmin(yy.sqrt())),
    )
}

fn set_here(page: &mut String, answer: &SolveAnswer<'_>, setting: &Setting) -> fmt::Result {
    let window = answer.problem.window;
    let circles = answer.fits.map(|fit| &fit.circle);
    let set = setting.rounded_to(circles, answer.step_deg, window);
    if setting.kind == SettingKind::Compromise {
        let why = match (answer.meeting.nearest(), window) {
            (Some(_), _) => {
                "No crossing point is inside the window. The best compromise is the \
                             setting that uses least of it, over all settings of both rings."
            }
            (None, Some(_)) => {
                "The best compromise is the setting that uses least of the window, \
                                over all settings of both rings."
            }
            (None, None) => {
                "The best compromise is the setting that leaves the crosshairs least \
                             apart, over all settings of both rings."
            }
        };
        write!(page, "\n{}", broken("", why))?;
    }
    writeln!(
        page,
        "\n{:<18}{:>8}   {:<33}{:>8} {:>8}",
        "Set the rings", "to", "turn", "reads x", "y"
    )?;
    for channel in Channel::BOTH {
        let ring = |deg| paper::words::ring(deg, answer.step_deg);
        let to = set.ring_deg[channel].map_or_else(|| "until".to_owned(), ring);
        writeln!(
            page,
            "  {:<16}{to:>8}   {:<33}{}",
            format!("{channel} ring"),
            turning(answer, channel, &set),
            direction(set.points[channel])
        )?;
    }
    page.push_str(&broken(
        "  ",
        "Clockwise is as you look into the eyepiece. Rings have play: end each turn the way you \
         turned while logging.",
    ));
    if Channel::BOTH.iter().any(|&channel| set.ring_deg[channel].is_none()) {
        page.push_str(&broken(
            "  ",
            "Without ring angles turn until the crosshair reads what is given; it runs round its \
             circle as said.",
        ));
    }
    page.push('\n');
    page.push_str(&broken("", &format!("Set so: {}.", misalignment(set.misalignment))));
    writeln!(page, "Both channels then point {} from boresight.\n", arcmin(set.boresight_arcmin))?;
    match (window, answer.verdict()) {
        (Some(window), Some(verdict)) => {
            window_use(page, answer, window, &set, verdict)?;
            over_swing(page, answer)
        }
        (Some(_), None) => {
            let words = "Verdict: none. The readings do not fit what they are said to scatter by, so \
                         nothing is held against the window.";
            page.push_str(&broken("! ", words));
            Ok(())
        }
        (None, _) => {
            writeln!(page, "Verdict: no window. Nothing is judged; --window states the limits.")
        }
    }
}

/// The turn from where the ring was last read, in words.
fn turning(answer: &SolveAnswer<'_>, channel: Channel, set: &Setting) -> String {
    let circle = &answer.fits[channel].circle;
    let Some(now) = answer.last_reading(channel) else { return String::new() };
    let (target, target_deg) = (set.points[channel], set.ring_deg[channel]);
    let Some(turn) = Turn::between(circle, now.direction, now.ring_deg, target, target_deg) else {
        return String::new();
    };
    let decimals = paper::words::step_decimals(answer.step_deg);
    let way = Turned::or_stay(turn.clockwise_deg, decimals);
    match now.ring_deg {
        Some(now_deg) if turn.of_ring => format!("{way} from {}", degrees_short(now_deg)),
        _ => format!("crosshair {way}"),
    }
}

fn window_use(
    page: &mut String,
    answer: &SolveAnswer<'_>,
    window: Window,
    set: &Setting,
    verdict: SettingVerdict,
) -> fmt::Result {
    let Some(used) = set.window_use else { return Ok(()) };
    writeln!(page, "{:<18}{:>8} {:>8}", "Window use", "limit", "use")?;
    let side_limit = if set.misalignment.x_arcmin > 0.0 {
        window.divergence_arcmin()
    } else {
        window.convergence_arcmin()
    };
    let parts = [
        ("side to side", Some(side_limit), Some(used.side_to_side)),
        ("up and down", Some(window.dipvergence_arcmin()), Some(used.up_and_down)),
        ("from boresight", window.boresight_arcmin(), used.from_boresight),
    ];
    for (name, limit, share) in parts {
        if let (Some(limit), Some(share)) = (limit, share) {
            writeln!(page, "  {name:<16}{:>8} {:>8}", arcmin(limit), percent_short(share))?;
        }
    }
    writeln!(page, "Verdict: {}", verdict.word())?;
    if verdict == SettingVerdict::Inside && !used.is_inside() {
        page.push_str(&broken(
            "! ",
            &format!(
                "Rounded to the ring's step of {} it would be outside: set the rings finer than that.",
                degrees_short(answer.step_deg)
            ),
        ));
    }
    Ok(())
}

/// What becomes of the setting as the pods swing.
fn over_swing(page: &mut String, answer: &SolveAnswer<'_>) -> fmt::Result {
    let (Some(worst), Some(range)) = (answer.solution.over_swing, answer.problem.swing) else {
        return Ok(());
    };
    let used = worst.used;
    let at = number(worst.at_deg, 1);
    writeln!(
        page,
        "Over the swing from {}° to {}° it uses at most {} of the window, at {at}°.",
        number(range.low_deg(), 1),
        number(range.high_deg(), 1),
        percent(used.worst())
    )?;
    if !used.is_inside() {
        page.push_str(&broken(
            "! ",
            "Set so, it is outside for part of the swing: right at one interpupillary distance, \
             wrong at another.",
        ));
    }
    Ok(())
}

fn nothing_recommended(page: &mut String, answer: &SolveAnswer<'_>, why: NoSetting) -> fmt::Result {
    let sentence = match why {
        NoSetting::ArcTooShort(channel) => format!(
            "No setting is recommended: the {channel} channel's readings cover too short an arc."
        ),
        NoSetting::CircleMissing => "No setting is recommended: a circle is missing.".to_owned(),
    };
    write!(page, "\n{}", broken("", &sentence))?;
    if answer.problem.window.is_some() {
        writeln!(page, "Nothing is held against the window.")?;
    }
    Ok(())
}
