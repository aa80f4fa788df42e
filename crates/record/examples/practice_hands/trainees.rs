//! Trainees of known fault, who work units of the second series: whether the score ranks them as an
//! instructor would.
//!
//! The order wanted, best first: the expert; the skipper, who reads and judges well but leaves steps out; the
//! sloppy reader, who goes through every step and reads badly; the follower of the screen, who lets the program
//! read and leaves out what it does not ask for; the guesser. Common practice, no source: what was read well
//! can be trusted, what was done completely can be corrected, what was not one's own teaches nothing.

use record::practice::{Fault, LooksLike, PlacedFault, PracticeUnit};
use record::{
    Body, Channel, Error, Fact, Lock, LookingResult, LookingTest, PerChannel, Purpose, RoundReason,
    StationMap, Typed, Verdict, Withdrawn,
};

use crate::hands::{Play, ROUND, Way, aimed_off, concluded};

/// Who works.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Trainee {
    /// Reads well, goes through every step, finds what is wrong.
    Expert,
    /// Reads and judges well; no as found, no closing, no dioptre, no reading before the locks, no
    /// reseating, no looking test; says nothing of what is wrong.
    Skipper,
    /// Every step, but a careless eye: 0.6′ more scatter, and one slip in twelve.
    Sloppy,
    /// Has every reading told, does what is recommended; no dioptre, reseating or looking test.
    Follower,
    /// Turns, remedies and signs at random.
    Guesser,
}

impl Trainee {
    /// Best first.
    pub(crate) const ALL: [Self; 5] =
        [Self::Expert, Self::Skipper, Self::Sloppy, Self::Follower, Self::Guesser];

    const fn way(self) -> Way {
        let (careless, slips) = if matches!(self, Self::Sloppy) { (0.6, 12) } else { (0.0, 0) };
        Way {
            careless,
            slips,
            told: matches!(self, Self::Follower),
            dioptre: matches!(self, Self::Expert | Self::Sloppy),
            reseated: false,
        }
    }

    const fn is_thorough(self) -> bool {
        matches!(self, Self::Expert | Self::Sloppy)
    }
}

/// Works a unit from header to signature.
pub(crate) fn work(trainee: Trainee, unit: &PracticeUnit) -> Result<Vec<Fact>, Error> {
    let mut play = Play::begun(unit)?;
    play.way = trainee.way();
    if trainee == Trainee::Guesser {
        play.random(unit)?;
        return Ok(play.facts);
    }
    let handed = !unit.handed_over()?.is_empty();
    if trainee != Trainee::Skipper && !handed {
        for channel in Channel::BOTH {
            let ring_deg = unit.as_found()[channel].ring_deg;
            play.read(channel, ring_deg, Purpose::AsFound, Some(Lock::After))?;
        }
    }
    let planted = unit.planted().filter(|_| trainee == Trainee::Expert);
    if let Some(planted) = planted {
        put_right(&mut play, planted)?;
        if planted.fault == Fault::LooseCell {
            play.sign(Some(Verdict::NotMeasured))?;
            return Ok(play.facts);
        }
    }
    let mut solution = log(&mut play, trainee)?;
    if let Some(remedy) = play.recommended_remedy(&solution)? {
        play.remedy(remedy.clone())?;
        solution = log(&mut play, trainee)?;
        if let Some(planted) = planted.filter(|it| it.fault == Fault::RemedyDidNotTake) {
            play.add(Body::Note(planted.note()))?;
            play.remedy(remedy)?;
            solution = log(&mut play, trainee)?;
        }
    }
    let mut rings = play.rings_for(&solution, false);
    if trainee != Trainee::Skipper {
        play.confirm(rings, Lock::Before, 1)?;
        play.confirm(rings, Lock::After, 1)?;
        let aimed = aimed_off(&play, &solution, rings);
        if aimed != rings {
            rings = aimed;
            play.confirm(rings, Lock::Before, 1)?;
        }
    }
    play.confirm(rings, Lock::After, 2)?;
    if trainee.is_thorough() {
        play.way.reseated = true;
        play.confirm(rings, Lock::After, 2)?;
    }
    let verdict = concluded(&play.session()).map(|held| held.verdict);
    if verdict == Some(Verdict::Undecided) {
        play.confirm(rings, Lock::After, 2)?;
    }
    if trainee.is_thorough() {
        look(&mut play, rings)?;
    }
    play.sign(None)?;
    Ok(play.facts)
}

/// Logs what nobody logged in the open round; the skipper does not close it.
fn log(play: &mut Play, trainee: Trainee) -> Result<solver::Solution, Error> {
    let at = if trainee == Trainee::Skipper {
        ROUND.split_last().map_or(&ROUND[..], |it| it.1)
    } else {
        &ROUND
    };
    let session = play.session();
    for channel in Channel::BOTH {
        let logged =
            session.round().is_some_and(|round| round.of(channel, Purpose::Log).count() > 0);
        if !logged {
            play.log_channel(channel, at)?;
        }
    }
    play.solved()
}

/// Says what is wrong, and does what is to be done about it.
fn put_right(play: &mut Play, planted: PlacedFault) -> Result<(), Error> {
    let say = |play: &mut Play| play.add(Body::Note(planted.note())).map(|_| ());
    match planted.fault {
        // Said once it shows.
        Fault::RemedyDidNotTake => Ok(()),
        Fault::Play | Fault::LooseCell => say(play),
        Fault::MisreadRing => {
            say(play)?;
            let session = play.session();
            // What a colleague logged third.
            let misread = planted.channel.and_then(|channel| {
                let round = session.round()?;
                round.of(channel, Purpose::Log).nth(2).map(|entry| entry.seq)
            });
            let Some(reading) = misread else { return Ok(()) };
            let reason = "ring misread".to_owned();
            play.add(Body::Withdrawn(Withdrawn { reading, reason })).map(|_| ())
        }
        Fault::WrongFlip => {
            say(play)?;
            let Some(mut station) = play.session().station().cloned() else { return Ok(()) };
            station.map = PerChannel { left: StationMap::PLAIN, right: StationMap::PLAIN };
            play.add(Body::Station(station))?;
            play.open(RoundReason::StationZeroed)
        }
        Fault::MovedDioptre => {
            say(play)?;
            play.open(RoundReason::Dioptre)
        }
        Fault::BadSeating => {
            say(play)?;
            play.open(RoundReason::Reseated)
        }
        Fault::DriftedBench => {
            say(play)?;
            play.open(RoundReason::StationZeroed)
        }
    }
}

/// Looks at a point far enough away, and notes what it shows.
fn look(play: &mut Play, rings: PerChannel<f64>) -> Result<(), Error> {
    let cells = rings.map(|ring_deg| record::practice::BuiltCell {
        ring_deg,
        approach: record::Approach::Clockwise,
        locked: true,
    });
    let shows = LooksLike::of(play.unit.points(&play.unit.built(&play.session()), cells)?);
    let result =
        if shows == LooksLike::Double { LookingResult::Double } else { LookingResult::Fused };
    play.add(Body::LookingTest(LookingTest {
        distance_m: Some(Typed::parse("2000")?),
        result,
        observer: String::new(),
        note: String::new(),
    }))
    .map(|_| ())
}
