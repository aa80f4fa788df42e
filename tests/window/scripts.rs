//! Words of other scripts: letters from right to left are drawn so, and no figure is turned round with them.

use egui::{Color32, FontFamily, FontId};

use crate::bench::Bench;

/// What a line draws, from left to right: each letter known by its picture among those of single characters. What a
/// toolkit says of its letters besides is not asked: of letters from right to left it is not always true.
fn drawn(bench: &Bench, text: &str, family: &FontFamily) -> String {
    let font = FontId::new(14.0, family.clone());
    let pictures = |text: String| {
        let laid = bench
            .window
            .ctx
            .fonts_mut(|fonts| fonts.layout_no_wrap(text, font.clone(), Color32::WHITE));
        assert_eq!(laid.rows.len(), 1);
        let drawn = laid.rows[0].glyphs.iter().filter(|glyph| !glyph.uv_rect.is_nothing());
        let mut drawn: Vec<_> =
            drawn.map(|glyph| (glyph.pos.x, (glyph.uv_rect.min, glyph.uv_rect.max))).collect();
        drawn.sort_by(|(one, _), (other, _)| one.total_cmp(other));
        drawn.into_iter().map(|(_, picture)| picture).collect::<Vec<_>>()
    };
    // Where a letter stands between two pixels it is drawn in one of a few ways.
    let known: Vec<_> = text
        .chars()
        .flat_map(|letter| (0..40).map(move |before| (letter, before)))
        .flat_map(|(letter, before)| {
            let text = "i".repeat(before) + &letter.to_string();
            pictures(text).last().map(|picture| (*picture, letter))
        })
        .collect();
    let letter = |picture| known.iter().find(|(known, _)| *known == picture).map(|(_, of)| *of);
    pictures(text.to_owned()).into_iter().map(|picture| letter(picture).unwrap_or('?')).collect()
}

/// Hebrew and Arabic letters (alef, bet; alef, beh) before and between figures, in every face of the window.
#[test]
fn figures_beside_letters_from_right_to_left_are_never_turned_round() {
    let home = tempfile::tempdir().unwrap();
    let bench = Bench::open(home.path(), None);
    for family in [FontFamily::Proportional, FontFamily::Monospace, FontFamily::Name("bold".into())]
    {
        // Blanks draw nothing.
        for (text, expected) in [
            ("0147 x 12.3\u{2032}", "0147x12.3\u{2032}"),
            ("\u{5d0}\u{5d1} 0147", "\u{5d1}\u{5d0}0147"),
            ("\u{5d0}\u{5d1}: x \u{2212}12.3\u{2032}", "\u{5d1}\u{5d0}:x\u{2212}12.3\u{2032}"),
            ("12 \u{5d0}\u{5d1} 34", "12\u{5d1}\u{5d0}34"),
            // Figures of the Arabic script run as others do.
            ("\u{663}\u{664} 12", "\u{663}\u{664}12"),
        ] {
            assert_eq!(drawn(&bench, text, &family), expected, "{family:?}");
        }
        let arabic = drawn(&bench, "\u{627}\u{628} 0147", &family);
        assert!(arabic.ends_with("0147"), "{arabic}");
    }
}
