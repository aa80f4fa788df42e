//! Tables: a head that is said again on each page, and rows whose cells wrap.

use super::block::{Block, Look, paragraph, zipped};
use crate::ink::Align;
use crate::letters::{Face, Letters};
use crate::palette::Colour;

/// Room between columns.
const BETWEEN_PT: f64 = 6.0;

/// A column.
#[derive(Clone, Copy, Debug)]
pub(super) struct Column {
    pub(super) head: &'static str,
    /// Its part of the width.
    pub(super) share: f64,
    pub(super) look: Look,
}

/// A table.
#[derive(Clone, Debug)]
pub(super) struct Table {
    pub(super) columns: Vec<Column>,
    pub(super) rows: Vec<Vec<String>>,
}

/// Words in a table.
pub(super) const fn words(head: &'static str, share: f64) -> Column {
    Column { head, share, look: Look::SMALL }
}

/// Figures in a table, right-aligned and all of one width.
pub(super) const fn figures(head: &'static str, share: f64) -> Column {
    Column { head, share, look: Look::FIGURE }
}

impl Table {
    pub(super) const fn new(columns: Vec<Column>) -> Self {
        Self { columns, rows: Vec::new() }
    }

    pub(super) fn row(&mut self, cells: impl IntoIterator<Item = String>) {
        self.rows.push(cells.into_iter().collect());
    }

    pub(super) fn head(&self, letters: &Letters, width_pt: f64) -> Block {
        let heads = self.columns.iter().map(|column| {
            let look = Look { face: Face::Plain, ..column.look }.coloured(Colour::QUIET);
            (column.head.to_owned(), look)
        });
        self.line(letters, width_pt, heads.collect()).then(Block::rule(width_pt))
    }

    pub(super) fn lines(&self, letters: &Letters, width_pt: f64) -> Vec<Block> {
        let looks = || self.columns.iter().map(|column| column.look);
        self.rows
            .iter()
            .map(|row| self.line(letters, width_pt, row.iter().cloned().zip(looks()).collect()))
            .collect()
    }

    fn line(&self, letters: &Letters, width_pt: f64, cells: Vec<(String, Look)>) -> Block {
        let all: f64 = self.columns.iter().map(|column| column.share).sum();
        let room_pt = width_pt - BETWEEN_PT * (self.columns.len().max(1) - 1) as f64;
        let mut left_pt = 0.0;
        let mut columns = Vec::new();
        for (column, (text, look)) in self.columns.iter().zip(cells) {
            let column_pt = room_pt * column.share / all;
            // What wraps in a column of figures reads better from the left.
            let fits = letters.width_pt(&text, look.face, look.size_pt) <= column_pt;
            let look = if fits { look } else { Look { align: Align::Left, ..look } };
            columns.push((paragraph(letters, &text, column_pt, look), left_pt));
            left_pt += column_pt + BETWEEN_PT;
        }
        zipped(columns, 1.0)
    }
}
