//! Field plots that leave their session: whose they are and when, and which line is whose, beside what is drawn.

use std::fs;

use roxmltree::{Document, Node};

use crate::session::{account, root};

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
