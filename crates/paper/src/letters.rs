//! The faces that go on paper, how wide words are in them, and which characters they lack.
//!
//! A character that no face has is told by its number in brackets, `[U+4E2D]`: the same bytes on every
//! machine, nothing lost, and it can be looked up. (A face of the machine would make one session's
//! report differ from place to place.)

use std::borrow::Cow;
use std::cell::RefCell;
use std::collections::{BTreeSet, HashMap};
use std::ops::Range;
use std::rc::Rc;

use rustybuzz::ttf_parser::Tag;
use rustybuzz::{Direction, Feature, Script, ShapePlan, UnicodeBuffer};

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

/// A letter as it is drawn; lengths in ems.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Glyph {
    /// Its number in the face.
    pub(crate) id: u32,
    /// How far the next one stands.
    pub(crate) advance_em: f64,
    /// How far it is moved from its place: right, up.
    pub(crate) offset_em: [f64; 2],
    /// The bytes of the text it stands for.
    pub(crate) of: Range<usize>,
}

/// The faces, read once.
pub struct Letters {
    faces: [Option<rustybuzz::Face<'static>>; 3],
    /// What was told by its number so far.
    by_number: RefCell<BTreeSet<char>>,
    /// What setting words gave, for words that come again and again; and how it is done.
    known: RefCell<HashMap<(Face, String), Vec<Glyph>>>,
    plans: RefCell<Vec<(Setting, Rc<ShapePlan>)>>,
}

/// In which face, which way and in which script words are set.
type Setting = (Face, Direction, Script);

impl Letters {
    /// Reads the faces that come with the program.
    #[must_use]
    pub fn load() -> Self {
        Self {
            faces: Face::ALL.map(|face| rustybuzz::Face::from_slice(face.bytes(), 0)),
            by_number: RefCell::default(),
            known: RefCell::default(),
            plans: RefCell::default(),
        }
    }

    fn face(&self, face: Face) -> Option<&rustybuzz::Face<'static>> {
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
        let lacks =
            |c: char| !c.is_ascii() && plain.glyph_index(c).is_none_or(|glyph| glyph.0 == 0);
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
        let (_, glyphs) = self.set(&self.told(text), face);
        glyphs.iter().map(|glyph| glyph.advance_em).sum::<f64>() * size_pt
    }

    /// The letters of one line [as it is told](Self::told), and the face that has them all: the one
    /// asked for, or the plain one.
    pub(crate) fn set(&self, text: &str, face: Face) -> (Face, Vec<Glyph>) {
        let asked = self.set_in(text, face);
        if face != Face::Plain && asked.iter().any(|glyph| glyph.id == 0) {
            return (Face::Plain, self.set_in(text, Face::Plain));
        }
        (face, asked)
    }

    fn set_in(&self, text: &str, face: Face) -> Vec<Glyph> {
        let key = (face, text.to_owned());
        if let Some(known) = self.known.borrow().get(&key) {
            return known.clone();
        }
        let set = self.shaped(text, face);
        if text.len() <= LONGEST_KNOWN {
            let mut known = self.known.borrow_mut();
            if known.len() >= MOST_KNOWN {
                known.clear();
            }
            known.insert(key, set.clone());
        }
        set
    }

    /// How a face sets words of one script, worked out once.
    fn plan(
        &self,
        named: Face,
        face: &rustybuzz::Face<'static>,
        direction: Direction,
        script: Script,
    ) -> Rc<ShapePlan> {
        let key = (named, direction, script);
        let mut plans = self.plans.borrow_mut();
        if let Some((_, plan)) = plans.iter().find(|(known, _)| *known == key) {
            return Rc::clone(plan);
        }
        // One letter for one character, so that a search finds what was typed.
        let apart = Feature::new(Tag::from_bytes(b"liga"), 0, ..);
        let known = Some(script).filter(|script| *script != rustybuzz::script::UNKNOWN);
        let plan = Rc::new(ShapePlan::new(face, direction, known, None, &[apart]));
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
        let set = rustybuzz::shape_with_plan(face, &plan, buffer);
        let mut starts: Vec<usize> =
            set.glyph_infos().iter().map(|info| info.cluster as usize).collect();
        starts.sort_unstable();
        let em = f64::from(face.units_per_em());
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
            assert!(letters.set(signs, face).1.iter().all(|glyph| glyph.id != 0), "{face:?}");
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

    /// No ligatures: each letter stands for itself.
    #[test]
    fn letters_stand_apart() {
        assert_eq!(Letters::load().set("offices", Face::Plain).1.len(), 7);
    }
}
