//! A table's rows as a Parquet file, the same bytes for the same rows; and whether a file is one of ours.

use std::fs::File;
use std::path::Path;
use std::sync::Arc;

use parquet::basic::{Compression, LogicalType, Repetition, TimeUnit, Type as Physical};
use parquet::column::writer::ColumnWriter;
use parquet::errors::{ParquetError, Result};
use parquet::file::metadata::KeyValue;
use parquet::file::properties::WriterProperties;
use parquet::file::reader::FileReader as _;
use parquet::file::serialized_reader::SerializedFileReader;
use parquet::file::writer::SerializedFileWriter;
use parquet::schema::types::{Type, TypePtr};

use crate::buffer::{Buffer, ColumnBuffer, Values};
use crate::columns::told::SCHEMA;
use crate::columns::{ColumnKind, Described, Table};

/// What made a file: its name, and its version behind that.
pub const MADE_BY: &str = "samepoint-tables version ";

/// Under which key a file says which table it is of.
pub const TABLE_KEY: &str = "samepoint.table";

/// Under which key a file says what is in it.
pub const MEANING_KEY: &str = "samepoint.meaning";

/// Under which key a file says the number of its schema.
pub const SCHEMA_KEY: &str = "samepoint.schema";

/// What goes before a column's name in the key under which a file says its unit and meaning.
pub const COLUMN_KEY: &str = "samepoint.column.";

/// The rows of a table as a Parquet file.
///
/// # Errors
/// The library's own; none is known that rows can reach.
pub fn encoded(table: Table, rows: &Buffer) -> Result<Vec<u8>> {
    let properties = WriterProperties::builder()
        .set_created_by(format!("{MADE_BY}{}", env!("CARGO_PKG_VERSION")))
        .set_compression(Compression::SNAPPY)
        .set_key_value_metadata(Some(said_of(table)))
        .build();
    let mut writer = SerializedFileWriter::new(Vec::new(), schema(table)?, Arc::new(properties))?;
    if rows.rows() > 0 {
        let mut group = writer.next_row_group()?;
        for held in &rows.columns {
            let Some(mut column) = group.next_column()? else { return Err(other_columns()) };
            written(column.untyped(), held)?;
            column.close()?;
        }
        group.close()?;
    }
    writer.into_inner()
}

fn written(column: &mut ColumnWriter<'_>, held: &ColumnBuffer) -> Result<()> {
    let levels = Some(held.levels.as_slice());
    match (column, &held.values) {
        (ColumnWriter::ByteArrayColumnWriter(to), Values::Text(values)) => {
            to.write_batch(values, levels, None)?
        }
        (ColumnWriter::DoubleColumnWriter(to), Values::Number(values)) => {
            to.write_batch(values, levels, None)?
        }
        (ColumnWriter::Int64ColumnWriter(to), Values::Count(values) | Values::Moment(values)) => {
            to.write_batch(values, levels, None)?
        }
        (ColumnWriter::BoolColumnWriter(to), Values::Truth(values)) => {
            to.write_batch(values, levels, None)?
        }
        (ColumnWriter::Int32ColumnWriter(to), Values::Day(values)) => {
            to.write_batch(values, levels, None)?
        }
        _ => return Err(other_columns()),
    };
    Ok(())
}

fn other_columns() -> ParquetError {
    ParquetError::General("the rows are of another table".to_owned())
}

/// What a file says of itself and of its columns.
fn said_of(table: Table) -> Vec<KeyValue> {
    let mut said = vec![
        KeyValue::new(TABLE_KEY.to_owned(), table.name().to_owned()),
        KeyValue::new(MEANING_KEY.to_owned(), table.meaning().to_owned()),
        KeyValue::new(SCHEMA_KEY.to_owned(), SCHEMA.to_string()),
    ];
    said.extend(table.described().into_iter().map(|column| {
        let words = format!("{}; {}; {}", column.kind.word(), column.unit.word(), column.meaning);
        KeyValue::new(format!("{COLUMN_KEY}{}", column.name), words)
    }));
    said
}

fn schema(table: Table) -> Result<TypePtr> {
    let fields: Result<Vec<TypePtr>> =
        table.described().into_iter().map(|column| Ok(Arc::new(field(column)?))).collect();
    Ok(Arc::new(Type::group_type_builder(table.name()).with_fields(fields?).build()?))
}

fn field(column: Described) -> Result<Type> {
    let (physical, logical) = match column.kind {
        ColumnKind::Text => (Physical::BYTE_ARRAY, Some(LogicalType::String)),
        ColumnKind::Number => (Physical::DOUBLE, None),
        ColumnKind::Count => (Physical::INT64, None),
        ColumnKind::Truth => (Physical::BOOLEAN, None),
        ColumnKind::Day => (Physical::INT32, Some(LogicalType::Date)),
        ColumnKind::Moment => (Physical::INT64, Some(moment())),
    };
    Type::primitive_type_builder(column.name, physical)
        .with_logical_type(logical)
        .with_repetition(Repetition::OPTIONAL)
        .build()
}

/// UTC, to the millisecond.
fn moment() -> LogicalType {
    LogicalType::timestamp(true, TimeUnit::MILLIS)
}

/// Whether a plain file is a table of this name that this program wrote: told by its whole frame, from its first
/// bytes to the end that says what made it and what is in it.
#[must_use]
pub fn is_ours(path: &Path, table: Table) -> bool {
    let plain = path.symlink_metadata().is_ok_and(|metadata| metadata.is_file());
    let Some(opened) = plain.then(|| File::open(path).ok()).flatten() else { return false };
    let Ok(reader) = SerializedFileReader::new(opened) else { return false };
    let metadata = reader.metadata().file_metadata();
    let says = |key: &str| {
        let said = metadata.key_value_metadata()?.iter().find(|said| said.key == key)?;
        said.value.clone()
    };
    metadata.created_by().is_some_and(|by| by.starts_with(MADE_BY))
        && says(TABLE_KEY).as_deref() == Some(table.name())
        && says(SCHEMA_KEY).is_some()
}
