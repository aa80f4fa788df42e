//! The tags of a PDF: which pieces of which pages are which part of the document, in the order of reading.

use std::collections::{BTreeMap, HashMap};
use std::num::NonZeroU16;

use krilla::destination::XyzDestination;
use krilla::geom::Point;
use krilla::outline::{Outline, OutlineNode};
use krilla::surface::Surface;
use krilla::tagging::{
    Artifact, ArtifactType, ContentTag, Identifier, SpanTag, TableHeaderScope, Tag, TagGroup,
    TagTree,
};

use crate::ink::Ink;
use crate::parts::{CellPlace, InkPart, PartRole};

/// A document made to be kept holds no longer string (ISO 19005-3, 6.1.13: 32 767 bytes).
const LONGEST_TOLD: usize = 8_000;

/// The tags of a document while its pages are drawn.
#[derive(Default)]
pub(super) struct Tags {
    tops: Vec<Top>,
    /// Where in it a part is, by number; where a table is.
    parts: HashMap<u32, usize>,
    tables: HashMap<u32, usize>,
}

/// What stands in the document itself.
enum Top {
    Part { role: PartRole, pieces: Vec<Identifier>, words: String, page: usize, at: Point },
    Table(BTreeMap<u32, BTreeMap<u32, TaggedCell>>),
}

#[derive(Default)]
struct TaggedCell {
    heads: bool,
    pieces: Vec<Identifier>,
}

/// What a run of ink on a page is told as.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum InkRun {
    Decoration,
    Part(u32),
}

/// A page while it is drawn.
pub(super) struct PageTags<'a> {
    tags: &'a mut Tags,
    page: usize,
    part: &'a InkPart,
    run: Option<InkRun>,
}

impl Tags {
    pub(super) const fn page(&mut self, page: usize) -> PageTags<'_> {
        PageTags { tags: self, page, part: &InkPart::DECORATION, run: None }
    }

    fn add(&mut self, part: &InkPart, piece: Identifier, page: usize, at: Point) {
        if let PartRole::Cell(CellPlace { table, row, column, heads }) = part.role {
            let next = self.tops.len();
            let index = *self.tables.entry(table).or_insert(next);
            if index == next {
                self.tops.push(Top::Table(BTreeMap::new()));
            }
            if let Some(Top::Table(rows)) = self.tops.get_mut(index) {
                let cell = rows.entry(row).or_default().entry(column).or_default();
                cell.heads = heads;
                cell.pieces.push(piece);
            }
            return;
        }
        let next = self.tops.len();
        let index = *self.parts.entry(part.number).or_insert(next);
        if index == next {
            let role = part.role.clone();
            self.tops.push(Top::Part { role, pieces: Vec::new(), words: String::new(), page, at });
        }
        if let Some(Top::Part { pieces, .. }) = self.tops.get_mut(index) {
            pieces.push(piece);
        }
    }

    fn hear(&mut self, part: &InkPart, text: &str) {
        let heading = matches!(part.role, PartRole::Title | PartRole::Heading);
        let Some(index) = self.parts.get(&part.number).filter(|_| heading) else { return };
        if let Some(Top::Part { words, .. }) = self.tops.get_mut(*index) {
            words.push_str(text);
        }
    }

    /// The tree, and the headings as an outline.
    pub(super) fn finish(self) -> (TagTree, Outline) {
        let mut tree = TagTree::new();
        let mut outline = Outline::new();
        for top in self.tops {
            match top {
                Top::Table(rows) => tree.push(table(rows)),
                Top::Part { role, pieces, words, page, at } => {
                    let words = told(words.trim_end());
                    let mut group = match role {
                        PartRole::Title => heading(1, &words),
                        PartRole::Heading => heading(2, &words),
                        PartRole::Picture { alt } => TagGroup::new(Tag::Figure(Some(told(&alt)))),
                        _ => TagGroup::new(Tag::P),
                    };
                    if !words.is_empty() {
                        let place = XyzDestination::new(page, at);
                        outline.push_child(OutlineNode::new(words, place));
                    }
                    for piece in pieces {
                        group.push(piece);
                    }
                    tree.push(group);
                }
            }
        }
        (tree, outline)
    }
}

fn heading(level: u16, words: &str) -> TagGroup {
    let level = NonZeroU16::new(level).unwrap_or(NonZeroU16::MIN);
    TagGroup::new(Tag::Hn(level, Some(words.to_owned())))
}

fn table(rows: BTreeMap<u32, BTreeMap<u32, TaggedCell>>) -> TagGroup {
    let mut table = TagGroup::new(Tag::Table);
    for cells in rows.into_values() {
        let mut row = TagGroup::new(Tag::TR);
        for cell in cells.into_values() {
            let mut group = if cell.heads {
                TagGroup::new(Tag::TH(TableHeaderScope::Column))
            } else {
                TagGroup::new(Tag::TD)
            };
            for piece in cell.pieces {
                group.push(piece);
            }
            row.push(group);
        }
        table.push(row);
    }
    table
}

fn told(text: &str) -> String {
    record::shown::one_line(text).chars().take(LONGEST_TOLD).collect()
}

impl<'a> PageTags<'a> {
    /// Told of each piece of ink before it is drawn; false where it only says what follows.
    pub(super) fn before(&mut self, surface: &mut Surface<'_>, ink: &'a Ink) -> bool {
        if let Ink::Part(part) = ink {
            self.part = part;
            return false;
        }
        let run = match (&self.part.role, ink) {
            (_, Ink::Name(_)) => return false,
            (PartRole::Picture { .. }, _) => InkRun::Part(self.part.number),
            (PartRole::Decoration, _) => InkRun::Decoration,
            (_, Ink::Words { .. }) => InkRun::Part(self.part.number),
            _ => InkRun::Decoration,
        };
        if self.run != Some(run) {
            self.end(surface);
            let tag = match run {
                InkRun::Decoration => {
                    ContentTag::Artifact(Artifact::with_kind(ArtifactType::PaginationOther))
                }
                InkRun::Part(_) if matches!(ink, Ink::Words { .. }) => {
                    ContentTag::Span(SpanTag::empty())
                }
                InkRun::Part(_) => ContentTag::Other,
            };
            let piece = surface.start_tagged(tag);
            self.run = Some(run);
            if let InkRun::Part(_) = run {
                let at = match ink {
                    Ink::Words { at: [x, y], size_pt, .. } => {
                        Point::from_xy(*x as f32, (*y - *size_pt) as f32)
                    }
                    _ => Point::from_xy(0.0, 0.0),
                };
                self.tags.add(self.part, piece, self.page, at);
            }
        }
        if let (InkRun::Part(_), Ink::Words { text, .. }) = (run, ink) {
            self.tags.hear(self.part, text);
        }
        true
    }

    /// Ends what is open; before the page ends.
    pub(super) fn end(&mut self, surface: &mut Surface<'_>) {
        if self.run.take().is_some() {
            surface.end_tagged();
        }
    }
}
