//! The page of a practice session that says how it was worked: the score part by part, and what the program
//! did and did not show while it was.

use record::Account;
use record::practice::{Formula, Series, Truth, score};

use super::block::Look;
use super::flow::Flow;
use super::table::{Table, figures, words};
use crate::palette::Colour;
use crate::words::number;

/// Adds the page, where the session is a signed one of practice; the first signature counts.
pub(super) fn page(account: &Account, flow: &mut Flow<'_>) {
    let session = &account.session;
    let (Ok(truth), Ok(score)) = (Truth::of(session), score(session)) else { return };
    let Some(signature) = session.signatures.first() else { return };
    flow.new_page();
    flow.paragraph("Practice certificate", Look::BODY.bold().sized(15.0));
    flow.gap(3.0);
    let (hand, day) = (&signature.hand, signature.time.date());
    let kind = if truth.unit.exam.is_some() { "an examination" } else { "practice" };
    flow.paragraph(
        &format!(
            "{hand} worked an invented unit, {}, unit {}, as {kind}, and signed “{}” on {day}.",
            truth.unit.grade.word(),
            truth.unit.number,
            signature.signed.verdict.word()
        ),
        Look::BODY.bold(),
    );
    flow.paragraph(
        &format!(
            "Score {} %, by formula {}.",
            number(score.total_percent(), 0),
            score.formula.number()
        ),
        Look::BODY.bold(),
    );
    if score.passed_failing {
        let halved = "A failing unit was passed: the total is halved.";
        flow.paragraph(halved, Look::BODY.bold().coloured(Colour::LOOK));
    }
    flow.gap(4.0);
    let mut table =
        Table::new(vec![words("part", 14.0), figures("points", 12.0), words("why", 74.0)]);
    for one in &score.parts {
        let points = format!("{} of {}", number(one.weight * one.earned, 0), number(one.weight, 0));
        table.row([one.part.word().to_owned(), points, one.words.clone()]);
    }
    flow.table(&table);
    flow.heading("What was shown");
    for line in shown(&truth) {
        flow.paragraph(&line, Look::BODY);
    }
    flow.gap(4.0);
    flow.paragraph(WHAT_IT_IS_NOT, Look::BODY);
}

const WHAT_IT_IS_NOT: &str = "Times are as the computer’s clock had them, and initials as they were typed: who \
                              sat there, and whether alone, the paper cannot tell. It qualifies nobody: that is \
                              for the shop and whoever licenses the maintenance to say.";

/// What the program showed while the session was worked, and what it did not.
fn shown(truth: &Truth) -> Vec<String> {
    let mut told = vec![
        "Shown: the graticule, offset circles, crossings and the list of remedies.".to_owned(),
    ];
    let minutes = number(truth.minutes, 0);
    match truth.unit.exam {
        Some(exam) => {
            told.push(
                "Not shown until the signature: ring targets, the recommended setting, the checklist, what \
                 stands out, whether the round closes, the verdict, the truth. No reading could be told; the \
                 verdict was the trainee’s own."
                    .to_owned(),
            );
            told.push(match exam.minutes {
                None => format!("No time limit; it took {minutes} min."),
                Some(limit) if truth.is_in_time() => {
                    format!("Time limit {limit} min; it took {minutes} min.")
                }
                Some(limit) => {
                    format!("Time limit {limit} min; it took {minutes} min: too late, it does not count as passed.")
                }
            });
        }
        None => {
            told.push(
                "Shown too: ring targets, the recommended setting, the checklist, what stands out, the verdict. \
                 Not shown until the signature: the truth."
                    .to_owned(),
            );
            if Formula::of(truth.unit.series) == Formula::of(Series::First) {
                told.push("Whether readings were told was not noted then.".to_owned());
            } else {
                told.push(format!(
                    "{} of {} readings were told by the program.",
                    truth.told, truth.readings
                ));
            }
            told.push(format!("It took {minutes} min."));
        }
    }
    told
}
