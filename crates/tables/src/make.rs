//! From folders to tables.

use std::collections::BTreeMap;
use std::num::NonZeroUsize;
use std::path::{Path, PathBuf};

use record::shown;

use crate::buffer::{Buffer, Buffers};
use crate::columns::Table;
use crate::file::encoded;
use crate::inputs;
use crate::manifest::{Manifest, MonthWritten, SaidOfShops, ShopWritten};
use crate::output::{Changes, Output, OutputDisk};
use crate::parallel;
use crate::refusal::TablesRefusal;
use crate::session::SessionItem;
use crate::shop::{self, BesideSessions, NO_MONTH, Reversed};
use crate::shops::NamedShop;
use crate::twice;

/// What a run came to.
#[derive(Clone, Debug, Default)]
pub struct Made {
    /// How many shops.
    pub shops: usize,
    /// What is said of them.
    pub said: SaidOfShops,
    /// What became of the files.
    pub changes: Changes,
    /// How many months there are, and how many were worked out.
    pub months: Months,
    /// Whether nothing had changed since the last run, so that nothing was worked out.
    pub as_before: bool,
    /// What is said of this run alone.
    pub notes: Vec<String>,
}

/// The months of all shops.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Months {
    /// How many.
    pub all: usize,
    /// Of these, how many were worked out, since something that their rows follow from changed.
    pub worked_out: usize,
}

/// Makes the tables of some shops in a folder. What lies there follows from the shops named: a shop that is not
/// named any more leaves.
///
/// # Errors
/// [`TablesRefusal`].
pub fn make(
    folders: &[PathBuf],
    to: &Path,
    workers: NonZeroUsize,
    store: &dyn OutputDisk,
) -> Result<Made, TablesRefusal> {
    if folders.is_empty() {
        return Err(TablesRefusal::Nothing);
    }
    let (shops, again) = NamedShop::all(folders)?;
    let paths: Vec<&Path> = shops.iter().map(|shop| shop.folder.as_path()).collect();
    let output = Output::open(to, &paths, store)?;
    let hashes = parallel::each(&shops, workers, |shop| inputs::hash_of(&shop.folder));
    let written: Vec<ShopWritten> = shops
        .iter()
        .zip(hashes)
        .map(|(shop, inputs_sha256)| ShopWritten {
            folder: shown::path(&shop.folder),
            name: shop.name.clone(),
            partition: shop.partition(),
            inputs_sha256,
        })
        .collect();
    let notes = notes(&again, &output, &written);
    let before = output.is_as_written().filter(|(manifest, _)| manifest.is_of(&written));
    if let Some((manifest, changes)) = before {
        let said = manifest.said.clone();
        let months = Months { all: manifest.months.len(), worked_out: 0 };
        return Ok(Made { shops: shops.len(), said, changes, months, as_before: true, notes });
    }
    let (said, changes, months) = anew(&shops, written, output, workers)?;
    Ok(Made { shops: shops.len(), said, changes, months, as_before: false, notes })
}

fn notes(again: &[PathBuf], output: &Output<'_>, now: &[ShopWritten]) -> Vec<String> {
    let twice = again.iter().map(|folder| {
        format!("{}: this folder was named before; it is taken once", shown::path(folder))
    });
    let before = output.manifest().map(|manifest| manifest.shops.as_slice()).unwrap_or_default();
    let left = before
        .iter()
        .filter(|one| !now.iter().any(|shop| shop.partition == one.partition))
        .map(|one| {
            format!("{}: not named this time, so its tables leave", shown::one_line(&one.folder))
        });
    twice.chain(left).collect()
}

fn anew(
    shops: &[NamedShop],
    written: Vec<ShopWritten>,
    mut output: Output<'_>,
    workers: NonZeroUsize,
) -> Result<(SaidOfShops, Changes, Months), TablesRefusal> {
    let (mut items, mut surveys) = (Vec::new(), Vec::new());
    for named in shops {
        let (of_shop, survey) = shop::items(named, workers)?;
        items.push(of_shop);
        surveys.push(survey);
    }
    let twice = twice::find(&mut items);
    let mut said =
        SaidOfShops { notes: twice.notes, passed_over: twice.forked, ..SaidOfShops::default() };
    let mut rows_of: BTreeMap<Table, usize> = BTreeMap::new();
    let (mut of_months, mut worked_out) = (Vec::new(), 0);
    for ((named, items), survey) in shops.iter().zip(&items).zip(&surveys) {
        let partition = named.partition();
        said.sessions += items.len();
        said.counting += items.iter().filter(|item| item.counts()).count();
        let BesideSessions { rows: mut beside, passed_over } = shop::beside(named, survey);
        said.passed_over.extend(passed_over);
        let mut months: BTreeMap<Reversed, Vec<&SessionItem>> = BTreeMap::new();
        for item in items {
            months.entry(Reversed::of(item.month())).or_default().push(item);
        }
        for month in beside.keys() {
            months.entry(*month).or_default();
        }
        for (month, items) in months {
            let beside = beside.remove(&month);
            let inputs_sha256 = inputs::hash_of_month(&named.name, &items, beside.as_ref());
            let at = format!("{partition}/{}", month.partition());
            let kept = output.keep(&at, &inputs_sha256);
            let passed_over = if let Some(kept) = kept {
                for (table, rows) in kept.rows {
                    *rows_of.entry(table).or_insert(0) += rows;
                }
                kept.passed_over
            } else {
                worked_out += 1;
                let mut rows = Buffers::default();
                let mut passed_over = Vec::new();
                for (piece, why) in parallel::each(&items, workers, |item| item.rows(&named.name)) {
                    rows.append(piece);
                    passed_over.extend(why);
                }
                rows.append(beside.unwrap_or_default());
                for (table, buffer) in rows.filled() {
                    *rows_of.entry(table).or_insert(0) += buffer.rows();
                    put(&mut output, (table, &partition, &month.partition()), &buffer)?;
                }
                passed_over
            };
            said.passed_over.extend(passed_over.iter().cloned());
            of_months.push(MonthWritten { partition: at, inputs_sha256, passed_over });
        }
    }
    // A table without rows is one file without rows: whoever asks finds its columns.
    for table in Table::ALL {
        if !rows_of.contains_key(&table) {
            let at = (table, &*format!("shop={NO_MONTH}"), &*format!("month={NO_MONTH}"));
            put(&mut output, at, &Buffer::of(table))?;
        }
    }
    let months = Months { all: of_months.len(), worked_out };
    let begun = Manifest::begun();
    let manifest = Manifest { shops: written, months: of_months, said: said.clone(), ..begun };
    let changes = output.finish(manifest)?;
    Ok((said, changes, months))
}

fn put(
    output: &mut Output<'_>,
    at: (Table, &str, &str),
    buffer: &Buffer,
) -> Result<(), TablesRefusal> {
    let bytes = encoded(at.0, buffer).map_err(|why| {
        let path = PathBuf::from(format!("{}/{}/{}", at.0.name(), at.1, at.2));
        TablesRefusal::NotEncoded { path, why }
    })?;
    output.put(at, buffer.rows(), &bytes)
}
