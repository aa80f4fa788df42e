//! Blocks → pages: what does not fit goes on overleaf, and every page says what it is.

use super::block::{Band, Block, Rank, TextLook, moved, paragraph};
use super::size::PaperSize;
use super::table::{ReportColumn, ReportTable, Ruled};
use super::wrap::shortened;
use crate::ink::{Align, Ink, Pen, rectangle};
use crate::letters::{Face, Letters};
use crate::palette::Colour;
use crate::parts::InkPart;

/// Left and right margin.
const SIDE_PT: f64 = 48.0;
/// From the upper edge to where pages begin, below their head.
const TOP_PT: f64 = 46.0;
/// Kept free at the foot.
const FOOT_PT: f64 = 44.0;

/// What marks on a page may take.
const MARKED_PT: f64 = 40.0;

/// Pages being filled.
pub(super) struct Flow<'a> {
    letters: &'a Letters,
    paper: PaperSize,
    /// What every page is marked with.
    marks: Vec<String>,
    pages: Vec<Vec<Ink>>,
    /// What a shop wants at the foot of each.
    own_foot: String,
    down_pt: f64,
}

/// What every page says of itself.
pub(super) struct RunningHead {
    /// What the report is about.
    pub(super) title: String,
    /// Its number and the day it is issued; empty where it has none.
    pub(super) issue: String,
    /// What it was drawn from.
    pub(super) foot: String,
}

impl<'a> Flow<'a> {
    pub(super) fn new(letters: &'a Letters, paper: PaperSize, marks: Vec<String>) -> Self {
        let (pages, own_foot) = (Vec::new(), String::new());
        let mut flow = Self { letters, paper, marks, pages, own_foot, down_pt: 0.0 };
        flow.new_page();
        flow
    }

    /// Puts a line of the shop's own at the foot of every page.
    pub(super) fn own_foot(&mut self, text: &str) {
        text.trim().clone_into(&mut self.own_foot);
    }

    pub(super) const fn letters(&self) -> &'a Letters {
        self.letters
    }

    pub(super) fn width_pt(&self) -> f64 {
        self.paper.size_pt()[0] - 2.0 * SIDE_PT
    }

    fn end_pt(&self) -> f64 {
        self.paper.size_pt()[1] - FOOT_PT
    }

    /// Room left on this page.
    pub(super) fn left_pt(&self) -> f64 {
        self.end_pt() - self.down_pt
    }

    pub(super) fn new_page(&mut self) {
        self.pages.push(Vec::new());
        self.down_pt = TOP_PT;
        if !self.marks.is_empty() {
            let text = self.marks.join(" · ");
            let look = TextLook::BODY.bold().sized(9.5).coloured(Colour::WHITE);
            let rank = if self.pages.len() == 1 { Rank::Running } else { Rank::Repeated };
            let look = TextLook { align: Align::Middle, rank, ..look };
            let words = paragraph(self.letters, &text, self.width_pt() - 16.0, look);
            let height_pt = words.height_pt() + 7.0;
            let frame = rectangle([0.0, 0.0], [self.width_pt(), height_pt]);
            let ground = Ink::Path { points: frame, closed: true, pen: Pen::fill(Colour::LOOK) };
            let strip = Block(vec![Band { height_pt: 0.0, ink: vec![ground] }])
                .then(Block::gap(3.0))
                .then(Block(words.0).beside_nothing(8.0))
                .then(Block::gap(12.0));
            for band in strip.0 {
                self.put(band);
            }
        }
    }

    fn put(&mut self, band: Band) {
        let at = [SIDE_PT, self.down_pt];
        if let Some(page) = self.pages.last_mut() {
            page.extend(band.ink.into_iter().map(|ink| moved(ink, at)));
        }
        self.down_pt += band.height_pt;
    }

    fn fresh_pt(&self) -> f64 {
        self.end_pt() - TOP_PT
    }

    /// Places a block, over several pages if it must.
    pub(super) fn place(&mut self, block: Block) {
        for band in block.0 {
            if band.height_pt > self.left_pt() {
                self.new_page();
            }
            self.put(band);
        }
    }

    /// Places a block on one page if one page can hold it.
    pub(super) fn place_whole(&mut self, block: Block) {
        let height_pt = block.height_pt();
        if height_pt > self.left_pt() && height_pt <= self.fresh_pt() - MARKED_PT {
            self.new_page();
        }
        self.place(block);
    }

    pub(super) fn gap(&mut self, height_pt: f64) {
        self.down_pt += height_pt;
    }

    /// A heading; never the last thing on a page.
    pub(super) fn heading(&mut self, text: &str) {
        let look = TextLook::BODY.bold().sized(11.0).ranked(Rank::Heading);
        let block = paragraph(self.letters, text, self.width_pt(), look);
        if block.height_pt() + 60.0 > self.left_pt() {
            self.new_page();
        } else {
            self.gap(7.0);
        }
        self.place(block.then(Block::rule(self.width_pt())));
    }

    /// What the document is about.
    pub(super) fn title(&mut self, text: &str) {
        self.paragraph(text, TextLook::BODY.bold().sized(15.0).ranked(Rank::Title));
    }

    /// What the pages after it are about.
    pub(super) fn subtitle(&mut self, text: &str) {
        self.paragraph(text, TextLook::BODY.bold().sized(14.0).ranked(Rank::Heading));
    }

    pub(super) fn paragraph(&mut self, text: &str, look: TextLook) {
        self.place(paragraph(self.letters, text, self.width_pt(), look));
    }

    /// Says which characters were told by their numbers so far, if any were.
    pub(super) fn tell_numbers(&mut self) {
        let by_number = self.letters.told_by_number();
        if !by_number.is_empty() {
            let text = format!(
                "Told by their numbers in brackets, since this program has no letters for them: {}.",
                by_number.join(", ")
            );
            self.paragraph(&text, TextLook::BODY);
        }
    }

    /// A table, its head said again on each page.
    pub(super) fn table(&mut self, table: ReportTable) {
        self.rows(&table.columns, table.rows);
    }

    /// The same of rows that are made as they are placed.
    pub(super) fn rows(
        &mut self,
        columns: &[ReportColumn],
        rows: impl IntoIterator<Item = Vec<String>>,
    ) {
        let ruled = Ruled::new(columns, self.letters, self.width_pt());
        let mut lines = rows.into_iter().map(|row| ruled.line(row)).peekable();
        let Some(first) = lines.peek() else { return };
        let first_pt = first.height_pt().min(self.fresh_pt() / 2.0);
        let head = ruled.head();
        if head.height_pt() + first_pt > self.left_pt() {
            self.new_page();
        }
        self.place(head.clone());
        let head_pt = head.height_pt();
        for line in lines {
            // A row stands whole wherever a page can hold it.
            let row_pt = line.height_pt();
            if row_pt > self.left_pt() && row_pt <= self.fresh_pt() - head_pt - MARKED_PT {
                self.new_page();
                self.place(head.clone().repeated());
            }
            for band in line.0 {
                if band.height_pt > self.left_pt() {
                    self.new_page();
                    self.place(head.clone().repeated());
                }
                self.put(band);
            }
        }
        self.gap(5.0);
    }

    /// The pages, each with its head and foot.
    pub(super) fn finish(self, running: &RunningHead) -> Vec<Vec<Ink>> {
        let [width_pt, height_pt] = self.paper.size_pt();
        let count = self.pages.len();
        let (from, to) = (SIDE_PT, width_pt - SIDE_PT);
        let issue = match running.issue.as_str() {
            "" => String::new(),
            issue => format!("{issue} · "),
        };
        let issue_pt = self.letters.width_pt(&issue, Face::Plain, 7.0);
        let title_pt = to - from - 90.0 - issue_pt;
        let title = shortened(self.letters, &running.title, Face::Plain, 7.0, title_pt);
        let foot = shortened(self.letters, &running.foot, Face::Plain, 7.0, to - from);
        let own_foot = shortened(self.letters, &self.own_foot, Face::Plain, 7.0, to - from);
        let words = |at, text: String, face, align| Ink::Words {
            at,
            text,
            face,
            size_pt: 7.0,
            colour: Colour::QUIET,
            align,
        };
        let line = |y| Ink::Path {
            points: vec![[from, y], [to, y]],
            closed: false,
            pen: Pen::line(Colour::LINE, 0.5),
        };
        let mut pages = self.pages;
        for (index, page) in pages.iter_mut().enumerate() {
            let number = format!("{issue}page {} of {count}", index + 1);
            page.push(Ink::Part(InkPart::DECORATION));
            page.push(words([from, 30.0], title.clone(), Face::Plain, Align::Left));
            page.push(words([to, 30.0], number, Face::Plain, Align::Right));
            page.push(line(35.0));
            page.push(line(height_pt - 34.0));
            page.push(words([from, height_pt - 25.0], foot.clone(), Face::Plain, Align::Left));
            if !own_foot.is_empty() {
                let at = [from, height_pt - 15.0];
                page.push(words(at, own_foot.clone(), Face::Plain, Align::Left));
            }
        }
        pages
    }
}

impl Block {
    /// The same, moved right.
    fn beside_nothing(self, right_pt: f64) -> Self {
        super::block::zipped(vec![(self, right_pt)], 0.0)
    }
}
