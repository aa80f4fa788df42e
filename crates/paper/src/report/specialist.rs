//! The pages for the specialist: all that the verdict rests on, by whom and when.

use record::conclusion::number_in_words;
use record::fact::{DayKind, DayNote, Note, NotedPicture, Number};
use record::{Account, AnswerKind, Chain, Conclusion, Fact, Follows, Session, Signature, Stamp};
use solver::decision::Judgement;
use solver::error::told;

use super::block::TextLook;
use super::figures::{limits, moment};
use super::flow::Flow;
use super::rounds;
use super::small_pictures::{self, SmallPicture};
use super::standing::loud;
use super::table::{ReportTable, figures, words};
use super::{glossary, looking, wording};
use crate::words::{counted_s, number, sentence};

pub(super) fn pages(account: &Account, pictures: Option<&[SmallPicture]>, flow: &mut Flow<'_>) {
    let session = &account.session;
    flow.subtitle("For the specialist");
    origin(account, flow);
    decision(account, flow);
    rounds::pages(account, flow);
    if let Some(pictures) = pictures {
        small_pictures::add(account, pictures, flow);
    }
    received(session, flow);
    preparation(session, flow);
    looking_tests(session, flow);
    notes(session, flow);
    hands(session, flow);
    signatures(account, flow);
    if !account.remarks().is_empty() {
        flow.heading("Remarks");
        for remark in account.remarks() {
            flow.paragraph(&format!("{remark}."), TextLook::BODY);
        }
    }
    glossary::add(flow);
    check_of_itself(flow);
}

/// What this version makes of published figures, worked out as the report is drawn.
fn check_of_itself(flow: &mut Flow<'_>) {
    let (all, agreeing) = solver::published::tally();
    let text = format!(
        "samepoint {} checked itself when this was drawn: {agreeing} of {all} cases with published \
         figures agree. `samepoint check-self` prints them with their sources.",
        env!("CARGO_PKG_VERSION")
    );
    let look = if agreeing == all { TextLook::QUIET } else { TextLook::BODY.bold() };
    flow.paragraph(&text, look);
}

fn origin(account: &Account, flow: &mut Flow<'_>) {
    let header = account.header();
    let session = header.map_or("–", |header| header.session.as_str());
    let program = header.map_or("–", |header| header.program.as_str());
    let chain = match &account.chain {
        Chain::Intact => "intact".to_owned(),
        Chain::EndMissing(end) => format!("THE END IS MISSING: {end}"),
        Chain::Damaged(damage) => format!("DAMAGED: {damage}"),
    };
    let text = format!(
        "Session {session}, begun with {program}; {}, chain {chain}, state {}.",
        counted_s(account.facts, "fact"),
        account.state()
    );
    flow.paragraph(&text, TextLook::BODY);
    if let Some(from) = header.and_then(|header| header.continues.as_ref()) {
        let text = format!("It continues {} after its fact {}.", from.file, from.facts);
        flow.paragraph(&text, TextLook::BODY);
    }
    flow.paragraph(&format!("Last line {}", account.last_hash), TextLook::CODE);
    let follows = match &account.follows {
        Follows::Yes { .. } | Follows::CannotTell(_) => account.follows_words(),
        Follows::No(_) => {
            "What was stored does not follow from the readings: see the first page.".to_owned()
        }
        Follows::NothingStored => {
            "Nothing was signed or chosen that could follow or not.".to_owned()
        }
    };
    flow.paragraph(&follows, TextLook::BODY);
    flow.paragraph(
        "Worked out from the readings as they were typed; ± is 95 %, covariances are standard. \
         `samepoint review` works it out again.",
        TextLook::QUIET,
    );
}

fn decision(account: &Account, flow: &mut Flow<'_>) {
    flow.heading("Decision");
    if let Some(window) = account.session.window() {
        flow.paragraph(&format!("Window {}: {}.", window.name, limits(window)), TextLook::BODY);
        flow.paragraph(
            &format!("Source: {}.", window.source.trim_end_matches('.')),
            TextLook::BODY,
        );
        if !window.note.is_empty() {
            flow.paragraph(&window.note, TextLook::BODY);
        }
    }
    let conclusion = match &account.conclusion {
        Ok(conclusion) => conclusion,
        Err(why) => {
            flow.paragraph(&format!("No verdict: {why}."), TextLook::BODY);
            return;
        }
    };
    let rests_on: Vec<String> = conclusion.rests_on.iter().map(ToString::to_string).collect();
    let verdict = loud(Some(conclusion.verdict));
    let rule = conclusion.rule.word();
    let on = if rests_on.is_empty() {
        "no confirm readings".to_owned()
    } else {
        format!("the readings that are facts {}", rests_on.join(", "))
    };
    flow.paragraph(&format!("{verdict} by the {rule} rule, resting on {on}."), TextLook::BODY);
    for caveat in &conclusion.caveats {
        flow.paragraph(&format!("– {caveat}"), TextLook::BODY);
    }
    probabilities(conclusion, flow);
    let numbers = conclusion.numbers();
    if numbers.is_empty() {
        return;
    }
    flow.gap(3.0);
    let mut table =
        ReportTable::new(vec![words("number", 30.0), figures("value", 16.0), words("", 30.0)]);
    for worked_out in numbers {
        let (name, unit) = number_in_words(&worked_out.name);
        table.row([name, told(worked_out.value), unit.to_owned()]);
    }
    flow.table(table);
}

/// Each position's misalignment with its chances; the covariances follow as numbers.
fn probabilities(conclusion: &Conclusion, flow: &mut Flow<'_>) {
    let mut table = ReportTable::new(vec![
        words("position", 16.0),
        figures("readings L, R", 9.0),
        figures("misalignment ′", 14.0),
        figures("u ′", 11.0),
        figures("P in box", 9.0),
        figures("P boresight", 9.0),
        figures("P at least", 9.0),
        figures("freedom", 7.0),
        words("verdict", 10.0),
    ]);
    for measured in conclusion.positions() {
        let m = measured.misalignment;
        let judged = measured.judgement.as_ref();
        let chance = |of: fn(&Judgement) -> f64| {
            judged.map_or_else(|| "–".to_owned(), |judged| number(of(judged), 4))
        };
        let u = judged.map_or_else(
            || "–".to_owned(),
            |judged| {
                let [[xx, _], [_, yy]] = judged.misalignment_covariance;
                [xx, yy].map(|variance| number(variance.max(0.0).sqrt(), 3)).join(", ")
            },
        );
        let freedom = judged.map_or_else(
            || "–".to_owned(),
            |judged| match judged.freedom {
                freedom if freedom.is_finite() => number(freedom, 1),
                _ => "stated".to_owned(),
            },
        );
        table.row([
            measured.position.to_string(),
            format!("{}, {}", measured.readings.left, measured.readings.right),
            format!("{}, {}", number(m.x_arcmin, 2), number(m.y_arcmin, 2)),
            u,
            chance(|judged| judged.in_box),
            chance(|judged| judged.in_boresight),
            chance(Judgement::inside_at_least),
            freedom,
            measured.verdict.word().to_owned(),
        ]);
    }
    flow.gap(3.0);
    flow.table(table);
}

fn preparation(session: &Session, flow: &mut Flow<'_>) {
    if session.preconditions.is_empty() {
        return;
    }
    flow.heading("Before reading");
    for seen in &session.preconditions {
        let done = if seen.done { "done" } else { "NOT DONE" };
        let note = if seen.note.is_empty() { String::new() } else { format!(": {}", seen.note) };
        let what = sentence(seen.item.word());
        let what = what.trim_end_matches('.');
        flow.paragraph(&format!("{what}: {done}{note} (fact {})", seen.seq), TextLook::SMALL);
    }
}

fn looking_tests(session: &Session, flow: &mut Flow<'_>) {
    if session.looking_tests.is_empty() {
        return;
    }
    flow.heading("Looking test");
    flow.paragraph(
        "Eyes fuse far more than is comfortable: one image passes nothing, two turn a pass to \
         undecided.",
        TextLook::QUIET,
    );
    for said in &session.looking_tests {
        flow.paragraph(&looking::told(said), TextLook::BODY);
    }
}

/// How the unit came in: condition, accessories, pictures.
fn received(session: &Session, flow: &mut Flow<'_>) {
    let received = session.received();
    if received.is_empty() {
        return;
    }
    flow.heading("Received");
    for (name, said) in [("Condition", &received.condition), ("Accessories", &received.accessories)]
    {
        if let Some(said) = said {
            let text = format!("{name}: {} ({} {})", said.body, moment(said.time), said.hand);
            flow.paragraph(&text, TextLook::BODY);
        }
    }
    for said in received.pictures {
        picture(said, flow);
    }
}

fn picture(said: &Fact<NotedPicture>, flow: &mut Flow<'_>) {
    let picture = &said.body;
    let text = format!(
        "{} {}: picture “{}”, {}.{}",
        moment(said.time),
        said.hand,
        picture.caption,
        picture.hash,
        picture.extension
    );
    flow.paragraph(&text, TextLook::BODY);
}

fn notes(session: &Session, flow: &mut Flow<'_>) {
    let of_receiving =
        |note: &Note| matches!(DayKind::of(note), Some(DayKind::Condition | DayKind::Accessories));
    let notes: Vec<&Fact<Note>> =
        session.notes.iter().filter(|said| !of_receiving(&said.body)).collect();
    let received = session.received().pictures;
    let mut pictures =
        session.pictures.iter().filter(|said| !received.iter().any(|of| of.seq == said.seq));
    let first = pictures.next();
    if notes.is_empty() && first.is_none() {
        return;
    }
    flow.heading("Notes");
    for said in notes {
        let about = said.body.about.map_or_else(String::new, |seq| format!(" (about fact {seq})"));
        let words = match DayNote::of(&said.body) {
            Some(day) => {
                format!("{}: {}", sentence(day.kind.word()).trim_end_matches('.'), day.text)
            }
            None => said.body.text.clone(),
        };
        let text = format!("{} {}{about}: {words}", moment(said.time), said.hand);
        flow.paragraph(&text, TextLook::BODY);
    }
    for said in first.into_iter().chain(pictures) {
        picture(said, flow);
    }
}

/// Who had a hand in it, with the first and the last time and how many readings.
fn hands(session: &Session, flow: &mut Flow<'_>) {
    let mut hands: Vec<(&str, Stamp, Stamp, usize)> = Vec::new();
    let mut seen = |hand, time: Stamp, reading: bool| {
        let readings = usize::from(reading);
        match hands.iter_mut().find(|(known, ..)| *known == hand) {
            Some((_, first, last, count)) => {
                *first = if time.is_before(*first) { time } else { *first };
                *last = if last.is_before(time) { time } else { *last };
                *count += readings;
            }
            None => hands.push((hand, time, time, readings)),
        }
    };
    if let Some(setup) = &session.setup {
        seen(&setup.hand, setup.time, false);
    }
    for entry in session.rounds.iter().flat_map(|round| &round.readings) {
        seen(&entry.hand, entry.time, true);
    }
    for said in &session.looking_tests {
        seen(&said.hand, said.time, false);
    }
    for said in &session.notes {
        seen(&said.hand, said.time, false);
    }
    for signature in &session.signatures {
        seen(&signature.hand, signature.time, false);
        if let Some(answer) = &signature.answer {
            seen(&answer.hand, answer.time, false);
        }
    }
    if hands.is_empty() {
        return;
    }
    flow.heading("Hands and times");
    let mut table = ReportTable::new(vec![
        words("hand", 10.0),
        words("from", 24.0),
        words("to", 24.0),
        figures("readings", 8.0),
    ]);
    for (hand, first, last, readings) in hands {
        let row = [hand.to_owned(), first.to_string(), last.to_string(), readings.to_string()];
        table.row(row);
    }
    flow.table(table);
}

fn signatures(account: &Account, flow: &mut Flow<'_>) {
    let session = &account.session;
    wording::above_signatures(account, flow);
    if session.signatures.is_empty() {
        return;
    }
    flow.heading("Signatures");
    for signature in &session.signatures {
        for (text, look) in signature_lines(signature) {
            flow.paragraph(&text, look);
        }
        flow.gap(3.0);
    }
}

/// A number as a signature stores it, its name in words.
fn stored(number: &Number) -> String {
    let (name, unit) = number_in_words(&number.name);
    format!("{name} {}{unit}", told(number.value))
}

fn signature_lines(signature: &Signature) -> Vec<(String, TextLook)> {
    let signed = &signature.signed;
    let rests_on: Vec<String> = signed.rests_on.iter().map(ToString::to_string).collect();
    let mut lines = vec![(
        format!(
            "{} {} signed “{}” (fact {}) by the {} rule, with {}, resting on facts {}.",
            moment(signature.time),
            signature.hand,
            signed.verdict.word(),
            signature.seq,
            signed.rule.word(),
            signed.program,
            rests_on.join(", ")
        ),
        TextLook::BODY,
    )];
    if !signed.statement.is_empty() {
        lines.push((signed.statement.clone(), TextLook::BODY));
    }
    let numbers: Vec<String> = signed.numbers.iter().map(stored).collect();
    if !numbers.is_empty() {
        lines.push((format!("Stored: {}", numbers.join("; ")), TextLook::SMALL));
    }
    if signature.outdated {
        let text = record::review::OUTDATED.to_owned();
        lines.push((text, TextLook::BODY.bold()));
    }
    if let Some(answer) = &signature.answer {
        let when = moment(answer.time);
        let text = match &answer.kind {
            AnswerKind::Countersigned(agreed) => format!(
                "{when} {} countersigned (fact {}), having seen the last line {}. {}",
                answer.hand, answer.seq, agreed.last_hash, agreed.comment
            ),
            AnswerKind::Returned(returned) => format!(
                "{when} {} returned it (fact {}): {}",
                answer.hand, answer.seq, returned.comment
            ),
        };
        lines.push((text, TextLook::BODY));
    }
    lines
}
