//! Calibrations: their words, what they must stand, what follows from them, and whether a station's numbers are
//! those of the one it names.

use std::fs;
use std::path::{Path, PathBuf};

use record::calibrations::source::certificate_told;
use record::calibrations::{
    Calibrating, CalibrationAbout, CalibrationBody, CalibrationFact, CalibrationFile,
    CalibrationGap, CalibrationHeader, CalibrationSigned, CalibrationTerms, DeviationRead,
    DeviationShown, FlipSeen, FoundBy, fold, review_calibration,
};
use record::file::write_all_lines;
use record::review::State;
use record::{
    Axis, Channel, Edited, Editing, Error, Fact, JournalBody, MapStanding, Meaning as _, Opener,
    RealDisk, Seq, Shop, Station, StationMap, Withdrawn,
};

use crate::attacks::{reads_for_ever, stands_every_attack};
use crate::support::{HAND, kept, morning, own_note, read_back, real, typed};

fn header(format: u32) -> CalibrationHeader {
    CalibrationHeader {
        format,
        program: "samepoint 0.1.0".into(),
        name: "0f0e0d0c0b0a09080706050403020100".into(),
        continues: None,
        about: CalibrationAbout { station: "Bench 2".into() },
    }
}

/// The map of the left channel: 2′ a division, x runs to the left, boresight at 1, −2; the right one is plain with 1.5′.
fn map(channel: Channel) -> StationMap {
    let boresight_divisions = [1.0, -2.0];
    match channel {
        Channel::Left => StationMap {
            flip_x: true,
            arcmin_per_division: [2.0; 2],
            boresight_divisions,
            ..StationMap::PLAIN
        },
        Channel::Right => StationMap { arcmin_per_division: [1.5; 2], ..StationMap::PLAIN },
    }
}

pub(crate) struct Log(pub(crate) Vec<CalibrationFact>);

impl Log {
    fn begun(format: u32) -> Self {
        let body = JournalBody::Header(header(format));
        Self(vec![Fact { seq: 1, time: morning(0), hand: HAND.into(), body }])
    }

    fn say(&mut self, body: CalibrationBody) -> Seq {
        fold(&self.0).admits(&body).unwrap();
        let seq = self.0.len() as Seq + 1;
        self.0.push(Fact { seq, time: morning(0), hand: HAND.into(), body: body.into() });
        seq
    }

    fn flips(&mut self) {
        for channel in Channel::BOTH {
            for axis in Axis::BOTH {
                let falls = (channel, axis) == (Channel::Left, Axis::X);
                self.say(CalibrationBody::Flip(FlipSeen { channel, axis, falls }));
            }
        }
    }

    /// Shows a deviation and reads it in both channels, off by so many divisions.
    fn shows(&mut self, x: f64, y: f64, off: f64) -> Seq {
        let deviation = self.say(CalibrationBody::Shown(DeviationShown {
            x: typed(&format!("{x}")),
            y: typed(&format!("{y}")),
            u: Some(typed("0,05")),
            source: "wedge 12".into(),
        }));
        for channel in Channel::BOTH {
            let [x, y] = map(channel).divisions_from_direction(solver::Direction::new(x, y));
            let read = DeviationRead {
                deviation,
                channel,
                x: typed(&format!("{}", x + off)),
                y: typed(&format!("{y}")),
            };
            self.say(CalibrationBody::Read(read));
        }
        deviation
    }

    fn terms(&mut self, sigma: Option<&str>) {
        self.say(CalibrationBody::Terms(CalibrationTerms {
            certificate: "W-7".into(),
            sigma: sigma.map(typed),
            common_x: Some(typed("0.03")),
            common_y: None,
            each_axis: false,
            done: "2026-11-01".parse().unwrap(),
            due: "2027-10-31".parse().unwrap(),
        }));
    }

    fn numbers(&self) -> CalibrationSigned {
        fold(&self.0).numbers("samepoint 0.1.0").unwrap()
    }

    pub(crate) fn signs(&mut self) -> Seq {
        let numbers = self.numbers();
        self.say(CalibrationBody::Signed(numbers))
    }

    fn means(&self) -> Calibrating {
        fold(&read_back(&self.0))
    }

    pub(crate) fn write(&self, path: &Path) {
        let mut bytes = Vec::new();
        write_all_lines(&self.0, &mut bytes).unwrap();
        fs::write(path, bytes).unwrap();
    }
}

/// A cross of five, read exactly.
pub(crate) fn whole() -> Log {
    let mut log = Log::begun(2);
    log.flips();
    for (x, y) in [(0.0, 0.0), (40.0, 0.0), (-40.0, 0.0), (0.0, 40.0), (0.0, -40.0)] {
        log.shows(x, y, 0.0);
    }
    log.terms(Some("0.1"));
    log
}

/// Every word of a format.
fn every_fact(format: u32) -> Log {
    let mut log = Log::begun(format);
    log.flips();
    let first = log.shows(0.0, 0.0, 0.25);
    log.shows(40.0, 0.0, 0.0);
    log.shows(0.0, -40.0, 0.125);
    log.say(CalibrationBody::Withdrawn(Withdrawn { reading: first + 1, reason: "bumped".into() }));
    log.terms(None);
    let signed = CalibrationSigned {
        program: "samepoint 0.1.0".into(),
        maps: record::PerChannel {
            left: record::calibrations::SignedMap {
                map: map(Channel::Left),
                own_u_arcmin: [0.0625, 0.125],
            },
            right: record::calibrations::SignedMap {
                map: map(Channel::Right),
                own_u_arcmin: [0.25, 0.5],
            },
        },
        common_u_arcmin: [0.03125, 0.0],
    };
    log.say(CalibrationBody::Signed(signed));
    if format > record::journal::FIRST_FORMAT {
        let (seq, body) = (log.0.len() as Seq + 1, JournalBody::Noted(own_note()));
        log.0.push(Fact { seq, time: morning(0), hand: HAND.into(), body });
    }
    log
}

/// Kept for ever, as the program first wrote them.
#[test]
fn calibrations_of_both_formats_read_for_ever_and_would_be_written_the_same() {
    for format in [1, 2] {
        let path = kept(&format!("calibrations{format}/every-fact.samepoint-calibration"));
        reads_for_ever(&path, format, &every_fact(format).0, PartialEq::eq);
    }
}

#[test]
fn a_calibration_stands_every_attack() {
    for format in [1, 2] {
        stands_every_attack(&every_fact(format).0, &real());
    }
}

/// By hand: the maps are those that were planted; what the deviations are uncertain by is shared, 0.05′ each way at
/// the middle of five is 0.05/√5, beside the certificate's 0.03′ in x; and 0.1 divisions of 2′, five times, 0.2/√5.
#[test]
fn the_numbers_follow_from_what_was_shown_and_read() {
    let mut log = whole();
    log.signs();
    let signed = log.means().signed.unwrap().body;
    for channel in Channel::BOTH {
        let (found, planted) = (signed.maps[channel].map, map(channel));
        assert_eq!((found.flip_x, found.flip_y), (planted.flip_x, planted.flip_y));
        assert!((found.arcmin_per_division[0] - planted.arcmin_per_division[0]).abs() < 1e-12);
        assert!(found.rotation_deg.abs() < 1e-12);
        for axis in [0, 1] {
            assert!(
                (found.boresight_divisions[axis] - planted.boresight_divisions[axis]).abs() < 1e-12
            );
        }
    }
    let near = |a: f64, b: f64| assert!((a - b).abs() < 1e-9, "{a} {b}");
    let shared = 0.05 / 5_f64.sqrt();
    near(signed.common_u_arcmin[0], shared.hypot(0.03));
    near(signed.common_u_arcmin[1], shared);
    near(signed.maps.left.own_u_arcmin[0], 0.2 / 5_f64.sqrt());
    near(signed.maps.right.own_u_arcmin[1], 0.15 / 5_f64.sqrt());
}

#[test]
fn what_is_missing_is_said_one_after_the_other() {
    let mut log = Log::begun(2);
    let missing = |log: &Log| fold(&log.0).numbers("x").unwrap_err().to_string();
    assert!(missing(&log).starts_with("left: put the crosshair to the right"), "{}", missing(&log));
    log.flips();
    assert!(missing(&log).contains("no known deviation is read yet"));
    log.shows(0.0, 0.0, 0.0);
    assert!(missing(&log).contains("only boresight is read"));
    log.shows(40.0, 0.0, 0.0);
    assert!(
        missing(&log).contains("how well the map is known cannot be told"),
        "{}",
        missing(&log)
    );
    log.shows(0.0, 40.0, 0.0);
    assert_eq!(missing(&log), CalibrationGap::Terms.to_string());
    log.terms(None);
    log.numbers();
    // A flip seen the other way, in one channel: no numbers.
    log.say(CalibrationBody::Flip(FlipSeen {
        channel: Channel::Right,
        axis: Axis::Y,
        falls: true,
    }));
    assert!(
        missing(&log).contains("right: the flip test and the deviations contradict"),
        "{}",
        missing(&log)
    );
}

#[test]
fn what_makes_no_sense_is_refused() {
    let log = whole();
    let means = log.means();
    let refused = |body: CalibrationBody| means.admits(&body).unwrap_err();
    let read = |deviation| DeviationRead {
        deviation,
        channel: Channel::Left,
        x: typed("0"),
        y: typed("0"),
    };
    assert!(matches!(
        refused(CalibrationBody::Read(read(2))),
        Error::NotADeviationInUse { seq: 2 }
    ));
    let shown = |x: &str, u: &str, source: &str| DeviationShown {
        x: typed(x),
        y: typed("0"),
        u: Some(typed(u)),
        source: source.into(),
    };
    assert!(matches!(
        refused(CalibrationBody::Shown(shown("3001", "0", "a"))),
        Error::BeyondField { .. }
    ));
    assert!(matches!(
        refused(CalibrationBody::Shown(shown("1", "-1", "a"))),
        Error::FieldValue { .. }
    ));
    assert!(matches!(
        refused(CalibrationBody::Shown(shown("1", "1", " "))),
        Error::FieldEmpty { .. }
    ));
    let withdrawn = |reading, reason: &str| Withdrawn { reading, reason: reason.into() };
    assert!(matches!(
        refused(CalibrationBody::Withdrawn(withdrawn(2, "a"))),
        Error::NotAReadingInUse { .. }
    ));
    let mut terms = means.terms.clone().unwrap();
    terms.due = "2026-10-01".parse().unwrap();
    assert!(matches!(refused(CalibrationBody::Terms(terms)), Error::DueBeforeDone { .. }));
}

/// A deviation takes its readings with it.
#[test]
fn a_withdrawn_deviation_takes_its_readings_with_it() {
    let mut log = whole();
    let before = log.numbers();
    let wrong = log.shows(20.0, 20.0, 0.1);
    assert_ne!(log.numbers(), before);
    assert_eq!(log.means().last_undone(), Some(wrong + 2));
    log.say(CalibrationBody::Withdrawn(Withdrawn {
        reading: wrong,
        reason: "the wrong wedge".into(),
    }));
    assert_eq!(log.numbers(), before);
    assert!(log.means().last_undone() < Some(wrong));
    assert_eq!(log.means().readings.len(), 12, "nothing is lost");
}

/// What is left out is said with its reason wherever the calibration is told: nobody picks deviations unseen.
#[test]
fn what_is_left_out_is_told_with_its_reason() {
    let mut log = whole();
    let wrong = log.shows(20.0, -20.0, 3.0);
    let out = |reading, reason: &str| Withdrawn { reading, reason: reason.into() };
    log.say(CalibrationBody::Withdrawn(out(wrong + 2, "misread")));
    log.say(CalibrationBody::Withdrawn(out(wrong, "the wrong wedge")));
    let told = log.means().told().join("\n");
    assert!(told.contains("20′, −20′ (wedge 12) left out: the wrong wedge."), "{told}");
    assert!(told.contains("of 20′, −20′ (wedge 12) left out: misread."), "{told}");
}

/// A stated uncertainty that the residuals do not bear is not signed; left open, the scatter tells it.
#[test]
fn an_uncertainty_that_does_not_fit_is_not_signed() {
    let mut log = whole();
    // One sign typed wrong: read where it is, known on the other side.
    log.shows(20.0, 20.0, 0.0);
    let last = log.0.pop().unwrap();
    let JournalBody::Said(CalibrationBody::Read(read)) = last.body else { panic!("{last:?}") };
    log.say(CalibrationBody::Read(DeviationRead { y: typed("-20"), ..read }));
    let gap = log.means().numbers("x").unwrap_err();
    assert!(gap.to_string().starts_with("right: residuals are larger"), "{gap}");
    log.terms(None);
    let open = log.numbers();
    // 40′ on one of six: whoever uses the station is told that its boresight is known to minutes, not hundredths.
    assert!(open.maps.right.own_u_arcmin[1] > 2.0, "{open:?}");
    assert!(log.means().told().iter().any(|told| told.contains("deviation 6 stands out")));
}

/// No file keeps whoever reviews it waiting: what no calibration is told is not taken at its word.
#[test]
fn more_than_a_calibration_holds_is_left_aside() {
    let mut log = whole();
    log.signs();
    let review = written(&log, |facts| {
        let (shown, read) = (facts[5].clone(), facts[6].clone());
        let mut more = |fact: &CalibrationFact| {
            let seq = facts.len() as Seq + 1;
            facts.push(Fact { seq, ..fact.clone() });
        };
        (0..3_000).for_each(|_| more(&shown));
        (0..3_000).for_each(|_| more(&read));
    });
    assert_eq!(review.state, State::DoesNotFollow);
    assert_eq!((review.means.shown.len(), review.means.readings.len()), (200, 2_000));
    let why =
        "a calibration holds 200 known deviations, those left out among them; begin a new one";
    assert!(review.objections.iter().any(|told| told.ends_with(why)), "{:?}", review.objections[0]);
}

fn written(
    log: &Log,
    change: impl FnOnce(&mut Vec<CalibrationFact>),
) -> record::calibrations::CalibrationReview {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("a.samepoint-calibration");
    let mut changed = Log(log.0.clone());
    change(&mut changed.0);
    changed.write(&path);
    review_calibration(&path, &RealDisk).unwrap()
}

/// Whoever changes a number, a reading or a flip and writes the whole chain anew is found by what follows.
#[test]
fn a_forged_calibration_does_not_follow() {
    let mut log = whole();
    let unsigned = written(&log, |_| ());
    assert_eq!((unsigned.state, unsigned.exit_code()), (State::Unsigned, 1));
    let signature = log.signs();
    let good = written(&log, |_| ());
    assert_eq!((good.state, good.exit_code()), (State::Signed, 0), "{:?}", good.objections);
    type Forgery = fn(&mut CalibrationBody);
    let forgeries: [Forgery; 6] = [
        |says| {
            if let CalibrationBody::Signed(signed) = says {
                signed.maps.left.map.arcmin_per_division[0] *= 1.00001;
            }
        },
        |says| {
            if let CalibrationBody::Signed(signed) = says {
                signed.maps.right.own_u_arcmin[0] = 0.0;
            }
        },
        |says| {
            if let CalibrationBody::Signed(signed) = says {
                signed.common_u_arcmin[1] = 0.0;
            }
        },
        |says| {
            if let CalibrationBody::Read(read) = says {
                read.x = typed("7");
            }
        },
        |says| {
            if let CalibrationBody::Flip(flip) = says {
                flip.falls = !flip.falls;
            }
        },
        |says| {
            if let CalibrationBody::Shown(shown) = says {
                shown.u = None;
            }
        },
    ];
    for (number, forge) in forgeries.into_iter().enumerate() {
        let review = written(&log, |facts| {
            for fact in facts.iter_mut() {
                if let JournalBody::Said(says) = &mut fact.body {
                    forge(says);
                }
            }
        });
        assert_eq!(
            (review.state, review.exit_code()),
            (State::DoesNotFollow, 3),
            "forgery {number}"
        );
        assert!(!review.objections.is_empty());
    }
    // A reading of what was never shown, and a signature over nothing.
    let stray = written(&log, |facts| {
        let body = CalibrationBody::Read(DeviationRead {
            deviation: 1,
            channel: Channel::Left,
            x: typed("0"),
            y: typed("0"),
        });
        let seq = facts.len() as Seq + 1;
        facts.push(Fact { seq, time: morning(1), hand: HAND.into(), body: body.into() });
    });
    assert_eq!(stray.state, State::DoesNotFollow);
    // Said after the signature, and signed anew.
    log.shows(10.0, 10.0, 0.0);
    assert_eq!(written(&log, |_| ()).state, State::Outdated);
    log.signs();
    assert_eq!(written(&log, |_| ()).state, State::Signed);
    // Cut behind the first signature's line: signed and whole, which only what names its line can tell.
    let cut = written(&log, |facts| facts.truncate(signature as usize));
    assert_eq!(cut.state, State::Signed);
}

#[test]
fn a_damaged_calibration_is_called_so() {
    let mut log = whole();
    log.signs();
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("a.samepoint-calibration");
    log.write(&path);
    let whole = fs::read(&path).unwrap();
    fs::write(&path, &whole[..whole.len() - 5]).unwrap();
    let review = review_calibration(&path, &RealDisk).unwrap();
    assert_eq!((review.state, review.exit_code()), (State::Damaged, 3));
}

pub(crate) fn shop_with(log: &Log) -> (tempfile::TempDir, Shop, PathBuf) {
    let folder = tempfile::tempdir().unwrap();
    Shop::lay_out(folder.path()).unwrap();
    let mut shop = Shop::load(folder.path()).unwrap();
    let path = shop.new_calibration_path(morning(0).date(), "Bench 2").unwrap();
    log.write(&path);
    let review = review_calibration(&path, &RealDisk).unwrap();
    let by = FoundBy {
        file: path.file_name().unwrap().to_string_lossy().into_owned(),
        line: review.signing_line.clone().unwrap(),
    };
    let signed = review.means.signed.clone().unwrap().body;
    let station = review.means.applied(&signed, &by, &Station::plain("Bench 2")).unwrap();
    let opener = Opener { who: HAND.into(), place: "bench-2".into(), now: morning(0) };
    let by = Editing { opener: &opener, disk: &RealDisk };
    shop.edit(None, Edited::Station(Box::new(station)), by).unwrap();
    (folder, shop, path)
}

/// The station's file says which calibration its numbers are from, through a file and back, and whatever of the two is
/// changed afterwards is told.
#[test]
fn a_station_names_the_calibration_its_numbers_are_from() {
    let mut log = whole();
    log.signs();
    let (folder, _, path) = shop_with(&log);
    let shop = Shop::load(folder.path()).unwrap();
    let station = shop.stations[0].value.clone();
    let by = FoundBy::of(&station).unwrap();
    assert_eq!(by.file, "2026-11-01 Bench 2.samepoint-calibration");
    let certificate = station.calibration.clone().unwrap().certificate;
    assert_eq!(certificate_told(&certificate), "W-7");
    assert_eq!(station.reference, log.numbers().reference());
    assert_eq!(shop.map_standing(&station, &RealDisk), MapStanding::Found(by.clone()));
    assert_eq!(shop.map_standing(&Station::plain("Bench 2"), &RealDisk), MapStanding::Typed);

    let not_as_said = |station: &Station, about: &str| match shop.map_standing(station, &RealDisk) {
        MapStanding::NotAsSaid(_, why) => {
            assert!(why.iter().any(|why| why.contains(about)), "{about}: {why:?}");
        }
        other => panic!("{about}: {other:?}"),
    };
    // Numbers typed over, another station's calibration, a longer time, another line.
    let mut typed_over = station.clone();
    typed_over.map.left.rotation_deg = 0.5;
    not_as_said(&typed_over, "left turn in degrees");
    let mut surer = station.clone();
    surer.reference.common_u_arcmin = [0.0; 2];
    not_as_said(&surer, "shared u of boresight x");
    not_as_said(
        &Station { name: "Bench 3".into(), ..station.clone() },
        "the calibration is of Bench 2",
    );
    let mut longer = station.clone();
    longer.calibration.as_mut().unwrap().due = "2037-10-31".parse().unwrap();
    not_as_said(&longer, "holds to 2027-10-31");
    let mut elsewhere = station.clone();
    let line = FoundBy { line: "0".repeat(64), ..by };
    elsewhere.calibration.as_mut().unwrap().certificate = line.words("W-7");
    not_as_said(&elsewhere, "another now");
    // Its file signed anew, changed, damaged, gone.
    let mut anew = Log(log.0.clone());
    anew.shows(10.0, 10.0, 0.0);
    anew.signs();
    anew.write(&path);
    not_as_said(&station, "another now");
    let bytes = fs::read(&path).unwrap();
    fs::write(&path, &bytes[..bytes.len() - 3]).unwrap();
    not_as_said(&station, "damaged");
    fs::remove_file(&path).unwrap();
    not_as_said(&station, "Bench 2.samepoint-calibration");
}

/// What only looks like the words is no source: a path, another file, a line that is none.
#[test]
fn only_whole_words_name_a_calibration() {
    let good = FoundBy { file: "a b.samepoint-calibration".into(), line: "0a".repeat(32) };
    let words = good.words("W-7 · map found by hand");
    assert_eq!(FoundBy::split(&words), Some(("W-7 · map found by hand", good.clone())));
    for wrong in [
        "W-7 · map found by hand".to_owned(),
        FoundBy { file: "../a.samepoint-calibration".into(), ..good.clone() }.words("W"),
        FoundBy { file: "a.samepoint".into(), ..good.clone() }.words("W"),
        FoundBy { line: "0A".repeat(32), ..good.clone() }.words("W"),
        words[..words.len() - 1].to_owned(),
        format!("{words} and more"),
    ] {
        assert_eq!(FoundBy::split(&wrong), None, "{wrong}");
    }
}

/// It is begun, gone on with later and signed through the real file.
#[test]
fn a_calibration_is_gone_on_with_later() {
    let folder = tempfile::tempdir().unwrap();
    Shop::lay_out(folder.path()).unwrap();
    let shop = Shop::load(folder.path()).unwrap();
    let path = shop.new_calibration_path(morning(0).date(), "Bench 2").unwrap();
    let whole = whole();
    let mut file = CalibrationFile::create(&path, header(2), HAND, real()).unwrap();
    let said = |fact: &CalibrationFact| match &fact.body {
        JournalBody::Said(says) => Some(says.clone()),
        _ => None,
    };
    let says: Vec<CalibrationBody> = whole.0.iter().filter_map(said).collect();
    let (before, after) = says.split_at(9);
    for says in before {
        file.append(says.clone(), morning(0), HAND).unwrap();
    }
    file.finish().unwrap();
    let mut file = CalibrationFile::open(&shop.calibrations().unwrap()[0], real()).unwrap();
    for says in after {
        file.append(says.clone(), morning(1), HAND).unwrap();
    }
    file.append(CalibrationBody::Signed(whole.numbers()), morning(1), HAND).unwrap();
    file.finish().unwrap();
    assert_eq!(review_calibration(&path, &RealDisk).unwrap().state, State::Signed);
}
