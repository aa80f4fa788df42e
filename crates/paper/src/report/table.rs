//! Tables: a head that is said again on each page, and rows whose cells wrap.

use super::block::{Band, Block, TextLook, paragraph};
use super::wrap::is_one_line;
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
    pub(super) look: TextLook,
}

/// A table.
#[derive(Clone, Debug)]
pub(super) struct Table {
    pub(super) columns: Vec<Column>,
    pub(super) rows: Vec<Vec<String>>,
}

/// Words in a table.
pub(super) const fn words(head: &'static str, share: f64) -> Column {
    Column { head, share, look: TextLook::SMALL }
}

/// Figures in a table, right-aligned and all of one width.
pub(super) const fn figures(head: &'static str, share: f64) -> Column {
    Column { head, share, look: TextLook::FIGURE }
}

impl Table {
    pub(super) const fn new(columns: Vec<Column>) -> Self {
        Self { columns, rows: Vec::new() }
    }

    pub(super) fn row(&mut self, cells: impl IntoIterator<Item = String>) {
        self.rows.push(cells.into_iter().collect());
    }
}

/// Columns in their places.
pub(super) struct Ruled<'a> {
    letters: &'a Letters,
    width_pt: f64,
    /// Each with its left edge and its width, points.
    columns: Vec<(Column, f64, f64)>,
}

impl<'a> Ruled<'a> {
    pub(super) fn new(columns: &[Column], letters: &'a Letters, width_pt: f64) -> Self {
        let all: f64 = columns.iter().map(|column| column.share).sum();
        let room_pt = width_pt - BETWEEN_PT * (columns.len().max(1) - 1) as f64;
        let mut left_pt = 0.0;
        let mut placed = Vec::with_capacity(columns.len());
        for &column in columns {
            let column_pt = room_pt * column.share / all;
            placed.push((column, left_pt, column_pt));
            left_pt += column_pt + BETWEEN_PT;
        }
        Self { letters, width_pt, columns: placed }
    }

    pub(super) fn head(&self) -> Block {
        let mut line = Block::default();
        for &(column, left_pt, column_pt) in &self.columns {
            let look = TextLook { face: Face::Plain, ..column.look }.coloured(Colour::QUIET);
            self.cell(&mut line, column.head.to_owned(), look, left_pt, column_pt);
        }
        line.above(1.0).then(Block::rule(self.width_pt))
    }

    pub(super) fn line(&self, cells: impl IntoIterator<Item = String>) -> Block {
        let first = Band { height_pt: 0.0, ink: Vec::with_capacity(self.columns.len()) };
        let mut line = Block(vec![first]);
        for (&(column, left_pt, column_pt), text) in self.columns.iter().zip(cells) {
            self.cell(&mut line, text, column.look, left_pt, column_pt);
        }
        line.above(1.0)
    }

    fn cell(&self, line: &mut Block, text: String, look: TextLook, left_pt: f64, column_pt: f64) {
        let letters = self.letters;
        // What wraps in a column of figures reads better from the left.
        let fits = letters.width_pt(&text, look.face, look.size_pt) <= column_pt;
        let look = if fits { look } else { TextLook { align: Align::Left, ..look } };
        if is_one_line(letters, &text, look.face, look.size_pt, column_pt) {
            line.put_line(text, column_pt, look, left_pt);
        } else {
            line.put(paragraph(letters, &text, column_pt, look), left_pt);
        }
    }
}
