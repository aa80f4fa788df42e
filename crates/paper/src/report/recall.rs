//! The recall list on pages of its own: since when a station's zero was off, and every unit left on it since
//! its last good check, with what the correction would make of its verdict.
//!
//! An empty list is a page too, that says what was looked at: an earlier list under the same name would
//! else be taken for today's, and that nothing was found is worth keeping.

use record::recall::{Recall, Spell, Would};
use record::{SessionSummary, Stamp, Survey, Verdict, shown};
use solver::{Channel, PerChannel};

use super::block::TextLook;
use super::by_hand;
use super::flow::{Flow, RunningHead};
use super::table::{ReportTable, words};
use super::{PaperSize, pdf};
use crate::error::Error;
use crate::letters::Letters;
use crate::marks;
use crate::palette::Colour;
use crate::words::{arcmin_fine, counted, counted_s, direction, percent};

/// Draws the recall list of a shop's sessions as PDF. `shop`: its name; `drawn`: when, of which the day goes on
/// it: the same shop gives the same bytes on a day.
///
/// # Errors
/// As [`report()`](super::report()).
pub fn recall_list(
    survey: &Survey,
    shop: &str,
    drawn: Stamp,
    paper: PaperSize,
) -> Result<Vec<u8>, Error> {
    let letters = Letters::load();
    let shop = shown::one_line(shop);
    let title = format!("Recall list, shop {shop}");
    let mut flow = Flow::new(&letters, paper, Vec::new());
    flow.title(&title);
    flow.gap(3.0);
    flow.paragraph(
        &format!("Drawn on {}. {}", drawn.date(), summary(survey)),
        TextLook::BODY.bold(),
    );
    if let Some(several) = survey.several_words() {
        flow.paragraph(&several, TextLook::BODY.bold());
    }
    let gaps = survey.recall_gaps();
    for gap in &gaps {
        flow.paragraph(gap, TextLook::BODY.bold().coloured(Colour::LOOK));
    }
    for spell in &survey.spells {
        of_spell(survey, spell, &mut flow);
    }
    if !survey.spells.is_empty() {
        flow.gap(4.0);
        flow.paragraph(HOW, TextLook::QUIET);
    }
    flow.gap(4.0);
    flow.paragraph(WHAT_IT_IS_NOT, TextLook::BODY);
    by_hand::lines(
        &mut flow,
        &[
            "Looked over by (name, signature)",
            "What becomes of each unit decided by",
            "Customers told by",
        ],
    );
    flow.tell_numbers();
    let running = RunningHead {
        title,
        issue: String::new(),
        foot: format!(
            "Worked out on {} from the shop’s sessions and checks; nothing in them is changed by it.",
            drawn.date()
        ),
    };
    // The same list has the same name, and another one another.
    let id = [survey.recall_words(), gaps, vec![running.title.clone(), running.foot.clone()]]
        .concat()
        .join("\n");
    let pages = flow.finish(&running);
    let program = format!("samepoint {}", env!("CARGO_PKG_VERSION"));
    let producer = marks::RECALL_PRODUCER;
    let made = Some(pdf::date(drawn));
    let about = pdf::DocumentInfo { title: running.title, program, producer, id, made, from: None };
    pdf::pdf(&pages, paper.size_pt(), &letters, about)
}

const HOW: &str = "With the zero taken off: each reading less what its station read too much on that day, \
                   interpolated between the checks before and after, judged by the guarded rule with the \
                   uncertainty of that added to the station’s reference.";

const WHAT_IT_IS_NOT: &str = "What a recall means for a unit in use is for the shop’s own procedure, the \
                              customer and whoever licenses the maintenance to say. This list releases no \
                              unit: one that “would pass” was still left on a bench that was off, and is \
                              sure again when it was measured again.";

fn summary(survey: &Survey) -> String {
    let practice = survey.sessions.iter().filter(|session| session.practice).count();
    let real = counted_s(survey.sessions.len() - practice, "session");
    let judged = survey.zeros_judged.len();
    let looked =
        format!("{real} and the checks of {} were looked at.", counted_s(judged, "station"));
    if survey.spells.is_empty() {
        return match judged {
            0 => format!("Nothing can be told. {looked}"),
            _ => format!(
                "No station’s zero lay outside its limits: there is nothing to recall. {looked}"
            ),
        };
    }
    let (all, changed) = survey.recalled().fold((0, 0), |(all, changed), (_, _, recall)| {
        (all + 1, changed + usize::from(recall.changes()))
    });
    let left = match all {
        0 => "no session was read then".to_owned(),
        _ => format!(
            "{} read then, {changed} of them with a verdict that the correction changes or leaves open",
            counted(all, "session was", "sessions were")
        ),
    };
    let times = counted_s(survey.spells.len(), "time");
    format!("A station’s zero lay outside its limits {times}; {left}. {looked}")
}

fn of_spell(survey: &Survey, spell: &Spell, flow: &mut Flow<'_>) {
    flow.heading(&shown::one_line(&spell.station));
    flow.paragraph(&spell.words(), TextLook::BODY);
    flow.gap(3.0);
    let in_spell = survey
        .recalled()
        .filter(|(_, _, recall)| recall.station == spell.station && spell.holds(recall.day));
    let mut left: Vec<(&SessionSummary, &Recall)> =
        in_spell.map(|(_, session, recall)| (session, recall)).collect();
    if left.is_empty() {
        flow.paragraph("No session was read then.", TextLook::BODY);
        return;
    }
    // What weighs most comes first; else as the files are named.
    left.sort_by_key(|(_, recall)| !recall.changes());
    let mut table = ReportTable::new(vec![
        words("unit", 12.0),
        words("session", 16.0),
        words("read on", 10.5),
        words("state", 13.5),
        words("read too much, x, y (± 95 %)", 22.0),
        words("verdict", 9.5),
        words("zero taken off", 14.0),
        words("done", 13.0),
    ]);
    for (session, recall) in left {
        let unit = if session.unit.is_empty() { "not named" } else { &session.unit };
        table.row([
            shown::one_line(unit).into_owned(),
            survey.place_of(session),
            recall.day.to_string(),
            session.state.to_string(),
            zero(recall),
            recall.verdict.map_or("none", Verdict::word).to_owned(),
            corrected(recall),
            String::new(),
        ]);
    }
    flow.table(table);
}

/// `L 6.1′, 0.0′ (± 0.52′, 0.48′)`, each channel in a line of its own.
fn zero(recall: &Recall) -> String {
    let PerChannel { left, right } = recall.zero;
    let each = [(Channel::Left, left), (Channel::Right, right)].map(|(channel, zero)| {
        let Some(zero) = zero else { return format!("{channel} cannot be told") };
        let [x, y] = zero.half_widths_95_arcmin().map(arcmin_fine);
        format!("{channel} {} (± {x}, {y})", direction(zero.off))
    });
    each.join("; ")
}

fn corrected(recall: &Recall) -> String {
    match (recall.would, recall.window_use) {
        (Would::CannotTell, _) | (_, None) => recall.would.word().to_owned(),
        (would, Some(used)) => format!("{}, window use {}", would.word(), percent(used)),
    }
}
