//! A whole shop's rows, month by month.

use std::collections::BTreeMap;
use std::num::NonZeroUsize;
use std::path::Path;

use record::file::{End, plain, scan_facts};
use record::journal::Meaning as _;
use record::shop::KeptChecks;
use record::studies::{StudyBody, fold as fold_study};
use record::{Axis, JournalBody, RealDisk, Shop, Survey, survey};

use crate::buffer::Buffers;
use crate::columns::checks::CheckReadingRow;
use crate::columns::studies::StudyRow;
use crate::columns::troubles::{TroubleOf, TroubleRow};
use crate::columns::{Table, checks, studies, troubles};
use crate::parallel;
use crate::refusal::TablesRefusal;
use crate::session::{Month, SessionItem, practised};
use crate::shops::NamedShop;

/// What a shop holds besides its sessions.
#[derive(Clone, Debug, Default)]
pub struct BesideSessions {
    /// Rows of its checks, its studies and its own troubles, by month.
    pub rows: BTreeMap<Reversed, Buffers>,
    /// What was passed over, and why.
    pub passed_over: Vec<String>,
}

/// A month, those of no day last.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Reversed(bool, Month);

impl Reversed {
    /// Of a month.
    #[must_use]
    pub const fn of(month: Month) -> Self {
        Self(month.is_none(), month)
    }

    /// The name of its folder.
    #[must_use]
    pub fn partition(self) -> String {
        match self.1 {
            Some((year, month)) => format!("month={year:04}-{month:02}"),
            None => format!("month={NO_MONTH}"),
        }
    }
}

/// What engines that know such folders take for null.
pub const NO_MONTH: &str = "__HIVE_DEFAULT_PARTITION__";

fn name_of(path: &Path) -> String {
    path.file_name().unwrap_or_default().display().to_string()
}

/// Every session of a shop: those in `sessions/`, then those of practice.
///
/// # Errors
/// [`TablesRefusal::NoShop`].
pub fn items(
    named: &NamedShop,
    workers: NonZeroUsize,
) -> Result<(Vec<SessionItem>, Survey), TablesRefusal> {
    let no_shop = |why| TablesRefusal::NoShop { folder: named.folder.clone(), why };
    let mut survey = survey(&named.folder, workers).map_err(no_shop)?;
    let mut known: BTreeMap<String, _> = std::mem::take(&mut survey.sessions)
        .into_iter()
        .map(|one| (one.file.clone(), one))
        .collect();
    let item = |folder: &'static str, path: &Path| SessionItem {
        folder,
        path: path.to_owned(),
        file: name_of(path),
        summary: None,
        elsewhere: None,
        in_two_folders: Vec::new(),
    };
    let mut items = Vec::new();
    for path in Shop::session_files(&named.folder).map_err(no_shop)? {
        let file = name_of(&path);
        items.push(SessionItem { summary: known.remove(&file), ..item("sessions", &path) });
    }
    let mut practice: Vec<SessionItem> = named
        .shop
        .practice_sessions()
        .map_err(no_shop)?
        .iter()
        .map(|listed| item("practice", &listed.path))
        .collect();
    practice.sort_by(|a, b| a.path.cmp(&b.path));
    let summaries = parallel::each(&practice, workers, practised);
    for (mut item, summary) in practice.into_iter().zip(summaries) {
        item.summary = summary;
        items.push(item);
    }
    Ok((items, survey))
}

/// What a shop holds besides its sessions; `survey` is of it.
#[must_use]
pub fn beside(named: &NamedShop, survey: &Survey) -> BesideSessions {
    let mut beside = BesideSessions::default();
    let mut said: Vec<(TroubleOf, &'static str, String, String)> = Vec::new();
    said.extend(
        survey
            .ledger
            .to_look_at()
            .into_iter()
            .map(|words| (TroubleOf::Ledger, "", String::new(), words)),
    );
    let of_shop = named.shop.skipped.iter().map(ToString::to_string);
    said.extend(of_shop.map(|words| (TroubleOf::Shop, "", String::new(), words)));
    said.extend(checked(named, &mut beside));
    said.extend(studied(named, &mut beside));
    let columns = troubles::columns();
    for (of, folder, file, words) in &said {
        let row = TroubleRow { shop: &named.name, of: *of, folder, file, session: "", words };
        let rows = beside.rows.entry(Reversed::of(None)).or_default();
        rows.push(Table::Troubles, &columns, &row);
    }
    beside.passed_over.extend(said.into_iter().map(|(.., words)| words));
    beside
}

type SaidOfFiles = Vec<(TroubleOf, &'static str, String, String)>;

fn month_of(time: record::Stamp) -> Month {
    let day = time.date();
    Some((day.year(), day.month()))
}

fn checked(named: &NamedShop, beside: &mut BesideSessions) -> SaidOfFiles {
    let mut said = Vec::new();
    let (mut kept, unread) = named.shop.checks(&RealDisk).unwrap_or_else(|why| {
        said.push((TroubleOf::Checks, "", String::new(), why.to_string()));
        Default::default()
    });
    said.extend(unread.iter().map(|one| (TroubleOf::Checks, "", String::new(), one.to_string())));
    said.extend(
        KeptChecks::beside(&kept)
            .into_iter()
            .map(|words| (TroubleOf::Checks, "checks", String::new(), words)),
    );
    let counting = counting(&kept);
    let mut with: Vec<(bool, KeptChecks)> = counting.into_iter().zip(kept.drain(..)).collect();
    with.sort_by(|(_, a), (_, b)| a.path.cmp(&b.path));
    for (file_counts, KeptChecks { path, checks, end, .. }) in &with {
        let (file, columns) = (name_of(path), checks::columns());
        if *end != End::Clean {
            let words =
                format!("{}: the check file is not read to its end", record::shown::path(path));
            said.push((TroubleOf::Checks, "checks", file.clone(), words));
        }
        let outside = outside_by_reading(checks);
        let comparable: Vec<u64> = checks.comparable().map(|held| held.seq).collect();
        for reading in &checks.readings {
            let row = CheckReadingRow {
                shop: &named.name,
                file: &file,
                whole: *end == End::Clean,
                file_counts: *file_counts,
                about: checks.about(),
                reading,
                comparable: comparable.binary_search(&reading.seq).is_ok(),
                outside: outside.get(&reading.seq).copied(),
            };
            let month = Reversed::of(month_of(reading.time));
            beside.rows.entry(month).or_default().push(Table::Checks, &columns, &row);
        }
    }
    said
}

/// Of files of one station the first counts, which was written to last.
fn counting(kept: &[KeptChecks]) -> Vec<bool> {
    let station = |one: &KeptChecks| one.checks.about().map(|about| about.station.clone());
    let is_first = |(at, one): (usize, &KeptChecks)| {
        let of = station(one);
        !kept.iter().take(at).any(|before| of.is_some() && station(before) == of)
    };
    kept.iter().enumerate().map(is_first).collect()
}

/// Whether the day of a reading broke a limit at its point, of days that were held against limits.
fn outside_by_reading(checks: &record::checks::Checks) -> BTreeMap<u64, bool> {
    let mut outside = BTreeMap::new();
    for point in checks.points() {
        for axis in Axis::BOTH {
            for day in checks.chart(point, axis).iter().filter(|day| day.limits.is_some()) {
                for seq in &day.readings {
                    *outside.entry(*seq).or_insert(false) |= !day.findings.is_empty();
                }
            }
        }
    }
    outside
}

fn studied(named: &NamedShop, beside: &mut BesideSessions) -> SaidOfFiles {
    let mut said = Vec::new();
    let paths = named.shop.studies().unwrap_or_else(|why| {
        said.push((TroubleOf::Study, "", String::new(), why.to_string()));
        Vec::new()
    });
    for path in paths {
        let file = name_of(&path);
        let opened = plain::open(&path).map_err(|why| record::Error::io("open", &path, why));
        let scanned =
            match opened.and_then(|bytes| scan_facts::<JournalBody<StudyBody>>(&path, bytes)) {
                Ok(scanned) => scanned,
                Err(why) => {
                    said.push((TroubleOf::Study, "studies", file, why.to_string()));
                    continue;
                }
            };
        let whole = scanned.end == End::Clean;
        if !whole {
            let words = format!("{}: the study is not read to its end", record::shown::path(&path));
            said.push((TroubleOf::Study, "studies", file.clone(), words));
        }
        let study = fold_study(&scanned.facts);
        let results = study.results().ok().filter(|_| whole);
        let columns = studies::columns();
        for measured in &study.measurements {
            let row = StudyRow {
                shop: &named.name,
                file: &file,
                whole,
                about: study.about(),
                measured,
                out_of_order: study.out_of_order.contains(&measured.seq),
                results: results.as_ref(),
            };
            let month = Reversed::of(month_of(measured.time));
            beside.rows.entry(month).or_default().push(Table::Studies, &columns, &row);
        }
    }
    said
}
