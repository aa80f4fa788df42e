//! `samepoint shop`: every session of a shop, in a table.

use std::num::NonZeroUsize;
use std::path::{Path, PathBuf};
use std::thread;

use record::shop::survey::period::Period;
use record::shop::survey::{SurveyOptions, survey_together};
use record::{By, Stamp, Survey, SurveyGroup};

use super::arguments::ShopArguments;
use super::refusal::{CommandRefusal, RefusalKind};
use super::{Outcome, figures, round_robin, shop_json};
use crate::audit_pack::{PackAsked, pack};
use crate::report_file;

/// Done, with sessions passed over or gone.
const SKIPPED: u8 = 1;

/// Looks at every session and says what they come to.
pub(super) fn run(asked: &ShopArguments) -> Result<Outcome, CommandRefusal> {
    let workers = thread::available_parallelism().unwrap_or(NonZeroUsize::MIN);
    let first = asked.folders.first().map(PathBuf::as_path).unwrap_or_else(|| Path::new("."));
    if let (Some(to), Some(from), Some(until)) = (&asked.audit, asked.from, asked.until) {
        return audit(asked, first, to, Period::new(from, until));
    }
    // Every file is read whole: what is said here may be relied on.
    let survey = survey_together(&asked.folders, &SurveyOptions::whole(workers))
        .map_err(|why| RefusalKind::Record(why).of(first))?
        .unwrap_or_default();
    if let Some(file) = &asked.csv {
        let bytes = survey.csv().map_err(|why| RefusalKind::Record(why).of(file))?;
        report_file::write_table(file, &bytes)?;
    }
    if let Some(file) = &asked.recall {
        let (now, paper) = (Stamp::now(), asked.paper.size());
        report_file::write_recall_list(&survey, file, now, paper)?;
    }
    if let (Some(month), Some(file)) = (asked.month, &asked.to) {
        let now = (Stamp::now(), asked.paper.size());
        report_file::write_month_report(
            &survey,
            month,
            &report_file::shops_name(&survey),
            file,
            now,
        )?;
    }
    let contradicted = survey.ledger.to_look_at();
    let done = survey.skipped.is_empty() && contradicted.is_empty();
    let code = if done { 0 } else { SKIPPED };
    let mut passed_over: Vec<String> =
        survey.skipped.iter().map(|why| format!("passed over: {why}")).collect();
    passed_over.extend(contradicted);
    let forked = survey.forked_words();
    let mut code = if forked.is_empty() { code } else { SKIPPED };
    passed_over.extend(forked);
    let (mut practice, mut waits) = (0, Vec::new());
    for folder in &survey.folders {
        let shop = record::Shop::load(folder).ok();
        let (said, unread) = waiting(shop.as_ref());
        practice += in_practice(shop.as_ref());
        waits.extend(Some(said).filter(|said| !said.is_empty()));
        code = if unread.is_some() { SKIPPED } else { code };
        passed_over.extend(unread.map(|why| format!("passed over: {why}")));
    }
    let waiting = waits;
    if let Some(unit) = &asked.round_robin {
        return Ok(round_robin::told(&survey, unit, asked.json, passed_over, code));
    }
    let text = if asked.json {
        shop_json::told(&survey, practice)
    } else {
        words(&survey, practice, &waiting)
    };
    Ok(Outcome::Partly { text, passed_over, code })
}

/// Makes an audit pack of one shop; what it left out is named.
fn audit(
    asked: &ShopArguments,
    shop: &Path,
    to: &Path,
    period: Result<Period, record::Error>,
) -> Result<Outcome, CommandRefusal> {
    let refused = |why| RefusalKind::Record(why).of(shop);
    if asked.folders.len() > 1 {
        return Err(RefusalKind::OneShopAPack.of(to));
    }
    let (shop, to, period) = (shop.to_owned(), to.to_owned(), period.map_err(refused)?);
    let asked = PackAsked { shop, to, period, now: Stamp::now(), paper: asked.paper.size() };
    let packed = pack(&asked)?;
    let text = format!("{}: {}\n", figures::path(&asked.to), packed.words());
    let left = packed.left_out.iter().map(|[what, _, why]| format!("left out: {what}: {why}"));
    let passed_over: Vec<String> = left.collect();
    Ok(Outcome::Partly { text, passed_over, code: 0 })
}

/// How many files lie in the shop's `practice/`, which is not looked through.
fn in_practice(shop: Option<&record::Shop>) -> usize {
    shop.and_then(|shop| shop.practice_sessions().ok()).map_or(0, |listed| listed.len())
}

/// How many units wait today, in a line; nothing where nobody keeps a list of them. And what of the list
/// cannot be read.
fn waiting(shop: Option<&record::Shop>) -> (String, Option<String>) {
    let Some(shop) = shop else { return (String::new(), None) };
    let (units, unread) = shop.units_waiting(&record::RealDisk);
    let said =
        if units.units.is_empty() { String::new() } else { units.words(Stamp::now().date()) };
    (said, unread)
}

/// Of practice are the files in `practice/`, and whatever of practice lies among the sessions.
fn words(survey: &Survey, in_practice: usize, waiting: &[String]) -> String {
    let among = survey.sessions.iter().filter(|session| session.practice).count();
    let practice = among + in_practice;
    let real = survey.sessions.len() - among;
    let mut lines = vec![format!(
        "{}, {} of practice left out; {} passed over",
        figures::counted_s(real, "session"),
        practice,
        survey.skipped.len()
    )];
    lines.extend(of_folders(survey));
    lines.extend(waiting.iter().map(|said| said.trim_end_matches('.').to_owned()));
    lines.extend(survey.doubled_words());
    lines.push(survey.ledger.words());
    lines.extend(noted(survey));
    if real > 0 {
        let mut rows = vec![HEAD.map(str::to_owned)];
        for by in By::EVERY {
            rows.extend(survey.by(by).iter().map(row));
        }
        lines.push(String::new());
        lines.extend(aligned(&rows));
    }
    if !survey.risks.is_empty() {
        lines.push(String::new());
        lines.push(
            "What windows and rules would do (JCGM 106:2012, 9; units as signed so far)".to_owned(),
        );
        for risk in &survey.risks {
            // One line each, however long a name in it is: none begins a line of its own.
            lines.push(format!("  {}", record::shown::one_line(&risk.words())));
        }
    }
    let recall = survey.recall_words();
    if !recall.is_empty() {
        lines.push(String::new());
        lines.extend(recall);
    }
    lines.join("\n") + "\n"
}

/// How many sessions each folder holds, where there are several, and what must be known of them together.
fn of_folders(survey: &Survey) -> Vec<String> {
    let several = if survey.folders.len() < 2 { 0 } else { survey.folders.len() };
    let mut said: Vec<String> = (0..several).map(|folder| survey.folder_words(folder)).collect();
    said.extend(survey.together.iter().cloned());
    said
}

/// Sessions that are not as the ledger notes them.
fn noted(survey: &Survey) -> Vec<String> {
    let each = survey.sessions.iter().flat_map(|session| {
        let file = survey.place_of(session);
        let findings = session.ledger.iter();
        findings.map(move |finding| format!("{file}: {}", finding.words(session.facts)))
    });
    each.collect()
}

const HEAD: [&str; 8] = [
    "by",
    "name",
    "sessions",
    "passed first",
    "95 % interval",
    "from boresight",
    "centres apart",
    "shims miss by",
];

fn row(group: &SurveyGroup) -> [String; 8] {
    let none = || "–".to_owned();
    let middle = |middle: Option<solver::stats::robust::Middle>| {
        middle.map_or_else(none, |middle| figures::arcmin(middle.median))
    };
    let name = match (group.by, group.name.as_str()) {
        (By::All, _) => "sessions",
        (_, "") => "not named",
        (_, name) => name,
    };
    [
        group.by.word().to_owned(),
        one_line(name),
        group.sessions.to_string(),
        group.passed_first.map_or_else(none, |passed| {
            format!(
                "{} of {}, {}",
                passed.successes,
                passed.trials,
                figures::percent(passed.share())
            )
        }),
        group.passed_first.map_or_else(none, |passed| {
            format!("{} to {}", figures::percent(passed.low), figures::percent(passed.high))
        }),
        middle(group.boresight_arcmin),
        middle(group.centres_apart_arcmin),
        middle(group.shim_miss_arcmin),
    ]
}

/// The longest name a table shows whole, characters.
const LONGEST_NAME: usize = 48;

/// A name that cannot break the table: its marks visible, its end left away where it is endless.
fn one_line(name: &str) -> String {
    let name = record::shown::one_line(name);
    match name.char_indices().nth(LONGEST_NAME) {
        None => name.into_owned(),
        Some((end, _)) => format!("{}…", name.get(..end).unwrap_or_default()),
    }
}

/// Names from the left, figures from the right, each column as wide as its widest cell.
fn aligned(rows: &[[String; 8]]) -> Vec<String> {
    let widths: [usize; 8] = core::array::from_fn(|column| {
        let cells = rows.iter().filter_map(|row| row.get(column));
        cells.map(|cell| cell.chars().count()).max().unwrap_or(0)
    });
    rows.iter()
        .map(|row| {
            let cells = row.iter().zip(widths).enumerate().map(|(column, (cell, width))| {
                if column < 2 { format!("{cell:<width$}") } else { format!("{cell:>width$}") }
            });
            cells.collect::<Vec<_>>().join("  ").trim_end().to_owned()
        })
        .collect()
}
