//! The faces that go on paper, how wide words are in them, and which characters they lack.
//!
//! A character that no face has is told by its number in brackets, `[U+4E2D]`: the same bytes on every
//! machine, nothing lost, and it can be looked up. (A face of the machine would make one session's
//! report differ from place to place.)

mod figures;
mod glyph;

use std::borrow::Cow;
use std::cell::{Cell, RefCell};
use std::collections::{BTreeSet, HashMap};
use std::rc::Rc;
use std::sync::LazyLock;

use harfrust::{
    Direction, Feature, FontRef, Script, ShapeOptions, ShapePlan, Shaper, ShaperData, Tag,
    UnicodeBuffer,
};
use skrifa::MetadataProvider as _;
use skrifa::charmap::Charmap;

use figures::Figures;
pub(crate) use figures::is_figure;
pub(crate) use glyph::Glyph;

use crate::parts::{Part, PartRole};

/// DejaVu Sans.
pub(crate) const PLAIN: &[u8] = include_bytes!("../../../assets/fonts/DejaVuSans.ttf");
/// DejaVu Sans Bold.
pub(crate) const BOLD: &[u8] = include_bytes!("../../../assets/fonts/DejaVuSans-Bold.ttf");
/// DejaVu Sans Mono.
pub(crate) const MONO: &[u8] = include_bytes!("../../../assets/fonts/DejaVuSansMono.ttf");

/// Width of a letter where a face cannot be read, in ems: a middling letter's.
const MIDDLING_EM: f64 = 0.6;

/// Words longer than this, bytes, are set anew each time they are met.
const LONGEST_KNOWN: usize = 40;

/// So many words are remembered before all are forgotten: some ten megabytes.
const MOST_KNOWN: usize = 1 << 14;

/// A face.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Face {
    /// Running words.
    #[default]
    Plain,
    /// Words that stand out.
    Bold,
    /// Digits all of one width.
    Mono,
}

impl Face {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Plain, Self::Bold, Self::Mono];

    /// The face's file.
    #[must_use]
    pub const fn bytes(self) -> &'static [u8] {
        match self {
            Self::Plain => PLAIN,
            Self::Bold => BOLD,
            Self::Mono => MONO,
        }
    }
}

/// The faces, read once.
pub struct Letters {
    faces: [Option<ReadFace>; 3],
    /// What was told by its number so far.
    by_number: RefCell<BTreeSet<char>>,
    /// What setting words gave, for words that come again and again; and how it is done.
    known: RefCell<[HashMap<Box<str>, Rc<Set>>; 3]>,
    plans: RefCell<Vec<(Setting, Rc<ShapePlan>)>>,
    figures: RefCell<[Figures; 3]>,
    /// Room for the letters of a line of figures.
    laid: RefCell<Vec<Glyph>>,
    /// How many parts of a document were begun.
    parts: Cell<u32>,
}

/// A face that was read: what sets words in it, and which characters it has.
struct ReadFace {
    shaper: Shaper<'static>,
    characters: Charmap<'static>,
}

/// What setting words needs of each face, read once for the program: the faces are part of it.
static READ: LazyLock<[Option<(FontRef<'static>, ShaperData)>; 3]> = LazyLock::new(|| {
    Face::ALL.map(|face| {
        let font = FontRef::new(face.bytes()).ok()?;
        let data = ShaperData::new(&font);
        Some((font, data))
    })
});

/// Words as they are set.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Set {
    /// Their letters.
    pub(crate) glyphs: Vec<Glyph>,
    /// How wide they are together, ems.
    pub(crate) width_em: f64,
}

impl Set {
    fn of(glyphs: Vec<Glyph>) -> Self {
        let width_em = glyphs.iter().map(|glyph| glyph.advance_em).sum();
        Self { glyphs, width_em }
    }
}

/// Whether a character means what its users agreed on, and nothing to anybody else (Unicode 16, 23.5).
const fn is_private(c: char) -> bool {
    matches!(c, '\u{e000}'..='\u{f8ff}' | '\u{f0000}'..='\u{ffffd}' | '\u{100000}'..='\u{10fffd}')
}

/// In which face, which way and in which script words are set.
type Setting = (Face, Direction, Script);

impl Letters {
    /// Reads the faces that come with the program.
    #[must_use]
    pub fn load() -> Self {
        let read = |(font, data): &'static (FontRef<'static>, ShaperData)| ReadFace {
            shaper: data.shaper(font).build(),
            characters: font.charmap(),
        };
        let [plain, bold, mono] = &*READ;
        Self {
            faces: [plain, bold, mono].map(|face| face.as_ref().map(read)),
            by_number: RefCell::default(),
            known: RefCell::default(),
            plans: RefCell::default(),
            figures: RefCell::default(),
            laid: RefCell::default(),
            parts: Cell::default(),
        }
    }

    /// A new part of what is written with these letters.
    pub(crate) fn part(&self, role: PartRole) -> Part {
        Part { number: self.next_number(), role }
    }

    /// A number that no other part has.
    pub(crate) fn next_number(&self) -> u32 {
        let number = self.parts.get().saturating_add(1);
        self.parts.set(number);
        number
    }

    fn face(&self, face: Face) -> Option<&ReadFace> {
        match (face, &self.faces) {
            (Face::Plain, [plain, _, _]) => plain.as_ref(),
            (Face::Bold, [_, bold, _]) => bold.as_ref(),
            (Face::Mono, [_, _, mono]) => mono.as_ref(),
        }
    }

    /// A text as the faces can show it: a character that none has as its number, `[U+4E2D]`.
    ///
    /// The plain face decides: it is what a line is set in when another face lacks a letter of it.
    pub(crate) fn told<'a>(&self, text: &'a str) -> Cow<'a, str> {
        let Some(plain) = self.face(Face::Plain) else { return Cow::Borrowed(text) };
        let lacks = |c: char| {
            let there = || plain.characters.map(c).is_some_and(|glyph| glyph.to_u32() != 0);
            // What a face has for private use means nothing to whoever reads the text back.
            !c.is_ascii() && !is_figure(c) && (is_private(c) || !there())
        };
        if text.is_ascii() || !text.contains(lacks) {
            return Cow::Borrowed(text);
        }
        let mut told = String::with_capacity(text.len() + 16);
        for c in text.chars() {
            if lacks(c) {
                self.by_number.borrow_mut().insert(c);
                told.push_str(&format!("[{}]", number_of(c)));
            } else {
                told.push(c);
            }
        }
        Cow::Owned(told)
    }

    /// The numbers of all characters that were told by them so far, in order.
    pub(crate) fn told_by_number(&self) -> Vec<String> {
        self.by_number.borrow().iter().map(|&c| number_of(c)).collect()
    }

    /// How wide one line of words is, points.
    #[must_use]
    pub fn width_pt(&self, text: &str, face: Face, size_pt: f64) -> f64 {
        let width_em = match self.figures_width_em(text, face) {
            Some(width_em) => width_em,
            None => self.set(&self.told(text), face).1.width_em,
        };
        width_em * size_pt
    }

    /// Whether a text is of figures alone, each set as if nothing stood beside it.
    pub(crate) fn are_figures(&self, text: &str, face: Face) -> bool {
        self.figures_width_em(text, face).is_some()
    }

    /// How wide figures are, ems; `None` for any other text.
    fn figures_width_em(&self, text: &str, face: Face) -> Option<f64> {
        let mut held = self.figures.borrow_mut();
        held.get_mut(face as usize)?.width_em(text, |text| self.shaped(text, face))
    }

    /// The letters of one line [as it is told](Self::told), with the face that has them all and how wide they
    /// are together, ems. What is said of them is not kept, so that a table of many thousand figures costs
    /// nothing but its figures.
    pub(crate) fn lay<T>(
        &self,
        text: &str,
        face: Face,
        with: impl FnOnce(Face, &[Glyph], f64) -> T,
    ) -> T {
        let mut glyphs = self.laid.take();
        glyphs.clear();
        let laid =
            self.figures.borrow_mut().get_mut(face as usize).is_some_and(|figures| {
                figures.set(text, &mut glyphs, |text| self.shaped(text, face))
            });
        let said = if laid {
            let width_em = glyphs.iter().map(|glyph| glyph.advance_em).sum();
            with(face, &glyphs, width_em)
        } else {
            let (face, set) = self.set(text, face);
            with(face, &set.glyphs, set.width_em)
        };
        self.laid.replace(glyphs);
        said
    }

    /// The letters of one line [as it is told](Self::told), and the face that has them all: the one
    /// asked for, or the plain one.
    pub(crate) fn set(&self, text: &str, face: Face) -> (Face, Rc<Set>) {
        let asked = self.set_in(text, face);
        if face != Face::Plain && asked.glyphs.iter().any(|glyph| glyph.id == 0) {
            return (Face::Plain, self.set_in(text, Face::Plain));
        }
        (face, asked)
    }

    fn set_in(&self, text: &str, face: Face) -> Rc<Set> {
        let place = face as usize;
        if let Some(known) = self.known.borrow().get(place).and_then(|known| known.get(text)) {
            return Rc::clone(known);
        }
        let set = Rc::new(Set::of(self.shaped(text, face)));
        if text.len() <= LONGEST_KNOWN
            && let Some(known) = self.known.borrow_mut().get_mut(place)
        {
            if known.len() >= MOST_KNOWN {
                known.clear();
            }
            known.insert(text.into(), Rc::clone(&set));
        }
        set
    }

    /// How a face sets words of one script, worked out once.
    fn plan(
        &self,
        named: Face,
        face: &ReadFace,
        direction: Direction,
        script: Script,
    ) -> Rc<ShapePlan> {
        let key = (named, direction, script);
        let mut plans = self.plans.borrow_mut();
        if let Some((_, plan)) = plans.iter().find(|(known, _)| *known == key) {
            return Rc::clone(plan);
        }
        // One letter for one character, so that a search finds what was typed.
        let apart = Feature::new(Tag::new(b"liga"), 0, ..);
        let known = Some(script).filter(|script| *script != harfrust::script::UNKNOWN);
        let plan = Rc::new(ShapePlan::new(&face.shaper, direction, known, None, &[apart]));
        plans.push((key, Rc::clone(&plan)));
        plan
    }

    fn shaped(&self, text: &str, named: Face) -> Vec<Glyph> {
        let Some(face) = self.face(named) else {
            let middling = |(start, c): (usize, char)| Glyph {
                id: 0,
                advance_em: MIDDLING_EM,
                offset_em: [0.0; 2],
                of: start..start + c.len_utf8(),
            };
            return text.char_indices().map(middling).collect();
        };
        let mut buffer = UnicodeBuffer::new();
        buffer.push_str(text);
        buffer.guess_segment_properties();
        let plan = self.plan(named, face, buffer.direction(), buffer.script());
        let set = face.shaper.shape(buffer, ShapeOptions::new().plan(Some(&plan)));
        let mut starts: Vec<usize> =
            set.glyph_infos().iter().map(|info| info.cluster as usize).collect();
        starts.sort_unstable();
        let em = f64::from(face.shaper.units_per_em());
        let glyphs = set.glyph_infos().iter().zip(set.glyph_positions());
        glyphs
            .map(|(info, position)| {
                let start = info.cluster as usize;
                let end = starts.get(starts.partition_point(|&next| next <= start)).copied();
                Glyph {
                    id: info.glyph_id,
                    advance_em: f64::from(position.x_advance) / em,
                    offset_em: [
                        f64::from(position.x_offset) / em,
                        f64::from(position.y_offset) / em,
                    ],
                    of: start..end.unwrap_or(text.len()),
                }
            })
            .collect()
    }
}

fn number_of(c: char) -> String {
    format!("U+{:04X}", u32::from(c))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Every face is read, and knows the signs that figures are written with.
    #[test]
    fn faces_have_the_signs_in_use() {
        let letters = Letters::load();
        for face in Face::ALL {
            assert!(letters.face(face).is_some(), "{face:?}");
            let signs = "0123456789 −±×°′.,:()·–…≤≥σχ²Δθφ↵[]\u{a0}";
            assert!(
                letters.set(signs, face).1.glyphs.iter().all(|glyph| glyph.id != 0),
                "{face:?}"
            );
        }
    }

    /// DejaVu Sans has 2048 units an em, and its zero is 1303 of them wide (its `hmtx` table).
    #[test]
    fn widths_are_the_faces_own() {
        let letters = Letters::load();
        let width = letters.width_pt("0000", Face::Plain, 10.0);
        let expected = 4.0 * 13_030.0 / 2048.0;
        assert!((width - expected).abs() < 1e-9, "{width}");
        let mono = letters.width_pt("1−7′", Face::Mono, 10.0);
        assert!((mono - 4.0 * 12_330.0 / 2048.0).abs() < 1e-9, "{mono}");
    }

    /// A character that no face has is told by its number; one that only the plain face has is set in
    /// it.
    #[test]
    fn a_missing_character_is_told_by_its_number() {
        let letters = Letters::load();
        assert_eq!(letters.told("unit 日本🔭"), "unit [U+65E5][U+672C][U+1F52D]");
        assert_eq!(letters.told_by_number(), ["U+65E5", "U+672C", "U+1F52D"]);
        assert!(matches!(letters.told("Δ′ − é"), Cow::Borrowed(_)));
        assert_eq!(letters.set("⟲", Face::Mono).0, Face::Plain);
    }

    /// Figures put together sign by sign are what the whole of them is set as, in every face.
    #[test]
    fn figures_are_set_as_a_whole_would_be() {
        let letters = Letters::load();
        let signs: Vec<char> = figures::SIGNS.chars().collect();
        // Every pair and more: a walk through all signs by steps of every length.
        for step in 1..signs.len() {
            let walk = (0..2 * signs.len()).map(|k| signs[k * step * (k + 1) / 2 % signs.len()]);
            let text: String = walk.collect();
            for face in Face::ALL {
                assert!(letters.are_figures(&text, face), "{face:?} {text}");
                let whole = letters.shaped(&text, face);
                let width_em: f64 = whole.iter().map(|glyph| glyph.advance_em).sum();
                letters.lay(&text, face, |in_face, glyphs, wide_em| {
                    assert_eq!(in_face, face);
                    assert_eq!(glyphs, whole, "{face:?} {text}");
                    assert_eq!(wide_em.to_bits(), width_em.to_bits());
                });
            }
        }
        assert!(!letters.are_figures("12 V", Face::Plain));
        assert!(letters.are_figures("", Face::Mono));
    }

    /// No ligatures: each letter stands for itself.
    #[test]
    fn letters_stand_apart() {
        assert_eq!(Letters::load().set("offices", Face::Plain).1.glyphs.len(), 7);
    }
}
