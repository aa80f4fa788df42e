//! The faces that go on paper, how wide words are in them, and which characters they lack.
//!
//! A character that no face has is told by its number in brackets, `[U+4E2D]`: the same bytes on every
//! machine, nothing lost, and it can be looked up. (A face of the machine would make one session's
//! report differ from place to place.)

use std::borrow::Cow;
use std::cell::RefCell;
use std::collections::hash_map::Entry;
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
    known: RefCell<[HashMap<Box<str>, Rc<Set>>; 3]>,
    plans: RefCell<Vec<(Setting, Rc<ShapePlan>)>>,
    /// The signs of figures one by one, and whether two that stand together are set as each alone.
    figures: RefCell<[Figures; 3]>,
}

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

/// What figures are written with in tables. Each is set alone, whatever stands beside it, where a face sets
/// every pair so; no face has rules for three of them.
const FIGURES: &str = "0123456789 .,:−–±′°()";

#[derive(Debug, Default)]
struct Figures {
    alone: HashMap<char, Glyph>,
    apart: HashMap<(char, char), bool>,
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
            figures: RefCell::default(),
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
        self.set(&self.told(text), face).1.width_em * size_pt
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
        let glyphs = self.figures(text, face).unwrap_or_else(|| self.shaped(text, face));
        let set = Rc::new(Set::of(glyphs));
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

    /// A text of nothing but figures, put together sign by sign; `None` where it holds anything else, or two
    /// signs that the face does not set apart.
    fn figures(&self, text: &str, face: Face) -> Option<Vec<Glyph>> {
        if !text.chars().all(|c| FIGURES.contains(c)) {
            return None;
        }
        let mut held = self.figures.borrow_mut();
        let Figures { alone, apart } = held.get_mut(face as usize)?;
        let mut set: Vec<Glyph> = Vec::with_capacity(text.len());
        let mut before = None;
        for (start, c) in text.char_indices() {
            if let Entry::Vacant(place) = alone.entry(c) {
                let [one] =
                    <[Glyph; 1]>::try_from(self.shaped(c.encode_utf8(&mut [0; 4]), face)).ok()?;
                place.insert(one);
            }
            if let Some(before) = before {
                let as_alone = || {
                    let pair = self.shaped(&String::from_iter([before, c]), face);
                    let [one, next] = [before, c].map(|c| alone.get(&c).cloned());
                    let next = next.map(|next| moved(next, before.len_utf8()));
                    pair == one.into_iter().chain(next).collect::<Vec<_>>()
                };
                if !*apart.entry((before, c)).or_insert_with(as_alone) {
                    return None;
                }
            }
            set.push(moved(alone.get(&c)?.clone(), start));
            before = Some(c);
        }
        Some(set)
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

/// The same, of a text that begins so many bytes later.
fn moved(glyph: Glyph, by: usize) -> Glyph {
    Glyph { of: glyph.of.start + by..glyph.of.end + by, ..glyph }
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
        let signs: Vec<char> = FIGURES.chars().collect();
        // Every pair and more: a walk through all signs by steps of every length.
        for step in 1..signs.len() {
            let walk = (0..2 * signs.len()).map(|k| signs[k * step * (k + 1) / 2 % signs.len()]);
            let text: String = walk.collect();
            for face in Face::ALL {
                let together = letters.figures(&text, face);
                assert_eq!(together, Some(letters.shaped(&text, face)), "{face:?} {text}");
            }
        }
        assert_eq!(letters.figures("12 V", Face::Plain), None);
        assert_eq!(letters.figures("", Face::Mono), Some(Vec::new()));
    }

    /// No ligatures: each letter stands for itself.
    #[test]
    fn letters_stand_apart() {
        assert_eq!(Letters::load().set("offices", Face::Plain).1.glyphs.len(), 7);
    }
}
