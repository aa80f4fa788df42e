//! The shop's sessions, written by the program's own writer: facts first, file after.

use std::path::Path;

use record::{
    Approach, Body, DirectionReading, Error, FileOptions, Header, Housing, Lock, LookingResult,
    LookingTest, Note, Opener, Precondition, PreconditionItem, Purpose, Reading, Remedy,
    RemedyTaken, RoundOpened, RoundReason, Session, SessionFile, SessionKind, Setup, Stamp,
    Station, TurnedPart, Typed, Unit, Withdrawn, fold,
};
use solver::{Channel, Direction, OffsetCircle, PerChannel};

use crate::bench::{Bench, circle};
use crate::chosen::chosen;
use crate::shop;

/// Ring positions of a usual round; the last closes it at the first position.
const ROUND: [f64; 6] = [0.0, 60.0, 120.0, 180.0, 240.0, 0.0];

/// One session: its file, its story, what is true of it, and how it goes.
pub(crate) struct Told {
    pub(crate) file: &'static str,
    pub(crate) story: &'static str,
    pub(crate) left: OffsetCircle,
    pub(crate) right: OffsetCircle,
    begin: Begin,
    go: fn(&mut Log) -> Result<(), Error>,
}

/// What a session begins with.
struct Begin {
    day: &'static str,
    hand: &'static str,
    session: &'static str,
    seed: u64,
    unit: &'static str,
    job: &'static str,
    complaint: &'static str,
    housing: fn() -> Housing,
    station: fn() -> Result<Station, Error>,
}

pub(crate) fn told() -> Vec<Told> {
    let split_first = split(Tubes::AsBuilt);
    let (near_left, near_right) =
        (circle((6.0, -4.0), 28.0, 200.0), circle((-7.0, 5.0), 24.0, 80.0));
    let (usual_left, usual_right) =
        (circle((10.0, 4.0), 30.0, 20.0), circle((-6.0, -3.0), 26.0, 140.0));
    let (far_left, far_right) =
        (circle((14.0, 3.0), 9.0, 75.0), circle((-13.0, -2.0), 12.0, 310.0));
    vec![
        Told {
            file: "2026-11-22 0155.samepoint",
            story: "Which part is to blame? The tubes changed sides after the first round, and the one \
                    then on the left was turned half way round after the second. True: left pod 3′, \
                    −9′, right pod −4′, 2′; tube T-0155L 5′, 6′, tube T-0155R −2′, −7′. The circles \
                    given are the first round's.",
            left: split_first.0,
            right: split_first.1,
            begin: Begin {
                day: "2026-11-22",
                hand: "RB",
                session: "0155f2b47d9c4c61ae08f1e2d3c4b5a6",
                seed: 105,
                unit: "0155",
                job: "W-2215",
                complaint: "right image low since the tubes were renewed",
                housing: shop::heron_b,
                station: shop::bench_2,
            },
            go: tubes_traded,
        },
        Told {
            file: "2026-11-23 0152.samepoint",
            story: "All the way: as found, a round, rings set to the nearest crossing, confirmed with \
                    the locks open and tight and after reseating, looked through. Not signed.",
            left: near_left,
            right: near_right,
            begin: Begin {
                day: "2026-11-23",
                hand: "KT",
                session: "0152a3c40f7e4d6b8a1c2d3e4f506172",
                seed: 101,
                unit: "0152",
                job: "W-2218",
                complaint: "eyes tire after half an hour",
                housing: shop::heron_b,
                station: shop::bench_2,
            },
            go: all_the_way,
        },
        Told {
            file: "2026-11-24 0160.samepoint",
            story: "Ring figures worn off, so no ring angles; read in divisions on Bench 3, whose right \
                    graticule hangs the other way round.",
            left: usual_left,
            right: usual_right,
            begin: Begin {
                day: "2026-11-24",
                hand: "RB",
                session: "0160b7d25c9148e3a6f0b1c2d3e4f506",
                seed: 102,
                unit: "0160",
                job: "W-2224",
                complaint: "",
                housing: shop::plover,
                station: shop::bench_3,
            },
            go: without_rings,
        },
        Told {
            file: "2026-11-24 0163.samepoint",
            story: "Weak eyepieces in badly bored pods: the circles lie 6.5′ apart and do not meet. A \
                    note says what is to be tried next.",
            left: far_left,
            right: far_right,
            begin: Begin {
                day: "2026-11-24",
                hand: "KT",
                session: "0163c9e16a3f4b52b7d8e9f0a1b2c3d4",
                seed: 103,
                unit: "0163",
                job: "W-2226",
                complaint: "double image",
                housing: shop::heron_b,
                station: shop::bench_2,
            },
            go: not_meeting,
        },
        Told {
            file: "2026-11-25 0147.samepoint",
            story: "Fresh on the bench and half logged: the left round is closed, the right one has two \
                    readings. One left reading had its sign forgotten; it was withdrawn and read again.",
            left: usual_left,
            right: usual_right,
            begin: Begin {
                day: "2026-11-25",
                hand: "KT",
                session: "0147d1f38b6e4a90c5b4a39281706f5e",
                seed: 104,
                unit: "0147",
                job: "W-2231",
                complaint: "double image after an hour",
                housing: shop::heron_b,
                station: shop::bench_2,
            },
            go: half_logged,
        },
    ]
}

/// Writes every session into a folder.
pub(crate) fn write(folder: &Path) -> Result<(), Error> {
    for told in told() {
        let mut log = Log::begin(&folder.join(told.file), &told)?;
        (told.go)(&mut log)?;
        log.file.finish()?;
    }
    Ok(())
}

/// A session being written: every fact is asked for before it is added, as the program does.
struct Log {
    file: SessionFile,
    bench: Bench,
    day: &'static str,
    hand: &'static str,
    station: Station,
    /// Seconds since midnight.
    clock_s: u32,
    round: u64,
}

impl Log {
    fn begin(path: &Path, told: &Told) -> Result<Self, Error> {
        let begin = &told.begin;
        let clock_s = 8 * 3600 + 14 * 60;
        let opener = Opener {
            who: begin.hand.into(),
            place: "bench".into(),
            now: stamp(begin.day, clock_s)?,
        };
        let header = Header {
            format: record::FIRST_FORMAT,
            program: "samepoint 0.1.0".into(),
            session: begin.session.into(),
            kind: SessionKind::Real,
            continues: None,
        };
        let mut station = (begin.station)()?;
        if let Some(check) = &mut station.checked {
            // The shop keeps its latest check; the session copied in that morning's.
            let time_of_day = check.time.to_string().split_off(begin.day.len());
            check.time = format!("{}{time_of_day}", begin.day).parse()?;
        }
        let file = SessionFile::create(path, header, begin.hand, FileOptions::real(opener))?;
        let mut log = Self {
            file,
            bench: Bench::new(begin.seed, told.left, told.right),
            day: begin.day,
            hand: begin.hand,
            station: station.clone(),
            clock_s,
            round: 0,
        };
        log.set_up(begin, station)?;
        Ok(log)
    }

    fn set_up(&mut self, begin: &Begin, station: Station) -> Result<(), Error> {
        let zero = || Typed::parse("0").map(Some);
        self.add(
            40,
            Body::Setup(Setup {
                job: begin.job.into(),
                complaint: begin.complaint.into(),
                ipd_mm: Some(Typed::parse("64")?),
                dioptre: PerChannel { left: zero()?, right: zero()? },
                ..Setup::default()
            }),
        )?;
        self.add(8, Body::Station(station))?;
        self.add(6, Body::Window(shop::shop_window()?))?;
        self.add(6, Body::Housing((begin.housing)()))?;
        let unit = shop::units().into_iter().find(|unit| unit.name == begin.unit);
        self.add(
            5,
            Body::Unit(unit.unwrap_or_else(|| Unit { name: begin.unit.into(), ..Unit::default() })),
        )?;
        for item in [
            PreconditionItem::StationChecked,
            PreconditionItem::UnitIdentified,
            PreconditionItem::DioptresAtZero,
            PreconditionItem::ObjectivesAtInfinity,
            PreconditionItem::IpdSet,
            PreconditionItem::UnitSeated,
            PreconditionItem::LampLow,
            PreconditionItem::CautionsRead,
        ] {
            self.add(
                7,
                Body::Precondition(Precondition { item, done: true, note: String::new() }),
            )?;
        }
        let first = RoundOpened { why: RoundReason::First, note: String::new() };
        self.round = self.add(12, Body::RoundOpened(first))?;
        Ok(())
    }

    /// Adds a fact some seconds after the last.
    fn add(&mut self, after_s: u32, body: Body) -> Result<u64, Error> {
        self.clock_s += after_s;
        self.session().admits(&body)?;
        self.file.append(body, stamp(self.day, self.clock_s)?, self.hand)
    }

    fn session(&self) -> Session {
        fold(self.file.facts())
    }

    /// Reads a channel at a ring angle and adds what was seen, changed by `edit`.
    fn read(
        &mut self,
        purpose: Purpose,
        channel: Channel,
        ring_deg: f64,
        edit: impl FnOnce(&mut Reading, &mut DirectionReading),
    ) -> Result<u64, Error> {
        let direction = self.bench.read(channel, ring_deg);
        self.note_reading(purpose, channel, Some(ring_deg), direction, edit)
    }

    fn note_reading(
        &mut self,
        purpose: Purpose,
        channel: Channel,
        ring_deg: Option<f64>,
        direction: Direction,
        edit: impl FnOnce(&mut Reading, &mut DirectionReading),
    ) -> Result<u64, Error> {
        let unit = self.station.usual_unit;
        let [x, y] = self.station.map[channel].typed_from_direction(unit, direction);
        let ring_deg = ring_deg.map(|deg| Typed::parse(&deg.to_string())).transpose()?;
        let approach = Approach::Clockwise;
        let mut seen = DirectionReading {
            channel,
            ring_deg,
            x: Typed::parse(&format!("{x:.1}"))?,
            y: Typed::parse(&format!("{y:.1}"))?,
            unit,
            approach,
        };
        let mut reading = Reading::direction(self.round, purpose, seen.clone());
        edit(&mut reading, &mut seen);
        reading.seen = record::Seen::Direction(seen);
        self.add(23, Body::Reading(reading))
    }

    /// As found: both channels where their rings came, locks tight.
    fn as_found(&mut self, left_deg: f64, right_deg: f64) -> Result<(), Error> {
        for (channel, ring_deg) in [(Channel::Left, left_deg), (Channel::Right, right_deg)] {
            self.read(Purpose::AsFound, channel, ring_deg, |reading, seen| {
                reading.lock = Some(Lock::After);
                seen.approach = Approach::NotNoted;
            })?;
        }
        Ok(())
    }

    fn log_round(&mut self, channel: Channel, rings: &[f64]) -> Result<(), Error> {
        for ring_deg in rings {
            self.read(Purpose::Log, channel, *ring_deg, |_, _| ())?;
        }
        Ok(())
    }

    /// Chooses the recommended setting, if there is one, and returns its rings.
    fn choose(&mut self) -> Result<Option<PerChannel<f64>>, Error> {
        let Some(chosen) = chosen(&self.session(), self.round)? else { return Ok(None) };
        let PerChannel { left, right } = chosen.ring_deg;
        self.add(35, Body::SettingChosen(chosen))?;
        Ok(left.zip(right).map(|(left, right)| PerChannel { left, right }))
    }
}

/// How the tubes of 0155 sit.
enum Tubes {
    AsBuilt,
    Traded,
    TradedAndLeftTurned,
}

/// The circles of 0155: a centre is its pod's error and its tube's offset together, and half a turn
/// puts that offset on the other side.
fn split(tubes: Tubes) -> (OffsetCircle, OffsetCircle) {
    let (pod_left, pod_right) = (Direction::new(3.0, -9.0), Direction::new(-4.0, 2.0));
    let (tube_l, tube_r) = (Direction::new(5.0, 6.0), Direction::new(-2.0, -7.0));
    let (left, right) = match tubes {
        Tubes::AsBuilt => (pod_left + tube_l, pod_right + tube_r),
        Tubes::Traded => (pod_left + tube_r, pod_right + tube_l),
        Tubes::TradedAndLeftTurned => (pod_left - tube_r, pod_right + tube_l),
    };
    let round = |centre: Direction, radius_arcmin, phase_deg| {
        circle((centre.x_arcmin, centre.y_arcmin), radius_arcmin, phase_deg)
    };
    (round(left, 24.0, 35.0), round(right, 21.0, 290.0))
}

fn tubes_traded(log: &mut Log) -> Result<(), Error> {
    log.as_found(45.0, 210.0)?;
    log.log_round(Channel::Left, &ROUND)?;
    log.log_round(Channel::Right, &ROUND)?;
    let turned = TurnedPart { channel: Channel::Left, by_deg: 180.0 };
    for (remedy, tubes) in
        [(Remedy::SwapTubes, Tubes::Traded), (Remedy::TurnTube(turned), Tubes::TradedAndLeftTurned)]
    {
        let turn = matches!(remedy, Remedy::TurnTube(_));
        let taken = RemedyTaken {
            round: log.round,
            remedy,
            prediction: None,
            note: "to tell housing and tubes apart".into(),
        };
        log.add(120, Body::RemedyTaken(taken))?;
        let opened = RoundOpened { why: RoundReason::Remedy, note: String::new() };
        log.round = log.add(900, Body::RoundOpened(opened))?;
        let mut unit = log.session().unit().cloned().unwrap_or_default();
        if turn {
            unit.tubes.left.turned_deg = 180.0;
        } else {
            unit.tubes = unit.tubes.swapped();
        }
        log.add(10, Body::Unit(unit))?;
        let (left, right) = split(tubes);
        log.bench.circles = PerChannel { left, right };
        log.log_round(Channel::Left, &ROUND)?;
        log.log_round(Channel::Right, &ROUND)?;
    }
    Ok(())
}

fn all_the_way(log: &mut Log) -> Result<(), Error> {
    log.as_found(310.0, 95.0)?;
    log.log_round(Channel::Left, &ROUND)?;
    log.log_round(Channel::Right, &ROUND)?;
    let Some(rings) = log.choose()? else { return Ok(()) };
    for (lock, reseated, times) in
        [(Lock::Before, false, 2), (Lock::After, false, 3), (Lock::After, true, 3)]
    {
        for _ in 0..times {
            for channel in Channel::BOTH {
                log.read(Purpose::Confirm, channel, rings[channel], |reading, _| {
                    reading.lock = Some(lock);
                    reading.reseated = reseated;
                })?;
            }
        }
    }
    log.add(
        600,
        Body::LookingTest(LookingTest {
            distance_m: Some(Typed::parse("400")?),
            result: LookingResult::Fused,
            observer: "RB".into(),
            note: "standing, dark yard, lamp on the far mast".into(),
        }),
    )?;
    Ok(())
}

fn without_rings(log: &mut Log) -> Result<(), Error> {
    for channel in Channel::BOTH {
        for ring_deg in [10.0, 75.0, 130.0, 200.0, 265.0, 320.0] {
            log.read(Purpose::Log, channel, ring_deg, |_, seen| seen.ring_deg = None)?;
        }
    }
    Ok(())
}

fn not_meeting(log: &mut Log) -> Result<(), Error> {
    log.as_found(20.0, 160.0)?;
    log.log_round(Channel::Left, &ROUND)?;
    log.log_round(Channel::Right, &ROUND)?;
    log.add(90, Body::Note(Note {
        text: "Rings cannot reach each other. Stronger eyepieces ordered; swap and open a new round."
            .into(),
        about: None,
    }))?;
    Ok(())
}

fn half_logged(log: &mut Log) -> Result<(), Error> {
    log.as_found(334.0, 18.0)?;
    log.log_round(Channel::Left, &[0.0, 60.0])?;
    let direction = log.bench.read(Channel::Left, 120.0);
    let mistyped = Direction::new(direction.x_arcmin, -direction.y_arcmin);
    let wrong = log.note_reading(Purpose::Log, Channel::Left, Some(120.0), mistyped, |_, _| ())?;
    let reason = "sign of y forgotten".to_owned();
    log.add(9, Body::Withdrawn(Withdrawn { reading: wrong, reason }))?;
    log.note_reading(Purpose::Log, Channel::Left, Some(120.0), direction, |_, _| ())?;
    log.log_round(Channel::Left, &[180.0, 240.0, 0.0])?;
    log.log_round(Channel::Right, &[0.0, 60.0])
}

pub(crate) fn stamp(day: &str, second_of_day: u32) -> Result<Stamp, Error> {
    let (hours, minutes, seconds) =
        (second_of_day / 3600, second_of_day / 60 % 60, second_of_day % 60);
    format!("{day}T{hours:02}:{minutes:02}:{seconds:02}.000+01:00").parse()
}
