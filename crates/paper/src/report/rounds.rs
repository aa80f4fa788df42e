//! A round for the specialist: circles, crossing points, every reading, and what was predicted
//! beside what was measured.

use record::fact::{
    PredictionBasis, Purpose, Remedy, RemedyTaken, Seen, SettingChosen, SettingSource,
    ShownPrediction,
};
use record::{Account, Differences, Entry, Round, RoundAccount, Value, remedies};
use solver::error::told;
use solver::remedy::clock_face::ClockFace;
use solver::{Channel, CircleFit, NoSetting, PerChannel, Solution};

use super::block::TextLook;
use super::clock_face;
use super::figures::{moment, with_95};
use super::flow::Flow;
use super::plot::solution;
use super::table::{ReportTable, figures, words};
use crate::palette::Colour;
use crate::words::{
    arcmin, counted, equally_near, listed, meeting_sentence, number, percent, push_number, ring,
};
use record::timeline::readings as timeline;

pub(super) fn pages(account: &Account, flow: &mut Flow<'_>) {
    for (index, round) in account.rounds.iter().enumerate() {
        let Some(folded) = account.session.round_of(round.id) else { continue };
        flow.heading(&format!(
            "Round {}: {}, opened {}",
            round.number,
            round.why.word(),
            moment(folded.time)
        ));
        if !folded.note.is_empty() {
            flow.paragraph(&folded.note, TextLook::BODY);
        }
        solved(round, flow);
        for (seq, chosen) in &folded.settings {
            flow.paragraph(&setting(*seq, chosen), TextLook::BODY);
        }
        flow.gap(3.0);
        readings(round, folded, flow);
        for (_, taken) in &folded.remedies {
            let next = account.rounds.get(index + 1);
            remedy(account, taken, next, flow);
        }
    }
}

fn solved(round: &RoundAccount, flow: &mut Flow<'_>) {
    for sentence in round.differences.iter().flat_map(Differences::words) {
        flow.paragraph(&sentence, TextLook::BODY);
    }
    match &round.solution {
        None if round.differences.is_some() => {}
        None => flow.paragraph("Nothing was logged.", TextLook::BODY),
        Some(Err(why)) => flow.paragraph(&format!("It cannot be solved: {why}."), TextLook::BODY),
        Some(Ok(found)) => {
            circles(round, found, flow);
            crossings(found, flow);
        }
    }
}

fn circles(round: &RoundAccount, found: &Solution, flow: &mut Flow<'_>) {
    let mut table = ReportTable::new(vec![
        words("", 5.0),
        figures("centre x ′", 10.0),
        figures("centre y ′", 10.0),
        figures("radius ′", 10.0),
        figures("at ring 0 °", 11.0),
        words("runs", 14.0),
        figures("readings (ring read)", 10.0),
        figures("rms ′", 6.0),
        figures("closure ′", 10.0),
    ]);
    for channel in Channel::BOTH {
        match &found.fits[channel] {
            Err(why) => flow.paragraph(&format!("{why}."), TextLook::BODY),
            Ok(fit) => {
                let closure = round.closure[channel]
                    .map_or_else(|| "–".to_owned(), |closed| direction_figures(closed.difference));
                table.row([
                    channel.to_string(),
                    with_95(fit.circle.centre.x_arcmin, fit.half_width_95(0), ""),
                    with_95(fit.circle.centre.y_arcmin, fit.half_width_95(1), ""),
                    with_95(fit.circle.radius_arcmin, fit.half_width_95(2), ""),
                    phase(fit),
                    sense(fit),
                    format!("{} ({})", fit.readings, fit.with_ring),
                    number(fit.rms_arcmin, 2),
                    closure,
                ]);
            }
        }
    }
    flow.table(table);
    for channel in Channel::BOTH {
        if let Ok(fit) = &found.fits[channel] {
            if let Some(odd) = fit.consistency().filter(|_| fit.does_not_fit()) {
                let text = format!(
                    "The {channel} readings do not fit what the station says they scatter by (χ² {} with {}): no \
                     ± is stated of this circle, and nothing that rests on it is judged. One was misread, of a \
                     wrong sign or of the other channel, or σ is not what is stated.",
                    number(odd.chi_squared, 1),
                    counted(odd.freedom, "degree of freedom", "degrees of freedom")
                );
                flow.paragraph(&text, TextLook::BODY.coloured(Colour::LOOK));
            }
            flow.paragraph(&covariance(channel, fit), TextLook::SMALL);
        }
    }
}

/// An angle of a ring or on a circle, degrees without their sign: under a head that has it.
fn angle(deg: f64) -> String {
    ring(deg, 0.1).trim_end_matches('°').to_owned()
}

fn phase(fit: &CircleFit) -> String {
    match &fit.circle.phase {
        None => "not read".to_owned(),
        Some(phase) => match fit.half_width_95(3) {
            Some(half) => format!("{} ± {}", angle(phase.zero_deg), number(half, 2)),
            None => angle(phase.zero_deg),
        },
    }
}

fn sense(fit: &CircleFit) -> String {
    let Some(phase) = &fit.circle.phase else { return "–".to_owned() };
    let basis = match fit.sense_basis {
        Some(solver::SenseBasis::Assumed) => "assumed",
        Some(solver::SenseBasis::Doubted) => "not settled",
        Some(solver::SenseBasis::Given) => "given",
        Some(solver::SenseBasis::Found { .. }) => "found",
        None => "",
    };
    format!("{} the ring, {basis}", phase.sense.word())
}

fn covariance(channel: Channel, fit: &CircleFit) -> String {
    let Some(covariance) = &fit.covariance else {
        return format!(
            "{channel}: no covariance, since no uncertainty is stated and no reading is to spare."
        );
    };
    let basis = match fit.sigma_basis {
        solver::fit::SigmaBasis::Stated => "stated uncertainty".to_owned(),
        solver::fit::SigmaBasis::Step => format!(
            "the step they were read to, which the residuals stay within, {}",
            counted(fit.degrees_of_freedom, "degree of freedom", "degrees of freedom")
        ),
        _ => format!(
            "residuals, {}",
            counted(fit.degrees_of_freedom, "degree of freedom", "degrees of freedom")
        ),
    };
    let names = ["x", "y", "r", "φ"];
    let entries: Vec<String> = (0..covariance.size())
        .flat_map(|row| (row..covariance.size()).map(move |column| (row, column)))
        .filter_map(|(row, column)| {
            let (a, b) = (names.get(row)?, names.get(column)?);
            Some(format!("{a}{b} {}", told(covariance.get(row, column))))
        })
        .collect();
    format!("{channel} covariance (′², ′°, °²; from {basis}): {}", entries.join(", "))
}

fn crossings(found: &Solution, flow: &mut Flow<'_>) {
    let Some(meeting) = &found.meeting else { return };
    let mut table = ReportTable::new(vec![
        words("crossing points", 10.0),
        figures("x ′", 8.0),
        figures("y ′", 8.0),
        figures("from boresight ′", 11.0),
        figures("L ring °", 8.0),
        figures("R ring °", 8.0),
        figures("covariance xx, xy, yy ′²", 24.0),
    ]);
    for (index, place) in meeting.crossings().enumerate() {
        let ring = |channel: Channel| place.ring_deg[channel].map_or_else(|| "–".to_owned(), angle);
        let covariance = place.covariance_arcmin2.map_or_else(
            || "not known".to_owned(),
            |[[xx, xy], [_, yy]]| [xx, xy, yy].map(|entry| number(entry, 4)).join(", "),
        );
        table.row([
            if index == 0 { "nearest" } else { "the other" }.to_owned(),
            number(place.point.x_arcmin, 2),
            number(place.point.y_arcmin, 2),
            number(place.boresight_arcmin, 2),
            ring(Channel::Left),
            ring(Channel::Right),
            covariance,
        ]);
    }
    if table.rows.is_empty() {
        flow.paragraph(&meeting_sentence(meeting), TextLook::BODY);
    }
    flow.table(table);
    if let Some(sentence) = equally_near(meeting) {
        flow.paragraph(&sentence, TextLook::BODY);
    }
    if let Err(NoSetting::ArcTooShort(channel)) = found.setting {
        let text = format!("The {channel} readings cover too short an arc to trust their circle.");
        flow.paragraph(&text, TextLook::BODY);
    }
}

fn setting(seq: u64, chosen: &SettingChosen) -> String {
    let source = match chosen.source {
        SettingSource::NearestCrossing => "the crossing point nearest boresight",
        SettingSource::OtherCrossing => "the other crossing point",
        SettingSource::Compromise => "the best compromise",
        SettingSource::ByHand => "the hand's own",
    };
    let ring = |channel: Channel| {
        chosen.ring_deg[channel].map_or_else(
            || format!("{channel} ring not numbered"),
            |deg| format!("{channel} ring {}", ring(deg, 0.1)),
        )
    };
    let used = chosen
        .window_use
        .map_or_else(String::new, |used| format!(", window use {}", percent(used)));
    let swing = chosen
        .worst_window_use
        .map_or_else(String::new, |used| format!(", {} over the swing", percent(used)));
    let reason =
        if chosen.reason.is_empty() { String::new() } else { format!(" ({})", chosen.reason) };
    format!(
        "Setting chosen (fact {seq}): {source}; {}, {}; {} from boresight{used}{swing}{reason}.",
        ring(Channel::Left),
        ring(Channel::Right),
        arcmin(chosen.boresight_arcmin),
    )
}

fn readings(round: &RoundAccount, folded: &Round, flow: &mut Flow<'_>) {
    let columns = [
        figures("fact", 5.0),
        words("time", 9.5),
        words("hand", 6.0),
        words("reading", 12.0),
        figures("ring °", 7.0),
        figures("as typed", 18.0),
        figures("points to ′", 15.0),
        figures("off circle ′", 8.0),
        figures("off angle °", 8.0),
        words("noted", 17.0),
    ];
    let found = solution(round);
    flow.rows(&columns, folded.readings.iter().map(|entry| reading(entry, found)));
}

fn reading(entry: &Entry, solution: Option<&Solution>) -> Vec<String> {
    let none = || "–".to_owned();
    let (channel, ring, typed) = match &entry.reading.seen {
        Seen::Direction(read) => (
            read.channel.to_string(),
            read.ring_deg.as_ref().map_or_else(none, record::Typed::shown),
            read.unit.pair(&read.x, &read.y),
        ),
        Seen::Relative(read) => {
            ("R − L".to_owned(), rings(&read.ring_deg), read.unit.pair(&read.x, &read.y))
        }
        Seen::Box(read) => (
            "box".to_owned(),
            rings(&read.ring_deg),
            if read.inside { "inside" } else { "outside" }.to_owned(),
        ),
    };
    let (points_to, residual) = match entry.value {
        Some(Value::Direction { channel, ring_deg, direction }) => {
            let fit = solution.and_then(|solution| solution.fits[channel].as_ref().ok());
            let fitted = entry.reading.purpose == Purpose::Log && entry.at_set_up_position();
            let reading = solver::Reading { direction, ring_deg };
            let residual = fit.filter(|_| fitted).map(|fit| fit.residual(&reading));
            (direction_figures(direction), residual)
        }
        Some(Value::Relative { misalignment, .. }) => (
            format!("{}, {}", number(misalignment.x_arcmin, 2), number(misalignment.y_arcmin, 2)),
            None,
        ),
        Some(Value::Box { .. }) | None => (none(), None),
    };
    vec![
        entry.seq.to_string(),
        entry.time.time_of_day(),
        entry.hand.clone(),
        format!("{channel} {} {}", entry.number, entry.reading.purpose.word()),
        ring,
        typed,
        points_to,
        residual.map_or_else(none, |residual| number(residual.off_circle_arcmin, 2)),
        residual
            .and_then(|residual| residual.off_angle_deg)
            .map_or_else(none, |off| number(off, 1)),
        noted(entry),
    ]
}

fn rings(ring_deg: &PerChannel<Option<record::Typed>>) -> String {
    let said = |channel: Channel| ring_deg[channel].as_ref().map_or("–", record::Typed::text);
    format!("{}, {}", said(Channel::Left), said(Channel::Right))
}

fn direction_figures(at: solver::Direction) -> String {
    let mut figures = number(at.x_arcmin, 2);
    figures.push_str(", ");
    push_number(&mut figures, at.y_arcmin, 2);
    figures
}

fn noted(entry: &Entry) -> String {
    let withdrawn = entry.withdrawn.as_ref();
    let withdrawn = withdrawn.map(|it| format!("WITHDRAWN (fact {}): {}", it.by, it.reason));
    listed(withdrawn.into_iter().chain(timeline::notes(&entry.reading)), ", ")
}

fn remedy(
    account: &Account,
    taken: &RemedyTaken,
    next: Option<&RoundAccount>,
    flow: &mut Flow<'_>,
) {
    let note = if taken.note.is_empty() { String::new() } else { format!(" ({})", taken.note) };
    flow.paragraph(
        &format!("Remedy: {}{note}.", remedies::said(&taken.remedy)),
        TextLook::BODY.bold(),
    );
    faces(account, &taken.remedy, flow);
    let Some(prediction) = &taken.prediction else {
        flow.paragraph("Nothing was predicted of it.", TextLook::BODY);
        return;
    };
    let basis = match prediction.basis {
        PredictionBasis::Model => "the thin-lens model",
        PredictionBasis::Measured => "measured shims of this housing",
        PredictionBasis::Readings => "the readings so far",
    };
    if !prediction.words.is_empty() {
        flow.paragraph(&format!("{} (from {basis})", prediction.words), TextLook::BODY);
    }
    flow.table(beside(prediction, next.and_then(solution)));
}

/// Where each shim was put, drawn.
fn faces(account: &Account, remedy: &Remedy, flow: &mut Flow<'_>) {
    let Remedy::Shim(shims) = remedy else { return };
    let seat = account.session.housing().and_then(record::Housing::shim_seat);
    let clocks_deg = seat.as_ref().map(|seat| seat.clocks_deg.as_slice()).unwrap_or_default();
    for under in shims {
        let shim = &under.shim;
        let thickness_mm = shim.leaves_mm.iter().sum();
        let face =
            ClockFace::new(under.channel, shim.ends, thickness_mm, shim.clock_deg, clocks_deg);
        let block = clock_face::block(&face, flow.letters(), flow.width_pt());
        flow.place_whole(block);
    }
}

/// Prediction beside what the next round measured.
fn beside(prediction: &ShownPrediction, measured: Option<&Solution>) -> ReportTable {
    let mut table = ReportTable::new(vec![
        words("prediction beside measurement", 22.0),
        figures("predicted", 14.0),
        figures("measured", 14.0),
        figures("difference", 14.0),
    ]);
    let mut row = |name: String, predicted: f64, measured: Option<f64>, decimals: usize| {
        let show = |value: f64| number(value, decimals);
        table.row([
            name,
            show(predicted),
            measured.map_or_else(|| "not yet".to_owned(), show),
            measured.map_or_else(|| "–".to_owned(), |measured| show(measured - predicted)),
        ]);
    };
    for channel in Channel::BOTH {
        let Some(expected) = &prediction.circles[channel] else { continue };
        let found = measured.and_then(|found| found.fits[channel].as_ref().ok());
        let found = found.map(|fit| fit.circle);
        let [x, y] = expected.centre_arcmin;
        row(format!("{channel} centre x ′"), x, found.map(|circle| circle.centre.x_arcmin), 2);
        row(format!("{channel} centre y ′"), y, found.map(|circle| circle.centre.y_arcmin), 2);
        let radius = expected.radius_arcmin;
        row(format!("{channel} radius ′"), radius, found.map(|circle| circle.radius_arcmin), 2);
    }
    let nearest = measured.and_then(|found| found.meeting.as_ref()).and_then(|met| met.nearest());
    if let Some([x, y]) = prediction.crossing_arcmin {
        row("crossing x ′".to_owned(), x, nearest.map(|nearest| nearest.point.x_arcmin), 2);
        row("crossing y ′".to_owned(), y, nearest.map(|nearest| nearest.point.y_arcmin), 2);
    }
    let setting = measured.and_then(|found| found.setting.as_ref().ok());
    if let Some(used) = prediction.window_use {
        let found = setting.and_then(|setting| setting.window_use).map(|used| used.worst());
        row("window use, %".to_owned(), 100.0 * used, found.map(|found| 100.0 * found), 0);
    }
    table
}
