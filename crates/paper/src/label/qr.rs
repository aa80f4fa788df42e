//! A QR code (ISO/IEC 18004) as ink: dark modules as rectangles, the quiet zone round them white.

use qrcode::{Color, EcLevel, QrCode};

use crate::ink::{Ink, PagePoint, Pen, rectangle};
use crate::palette::Colour;

/// A module's side, mm: four dots of a label printer of 203 dots an inch, six of one of 300.
pub const MODULE_MM: f64 = 0.5;

/// White on every side of a QR code, modules (ISO/IEC 18004, 2015, 5.3.8; from memory).
pub const QUIET_MODULES: usize = 4;

/// A QR code's modules.
pub(crate) struct Code {
    side: usize,
    dark: Vec<bool>,
}

impl Code {
    /// Of a text, level M: a seventh of the code may be worn away. `None` for a text too long for one.
    pub(crate) fn of(text: &str) -> Option<Self> {
        let code = QrCode::with_error_correction_level(text.as_bytes(), EcLevel::M).ok()?;
        let side = code.width();
        let dark = code.into_colors().into_iter().map(|module| module == Color::Dark).collect();
        Some(Self { side, dark })
    }

    /// Modules a side with the quiet zone.
    pub(crate) const fn side_with_quiet(&self) -> usize {
        self.side + 2 * QUIET_MODULES
    }

    fn is_dark(&self, right: usize, down: usize) -> bool {
        right < self.side && self.dark.get(down * self.side + right).copied().unwrap_or(false)
    }

    /// The code with its quiet zone, its upper left corner at `corner`, modules of `module_pt`. Runs are drawn
    /// across and again down, so that no hairline of paper shows between two that touch.
    pub(crate) fn ink(&self, corner: PagePoint, module_pt: f64) -> Vec<Ink> {
        let quiet = QUIET_MODULES as f64 * module_pt;
        let side_pt = self.side_with_quiet() as f64 * module_pt;
        let ground = rectangle(corner, [corner[0] + side_pt, corner[1] + side_pt]);
        let mut ink = vec![
            Ink::Name("qr-code".to_owned()),
            Ink::Path { points: ground, closed: true, pen: Pen::fill(Colour::WHITE) },
        ];
        let at = |right: usize, down: usize| {
            let place = |modules: usize| quiet + modules as f64 * module_pt;
            [corner[0] + place(right), corner[1] + place(down)]
        };
        let mut dark = |from, to| {
            let points = rectangle(from, to);
            ink.push(Ink::Path { points, closed: true, pen: Pen::fill(BLACK) });
        };
        for line in 0..self.side {
            for (from, to) in self.runs(|along| self.is_dark(along, line)) {
                dark(at(from, line), at(to, line + 1));
            }
            for (from, to) in self.runs(|along| self.is_dark(line, along)) {
                dark(at(line, from), at(line + 1, to));
            }
        }
        ink
    }

    /// Where runs of dark modules begin and end along a line.
    fn runs(&self, is_dark: impl Fn(usize) -> bool) -> Vec<(usize, usize)> {
        let mut runs: Vec<(usize, usize)> = Vec::new();
        for along in (0..self.side).filter(|&along| is_dark(along)) {
            match runs.last_mut() {
                Some((_, to)) if *to == along => *to += 1,
                _ => runs.push((along, along + 1)),
            }
        }
        runs
    }
}

/// As dark as ink goes: readers look for contrast.
const BLACK: Colour = Colour([0, 0, 0]);
