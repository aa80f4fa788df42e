//! The pictures that confirm readings rest on, read back by a general PDF reader: pixels, words for whoever cannot see
//! them, and words where there is none.

use lopdf::{Dictionary, Document, Object};
use paper::report::small_pictures::Small;
use paper::{
    GreyPicture, NotShown, PaperSize, Pictures, SmallPicture, report_with, small_pictures_of,
};
use record::fact::{
    Camera, Frame, FrameRead, Header, NotedCrosshair, PictureMark, Purpose, Reading, RoundReason,
};
use record::file::write_all_lines;
use record::shop::PictureFound;
use record::{
    Account, Approach, Body, Channel, DirectionReading, Fact, ReadingUnit, RoundOpened,
    SessionKind, Stamp, Typed,
};

use crate::reading::Report;
use crate::session::{issued, kept};

/// A session with a confirm reading and its picture for each of these channels.
fn confirmed(channels: &[Channel]) -> Account {
    let header = Header {
        format: record::LATEST_FORMAT,
        program: "samepoint 0.1.0".to_owned(),
        session: "00112233445566778899aabbccddeeff".to_owned(),
        kind: SessionKind::Real,
        continues: None,
    };
    let mark = |x: f64, y: f64| PictureMark { px: [x, y], divisions: [x - 160.0, 120.0 - y] };
    let camera = Camera {
        name: "bench camera".to_owned(),
        station: "Bench 9".to_owned(),
        size_px: [320, 240],
        lines: record::Lines::Bright,
        marks: vec![mark(10.0, 10.0), mark(310.0, 10.0), mark(310.0, 230.0), mark(10.0, 230.0)],
    };
    let opened = RoundOpened { why: RoundReason::First, note: String::new() };
    let mut bodies = vec![Body::Header(header), Body::RoundOpened(opened), Body::Camera(camera)];
    for (place, &channel) in channels.iter().enumerate() {
        let typed = |text: &str| Typed::parse(text).unwrap();
        let read = DirectionReading {
            channel,
            ring_deg: None,
            x: typed("12.5"),
            y: typed("-3.5"),
            unit: ReadingUnit::Arcmin,
            approach: Approach::NotNoted,
        };
        bodies.push(Body::Reading(Reading::direction(2, Purpose::Confirm, read)));
        bodies.push(Body::Frame(Frame {
            reading: bodies.len() as u64,
            picture_sha256: format!("{place:064x}"),
            background_sha256: None,
            read: FrameRead::Camera,
            crosshairs: vec![NotedCrosshair {
                px: [172.5, 123.5],
                covariance_px2: Some([0.01, 0.0, 0.01]),
            }],
        }));
    }
    let time: Stamp = "2026-11-25T09:30:00.000+00:00".parse().unwrap();
    let hand = "RV".to_owned();
    let facts: Vec<Fact> =
        (1..).zip(bodies).map(|(seq, body)| Fact { seq, time, hand: hand.clone(), body }).collect();
    let mut bytes = Vec::new();
    write_all_lines(&facts, &mut bytes).unwrap();
    kept(&bytes)
}

/// Four by three pixels, each its own grey.
fn small() -> Small {
    let grey = (0..12).map(|place| place * 20).collect();
    Small { picture: GreyPicture::new([4, 3], grey).unwrap(), of_px: [320, 240] }
}

fn is_named(of: &Dictionary, key: &[u8], name: &[u8]) -> bool {
    of.get(key).and_then(Object::as_name).is_ok_and(|is| is == name)
}

fn drawn(account: &Account, pictures: Option<&[SmallPicture]>) -> Vec<u8> {
    let pictures = Pictures { head: None, confirm: pictures };
    report_with(account, None, PaperSize::A4, issued(), pictures).unwrap()
}

#[test]
fn a_picture_comes_back_pixel_by_pixel_with_its_words() {
    let account = confirmed(&[Channel::Left, Channel::Left, Channel::Right]);
    // The newest of each channel.
    let wanted: Vec<u64> = small_pictures_of(&account).iter().map(|said| said.seq).collect();
    assert_eq!(wanted, [7, 9]);
    let pictures = [
        SmallPicture { frame: 7, shown: Ok(small()) },
        SmallPicture { frame: 9, shown: Err(NotShown::NotThere(PictureFound::Another)) },
    ];
    let pdf = drawn(&account, Some(&pictures));
    assert!(drawn(&account, Some(&pictures)) == pdf, "the same bytes each time");
    assert!(paper::marks::is_our_pdf(&mut std::io::Cursor::new(&pdf)).unwrap());
    let document = Document::load_mem(&pdf).unwrap();
    // ISO 32000-1, 8.9.5 (from memory): an image's dictionary, its values row by row from the top.
    let images: Vec<_> = document
        .objects
        .values()
        .filter_map(|object| object.as_stream().ok())
        .filter(|stream| is_named(&stream.dict, b"Subtype", b"Image"))
        .collect();
    let [image] = images[..] else { panic!("{} images", images.len()) };
    let number = |key: &[u8]| image.dict.get(key).unwrap().as_i64().unwrap();
    assert_eq!([number(b"Width"), number(b"Height"), number(b"BitsPerComponent")], [4, 3, 8]);
    assert_eq!(image.decompressed_content().unwrap(), small().picture.grey());
    // What is made to be kept does not smooth (ISO 19005-3, 6.2.8, from memory).
    assert!(!image.dict.has(b"Interpolate"));
    // Told to whoever cannot see it (ISO 14289-1, 7.3).
    let told: Vec<String> = document
        .objects
        .values()
        .filter_map(|object| object.as_dict().ok())
        .filter(|dict| is_named(dict, b"S", b"Figure"))
        .filter_map(|dict| {
            dict.get(b"Alt").ok().and_then(|alt| lopdf::decode_text_string(alt).ok())
        })
        .collect();
    let crosshair = "Crosshair at 172.5, 123.5 of 320 × 240 px";
    let of = "Left 2 where it was set up, no unit named, 2026-11-25 09:30:00";
    assert!(told.iter().any(|alt| alt.contains(of) && alt.contains(crosshair)), "{told:#?}");
    let report = Report::read(&pdf);
    report.says("Pictures of the confirm readings");
    report.says(of);
    report.says(crosshair);
    report.says("The picture of reading right 1 where it was set up (fact 9, SHA-256 ");
    report.says("is not what lies under its name in the shop’s pictures");
}

#[test]
fn where_none_is_wanted_or_there_is_none_no_picture_is_drawn() {
    let is_image = |object: &Object| {
        object.as_stream().is_ok_and(|stream| is_named(&stream.dict, b"Subtype", b"Image"))
    };
    let images = |pdf: &[u8]| {
        let document = Document::load_mem(pdf).unwrap();
        document.objects.values().filter(|object| is_image(object)).count()
    };
    let account = confirmed(&[Channel::Left]);
    let without = drawn(&account, None);
    assert!(without == paper::report(&account, None, PaperSize::A4, issued()).unwrap());
    assert_eq!(images(&without), 0);
    assert!(!Report::read(&without).text().contains("Picturesoftheconfirmreadings"));
    let none = drawn(&confirmed(&[]), Some(&[]));
    assert_eq!(images(&none), 0);
    Report::read(&none).says("No confirm reading in use rests on a picture.");
}

#[test]
fn two_stand_side_by_side() {
    let account = confirmed(&[Channel::Left, Channel::Right]);
    let wanted = small_pictures_of(&account);
    let all: Vec<SmallPicture> =
        wanted.iter().map(|said| SmallPicture { frame: said.seq, shown: Ok(small()) }).collect();
    let pdf = drawn(&account, Some(&all));
    let report = Report::read(&pdf);
    report.says("Left 1 where it was set up");
    report.says("Right 1 where it was set up");
}
