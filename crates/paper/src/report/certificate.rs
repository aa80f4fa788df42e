//! The page of a practice session that says how it was worked: the score part by part, and what the program
//! did and did not show while it was.

use record::practice::sat::{NOT_SHOWN, NOT_WITHHELD, SHOWN};
use record::practice::{EarlierMeeting, Formula, Series, Truth, score};
use record::{Account, same_hand};

use super::block::TextLook;
use super::flow::Flow;
use super::glossary::told;
use super::table::{ReportTable, figures, words};
use crate::palette::Colour;
use crate::words::{capital, number};

/// Adds the page, where the session is a signed one of practice; the first signature counts.
pub(super) fn page(account: &Account, flow: &mut Flow<'_>) {
    let session = &account.session;
    let (Ok(truth), Ok(score)) = (Truth::of(session), score(session)) else { return };
    let Some(signature) = session.signatures.first() else { return };
    flow.new_page();
    flow.subtitle("Practice certificate");
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
        TextLook::BODY.bold(),
    );
    flow.paragraph(
        &format!(
            "Score {} %, by formula {}.",
            number(score.total_percent(), 0),
            score.formula.number()
        ),
        TextLook::BODY.bold(),
    );
    if score.passed_failing {
        flow.paragraph(score::HALVED, TextLook::BODY.bold().coloured(Colour::LOOK));
    }
    flow.gap(4.0);
    let mut table =
        ReportTable::new(vec![words("part", 14.0), figures("points", 12.0), words("why", 74.0)]);
    for one in &score.parts {
        let points = format!("{} of {}", number(one.weight * one.earned, 0), number(one.weight, 0));
        table.row([one.part.word().to_owned(), points, one.words.clone()]);
    }
    flow.table(table);
    flow.heading("What was shown");
    for line in shown(&truth) {
        flow.paragraph(&line, TextLook::BODY);
    }
    if truth.unit.exam.is_some() {
        flow.heading("Whether the unit was new");
        let (line, is_new) = whether_new(account);
        let look = TextLook::BODY.bold();
        flow.paragraph(&line, if is_new { TextLook::BODY } else { look.coloured(Colour::LOOK) });
        flow.heading("What nobody can withhold");
        flow.paragraph(&format!("{}.", capital(&NOT_WITHHELD.join("; "))), TextLook::BODY);
    }
    flow.heading("The words");
    told(&WORDS, flow);
    flow.gap(4.0);
    flow.paragraph(WHAT_IT_IS_NOT, TextLook::BODY);
}

const WHAT_IT_IS_NOT: &str = "Times are as the computer’s clock had them, and initials as they were typed: who \
                              sat there, and whether alone, the paper cannot tell. It qualifies nobody: that is \
                              for the shop and whoever licenses the maintenance to say.";

/// Words of the page that a reader may not know.
const WORDS: [&str; 6] = ["reading", "procedure", "setting", "finding", "thrift", "window use"];

/// Whether the hand had met the unit of an examination before, and whether that is not known to be so.
fn whether_new(account: &Account) -> (String, bool) {
    let Some(met) = &account.met_before else {
        let why = "The file lies in no shop’s practice that could be read: whether the unit had been met before \
                   cannot be told.";
        return (why.to_owned(), false);
    };
    let signer = account.session.signatures.first().map_or("", |signature| &signature.hand);
    let (own, others): (Vec<&EarlierMeeting>, Vec<&EarlierMeeting>) =
        met.iter().partition(|seen| same_hand(&seen.hand, signer));
    let list = |seen: &[&EarlierMeeting]| {
        seen.iter().map(ToString::to_string).collect::<Vec<_>>().join("; ")
    };
    match (own.is_empty(), others.is_empty()) {
        (false, _) => (
            format!("The unit had been seen before: {}. This attempt does not count.", list(&own)),
            false,
        ),
        (true, false) => (
            format!("New to {signer} by the shop’s files; met there before by {}.", list(&others)),
            true,
        ),
        (true, true) => {
            (format!("No file of the shop shows that {signer} had met the unit."), true)
        }
    }
}

/// What the program showed while the session was worked, and what it did not.
fn shown(truth: &Truth) -> Vec<String> {
    let minutes = number(truth.minutes, 0);
    let told_readings = if Formula::of(truth.unit.series) == Formula::of(Series::First) {
        "Whether readings were told was not noted then.".to_owned()
    } else {
        format!("{} of {} readings were told by the program.", truth.told, truth.readings)
    };
    let Some(exam) = truth.unit.exam else {
        return vec![
            "Shown: the graticule, offset circles, crossings and the list of remedies; ring targets, the \
             recommended setting, the ring map, the swing, the checklist, what stands out, the verdict. Not shown \
             until the signature: the truth."
                .to_owned(),
            told_readings,
            format!("It took {minutes} min."),
        ];
    };
    let limit = match exam.minutes {
        None => format!("No time limit; it took {minutes} min."),
        Some(limit) if truth.is_in_time() => {
            format!("Time limit {limit} min; it took {minutes} min.")
        }
        Some(limit) => format!(
            "Time limit {limit} min; it took {minutes} min: too late, it does not count as passed."
        ),
    };
    vec![
        format!("Shown: {}.", SHOWN.join("; ")),
        format!("Not shown until the signature: {}.", NOT_SHOWN.join("; ")),
        format!("{told_readings} The verdict was the trainee’s own."),
        limit,
    ]
}
