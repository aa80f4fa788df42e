//! A report made to be kept: the session it was drawn from goes with it byte for byte, and it is told in order to
//! whoever hears it. Read back by a general PDF reader; PDF/A-3 is ISO 19005-3, PDF/UA-1 ISO 14289-1, tags are ISO
//! 32000-1, 14.7 and 14.8 (clauses from memory). No validator of these standards was to be had: what the writer checks
//! itself, and what is read back here, is all that is checked.

use std::collections::BTreeMap;
use std::fs;

use lopdf::{Dictionary, Document, Object};
use paper::PaperSize;
use record::Body;

use crate::session::{DEMO, WHOLE, account, changed, issued, root};

fn kept(name: &str) -> (Document, Vec<u8>) {
    let bytes = fs::read(root().join(name)).unwrap();
    let account = account(name);
    let pdf = paper::report(&account, Some(bytes.clone()), PaperSize::A4, issued()).unwrap();
    (Document::load_mem(&pdf).unwrap(), bytes)
}

/// Follows a reference, if it is one.
fn at<'a>(document: &'a Document, object: &'a Object) -> &'a Object {
    document.dereference(object).unwrap().1
}

fn entry<'a>(document: &'a Document, of: &'a Dictionary, key: &[u8]) -> &'a Object {
    at(document, of.get(key).unwrap())
}

#[test]
fn the_session_goes_with_its_report() {
    for name in [WHOLE, DEMO] {
        let (document, bytes) = kept(name);
        let catalog = document.catalog().unwrap();
        let associated = entry(&document, catalog, b"AF").as_array().unwrap();
        assert_eq!(associated.len(), 1);
        let file = at(&document, &associated[0]).as_dict().unwrap();
        assert_eq!(file.get(b"AFRelationship").unwrap().as_name().unwrap(), b"Source");
        let file_name = name.rsplit('/').next().unwrap();
        assert_eq!(file.get(b"F").unwrap().as_str().unwrap(), file_name.as_bytes());
        let within = entry(&document, file, b"EF").as_dict().unwrap();
        let stream = entry(&document, within, b"F").as_stream().unwrap();
        let there = stream.decompressed_content().unwrap_or_else(|_| stream.content.clone());
        assert!(there == bytes, "{name}: {} and {} bytes", there.len(), bytes.len());
        // A viewer lists it, too.
        assert!(entry(&document, catalog, b"Names").as_dict().unwrap().has(b"EmbeddedFiles"));
    }
}

#[test]
fn the_same_session_within_gives_the_same_bytes() {
    let bytes = fs::read(root().join(WHOLE)).unwrap();
    let account = account(WHOLE);
    let drawn = || paper::report(&account, Some(bytes.clone()), PaperSize::A4, issued()).unwrap();
    assert!(drawn() == drawn());
    // It is known as ours, with what it carries and without.
    for pdf in [drawn(), paper::report(&account, None, PaperSize::A4, issued()).unwrap()] {
        assert!(paper::marks::is_our_pdf(&mut std::io::Cursor::new(pdf)).unwrap());
    }
}

#[test]
fn it_says_what_it_is() {
    let (document, _) = kept(WHOLE);
    let catalog = document.catalog().unwrap();
    let metadata = entry(&document, catalog, b"Metadata").as_stream().unwrap();
    let metadata = String::from_utf8_lossy(&metadata.content).into_owned();
    for part in ["<pdfaid:part>3<", "<pdfaid:conformance>A<", "<pdfuaid:part>1<"] {
        assert!(metadata.contains(part), "{part} {metadata}");
    }
    let marked = entry(&document, catalog, b"MarkInfo").as_dict().unwrap();
    assert!(marked.get(b"Marked").unwrap().as_bool().unwrap());
    assert_eq!(catalog.get(b"Lang").unwrap().as_str().unwrap(), b"en");
}

/// An element of the tags: its role, its title or what it says instead, and what is in it.
#[derive(Debug)]
struct Element {
    role: String,
    title: String,
    alt: String,
    inside: Vec<Element>,
    pieces: usize,
}

fn element(document: &Document, of: &Dictionary) -> Element {
    let text = |key: &[u8]| {
        let told = of.get(key).ok().map(|told| lopdf::decode_text_string(told).unwrap());
        told.unwrap_or_default()
    };
    let role = of.get(b"S").ok().map(|role| String::from_utf8_lossy(role.as_name().unwrap()));
    let mut found = Element {
        role: role.unwrap_or_default().into_owned(),
        title: text(b"T"),
        alt: text(b"Alt"),
        inside: Vec::new(),
        pieces: 0,
    };
    let Ok(inside) = of.get(b"K") else { return found };
    let one = [inside.clone()];
    let inside = match at(document, inside) {
        Object::Array(each) => each.as_slice(),
        _ => &one,
    };
    for object in inside {
        match at(document, object) {
            Object::Dictionary(of) if of.has(b"S") => found.inside.push(element(document, of)),
            _ => found.pieces += 1,
        }
    }
    found
}

fn tags(document: &Document) -> Element {
    let root = entry(document, document.catalog().unwrap(), b"StructTreeRoot");
    element(document, root.as_dict().unwrap())
}

fn all<'a>(of: &'a Element, role: &str, found: &mut Vec<&'a Element>) {
    if of.role == role {
        found.push(of);
    }
    for inside in &of.inside {
        all(inside, role, found);
    }
}

fn every<'a>(of: &'a Element, role: &str) -> Vec<&'a Element> {
    let mut found = Vec::new();
    all(of, role, &mut found);
    found
}

#[test]
fn headings_tables_and_pictures_are_told_as_such() {
    let (document, _) = kept(WHOLE);
    let tags = tags(&document);
    let titles = every(&tags, "H1");
    assert_eq!(titles.len(), 1);
    assert_eq!(titles[0].title, "Collimation report, unit 0147");
    let headings: Vec<&str> = every(&tags, "H2").iter().map(|h| h.title.as_str()).collect();
    for wanted in ["For the specialist", "Words"] {
        assert!(headings.contains(&wanted), "{headings:?}");
    }
    let pictures = every(&tags, "Figure");
    assert!(pictures.iter().any(|one| one.alt.contains("Left offset circle: centre")));
    assert!(pictures.iter().all(|one| !one.alt.is_empty()));
    // ISO 14289-1, 7.5: a table is regular, and its first row heads its columns.
    let tables = every(&tags, "Table");
    assert!(tables.len() > 3, "{}", tables.len());
    for table in tables {
        let [head, rows @ ..] = table.inside.as_slice() else { panic!("an empty table") };
        assert!(head.inside.iter().all(|cell| cell.role == "TH"), "{head:?}");
        assert!(!rows.is_empty());
        for row in rows {
            assert_eq!((row.role.as_str(), row.inside.len()), ("TR", head.inside.len()));
            assert!(row.inside.iter().all(|cell| cell.role == "TD" && cell.pieces > 0));
        }
    }
    assert!(every(&tags, "P").len() > 30);
}

/// What is shown in each marked piece of a page, by its number (ISO 32000-1, 14.7.4.2), decoded as the face's own
/// table says.
fn pieces(document: &Document, page: lopdf::ObjectId) -> BTreeMap<i64, String> {
    let faces = document.get_page_fonts(page).unwrap();
    let (mut told, mut piece, mut face): (BTreeMap<i64, String>, _, _) =
        (BTreeMap::new(), None, None);
    for operation in document.get_and_decode_page_content(page).unwrap().operations {
        let operands = &operation.operands;
        match operation.operator.as_str() {
            "BDC" => {
                let of = at(document, &operands[1]).as_dict().ok();
                piece = of.and_then(|of| of.get(b"MCID").ok()?.as_i64().ok());
            }
            "EMC" => piece = None,
            "Tf" => face = faces.get(operands[0].as_name().unwrap()).copied(),
            "Tj" | "TJ" => {
                let Some(piece) = piece else { continue };
                let encoding = face.unwrap().get_font_encoding(document).unwrap();
                let parts = match &operands[0] {
                    Object::Array(parts) => parts.as_slice(),
                    _ => operands.as_slice(),
                };
                let shown = parts.iter().filter_map(|part| part.as_str().ok());
                for bytes in shown {
                    let text = Document::decode_text(&encoding, bytes).unwrap();
                    told.entry(piece).or_default().push_str(&text);
                }
            }
            _ => {}
        }
    }
    told
}

/// What of an element is heard: its pieces in order, and nothing between them.
fn heard(
    document: &Document,
    of: &Dictionary,
    pieces: &BTreeMap<lopdf::ObjectId, BTreeMap<i64, String>>,
    found: &mut Vec<String>,
) {
    let Ok(inside) = of.get(b"K") else { return };
    let inside = match at(document, inside) {
        Object::Array(each) => each.clone(),
        one => vec![one.clone()],
    };
    let page = |of: &Dictionary| of.get(b"Pg").ok().map(|page| page.as_reference().unwrap());
    let mut words = String::new();
    for object in &inside {
        let (page, piece) = match at(document, object) {
            Object::Integer(piece) => (page(of), *piece),
            Object::Dictionary(inner) if inner.has(b"S") => {
                heard(document, inner, pieces, found);
                continue;
            }
            Object::Dictionary(marked) => {
                let piece = marked.get(b"MCID").unwrap().as_i64().unwrap();
                (page(marked).or_else(|| page(of)), piece)
            }
            _ => continue,
        };
        words.push_str(pieces[&page.unwrap()].get(&piece).map_or("", String::as_str));
    }
    found.push(words.trim_end().to_owned());
}

/// Heard aloud, a sentence over several lines is that sentence: its words do not run together where lines end, and no
/// blank comes into a word that two lines share.
#[test]
fn words_at_the_ends_of_lines_are_heard_apart() {
    for name in [WHOLE, DEMO] {
        let (document, _) = kept(name);
        let pages = document.get_pages();
        let pieces = pages.values().map(|&page| (page, pieces(&document, page))).collect();
        let root = entry(&document, document.catalog().unwrap(), b"StructTreeRoot");
        let mut found = Vec::new();
        heard(&document, root.as_dict().unwrap(), &pieces, &mut found);
        for caution in paper::cautions::CAUTIONS {
            assert!(found.iter().any(|heard| heard == caution), "{caution}\n{found:#?}");
        }
        for term in ["window use", "closure error"] {
            let means = paper::glossary::meaning(term).unwrap();
            assert!(found.iter().any(|heard| heard.ends_with(means)), "{means}\n{found:#?}");
        }
        let whole = account(name).last_hash;
        assert!(found.iter().any(|heard| heard.contains(&whole)), "{whole}");
    }
}

/// Everything drawn is either told as a part or set apart as decoration (ISO 14289-1, 7.1).
#[test]
fn nothing_is_drawn_outside_a_part() {
    for name in [WHOLE, DEMO] {
        let (document, _) = kept(name);
        for (number, page) in document.get_pages() {
            let mut depth = 0_i32;
            let mut shown = 0;
            for operation in document.get_and_decode_page_content(page).unwrap().operations {
                match operation.operator.as_str() {
                    "BDC" | "BMC" => depth += 1,
                    "EMC" => depth -= 1,
                    "Tj" | "TJ" | "f" | "f*" | "S" | "B" | "B*" | "Do" => {
                        shown += 1;
                        assert_eq!(depth, 1, "{name} page {number}: {operation:?}");
                    }
                    _ => {}
                }
            }
            assert!(depth == 0 && shown > 10, "{name} page {number}");
        }
    }
}

/// The pictures of a report without readings, texts for private use, and a thousand rows and more still give one.
#[test]
fn what_is_hard_to_tell_still_gives_a_report() {
    let private = changed(DEMO, |facts| {
        for fact in facts {
            if let Body::Unit(unit) = &mut fact.body {
                unit.name = "a\u{e000}\u{f8ff}\u{f0000}b".to_owned();
            }
        }
    });
    let report = crate::session::report(&private);
    report.says("unit a[U+E000][U+F8FF][U+F0000]b");
    let many = changed(DEMO, |facts| {
        let reads = |fact: &record::Fact| matches!(fact.body, Body::Reading(_));
        let first = facts.iter().position(reads).unwrap();
        let one = facts[first].clone();
        facts.splice(first..first, core::iter::repeat_n(one, 1500));
    });
    let pdf = paper::report(&many, None, PaperSize::A4, issued()).unwrap();
    assert!(paper::marks::is_our_pdf(&mut std::io::Cursor::new(&pdf)).unwrap());
    let empty = changed(DEMO, |facts| facts.truncate(1));
    crate::session::report(&empty).says("Collimation report, unit not named");
}
