//! The second formula, part by part, and what the second series plants.

use record::practice::opening::COLLEAGUE;
use record::practice::score::readings::{read_errors, root_mean_square};
use record::practice::told::told_note;
use record::practice::unit::exercise_named;
use record::practice::{
    Bench, Exam, Fault, Formula, Grade, LooksLike, PlacedFault, PracticeUnit, ProcedureStep, Score,
    ScorePart, Series, score,
};
use record::{
    Body, Channel, Exercise, Fact, Lock, LookingResult, PerChannel, Purpose, RoundReason, Verdict,
    fold,
};

use solver::Direction;

use crate::hands::Play;
use crate::trainees::{Trainee, work};

fn unit(grade: Grade, number: u64) -> PracticeUnit {
    PracticeUnit::invented(grade, number).unwrap()
}

fn scored(facts: &[Fact]) -> Score {
    score(&fold(facts)).unwrap()
}

fn words(score: &Score, part: ScorePart) -> String {
    score.parts.iter().find(|one| one.part == part).unwrap().words.clone()
}

/// The expert's session with some facts left out or changed; rounds keep their numbers.
fn expert_but(unit: &PracticeUnit, change: impl FnMut(&mut Fact)) -> Score {
    let mut facts = work(Trainee::Expert, unit).unwrap();
    facts.iter_mut().for_each(change);
    scored(&facts)
}

#[test]
fn a_file_of_the_first_series_keeps_the_first_formula_and_its_unit() {
    // Names and seeds as every version before the second series wrote them.
    let old = Exercise { name: "practice unit 17, second grade".into(), seed: 17 };
    let first = PracticeUnit::of_exercise(&old).unwrap();
    assert_eq!((first.series, first.exercise()), (Series::First, old));
    assert_eq!(Formula::of(first.series).number(), 1);
    // A session whose first line is lost knows its exercise by the unit's name.
    for unit in [first.clone(), unit(Grade::Fourth, 3).examined(Exam { minutes: Some(40) })] {
        assert_eq!(exercise_named(&unit.papers().name), Some(unit.exercise()));
    }
    let new = unit(Grade::Second, 17);
    assert_eq!(new.exercise().name, "invented unit 17, grade 2");
    assert_ne!(new.as_made(), first.as_made());
    let fourth = Exercise { name: "practice unit 3, fourth grade".into(), seed: 3 };
    assert!(PracticeUnit::of_exercise(&fourth).is_err(), "the first series has no fourth grade");
}

#[test]
fn an_examination_names_its_time_limit_and_nothing_else_is_taken_for_one() {
    for minutes in [None, Some(40), Some(600)] {
        let examined = unit(Grade::Third, 9).examined(Exam { minutes });
        let again = PracticeUnit::of_exercise(&examined.exercise()).unwrap();
        assert_eq!(again, examined);
        assert_eq!(again.as_made(), unit(Grade::Third, 9).as_made());
    }
    for forged in [
        "exam unit 9, grade 3, 0601 min",
        "exam unit 9, grade 3, 601 min",
        "invented unit 9, grade 3, 40 min",
        "exam unit 9, grade 3, 40 min ",
        "exam unit 8, grade 3",
    ] {
        let exercise = Exercise { name: forged.into(), seed: 9 };
        assert!(PracticeUnit::of_exercise(&exercise).is_err(), "{forged}");
    }
}

#[test]
fn each_skipped_step_is_named_and_costs_a_seventh() {
    let unit = unit(Grade::First, 4);
    let whole = expert_but(&unit, |_| {});
    assert_eq!(whole.earned(ScorePart::Procedure), 1.0, "{whole}");
    assert_eq!(words(&whole, ScorePart::Procedure), "Nothing was skipped.");
    let reading = |change: fn(&mut record::Reading)| {
        move |fact: &mut Fact| {
            if let Body::Reading(reading) = &mut fact.body {
                change(reading);
            }
        }
    };
    let lacks = |score: &Score, step: ProcedureStep| {
        let told = words(score, ScorePart::Procedure);
        assert_eq!(told, format!("Skipped: {}.", step.word()));
        assert!((score.earned(ScorePart::Procedure) - 6.0 / 7.0).abs() < 1e-12);
    };
    lacks(&expert_but(&unit, reading(|reading| reading.dioptre = None)), ProcedureStep::Dioptre);
    lacks(&expert_but(&unit, reading(|reading| reading.reseated = false)), ProcedureStep::Reseat);
    lacks(
        &expert_but(&unit, |fact| {
            if let Body::LookingTest(test) = &mut fact.body {
                test.result = LookingResult::Double;
            }
        }),
        ProcedureStep::Looking,
    );
    lacks(
        &expert_but(
            &unit,
            reading(|reading| {
                if reading.purpose == Purpose::Confirm {
                    reading.lock = Some(Lock::After);
                }
            }),
        ),
        ProcedureStep::Locks,
    );
    lacks(
        &expert_but(
            &unit,
            reading(|reading| {
                // Read after the ring was turned.
                if reading.purpose == Purpose::AsFound
                    && let record::Seen::Direction(seen) = &mut reading.seen
                {
                    seen.ring_deg = Some(record::Typed::parse("0.5").unwrap());
                }
            }),
        ),
        ProcedureStep::AsFound,
    );
}

#[test]
fn a_reading_off_by_a_division_costs_and_a_told_one_is_not_the_trainees() {
    let unit = unit(Grade::First, 4);
    let sigma = unit.hand().noise_arcmin;
    let facts = work(Trainee::Expert, &unit).unwrap();
    let errors = read_errors(&unit, &fold(&facts));
    let rms = root_mean_square(&errors, sigma).unwrap();
    // 2n normal values: the root mean square is 1 ± 1/√(4n); rounding to 0.1′ adds 4 %.
    let n = errors.len() as f64;
    assert!((rms - 1.02).abs() < 4.0 / (4.0 * n).sqrt(), "{rms}");
    let read = facts.iter().filter(|fact| matches!(fact.body, Body::Reading(_))).count();
    assert_eq!(errors.len(), read);
    // One division on x of every reading: 1′ of a look's 0.21′.
    let off = expert_but(&unit, |fact| {
        if let Body::Reading(reading) = &mut fact.body
            && let record::Seen::Direction(seen) = &mut reading.seen
        {
            let x = format!("{:.1}", seen.x.value() + 1.0);
            seen.x = record::Typed::parse(&x).unwrap();
        }
    });
    assert_eq!(off.earned(ScorePart::Reading), 0.0, "{off}");
    // Told: half of the readings, half of the part; what rests on them loses a quarter.
    let mut play = Play::begun(&unit).unwrap();
    let rings = unit.as_made().best_setting().unwrap().ring_deg;
    for at in 0..6 {
        play.way.told = at % 2 == 0;
        play.confirm(rings, Lock::After, 1).unwrap();
    }
    play.sign(None).unwrap();
    let told = scored(&play.facts);
    assert!((told.earned(ScorePart::Reading) - 0.5).abs() < 0.05, "{told}");
    assert!((told.earned(ScorePart::Verdict) - 0.75).abs() < 1e-12, "{told}");
    assert!(words(&told, ScorePart::Reading).contains("6 of 12 were told"), "{told}");
}

/// What was told stays told: undo does not reach it, and a hand's note cannot take its words.
#[test]
fn a_told_reading_cannot_be_taken_back() {
    let unit = unit(Grade::First, 4);
    let mut play = Play::begun(&unit).unwrap();
    let note = Body::Note(told_note(Channel::Left));
    play.session().admits(&note).unwrap();
    assert!(!note.is_undoable() && !note.outdates_signature());
    let seq = play.add(note).unwrap();
    assert_ne!(play.session().undo(), Some(seq));
    let forged = "samepoint notes, told: nothing".to_owned();
    let forged = Body::Note(record::Note { text: forged, about: None });
    assert!(play.session().admits(&forged).is_err());
}

/// The doctrine: the nearest crossing. Where it uses more of the window than a compromise would, nothing is
/// lost by setting it; the first formula took points for it.
#[test]
fn at_the_recommended_crossing_nothing_is_lost() {
    let uses_more = |number: &u64| {
        let unit = unit(Grade::Second, *number);
        let circles = unit.as_made().circles();
        let met = solver::meet::meet(&circles.left, &circles.right, 1e-9).unwrap();
        let window = PracticeUnit::window().unwrap().limits;
        let near = met.nearest().unwrap().point;
        window.used_by(near, near).worst() > unit.reach().least_use + 0.08
    };
    let number = (10..400).find(uses_more).unwrap();
    let unit = unit(Grade::Second, number);
    let score = scored(&work(Trainee::Expert, &unit).unwrap());
    assert_eq!(score.earned(ScorePart::Setting), 1.0, "{score}");
}

#[test]
fn another_window_than_the_exercises_judges_nothing() {
    let wide = expert_but(&unit(Grade::First, 4), |fact| {
        if let Body::Window(window) = &mut fact.body {
            window.limits = solver::Window::new(60.0, 60.0, 60.0, None).unwrap();
        }
    });
    assert_eq!(wide.earned(ScorePart::Verdict), 0.0, "{wide}");
    assert!(words(&wide, ScorePart::Verdict).contains("another window"), "{wide}");
}

#[test]
fn what_is_said_and_is_not_so_costs() {
    let plain = unit(Grade::First, 4);
    let with = |unit: &PracticeUnit, said: &[PlacedFault]| {
        let mut facts = work(Trainee::Expert, unit).unwrap();
        let signed = facts.pop().unwrap();
        for finding in said {
            let last = facts.last().unwrap().clone();
            facts.push(Fact { seq: last.seq + 1, body: Body::Note(finding.note()), ..last });
        }
        facts.push(Fact { seq: facts.last().unwrap().seq + 1, ..signed });
        scored(&facts).earned(ScorePart::Finding)
    };
    let play = PlacedFault::new(Fault::Play, Channel::Left);
    let drift = PlacedFault::new(Fault::DriftedBench, Channel::Left);
    assert_eq!(with(&plain, &[]), 1.0);
    assert_eq!(with(&plain, &[play]), 0.5);
    assert_eq!(with(&plain, &[play, drift]), 0.0);
    // Said twice is said once; the other channel is not the channel.
    assert_eq!(with(&plain, &[play, play]), 0.5);
    let planted = unit(Grade::Fourth, 4);
    let right = planted.planted().unwrap();
    assert_eq!(right.fault, Fault::Play);
    assert_eq!(with(&planted, &[]), 1.0, "the expert said it");
    let other = PlacedFault { channel: right.channel.map(Channel::other), ..right };
    assert_eq!(with(&planted, &[other]), 0.5);
    assert_eq!(PlacedFault::of(&right.note()), Some(right));
}

#[test]
fn a_loose_cell_is_refused_and_a_pass_of_it_halves_everything() {
    let unit = unit(Grade::Fourth, 8);
    assert_eq!(unit.planted().map(|it| it.fault), Some(Fault::LooseCell));
    let refused = scored(&work(Trainee::Expert, &unit).unwrap());
    assert_eq!(refused.earned(ScorePart::Verdict), 1.0, "{refused}");
    let mut play = Play::begun(&unit).unwrap();
    let rings = unit.as_made().best_setting().unwrap().ring_deg;
    play.confirm(rings, Lock::After, 6).unwrap();
    play.sign(Some(Verdict::Pass)).unwrap();
    let passed = scored(&play.facts);
    assert!(passed.passed_failing && passed.earned(ScorePart::Verdict) == 0.0, "{passed}");
}

/// Each fault shows by what its lesson says, and goes as it says: the size from the numbers in the bench's
/// own table, worked out by hand.
#[test]
fn planted_faults_show_and_go() {
    let of = |fault: Fault| {
        let number = Fault::ALL.iter().position(|other| *other == fault).unwrap() as u64 + 1;
        unit(Grade::Fourth, number)
    };
    let stands = |ring_deg| record::practice::BuiltCell {
        ring_deg,
        approach: record::Approach::Clockwise,
        locked: false,
    };
    let after = |unit: &PracticeUnit, why: Option<RoundReason>| {
        let mut play = Play::begun(unit).unwrap();
        if let Some(why) = why {
            play.open(why).unwrap();
        }
        Bench::after(unit, &play.session())
    };
    let point = |bench: &Bench, channel| bench.point(channel, stands(50.0)).unwrap();
    let apart = |a: Direction, b: Direction| a.distance_arcmin(b);

    // 2 mm × 2 D = 4 mrad = 13.75′ (Prentice's rule), of one channel only.
    let moved = of(Fault::MovedDioptre);
    let channel = moved.planted().unwrap().channel.unwrap();
    let (before, zeroed) = (after(&moved, None), after(&moved, Some(RoundReason::Dioptre)));
    let size = apart(point(&before, channel), point(&zeroed, channel));
    assert!((size - 4e-3 * 3_437.746_770_784_939).abs() < 1e-9, "{size}");
    assert!(apart(point(&before, channel.other()), point(&zeroed, channel.other())) < 1e-12);

    // Both channels alike, by some 5′: 0.1′ of scatter each time.
    let seated = of(Fault::BadSeating);
    let (before, again) = (after(&seated, None), after(&seated, Some(RoundReason::Reseated)));
    let shifts = Channel::BOTH.map(|of| point(&before, of) - point(&again, of));
    assert!((shifts[0].boresight_arcmin() - 5.0).abs() < 0.7, "{shifts:?}");
    assert!(apart(shifts[0], shifts[1]) < 1e-9);

    // 0.3′ a reading, until the station is zeroed.
    let drifted = of(Fault::DriftedBench);
    let mut play = Play::begun(&drifted).unwrap();
    play.log_channel(Channel::Left, &[0.0, 90.0, 180.0, 270.0]).unwrap();
    let bench = Bench::after(&drifted, &play.session());
    let size = apart(point(&bench, Channel::Left), point(&after(&drifted, None), Channel::Left));
    assert!((size - 1.2).abs() < 1e-9, "{size}");
    play.open(RoundReason::StationZeroed).unwrap();
    play.log_channel(Channel::Left, &[0.0, 90.0]).unwrap();
    let bench = Bench::after(&drifted, &play.session());
    assert!(
        apart(point(&bench, Channel::Left), point(&after(&drifted, None), Channel::Left)) < 1e-9
    );

    // A colleague's third reading of that channel says 30° too much.
    let misread = of(Fault::MisreadRing);
    let play = Play::begun(&misread).unwrap();
    let channel = misread.planted().unwrap().channel.unwrap();
    let session = play.session();
    let logged: Vec<f64> = session
        .round()
        .unwrap()
        .of(channel, Purpose::Log)
        .map(|entry| {
            assert_eq!(entry.hand, COLLEAGUE);
            entry.reading.ring_deg(channel).unwrap().value()
        })
        .collect();
    assert_eq!(logged, [0.0, 90.0, 210.0, 270.0, 0.0]);

    // A flip turns the station's map, not the unit.
    let flipped = of(Fault::WrongFlip);
    let channel = flipped.planted().unwrap().channel.unwrap();
    let map = Play::begun(&flipped).unwrap().session().station().unwrap().map;
    assert!(map[channel].flip_x && !map[channel.other()].flip_x);

    // 8° of play: the chord 2 r sin 4°.
    let loose = of(Fault::Play);
    let channel = loose.planted().unwrap().channel.unwrap();
    let bench = after(&loose, None);
    let from = |approach| {
        let cell = record::practice::BuiltCell { approach, ..stands(50.0) };
        bench.point(channel, cell).unwrap()
    };
    let chord = apart(from(record::Approach::Clockwise), from(record::Approach::Counter));
    let radius = loose.as_made().circles()[channel].radius_arcmin;
    assert!((chord / (2.0 * radius * 4.0_f64.to_radians().sin()) - 1.0).abs() < 1e-3, "{chord}");

    // The first remedy takes no hold, the second does.
    let stays = of(Fault::RemedyDidNotTake);
    let remedy = stays.reach().remedy.clone().unwrap();
    let mut play = Play::begun(&stays).unwrap();
    play.remedy(remedy.clone()).unwrap();
    assert_eq!(&stays.built(&play.session()), stays.as_made());
    play.remedy(remedy.clone()).unwrap();
    assert_eq!(stays.built(&play.session()), stays.as_made().after(&remedy));
}

#[test]
fn what_a_look_shows_grows_with_the_window_used() {
    let apart = |x: f64| {
        LooksLike::of(PerChannel { left: Direction::new(0.0, 0.0), right: Direction::new(x, 0.0) })
    };
    // Divergence limit 6′: single to there, pulled together to three times it.
    assert_eq!(
        [5.9, 6.1, 17.9, 18.1].map(apart),
        [LooksLike::Single, LooksLike::Strained, LooksLike::Strained, LooksLike::Double,]
    );
    assert!(LooksLike::Strained.agrees(LookingResult::Fused));
    assert!(LooksLike::Double.agrees(LookingResult::Stopped));
}
