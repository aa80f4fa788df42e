//! An invented unit, made from its grade and number, with its bench and its papers.

use solver::monte_carlo::Source;
use solver::optics::{Optics, TubeImage};
use solver::simulate::{Hand, InventedChannel, invent};
use solver::{Channel, PerChannel, Spread, meet};

use super::built::Built;
use super::fault::{Fault, Finding};
use super::grade::Grade;
use super::lesson::Lesson;
use super::reach::{Reach, best_alone};
use super::series::{Exam, Named, Series};
use crate::error::Error;
use crate::fact::{Exercise, Remedy};
use crate::housing::{Adjustment, Housing, Seat, ShimEnds, TubeKind};
use crate::stamp::Stamp;
use crate::station::{Calibration, DailyCheck, Graticule, ReadingUnit, Station, StationMap};
use crate::unit::{Eyepiece, RingNumbering, Tube, Unit};
use crate::window::{Rule, Window};

/// Numbers of units go up to this.
pub const MOST_UNITS: u64 = 999_999;

/// Units drawn before a number is given up; a dozen are usual.
const MOST_DRAWS: usize = 2_000;

/// Focal length of objective and eyepiece, mm.
const FOCAL_MM: f64 = 27.0;

/// An invented unit.
#[derive(Clone, Debug, PartialEq)]
pub struct PracticeUnit {
    /// Of which series.
    pub series: Series,
    /// How hard it is.
    pub grade: Grade,
    /// Its number within the grade, from 1.
    pub number: u64,
    /// Whether it is worked as an examination.
    pub exam: Option<Exam>,
    /// As it came.
    pub(super) as_made: Built,
    /// What rings and remedies can give.
    pub(super) reach: Reach,
    /// What is wrong beside that.
    pub(super) planted: Option<Finding>,
}

impl PracticeUnit {
    /// The unit of a grade and number in the series that is begun now: always the same one, on every
    /// machine.
    ///
    /// # Errors
    /// As [`of_series`](Self::of_series).
    pub fn invented(grade: Grade, number: u64) -> Result<Self, Error> {
        Self::of_series(Series::NOW, grade, number)
    }

    /// The unit of a series, grade and number.
    ///
    /// What is drawn: the errors of both channels, as the grade says, until they make a unit of the
    /// kind the grade asks for; how each eyepiece comes to stand when it is put in the other pod;
    /// how far each lock turns its ring; in the second series what is planted.
    ///
    /// # Errors
    /// [`Error::FieldValue`] for a number outside 1 to [`MOST_UNITS`], or a grade the series has not.
    pub fn of_series(series: Series, grade: Grade, number: u64) -> Result<Self, Error> {
        let refused = |must_be| Error::FieldValue {
            field: "the unit's number".to_owned(),
            value: number as f64,
            must_be,
        };
        if !(1..=MOST_UNITS).contains(&number) {
            return Err(refused("from 1 to 999,999"));
        }
        if !series.grades().contains(&grade) {
            return Err(refused("of a grade that its series has"));
        }
        let optics = optics()?;
        let Drawing { mut source, wanted, hand, lock_turn_deg, refit_deg, planted } =
            Drawing::of(series, grade, number);
        // What needs a remedy is made as the third grade is.
        let made_as = if wanted.needs_remedy() { Grade::Third } else { grade };
        let making = made_as.making(wanted == Wanted::Hopeless);
        for _ in 0..MOST_DRAWS {
            let channels = invent(&optics, &making, &mut source)?;
            let as_made = Built { optics, hand, channels, refit_deg, lock_turn_deg };
            if let Some(reach) = suits(wanted, &as_made)? {
                return Ok(Self { series, grade, number, exam: None, as_made, reach, planted });
            }
        }
        Err(refused("another number: this one makes no unit"))
    }

    /// The same unit, worked as an examination.
    #[must_use]
    pub const fn examined(mut self, exam: Exam) -> Self {
        self.exam = Some(exam);
        self
    }

    /// What the header of a session with this unit says.
    #[must_use]
    pub fn exercise(&self) -> Exercise {
        let Self { series, grade, number, exam, .. } = *self;
        Named { series, grade, number, exam }.exercise()
    }

    /// The unit that an exercise names.
    ///
    /// # Errors
    /// [`Error::NotAnExercise`] for a name this program does not give.
    pub fn of_exercise(exercise: &Exercise) -> Result<Self, Error> {
        let not_ours = || Error::NotAnExercise { name: exercise.name.clone() };
        let named = Named::of(exercise).ok_or_else(not_ours)?;
        let unit = Self::of_series(named.series, named.grade, named.number)?;
        Ok(Self { exam: named.exam, ..unit })
    }

    /// What it teaches, where it is one of the first of its grade.
    #[must_use]
    pub fn lesson(&self) -> Option<Lesson> {
        if self.series == Series::First { None } else { Lesson::of(self.grade, self.number) }
    }

    /// What is planted in it. It tells the truth.
    #[must_use]
    pub const fn planted(&self) -> Option<Finding> {
        self.planted
    }

    /// How its bench and its rings read.
    #[must_use]
    pub const fn hand(&self) -> Hand {
        self.as_made.hand
    }

    /// How far its seatings scatter, standard deviation, each axis, arcminutes.
    #[must_use]
    pub const fn seating_arcmin(&self) -> f64 {
        match self.series {
            Series::First => 0.0,
            Series::Second => self.grade.seating_arcmin(),
        }
    }

    /// The unit as it comes to the bench. It tells the truth: not for the trainee's eyes.
    #[must_use]
    pub const fn as_made(&self) -> &Built {
        &self.as_made
    }

    /// What its rings and remedies can give. It tells the truth too.
    #[must_use]
    pub const fn reach(&self) -> &Reach {
        &self.reach
    }

    /// What a session with this unit copies in as its station, checked at a time: divisions of one
    /// arcminute, its spread as the unit has it. Where a wrong flip is planted, its map has it.
    #[must_use]
    pub fn station(&self, now: Stamp) -> Station {
        let flipped = |channel| {
            let wrong = Finding::new(Fault::WrongFlip, channel);
            self.planted == Some(wrong)
        };
        Station {
            map: PerChannel::from_fn(|channel| StationMap {
                flip_x: flipped(channel),
                ..StationMap::PLAIN
            }),
            usual_unit: ReadingUnit::Divisions,
            spread: Spread {
                sigma_arcmin: Some(self.as_made.hand.noise_arcmin),
                ring_sigma_deg: 0.0,
            },
            graticule: Some(Graticule {
                x_divisions: [-180.0, 180.0],
                y_divisions: [-180.0, 180.0],
                read_to_divisions: Some(self.as_made.hand.rounding_arcmin),
            }),
            calibration: Some(Calibration {
                certificate: "practice".to_owned(),
                done: None,
                // A year on, as real stations are: common practice, no source.
                due: now.date().saturating_add(jiff::Span::new().years(1)),
            }),
            checked: Some(DailyCheck { time: now, passed: true, note: "practice".to_owned() }),
            note: "Invented, for practice.".to_owned(),
            ..Station::plain("Practice bench")
        }
    }

    /// Its tolerance window.
    ///
    /// # Errors
    /// None: its limits are above 0.
    pub fn window() -> Result<Window, Error> {
        Ok(Window {
            name: "Practice window".to_owned(),
            source: "Invented for practice".to_owned(),
            limits: limits()?,
            rule: Rule::Guarded,
            far_point_share: None,
            note: String::new(),
        })
    }

    /// Its housing type. The pods slide, so that the window is all there is to keep.
    #[must_use]
    pub fn housing() -> Housing {
        Housing {
            objective_focal_mm: Some(FOCAL_MM),
            eyepiece_focal_mm: Some(FOCAL_MM),
            tube: TubeKind::Inverting,
            seat: Some(seat()),
            adjustment: Adjustment::Slide,
            ipd_range_mm: Some([56.0, 72.0]),
            note: "Invented, for practice.".to_owned(),
            ..Housing::named("Practice housing")
        }
    }

    /// The unit as a session names it: what is seen from outside.
    #[must_use]
    pub fn papers(&self) -> Unit {
        let eyepiece =
            |serial: &str| Eyepiece { serial: serial.to_owned(), ring: RingNumbering::Clockwise };
        let tube = |serial: &str| Tube { serial: serial.to_owned(), turned_deg: 0.0 };
        Unit {
            name: self.exercise().name,
            housing: Self::housing().name,
            tubes: PerChannel { left: tube("T-1"), right: tube("T-2") },
            eyepieces: PerChannel { left: eyepiece("E-1"), right: eyepiece("E-2") },
            ..Unit::default()
        }
    }
}

pub(super) fn optics() -> Result<Optics, Error> {
    Ok(Optics::new(FOCAL_MM, FOCAL_MM, TubeImage::Inverted)?)
}

/// Convergence, divergence, dipvergence, boresight: invented, tight enough to ask for care.
pub(super) fn limits() -> Result<solver::Window, Error> {
    Ok(solver::Window::new(12.0, 6.0, 5.0, Some(30.0))?)
}

fn seat() -> Seat {
    Seat {
        clock_deg: (0..8).map(|eighth| 45.0 * f64::from(eighth)).collect(),
        ends: vec![ShimEnds::Front, ShimEnds::Both],
        leaves_mm: vec![0.05, 0.02],
        largest_stack_mm: 0.10,
    }
}

/// What kind of unit is asked for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Wanted {
    /// Circles that cross broadly, well inside.
    Broad,
    /// The nearer crossing inside, the farther one outside.
    NearerOnly,
    /// The same, crossing broadly, the nearer one close to boresight.
    OneGood,
    /// Something on the shelf brings it inside.
    Remedy,
    /// One shim under one tube does.
    OneShim,
    /// Nothing does.
    Hopeless,
}

impl Wanted {
    const fn needs_remedy(self) -> bool {
        matches!(self, Self::Remedy | Self::OneShim | Self::Hopeless)
    }
}

/// All that is drawn before the channels.
struct Drawing {
    source: Source,
    wanted: Wanted,
    hand: Hand,
    lock_turn_deg: PerChannel<f64>,
    refit_deg: PerChannel<f64>,
    planted: Option<Finding>,
}

/// How much play a ring with the planted fault has, degrees.
pub(super) const PLANTED_PLAY_DEG: f64 = 8.0;

impl Drawing {
    fn of(series: Series, grade: Grade, number: u64) -> Self {
        match series {
            Series::First => Self::first(grade, number),
            Series::Second => Self::second(grade, number),
        }
    }

    fn first(grade: Grade, number: u64) -> Self {
        let mut source = Source::seeded((number << 2) | grade.number());
        let hopeless = grade == Grade::Third && source.rectangular(0.0, 1.0) < 0.2;
        let mut even = |most: f64| source.rectangular(-most, most);
        let refit_deg = PerChannel { left: even(180.0), right: even(180.0) };
        let most = grade.lock_turn_deg();
        let lock_turn_deg = PerChannel { left: even(most), right: even(most) };
        let wanted = match grade {
            Grade::First | Grade::Fourth => Wanted::Broad,
            Grade::Second => Wanted::NearerOnly,
            Grade::Third if hopeless => Wanted::Hopeless,
            Grade::Third => Wanted::Remedy,
        };
        Self { source, wanted, hand: grade.hand(), lock_turn_deg, refit_deg, planted: None }
    }

    /// Every unit draws the same things in the same order, used or not.
    fn second(grade: Grade, number: u64) -> Self {
        // Apart from every seed of the first series, whose numbers end below 2²².
        let mut source = Source::seeded((1 << 40) | (number << 3) | grade.number());
        let lesson = Lesson::of(grade, number);
        let hopeless = source.rectangular(0.0, 1.0) < 0.2;
        let mut even = |most: f64| source.rectangular(-most, most);
        let refit_deg = PerChannel { left: even(180.0), right: even(180.0) };
        let turns = PerChannel { left: even(1.0), right: even(1.0) };
        // One in nine of what is behind the lessons has nothing wrong.
        let one_of = source.rectangular(0.0, 1.0 + Fault::ALL.len() as f64) as usize;
        let channel =
            if source.rectangular(0.0, 1.0) < 0.5 { Channel::Left } else { Channel::Right };
        let fault = match (grade, lesson) {
            (_, Some(Lesson::Planted(fault))) => Some(fault),
            (Grade::Fourth, _) => Fault::ALL.get(one_of).copied(),
            _ => None,
        };
        let wanted = match (grade, lesson) {
            (_, Some(Lesson::NearerCrossing)) => Wanted::OneGood,
            (_, Some(Lesson::Approach | Lesson::Locks)) => Wanted::NearerOnly,
            (_, Some(Lesson::OneShim)) => Wanted::OneShim,
            (_, Some(Lesson::NothingHelps)) => Wanted::Hopeless,
            (Grade::Fourth, _) if fault == Some(Fault::RemedyDidNotTake) => Wanted::OneShim,
            (Grade::First | Grade::Fourth, _) => Wanted::Broad,
            (Grade::Second, _) => Wanted::NearerOnly,
            (Grade::Third, _) if hopeless => Wanted::Hopeless,
            (Grade::Third, _) => Wanted::Remedy,
        };
        let mut hand = grade.hand();
        let mut lock_turn_deg = turns.map(|share| share * grade.lock_turn_deg());
        if let Some(lesson) = lesson {
            // One thing at a time: everything else is as clean as in the first grade.
            let clean = Grade::First.hand();
            hand =
                Hand { ring_play_deg: if lesson == Lesson::Approach { 6.0 } else { 0.0 }, ..clean };
            // 1.5° to 3°, never next to nothing.
            let well = |share: f64| share.signum() * 1.5 * (1.0 + share.abs());
            lock_turn_deg =
                turns.map(|share| if lesson == Lesson::Locks { well(share) } else { 0.0 });
        }
        let planted = fault.map(|fault| Finding::new(fault, channel));
        Self { source, wanted, hand, lock_turn_deg, refit_deg, planted }
    }
}

/// Whether a unit is of the kind that is asked for, and what can be made of it.
fn suits(wanted: Wanted, made: &Built) -> Result<Option<Reach>, Error> {
    let window = limits()?;
    let PerChannel { left, right } = made.channels.map(|InventedChannel { circle, .. }| circle);
    let met = meet::meet(&left, &right, meet::RELATION_TOLERANCE)?;
    if wanted.needs_remedy() {
        // The cheap question first: most units answer it.
        if best_alone(made, &window)?.used <= 1.2 {
            return Ok(None);
        }
        let reach = Reach::of(made)?;
        let suits = match wanted {
            Wanted::Hopeless => reach.is_hopeless() && reach.predicted_least > 1.3,
            Wanted::OneShim => {
                let one = matches!(&reach.remedy, Some(Remedy::Shim(shims)) if shims.len() == 1);
                one && reach.least_use <= 0.8
            }
            _ => reach.remedy.is_some() && reach.least_use <= 0.8,
        };
        return Ok(suits.then_some(reach));
    }
    let [Some(near), Some(far)] = [met.crossings().next(), met.crossings().nth(1)] else {
        return Ok(None);
    };
    let used = |point| window.used_by(point, point).worst();
    // Broadly: the chord between the crossings is as long as the smaller radius at least.
    let chord = near.point.distance_arcmin(far.point);
    let broad = chord >= left.radius_arcmin.min(right.radius_arcmin);
    let suits = match wanted {
        Wanted::Broad => broad && used(near.point) <= 0.6,
        Wanted::OneGood => broad && used(near.point) <= 0.3 && used(far.point) > 1.2,
        _ => used(near.point) <= 0.8 && used(far.point) > 1.2,
    };
    if suits { Reach::of(made).map(Some) } else { Ok(None) }
}
