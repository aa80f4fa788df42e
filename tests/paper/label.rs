//! The label of a unit's case: what it says, what it must not say, and its QR code read back by a general reader.

use std::fs;
use std::io::Cursor;

use paper::label::qr::{MODULE_MM, QUIET_MODULES};
use paper::label::standing::OnLabel;
use paper::{UnitLabel, label};
use record::fact::{Exercise, Note, Returned};
use record::{Account, Body, Date, Fact, SessionKind, State};
use roxmltree::Document;
use vello_cpu::Pixmap;

use crate::reading::Report;
use crate::session::{DEMO, WHOLE, account, changed, kept, root};

const PT_PER_MM: f64 = 72.0 / 25.4;

/// What a QR code reader finds in a picture of a label.
fn read(label: &UnitLabel, pixels_per_mm: f64) -> Vec<String> {
    let picture = Pixmap::from_png(Cursor::new(label.png_at(pixels_per_mm).unwrap())).unwrap();
    let (width, height) = (usize::from(picture.width()), usize::from(picture.height()));
    let mut image = rqrr::PreparedImage::prepare_from_greyscale(width, height, |x, y| {
        let pixel = picture.sample(x as u16, y as u16);
        ((u16::from(pixel.r) + u16::from(pixel.g) + u16::from(pixel.b)) / 3) as u8
    });
    image.detect_grids().iter().map(|grid| grid.decode().unwrap().1).collect()
}

/// At the dots of label printers, 203 and 300 an inch, and as the picture is written.
#[test]
fn the_code_reads_back_as_the_last_line() {
    let account = account(WHOLE);
    let label = label(&account, None);
    for pixels_per_mm in [203.2 / 25.4, 300.0 / 25.4, 16.0] {
        assert_eq!(read(&label, pixels_per_mm).join(" "), account.last_hash, "{pixels_per_mm}");
    }
    assert_eq!(account.last_hash.len(), 64);
}

/// ISO/IEC 18004 (2015), 5.3.8: four modules of quiet on every side; from memory. A finder pattern is seven modules
/// wide (5.3.2), so its upper edge in the SVG tells the module's size on paper.
#[test]
fn modules_are_half_a_millimetre_and_have_their_quiet() {
    let text = label(&account(WHOLE), None).svg();
    let document = Document::parse(&text).unwrap();
    let svg = document.root_element();
    for (side, mm) in [("width", 62.0), ("height", 29.0)] {
        let pt: f64 = svg.attribute(side).unwrap().trim_end_matches("pt").parse().unwrap();
        assert!((pt / PT_PER_MM - mm).abs() < 0.001, "{side} {pt}");
    }
    let code = document.descendants().find(|node| node.attribute("id") == Some("qr-code")).unwrap();
    let shapes: Vec<Vec<[f64; 2]>> = code
        .children()
        .filter(|node| node.has_tag_name("polygon"))
        .map(|node| {
            let points = node.attribute("points").unwrap().split(' ');
            points
                .map(|point| {
                    let (x, y) = point.split_once(',').unwrap();
                    [x, y].map(|value| value.parse::<f64>().unwrap() / PT_PER_MM)
                })
                .collect()
        })
        .collect();
    let (ground, dark) = shapes.split_first().unwrap();
    let wide = |shape: &[[f64; 2]]| shape[1][0] - shape[0][0];
    let first = &dark[0];
    assert!((wide(first) - 7.0 * 0.5).abs() < 0.002, "{first:?}");
    assert!((MODULE_MM - 0.5).abs() < 1e-12 && QUIET_MODULES == 4);
    let least =
        |axis: usize| dark.iter().flatten().map(|point| point[axis]).fold(f64::INFINITY, f64::min);
    let most = |axis: usize| dark.iter().flatten().map(|point| point[axis]).fold(0.0, f64::max);
    for axis in [0, 1] {
        assert!(least(axis) - ground[0][axis] > 2.0 - 0.002);
        assert!(ground[2][axis] - most(axis) > 2.0 - 0.002);
    }
    // All of it on the label.
    assert!(ground[0].iter().all(|mm| *mm >= 0.0) && ground[2][0] <= 62.0 && ground[2][1] <= 29.0);
}

#[test]
fn a_label_says_unit_verdict_date_and_due() {
    let account = account(WHOLE);
    let due: Date = "2027-11-25".parse().unwrap();
    let label = label(&account, Some(due));
    let signature = account.signature().unwrap();
    let unit = &account.session.unit().unwrap().name;
    let signed = format!("signed {} by {}", signature.time.date(), signature.hand);
    let verdict = signature.signed.verdict.word().to_uppercase();
    for part in [format!("Unit {unit}"), verdict, signed, "due 2027-11-25".to_owned()] {
        assert!(label.says.contains(&part), "{part:?} {:?}", label.says);
    }
    assert!(label.says.concat().contains(&account.last_hash));
    let pdf = label.pdf().unwrap();
    let read = Report::read(&pdf);
    let [[width, height]] = read.sizes_pt()[..] else { panic!("one page") };
    assert!((f64::from(width) - 62.0 * PT_PER_MM).abs() < 0.01);
    assert!((f64::from(height) - 29.0 * PT_PER_MM).abs() < 0.01);
    read.says(&format!("Unit {unit}"));
    read.says("due 2027-11-25");
    assert!(pdf == label_again(&account, due));
    assert!(label.svg().contains("due 2027-11-25"));
    // Nobody said when: a line to write on.
    let blank = paper::label(&account, None).says.join("\n");
    assert!(blank.contains("due ____"), "{blank}");
}

fn label_again(account: &Account, due: Date) -> Vec<u8> {
    label(account, Some(due)).pdf().unwrap()
}

#[track_caller]
fn no_verdict(account: &Account, why: &str) {
    let label = label(account, "2027-11-25".parse().ok());
    assert!(label.says.contains(&"NO VERDICT".to_owned()), "{:?}", label.says);
    let said = label.says.join(" ");
    assert!(said.contains(why), "{why}: {said}");
    let never = ["PASS", "FAIL", "UNDECIDED", "due"];
    assert!(label.says.iter().all(|line| !never.iter().any(|word| line.starts_with(word))));
    let read = Report::read(&label.pdf().unwrap());
    assert!(!read.text().contains("PASS") && read.text().contains("NOVERDICT"), "{}", read.text());
}

#[test]
fn what_is_not_to_be_relied_on_has_no_verdict() {
    no_verdict(&account(DEMO), "unsigned");
    let practice = changed(WHOLE, |facts| {
        for fact in facts {
            if let Body::Header(header) = &mut fact.body {
                let name = "first crossing".to_owned();
                header.kind = SessionKind::Practice(Exercise { name, seed: 1 });
            }
        }
    });
    no_verdict(&practice, "practice");
    let after = |body: fn(u64) -> Body| {
        changed(WHOLE, |facts| {
            let signed = facts.iter().find(|fact| matches!(fact.body, Body::Signed(_))).unwrap();
            let (time, seq) = (signed.time, signed.seq);
            facts.truncate(seq as usize);
            facts.push(Fact { seq: seq + 1, time, hand: "RB".into(), body: body(seq) });
        })
    };
    let returned = after(|signature| {
        Body::Returned(Returned { signature, comment: "read the right channel again".into() })
    });
    no_verdict(&returned, "returned");
    let forged = changed(WHOLE, |facts| {
        for fact in facts {
            if let Body::Signed(signed) = &mut fact.body {
                signed.numbers[0].value += 1.0;
            }
        }
    });
    no_verdict(&forged, "does not follow");
    // A verdict of another word than the readings give.
    let other = changed(WHOLE, |facts| {
        for fact in facts {
            if let Body::Signed(signed) = &mut fact.body {
                signed.verdict = record::Verdict::Fail;
            }
        }
    });
    no_verdict(&other, "does not follow");
    let mut bytes = fs::read(root().join(WHOLE)).unwrap();
    let middle = bytes.len() * 2 / 3;
    bytes[middle] ^= 4;
    no_verdict(&kept(&bytes), "damaged file");
    let mut bytes = fs::read(root().join(WHOLE)).unwrap();
    bytes.truncate(bytes.len() - 100);
    no_verdict(&kept(&bytes), "end is missing");
    // A note after it changes nothing of what was signed.
    let noted =
        after(|_| Body::Note(Note { text: "collected by the customer".into(), about: None }));
    assert!(matches!(OnLabel::of(&noted), OnLabel::Verdict(_)), "{:?}", OnLabel::of(&noted));
}

/// Over the whole invented shop a verdict stands on no label whose session is not signed, whole and real.
#[test]
fn no_label_of_the_demo_shop_says_more_than_its_session() {
    let mut seen = [0, 0];
    for entry in fs::read_dir(root().join("demo-data/sessions")).unwrap() {
        let path = entry.unwrap().path();
        if path.extension().is_none_or(|extension| extension != "samepoint") {
            continue;
        }
        let Ok(account) = record::review(&path, &record::RealDisk) else { continue };
        let with = matches!(OnLabel::of(&account), OnLabel::Verdict(_));
        seen[usize::from(with)] += 1;
        if with {
            assert!(matches!(account.state(), State::Signed | State::Countersigned));
            assert_eq!(account.header().unwrap().kind, SessionKind::Real);
            assert!(!account.answerable.lacks_seal());
            assert!(account.conclusion.as_ref().unwrap().marks().next().is_none());
            let signed = account.signature().unwrap().signed.verdict;
            assert_eq!(Some(signed), account.verdict());
        }
    }
    assert!(seen.iter().all(|count| *count > 2), "{seen:?}");
}

/// Whatever a unit is called, no word reaches the code's quiet zone, and it still reads.
#[test]
fn a_long_name_never_reaches_the_code() {
    for name in
        ["W".repeat(300), "a very long name of a unit ".repeat(20), "\u{202e}\u{4e2d}".repeat(50)]
    {
        let account = changed(WHOLE, |facts| {
            for fact in facts {
                if let Body::Unit(unit) = &mut fact.body {
                    unit.name = name.clone();
                }
            }
        });
        let label = label(&account, None);
        assert_eq!(read(&label, 16.0).join(" "), account.last_hash);
        let picture = Pixmap::from_png(Cursor::new(label.png().unwrap())).unwrap();
        assert_eq!((picture.width(), picture.height()), (992, 464));
        // A column of the quiet zone and a row of the lower edge are paper.
        let white = |x: u16, y: u16| {
            let pixel = picture.sample(x, y);
            [pixel.r, pixel.g, pixel.b] == [255; 3]
        };
        let quiet_from = 992 - 8 - 45 * 8;
        assert!((0..464).all(|y| white(quiet_from + 4, y)), "{name}");
        assert!((0..992).all(|x| white(x, 460)), "{name}");
    }
}
