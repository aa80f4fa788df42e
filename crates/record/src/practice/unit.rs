//! An invented unit, made from its grade and number, with its bench and its papers.

use solver::monte_carlo::Source;
use solver::optics::{Optics, TubeImage};
use solver::simulate::{InventedChannel, invent};
use solver::{PerChannel, Spread, meet};

use super::built::Built;
use super::grade::Grade;
use super::reach::{Reach, best_alone};
use crate::error::Error;
use crate::fact::{Body, Exercise};
use crate::housing::{Adjustment, Housing, Seat, ShimEnds, TubeKind};
use crate::stamp::Stamp;
use crate::station::{Calibration, DailyCheck, Graticule, ReadingUnit, Station};
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
    /// How hard it is.
    pub grade: Grade,
    /// Its number within the grade, from 1.
    pub number: u64,
    /// As it came.
    pub(super) as_made: Built,
    /// What rings and remedies can give.
    pub(super) reach: Reach,
}

impl PracticeUnit {
    /// The unit of a grade and number: always the same one, on every machine.
    ///
    /// What is drawn: the errors of both channels, as the grade says, until they make a unit of the
    /// kind the grade asks for; how each eyepiece comes to stand when it is put in the other pod;
    /// how far each lock turns its ring.
    ///
    /// # Errors
    /// [`Error::FieldValue`] for a number outside 1 to [`MOST_UNITS`].
    pub fn invented(grade: Grade, number: u64) -> Result<Self, Error> {
        let refused = |must_be| Error::FieldValue {
            field: "the unit's number".to_owned(),
            value: number as f64,
            must_be,
        };
        if !(1..=MOST_UNITS).contains(&number) {
            return Err(refused("from 1 to 999,999"));
        }
        let optics = optics()?;
        let mut source = Source::seeded((number << 2) | grade.number());
        let hopeless = grade == Grade::Third && source.rectangular(0.0, 1.0) < 0.2;
        let mut even = |most: f64| source.rectangular(-most, most);
        let refit_deg = PerChannel { left: even(180.0), right: even(180.0) };
        let most = grade.lock_turn_deg();
        let lock_turn_deg = PerChannel { left: even(most), right: even(most) };
        let making = grade.making(hopeless);
        for _ in 0..MOST_DRAWS {
            let channels = invent(&optics, &making, &mut source)?;
            let as_made = Built { optics, hand: grade.hand(), channels, refit_deg, lock_turn_deg };
            if let Some(reach) = suits(grade, hopeless, &as_made)? {
                return Ok(Self { grade, number, as_made, reach });
            }
        }
        Err(refused("another number: this one makes no unit"))
    }

    /// What the header of a session with this unit says.
    #[must_use]
    pub fn exercise(&self) -> Exercise {
        Exercise { name: exercise_name(self.grade, self.number), seed: self.number }
    }

    /// The unit that an exercise names.
    ///
    /// # Errors
    /// [`Error::NotAnExercise`] for a name this program does not give.
    pub fn of_exercise(exercise: &Exercise) -> Result<Self, Error> {
        let named = |grade: &Grade| exercise_name(*grade, exercise.seed) == exercise.name;
        let grade = Grade::ALL.into_iter().find(named);
        let not_ours = || Error::NotAnExercise { name: exercise.name.clone() };
        Self::invented(grade.ok_or_else(not_ours)?, exercise.seed)
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
    /// arcminute, its spread as the grade has it.
    #[must_use]
    pub fn station(&self, now: Stamp) -> Station {
        Station {
            usual_unit: ReadingUnit::Divisions,
            spread: Spread {
                sigma_arcmin: Some(self.grade.hand().noise_arcmin),
                ring_sigma_deg: 0.0,
            },
            graticule: Some(Graticule {
                x_divisions: [-180.0, 180.0],
                y_divisions: [-180.0, 180.0],
                read_to_divisions: Some(self.grade.hand().rounding_arcmin),
            }),
            calibration: Some(Calibration {
                certificate: "practice".to_owned(),
                done: None,
                // A year on, as real stations are: common practice, no source.
                due: now.date().saturating_add(jiff::Span::new().years(1)),
            }),
            checked: Some(DailyCheck { time: now, passed: true, note: "practice".to_owned() }),
            note: INVENTED.to_owned(),
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
        Housing {
            objective_focal_mm: Some(FOCAL_MM),
            eyepiece_focal_mm: Some(FOCAL_MM),
            tube: TubeKind::Inverting,
            seat: Some(seat()),
            adjustment: Adjustment::Slide,
            ipd_range_mm: Some([56.0, 72.0]),
            note: INVENTED.to_owned(),
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

/// The exercise that a practice session's unit is named by; `None` of any other name.
#[must_use]
pub fn exercise_named(name: &str) -> Option<Exercise> {
    let (number, _) = name.strip_prefix("practice unit ")?.split_once(", ")?;
    let seed: u64 = number.parse().ok()?;
    let ours = Grade::ALL.into_iter().any(|grade| exercise_name(grade, seed) == name);
    ours.then(|| Exercise { name: name.to_owned(), seed })
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

/// What the note of each thing that is only there for practice says.
const INVENTED: &str = "Invented, for practice.";

/// What the window says of its source.
const INVENTED_SOURCE: &str = "Invented for practice";

/// The name is the key to the truth: a change to how units are made needs names of another form.
fn exercise_name(grade: Grade, number: u64) -> String {
    format!("practice unit {number}, {}", grade.word())
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

/// Whether a unit is of the kind that is asked for, and what can be made of it.
fn suits(grade: Grade, hopeless: bool, made: &Built) -> Result<Option<Reach>, Error> {
    let window = limits()?;
    let PerChannel { left, right } = made.channels.map(|InventedChannel { circle, .. }| circle);
    let met = meet::meet(&left, &right, meet::RELATION_TOLERANCE)?;
    if grade == Grade::Third {
        // The cheap question first: most units answer it.
        if best_alone(made, &window)?.used <= 1.2 {
            return Ok(None);
        }
        let reach = Reach::of(made)?;
        let suits = if hopeless {
            reach.is_hopeless() && reach.predicted_least > 1.3
        } else {
            reach.remedy.is_some() && reach.least_use <= 0.8
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
    let suits = match grade {
        Grade::First => broad && used(near.point) <= 0.6,
        _ => used(near.point) <= 0.8 && used(far.point) > 1.2,
    };
    if suits { Reach::of(made).map(Some) } else { Ok(None) }
}
