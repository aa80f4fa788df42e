//! Pieces of a page before they have a place: bands of ink, one under the other.

use super::wrap::{LINE_LETTERS, ended_lines, lines, shortened, widest_word_pt};
use crate::ink::{Align, Ink, Pen};
use crate::letters::{Face, Letters};
use crate::palette::Colour;
use crate::parts::{InkPart, PartRole};

/// Lines stand this many times their size apart.
const LEADING: f64 = 1.32;
/// From a line's upper edge to its baseline, times its size.
const ASCENT: f64 = 0.98;
/// Running words, points.
pub(super) const BODY_PT: f64 = 8.5;
/// Tables and fine print, points.
pub(super) const SMALL_PT: f64 = 7.2;

/// Between a label and what it says.
const BESIDE_LABEL_PT: f64 = 6.0;

/// A strip that is not divided; its ink is placed from its own upper left corner.
#[derive(Clone, Debug, Default)]
pub(super) struct Band {
    /// Its height.
    pub(super) height_pt: f64,
    /// What is drawn in it.
    pub(super) ink: Vec<Ink>,
}

/// Bands one under the other; a page may end between any two.
#[derive(Clone, Debug, Default)]
pub(super) struct Block(pub(super) Vec<Band>);

/// How words look.
#[derive(Clone, Copy, Debug)]
pub(super) struct TextLook {
    pub(super) face: Face,
    pub(super) size_pt: f64,
    pub(super) colour: Colour,
    pub(super) align: Align,
    pub(super) rank: Rank,
}

/// What words are to whoever hears them.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Rank {
    /// What the document is about.
    Title,
    /// What a part of it is about.
    Heading,
    /// Running words.
    Running,
    /// Said once before.
    Repeated,
}

impl Rank {
    const fn role(self) -> PartRole {
        match self {
            Self::Title => PartRole::Title,
            Self::Heading => PartRole::Heading,
            Self::Running => PartRole::Paragraph,
            Self::Repeated => PartRole::Decoration,
        }
    }
}

impl TextLook {
    pub(super) const BODY: Self = Self {
        face: Face::Plain,
        size_pt: BODY_PT,
        colour: Colour::INK,
        align: Align::Left,
        rank: Rank::Running,
    };
    pub(super) const QUIET: Self = Self { colour: Colour::QUIET, ..Self::BODY };
    pub(super) const SMALL: Self = Self { size_pt: SMALL_PT, ..Self::BODY };
    pub(super) const FIGURE: Self =
        Self { face: Face::Mono, size_pt: SMALL_PT, align: Align::Right, ..Self::BODY };
    pub(super) const CODE: Self = Self { align: Align::Left, ..Self::FIGURE };

    pub(super) const fn bold(self) -> Self {
        Self { face: Face::Bold, ..self }
    }

    pub(super) const fn is_bold(&self) -> bool {
        matches!(self.face, Face::Bold)
    }

    /// How high a line is.
    pub(super) const fn line_pt(&self) -> f64 {
        self.size_pt * LEADING
    }

    pub(super) const fn ranked(self, rank: Rank) -> Self {
        Self { rank, ..self }
    }

    pub(super) const fn sized(self, size_pt: f64) -> Self {
        Self { size_pt, ..self }
    }

    pub(super) const fn coloured(self, colour: Colour) -> Self {
        Self { colour, ..self }
    }
}

impl Block {
    pub(super) fn height_pt(&self) -> f64 {
        self.0.iter().map(|band| band.height_pt).sum()
    }

    /// An empty strip.
    pub(super) fn gap(height_pt: f64) -> Self {
        Self(vec![Band { height_pt, ink: Vec::new() }])
    }

    /// A thin rule.
    pub(super) fn rule(width_pt: f64) -> Self {
        let points = vec![[0.0, 0.0], [width_pt, 0.0]];
        let ink = Ink::Path { points, closed: false, pen: Pen::line(Colour::LINE, 0.5) };
        Self(vec![Band { height_pt: 3.0, ink: vec![ink] }])
    }

    /// A picture in a band of its own, told in words to whoever cannot see it.
    pub(super) fn picture(letters: &Letters, height_pt: f64, ink: Vec<Ink>, alt: String) -> Self {
        let part = letters.part(PartRole::Picture { alt });
        let mut all = vec![Ink::Part(part)];
        all.extend(ink);
        all.push(Ink::Part(InkPart::DECORATION));
        Self(vec![Band { height_pt, ink: all }])
    }

    /// The same as it is said again: not read aloud once more.
    #[must_use]
    pub(super) fn repeated(mut self) -> Self {
        for ink in self.0.iter_mut().flat_map(|band| &mut band.ink) {
            if let Ink::Part(part) = ink {
                *part = InkPart::DECORATION;
            }
        }
        self
    }

    /// Another block below.
    #[must_use]
    pub(super) fn then(mut self, below: Self) -> Self {
        self.0.extend(below.0);
        self
    }

    /// Another block at the right of what is there, line by line.
    pub(super) fn put(&mut self, part: Self, right_pt: f64) {
        if self.0.len() < part.0.len() {
            self.0.resize_with(part.0.len(), Band::default);
        }
        for (band, part) in self.0.iter_mut().zip(part.0) {
            band.height_pt = band.height_pt.max(part.height_pt);
            band.ink.extend(part.ink.into_iter().map(|ink| moved(ink, [right_pt, 0.0])));
        }
    }

    /// One line of words at the right of what is there: what [`put`](Self::put) gives of a paragraph that is
    /// one line, without its detours.
    pub(super) fn put_line(
        &mut self,
        text: String,
        width_pt: f64,
        look: TextLook,
        right_pt: f64,
        part: InkPart,
    ) {
        if self.0.is_empty() {
            self.0.push(Band::default());
        }
        if let Some(band) = self.0.first_mut() {
            band.height_pt = band.height_pt.max(look.size_pt * LEADING);
            band.ink.push(Ink::Part(part));
            band.ink.push(moved(words(text, width_pt, look), [right_pt, 0.0]));
        }
    }

    /// Room below.
    #[must_use]
    pub(super) fn above(mut self, below_pt: f64) -> Self {
        if let Some(last) = self.0.last_mut() {
            last.height_pt += below_pt;
        }
        self
    }

    /// Two blocks side by side, as one band.
    pub(super) fn beside(self, right: Self, right_from_pt: f64) -> Self {
        let height_pt = self.height_pt().max(right.height_pt());
        let mut ink = self.into_ink(0.0);
        ink.extend(right.into_ink(right_from_pt));
        Self(vec![Band { height_pt, ink }])
    }

    /// All of it in one band's ink.
    fn into_ink(self, right_pt: f64) -> Vec<Ink> {
        let mut down_pt = 0.0;
        let mut all = Vec::new();
        for band in self.0 {
            all.extend(band.ink.into_iter().map(|ink| moved(ink, [right_pt, down_pt])));
            down_pt += band.height_pt;
        }
        all
    }
}

/// Words on lines of their own.
pub(super) fn paragraph(letters: &Letters, text: &str, width_pt: f64, look: TextLook) -> Block {
    paragraph_of(letters, text, width_pt, look, &letters.part(look.rank.role()))
}

/// The same as a part of a document that is known already.
pub(super) fn paragraph_of(
    letters: &Letters,
    text: &str,
    width_pt: f64,
    look: TextLook,
    part: &InkPart,
) -> Block {
    let bands = ended_lines(letters, text, look.face, look.size_pt, width_pt)
        .into_iter()
        .map(|mut line| {
            let empty = line.text.is_empty();
            // Read aloud or copied, the words of two lines are two words.
            if line.ends_word && !empty {
                line.text.push(' ');
            }
            let ink = if empty {
                Vec::new()
            } else {
                vec![Ink::Part(part.clone()), words(line.text, width_pt, look)]
            };
            Band { height_pt: look.size_pt * LEADING, ink }
        })
        .collect();
    Block(bands)
}

/// The same in at most so many lines, with a … where that is not all of it; and whether it is.
pub(super) fn cut_paragraph(
    letters: &Letters,
    text: &str,
    width_pt: f64,
    look: TextLook,
    most_lines: usize,
) -> (Block, bool) {
    // What comes after one line more need not be broken.
    let most_letters = most_lines.saturating_add(1).saturating_mul(LINE_LETTERS);
    let start = text
        .char_indices()
        .nth(most_letters)
        .map_or(text, |(end, _)| text.get(..end).unwrap_or(text));
    let mut kept = lines(letters, start, look.face, look.size_pt, width_pt);
    if kept.len() <= most_lines {
        return (paragraph(letters, text, width_pt, look), start.len() == text.len());
    }
    let next = kept.get(most_lines).cloned().unwrap_or_default();
    kept.truncate(most_lines);
    let Some(last) = kept.pop() else { return (Block::default(), false) };
    let dots_pt = letters.width_pt(" …", look.face, look.size_pt);
    let room_pt = width_pt - dots_pt;
    let mut end = shortened(letters, &format!("{last} {next}"), look.face, look.size_pt, room_pt);
    if !end.ends_with('…') {
        end.push_str(" …");
    }
    kept.push(end);
    (paragraph(letters, &kept.join("\n"), width_pt, look), false)
}

fn words(text: String, width_pt: f64, look: TextLook) -> Ink {
    let TextLook { face, size_pt, colour, align, rank: _ } = look;
    let x = match align {
        Align::Left => 0.0,
        Align::Middle => width_pt / 2.0,
        Align::Right => width_pt,
    };
    Ink::Words { at: [x, size_pt * ASCENT], text, face, size_pt, colour, align }
}

/// How wide a column of labels is: as wide as is wished, and no label is broken inside a word.
pub(super) fn label_room_pt<'a>(
    letters: &Letters,
    labels: impl Iterator<Item = &'a str>,
    least_pt: f64,
    look: TextLook,
) -> f64 {
    let wide_pt = |label| widest_word_pt(letters, label, Face::Plain, look.size_pt);
    labels.map(wide_pt).map(|wide_pt| wide_pt + BESIDE_LABEL_PT).fold(least_pt, f64::max)
}

/// A label at the left and what it says beside it, both wrapped.
pub(super) fn pair(
    letters: &Letters,
    label: &str,
    says: &str,
    label_pt: f64,
    width_pt: f64,
    look: TextLook,
) -> Block {
    let quiet = TextLook { face: Face::Plain, ..look }.coloured(Colour::QUIET);
    let label = paragraph(letters, label, label_pt - BESIDE_LABEL_PT, quiet);
    let says = paragraph(letters, says, width_pt - label_pt, look);
    zipped(vec![(label, 0.0), (says, label_pt)], 1.5)
}

/// The same with what it says in at most so many lines.
pub(super) fn cut_pair(
    letters: &Letters,
    label: &str,
    says: &str,
    (label_pt, width_pt): (f64, f64),
    most_lines: usize,
) -> Block {
    let look = TextLook::BODY;
    let label = paragraph(letters, label, label_pt - BESIDE_LABEL_PT, TextLook::QUIET);
    let (says, _) = cut_paragraph(letters, says, width_pt - label_pt, look, most_lines);
    zipped(vec![(label, 0.0), (says, label_pt)], 1.5)
}

/// Blocks side by side whose bands can still be divided, line by line.
pub(super) fn zipped(columns: Vec<(Block, f64)>, below_pt: f64) -> Block {
    let mut beside = Block::default();
    for (block, right_pt) in columns {
        beside.put(block, right_pt);
    }
    beside.above(below_pt)
}

/// The same ink elsewhere.
pub(super) fn moved(ink: Ink, [dx, dy]: [f64; 2]) -> Ink {
    let by = |[x, y]: [f64; 2]| [x + dx, y + dy];
    match ink {
        Ink::Circle { centre, radius_pt, pen } => {
            Ink::Circle { centre: by(centre), radius_pt, pen }
        }
        Ink::Path { points, closed, pen } => {
            Ink::Path { points: points.into_iter().map(by).collect(), closed, pen }
        }
        Ink::Words { at, text, face, size_pt, colour, align } => {
            Ink::Words { at: by(at), text, face, size_pt, colour, align }
        }
        Ink::Grey { from, to, picture } => Ink::Grey { from: by(from), to: by(to), picture },
        Ink::Clip { from, to } => Ink::Clip { from: by(from), to: by(to) },
        same @ (Ink::ClipEnd | Ink::Name(_) | Ink::Part(_)) => same,
    }
}
