//! A scene → ink: places in arcminutes become points on paper, roles become pens. What the picture is of, and which
//! line is whose, stand above the field, where they cover nothing.

use solver::{Channel, Direction};

use crate::ink::{Align, Ink, InkLine, PagePoint, Pen, rectangle};
use crate::label_places::{Area, TakenPlaces};
use crate::letters::{Face, Letters};
use crate::palette::{self, Colour};
use crate::report::wrap::shortened;
use crate::scene::{Anchor, Extent, ItemId, Role, Scene, Shape};
use crate::style::{Marker, Style, marker, style};
use crate::words;

/// Words in a picture, points.
const WORDS_PT: f64 = 8.5;
/// Figures along its edges.
const TICK_PT: f64 = 7.0;
/// Words of the key.
const KEY_PT: f64 = 7.5;
/// Words keep this far from the frame and from their place.
const CLEAR_PT: f64 = 4.0;
/// Room at either side of words.
const BESIDE_PT: f64 = 1.5;
/// How far letters reach above their line, times their size.
const ASCENT: f64 = 0.85;
/// The same below.
const DESCENT: f64 = 0.3;
/// Words farther than this from what they are of are led to it by a line.
const LEADER_PT: f64 = 12.0;
/// How far a marker's corners reach at most, times half its height.
const MARK_REACH: f64 = 1.15;
/// Paper is looked at from nearer than a screen: lines and markers are this much finer.
const FINER: f64 = 0.7;

/// A row of what stands above the field.
const ROW_PT: f64 = 11.5;
/// A line of the key is shown this long.
const SAMPLE_PT: f64 = 26.0;
/// Between two things in a row.
const APART_PT: f64 = 12.0;

/// Where a scene lies on paper.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Layout {
    /// Upper left corner.
    pub corner: PagePoint,
    /// Width and height.
    pub size_pt: [f64; 2],
    /// What is shown, all of it.
    pub extent: Extent,
}

impl Layout {
    /// Where the field of a scene lies in a picture: below what stands above it.
    #[must_use]
    pub fn of(scene: &Scene, corner: PagePoint, size_pt: [f64; 2], letters: &Letters) -> Self {
        Self::below(&Legend::of(scene, size_pt, letters), scene, corner, size_pt)
    }

    fn below(legend: &Legend, scene: &Scene, corner: PagePoint, size_pt: [f64; 2]) -> Self {
        let (above_pt, [left, top], [width, height]) = (legend.height_pt(), corner, size_pt);
        Self {
            corner: [left, top + above_pt],
            size_pt: [width, height - above_pt],
            extent: scene.extent,
        }
    }

    /// Points an arcminute: the same across and up, so circles stay circles.
    #[must_use]
    pub fn points_per_arcmin(&self) -> f64 {
        let [width, height] = self.size_pt;
        width.min(height) / (2.0 * self.extent.half_arcmin)
    }

    /// Where a direction lies; `None` for what has no place on paper.
    #[must_use]
    pub fn place(&self, at: Direction) -> Option<PagePoint> {
        let off = (at - self.extent.centre) * self.points_per_arcmin();
        let [left, top] = self.corner;
        let [width, height] = self.size_pt;
        let place = [left + width / 2.0 + off.x_arcmin, top + height / 2.0 - off.y_arcmin];
        // Far outside is nowhere: an exporter's numbers have to stay in its format's range.
        place.iter().all(|value| value.abs() < 1e6).then_some(place)
    }

    const fn end(&self) -> PagePoint {
        let ([left, top], [width, height]) = (self.corner, self.size_pt);
        [left + width, top + height]
    }
}

/// What stands above the field: rows of it, each with how far right it begins.
#[derive(Default)]
struct Legend(Vec<Vec<(f64, Above)>>);

/// A thing above the field.
enum Above {
    /// What the picture is of.
    Caption(String),
    /// Whose a line is.
    Eye(Channel),
    /// How much larger residuals are drawn.
    Residuals(String),
}

impl Legend {
    fn of(scene: &Scene, [width_pt, height_pt]: [f64; 2], letters: &Letters) -> Self {
        let caption = (!scene.caption.is_empty()).then(|| {
            Above::Caption(shortened(letters, &scene.caption, Face::Bold, WORDS_PT, width_pt))
        });
        let drawn = |channel| {
            let role = Role::Circle(channel);
            let circle = || scene.plain().iter().any(|item| item.role == role);
            circle() || scene.marks().all().iter().any(|mark| mark.channel == channel)
        };
        let eyes = Channel::BOTH.into_iter().filter(|&channel| drawn(channel)).map(Above::Eye);
        let residuals = scene.marks().residuals_times();
        let residuals = residuals
            .map(|times| Above::Residuals(format!("residuals ×{}", words::number(times, 0))));
        let mut rows: Vec<Vec<(f64, Above)>> = Vec::new();
        let mut right_pt = f64::INFINITY;
        for above in caption.into_iter().chain(eyes).chain(residuals) {
            let wide_pt = above.width_pt(letters);
            if right_pt + wide_pt > width_pt {
                rows.push(Vec::new());
                right_pt = 0.0;
            }
            if let Some(row) = rows.last_mut() {
                row.push((right_pt, above));
            }
            right_pt += wide_pt + APART_PT;
        }
        // A picture too small for both is a field.
        if rows.len() as f64 * ROW_PT > height_pt / 4.0 {
            rows.clear();
        }
        Self(rows)
    }

    fn height_pt(&self) -> f64 {
        if self.0.is_empty() { 0.0 } else { self.0.len() as f64 * ROW_PT + 2.0 }
    }
}

impl Above {
    fn width_pt(&self, letters: &Letters) -> f64 {
        match self {
            Self::Caption(text) => letters.width_pt(text, Face::Bold, WORDS_PT),
            Self::Residuals(text) => letters.width_pt(text, Face::Plain, KEY_PT),
            Self::Eye(channel) => {
                SAMPLE_PT + CLEAR_PT + letters.width_pt(eye(*channel), Face::Plain, KEY_PT)
            }
        }
    }
}

/// Draws a scene with its frame and grid; above it whose it is, where the scene says so, and its key.
#[must_use]
pub fn layout(scene: &Scene, corner: PagePoint, size_pt: [f64; 2], letters: &Letters) -> Vec<Ink> {
    let legend = Legend::of(scene, size_pt, letters);
    let plate = Layout::below(&legend, scene, corner, size_pt);
    let frame = rectangle(plate.corner, plate.end());
    let all = rectangle(corner, plate.end());
    let mut ink = vec![
        Ink::Name("field".to_owned()),
        Ink::Path { points: all, closed: true, pen: Pen::fill(Colour::WHITE) },
        Ink::Clip { from: plate.corner, to: plate.end() },
    ];
    let mut brush = LayoutBrush::new(plate, letters, &mut ink);
    brush.grid();
    for item in scene.beneath() {
        brush.item(item.id, item.role, &item.shape);
    }
    // Words are for eyes and ears at a screen: none are made here.
    for marked in scene.marks().iter() {
        brush.item(marked.id(), marked.role(), &marked.shape());
    }
    for item in scene.above() {
        brush.item(item.id, item.role, &item.shape);
    }
    brush.labels();
    brush.ink.push(Ink::ClipEnd);
    brush.legend(legend, corner);
    ink.push(Ink::Name("frame".to_owned()));
    ink.push(Ink::Path { points: frame, closed: true, pen: Pen::line(Colour::LINE, 0.8) });
    ink
}

/// An item's name: lasting, and fit for an XML id.
#[must_use]
pub fn item_name(id: ItemId) -> String {
    let mut name = String::new();
    for c in format!("{id:?}").chars() {
        if c.is_ascii_alphanumeric() {
            name.push(c.to_ascii_lowercase());
        } else if !name.ends_with('-') {
            name.push('-');
        }
    }
    name.trim_end_matches('-').to_owned()
}

struct LayoutBrush<'a> {
    plate: Layout,
    letters: &'a Letters,
    ink: &'a mut Vec<Ink>,
    /// What is taken.
    places: TakenPlaces,
    /// Words that wait until all else is drawn.
    waiting: Vec<UnplacedLabel>,
}

/// Words of a picture before they have a place.
struct UnplacedLabel {
    name: String,
    at: PagePoint,
    text: String,
    anchor: Anchor,
    role: Role,
}

impl<'a> LayoutBrush<'a> {
    fn new(plate: Layout, letters: &'a Letters, ink: &'a mut Vec<Ink>) -> Self {
        let ([left, top], [right, bottom]) = (plate.corner, plate.end());
        let within = Area {
            from: [left + CLEAR_PT, top + CLEAR_PT],
            to: [right - CLEAR_PT, bottom - CLEAR_PT - TICK_PT],
        };
        Self { plate, letters, ink, places: TakenPlaces::within(within), waiting: Vec::new() }
    }

    fn item(&mut self, id: ItemId, role: Role, shape: &Shape) {
        let style = style(role);
        let colour = palette::role(role);
        let line = InkLine {
            colour,
            width_pt: f64::from(style.width_pt) * FINER,
            dash_pt: style.dash_pt.map(|dash| dash.map(|part| f64::from(part) * FINER)),
        };
        self.ink.push(Ink::Name(item_name(id)));
        match shape {
            Shape::Circle { centre, radius_arcmin } => {
                let radius_pt = radius_arcmin * self.plate.points_per_arcmin();
                if let Some(centre) = self.plate.place(*centre).filter(|_| radius_pt < 1e6) {
                    let pen = Pen { line: Some(line), fill: None };
                    self.ink.push(Ink::Circle { centre, radius_pt, pen });
                }
            }
            Shape::Line { points, closed } => {
                let points: Vec<PagePoint> =
                    points.iter().filter_map(|&point| self.plate.place(point)).collect();
                if points.len() > 1 {
                    let pen = Pen { line: Some(line), fill: None };
                    self.ink.push(Ink::Path { points, closed: *closed, pen });
                }
            }
            Shape::Band { outer, inner } => self.band(outer, inner, colour),
            Shape::Marker { at } => {
                if let Some(at) = self.plate.place(*at) {
                    self.marker(at, &style, colour);
                }
            }
            Shape::Head { tip, heading_rad } => {
                if let Some(tip) = self.plate.place(*tip) {
                    self.head(tip, *heading_rad, f64::from(style.size_pt) * FINER, colour);
                }
            }
            Shape::Text { at, text, anchor } => {
                let place = self.plate.place(*at);
                if let (Some(at), Some(Ink::Name(name))) = (place, self.ink.pop()) {
                    let (text, anchor) = (text.clone(), *anchor);
                    self.waiting.push(UnplacedLabel { name, at, text, anchor, role });
                }
            }
        }
    }

    fn marker(&mut self, [x, y]: PagePoint, style: &Style, colour: Colour) {
        let half = f64::from(style.size_pt) * FINER;
        let width_pt = f64::from(style.width_pt) * FINER;
        self.places.mark([x, y], half * MARK_REACH + width_pt / 2.0);
        let corners: &[PagePoint] = match style.marker {
            Marker::Square | Marker::SquareCrossed => {
                &[[-0.9, -0.9], [0.9, -0.9], [0.9, 0.9], [-0.9, 0.9]]
            }
            Marker::Triangle | Marker::TriangleCrossed => {
                &[[0.0, -1.15], [1.05, 0.85], [-1.05, 0.85]]
            }
            Marker::Diamond => &[[0.0, -1.0], [1.0, 0.0], [0.0, 1.0], [-1.0, 0.0]],
            Marker::Dot => {
                let pen = Pen::fill(colour);
                self.ink.push(Ink::Circle { centre: [x, y], radius_pt: half, pen });
                return;
            }
            Marker::Cross => {
                for [dx, dy] in [[half, 0.0], [0.0, half]] {
                    let points = vec![[x - dx, y - dy], [x + dx, y + dy]];
                    let pen = Pen::line(colour, width_pt);
                    self.ink.push(Ink::Path { points, closed: false, pen });
                }
                return;
            }
        };
        let points = corners.iter().map(|[dx, dy]| [x + dx * half, y + dy * half]).collect();
        let pen = if style.filled {
            // A white rim keeps a filled marker apart from the lines it stands on.
            Pen { fill: Some(colour), ..Pen::line(Colour::WHITE, 0.8) }
        } else {
            Pen { fill: Some(Colour::WHITE), ..Pen::line(colour, width_pt) }
        };
        self.ink.push(Ink::Path { points, closed: true, pen });
        if matches!(style.marker, Marker::SquareCrossed | Marker::TriangleCrossed) {
            let (arm, y) = (0.45 * half, y + 0.2 * half);
            for [dx, dy] in [[arm, 0.0], [0.0, arm]] {
                let points = vec![[x - dx, y - dy], [x + dx, y + dy]];
                self.ink.push(Ink::Path {
                    points,
                    closed: false,
                    pen: Pen::line(colour, width_pt),
                });
            }
        }
    }

    /// Out along the outer edge, back along the inner one, joined at one place: an area with a hole
    /// that every exporter fills alike.
    fn band(&mut self, outer: &[Direction], inner: &[Direction], colour: Colour) {
        let edge = |points: &[Direction]| -> Option<Vec<PagePoint>> {
            let mut places: Vec<PagePoint> =
                points.iter().map(|&point| self.plate.place(point)).collect::<Option<_>>()?;
            places.extend(places.first().copied());
            Some(places)
        };
        let (Some(mut points), Some(back)) = (edge(outer), edge(inner)) else { return };
        points.extend(back.into_iter().rev());
        self.ink.push(Ink::Path { points, closed: true, pen: Pen::fill(colour) });
    }

    fn head(&mut self, [x, y]: PagePoint, heading_rad: f64, size_pt: f64, colour: Colour) {
        // Paper's y runs down.
        let (along_x, along_y) = (heading_rad.cos() * size_pt, -heading_rad.sin() * size_pt);
        self.places.mark([x, y], size_pt);
        let point = |along: f64, side: f64| {
            [x + along * along_x - side * along_y, y + along * along_y + side * along_x]
        };
        let points = vec![point(0.6, 0.0), point(-1.0, 0.6), point(-1.0, -0.6)];
        self.ink.push(Ink::Path { points, closed: true, pen: Pen::fill(colour) });
    }

    /// Words of what is drawn, each beside it, over no mark and over no other words; the last drawn matters most, and
    /// has the first choice.
    fn labels(&mut self) {
        let waiting = std::mem::take(&mut self.waiting);
        let mut placed: Vec<(UnplacedLabel, Area, Face)> =
            waiting.into_iter().rev().filter_map(|label| self.placed(label)).collect();
        placed.reverse();
        for (label, area, _) in &placed {
            let (far_pt, near) = area.nearest_to(label.at);
            if far_pt > LEADER_PT {
                let pen = Pen::line(palette::words(label.role), 0.5);
                self.ink.push(Ink::Name(format!("{}-leader", label.name)));
                self.ink.push(Ink::Path { points: vec![label.at, near], closed: false, pen });
            }
        }
        for (label, area, face) in placed {
            self.ink.push(Ink::Name(label.name));
            // White behind words, so that no line runs through them.
            let points = rectangle(area.from, area.to);
            self.ink.push(Ink::Path { points, closed: true, pen: Pen::fill(Colour::WHITE) });
            let at = [area.from[0] + BESIDE_PT, area.from[1] + WORDS_PT * ASCENT];
            let colour = palette::words(label.role);
            self.text(at, &label.text, face, WORDS_PT, colour, Align::Left);
        }
    }

    /// A label with the room it takes; `None` where what it is of is out of sight.
    fn placed(&mut self, mut label: UnplacedLabel) -> Option<(UnplacedLabel, Area, Face)> {
        let bold = matches!(label.role, Role::Here | Role::Trial(_) | Role::Measure);
        let face = if bold { Face::Bold } else { Face::Plain };
        let ([left, top], [right, bottom]) = (self.plate.corner, self.plate.end());
        let [x, y] = label.at;
        if !((left..=right).contains(&x) && (top..=bottom).contains(&y)) {
            return None;
        }
        let room_pt = right - left - 2.0 * (CLEAR_PT + BESIDE_PT);
        label.text = shortened(self.letters, &label.text, face, WORDS_PT, room_pt);
        let wide_pt = self.letters.width_pt(&label.text, face, WORDS_PT);
        let size = [wide_pt + 2.0 * BESIDE_PT, WORDS_PT * (ASCENT + DESCENT)];
        let (middle, base) = (x - size[0] / 2.0, 2.0 * CLEAR_PT);
        let from = match label.anchor {
            Anchor::Above => [middle, y - base - WORDS_PT * ASCENT],
            Anchor::Below => [middle, y + base + WORDS_PT * (1.0 - ASCENT)],
            Anchor::Right => [x + CLEAR_PT - BESIDE_PT, y - 1.0 - WORDS_PT * ASCENT],
        };
        let wanted = Area::sized(from, size);
        // How far a limit reaches stands among the words beside a plot: where there is no room it is not drawn over
        // what was read.
        let area = match label.role {
            Role::Limit => self.places.take_free(label.at, wanted)?,
            _ => self.places.take(label.at, wanted),
        };
        Some((label, area, face))
    }

    fn text(
        &mut self,
        at: PagePoint,
        text: &str,
        face: Face,
        size_pt: f64,
        colour: Colour,
        align: Align,
    ) {
        self.ink.push(Ink::Words { at, text: text.to_owned(), face, size_pt, colour, align });
    }

    fn grid(&mut self) {
        let step = grid_step(self.plate.extent.half_arcmin);
        let Extent { centre, .. } = self.plate.extent;
        let [width, height] = self.plate.size_pt;
        let scale = self.plate.points_per_arcmin();
        let (corner, end) = (self.plate.corner, self.plate.end());
        self.ink.push(Ink::Name("grid".to_owned()));
        let mut labels = Vec::new();
        for tick in ticks(centre.x_arcmin, width / 2.0 / scale, step) {
            let Some([x, _]) = self.plate.place(Direction::new(tick, centre.y_arcmin)) else {
                continue;
            };
            self.grid_line([x, corner[1]], [x, end[1]], tick == 0.0);
            if x > corner[0] + 24.0 && x < end[0] - 14.0 {
                labels.push(([x, end[1] - 3.0], tick, Align::Middle));
            }
        }
        for tick in ticks(centre.y_arcmin, height / 2.0 / scale, step) {
            let Some([_, y]) = self.plate.place(Direction::new(centre.x_arcmin, tick)) else {
                continue;
            };
            self.grid_line([corner[0], y], [end[0], y], tick == 0.0);
            if y > corner[1] + 10.0 && y < end[1] - 14.0 {
                labels.push(([corner[0] + 3.0, y + TICK_PT * 0.36], tick, Align::Left));
            }
        }
        for (at, tick, align) in labels {
            let text = format!("{}′", words::number(tick, usize::from(step < 1.0)));
            let wide_pt = self.letters.width_pt(&text, Face::Plain, TICK_PT);
            let left = at[0] - if align == Align::Middle { wide_pt / 2.0 } else { 0.0 };
            let corner = [left, at[1] - TICK_PT * ASCENT];
            let area = Area::sized(corner, [wide_pt, TICK_PT * (ASCENT + DESCENT)]);
            if self.places.has_words(&area) {
                continue;
            }
            self.places.words(area);
            self.text(at, &text, Face::Plain, TICK_PT, Colour::QUIET, align);
        }
    }

    fn grid_line(&mut self, from: PagePoint, to: PagePoint, through_boresight: bool) {
        let pen = Pen::line(Colour::GRID, if through_boresight { 1.2 } else { 0.5 });
        self.ink.push(Ink::Path { points: vec![from, to], closed: false, pen });
    }

    /// What the picture is of, which line is whose, and how much larger residuals are drawn.
    fn legend(&mut self, legend: Legend, [left, top]: PagePoint) {
        if legend.0.is_empty() {
            return;
        }
        self.ink.push(Ink::Name("key".to_owned()));
        for (row, things) in legend.0.into_iter().enumerate() {
            let base = top + ROW_PT * row as f64 + WORDS_PT;
            for (right_pt, thing) in things {
                let x = left + right_pt;
                match thing {
                    Above::Caption(text) => {
                        let (face, colour) = (Face::Bold, Colour::INK);
                        self.text([x, base], &text, face, WORDS_PT, colour, Align::Left);
                    }
                    Above::Residuals(text) => self.key_words([x, base], &text),
                    Above::Eye(channel) => {
                        self.sample([x, base - KEY_PT * 0.36], channel);
                        self.key_words([x + SAMPLE_PT + CLEAR_PT, base], eye(channel));
                    }
                }
            }
        }
    }

    fn key_words(&mut self, at: PagePoint, text: &str) {
        self.text(at, text, Face::Plain, KEY_PT, Colour::QUIET, Align::Left);
    }

    /// A channel's line with its marker.
    fn sample(&mut self, [x, y]: PagePoint, channel: Channel) {
        let (line, mark) = (style(Role::Circle(channel)), style(Role::Reading(channel)));
        let pen = Pen {
            line: Some(InkLine {
                colour: palette::channel(channel),
                width_pt: f64::from(line.width_pt) * FINER,
                dash_pt: line.dash_pt.map(|dash| dash.map(|part| f64::from(part) * FINER)),
            }),
            fill: None,
        };
        let points = vec![[x, y], [x + SAMPLE_PT, y]];
        self.ink.push(Ink::Path { points, closed: false, pen });
        let mark = Style { marker: marker(channel), ..mark };
        self.marker([x + SAMPLE_PT / 2.0, y], &mark, palette::channel(channel));
    }
}

const fn eye(channel: Channel) -> &'static str {
    match channel {
        Channel::Left => "left eye",
        Channel::Right => "right eye",
    }
}

/// 1, 2 or 5 times a power of ten, so that about eight lines cross the field.
fn grid_step(half_arcmin: f64) -> f64 {
    let wanted = (half_arcmin / 4.0).clamp(1e-3, 1e6);
    let decade = 10_f64.powf(wanted.log10().floor());
    let factors = [1.0, 2.0, 5.0, 10.0];
    decade * factors.into_iter().find(|factor| factor * decade >= wanted).unwrap_or(10.0)
}

/// Multiples of `step` within `half` of `centre`; few, since a step is a share of the field.
fn ticks(centre: f64, half: f64, step: f64) -> impl Iterator<Item = f64> {
    let (first, last) = (((centre - half) / step).ceil(), ((centre + half) / step).floor());
    let count = (last - first).clamp(-1.0, 400.0);
    (0..)
        .map(move |k: u32| f64::from(k))
        .take_while(move |k| *k <= count)
        .map(move |k| (first + k) * step)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_fit_for_xml() {
        assert_eq!(item_name(ItemId::Reading(Channel::Left, 12)), "reading-left-12");
        assert_eq!(item_name(ItemId::Boresight), "boresight");
    }

    #[test]
    fn grids_have_round_steps() {
        for (half, step) in [(40.0, 10.0), (44.8, 20.0), (9.0, 5.0), (5.0, 2.0), (200.0, 50.0)] {
            assert_eq!(grid_step(half), step, "{half}");
        }
        let all: Vec<f64> = ticks(3.0, 40.0, 20.0).collect();
        assert_eq!(all, [-20.0, 0.0, 20.0, 40.0]);
    }

    /// Up is up, right is right, and an arcminute is as long across as up.
    #[test]
    fn places_keep_shape() {
        let extent = Extent { centre: Direction::new(5.0, -3.0), half_arcmin: 50.0 };
        let plate = Layout { corner: [10.0, 20.0], size_pt: [300.0, 200.0], extent };
        assert_eq!(plate.points_per_arcmin(), 2.0);
        assert_eq!(plate.place(Direction::new(5.0, -3.0)), Some([160.0, 120.0]));
        assert_eq!(plate.place(Direction::new(15.0, 7.0)), Some([180.0, 100.0]));
        assert_eq!(plate.place(Direction::new(f64::NAN, 7.0)), None);
    }
}
