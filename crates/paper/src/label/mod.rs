//! The label of a unit's case, 62 mm × 29 mm: which unit, its verdict, when it was signed, when it is due, and the last
//! line of its session as a QR code, so that label, report and file can be held against each other.
//!
//! - [`standing`]: whether its verdict may stand on it; [`qr`]: the code.

pub mod qr;
pub mod standing;

use record::{Account, Date, Verdict, shown};

use crate::error::Error;
use crate::ink::{Align, Ink, Pen, rectangle};
use crate::letters::{Face, Letters};
use crate::marks;
use crate::palette::Colour;
use crate::parts::PartRole;
use crate::png::{PngError, png_of};
use crate::report::pdf::{DocumentInfo, date_time, pdf};
use crate::report::standing::loud;
use crate::report::wrap;
use crate::svg::{SvgHead, svg_of};
use qr::{Code, MODULE_MM};
use standing::OnLabel;

/// Width and height, mm.
pub const SIZE_MM: [f64; 2] = [62.0, 29.0];

/// Pixels a millimetre of its picture: eight a module.
pub const PIXELS_PER_MM: f64 = 16.0;

const PT_PER_MM: f64 = 72.0 / 25.4;
/// Words keep this far from the edges, mm.
const MARGIN_MM: f64 = 2.0;

/// A label, ready to be drawn.
#[derive(Clone, Debug)]
pub struct UnitLabel {
    ink: Vec<Ink>,
    /// What it says, a line each.
    pub says: Vec<String>,
    /// The 64 hex digits in its QR code.
    pub hash: String,
    program: String,
    made: Option<record::Stamp>,
}

/// Draws the label of a reviewed session.
///
/// `due`: the last day its verdict is to be relied on, as the hand says it; `None` leaves a line to write on. No date stands on a
/// label without a verdict.
#[must_use]
pub fn label(account: &Account, due: Option<Date>) -> UnitLabel {
    let letters = Letters::load();
    let on_label = OnLabel::of(account);
    let says = says(account, &on_label, due);
    let mut writer =
        LabelLines { letters: &letters, ink: Vec::new(), down_pt: 3.2, said: Vec::new() };
    let whole = rectangle([0.0; 2], size_pt());
    let ground = Ink::Path { points: whole, closed: true, pen: Pen::fill(Colour::WHITE) };
    writer.ink.push(Ink::Name("label".to_owned()));
    writer.ink.push(ground);
    let code = Code::of(&account.last_hash);
    let side_mm = code.as_ref().map_or(0.0, |code| code.side_with_quiet() as f64 * MODULE_MM);
    // On whole modules of the label: the same dots of a printer for each.
    let code_mm = [SIZE_MM[0] - side_mm - 0.5, ((SIZE_MM[1] - side_mm) / 2.0 * 2.0).floor() / 2.0];
    let width_pt = (code_mm[0] - MARGIN_MM) * PT_PER_MM;
    for line in says {
        writer.line(&line, width_pt);
    }
    let said = writer.said;
    let mut ink = writer.ink;
    if let Some(code) = code {
        let alt = format!("QR code of the session’s last line, {}", account.last_hash);
        ink.push(Ink::Part(letters.part(PartRole::Picture { alt })));
        ink.extend(code.ink(code_mm.map(|mm| mm * PT_PER_MM), MODULE_MM * PT_PER_MM));
    }
    UnitLabel {
        ink,
        says: said,
        hash: account.last_hash.clone(),
        program: account.header().map_or_else(String::new, |header| header.program.clone()),
        made: account.last_time,
    }
}

/// Its size, points.
fn size_pt() -> [f64; 2] {
    SIZE_MM.map(|mm| mm * PT_PER_MM)
}

impl UnitLabel {
    /// As PDF, a page of its size.
    ///
    /// # Errors
    /// [`Error::NotWritten`].
    pub fn pdf(&self) -> Result<Vec<u8>, Error> {
        let letters = Letters::load();
        let about = DocumentInfo {
            title: self.title(),
            program: self.program.clone(),
            producer: marks::LABEL_PRODUCER,
            id: self.hash.clone(),
            made: self.made.map(date_time),
            from: None,
        };
        pdf(std::slice::from_ref(&self.ink), size_pt(), &letters, about)
    }

    /// As SVG, of its size.
    #[must_use]
    pub fn svg(&self) -> String {
        let described = self.described();
        let head =
            SvgHead { written_by: marks::LABEL_SVG, title: &self.title(), description: &described };
        svg_of(&self.ink, size_pt(), &head)
    }

    /// As PNG, [`PIXELS_PER_MM`].
    ///
    /// # Errors
    /// What the encoder finds wrong.
    pub fn png(&self) -> Result<Vec<u8>, PngError> {
        self.png_at(PIXELS_PER_MM)
    }

    /// The same of another number of pixels a millimetre.
    ///
    /// # Errors
    /// As [`png`](Self::png).
    pub fn png_at(&self, pixels_per_mm: f64) -> Result<Vec<u8>, PngError> {
        png_of(&self.ink, size_pt(), pixels_per_mm / PT_PER_MM)
    }

    fn title(&self) -> String {
        "Label of a unit’s case".to_owned()
    }

    fn described(&self) -> String {
        let says = self.says.join("; ");
        format!("{says}. A QR code holds the last line of the session: {}.", self.hash)
    }
}

/// A line of words and how it is set.
struct LabelLine {
    text: String,
    face: Face,
    /// The largest it is set, points; what is wider is set smaller, down to `least_pt`, then cut.
    size_pt: f64,
    least_pt: f64,
    colour: Colour,
    /// So many lines at most.
    lines: usize,
    role: PartRole,
}

impl LabelLine {
    fn small(text: String) -> Self {
        let (face, colour) = (Face::Plain, Colour::INK);
        Self {
            text,
            face,
            size_pt: 6.5,
            least_pt: 5.0,
            colour,
            lines: 1,
            role: PartRole::Paragraph,
        }
    }

    fn loud(text: String, size_pt: f64, colour: Colour) -> Self {
        Self {
            text,
            face: Face::Bold,
            size_pt,
            least_pt: 6.5,
            colour,
            lines: 1,
            role: PartRole::Paragraph,
        }
    }
}

fn says(account: &Account, on_label: &OnLabel, due: Option<Date>) -> Vec<LabelLine> {
    let mut lines = Vec::new();
    let head = account.beside.as_ref().and_then(|beside| beside.letterhead.as_ref());
    if let Some(head) = head {
        let line = LabelLine::small(head.name.clone());
        lines.push(LabelLine { size_pt: 5.5, colour: Colour::QUIET, ..line });
    }
    let unit = account.session.unit().map_or("not named", |unit| unit.name.as_str());
    let line = LabelLine::loud(format!("Unit {unit}"), 10.5, Colour::INK);
    lines.push(LabelLine { role: PartRole::Title, ..line });
    let signed = account
        .signature()
        .map(|signature| format!("signed {} by {}", signature.time.date(), signature.hand));
    match on_label {
        OnLabel::Verdict(verdict) => {
            let colour = match verdict {
                Verdict::Pass => Colour::INSIDE,
                Verdict::Fail => Colour::LOOK,
                _ => Colour::INK,
            };
            lines.push(LabelLine::loud(loud(Some(*verdict)).to_owned(), 15.0, colour));
            lines.extend(signed.map(LabelLine::small));
            let due = due.map_or_else(|| "_______________".to_owned(), |day| day.to_string());
            lines.push(LabelLine::small(format!("due {due}")));
            if *verdict == Verdict::Pass {
                let line = LabelLine::small("no release for flight, driving or duty".to_owned());
                lines.push(LabelLine { size_pt: 5.0, least_pt: 4.0, ..line });
            }
        }
        OnLabel::None { why } => {
            lines.push(LabelLine::loud("NO VERDICT".to_owned(), 12.0, Colour::LOOK));
            let why = LabelLine::small(why.clone());
            lines.push(LabelLine { least_pt: 6.5, lines: 2, ..why });
            lines.extend(signed.map(LabelLine::small));
        }
    }
    let (first, rest) = account.last_hash.split_at_checked(32).unwrap_or((&account.last_hash, ""));
    for part in [first, rest] {
        let line = LabelLine::small(part.to_owned());
        lines.push(LabelLine { face: Face::Mono, size_pt: 5.0, least_pt: 4.0, ..line });
    }
    lines
}

/// Lines one under the other.
struct LabelLines<'a> {
    letters: &'a Letters,
    ink: Vec<Ink>,
    down_pt: f64,
    said: Vec<String>,
}

impl LabelLines<'_> {
    fn line(&mut self, line: &LabelLine, width_pt: f64) {
        let text = shown::one_line(&line.text);
        let text: String = text.chars().take(400).collect();
        let text = self.letters.told(&text).into_owned();
        let mut size_pt = line.size_pt;
        while size_pt > line.least_pt
            && self.letters.width_pt(&text, line.face, size_pt) > width_pt * line.lines as f64
        {
            size_pt -= 0.5;
        }
        let set = wrap::lines(self.letters, &text, line.face, size_pt, width_pt);
        let cut = set.len() > line.lines;
        let told = self.letters.part(line.role.clone());
        for (index, mut part) in set.into_iter().take(line.lines).enumerate() {
            if cut && index + 1 == line.lines {
                part = self.shortened(part, line.face, size_pt, width_pt);
            }
            self.down_pt += size_pt * 1.22;
            self.said.push(part.clone());
            self.ink.push(Ink::Part(told.clone()));
            self.ink.push(Ink::Words {
                at: [MARGIN_MM * PT_PER_MM, self.down_pt - size_pt * 0.22],
                text: part,
                face: line.face,
                size_pt,
                colour: line.colour,
                align: Align::Left,
            });
        }
    }

    /// With an ellipsis at its end: more stands in the report.
    fn shortened(&self, mut text: String, face: Face, size_pt: f64, width_pt: f64) -> String {
        while self.letters.width_pt(&format!("{text}…"), face, size_pt) > width_pt
            && text.pop().is_some()
        {}
        text + "…"
    }
}
