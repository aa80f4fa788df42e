//! A million invented sessions written as tables, through the writer of `samepoint tables`, and the same rows as CSV:
//! how large each is and how long it takes, in one run. Queries of both are timed by `.ci/tables scale`, which runs
//! this.
//!
//! `cargo run --release -p tables --example scale -- FOLDER [SESSIONS]`
//!
//! - `invented`: the sessions.

#![allow(clippy::print_stdout, reason = "a measurement that reports on the terminal")]

mod invented;

use std::error::Error;
use std::fs::{self, File};
use std::io::{BufWriter, Write as _};
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};
use std::{env, io};

use tables::Table;
use tables::buffer::Buffer;
use tables::columns::{Cell, Column, remedies, sessions};
use tables::file::encoded;
use tables::manifest::Manifest;
use tables::output::{Output, RealStore};

use invented::{MONTHS, SHOPS, month_of, shop_name};

const SESSIONS: usize = 1_000_000;

fn main() -> Result<(), Box<dyn Error>> {
    let mut arguments = env::args().skip(1);
    let folder = PathBuf::from(arguments.next().ok_or("name a folder")?);
    let count = arguments.next().map_or(Ok(SESSIONS), |text| text.parse())?;
    let to = folder.join("tables");
    let mut output = Output::open(&to, &[], &RealStore)?;
    let mut csv = Csv::create(&folder)?;
    let (mut parquet, mut as_csv) = (Duration::ZERO, Duration::ZERO);
    let mut written = 0;
    for shop in 0..SHOPS {
        for month in 0..MONTHS {
            let part = shop * MONTHS + month;
            let share = |part: usize| part * count / (SHOPS * MONTHS);
            let made = invented::sessions(shop, month, share(part)..share(part + 1));
            written += made.len();
            let (shop, month) =
                (format!("shop={}", shop_name(shop)), format!("month={}", month_of(month)));
            let began = Instant::now();
            put(&mut output, &made, (&shop, &month))?;
            parquet += began.elapsed();
            let began = Instant::now();
            csv.write(&made, shop.trim_start_matches("shop="))?;
            as_csv += began.elapsed();
        }
    }
    let began = Instant::now();
    let changes = output.finish(Manifest::begun())?;
    parquet += began.elapsed();
    let began = Instant::now();
    csv.finish()?;
    as_csv += began.elapsed();
    let size = |name: &str| fs::metadata(folder.join(name)).map(|file| file.len());
    let csv_bytes = size("sessions.csv")? + size("remedies.csv")?;
    let per = |bytes: u64| bytes as f64 / written.max(1) as f64;
    println!(
        "{written} sessions in {} files: {:.0} MB as Parquet ({:.0} bytes a session), {:.0} MB as CSV, CSV {:.1} times \
         as large",
        changes.files,
        changes.bytes as f64 / 1e6,
        per(changes.bytes),
        csv_bytes as f64 / 1e6,
        csv_bytes as f64 / changes.bytes as f64
    );
    println!(
        "written in {:.1} s ({:.0} sessions a second), as CSV in {:.1} s: Parquet {:.2} times as long",
        parquet.as_secs_f64(),
        written as f64 / parquet.as_secs_f64(),
        as_csv.as_secs_f64(),
        parquet.as_secs_f64() / as_csv.as_secs_f64()
    );
    Ok(())
}

fn put(
    output: &mut Output<'_>,
    made: &[invented::Invented],
    (shop, month): (&str, &str),
) -> Result<(), Box<dyn Error>> {
    let mut of_sessions = Buffer::of(Table::Sessions);
    let mut of_remedies = Buffer::of(Table::Remedies);
    for one in made {
        let of = one.of();
        of_sessions.push(&sessions::columns(), &one.session(of.clone()));
        if one.effect.is_some() {
            of_remedies.push(&remedies::columns(), &one.remedy(&of));
        }
    }
    for (table, rows) in [(Table::Sessions, of_sessions), (Table::Remedies, of_remedies)] {
        if rows.rows() > 0 {
            output.put((table, shop, month), rows.rows(), &encoded(table, &rows)?)?;
        }
    }
    Ok(())
}

/// The same rows as CSV, one file a table, the shop as a column.
struct Csv {
    sessions: csv::Writer<BufWriter<File>>,
    remedies: csv::Writer<BufWriter<File>>,
}

impl Csv {
    fn create(folder: &Path) -> Result<Self, Box<dyn Error>> {
        let create = |name: &str, table: Table| -> Result<_, Box<dyn Error>> {
            let file = BufWriter::new(File::create(folder.join(name))?);
            let mut writer = csv::Writer::from_writer(file);
            let columns = table.described();
            writer.write_record(columns.iter().map(|column| column.name).chain(["shop"]))?;
            Ok(writer)
        };
        Ok(Self {
            sessions: create("sessions.csv", Table::Sessions)?,
            remedies: create("remedies.csv", Table::Remedies)?,
        })
    }

    fn write(&mut self, made: &[invented::Invented], shop: &str) -> csv::Result<()> {
        for one in made {
            let of = one.of();
            record(&mut self.sessions, &sessions::columns(), &one.session(of.clone()), shop)?;
            if one.effect.is_some() {
                record(&mut self.remedies, &remedies::columns(), &one.remedy(&of), shop)?;
            }
        }
        Ok(())
    }

    fn finish(self) -> io::Result<()> {
        for mut writer in [self.sessions, self.remedies] {
            writer.flush()?;
            let mut file = writer.into_inner().map_err(io::Error::other)?;
            file.flush()?;
            file.get_ref().sync_all()?;
        }
        Ok(())
    }
}

fn record<R>(
    writer: &mut csv::Writer<BufWriter<File>>,
    columns: &[Column<R>],
    row: &R,
    shop: &str,
) -> csv::Result<()> {
    for column in columns {
        writer.write_field(match (column.of)(row) {
            Cell::Nothing => String::new(),
            Cell::Text(text) => text.into_owned(),
            Cell::Number(value) => value.to_string(),
            Cell::Count(value) => value.to_string(),
            Cell::Truth(value) => value.to_string(),
            Cell::Day(day) => day.to_string(),
            Cell::Moment(at) => at.to_string(),
        })?;
    }
    writer.write_field(shop)?;
    writer.write_record(None::<&[u8]>)
}
