//! The first page, for the customer: what it is, how it came, how it leaves, and what to mind.

use record::calibrations::source::{certificate_told, map_from};
use record::remedies::shim;
use record::{
    Account, Conclusion, Differences, Measured, RoundAccount, Session, Station, Unit, Verdict,
};
use solver::{Channel, PerChannel, Setting, SettingKind};

use super::block::{Block, TextLook, label_room_pt, pair, paragraph};
use super::figures::{limits, moment, with_95};
use super::flow::Flow;
use super::looking;
use super::plot::{day, plotted, setting, solution, uncaptioned};
use super::standing::{loud, marks, sentences};
use super::table::{Table, words};
use super::wording;
use crate::cautions::CAUTIONS;
use crate::glossary::{AS_FOUND, AS_LEFT, Plainly, meaning};
use crate::layout::layout;
use crate::letters::Letters;
use crate::palette::Colour;
use crate::plane::{PLANE_KEY, plane, plane_alt, plane_words};
use crate::scene::Scene;
use crate::svg::described;
use crate::words::{
    arcmin, at_least, direction, equally_near, meeting_sentence, misalignment, percent, ring,
    sentence,
};

/// Labels of the unit and station columns.
const LABEL_PT: f64 = 62.0;
/// Between two columns.
const BETWEEN_PT: f64 = 16.0;
/// The field plot's side, and what it may be where there is less room.
const PLOT_PT: [f64; 4] = [218.0, 200.0, 182.0, 164.0];

pub(super) fn page(account: &Account, flow: &mut Flow<'_>) {
    let session = &account.session;
    letterhead(account, flow);
    title(session, flow);
    let mut plainly = Plainly::default();
    verdict(account, &mut plainly, flow);
    flow.gap(5.0);
    who_and_where(session, flow);
    came_and_leaves(account, &mut plainly, flow);
    flow.gap(3.0);
    picture_and_cautions(account, &mut plainly, flow);
    own_caution(account, flow);
}

/// Whose shop it is, as the shop says now; nothing where it has no letterhead.
fn letterhead(account: &Account, flow: &mut Flow<'_>) {
    let head = account.beside.as_ref().and_then(|beside| beside.letterhead.as_ref());
    let Some(head) = head else { return };
    flow.paragraph(&head.name, TextLook::BODY.bold());
    if !head.address.trim().is_empty() {
        flow.paragraph(&head.address, TextLook::BODY);
    }
    flow.gap(5.0);
}

fn title(session: &Session, flow: &mut Flow<'_>) {
    let unit = session.unit().map_or("not named", |unit| unit.name.as_str());
    flow.title(&super::title(unit));
    flow.gap(3.0);
}

fn verdict(account: &Account, plainly: &mut Plainly, flow: &mut Flow<'_>) {
    let verdict = account.verdict();
    // Nothing is green that is not signed, came back or cannot be relied on: its mark says what it is.
    let marked = !marks(account).is_empty();
    let colour = match verdict {
        Some(Verdict::Pass) if marked => Colour::INK,
        Some(Verdict::Pass) => Colour::INSIDE,
        Some(Verdict::Fail) => Colour::LOOK,
        _ => Colour::INK,
    };
    flow.paragraph(loud(verdict), TextLook::BODY.bold().sized(21.0).coloured(colour));
    if let Ok(conclusion) = &account.conclusion {
        // A station that cannot be shown to read right marks the verdict itself.
        for mark in conclusion.marks() {
            let text = format!("Marked: {mark}.");
            flow.paragraph(&text, TextLook::BODY.bold().coloured(Colour::LOOK));
        }
    }
    if verdict == Some(Verdict::Undecided) {
        flow.paragraph(meaning("undecided").unwrap_or_default(), TextLook::BODY);
    }
    for sentence in verdict_sentences(account) {
        flow.paragraph(&plainly.told(&sentence), TextLook::BODY);
    }
    for sentence in sentences(account) {
        flow.paragraph(&sentence, TextLook::BODY.bold());
    }
}

fn verdict_sentences(account: &Account) -> Vec<String> {
    let conclusion = match &account.conclusion {
        Ok(conclusion) => conclusion,
        Err(why) => return vec![sentence(&why.to_string())],
    };
    let Some(measured) = &conclusion.measured else {
        return vec![
            "Not measured: no confirm readings of both channels with the rings locked. What is said \
             of a setting below is a prediction."
                .to_owned(),
        ];
    };
    let mut said: Vec<String> = core::iter::once(measured)
        .chain(&conclusion.elsewhere)
        .flat_map(measured_sentences)
        .collect();
    said.push(rule_sentence(account, conclusion));
    let unmarked = conclusion.caveats.iter().filter(|caveat| !caveat.marks());
    let unmarked: Vec<String> = unmarked.map(|caveat| sentence(&caveat.to_string())).collect();
    if !unmarked.is_empty() {
        said.push(unmarked.join(" "));
    }
    said
}

/// What was measured at one position, and how sure that is.
fn measured_sentences(measured: &Measured) -> Vec<String> {
    let PerChannel { left, right } = measured.readings;
    let mut said = vec![format!(
        "Measured {} by {left} left and {right} right readings: {}; pointing {} from boresight; window \
         use {}.",
        measured.position,
        misalignment(measured.misalignment),
        arcmin(measured.boresight_arcmin),
        percent(measured.window_use.worst()),
    )];
    if let Some(judged) = &measured.judgement {
        said.push(format!(
            "The probability that it is inside is at least {}.",
            at_least(judged.inside_at_least())
        ));
    }
    if let Some(outlook) = measured.outlook {
        said.push(sentence(&outlook.sentence()));
    }
    said
}

fn rule_sentence(account: &Account, conclusion: &Conclusion) -> String {
    let window = account.session.window().map_or("", |window| window.name.as_str());
    let (rule, means) = (conclusion.rule.word(), conclusion.rule.means());
    format!("Judged by the {rule} rule of the window “{window}”: {means}.")
}

fn who_and_where(session: &Session, flow: &mut Flow<'_>) {
    let letters = flow.letters();
    let column_pt = (flow.width_pt() - BETWEEN_PT) / 2.0;
    let left = pairs(letters, column_pt, &unit_pairs(session));
    let right = pairs(letters, column_pt, &station_pairs(session));
    let tall = left.height_pt().max(right.height_pt()) > flow.left_pt();
    if tall {
        // Too long to stand side by side on this page: one under the other, over as many as it takes.
        flow.place(left.then(right));
    } else {
        flow.place(left.beside(right, column_pt + BETWEEN_PT));
    }
    flow.gap(4.0);
}

fn pairs(letters: &Letters, width_pt: f64, pairs: &[(&str, String)]) -> Block {
    let said = || pairs.iter().filter(|(_, says)| !says.trim().is_empty());
    let look = TextLook::BODY;
    let label_pt = label_room_pt(letters, said().map(|(label, _)| *label), LABEL_PT, look);
    said().fold(Block::default(), |block, (label, says)| {
        block.then(pair(letters, label, says, label_pt, width_pt, look))
    })
}

fn unit_pairs(session: &Session) -> Vec<(&'static str, String)> {
    let mut rows = Vec::new();
    if let Some(unit) = session.unit() {
        rows.push(("Unit", unit.name.clone()));
        rows.push(("Housing", unit.housing.clone()));
        rows.push(("Tubes", sides(unit, |unit, of| unit.tubes[of].serial.clone())));
        rows.push(("Eyepieces", sides(unit, |unit, of| unit.eyepieces[of].serial.clone())));
        rows.push(("Shims", sides(unit, shims)));
    }
    if let Some(setup) = session.setup.as_ref().map(|said| &said.body) {
        rows.push(("Job", setup.job.clone()));
        rows.push(("Customer", setup.customer.clone()));
        rows.push(("Complaint", setup.complaint.clone()));
        let ipd = setup.ipd_mm.as_ref().map(|ipd| format!("set to {} mm", ipd.shown()));
        rows.push(("Interpupillary distance", ipd.unwrap_or_default()));
    }
    rows
}

fn shims(unit: &Unit, of: Channel) -> String {
    unit.shims[of].iter().map(shim).collect::<Vec<_>>().join("; ")
}

fn sides(unit: &Unit, part: impl Fn(&Unit, Channel) -> String) -> String {
    let said = Channel::BOTH.into_iter().filter_map(|channel| {
        let says = part(unit, channel);
        (!says.is_empty()).then(|| format!("{} {says}", channel.word()))
    });
    said.collect::<Vec<_>>().join(", ")
}

fn station_pairs(session: &Session) -> Vec<(&'static str, String)> {
    let Some(station) = session.station() else {
        return vec![("Station", "none was named: readings were taken as arcminutes".to_owned())];
    };
    vec![
        ("Station", station.name.clone()),
        ("Calibration", calibration(session, station)),
        ("Checked", checked(session, station)),
        ("Reads to", reads_to(station)),
        ("Note", station.note.clone()),
    ]
}

fn calibration(session: &Session, station: &Station) -> String {
    let Some(calibration) = &station.calibration else { return "not stated".to_owned() };
    let done = calibration.done.map_or_else(String::new, |done| format!(", done {done}"));
    let state = day(session).map_or_else(String::new, |at| {
        let day = at.date();
        match station.in_calibration(day) {
            Some(true) => format!("; in calibration on {day}"),
            _ => format!("; OUT OF CALIBRATION on {day}"),
        }
    });
    let certificate = certificate_told(&calibration.certificate);
    format!(
        "certificate {certificate}{done}, due {}{state}; {}",
        calibration.due,
        map_from(station)
    )
}

fn checked(session: &Session, station: &Station) -> String {
    let read =
        day(session).is_some_and(|at| session.was_checked_unjudged(&station.name, at.date()));
    let Some(check) = &station.checked else {
        return if read {
            "its check standard was read that day, and no limits judge it yet".to_owned()
        } else {
            "no check noted".to_owned()
        };
    };
    let result = if check.passed { "read right" } else { "DID NOT READ RIGHT" };
    let when = match day(session) {
        Some(at) if at.date() != check.time.date() => ", not on the day of this work",
        _ => "",
    };
    let note = if check.note.is_empty() { String::new() } else { format!(": {}", check.note) };
    format!("{}, {result}{when}{note}", moment(check.time))
}

fn reads_to(station: &Station) -> String {
    match station.spread.sigma_arcmin {
        Some(sigma) => {
            format!("standard uncertainty of a reading {}", crate::words::number(sigma, 2) + "′")
        }
        None => "no uncertainty stated: it is seen in the readings".to_owned(),
    }
}

fn came_and_leaves(account: &Account, plainly: &mut Plainly, flow: &mut Flow<'_>) {
    let found = record::as_found(&account.session);
    let left = account.conclusion.as_ref().ok().and_then(|conclusion| conclusion.measured.as_ref());
    let no = || "not measured".to_owned();
    let mut table = Table::new(vec![words("", 0.26), words(AS_FOUND, 0.37), words(AS_LEFT, 0.37)]);
    for column in &mut table.columns {
        column.look = TextLook::BODY;
    }
    for channel in Channel::BOTH {
        let crosshair = |point, count| match count {
            1 => format!("{} (1 reading)", direction(point)),
            _ => format!("{} (mean of {count} readings)", direction(point)),
        };
        let found = found
            .and_then(|found| Some(crosshair(found.points[channel]?, found.readings[channel])));
        let left = left.map(|left| crosshair(left.points[channel], left.readings[channel]));
        let name = format!("{} crosshair", channel.word());
        table.row([name, found.unwrap_or_else(no), left.unwrap_or_else(no)]);
    }
    let together = found.and_then(|found| found.together);
    table.row([
        "what it asks".to_owned(),
        together.map_or_else(no, |both| misalignment(both.misalignment)),
        left.map_or_else(no, |left| misalignment(left.misalignment)),
    ]);
    table.row([
        plainly.told("from boresight"),
        together.map_or_else(no, |both| arcmin(both.boresight_arcmin)),
        left.map_or_else(no, |left| arcmin(left.boresight_arcmin)),
    ]);
    table.row([
        plainly.told("window use"),
        together.and_then(|both| both.window_use).map_or_else(no, |used| percent(used.worst())),
        left.map_or_else(no, |left| percent(left.window_use.worst())),
    ]);
    table.row(["looking test".to_owned(), "–".to_owned(), looking::as_left(account)]);
    flow.table(table);
}

/// The plot with what it comes to, and the cautions. These stay on the first page wherever it can hold them: the plot
/// is drawn smaller for them, and goes overleaf where that is not enough.
fn picture_and_cautions(account: &Account, plainly: &mut Plainly, flow: &mut Flow<'_>) {
    let cautions = cautions(flow);
    let said = beside_picture(account, plainly);
    for plot_pt in PLOT_PT {
        let all = picture(account, &said, plot_pt, flow).then(Block::gap(6.0));
        if all.height_pt() + cautions.height_pt() <= flow.left_pt() {
            flow.place(all.then(cautions));
            return;
        }
    }
    flow.place_whole(cautions);
    flow.gap(6.0);
    flow.place(picture(account, &said, PLOT_PT[0], flow));
}

fn picture(
    account: &Account,
    said: &[(String, Vec<String>)],
    plot_pt: f64,
    flow: &Flow<'_>,
) -> Block {
    let letters = flow.letters();
    let plot = if let Some((round, found)) = differences_alone(account) {
        let solution = found.answer.as_ref().and_then(|answer| answer.as_ref().ok());
        let left = found.set.map(|set| set.setting.misalignment);
        let told = plane_words(found.seqs.len(), solution, left);
        let numbers = reading_numbers(&account.session, round, found);
        let window = account.session.window().map(|window| window.limits);
        let ink = plane(found, &numbers, window, plot_pt, letters);
        let alt = plane_alt(&told);
        let under = paragraph(letters, PLANE_KEY, plot_pt, TextLook::QUIET.sized(6.4));
        Block::picture(letters, plot_pt, ink, alt).then(Block::gap(2.0)).then(under)
    } else {
        let scene = uncaptioned(account);
        let ink = layout(&scene, [0.0, 0.0], [plot_pt, plot_pt], letters);
        Block::picture(letters, plot_pt, ink, plot_words(&scene))
    };
    let side_pt = flow.width_pt() - plot_pt - BETWEEN_PT;
    let mut side = Block::default();
    for (label, says) in said {
        side = side.then(paragraph(letters, label, side_pt, TextLook::BODY.bold()));
        for line in says {
            side = side.then(paragraph(letters, line, side_pt, TextLook::BODY));
        }
        side = side.then(Block::gap(3.5));
    }
    if side.height_pt() <= PLOT_PT[0] * 1.3 {
        plot.beside(side, plot_pt + BETWEEN_PT)
    } else {
        plot.then(Block::gap(4.0)).then(side)
    }
}

/// The round to show where a station shows differences, and no direction was read.
fn differences_alone(account: &Account) -> Option<(&RoundAccount, &Differences)> {
    let round = plotted(account).filter(|round| round.solution.is_none())?;
    round.differences.as_ref().map(|found| (round, found))
}

/// What its readings are called by.
fn reading_numbers(session: &Session, round: &RoundAccount, found: &Differences) -> Vec<usize> {
    let round = session.round_of(round.id);
    let entry = |seq| round.and_then(|round| round.readings.iter().find(|entry| entry.seq == seq));
    let number = |seq| entry(seq).map_or(0, |entry| entry.number);
    found.seqs.iter().map(|&seq| number(seq)).collect()
}

/// The field plot in words.
fn plot_words(scene: &Scene) -> String {
    format!("Field plot. {}", described(scene))
}

fn beside_picture(account: &Account, plainly: &mut Plainly) -> Vec<(String, Vec<String>)> {
    let session = &account.session;
    let mut said = Vec::new();
    if let Some((_, found)) = differences_alone(account) {
        said.push((plainly.told("Setting, as predicted"), found.words()));
    } else if let Some(round) = plotted(account) {
        let solution = solution(round);
        let circles = Channel::BOTH.map(|channel| match solution.map(|s| &s.fits[channel]) {
            Some(Ok(fit)) => {
                format!(
                    "{channel}: centre {}; radius {}",
                    direction(fit.circle.centre),
                    with_95(fit.circle.radius_arcmin, fit.half_width_95(2), "′")
                )
            }
            Some(Err(why)) => sentence(&why.to_string()),
            None => format!("{channel}: not known"),
        });
        said.push((plainly.told("Offset circles"), circles.to_vec()));
        if let Some(meeting) = solution.and_then(|solution| solution.meeting.as_ref()) {
            let head = plainly.told("Crossing points");
            let mut lines: Vec<String> = meeting
                .crossings()
                .map(|place| {
                    let out = arcmin(place.boresight_arcmin);
                    format!("{}, {out} from boresight", direction(place.point))
                })
                .collect();
            if lines.is_empty() {
                lines.push(meeting_sentence(meeting));
            }
            lines.extend(equally_near(meeting));
            said.push((head, lines));
        }
        if let Some(setting) = setting(session, round) {
            let head = plainly.told("Setting, as predicted");
            let lines = setting_lines(session, &setting);
            said.push((head, lines.iter().map(|line| plainly.told(line)).collect()));
        }
    }
    if let Some(window) = session.window() {
        let lines = vec![
            format!("{}: {}.", window.name, limits(window)),
            format!("Source: {}.", window.source.trim_end_matches('.')),
        ];
        said.push((plainly.told("Tolerance window"), lines));
    }
    said
}

fn setting_lines(session: &Session, setting: &Setting) -> Vec<String> {
    let step_deg = session.housing().map_or(1.0, |housing| housing.ring_step_deg);
    let rings: Vec<String> = Channel::BOTH
        .into_iter()
        .map(|channel| match setting.ring_deg[channel] {
            Some(deg) => format!("{} ring at {}", channel.word(), ring(deg, step_deg)),
            None => format!(
                "{} ring where the crosshair is at {}",
                channel.word(),
                direction(setting.points[channel])
            ),
        })
        .collect();
    let kind = match setting.kind {
        SettingKind::Crossing => "at a crossing point",
        SettingKind::Compromise => "the best compromise",
        SettingKind::ByHand => "the hand's own choice",
    };
    let used = setting
        .window_use
        .map_or_else(String::new, |used| format!("; {} of the window", percent(used.worst())));
    vec![
        format!("{}: {kind}.", sentence(&rings.join(", ")).trim_end_matches('.')),
        format!("{}{used}.", sentence(&misalignment(setting.misalignment)).trim_end_matches('.')),
    ]
}

/// What the shop cautions of itself: after the usual cautions, and in place of none.
fn own_caution(account: &Account, flow: &mut Flow<'_>) {
    let own = wording::of(account).map_or("", |wording| wording.caution.trim());
    if !own.is_empty() {
        flow.gap(3.0);
        flow.paragraph(own, TextLook::BODY);
    }
}

fn cautions(flow: &Flow<'_>) -> Block {
    let letters = flow.letters();
    let column_pt = (flow.width_pt() - BETWEEN_PT) / 2.0;
    let look = TextLook::QUIET.sized(6.4);
    let column = |cautions: &[&str]| {
        cautions.iter().fold(Block::default(), |block, caution| {
            block.then(paragraph(letters, caution, column_pt, look)).then(Block::gap(1.5))
        })
    };
    let (left, right) = CAUTIONS.split_at(CAUTIONS.len().div_ceil(2) - 1);
    let head = paragraph(letters, "Cautions", flow.width_pt(), TextLook::BODY.bold());
    let both = column(left).beside(column(right), column_pt + BETWEEN_PT);
    head.then(both)
}
