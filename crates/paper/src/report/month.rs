//! A shop's month on pages of its own: units by verdict, what passed first, what failed and why, how long it took,
//! stations that were off, and what waits.
//!
//! A month without work is a page too, that says what was looked at.

use record::shop::survey::month::PeriodTold;
use record::shop::survey::pass_rate::MonthlyRate;
use record::shop::survey::period::Period;
use record::{SessionSummary, Stamp, Survey, shown};

use super::block::TextLook;
use super::flow::{Flow, RunningHead};
use super::table::{ReportTable, figures, words};
use super::{PaperSize, pdf};
use crate::error::Error;
use crate::letters::Letters;
use crate::marks;
use crate::palette::Colour;
use crate::words::{capital, counted, counted_s, percent};

/// Draws the report of a month as PDF. `shop`: its name; `drawn`: when, of which the day goes on it: the same shop gives
/// the same bytes on a day.
///
/// # Errors
/// As [`report()`](super::report()).
pub fn month_report(
    survey: &Survey,
    month: Period,
    shop: &str,
    drawn: Stamp,
    paper: PaperSize,
) -> Result<Vec<u8>, Error> {
    let letters = Letters::load();
    let told = survey.told_of(month);
    let title = format!("{}, shop {}", month.name(), shown::one_line(shop));
    let mut flow = Flow::new(&letters, paper, Vec::new());
    flow.title(&title);
    flow.gap(3.0);
    flow.paragraph(&summary(&told, drawn), TextLook::BODY.bold());
    if let Some(several) = survey.several_words() {
        flow.paragraph(&several, TextLook::BODY.bold());
    }
    for why in &survey.skipped {
        let why = shown::one_line(&format!("Not looked at: {why}")).into_owned();
        flow.paragraph(&why, TextLook::BODY.coloured(Colour::LOOK));
    }
    verdicts(&told, &mut flow);
    first_pass(&told, &mut flow);
    failed(&told, &mut flow);
    turnaround(&told, &mut flow);
    stations(survey, &told, &mut flow);
    waiting(survey, drawn, &mut flow);
    flow.gap(4.0);
    flow.paragraph(WHAT_COUNTS, TextLook::QUIET);
    flow.tell_numbers();
    let foot =
        format!("Worked out on {} from the shop’s files, which it does not change.", drawn.date());
    let running = RunningHead { title, issue: String::new(), foot };
    let id = [
        running.title.clone(),
        running.foot.clone(),
        format!("{:?}{:?}", told.by_verdict, told.failed.words()),
        told.of.sessions.iter().map(|session| session.file.as_str()).collect::<Vec<_>>().join("\n"),
    ];
    let pages = flow.finish(&running);
    let about = pdf::DocumentInfo {
        title: running.title,
        program: format!("samepoint {}", env!("CARGO_PKG_VERSION")),
        producer: marks::MONTH_PRODUCER,
        id: id.join("\n"),
        made: Some(pdf::date(drawn)),
        from: None,
    };
    pdf::pdf(&pages, paper.size_pt(), &letters, about)
}

const WHAT_COUNTS: &str = "A session belongs to the month of its last reading; a signature to the month it claims. Copies, \
                           blind checks and practice are left out. Verdicts are those that the readings give today, by \
                           the window and rule of each session.";

fn summary(told: &PeriodTold, drawn: Stamp) -> String {
    let sessions = counted_s(told.of.sessions.len(), "session");
    let mut units: Vec<&str> =
        told.of.sessions.iter().map(|session| session.unit.as_str()).collect();
    units.sort_unstable();
    units.dedup();
    let units = counted_s(units.len(), "unit");
    format!("Drawn on {}. {sessions} of {units} from {}.", drawn.date(), told.period)
}

fn verdicts(told: &PeriodTold, flow: &mut Flow<'_>) {
    flow.heading("Sessions by verdict");
    if told.by_verdict.is_empty() {
        flow.paragraph("No session was read in this time.", TextLook::BODY);
        return;
    }
    let mut table = ReportTable::new(vec![
        words("verdict", 24.0),
        figures("sessions", 16.0),
        figures("signed, in force", 20.0),
        figures("countersigned", 20.0),
        figures("signed otherwise", 20.0),
    ]);
    for count in &told.by_verdict {
        let figures = [count.sessions, count.signed, count.countersigned, count.signed_otherwise];
        let figures = figures.map(|figure| figure.to_string());
        table.row(std::iter::once(count.verdict.word().to_owned()).chain(figures));
    }
    flow.table(table);
    let otherwise: usize = told.by_verdict.iter().map(|count| count.signed_otherwise).sum();
    if otherwise > 0 {
        let said = counted(otherwise, "session was", "sessions were");
        let said = format!("{said} signed with another verdict than the readings give.");
        flow.paragraph(&said, TextLook::BODY.coloured(Colour::LOOK));
    }
}

fn first_pass(told: &PeriodTold, flow: &mut Flow<'_>) {
    flow.heading("Passed in the first round");
    let Some(rate) = told.rate() else {
        flow.paragraph("No unit came to a verdict.", TextLook::BODY);
        return;
    };
    flow.paragraph(&rate.words(), TextLook::BODY);
    let mut table = ReportTable::new(vec![
        words("housing", 34.0),
        figures("units", 14.0),
        figures("passed first", 16.0),
        figures("share", 14.0),
        figures("95 % interval", 22.0),
    ]);
    for housing in told.rate_by_housing() {
        let name = if housing.housing.is_empty() { "not named" } else { &housing.housing };
        table
            .row([shown::one_line(name).into_owned()].into_iter().chain(rate_cells(&housing.rate)));
    }
    flow.table(table);
    flow.paragraph(
        "Each unit counts once, with its first session of the month; interval by Wilson’s score.",
        TextLook::QUIET,
    );
}

fn rate_cells(rate: &MonthlyRate) -> [String; 4] {
    let passed = rate.passed_first;
    [
        passed.trials.to_string(),
        passed.successes.to_string(),
        percent(passed.share()),
        format!("{} to {}", percent(passed.low), percent(passed.high)),
    ]
}

fn failed(told: &PeriodTold, flow: &mut Flow<'_>) {
    flow.heading("What failed, and why");
    for sentence in told.failed.words() {
        flow.paragraph(&sentence, TextLook::BODY);
    }
    if told.failed.by.is_empty() {
        return;
    }
    let mut table = ReportTable::new(vec![
        words("unit", 14.0),
        words("read on", 13.0),
        words("housing", 16.0),
        words("station", 14.0),
        words("hand", 8.0),
        words("reason", 20.0),
        figures("of its limit", 12.0),
        words("state", 16.0),
    ]);
    for reason in &told.failed.by {
        for (index, share) in &reason.points {
            let Some(session) = told.of.sessions.get(*index) else { continue };
            table.row(failed_row(session, reason.reason.word(), *share));
        }
    }
    flow.table(table);
}

fn failed_row(session: &SessionSummary, reason: &str, share: f64) -> [String; 8] {
    let named = |name: &str| {
        if name.is_empty() { "–".to_owned() } else { shown::one_line(name).into_owned() }
    };
    [
        named(&session.unit),
        session.day.map_or_else(|| "–".to_owned(), |day| day.to_string()),
        named(&session.housing),
        named(&session.station),
        named(&session.hand),
        reason.to_owned(),
        percent(share),
        session.state.word().to_owned(),
    ]
}

fn turnaround(told: &PeriodTold, flow: &mut Flow<'_>) {
    flow.heading("How long it took");
    if told.turnaround.points.is_empty() {
        flow.paragraph("Nothing was signed in this time.", TextLook::BODY);
    } else {
        flow.paragraph(&told.turnaround.words(), TextLook::BODY);
    }
}

fn stations(survey: &Survey, told: &PeriodTold, flow: &mut Flow<'_>) {
    flow.heading("Stations");
    if told.spells.is_empty() {
        flow.paragraph(
            "No station that could be judged had its zero outside its limits.",
            TextLook::BODY,
        );
    }
    for spell in &told.spells {
        let said = format!("{}: {}", shown::one_line(&spell.station), spell.words());
        flow.paragraph(&said, TextLook::BODY.coloured(Colour::LOOK));
    }
    let of_month = Survey {
        sessions: told.of.sessions.clone(),
        zeros_judged: survey.zeros_judged.clone(),
        checks_unread: survey.checks_unread.clone(),
        ..Survey::default()
    };
    for gap in of_month.recall_gaps() {
        flow.paragraph(&gap, TextLook::BODY);
    }
}

fn waiting(survey: &Survey, drawn: Stamp, flow: &mut Flow<'_>) {
    let today = drawn.date();
    flow.heading(&format!("What waits on {today}"));
    let waits = survey.waiting();
    if waits.is_empty() {
        flow.paragraph("No session waits for a signature or a countersignature.", TextLook::BODY);
    }
    for one in &waits {
        flow.paragraph(&format!("{}.", capital(&one.words(today))), TextLook::BODY);
    }
}
