//! Tables: a head that is said again on each page, and rows whose cells wrap.

use std::cell::Cell;

use super::block::{Band, Block, TextLook, paragraph_of};
use super::wrap::{is_one_line, widest_word_pt};
use crate::ink::Align;
use crate::letters::{Face, Letters};
use crate::palette::Colour;
use crate::parts::{CellPlace, InkPart, PartRole};

/// Room between columns.
const BETWEEN_PT: f64 = 6.0;

/// A head's column is this much wider than its widest word.
const NOT_TIGHT_PT: f64 = 0.1;

/// A column.
#[derive(Clone, Copy, Debug)]
pub(super) struct ReportColumn {
    pub(super) head: &'static str,
    /// Its part of the width.
    pub(super) share: f64,
    pub(super) look: TextLook,
}

/// A table.
#[derive(Clone, Debug)]
pub(super) struct ReportTable {
    pub(super) columns: Vec<ReportColumn>,
    pub(super) rows: Vec<Vec<String>>,
}

/// Words in a table.
pub(super) const fn words(head: &'static str, share: f64) -> ReportColumn {
    ReportColumn { head, share, look: TextLook::SMALL }
}

/// Figures in a table, right-aligned and all of one width.
pub(super) const fn figures(head: &'static str, share: f64) -> ReportColumn {
    ReportColumn { head, share, look: TextLook::FIGURE }
}

impl ReportTable {
    pub(super) const fn new(columns: Vec<ReportColumn>) -> Self {
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
    columns: Vec<(ReportColumn, f64, f64)>,
    /// Which table of the document it is, and how many rows were made.
    number: u32,
    rows: Cell<u32>,
}

/// Rows beyond this are told as one paragraph each: a tag for each cell of many thousand would be most of the file.
const ROWS_TOLD: u32 = 1000;

impl<'a> Ruled<'a> {
    pub(super) fn new(columns: &[ReportColumn], letters: &'a Letters, width_pt: f64) -> Self {
        let all: f64 = columns.iter().map(|column| column.share).sum();
        let room_pt = width_pt - BETWEEN_PT * (columns.len().max(1) - 1) as f64;
        // No head is broken inside a word: its column takes what it needs, and the others share the rest.
        let need_pt = |column: &ReportColumn| {
            widest_word_pt(letters, column.head, Face::Plain, column.look.size_pt) + NOT_TIGHT_PT
        };
        let narrow = |column: &ReportColumn| need_pt(column) > room_pt * column.share / all;
        let (taken_pt, taken) = columns
            .iter()
            .filter(|column| narrow(column))
            .fold((0.0, 0.0), |(pt, of), column| (pt + need_pt(column), of + column.share));
        let share_pt = (room_pt - taken_pt) / (all - taken).max(f64::MIN_POSITIVE);
        let mut left_pt = 0.0;
        let mut placed = Vec::with_capacity(columns.len());
        for &column in columns {
            let column_pt = match taken_pt < room_pt {
                true if narrow(&column) => need_pt(&column),
                true => share_pt * column.share,
                false => room_pt * column.share / all,
            };
            placed.push((column, left_pt, column_pt));
            left_pt += column_pt + BETWEEN_PT;
        }
        Self {
            letters,
            width_pt,
            columns: placed,
            number: letters.next_number(),
            rows: Cell::default(),
        }
    }

    pub(super) fn head(&self) -> Block {
        let mut line = Block::default();
        for (place, &(column, left_pt, column_pt)) in (0..).zip(&self.columns) {
            let look = TextLook { face: Face::Plain, ..column.look }.coloured(Colour::QUIET);
            let part = self.part(0, place, true);
            self.cell(&mut line, column.head.to_owned(), look, (left_pt, column_pt), part);
        }
        line.above(1.0).then(Block::rule(self.width_pt))
    }

    pub(super) fn line(&self, cells: impl IntoIterator<Item = String>) -> Block {
        let first = Band { height_pt: 0.0, ink: Vec::with_capacity(self.columns.len()) };
        let mut line = Block(vec![first]);
        let row = self.rows.get().saturating_add(1);
        self.rows.set(row);
        let whole = (row > ROWS_TOLD).then(|| self.letters.part(PartRole::Paragraph));
        let each = (0..).zip(&self.columns).zip(cells);
        for ((place, &(column, left_pt, column_pt)), mut text) in each {
            if whole.is_some() {
                text.push(' ');
            }
            let part = whole.clone().unwrap_or_else(|| self.part(row, place, false));
            self.cell(&mut line, text, column.look, (left_pt, column_pt), part);
        }
        line.above(1.0)
    }

    fn part(&self, row: u32, column: u32, heads: bool) -> InkPart {
        self.letters.part(PartRole::Cell(CellPlace { table: self.number, row, column, heads }))
    }

    fn cell(
        &self,
        line: &mut Block,
        text: String,
        look: TextLook,
        (left_pt, column_pt): (f64, f64),
        part: InkPart,
    ) {
        // An empty cell is a cell all the same, or those after it would be told under other heads.
        if text.is_empty() {
            line.put_line(" ".to_owned(), column_pt, look, left_pt, part);
            return;
        }
        let letters = self.letters;
        // What wraps in a column of figures reads better from the left.
        let fits = letters.width_pt(&text, look.face, look.size_pt) <= column_pt;
        let look = if fits { look } else { TextLook { align: Align::Left, ..look } };
        if is_one_line(letters, &text, look.face, look.size_pt, column_pt) {
            line.put_line(text, column_pt, look, left_pt, part);
        } else {
            line.put(paragraph_of(letters, &text, column_pt, look, &part), left_pt);
        }
    }
}
