//! What stands at the head of a shop's papers: name, address in lines, and its picture, read back by a general PDF
//! reader.

use std::fs;

use lopdf::{Dictionary, Document, Object, Stream};
use paper::report::PaperSize::{A4, Letter};
use paper::{
    GreyPicture, HeadShown, NotShown, PaperSize, Pictures, ShopHead, calibration_sheet, report_with,
};
use record::calibrations::{
    CalibrationAbout, CalibrationBody, CalibrationFact, CalibrationHeader, CalibrationReview,
    FlipSeen, review_calibration,
};
use record::file::write_all_lines;
use record::shop::PictureFound;
use record::{Account, Axis, Beside, Channel, Fact, JournalBody, Letterhead, RealDisk};

use crate::reading::{Report, squeezed};
use crate::session::{DEMO, DIFFERENCES, WHOLE, account, issued};

/// Six by two pixels, no two alike.
fn picture() -> GreyPicture {
    GreyPicture::new([6, 2], (0..12).map(|value| value * 20).collect()).unwrap()
}

/// As a shop holds it: the ends of its lines are visible marks.
fn letterhead() -> Letterhead {
    let address = record::shown::paragraphs("4 Fen Lane\nHarbour Quarter\nNorthport");
    Letterhead { name: "Fen Lane Optical".to_owned(), address }
}

fn of_shop(name: &str) -> Account {
    let mut account = account(name);
    account.beside = Some(Beside { letterhead: Some(letterhead()), ..Beside::default() });
    account
}

fn drawn(account: &Account, paper: PaperSize, head: Option<&HeadShown>) -> Vec<u8> {
    let pictures = Pictures { head, confirm: None };
    report_with(account, None, paper, issued(), pictures).unwrap()
}

fn images(document: &Document) -> Vec<&Stream> {
    let is_image = |dict: &Dictionary| {
        dict.get(b"Subtype").and_then(Object::as_name).is_ok_and(|name| name == b"Image")
    };
    let streams = document.objects.values().filter_map(|object| object.as_stream().ok());
    streams.filter(|stream| is_image(&stream.dict)).collect()
}

/// Of every figure what it says to whoever cannot see it.
fn figures(document: &Document) -> Vec<String> {
    let dicts = document.objects.values().filter_map(|object| object.as_dict().ok());
    let figures = dicts.filter(|dict| {
        dict.get(b"S").and_then(Object::as_name).is_ok_and(|name| name == b"Figure")
    });
    let told = figures.filter_map(|dict| lopdf::decode_text_string(dict.get(b"Alt").ok()?).ok());
    told.collect()
}

/// The whole picture once, pixel by pixel, nothing behind it and not smoothed (ISO 19005-3, 6.2.8 and 6.2.10: what is made
/// to be kept; from memory), told to whoever cannot see it (ISO 14289-1, 7.3).
fn bears_the_picture(pdf: &[u8]) {
    let document = Document::load_mem(pdf).unwrap();
    let [image] = images(&document)[..] else { panic!("{} images", images(&document).len()) };
    let number = |key: &[u8]| image.dict.get(key).unwrap().as_i64().unwrap();
    assert_eq!([number(b"Width"), number(b"Height"), number(b"BitsPerComponent")], [6, 2, 8]);
    assert_eq!(image.decompressed_content().unwrap(), picture().grey());
    for key in [&b"SMask"[..], b"Mask", b"Interpolate"] {
        assert!(!image.dict.has(key), "{}", String::from_utf8_lossy(key));
    }
    let told = figures(&document);
    let of_shop = told.iter().filter(|alt| *alt == "The picture of Fen Lane Optical");
    assert_eq!(of_shop.count(), 1, "{told:#?}");
}

#[test]
fn a_report_bears_its_shops_picture() {
    for (name, plot) in [(WHOLE, "lefteye"), (DEMO, "lefteye"), (DIFFERENCES, "eyesdiverge")] {
        let account = of_shop(name);
        for paper in [A4, Letter] {
            let pdf = drawn(&account, paper, Some(&Ok(picture())));
            bears_the_picture(&pdf);
            assert!(paper::marks::is_our_pdf(&mut std::io::Cursor::new(&pdf)).unwrap());
            let report = Report::read(&pdf);
            let first = report.page(1);
            for part in ["Fen Lane Optical", "Harbour Quarter", "Collimation report", plot] {
                assert!(first.contains(&squeezed(part)), "{name} {paper:?} {part}\n{first}");
            }
            for caution in paper::cautions::CAUTIONS {
                assert!(first.contains(&squeezed(caution)), "{name} {paper:?} {caution}");
            }
        }
    }
}

/// It takes no more of the page than words beside it have, and none from what stands below.
#[test]
fn a_shop_without_a_picture_has_the_report_it_had() {
    let account = of_shop(WHOLE);
    let without = drawn(&account, A4, None);
    assert!(without == paper::report(&account, None, A4, issued()).unwrap());
    assert!(images(&Document::load_mem(&without).unwrap()).is_empty());
    let with = Report::read(&drawn(&account, A4, Some(&Ok(picture()))));
    assert_eq!(with.pages(), Report::read(&without).pages());
    assert_eq!(with.text(), Report::read(&without).text());
}

/// What is gone or another than it was is told, and costs nobody the report.
#[test]
fn a_picture_that_is_not_there_is_told() {
    let account = of_shop(WHOLE);
    for (found, says) in [
        (PictureFound::Missing, "is missing from the shop’s pictures"),
        (PictureFound::Another, "is not what lies under its name"),
    ] {
        let pdf = drawn(&account, A4, Some(&Err(NotShown::NotThere(found))));
        Report::read(&pdf).says("The picture for the head of the shop’s papers");
        Report::read(&pdf).says(says);
        assert!(images(&Document::load_mem(&pdf).unwrap()).is_empty());
    }
}

/// A calibration that was begun.
fn calibration() -> CalibrationReview {
    let header = CalibrationHeader {
        format: record::LATEST_FORMAT,
        program: "samepoint 0.1.0".to_owned(),
        name: "0f0e0d0c0b0a09080706050403020100".to_owned(),
        continues: None,
        about: CalibrationAbout { station: "Bench 2".to_owned() },
    };
    let flip = FlipSeen { channel: Channel::Left, axis: Axis::X, falls: true };
    let bodies = [JournalBody::Header(header), CalibrationBody::Flip(flip).into()];
    let fact = |(seq, body)| {
        CalibrationFact::from(Fact {
            seq,
            time: "2026-11-25T09:30:00.000+00:00".parse().unwrap(),
            hand: "KT".to_owned(),
            body,
        })
    };
    let facts: Vec<CalibrationFact> = (1..).zip(bodies).map(fact).collect();
    let mut bytes = Vec::new();
    write_all_lines(&facts, &mut bytes).unwrap();
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("a.samepoint-calibration");
    fs::write(&path, bytes).unwrap();
    review_calibration(&path, &RealDisk).unwrap()
}

/// An address is lines there too, and not one with marks in it.
#[test]
fn a_calibration_sheet_bears_name_address_and_picture() {
    let review = calibration();
    let letterhead = letterhead();
    let picture = Ok(picture());
    let head = ShopHead { letterhead: Some(&letterhead), picture: Some(&picture) };
    let sheet = |head| calibration_sheet(&review, head, "a.samepoint-calibration", A4).unwrap();
    let pdf = sheet(head);
    bears_the_picture(&pdf);
    assert!(paper::marks::is_our_calibration_sheet(&mut std::io::Cursor::new(&pdf)).unwrap());
    let read = Report::read(&pdf);
    let lines: Vec<String> = read.raw().lines().map(|line| line.trim().to_owned()).collect();
    for line in ["Fen Lane Optical", "4 Fen Lane", "Harbour Quarter", "Northport"] {
        assert!(lines.iter().any(|found| found == line), "{line:?} is no line of {lines:#?}");
    }
    assert!(!read.text().contains('⏎'), "{}", read.text());
    let gone = Err(NotShown::NotThere(PictureFound::Missing));
    let head = ShopHead { letterhead: Some(&letterhead), picture: Some(&gone) };
    Report::read(&sheet(head)).says("is missing from the shop’s pictures");
    let plain = Report::read(&sheet(ShopHead::default()));
    assert!(!plain.text().contains("FenLane") && !plain.has_images());
}
