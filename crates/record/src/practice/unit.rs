//! An invented unit, made from its grade and number, with its bench and its papers.

use solver::simulate::{ReadingNoise, invent};
use solver::{PerChannel, Spread};

use super::built::Built;
use super::drawing::{Drawing, WantedUnit, suits};
use super::fault::{Fault, PlacedFault};
use super::grade::Grade;
use super::lesson::Lesson;
use super::reach::Reach;
use super::series::{Exam, ExerciseName, Series};
use super::surroundings::{self, BENCH, INVENTED, INVENTED_SOURCE, limits, optics};
use crate::error::Error;
use crate::fact::{Body, Exercise};
use crate::housing::Housing;
use crate::stamp::Stamp;
use crate::station::{Calibration, DailyCheck, Graticule, ReadingUnit, Station, StationMap};
use crate::unit::{Eyepiece, RingNumbering, Tube, Unit};
use crate::window::{NamedWindow, Rule};

/// Numbers of units go up to this.
pub const MOST_UNITS: u64 = 999_999;

/// Units drawn before a number is given up; a dozen are usual.
const MOST_DRAWS: usize = 2_000;

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
    pub(super) planted: Option<PlacedFault>,
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
        // What needs a remedy is made as the third grade is; so close to boresight only larger errors cross.
        let made_as = match wanted {
            WantedUnit::OneGood => Grade::Second,
            wanted if wanted.needs_remedy() => Grade::Third,
            _ => grade,
        };
        let making = made_as.making(wanted == WantedUnit::Hopeless);
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
        ExerciseName { series, grade, number, exam }.exercise()
    }

    /// The unit that an exercise names.
    ///
    /// # Errors
    /// [`Error::NotAnExercise`] for a name this program does not give.
    pub fn of_exercise(exercise: &Exercise) -> Result<Self, Error> {
        let not_ours = || Error::NotAnExercise { name: exercise.name.clone() };
        let named = ExerciseName::of(exercise).ok_or_else(not_ours)?;
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
    pub const fn planted(&self) -> Option<PlacedFault> {
        self.planted
    }

    /// How its bench and its rings read.
    #[must_use]
    pub const fn hand(&self) -> ReadingNoise {
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
            let wrong = PlacedFault::new(Fault::WrongFlip, channel);
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
            note: INVENTED.to_owned(),
            ..Station::plain(BENCH)
        }
    }

    /// Its tolerance window.
    ///
    /// # Errors
    /// None: its limits are above 0.
    pub fn window() -> Result<NamedWindow, Error> {
        Ok(NamedWindow {
            name: "Practice window".to_owned(),
            source: INVENTED_SOURCE.to_owned(),
            limits: limits()?,
            rule: Rule::Guarded,
            far_point_share: None,
            note: String::new(),
        })
    }

    /// Its housing type. The pods slide, so that the window is all there is to keep.
    #[must_use]
    pub fn housing() -> Housing {
        surroundings::housing()
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

/// The exercise that a practice session's unit is named by; `None` of any other name.
#[must_use]
pub fn exercise_named(name: &str) -> Option<Exercise> {
    let (_, from_number) = name.split_once(" unit ")?;
    let (number, _) = from_number.split_once(", ")?;
    let exercise = Exercise { name: name.to_owned(), seed: number.parse().ok()? };
    ExerciseName::of(&exercise).map(|_| exercise)
}

/// Whether a fact copies in what only a practice session is worked with.
#[must_use]
pub fn is_of_practice(body: &Body) -> bool {
    match body {
        Body::Unit(unit) => exercise_named(&unit.name).is_some(),
        Body::Station(station) => station.note == INVENTED,
        Body::Housing(housing) => housing.note == INVENTED,
        Body::Window(window) => window.source == INVENTED_SOURCE,
        _ => false,
    }
}
