//! A session of the year as it is said, fact by fact, each asked for before it is added.

use jiff::civil::Date;
use record::file::write_all_lines;
use record::{
    Approach, Body, DirectionReading, Error, Fact, Header, Housing, Lock, Method, NamedWindow,
    Number, Precondition, PreconditionItem, Purpose, Reading, RoundOpened, RoundReason, Seen, Seq,
    Session, SessionKind, Setup, Signed, Station, Typed, Unit, conclude_by, fold,
};
use solver::{Channel, Direction, OffsetCircle, PerChannel};

use super::truth;
use crate::bench::Bench;
use crate::sessions::stamp;

/// What a session begins with.
pub(crate) struct Begin<'a> {
    pub(crate) day: Date,
    pub(crate) hand: &'a str,
    /// From which the session's own name and its noise come.
    pub(crate) seed: u64,
    pub(crate) job: String,
    pub(crate) complaint: &'a str,
    pub(crate) station: Station,
    pub(crate) window: NamedWindow,
    pub(crate) housing: Housing,
    pub(crate) unit: Unit,
}

/// A session being said.
pub(crate) struct Log {
    pub(crate) facts: Vec<Fact>,
    pub(crate) bench: Bench,
    /// What the bench adds to every direction.
    pub(crate) zero: Direction,
    pub(crate) round: Seq,
    day: Date,
    hand: String,
    clock_s: u32,
}

impl Log {
    pub(crate) fn begin(
        begin: Begin<'_>,
        circles: &PerChannel<OffsetCircle>,
        before: Vec<Body>,
    ) -> Result<Self, Error> {
        let mut bench = Bench::new(begin.seed, circles.left, circles.right);
        bench.sigma_arcmin = truth::sigma_arcmin(begin.hand);
        let mut log = Self {
            facts: Vec::new(),
            bench,
            zero: truth::zero(&begin.station.name, begin.day),
            round: 0,
            day: begin.day,
            hand: begin.hand.to_owned(),
            // Work begins between half past eight and half past two.
            clock_s: 8 * 3600 + 1800 + (begin.seed % 7) as u32 * 3000,
        };
        let header = Header {
            format: record::FIRST_FORMAT,
            program: "samepoint 0.1.0".into(),
            session: session_name(begin.seed),
            kind: SessionKind::Real,
            continues: None,
        };
        log.push(Body::Header(header))?;
        if !before.is_empty() {
            for body in before {
                log.add(4, body)?;
            }
            log.round = log.facts.len() as Seq;
            return Ok(log);
        }
        log.set_up(begin)?;
        Ok(log)
    }

    fn set_up(&mut self, begin: Begin<'_>) -> Result<(), Error> {
        let zero = || Typed::parse("0").map(Some);
        self.add(
            40,
            Body::Setup(Setup {
                job: begin.job,
                complaint: begin.complaint.into(),
                ipd_mm: Some(Typed::parse("64")?),
                dioptre: PerChannel { left: zero()?, right: zero()? },
                ..Setup::default()
            }),
        )?;
        self.add(8, Body::Station(begin.station))?;
        self.add(6, Body::Window(begin.window))?;
        self.add(6, Body::Housing(begin.housing))?;
        self.add(5, Body::Unit(begin.unit))?;
        for item in [
            PreconditionItem::StationChecked,
            PreconditionItem::DioptresAtZero,
            PreconditionItem::ObjectivesAtInfinity,
            PreconditionItem::CautionsRead,
        ] {
            let seen = Precondition { item, done: true, note: String::new() };
            self.add(7, Body::Precondition(seen))?;
        }
        let first = RoundOpened { why: RoundReason::First, note: String::new() };
        self.round = self.add(12, Body::RoundOpened(first))?;
        Ok(())
    }

    /// What the facts come to so far.
    pub(crate) fn session(&self) -> Session {
        fold(&self.facts)
    }

    /// Adds a fact some seconds after the last.
    pub(crate) fn add(&mut self, after_s: u32, body: Body) -> Result<Seq, Error> {
        self.clock_s += after_s;
        self.session().admits(&body)?;
        self.push(body)
    }

    fn push(&mut self, body: Body) -> Result<Seq, Error> {
        let seq = self.facts.len() as Seq + 1;
        let time = stamp(&self.day.to_string(), self.clock_s)?;
        self.facts.push(Fact { seq, time, hand: self.hand.clone(), body });
        Ok(seq)
    }

    /// Another hand goes on, on a day.
    pub(crate) fn hand_over(&mut self, hand: &str, day: Date) {
        self.hand = hand.to_owned();
        if day != self.day {
            self.day = day;
            self.clock_s = 9 * 3600;
        }
    }

    /// The day the last fact was said.
    pub(crate) const fn day(&self) -> Date {
        self.day
    }

    /// Reads a channel with its ring standing at an angle, `off` added by how the unit sits.
    pub(crate) fn read(
        &mut self,
        purpose: Purpose,
        channel: Channel,
        ring_deg: f64,
        off: Direction,
        edit: impl FnOnce(&mut Reading, &mut DirectionReading),
    ) -> Result<Seq, Error> {
        let direction = self.bench.read(channel, ring_deg) + self.zero + off;
        let typed = |value: f64| Typed::parse(&format!("{value:.1}"));
        let mut seen = DirectionReading {
            channel,
            ring_deg: Some(Typed::parse(&format!("{}", ring_deg.rem_euclid(360.0).round()))?),
            x: typed(direction.x_arcmin)?,
            y: typed(direction.y_arcmin)?,
            unit: record::ReadingUnit::Arcmin,
            approach: Approach::Clockwise,
        };
        let mut reading = Reading::direction(self.round, purpose, seen.clone());
        edit(&mut reading, &mut seen);
        reading.seen = Seen::Direction(seen);
        self.add(23, Body::Reading(reading))
    }

    /// As found: both channels where their rings came, locks tight, rings not read.
    pub(crate) fn as_found(&mut self, rings_deg: PerChannel<f64>) -> Result<(), Error> {
        for channel in Channel::BOTH {
            let untouched = |reading: &mut Reading, seen: &mut DirectionReading| {
                reading.lock = Some(Lock::After);
                seen.ring_deg = None;
                seen.approach = Approach::NotNoted;
            };
            let here = Direction::BORESIGHT;
            self.read(Purpose::AsFound, channel, rings_deg[channel], here, untouched)?;
        }
        Ok(())
    }

    /// Signs what the readings give, numbers to ten digits: a review asks for six, and another machine's
    /// exponential may differ in the sixteenth.
    pub(crate) fn sign(&mut self, statement: &str) -> Result<Seq, Error> {
        let session = self.session();
        // The year was signed by the first version, which judged the first way.
        let Ok(conclusion) = conclude_by(&session, Method::First) else {
            return Err(Error::NoRound);
        };
        let ten_digits = |number: Number| Number {
            value: format!("{:.9e}", number.value).parse().unwrap_or(number.value),
            ..number
        };
        let signed = Signed {
            round: conclusion.round,
            verdict: conclusion.verdict,
            rule: conclusion.rule,
            program: "samepoint 0.1.0".into(),
            window: session.windows.last().map(|said| said.seq),
            station: session.stations.last().map(|said| said.seq),
            rests_on: conclusion.rests_on.clone(),
            numbers: conclusion.numbers().into_iter().map(ten_digits).collect(),
            statement: statement.into(),
        };
        self.add(120, Body::Signed(signed))
    }

    /// The file's bytes.
    pub(crate) fn bytes(&self) -> Result<Vec<u8>, Error> {
        bytes_of(&self.facts)
    }

    /// The 64 hex digits of the last line.
    pub(crate) fn last_hash(&self) -> Result<String, Error> {
        last_hash(&self.bytes()?)
    }
}

/// Facts as the bytes of a file.
pub(crate) fn bytes_of(facts: &[Fact]) -> Result<Vec<u8>, Error> {
    let mut bytes = Vec::new();
    write_all_lines(facts, &mut bytes)?;
    Ok(bytes)
}

/// The 64 hex digits of a file's last line: each line begins with `("` and its hash.
pub(crate) fn last_hash(bytes: &[u8]) -> Result<String, Error> {
    let text = String::from_utf8_lossy(bytes);
    let line = text.lines().last().and_then(|line| line.get(2..66));
    line.map(str::to_owned).ok_or(Error::HeaderOutOfPlace)
}

/// A session's own name from a seed: 32 hex digits.
pub(crate) fn session_name(seed: u64) -> String {
    let mixed = seed.wrapping_mul(0x9e37_79b9_7f4a_7c15);
    format!("{mixed:016x}{:016x}", mixed.rotate_left(29) ^ 0x5bd1_e995_27d4_eb2f)
}
