//! Words in a chart: inside its room, and not over each other.

use std::sync::Arc;

use egui::text::{LayoutJob, TextWrapping};
use egui::{Align2, Color32, FontId, Galley, Pos2, Rect, vec2};

use super::Chart;

/// Size of words and numbers, points.
const SIZE: f32 = 12.0;
/// Points between words that stand beside each other.
const APART: f32 = 4.0;
/// How many rows words are moved at most to stand clear of others.
const ROWS: u8 = 4;

impl Chart<'_> {
    /// A number, left out where words stand already; whether it is there.
    pub(crate) fn number(&mut self, at: Pos2, align: Align2, text: &str) -> bool {
        let galley = self.laid(text, self.palette.quiet, f32::INFINITY);
        self.put(at, align, &galley, 0)
    }

    /// Words that are never left out: they stand where they are wanted, or as few rows above or below as
    /// leaves room.
    pub(crate) fn words(&mut self, at: Pos2, align: Align2, text: &str, colour: Color32) {
        self.words_within(at, align, text, colour, f32::INFINITY);
    }

    /// The same, their end left away where they are wider than `most` points.
    pub(crate) fn words_within(
        &mut self,
        at: Pos2,
        align: Align2,
        text: &str,
        colour: Color32,
        most: f32,
    ) {
        let galley = self.laid(text, colour, most);
        if !self.put(at, align, &galley, ROWS) {
            let rect = self.kept(align.anchor_size(at, galley.size()));
            self.painter.galley(rect.min, galley, colour);
        }
    }

    fn put(&mut self, at: Pos2, align: Align2, galley: &Arc<Galley>, rows: u8) -> bool {
        let wanted = align.anchor_size(at, galley.size());
        let moved =
            |row: i16| self.kept(wanted.translate(vec2(0.0, f32::from(row) * wanted.height())));
        // Letters are less high than the box of their line.
        let around = |rect: Rect| rect.expand2(vec2(APART / 2.0, -3.0));
        let free = |rect: &Rect| !self.taken.iter().any(|other| other.intersects(around(*rect)));
        let rows = i16::from(rows);
        let Some(rect) = (0..=rows).flat_map(|row| [-row, row]).map(moved).find(free) else {
            return false;
        };
        self.painter.galley(rect.min, Arc::clone(galley), self.palette.text);
        self.taken.push(around(rect));
        true
    }

    fn laid(&self, text: &str, colour: Color32, most: f32) -> Arc<Galley> {
        let font = FontId::proportional(SIZE);
        let mut job = LayoutJob::simple_singleline(text.to_owned(), font, colour);
        job.wrap = TextWrapping::truncate_at_width(most);
        self.painter.layout_job(job)
    }

    /// Moved along the edge of the room rather than cut by it.
    fn kept(&self, rect: Rect) -> Rect {
        let room = self.room.shrink2(vec2(2.0, 1.0));
        let back = vec2(
            (room.left() - rect.left()).max(0.0) - (rect.right() - room.right()).max(0.0),
            (room.top() - rect.top()).max(0.0) - (rect.bottom() - room.bottom()).max(0.0),
        );
        rect.translate(back)
    }
}
