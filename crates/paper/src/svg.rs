//! The field plot as an SVG file: text as text, the same bytes for the same scene.

use solver::Channel;

use crate::ink::{Align, Ink, Pen};
use crate::layout::layout;
use crate::letters::{Face, Letters};
use crate::marks;
use crate::palette::Colour;
use crate::scene::{Role, Scene, Shape};
use crate::words;

/// Writes a scene as an SVG document of a size in points.
///
/// Each item of the scene is a group whose `id` is the item's name (`circle-left`, `reading-right-12`),
/// so a program can find it; a title and a description say in words what is shown.
///
/// # Degenerate input
/// A size that is no positive number counts as one point; items without a place on paper are
/// empty groups.
#[must_use]
pub fn svg(scene: &Scene, size_pt: [f64; 2]) -> String {
    let letters = Letters::load();
    let size_pt = possible(size_pt);
    let ink = layout(scene, [0.0, 0.0], size_pt, &letters);
    let description = described(scene);
    let title = match scene.caption.as_str() {
        "" => "Field plot".to_owned(),
        of => format!("Field plot. {of}"),
    };
    let head = SvgHead { written_by: marks::SVG, title: &title, description: &description };
    svg_of(&ink, size_pt, &head)
}

/// What a picture says of itself.
pub(crate) struct SvgHead<'a> {
    /// The line by which this program knows it again.
    pub(crate) written_by: &'a str,
    pub(crate) title: &'a str,
    pub(crate) description: &'a str,
}

fn possible(size_pt: [f64; 2]) -> [f64; 2] {
    size_pt.map(|side| if side.is_finite() { side.clamp(1.0, 1e5) } else { 1.0 })
}

/// Writes ink as an SVG document of a size in points.
pub(crate) fn svg_of(ink: &[Ink], size_pt: [f64; 2], head: &SvgHead<'_>) -> String {
    let [width, height] = possible(size_pt);
    let mut writer = SvgWriter::default();
    writer.line(marks::XML);
    writer.line(&format!(
        r#"<svg xmlns="http://www.w3.org/2000/svg" width="{w}pt" height="{h}pt" viewBox="0 0 {w} {h}" role="img" aria-labelledby="title desc">"#,
        w = figure(width),
        h = figure(height),
    ));
    writer.line(head.written_by);
    writer.line(&format!("<title id=\"title\">{}</title>", escaped(head.title)));
    writer.line(&format!("<desc id=\"desc\">{}</desc>", escaped(head.description)));
    for ink in ink {
        writer.ink(ink);
    }
    writer.end_group();
    writer.line("</svg>");
    writer.text
}

#[derive(Default)]
struct SvgWriter {
    text: String,
    in_group: bool,
    clips: usize,
}

impl SvgWriter {
    fn line(&mut self, line: &str) {
        self.text.push_str(line);
        self.text.push('\n');
    }

    fn end_group(&mut self) {
        if std::mem::take(&mut self.in_group) {
            self.line("</g>");
        }
    }

    fn ink(&mut self, ink: &Ink) {
        match ink {
            Ink::Name(name) => {
                self.end_group();
                self.line(&format!("<g id=\"{}\">", escaped(name)));
                self.in_group = true;
            }
            Ink::Part(_) => {}
            Ink::Grey { from, to, picture } => {
                picture.areas(*from, *to).iter().for_each(|area| self.ink(area));
            }
            Ink::Clip { from: [x0, y0], to: [x1, y1] } => {
                self.end_group();
                self.clips += 1;
                let id = format!("clip-{}", self.clips);
                self.line(&format!(
                    r#"<clipPath id="{id}"><rect x="{}" y="{}" width="{}" height="{}"/></clipPath>"#,
                    figure(*x0),
                    figure(*y0),
                    figure(x1 - x0),
                    figure(y1 - y0),
                ));
                self.line(&format!(r#"<g clip-path="url(#{id})">"#));
            }
            Ink::ClipEnd => {
                self.end_group();
                self.line("</g>");
            }
            Ink::Circle { centre: [x, y], radius_pt, pen } => self.line(&format!(
                r#"<circle cx="{}" cy="{}" r="{}" {}/>"#,
                figure(*x),
                figure(*y),
                figure(*radius_pt),
                drawn(pen),
            )),
            Ink::Path { points, closed, pen } => {
                let places: Vec<String> =
                    points.iter().map(|[x, y]| format!("{},{}", figure(*x), figure(*y))).collect();
                let kind = if *closed { "polygon" } else { "polyline" };
                self.line(&format!(r#"<{kind} points="{}" {}/>"#, places.join(" "), drawn(pen)));
            }
            Ink::Words { at: [x, y], text, face, size_pt, colour, align } => {
                let anchor = match align {
                    Align::Left => "start",
                    Align::Middle => "middle",
                    Align::Right => "end",
                };
                let (family, weight) = match face {
                    Face::Plain => ("DejaVu Sans, sans-serif", "normal"),
                    Face::Bold => ("DejaVu Sans, sans-serif", "bold"),
                    Face::Mono => ("DejaVu Sans Mono, monospace", "normal"),
                };
                self.line(&format!(
                    r#"<text x="{}" y="{}" font-family="{family}" font-size="{}" font-weight="{weight}" text-anchor="{anchor}" fill="{}">{}</text>"#,
                    figure(*x),
                    figure(*y),
                    figure(*size_pt),
                    colour.hex(),
                    escaped(text),
                ));
            }
        }
    }
}

fn drawn(pen: &Pen) -> String {
    let fill = pen.fill.map_or_else(|| "none".to_owned(), Colour::hex);
    let Some(line) = pen.line else { return format!(r#"fill="{fill}""#) };
    let dash = line.dash_pt.map_or_else(String::new, |[dash, gap]| {
        format!(r#" stroke-dasharray="{} {}""#, figure(dash), figure(gap))
    });
    format!(
        r#"fill="{fill}" stroke="{}" stroke-width="{}" stroke-linejoin="round"{dash}"#,
        line.colour.hex(),
        figure(line.width_pt),
    )
}

/// A thousandth of a point is finer than any printer; no zeros at the end, no minus before zero.
fn figure(value: f64) -> String {
    let text = format!("{value:.3}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}

/// Text for XML 1.0: its five signs escaped, what it has no place for replaced by U+FFFD.
fn escaped(text: &str) -> String {
    let mut safe = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => safe.push_str("&amp;"),
            '<' => safe.push_str("&lt;"),
            '>' => safe.push_str("&gt;"),
            '"' => safe.push_str("&quot;"),
            '\'' => safe.push_str("&#39;"),
            '\t' | '\n' | '\r' => safe.push(' '),
            c if record::shown::is_hidden(c) || matches!(c, '\u{fffe}' | '\u{ffff}') => {
                safe.push('\u{fffd}');
            }
            c => safe.push(c),
        }
    }
    safe
}

/// The scene in words, for those who cannot see it.
pub(crate) fn described(scene: &Scene) -> String {
    let mut sentences = vec![format!(
        "Directions as the user sees them, arcminutes from boresight, right and up; the field reaches {} each way from {}.",
        words::arcmin(scene.extent.half_arcmin),
        words::direction(scene.extent.centre)
    )];
    for channel in Channel::BOTH {
        for item in scene.plain() {
            if let (
                Role::Circle(of) | Role::DoubtfulCircle(of),
                Shape::Circle { centre, radius_arcmin },
            ) = (item.role, &item.shape)
                && of == channel
            {
                let side = match channel {
                    Channel::Left => "Left",
                    Channel::Right => "Right",
                };
                sentences.push(format!(
                    "{side} offset circle: centre {}, radius {}.",
                    words::direction(*centre),
                    words::arcmin(*radius_arcmin)
                ));
            }
        }
    }
    for item in scene.plain() {
        if let Shape::Text { at, text, .. } = &item.shape {
            sentences.push(format!("At {}: {text}.", words::direction(*at)));
        }
    }
    sentences.join(" ")
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::panic, reason = "tests fail by panicking")]
    use roxmltree::{Document, Node};
    use solver::{Direction, Problem, Reading, Window, solve};

    use super::*;
    use crate::layout::Layout;
    use crate::scene::{Anchor, ItemId};
    use crate::{Field, MarkKind, ReadingMark, field_scene};

    fn scene() -> Scene {
        let mut problem = Problem {
            window: Window::new(45.0, 20.0, 15.0, Some(40.0)).ok(),
            ..Problem::default()
        };
        let mut marks = Vec::new();
        for (channel, x, y, r) in
            [(Channel::Left, 10.0, 4.0, 30.0), (Channel::Right, -6.0, -3.0, 26.0)]
        {
            for (key, ring) in [0.0, 90.0, 180.0, 270.0_f64].into_iter().enumerate() {
                // Off the circle by a little, so that there are residuals.
                let r = r + if key == 1 { 0.2 } else { 0.0 };
                let at = Direction::new(x, y) + Direction::polar(r, -ring.to_radians());
                let reading = Reading::at_ring(ring, at);
                problem.readings[channel].push(reading);
                let kind = MarkKind::Log;
                let (number, key) = (key + 1, key as u64);
                marks.push(ReadingMark { key, number, channel, reading, kind, selected: false });
            }
        }
        let solution = solve(&problem).unwrap();
        field_scene(&Field {
            solution: Some(&solution),
            marks: &marks,
            window: problem.window,
            setting: solution.setting.as_ref().ok(),
            ..Field::default()
        })
    }

    fn group<'a>(document: &'a Document<'a>, id: &str) -> Node<'a, 'a> {
        document.descendants().find(|node| node.attribute("id") == Some(id)).unwrap()
    }

    fn number(node: Node<'_, '_>, name: &str) -> f64 {
        node.attribute(name).unwrap().parse().unwrap()
    }

    /// Read by a general XML parser, each circle is where the scene has it: tolerance half the last
    /// digit written, 0.0005 pt.
    #[test]
    fn circles_read_back_where_they_are() {
        let scene = scene();
        let text = svg(&scene, [400.0, 300.0]);
        let document = Document::parse(&text).unwrap();
        let plate = Layout::of(&scene, [0.0; 2], [400.0, 300.0], &Letters::load());
        for channel in Channel::BOTH {
            let Shape::Circle { centre, radius_arcmin } =
                scene.find(ItemId::Circle(channel)).unwrap().into_owned().shape
            else {
                panic!("no circle");
            };
            let name = format!("circle-{channel:?}").to_lowercase();
            let circle = group(&document, &name).first_element_child().unwrap();
            let [x, y] = plate.place(centre).unwrap();
            let radius_pt = radius_arcmin * plate.points_per_arcmin();
            for (name, expected) in [("cx", x), ("cy", y), ("r", radius_pt)] {
                let found = number(circle, name);
                assert!((found - expected).abs() <= 0.000_501, "{name} {found} {expected}");
            }
            // Left is solid, right is dashed: told apart without colour.
            let dashed = circle.attribute("stroke-dasharray").is_some();
            assert_eq!(dashed, channel == Channel::Right);
        }
    }

    /// Every item of the scene has its group, once.
    #[test]
    fn every_item_is_there_once() {
        let scene = scene();
        let text = svg(&scene, [400.0, 400.0]);
        let document = Document::parse(&text).unwrap();
        for item in scene.items() {
            let name = crate::layout::item_name(item.id);
            let found =
                document.descendants().filter(|node| node.attribute("id") == Some(&*name)).count();
            assert_eq!(found, 1, "{name}");
        }
    }

    /// What XML 1.0 cannot hold (2.2, "Characters") does not break it.
    #[test]
    fn what_xml_cannot_hold_is_replaced() {
        assert_eq!(escaped("<\u{1}\u{fffe}\t&"), "&lt;\u{fffd}\u{fffd} &amp;");
    }

    /// Words are text that can be searched; what cannot be seen in them is shown by its number, as everywhere.
    #[test]
    fn words_are_text_and_escaped() {
        let mut scene = scene();
        let text = "a < b & \"c\" \u{1} ′".to_owned();
        let at = Direction::new(1.0, 2.0);
        let shape = Shape::Text { at, text, anchor: Anchor::Above };
        scene.push(ItemId::SettingLabel(Channel::Left), Role::Here, shape, String::new());
        let written = svg(&scene, [400.0, 400.0]);
        let document = Document::parse(&written).unwrap();
        let label = group(&document, "settinglabel-left");
        let words = label.descendants().find(|node| node.has_tag_name("text")).unwrap();
        assert_eq!(words.text(), Some("a < b & \"c\" \\u0001 ′"));
        // One reading of four is 0.2′ out, so by least squares the radius is 0.05′ more than 30′.
        let described = group(&document, "desc").text().unwrap();
        assert!(
            described.contains("Left offset circle: centre 10.0′, 4.0′, radius 30.1′."),
            "{described}"
        );
    }

    #[test]
    fn the_same_scene_gives_the_same_bytes() {
        assert_eq!(svg(&scene(), [400.0, 400.0]), svg(&scene(), [400.0, 400.0]));
    }

    /// What has no place on paper, and sizes that are none, still give a document.
    #[test]
    fn hostile_numbers_give_valid_xml() {
        let mut scene = scene();
        for value in [f64::NAN, f64::INFINITY, 1e300] {
            let at = Direction::new(value, -value);
            let marker = Shape::Marker { at };
            let words = String::new();
            scene.push(ItemId::Now(Channel::Left), Role::Now(Channel::Left), marker, words);
            let shape = Shape::Circle { centre: at, radius_arcmin: value };
            scene.push(ItemId::BoresightLimit, Role::Limit, shape, String::new());
        }
        for size in [[0.0, f64::NAN], [-5.0, 1e300], [300.0, 300.0]] {
            Document::parse(&svg(&scene, size)).unwrap();
        }
        scene.extent.half_arcmin = 0.0;
        Document::parse(&svg(&scene, [300.0, 300.0])).unwrap();
        scene.extent.half_arcmin = f64::NAN;
        Document::parse(&svg(&scene, [300.0, 300.0])).unwrap();
    }
}
