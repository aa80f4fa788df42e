//! No column lacks a unit or a meaning, on the terminal and in the files.

use std::collections::BTreeSet;
use std::fs::File;
use std::path::Path;

use parquet::basic::Type as Physical;
use parquet::file::reader::FileReader as _;
use parquet::file::serialized_reader::SerializedFileReader;
use tables::Table;
use tables::columns::{ColumnKind, ColumnUnit};
use tables::file::{COLUMN_KEY, MADE_BY, TABLE_KEY};

use crate::read_back::{made, parts, run, shop};

#[test]
fn every_column_says_what_it_is_and_in_what() {
    for table in Table::ALL {
        let columns = table.described();
        assert!(columns.len() > 4 && !table.meaning().is_empty(), "{table:?}");
        let names: BTreeSet<&str> = columns.iter().map(|column| column.name).collect();
        assert_eq!(names.len(), columns.len(), "{table:?}: a name twice");
        for column in columns {
            let name = column.name;
            let plain = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '_';
            assert!(name.chars().all(plain) && name != "shop" && name != "month", "{name}");
            assert!(column.meaning.chars().count() > 10, "{name} says too little");
            assert!(name.ends_with(column.unit.ending()), "{name} is in {:?}", column.unit);
            assert_eq!(
                column.kind == ColumnKind::Number,
                column.unit != ColumnUnit::None,
                "{name}"
            );
            if column.kind == ColumnKind::Moment {
                assert!(name.ends_with("_utc"), "{name}");
            }
            let ends = [ColumnUnit::Arcmin, ColumnUnit::Deg, ColumnUnit::Mm, ColumnUnit::Share]
                .map(ColumnUnit::ending);
            let says_unit = ends.iter().any(|end| name.ends_with(end));
            assert!(
                !says_unit || column.kind == ColumnKind::Number,
                "{name} names a unit and has none"
            );
        }
    }
}

#[test]
fn the_program_prints_all_of_them() {
    let run = run(&[Path::new("--schema")]);
    assert_eq!((run.code, run.err.as_str()), (0, ""));
    for table in Table::ALL {
        assert!(run.out.contains(&format!("\n{}: {}\n", table.name(), table.meaning())));
        for column in table.described() {
            let line = |line: &&str| line.split_whitespace().next() == Some(column.name);
            let told =
                run.out.lines().filter(line).any(|line| {
                    line.ends_with(column.meaning) && line.contains(column.unit.word())
                });
            assert!(told, "{}.{}", table.name(), column.name);
        }
    }
}

/// A table without rows has its columns all the same, so that queries find them.
#[test]
fn the_files_say_it_too_and_have_these_columns() {
    let folder = tempfile::tempdir().unwrap();
    let empty = shop(&folder.path().join("empty"), &[]);
    let to = folder.path().join("to");
    assert_eq!(made(&[&empty], &to).code, 0);
    for table in Table::ALL {
        let files = parts(&to, table);
        assert_eq!(files.len(), 1, "{files:?}");
        let reader = SerializedFileReader::new(File::open(&files[0]).unwrap()).unwrap();
        let metadata = reader.metadata().file_metadata();
        assert_eq!(metadata.num_rows(), 0);
        assert!(metadata.created_by().unwrap().starts_with(MADE_BY));
        let said = metadata.key_value_metadata().unwrap();
        let value = |key: &str| said.iter().find(|one| one.key == key)?.value.clone();
        assert_eq!(value(TABLE_KEY).as_deref(), Some(table.name()));
        let columns = table.described();
        let schema = metadata.schema_descr();
        assert_eq!(schema.num_columns(), columns.len());
        for (index, column) in columns.iter().enumerate() {
            let written = schema.column(index);
            assert_eq!(written.name(), column.name);
            let physical = match column.kind {
                ColumnKind::Text => Physical::BYTE_ARRAY,
                ColumnKind::Number => Physical::DOUBLE,
                ColumnKind::Count | ColumnKind::Moment => Physical::INT64,
                ColumnKind::Truth => Physical::BOOLEAN,
                ColumnKind::Day => Physical::INT32,
            };
            assert_eq!(written.physical_type(), physical, "{}", column.name);
            // What is not known can be left out of every column.
            assert_eq!(written.max_def_level(), 1, "{}", column.name);
            let told = value(&format!("{COLUMN_KEY}{}", column.name)).unwrap();
            assert!(told.contains(column.unit.word()) && told.contains(column.meaning), "{told}");
        }
    }
}
