//! The pictures that readings rest on, read again by `samepoint review`: whole, and attacked one by one.
//!
//! Where the crosshairs are was planted by the makers of the pictures (demo-data/README.md).

use std::fs;
use std::path::PathBuf;

use record::fact::{
    Camera, Frame, FrameRead, Header, NotedCrosshair, Purpose, Reading, RoundReason,
};
use record::{
    Approach, Body, Channel, DirectionReading, Fact, ReadingUnit, RoundOpened, SessionKind, Shop,
    Stamp, Typed,
};
use serde_json::Value;

use crate::run::{root, samepoint};

/// Facts before the first reading.
const BEFORE: usize = 4;

/// A picture, its channel, and what was planted in it, divisions.
const TAKEN: [(&str, Channel, [&str; 2]); 3] = [
    ("ring-000.png", Channel::Left, ["12.0", "-6.5"]),
    ("ring-120.png", Channel::Left, ["-4.25", "14.00"]),
    ("ring-240.png", Channel::Left, ["-9.5", "-17.0"]),
];

pub(crate) struct Job {
    pub(crate) folder: tempfile::TempDir,
    bodies: Vec<Body>,
}

impl Job {
    fn camera() -> Camera {
        Shop::read_camera(&root().join("demo-data/cameras/Bench 2.ron")).unwrap()
    }

    /// A shop with its camera and station, and a session of three readings, each with its picture.
    pub(crate) fn new() -> Self {
        let folder = tempfile::tempdir().unwrap();
        Shop::lay_out(folder.path()).unwrap();
        let mut shop = Shop::load(folder.path()).unwrap();
        let station = Shop::read_station(&root().join("demo-data/stations/Bench 2.ron")).unwrap();
        shop.keep_station(station.clone()).unwrap();
        shop.keep_camera(Self::camera()).unwrap();
        let header = Header {
            format: record::LATEST_FORMAT,
            program: "samepoint 0.1.0".to_owned(),
            session: "00112233445566778899aabbccddeeff".to_owned(),
            kind: SessionKind::Real,
            continues: None,
        };
        let opened = RoundOpened { why: RoundReason::First, note: String::new() };
        let mut bodies = vec![
            Body::Header(header),
            Body::Station(station),
            Body::RoundOpened(opened),
            Body::Camera(Self::camera()),
        ];
        for (place, (file, channel, [x, y])) in TAKEN.into_iter().enumerate() {
            let path = root().join("demo-data/pictures").join(file);
            let kept = shop.keep_frame(&fs::read(&path).unwrap(), &path).unwrap();
            // The same once more is kept once.
            assert_eq!(shop.keep_frame(&fs::read(&path).unwrap(), &path).unwrap(), kept);
            let read = DirectionReading {
                channel,
                ring_deg: Some(Typed::parse(&(120 * place).to_string()).unwrap()),
                x: Typed::parse(x).unwrap(),
                y: Typed::parse(y).unwrap(),
                unit: ReadingUnit::Divisions,
                approach: Approach::NotNoted,
            };
            bodies.push(Body::Reading(Reading::direction(3, Purpose::Log, read)));
            let (px, covariance) = seen(file);
            bodies.push(Body::Frame(Frame {
                reading: bodies.len() as u64,
                picture_sha256: kept.hash,
                background_sha256: None,
                read: FrameRead::Camera,
                crosshairs: vec![NotedCrosshair { px, covariance_px2: Some(covariance) }],
            }));
        }
        assert_eq!(fs::read_dir(folder.path().join("pictures")).unwrap().count(), TAKEN.len());
        Self { folder, bodies }
    }

    fn frame(&mut self, reading: usize) -> &mut Frame {
        match &mut self.bodies[BEFORE + 2 * reading + 1] {
            Body::Frame(frame) => frame,
            _ => panic!("a frame"),
        }
    }

    fn read(&mut self, reading: usize) -> &mut DirectionReading {
        match &mut self.bodies[BEFORE + 2 * reading] {
            Body::Reading(Reading { seen: record::Seen::Direction(read), .. }) => read,
            _ => panic!("a reading"),
        }
    }

    fn confirm(&mut self, reading: usize) {
        match &mut self.bodies[BEFORE + 2 * reading] {
            Body::Reading(reading) => reading.purpose = Purpose::Confirm,
            _ => panic!("a reading"),
        }
    }

    pub(crate) fn picture(&mut self, reading: usize) -> PathBuf {
        let hash = self.frame(reading).picture_sha256.clone();
        self.folder.path().join(format!("pictures/{hash}.png"))
    }

    pub(crate) fn review(&self) -> Value {
        let time: Stamp = "2026-11-25T09:00:00.000+00:00".parse().unwrap();
        let number = |(index, body): (usize, &Body)| Fact {
            seq: index as u64 + 1,
            time,
            hand: "RV".to_owned(),
            body: body.clone(),
        };
        let facts: Vec<Fact> = self.bodies.iter().enumerate().map(number).collect();
        let path = self.folder.path().join("sessions/a.samepoint");
        let mut bytes = Vec::new();
        record::file::write_all_lines(&facts, &mut bytes).unwrap();
        fs::write(&path, bytes).unwrap();
        let run = samepoint(&["review", "--json", path.to_str().unwrap()]);
        let words = samepoint(&["review", path.to_str().unwrap()]).out;
        let account: Value = serde_json::from_str(&run.out).unwrap();
        for one in account["read_again"].as_array().unwrap() {
            let told = one["words"].as_str().unwrap();
            assert!(one["found"] == "agrees" || words.contains(told), "{told}\n{words}");
        }
        account
    }

    /// What each reading's picture came to; whether it is told not to follow must go with it.
    #[track_caller]
    fn found(&self, expected: [&str; 3]) -> Value {
        let account = self.review();
        let all = account["read_again"].as_array().unwrap();
        let found: Vec<&str> = all.iter().map(|one| one["found"].as_str().unwrap()).collect();
        assert_eq!(found, expected, "{account:#}");
        let told = ["agrees", "missing", "another", "unread"];
        let contradicts = expected.iter().filter(|word| !told.contains(word)).count();
        assert_eq!(account["differences"].as_array().unwrap().len(), contradicts, "{account:#}");
        assert_eq!(account["state"] == "does not follow", contradicts > 0, "{account:#}");
        assert_eq!(account["exit_code"], if contradicts > 0 { 3 } else { 1 });
        account
    }
}

/// What the reader finds in a picture: where, pixels, and its covariance.
fn seen(file: &str) -> ([f64; 2], [f64; 3]) {
    let path = format!("demo-data/pictures/{file}");
    let camera = "demo-data/cameras/Bench 2.ron";
    let told = samepoint(&["picture", &path, "--camera", camera, "--json"]).answered(0);
    let told: Value = serde_json::from_str(&told).unwrap();
    let one = &told["pictures"][0]["crosshairs"][0];
    let number = |value: &Value| value.as_f64().unwrap();
    let covariance = &one["covariance_px2"];
    let places = [[0, 0], [0, 1], [1, 1]];
    (
        [number(&one["px"][0]), number(&one["px"][1])],
        places.map(|[row, column]| number(&covariance[row][column])),
    )
}

#[test]
fn pictures_that_are_what_they_were_agree() {
    let job = Job::new();
    let account = job.found(["agrees"; 3]);
    assert!(account["otherwise"].as_array().unwrap().is_empty(), "{account:#}");
}

#[test]
fn a_picture_that_is_gone_cut_or_another_is_told_and_accuses_nobody() {
    let mut job = Job::new();
    let [first, second] = [0, 1].map(|reading| job.picture(reading));
    fs::remove_file(&first).unwrap();
    let bytes = fs::read(&second).unwrap();
    fs::write(&second, &bytes[..bytes.len() / 2]).unwrap();
    job.found(["missing", "another", "agrees"]);
    // The other's bytes under its name are not its picture.
    fs::copy(job.picture(2), &second).unwrap();
    job.found(["missing", "another", "agrees"]);
    // A background that is gone leaves nothing to read it with.
    job.frame(2).background_sha256 = Some("0a".repeat(32));
    job.found(["missing", "another", "missing"]);
}

/// Whoever writes the file anew, chain and all, can name other pictures: what they show is looked at.
#[test]
fn pictures_that_were_exchanged_do_not_follow() {
    let mut job = Job::new();
    let [first, second] = [0, 1].map(|reading| job.frame(reading).picture_sha256.clone());
    job.frame(0).picture_sha256 = second;
    job.frame(1).picture_sha256 = first;
    job.found(["moved", "moved", "agrees"]);
    // With their places exchanged too, what was typed gives it away.
    let [first, second] = [0, 1].map(|reading| job.frame(reading).crosshairs.clone());
    job.frame(0).crosshairs = second;
    job.frame(1).crosshairs = first;
    job.found(["typed otherwise", "typed otherwise", "agrees"]);
}

#[test]
fn a_number_that_the_picture_does_not_show_does_not_follow() {
    let mut job = Job::new();
    job.read(1).x = Typed::parse("-5.25").unwrap();
    let account = job.found(["agrees", "typed otherwise", "agrees"]);
    let words = account["differences"][0].as_str().unwrap();
    assert!(words.contains("−5.25div") || words.contains("−5.25 div"), "{words}");
    // Typed to whole divisions it is the same number as far as it goes.
    job.read(1).x = Typed::parse("-4").unwrap();
    job.read(1).y = Typed::parse("14").unwrap();
    job.found(["agrees"; 3]);
    // The other unit goes through the station's map: Bench 2 has one arcminute a division.
    job.read(1).unit = ReadingUnit::Arcmin;
    job.found(["agrees"; 3]);
    job.read(1).y = Typed::parse("-14").unwrap();
    job.found(["agrees", "typed otherwise", "agrees"]);
}

/// A place stored as if hardly known is held against what is known now.
#[test]
fn a_place_moved_behind_a_wide_covariance_does_not_follow() {
    let mut job = Job::new();
    let crosshair = &mut job.frame(0).crosshairs[0];
    crosshair.px[0] += 1.0;
    crosshair.covariance_px2 = Some([1e4, 0.0, 1e4]);
    job.found(["moved", "agrees", "agrees"]);
    // A hand that sees the place elsewhere reads another number, and that is held against what was typed.
    job.frame(0).read = FrameRead::Hand;
    job.frame(0).crosshairs[0].covariance_px2 = Some([0.01, 0.0, 0.01]);
    job.frame(0).crosshairs[0].px[0] += 9.0;
    job.found(["typed otherwise", "agrees", "agrees"]);
}

#[test]
fn one_picture_is_not_two_readings() {
    let mut job = Job::new();
    let first = job.frame(0).clone();
    let reading = job.frame(1).reading;
    *job.frame(1) = Frame { reading, ..first };
    *job.read(1) = job.read(0).clone();
    job.found(["agrees", "used before", "agrees"]);
    // Nor is its one crosshair the other channel's.
    job.read(1).channel = Channel::Right;
    job.found(["agrees", "used before", "agrees"]);
}

#[test]
fn another_camera_map_is_told() {
    let mut job = Job::new();
    let mut camera = Job::camera();
    // Every mark a division off: all that is read through it is.
    for mark in &mut camera.marks {
        mark.divisions[0] += 1.0;
    }
    job.bodies[3] = Body::Camera(camera);
    let account = job.found(["typed otherwise"; 3]);
    let otherwise = account["otherwise"].as_array().unwrap();
    assert_eq!(otherwise[0]["what"], "camera map", "{account:#}");
    // Another size cannot be this camera's picture.
    job.bodies[3] = Body::Camera(Camera { size_px: [640, 480], ..Job::camera() });
    job.found(["refused"; 3]);
    job.bodies[3] = Body::Camera(Camera { station: "Bench 9".to_owned(), ..Job::camera() });
    job.found(["other station"; 3]);
    job.bodies[3] = Body::Note(record::Note { text: "no camera".to_owned(), about: None });
    job.found(["no camera map"; 3]);
}

/// A picture in which nothing can be read does not show what was read.
#[test]
fn an_unreadable_picture_contradicts() {
    let mut job = Job::new();
    let shop = Shop::load(job.folder.path()).unwrap();
    let blank = job.folder.path().join("blank.pgm");
    let bytes = [b"P5 320 240 255\n".to_vec(), vec![40; 320 * 240]].concat();
    let kept = shop.keep_frame(&bytes, &blank).unwrap();
    job.frame(0).picture_sha256 = kept.hash;
    let account = job.found(["refused", "agrees", "agrees"]);
    let words = account["read_again"][0]["words"].as_str().unwrap();
    assert!(words.contains("no crosshair was found"), "{words}");
    // Nor does it name more crosshairs than the reading is of.
    let one = job.frame(1).crosshairs[0];
    job.frame(1).crosshairs.push(one);
    job.found(["refused", "wrong count", "agrees"]);
}

/// What a report holds of pictures (ISO 32000-1, 8.9.5), read in its bytes.
fn pictures_in(report: &[u8]) -> usize {
    let image = b"/Subtype/Image";
    report.windows(image.len()).filter(|part| part == image).count()
}

/// A report shows one picture of each position and channel where they are wanted, the same bytes each time, and none
/// that is gone or another.
#[test]
fn a_report_shows_pictures_where_they_are_wanted() {
    let mut job = Job::new();
    let to = job.folder.path().join("job.pdf");
    let session = job.folder.path().join("sessions/a.samepoint");
    let report = |more: &[&str]| {
        let arguments = ["report", session.to_str().unwrap(), "--to", to.to_str().unwrap()];
        samepoint(&[&arguments[..], more].concat()).answered(0);
        fs::read(&to).unwrap()
    };
    job.review();
    // Those of readings that were logged are not wanted.
    assert_eq!(pictures_in(&report(&["--pictures"])), 0);
    job.confirm(1);
    job.confirm(2);
    job.review();
    assert_eq!(pictures_in(&report(&[])), 0);
    // Two of one position and channel: the newest.
    let first = report(&["--pictures"]);
    assert_eq!(pictures_in(&first), 1);
    assert!(report(&["--pictures"]) == first);
    job.read(1).channel = Channel::Right;
    job.review();
    assert_eq!(pictures_in(&report(&["--pictures"])), 2);
    fs::remove_file(job.picture(1)).unwrap();
    assert_eq!(pictures_in(&report(&["--pictures"])), 1);
    fs::copy(root().join("demo-data/pictures/both.png"), job.picture(2)).unwrap();
    assert_eq!(pictures_in(&report(&["--pictures"])), 0);
    // A label shows none.
    let label = ["--label", "--pictures"];
    let arguments = ["report", session.to_str().unwrap(), "--to", to.to_str().unwrap()];
    samepoint(&[&arguments[..], &label].concat()).refused();
}
