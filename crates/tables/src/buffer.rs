//! Rows of a table, kept column by column until they are written.

use jiff::civil::{Date, date};
use parquet::data_type::ByteArray;

use crate::columns::{Cell, Column, ColumnKind, Described, Table};

/// Some rows of a table.
#[derive(Clone, Debug)]
pub struct Buffer {
    pub(crate) columns: Vec<ColumnBuffer>,
    rows: usize,
}

/// A column's values, and for each row whether it has one.
#[derive(Clone, Debug)]
pub(crate) struct ColumnBuffer {
    pub(crate) described: Described,
    /// 1 where the row has a value, 0 where it has none.
    pub(crate) levels: Vec<i16>,
    pub(crate) values: Values,
}

/// The values of those rows that have one.
#[derive(Clone, Debug)]
pub(crate) enum Values {
    Text(Vec<ByteArray>),
    Number(Vec<f64>),
    Count(Vec<i64>),
    Truth(Vec<bool>),
    /// Days since 1970-01-01.
    Day(Vec<i32>),
    /// Milliseconds since 1970-01-01, UTC.
    Moment(Vec<i64>),
}

impl Values {
    const fn of(kind: ColumnKind) -> Self {
        match kind {
            ColumnKind::Text => Self::Text(Vec::new()),
            ColumnKind::Number => Self::Number(Vec::new()),
            ColumnKind::Count => Self::Count(Vec::new()),
            ColumnKind::Truth => Self::Truth(Vec::new()),
            ColumnKind::Day => Self::Day(Vec::new()),
            ColumnKind::Moment => Self::Moment(Vec::new()),
        }
    }

    /// Takes a value in; whether it was one of this kind.
    fn take(&mut self, cell: Cell<'_>) -> bool {
        match (self, cell) {
            (Self::Text(held), Cell::Text(text)) => {
                held.push(ByteArray::from(text.into_owned().into_bytes()));
            }
            (Self::Number(held), Cell::Number(value)) => held.push(value),
            (Self::Count(held), Cell::Count(value)) => held.push(value),
            (Self::Truth(held), Cell::Truth(value)) => held.push(value),
            (Self::Day(held), Cell::Day(day)) => held.push(days_since_1970(day)),
            (Self::Moment(held), Cell::Moment(at)) => held.push(at.unix_milliseconds()),
            _ => return false,
        }
        true
    }

    fn append(&mut self, other: Self) {
        match (self, other) {
            (Self::Text(held), Self::Text(more)) => held.extend(more),
            (Self::Number(held), Self::Number(more)) => held.extend(more),
            (Self::Count(held), Self::Count(more)) | (Self::Moment(held), Self::Moment(more)) => {
                held.extend(more);
            }
            (Self::Truth(held), Self::Truth(more)) => held.extend(more),
            (Self::Day(held), Self::Day(more)) => held.extend(more),
            _ => debug_assert!(false, "buffers of one table have the same columns"),
        }
    }
}

/// A day's number, counted from 1970-01-01.
#[must_use]
pub fn days_since_1970(day: Date) -> i32 {
    day.duration_since(date(1970, 1, 1)).as_hours().div_euclid(24) as i32
}

impl Buffer {
    /// Of a table, without rows.
    #[must_use]
    pub fn of(table: Table) -> Self {
        let held = |described: Described| ColumnBuffer {
            described,
            levels: Vec::new(),
            values: Values::of(described.kind),
        };
        Self { columns: table.described().into_iter().map(held).collect(), rows: 0 }
    }

    /// How many rows.
    #[must_use]
    pub const fn rows(&self) -> usize {
        self.rows
    }

    /// Adds a row. A cell of another kind than its column is none.
    pub fn push<R>(&mut self, columns: &[Column<R>], row: &R) {
        for (held, column) in self.columns.iter_mut().zip(columns) {
            debug_assert_eq!(held.described, column.described, "a row of another table");
            let taken = held.values.take((column.of)(row));
            held.levels.push(i16::from(taken));
        }
        self.rows += 1;
    }

    /// Adds the rows of another buffer of the same table.
    pub fn append(&mut self, other: Self) {
        for (held, more) in self.columns.iter_mut().zip(other.columns) {
            held.levels.extend(more.levels);
            held.values.append(more.values);
        }
        self.rows += other.rows;
    }
}

/// Rows of every table.
#[derive(Clone, Debug)]
pub struct Buffers {
    each: Vec<(Table, Buffer)>,
}

impl Default for Buffers {
    fn default() -> Self {
        Self { each: Table::ALL.into_iter().map(|table| (table, Buffer::of(table))).collect() }
    }
}

impl Buffers {
    /// Adds a row to a table.
    pub fn push<R>(&mut self, table: Table, columns: &[Column<R>], row: &R) {
        if let Some((_, buffer)) = self.each.iter_mut().find(|(of, _)| *of == table) {
            buffer.push(columns, row);
        }
    }

    /// Adds the rows of others.
    pub fn append(&mut self, others: Self) {
        for ((_, buffer), (_, more)) in self.each.iter_mut().zip(others.each) {
            buffer.append(more);
        }
    }

    /// The tables that have rows.
    pub fn filled(self) -> impl Iterator<Item = (Table, Buffer)> {
        self.each.into_iter().filter(|(_, buffer)| buffer.rows() > 0)
    }
}
