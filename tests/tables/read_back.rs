//! Rows of a table from disk, read with the parquet crate itself; and runs of the program.

use std::collections::BTreeMap;
use std::fs::{self, File};
use std::path::{Path, PathBuf};
use std::process::Command;

use parquet::file::reader::FileReader as _;
use parquet::file::serialized_reader::SerializedFileReader;
use parquet::record::Field;
use tables::Table;

/// A row, by column; `shop` and `month` are those of its folders.
pub(crate) type Read = BTreeMap<String, Field>;

/// The folders and files below a folder, by path.
pub(crate) fn files(folder: &Path) -> Vec<PathBuf> {
    let mut found = Vec::new();
    let mut folders = vec![folder.to_owned()];
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(folder).into_iter().flatten() {
            let path = entry.unwrap().path();
            if path.is_dir() { folders.push(path) } else { found.push(path) }
        }
    }
    found.sort();
    found
}

/// The Parquet files of a table.
pub(crate) fn parts(to: &Path, table: Table) -> Vec<PathBuf> {
    files(&to.join(table.name()))
}

/// Every row of a table.
pub(crate) fn rows(to: &Path, table: Table) -> Vec<Read> {
    let mut found = Vec::new();
    for path in parts(to, table) {
        let reader = SerializedFileReader::new(File::open(&path).unwrap()).unwrap();
        let month = path.parent().unwrap().file_name().unwrap().to_str().unwrap().to_owned();
        for row in reader.get_row_iter(None).unwrap() {
            let columns = row.unwrap().into_columns();
            let mut read: Read = columns.into_iter().collect();
            read.insert("month".to_owned(), Field::Str(month.replace("month=", "")));
            found.push(read);
        }
    }
    found
}

pub(crate) fn text(row: &Read, column: &str) -> Option<String> {
    match &row[column] {
        Field::Str(text) => Some(text.clone()),
        Field::Null => None,
        other => panic!("{column}: {other:?}"),
    }
}

pub(crate) fn number(row: &Read, column: &str) -> Option<f64> {
    match row[column] {
        Field::Double(value) => Some(value),
        Field::Null => None,
        ref other => panic!("{column}: {other:?}"),
    }
}

pub(crate) fn count(row: &Read, column: &str) -> Option<i64> {
    match row[column] {
        Field::Long(value) => Some(value),
        Field::Null => None,
        ref other => panic!("{column}: {other:?}"),
    }
}

pub(crate) fn truth(row: &Read, column: &str) -> Option<bool> {
    match row[column] {
        Field::Bool(value) => Some(value),
        Field::Null => None,
        ref other => panic!("{column}: {other:?}"),
    }
}

/// The invented shop that comes with the program.
pub(crate) fn demo_shop() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo-data")
}

/// A session that was worked to its signature.
pub(crate) fn whole_job() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/data/format1/whole-job.samepoint")
}

/// A shop with these sessions.
pub(crate) fn shop(folder: &Path, sessions: &[(&str, &Path)]) -> PathBuf {
    fs::create_dir_all(folder.join("sessions")).unwrap();
    for (name, from) in sessions {
        fs::copy(from, folder.join("sessions").join(name)).unwrap();
    }
    folder.to_owned()
}

/// A copy of the invented shop's sessions and what lies beside them.
pub(crate) fn copy_of_demo(folder: &Path) -> PathBuf {
    let from = demo_shop();
    for path in files(&from) {
        let to = folder.join(path.strip_prefix(&from).unwrap());
        fs::create_dir_all(to.parent().unwrap()).unwrap();
        fs::copy(path, to).unwrap();
    }
    folder.to_owned()
}

/// What a run of the program said.
#[derive(Debug)]
pub(crate) struct Run {
    pub(crate) code: i32,
    pub(crate) out: String,
    pub(crate) err: String,
}

impl Run {
    /// One message, nothing else said, exit code 2.
    #[track_caller]
    pub(crate) fn refused(self) -> String {
        assert_eq!((self.code, self.err.lines().count()), (2, 1), "{self:?}");
        assert!(self.out.is_empty() && self.err.starts_with("samepoint: "), "{self:?}");
        self.err
    }
}

pub(crate) fn run(arguments: &[&Path]) -> Run {
    let done =
        Command::new(env!("CARGO_BIN_EXE_samepoint-tables")).args(arguments).output().unwrap();
    let text = |bytes: &[u8]| String::from_utf8(bytes.to_vec()).unwrap();
    Run { code: done.status.code().unwrap(), out: text(&done.stdout), err: text(&done.stderr) }
}

/// Makes tables of shops.
pub(crate) fn made(shops: &[&Path], to: &Path) -> Run {
    let mut arguments = shops.to_vec();
    arguments.extend([Path::new("--to"), to]);
    run(&arguments)
}

/// The bytes of every table's file, by path in the folder.
pub(crate) fn bytes(to: &Path) -> BTreeMap<PathBuf, Vec<u8>> {
    let tables =
        files(to).into_iter().filter(|path| path.extension().is_some_and(|e| e == "parquet"));
    tables
        .map(|path| (path.strip_prefix(to).unwrap().to_owned(), fs::read(&path).unwrap()))
        .collect()
}
