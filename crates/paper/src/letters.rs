//! The faces that go on paper, how wide words are in them, and which characters they lack.
//!
//! A character that the program's own faces lack is drawn from a face of the machine, where the program was told how
//! to [search for one](search_further); what none has is told by its number in brackets, `[U+4E2D]`, so that nothing is
//! lost and it can be looked up. What is written in the program's own faces has the same bytes on every machine.
//!
//! - `face`: those that can be asked for, `faces`: all there are; `runs`: pieces of a line that are set in one;
//!   `glyph`: a letter as it is set; `figures`: what a long table has many thousands of.

mod face;
mod faces;
mod figures;
mod glyph;
mod runs;

use std::borrow::Cow;
use std::cell::{Cell, RefCell};
use std::collections::{BTreeSet, HashMap};
use std::rc::Rc;

use harfrust::{Direction, Feature, Script, ShapeOptions, ShapePlan, Shaper, Tag, UnicodeBuffer};

pub use face::Face;
pub(crate) use faces::DrawnFace;
pub use faces::{FaceSource, FoundFace, RIGHT_TO_LEFT, RIGHT_TO_LEFT_BOLD, search_further};
use figures::Figures;
pub(crate) use figures::is_figure;
pub(crate) use glyph::Glyph;
use runs::{TextRun, is_of_right_to_left, runs};

use crate::parts::{InkPart, PartRole};

/// Width of a letter where a face cannot be read, in ems: a middling letter's.
const MIDDLING_EM: f64 = 0.6;

/// Words longer than this, bytes, are set anew each time they are met.
const LONGEST_KNOWN: usize = 40;

/// So many words are remembered before all are forgotten: some ten megabytes.
const MOST_KNOWN: usize = 1 << 14;

/// The faces, read once.
pub struct Letters {
    /// What sets words in the faces that are asked for.
    shapers: [Option<Shaper<'static>>; 3],
    /// Where further faces come from.
    source: Option<&'static dyn FaceSource>,
    /// From what characters are drawn that the face asked for may lack.
    elsewhere: RefCell<HashMap<char, Option<DrawnFace>>>,
    /// What was told by its number so far.
    by_number: RefCell<BTreeSet<char>>,
    /// What setting words gave, for words that come again and again; and how it is done.
    known: RefCell<[HashMap<Box<str>, Rc<SetWords>>; 3]>,
    plans: RefCell<Vec<(TypeSetting, Rc<ShapePlan>)>>,
    figures: RefCell<[Figures; 3]>,
    /// Room for the letters of a line of figures.
    laid: RefCell<Vec<Glyph>>,
    /// How many parts of a document were begun.
    parts: Cell<u32>,
}

/// Words as they are set.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct SetWords {
    /// Their letters.
    pub(crate) glyphs: Vec<Glyph>,
    /// How wide they are together, ems.
    pub(crate) width_em: f64,
}

impl SetWords {
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
type TypeSetting = (DrawnFace, Direction, Script);

impl Letters {
    /// Reads the faces that come with the program.
    #[must_use]
    pub fn load() -> Self {
        Self::with(faces::source())
    }

    /// The same, with further faces from a source.
    fn with(source: Option<&'static dyn FaceSource>) -> Self {
        let shaper = |face| Some(DrawnFace::Own(face).read()?.shaper());
        Self {
            shapers: Face::ALL.map(shaper),
            source,
            elsewhere: RefCell::default(),
            by_number: RefCell::default(),
            known: RefCell::default(),
            plans: RefCell::default(),
            figures: RefCell::default(),
            laid: RefCell::default(),
            parts: Cell::default(),
        }
    }

    /// A new part of what is written with these letters.
    pub(crate) fn part(&self, role: PartRole) -> InkPart {
        InkPart { number: self.next_number(), role }
    }

    /// A number that no other part has.
    pub(crate) fn next_number(&self) -> u32 {
        let number = self.parts.get().saturating_add(1);
        self.parts.set(number);
        number
    }

    /// Where a character is drawn from that the plain face lacks; `None` where nothing has it.
    fn elsewhere(&self, character: char) -> Option<DrawnFace> {
        if let Some(known) = self.elsewhere.borrow().get(&character) {
            return *known;
        }
        let right_to_left = DrawnFace::RightToLeft;
        let own = right_to_left.read().is_some_and(|face| face.has(character));
        let found = || faces::found_with(self.source?, character);
        // What a face has for private use means nothing to whoever reads the text back.
        let readable = !is_private(character);
        let face = readable.then(|| if own { Some(right_to_left) } else { found() }).flatten();
        self.elsewhere.borrow_mut().insert(character, face);
        face
    }

    /// A text as the faces can show it: a character that none has as its number, `[U+4E2D]`.
    pub(crate) fn told<'a>(&self, text: &'a str) -> Cow<'a, str> {
        let Some(plain) = DrawnFace::Own(Face::Plain).read() else { return Cow::Borrowed(text) };
        let lacks = |c: char| {
            let here = || !is_private(c) && plain.has(c);
            !c.is_ascii() && !is_figure(c) && !here() && self.elsewhere(c).is_none()
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
            None => self.set(&self.told(text), face).width_em,
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

    /// The letters of one line [as it is told](Self::told), and how wide they are together, ems. What is said of
    /// them is not kept, so that a table of many thousand figures costs nothing but its figures.
    pub(crate) fn lay<T>(
        &self,
        text: &str,
        face: Face,
        with: impl FnOnce(&[Glyph], f64) -> T,
    ) -> T {
        let mut glyphs = self.laid.take();
        glyphs.clear();
        let laid =
            self.figures.borrow_mut().get_mut(face as usize).is_some_and(|figures| {
                figures.set(text, &mut glyphs, |text| self.shaped(text, face))
            });
        let said = if laid {
            let width_em = glyphs.iter().map(|glyph| glyph.advance_em).sum();
            with(&glyphs, width_em)
        } else {
            let set = self.set(text, face);
            with(&set.glyphs, set.width_em)
        };
        self.laid.replace(glyphs);
        said
    }

    /// The letters of one line [as it is told](Self::told): of the face asked for, or all of the plain one where that
    /// lacks any; what neither has is drawn from elsewhere.
    pub(crate) fn set(&self, text: &str, face: Face) -> Rc<SetWords> {
        let asked = self.set_in(text, face);
        if face != Face::Plain && asked.glyphs.iter().any(|glyph| glyph.id == 0) {
            return self.set_in(text, Face::Plain);
        }
        asked
    }

    fn set_in(&self, text: &str, face: Face) -> Rc<SetWords> {
        let place = face as usize;
        if let Some(known) = self.known.borrow().get(place).and_then(|known| known.get(text)) {
            return Rc::clone(known);
        }
        let set = Rc::new(SetWords::of(self.set_apart(text, face)));
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

    /// The letters of a line: in one piece where a face has them all and they run one way.
    fn set_apart(&self, text: &str, face: Face) -> Vec<Glyph> {
        let own = DrawnFace::Own(face);
        let (Some(asked), Some(plain)) = (own.read(), DrawnFace::Own(Face::Plain).read()) else {
            return self.shaped(text, face);
        };
        let elsewhere = |c: char| {
            let here = c.is_ascii() || asked.has(c) || plain.has(c);
            (!here).then(|| self.elsewhere(c)).flatten()
        };
        if text.is_ascii() || !text.contains(|c| elsewhere(c).is_some() || is_of_right_to_left(c)) {
            return self.shaped(text, face);
        }
        let face_of = |c: char| match elsewhere(c) {
            Some(DrawnFace::RightToLeft) => DrawnFace::right_to_left(face),
            Some(other) => other,
            None => own,
        };
        let mut glyphs = Vec::new();
        for TextRun { of, face, right_to_left } in runs(text, face_of) {
            let piece = text.get(of.clone()).unwrap_or_default();
            let way = if right_to_left { Direction::RightToLeft } else { Direction::LeftToRight };
            let set = self.shaped_in(piece, face, Some(way));
            glyphs.extend(set.into_iter().map(|glyph| Glyph {
                of: glyph.of.start + of.start..glyph.of.end + of.start,
                ..glyph
            }));
        }
        glyphs
    }

    /// How a face sets words of one script, worked out once.
    fn plan(
        &self,
        named: DrawnFace,
        shaper: &Shaper<'_>,
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
        let plan = Rc::new(ShapePlan::new(shaper, direction, known, None, &[apart]));
        plans.push((key, Rc::clone(&plan)));
        plan
    }

    fn shaped(&self, text: &str, face: Face) -> Vec<Glyph> {
        self.shaped_in(text, DrawnFace::Own(face), None)
    }

    fn shaped_in(&self, text: &str, drawn: DrawnFace, way: Option<Direction>) -> Vec<Glyph> {
        let found;
        let shaper = match drawn {
            DrawnFace::Own(face) => self.shapers.get(face as usize).and_then(Option::as_ref),
            _ => {
                found = drawn.read().map(faces::ReadFace::shaper);
                found.as_ref()
            }
        };
        let Some(shaper) = shaper else {
            let middling = |(start, c): (usize, char)| Glyph {
                id: 0,
                face: drawn,
                advance_em: MIDDLING_EM,
                offset_em: [0.0; 2],
                of: start..start + c.len_utf8(),
            };
            return text.char_indices().map(middling).collect();
        };
        let mut buffer = UnicodeBuffer::new();
        buffer.push_str(text);
        buffer.guess_segment_properties();
        if let Some(way) = way {
            buffer.set_direction(way);
        }
        let plan = self.plan(drawn, shaper, buffer.direction(), buffer.script());
        let set = shaper.shape(buffer, ShapeOptions::new().plan(Some(&plan)));
        let mut starts: Vec<usize> =
            set.glyph_infos().iter().map(|info| info.cluster as usize).collect();
        starts.sort_unstable();
        let em = f64::from(shaper.units_per_em());
        let glyphs = set.glyph_infos().iter().zip(set.glyph_positions());
        glyphs
            .map(|(info, position)| {
                let start = info.cluster as usize;
                let end = starts.get(starts.partition_point(|&next| next <= start)).copied();
                Glyph {
                    id: info.glyph_id,
                    face: drawn,
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
            assert!(DrawnFace::Own(face).read().is_some(), "{face:?}");
            let signs = "0123456789 −±×°′.,:()·–…≤≥σχ²Δθφ↵[]\u{a0}";
            assert!(letters.set(signs, face).glyphs.iter().all(|glyph| glyph.id != 0), "{face:?}");
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
        assert_eq!(letters.set("⟲", Face::Mono).glyphs[0].face, DrawnFace::Own(Face::Plain));
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
                letters.lay(&text, face, |glyphs, wide_em| {
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
        assert_eq!(Letters::load().set("offices", Face::Plain).glyphs.len(), 7);
    }

    /// Letters from right to left come from their own face and are drawn so; a number behind them is not turned round.
    #[test]
    fn figures_beside_letters_from_right_to_left_stay_as_they_are_read() {
        let letters = Letters::load();
        let text = "\u{5d9}\u{5d7} 0147";
        assert_eq!(letters.told(text), text);
        for (face, other) in [
            (Face::Plain, DrawnFace::RightToLeft),
            (Face::Bold, DrawnFace::RightToLeftBold),
            (Face::Mono, DrawnFace::RightToLeft),
        ] {
            let set = letters.set(text, face);
            let drawn: String = set.glyphs.iter().map(|glyph| &text[glyph.of.clone()]).collect();
            assert_eq!(drawn, "0147 \u{5d7}\u{5d9}", "{face:?}");
            assert!(set.glyphs.last().is_some_and(|glyph| glyph.face == other));
            assert!(set.glyphs.iter().all(|glyph| glyph.id != 0));
        }
    }

    /// The face of one width, which has signs that the plain one lacks, as if it were the machine's.
    struct Machine;

    impl FaceSource for Machine {
        fn face_with(&self, _: char) -> Option<FoundFace> {
            Some(FoundFace { bytes: std::sync::Arc::new(Face::Mono.bytes()), index: 0 })
        }
    }

    /// A character that only a face of the machine has is drawn from it; what even that lacks keeps its number.
    #[test]
    fn a_face_of_the_machine_is_asked_last() {
        let letters = Letters::with(Some(&Machine));
        assert_eq!(letters.told("unit ⌶ 0147 日"), "unit ⌶ 0147 [U+65E5]");
        assert_eq!(letters.told_by_number(), ["U+65E5"]);
        let text = "unit ⌶ 0147";
        let set = letters.set(text, Face::Plain);
        let found: Vec<_> =
            set.glyphs.iter().filter(|glyph| matches!(glyph.face, DrawnFace::Found(_))).collect();
        // As wide as any letter of that face (DejaVu Sans Mono's `hmtx`: 1233 of 2048).
        let is_sign = |glyph: &Glyph| {
            let wide = (glyph.advance_em - 1233.0 / 2048.0).abs() < 1e-9;
            glyph.id != 0 && wide && text.get(glyph.of.clone()) == Some("⌶")
        };
        assert!(found.len() == 1 && found.iter().all(|glyph| is_sign(glyph)), "{found:?}");
        assert_eq!(Letters::with(None).told("⌶"), "[U+2336]");
    }
}
