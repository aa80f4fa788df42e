//! Field plots: whose they are and when, which line is whose, beside what is drawn; words that lie over nothing; and that
//! the first page of a report holds its plot.

use std::fs;

use paper::letters::{Face, Letters};
use roxmltree::{Document, Node};

use crate::reading::Report;
use crate::session::{DEMO, DIFFERENCES, account, changed, issued, root};

const SIZE_PT: f64 = 480.0;

/// The name of each demo session, with its unit as its file names it and the day of its last reading.
fn demo_sessions() -> Vec<(String, record::Account)> {
    let mut names: Vec<String> = fs::read_dir(root().join("demo-data/sessions"))
        .unwrap()
        .map(|entry| format!("demo-data/sessions/{}", entry.unwrap().file_name().display()))
        .filter(|name| name.ends_with(".samepoint"))
        .collect();
    names.sort();
    assert!(names.len() > 40, "{names:?}");
    names.into_iter().map(|name| (name.clone(), account(&name))).collect()
}

fn number(node: Node<'_, '_>, name: &str) -> f64 {
    node.attribute(name).unwrap().parse().unwrap()
}

/// How far down a drawn thing reaches.
fn lowest(node: Node<'_, '_>) -> f64 {
    match node.tag_name().name() {
        // Letters reach below their line by less than a third of their height.
        "text" => number(node, "y") + 0.3 * number(node, "font-size"),
        "circle" => number(node, "cy") + number(node, "r"),
        _ => {
            let points = node.attribute("points").unwrap().split(' ');
            let downs = points.map(|point| point.split_once(',').unwrap().1.parse().unwrap());
            downs.fold(f64::NEG_INFINITY, f64::max)
        }
    }
}

/// The key stands above the field and all that is drawn in the field is seen inside its frame only: no mark can lie
/// under it, whatever was read.
#[test]
fn the_key_covers_no_mark() {
    let mut keys = 0;
    for (name, account) in demo_sessions() {
        let svg = paper::svg(&paper::session_scene(&account), [SIZE_PT; 2]);
        let document = Document::parse(&svg).unwrap();
        let clip = document.descendants().find(|node| node.has_tag_name("clipPath")).unwrap();
        let field = clip.first_element_child().unwrap();
        let (top, height) = (number(field, "y"), number(field, "height"));
        assert!((top + height - SIZE_PT).abs() < 1e-3 && height > 0.9 * SIZE_PT, "{name}");
        let named = |id: &str| document.descendants().find(|node| node.attribute("id") == Some(id));
        let key = named("key").unwrap();
        for drawn in key.children().filter(Node::is_element) {
            assert!(lowest(drawn) <= top, "{name}: {drawn:?} is below {top}");
        }
        // It stands outside of what is clipped, and the readings within.
        let clipped = |node: Node<'_, '_>| {
            node.ancestors().any(|above| above.attribute("clip-path").is_some())
        };
        assert!(!clipped(key), "{name}");
        for mark in document.descendants() {
            let id = mark.attribute("id").unwrap_or_default();
            if id.starts_with("reading-") || id.starts_with("circle-") {
                assert!(clipped(mark), "{name} {id}");
                keys += 1;
            }
        }
    }
    assert!(keys > 500, "{keys}");
}

/// Who finds the picture alone learns which unit it shows, and of which day.
#[test]
fn a_picture_says_its_unit_and_day() {
    for (name, account) in demo_sessions() {
        let unit = account.session.unit().unwrap().name.clone();
        let rounds = account.session.rounds.iter();
        let last = rounds.flat_map(record::Round::in_use).map(|entry| entry.time.date()).max();
        let day = last.unwrap();
        let svg = paper::svg(&paper::session_scene(&account), [SIZE_PT; 2]);
        let document = Document::parse(&svg).unwrap();
        let title = document.descendants().find(|node| node.has_tag_name("title")).unwrap();
        let key = document.descendants().find(|node| node.attribute("id") == Some("key")).unwrap();
        let words: Vec<&str> = key
            .descendants()
            .filter(|node| node.has_tag_name("text"))
            .filter_map(|n| n.text())
            .collect();
        let wanted = format!("Unit {unit}, {day}");
        assert_eq!(words.first(), Some(&wanted.as_str()), "{name}");
        assert_eq!(title.text(), Some(format!("Field plot. {wanted}").as_str()), "{name}");
    }
}

/// In pixels as in lines: without the words the strip above the field would be blank.
#[test]
fn the_words_are_in_the_pixels_too() {
    let mut scene = paper::session_scene(&account("demo-data/sessions/2026-11-23 0152.samepoint"));
    let dark = |scene: &paper::Scene| {
        let pixels = paper::pixels(scene, [SIZE_PT; 2], 1.0);
        let strip = pixels.rgba.chunks(4).take(11 * usize::from(pixels.width));
        strip.filter(|pixel| pixel.iter().take(3).all(|&part| part < 100)).count()
    };
    let with = dark(&scene);
    scene.caption.clear();
    assert!(with > dark(&scene) + 50, "{with}");
}

/// Left, top, right, bottom.
type Box4 = [f64; 4];

fn meet(a: Box4, b: Box4) -> bool {
    a[0] < b[2] && b[0] < a[2] && a[1] < b[3] && b[1] < a[3]
}

/// The middle part of a text's letters: from the height of an x to the line, which any two that touch have in common.
fn letters_of(node: Node<'_, '_>, letters: &Letters) -> Box4 {
    let size = number(node, "font-size");
    let face = if node.attribute("font-weight") == Some("bold") { Face::Bold } else { Face::Plain };
    let wide = letters.width_pt(node.text().unwrap_or_default(), face, size);
    let (x, y) = (number(node, "x"), number(node, "y"));
    let left = match node.attribute("text-anchor") {
        Some("middle") => x - wide / 2.0,
        Some("end") => x - wide,
        _ => x,
    };
    [left, y - 0.8 * size, left + wide, y + 0.2 * size]
}

/// All that is drawn in a group.
fn reach_of(group: Node<'_, '_>) -> Option<Box4> {
    let mut all: Option<Box4> = None;
    for node in group.children().filter(Node::is_element) {
        let own = if node.has_tag_name("circle") {
            let (x, y, r) = (number(node, "cx"), number(node, "cy"), number(node, "r"));
            [x - r, y - r, x + r, y + r]
        } else {
            let mut own = [f64::MAX, f64::MAX, f64::MIN, f64::MIN];
            for point in node.attribute("points")?.split(' ') {
                let (x, y) = point.split_once(',').unwrap();
                let (x, y): (f64, f64) = (x.parse().unwrap(), y.parse().unwrap());
                own = [own[0].min(x), own[1].min(y), own[2].max(x), own[3].max(y)];
            }
            own
        };
        let was = all.unwrap_or(own);
        all =
            Some([was[0].min(own[0]), was[1].min(own[1]), was[2].max(own[2]), was[3].max(own[3])]);
    }
    all
}

/// In every demo session's plot, as small as the first page has it and larger: no words over other words, none over
/// a mark, none out of the field.
#[test]
fn words_lie_over_no_words_and_no_mark() {
    let letters = Letters::load();
    let mut seen = [0; 2];
    for (name, account) in demo_sessions() {
        for side in [164.0, 182.0, 218.0, SIZE_PT] {
            let svg = paper::svg(&paper::session_scene(&account), [side; 2]);
            let document = Document::parse(&svg).unwrap();
            let clipped = |node: &Node<'_, '_>| {
                node.ancestors().any(|above| above.attribute("clip-path").is_some())
            };
            let words: Vec<(Box4, &str)> = document
                .descendants()
                .filter(|node| node.has_tag_name("text") && clipped(node))
                .map(|node| (letters_of(node, &letters), node.text().unwrap()))
                .collect();
            for (index, (own, text)) in words.iter().enumerate() {
                assert!(own[0] >= 0.0 && own[2] <= side && own[3] <= side, "{name} {side} {text}");
                for (other, said) in words.iter().skip(index + 1) {
                    assert!(!meet(*own, *other), "{name} {side}: {text} over {said}");
                    seen[0] += 1;
                }
            }
            let is_mark = |id: &str| {
                let kinds = ["reading-", "crossing-", "setting-", "centre-", "now-"];
                kinds.iter().any(|kind| id.starts_with(kind)) || id == "boresight"
            };
            for node in document.descendants().filter(|node| clipped(node)) {
                let Some(id) = node.attribute("id").filter(|id| is_mark(id)) else { continue };
                let Some(mark) = reach_of(node) else { continue };
                for (own, text) in
                    words.iter().filter(|(_, text)| !text.ends_with('′') || text.contains(' '))
                {
                    assert!(!meet(*own, mark), "{name} {side}: {text} over {id}");
                    seen[1] += 1;
                }
            }
        }
    }
    assert!(seen.iter().all(|count| *count > 1000), "{seen:?}");
}

/// The first page keeps its plot and its cautions, however long the names and the verdict are, and what it cuts stands
/// whole on the next.
#[test]
fn the_plot_is_on_the_first_page() {
    let long = "a name of many words that nobody would want to read twice ".repeat(8);
    let name = format!("UNIT-{}", "0123456789ABCDEF".repeat(24));
    let named = |of: &str| {
        changed(of, |facts| {
            for fact in facts {
                match &mut fact.body {
                    record::Body::Unit(unit) => unit.name.clone_from(&name),
                    record::Body::Setup(setup) => {
                        setup.customer.clone_from(&long);
                        setup.complaint.clone_from(&long);
                    }
                    record::Body::Station(station) => station.note.clone_from(&long),
                    record::Body::Window(window) => window.source.clone_from(&long),
                    record::Body::LookingTest(test) => test.note.clone_from(&long),
                    record::Body::Countersigned(said) => said.comment.clone_from(&long),
                    record::Body::Returned(said) => said.comment.clone_from(&long),
                    _ => {}
                }
            }
        })
    };
    let mut all = demo_sessions();
    let names: Vec<String> = all.iter().map(|(name, _)| name.clone()).collect();
    // A report takes a second; those of one kind are alike.
    let some = |name: &&String| {
        let told = ["0431", "0347", "0435", "0460", "0152", "0222", "0301", "0345 blind"];
        told.iter().any(|part| name.contains(part))
    };
    all.retain(|(name, _)| some(&name));
    let names: Vec<String> = names.into_iter().filter(|name| some(&name)).collect();
    assert_eq!(names.len(), 8);
    all.extend(names.iter().map(|of| (format!("{of}, long"), named(of))));
    let squeezed = crate::reading::squeezed;
    let whole = [squeezed(&name), squeezed(&long)];
    let on_paper = |paper: paper::PaperSize| {
        for (of, account) in &all {
            let report = Report::read(&paper::report(account, None, paper, issued()).unwrap());
            let first = report.page(1);
            let plot = ["lefteye", "righteye", "eyesdiverge"];
            assert!(plot.iter().any(|words| first.contains(words)), "{of} {paper:?}\n{first}");
            for caution in paper::cautions::CAUTIONS {
                assert!(first.contains(&squeezed(caution)), "{of} {paper:?} {caution}");
            }
            if of.ends_with(", long") {
                assert!(first.contains("wholeonthenextpage"), "{of} {paper:?}\n{first}");
                // Reading a page back takes as long as drawing it: what is cut stands on the very next ones.
                let next: String =
                    (2..=report.pages().min(4) as u32).map(|at| report.page(at)).collect();
                for part in &whole {
                    assert!(next.contains(part), "{of} {paper:?} {part}\n{next}");
                }
            }
        }
    };
    // Both at once: each report is drawn and read back whole.
    std::thread::scope(|scope| {
        for paper in [paper::PaperSize::A4, paper::PaperSize::Letter] {
            let on_paper = &on_paper;
            scope.spawn(move || on_paper(paper));
        }
    });
    assert!(names.iter().any(|name| name == DEMO) && names.iter().any(|name| name == DIFFERENCES));
}

/// Nothing is cut where all has room, and then no page says so.
#[test]
fn a_usual_first_page_cuts_nothing() {
    for of in [DEMO, DIFFERENCES, "demo-data/sessions/2025-12-08 0301.samepoint"] {
        let text = crate::session::report(&account(of)).text();
        assert!(!text.contains("Fromthefirstpage,whole"), "{of}");
    }
}
