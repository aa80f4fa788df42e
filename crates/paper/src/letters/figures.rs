//! Figures, which a long table has many thousand different ones of: put together sign by sign, so that none
//! of them need be shaped or remembered.

use super::glyph::Glyph;

/// What figures are written with in tables. Each is set alone, whatever stands beside it, where a face sets
/// every pair so; no face has rules for three of them.
#[cfg(test)]
pub(super) const SIGNS: &str = "0123456789 .,:−–±′°()";

/// How many signs there are.
const MANY: usize = 21;

/// The place of a sign among all.
const fn place(c: char) -> Option<usize> {
    Some(match c {
        '0'..='9' => c as usize - '0' as usize,
        ' ' => 10,
        '.' => 11,
        ',' => 12,
        ':' => 13,
        '−' => 14,
        '–' => 15,
        '±' => 16,
        '′' => 17,
        '°' => 18,
        '(' => 19,
        ')' => 20,
        _ => return None,
    })
}

/// Whether figures are written with it.
pub(crate) const fn is_figure(c: char) -> bool {
    place(c).is_some()
}

/// The signs of a face one by one, and whether two that stand together are set as each alone: asked once of
/// each, by shaping it.
#[derive(Debug, Default)]
pub(super) struct Figures {
    alone: [Option<Glyph>; MANY],
    apart: [[Option<bool>; MANY]; MANY],
}

impl Figures {
    /// How wide a text of nothing but figures is, ems; `None` where it holds anything else, or two signs that
    /// the face does not set apart.
    pub(super) fn width_em(
        &mut self,
        text: &str,
        shaped: impl Fn(&str) -> Vec<Glyph>,
    ) -> Option<f64> {
        // As a sum of its letters begins.
        let mut width_em = std::iter::empty::<f64>().sum();
        self.each(text, shaped, |glyph, _| width_em += glyph.advance_em).then_some(width_em)
    }

    /// The letters of such a text; whether it is one.
    pub(super) fn set(
        &mut self,
        text: &str,
        into: &mut Vec<Glyph>,
        shaped: impl Fn(&str) -> Vec<Glyph>,
    ) -> bool {
        let all = self.each(text, shaped, |glyph, start| into.push(moved(glyph, start)));
        if !all {
            into.clear();
        }
        all
    }

    /// Every letter with where its sign begins in the text, for as long as they are figures; whether all are.
    fn each(
        &mut self,
        text: &str,
        shaped: impl Fn(&str) -> Vec<Glyph>,
        mut take: impl FnMut(&Glyph, usize),
    ) -> bool {
        let mut before = None;
        for (start, c) in text.char_indices() {
            let Some(glyph) = self.sign(before, c, &shaped) else { return false };
            take(glyph, start);
            before = Some(c);
        }
        true
    }

    /// A sign as it stands behind another.
    fn sign(
        &mut self,
        before: Option<char>,
        c: char,
        shaped: impl Fn(&str) -> Vec<Glyph>,
    ) -> Option<&Glyph> {
        let place_of = place(c)?;
        if self.alone.get(place_of)?.is_none() {
            let [one] = <[Glyph; 1]>::try_from(shaped(c.encode_utf8(&mut [0; 4]))).ok()?;
            // What the face lacks is for another face.
            if one.id == 0 {
                return None;
            }
            *self.alone.get_mut(place_of)? = Some(one);
        }
        if let Some(before) = before {
            let alone = |c| self.alone.get(place(c)?)?.as_ref();
            let apart = self.apart.get(place(before)?)?.get(place_of)?;
            let apart = match *apart {
                Some(apart) => apart,
                None => {
                    let together = shaped(&String::from_iter([before, c]));
                    let next = alone(c).map(|next| moved(next, before.len_utf8()));
                    let apart = together.iter().eq(alone(before).into_iter().chain(&next));
                    *self.apart.get_mut(place(before)?)?.get_mut(place_of)? = Some(apart);
                    apart
                }
            };
            if !apart {
                return None;
            }
        }
        self.alone.get(place_of)?.as_ref()
    }
}

/// The same, of a text that begins so many bytes later.
fn moved(glyph: &Glyph, by: usize) -> Glyph {
    Glyph { of: glyph.of.start + by..glyph.of.end + by, ..*glyph }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_sign_has_its_place() {
        let places: Vec<Option<usize>> = SIGNS.chars().map(place).collect();
        assert_eq!(places, (0..MANY).map(Some).collect::<Vec<_>>());
        assert!(!is_figure('a') && !is_figure('-'));
    }
}
