//! What stands at the head of a shop's papers: whose they are, and its picture.
//!
//! The picture is drawn in grey: what it shows can be told from every printer's paper, and from a copy of that.

use record::Letterhead;
use record::shown::in_lines;

use super::block::{Block, TextLook, paragraph};
use super::small_pictures::NotShown;
use crate::ink::{GreyPicture, Ink};
use crate::letters::Letters;

/// The picture of a shop's papers, or why it is not shown.
pub type HeadShown = Result<GreyPicture, NotShown>;

/// The widest and the highest one, points.
const LARGEST_PT: [f64; 2] = [170.0, 58.0];
/// Between words and picture.
const BESIDE_PT: f64 = 14.0;

/// What a shop has at the head of its papers.
#[derive(Clone, Copy, Debug, Default)]
pub struct ShopHead<'a> {
    /// Its name and address.
    pub letterhead: Option<&'a Letterhead>,
    /// Its picture.
    pub picture: Option<&'a HeadShown>,
}

impl<'a> ShopHead<'a> {
    fn drawn(&self) -> Option<&'a GreyPicture> {
        self.picture.and_then(|picture| picture.as_ref().ok())
    }

    /// How wide the picture is with the room beside it; 0: there is none.
    fn takes_pt(&self) -> f64 {
        self.drawn().map_or(0.0, |picture| size_pt(picture)[0] + BESIDE_PT)
    }

    /// What words have of a page's width beside the picture.
    pub(super) fn room_pt(&self, width_pt: f64) -> f64 {
        width_pt - self.takes_pt()
    }

    /// Words made for [`room_pt`](Self::room_pt), with the picture at their right; the words alone where there is none.
    pub(super) fn beside(&self, words: Block, letters: &Letters, width_pt: f64) -> Block {
        let Some(picture) = self.drawn() else { return words };
        let to = size_pt(picture);
        let ink = vec![Ink::Grey { from: [0.0, 0.0], to, picture: picture.clone() }];
        let name = self.letterhead.map_or("", |letterhead| letterhead.name.trim());
        let whose = if name.is_empty() { "the shop" } else { name };
        let drawn = Block::picture(letters, to[1], ink, format!("The picture of {whose}"));
        // Told before the words, which begin with whose it is.
        Block::default().beside(drawn, width_pt - to[0]).beside(words, 0.0)
    }

    /// Why the picture is not shown, where it should be.
    pub(super) fn missing(&self) -> Option<String> {
        let why = self.picture?.as_ref().err()?;
        Some(format!("The picture for the head of the shop’s papers {why}."))
    }

    /// Name and address as lines.
    pub(super) fn lines(&self, letters: &Letters, width_pt: f64) -> Block {
        let mut all = Block::default();
        let Some(letterhead) = self.letterhead else { return all };
        let [name, address] = [&letterhead.name, &letterhead.address].map(|text| in_lines(text));
        for (text, look) in [(name, TextLook::BODY.bold()), (address, TextLook::BODY)] {
            if !text.trim().is_empty() {
                all = all.then(paragraph(letters, text.trim(), width_pt, look));
            }
        }
        all
    }
}

/// As large as it may be, its shape as it is.
fn size_pt(picture: &GreyPicture) -> [f64; 2] {
    let px = picture.size_px().map(f64::from);
    let [wide, high] = LARGEST_PT;
    let scale = (wide / px[0]).min(high / px[1]);
    px.map(|side| side * scale)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "tests fail by panicking")]
    use super::*;

    /// Whatever its shape, a picture stays in its room and keeps its shape.
    #[test]
    fn a_picture_keeps_its_shape() {
        for [wide, high] in [[400_u32, 100], [100, 400], [1, 1], [1, 900], [900, 1]] {
            let grey = vec![0; (wide * high) as usize];
            let [w, h] = size_pt(&GreyPicture::new([wide, high], grey).unwrap());
            assert!(w <= LARGEST_PT[0] + 1e-9 && h <= LARGEST_PT[1] + 1e-9, "{w} {h}");
            assert!((w * f64::from(high) - h * f64::from(wide)).abs() < 1e-6, "{w} {h}");
        }
    }
}
