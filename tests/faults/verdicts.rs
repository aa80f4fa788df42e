//! What confirm readings come to: the rules at work on the facts. The decision's own numbers are
//! checked against JCGM 106 in `tests/sources`; here the probabilities are Φ of a distance counted
//! by hand in standard uncertainties (JCGM 106:2012, table 1: Φ(1.64) = 0.95).

use record::{
    Body, Channel, Lock, Measured, Outlook, PerChannel, Position, Reading, Rule, SwingStop, Verdict,
};
use solver::decision::Prospect;

use crate::support::*;

/// A guarded session; the station states 0.25′, and m_x may be 20′ at most.
fn guarded(change: impl FnOnce(&mut record::Station)) -> Vec<Body> {
    let mut bodies = beginning();
    let Body::Window(window) = &mut bodies[3] else { panic!("a window") };
    window.rule = Rule::Guarded;
    let Body::Station(station) = &mut bodies[2] else { panic!("a station") };
    change(station);
    bodies
}

/// `count` readings of each channel, left at boresight, right at `x`.
fn read(bodies: &mut Vec<Body>, count: usize, x: &str, at: impl Fn(&mut Reading)) {
    for _ in 0..count {
        for (channel, x) in [(Channel::Left, "0"), (Channel::Right, x)] {
            let mut reading = confirm(channel, x, "0");
            at(&mut reading);
            bodies.push(Body::Reading(reading));
        }
    }
}

fn measured(bodies: &[Body]) -> Measured {
    concluded(bodies).measured.unwrap()
}

/// Two readings a channel of σ = 0.25′: u(m_x) = 0.25·√(2/2) = 0.25′. The limit is 20′.
#[test]
fn the_guarded_rule_asks_for_95_percent() {
    for (x, z, probability, verdict) in [
        ("19.4", 2.4, 0.991_802_464_1, Verdict::Pass),
        ("19.6", 1.6, 0.945_200_708_3, Verdict::Undecided),
        ("20.2", -0.8, 0.211_855_398_6, Verdict::Undecided),
        ("20.5", -2.0, 0.022_750_131_9, Verdict::Fail),
    ] {
        let mut bodies = guarded(|_| ());
        read(&mut bodies, 2, x, |_| ());
        let found = measured(&bodies);
        let judged = found.judgement.unwrap();
        // Φ(z) as JCGM 106 takes it from the normal distribution, ten digits; the box's other three
        // sides are 60 standard uncertainties away.
        assert!((judged.in_box - probability).abs() < 1e-9, "Φ({z}): {}", judged.in_box);
        assert!(judged.in_boresight > 1.0 - 1e-9);
        assert_eq!(concluded(&bodies).verdict, verdict, "{x}");
        let Body::Window(window) = &mut bodies[3] else { panic!("a window") };
        window.rule = Rule::Simple;
        let simple = if found.window_use.is_inside() { Verdict::Pass } else { Verdict::Fail };
        assert_eq!(concluded(&bodies).verdict, simple, "{x} by the simple rule");
    }
}

/// 0.4′ inside the limit: 0.4/(0.25·√(2/n)) ≥ 1.645 from n = 2.11 on, so one more than two.
#[test]
fn what_would_settle_it_is_said() {
    let mut bodies = guarded(|_| ());
    read(&mut bodies, 2, "19.6", |_| ());
    let outlook = |bodies: &[Body]| measured(bodies).outlook;
    assert_eq!(outlook(&bodies), Some(Outlook::Known(Prospect::MoreReadings(1))));
    read(&mut bodies, 1, "19.6", |_| ());
    assert_eq!((concluded(&bodies).verdict, outlook(&bodies)), (Verdict::Pass, None));

    // A reference of 0.3′ each channel leaves u ≥ 0.42′ for ever: 0.5′ inside is 1.2 of them.
    let own = |u_arcmin: f64| {
        move |station: &mut record::Station| {
            station.reference.own_u_arcmin =
                PerChannel { left: [u_arcmin; 2], right: [u_arcmin; 2] };
        }
    };
    let mut bodies = guarded(own(0.3));
    read(&mut bodies, 2, "19.5", |_| ());
    assert_eq!(outlook(&bodies), Some(Outlook::Known(Prospect::MoreReadingsWillNotHelp)));

    // A reference of 15′ each channel: not even in the middle are ±15′ held with 95 %.
    let mut bodies = guarded(own(15.0));
    read(&mut bodies, 2, "0", |_| ());
    assert_eq!(outlook(&bodies), Some(Outlook::Known(Prospect::BenchCannotDecide)));
}

/// A common reference cancels in the misalignment and stays in the boresight.
#[test]
fn a_shared_reference_counts_for_boresight_alone() {
    let mut bodies = guarded(|station| station.reference.common_u_arcmin = [0.5; 2]);
    read(&mut bodies, 2, "0", |_| ());
    let judged = measured(&bodies).judgement.unwrap();
    // 2·0.25²/2 = 0.0625; a quarter of that and 0.5²: exact in binary.
    assert_eq!(judged.misalignment_covariance[0][0], 0.0625);
    assert_eq!(judged.shared_covariance[0][0], 0.0625 / 4.0 + 0.25);
}

/// Without a stated uncertainty the readings' own scatter counts, from three of each channel on.
#[test]
fn scatter_is_seen_or_stated_never_both() {
    let mut bodies = guarded(|station| station.spread.sigma_arcmin = None);
    read(&mut bodies, 2, "0", |_| ());
    let found = measured(&bodies);
    assert_eq!((found.verdict, found.judgement), (Verdict::Undecided, None));
    let missing = Outlook::ScatterUnknown(PerChannel { left: 1, right: 1 });
    assert_eq!(found.outlook, Some(missing));
    assert_eq!(concluded(&bodies).verdict, Verdict::Undecided);
    for x in ["0.2", "-0.2", "0.1"] {
        read(&mut bodies, 1, x, |_| ());
    }
    let found = measured(&bodies);
    assert_eq!((found.verdict, found.stated_sigma_arcmin), (Verdict::Pass, None));
    assert!(found.judgement.unwrap().freedom.is_finite());
    let named = concluded(&bodies).numbers().iter().any(|n| n.name == "degrees_of_freedom");
    assert!(named);
    // Stated: the scatter of the same readings is not looked at.
    let Body::Station(station) = &mut bodies[2] else { panic!("a station") };
    station.spread.sigma_arcmin = Some(0.25);
    let judged = measured(&bodies).judgement.unwrap();
    assert!(judged.freedom.is_infinite());
    // 0.25²/5 of each channel; rounded once each.
    assert!((judged.misalignment_covariance[0][0] - 0.025).abs() < 1e-15);
}

/// A unit seated three times is judged by how far the three lie apart: m 18.6′, 19.0′ and 19.4′ have S = 0.4′, so
/// u = 0.4/√3 = 0.231′ with 2 degrees of freedom, and 1′ to the limit is 4.33 of those: Student's t
/// P = ½ + t/(2√(2 + t²)) = 0.9753 (exact for 2 degrees). Six readings as if of one seating had u = 0.144′.
#[test]
fn seatings_count_by_how_far_they_lie_apart() {
    let mut bodies = guarded(|_| ());
    for (seating, x) in ["18.6", "19.0", "19.4"].into_iter().enumerate() {
        let first = bodies.len();
        read(&mut bodies, 2, x, |_| ());
        for body in bodies[first..].iter_mut().take(2).filter(|_| seating > 0) {
            let Body::Reading(reading) = body else { panic!("a reading") };
            // Left and right both noted: one seating.
            reading.reseated = true;
        }
    }
    let found = measured(&bodies);
    let judged = found.judgement.unwrap();
    assert_eq!((judged.seatings, judged.freedom), (3, 2.0));
    let t = 1.0 / (0.4 / 3.0_f64.sqrt());
    let probability = 0.5 + 0.5 * t / (2.0 + t * t).sqrt();
    // The other three sides are 65 and more standard uncertainties away, which t with 2 degrees
    // feels: 1/(2·65²) each.
    assert!((judged.in_box - probability).abs() < 5e-4, "{} {probability}", judged.in_box);
    assert!((found.misalignment.x_arcmin - 19.0).abs() < 1e-12);
    let numbers = concluded(&bodies).numbers();
    let stored = |name: &str| numbers.iter().find(|n| n.name == name).map(|n| n.value);
    assert_eq!(stored("seatings"), Some(3.0));
    assert_eq!(stored(record::conclusion::method::NAME), Some(2.0));
    assert!(!concluded(&bodies).caveats.contains(&record::Caveat::SeatingNotIncluded));

    // The first way of judging, which signatures from before it had a number were made by, does not
    // look at seatings, and stores neither.
    let session = record::fold(&facts_of(&bodies));
    let first = record::conclude_by(&session, record::Method::First).unwrap();
    let judged = first.measured.unwrap().judgement.unwrap();
    assert_eq!((judged.seatings, judged.freedom), (1, f64::INFINITY));
    let names: Vec<String> = first.numbers().into_iter().map(|n| n.name).collect();
    assert!(!names.iter().any(|name| name == "seatings" || name == "way_of_judging"));
}

/// One reading of one channel after reseating tells of no second seating, and the caveat stays; nor does
/// reseating where it was set up tell how far seatings scatter at a stop.
#[test]
fn one_reseated_reading_does_not_silence_the_caveat() {
    let mut bodies = guarded(|_| ());
    read(&mut bodies, 2, "0", |_| ());
    let mut half = confirm(Channel::Left, "0", "0");
    half.reseated = true;
    bodies.push(Body::Reading(half));
    assert!(concluded(&bodies).caveats.contains(&record::Caveat::SeatingNotIncluded));
    read(&mut bodies, 1, "0.1", |_| ());
    assert!(!concluded(&bodies).caveats.contains(&record::Caveat::SeatingNotIncluded));
    read(&mut bodies, 1, "0", |reading| reading.swing_stop = Some(SwingStop::Narrow));
    let narrow = record::Caveat::SeatingNotIncludedAt(Position::Narrow);
    assert!(concluded(&bodies).caveats.contains(&narrow));
    assert_eq!(narrow.to_string(), "seating repeatability not included at the narrow stop");
}

/// Each swing stop has its own means and is judged by itself; the unit has to hold everywhere.
#[test]
fn every_position_read_has_to_hold() {
    let at = |stop| move |reading: &mut Reading| reading.swing_stop = Some(stop);
    let mut bodies = guarded(|_| ());
    read(&mut bodies, 2, "0", |_| ());
    read(&mut bodies, 1, "10", at(SwingStop::Working));
    let conclusion = concluded(&bodies);
    let set_up = conclusion.measured.unwrap();
    assert_eq!(set_up.readings, PerChannel { left: 3, right: 3 }, "working is the set-up position");
    read(&mut bodies, 1, "10", at(SwingStop::Narrow));
    let conclusion = concluded(&bodies);
    assert_eq!(conclusion.verdict, Verdict::Pass);
    assert_eq!(conclusion.elsewhere.len(), 1);
    assert_eq!(conclusion.elsewhere[0].position, Position::Narrow);
    assert_eq!(conclusion.elsewhere[0].misalignment.x_arcmin, 10.0);
    // A sum and a division: a rounding or two of 10/3.
    let set_up = conclusion.measured.unwrap().misalignment.x_arcmin;
    assert!((set_up - 10.0 / 3.0).abs() < 1e-15, "{set_up}");
    let narrow = conclusion
        .numbers()
        .into_iter()
        .find(|number| number.name == "narrow_stop.misalignment_x_arcmin");
    assert_eq!(narrow.unwrap().value, 10.0);
    assert_eq!(conclusion.rests_on.len(), 8);
    // One reading each: u = 0.25·√2 = 0.354′; 20.1′ is undecided there, 25′ fails.
    let mut there = bodies.clone();
    read(&mut there, 1, "20.1", at(SwingStop::Wide));
    assert_eq!(concluded(&there).verdict, Verdict::Undecided);
    read(&mut bodies, 1, "25", at(SwingStop::Wide));
    assert_eq!(concluded(&bodies).verdict, Verdict::Fail);
    assert_eq!(concluded(&bodies).measured.unwrap().verdict, Verdict::Pass);
}

#[test]
fn another_interpupillary_distance_is_another_position() {
    let mut bodies = guarded(|_| ());
    read(&mut bodies, 1, "0", |reading| reading.ipd_mm = Some(typed("64.0")));
    read(&mut bodies, 1, "30", |reading| reading.ipd_mm = Some(typed("58")));
    let conclusion = concluded(&bodies);
    assert_eq!(conclusion.measured.unwrap().misalignment.x_arcmin, 0.0, "64 mm is the set-up's");
    assert_eq!(conclusion.elsewhere[0].position, Position::Ipd { mm: 58.0 });
    assert_eq!(conclusion.verdict, Verdict::Fail);
}

/// A ring that was free to turn since is another setting.
#[test]
fn readings_of_a_setting_that_is_no_more_do_not_count() {
    let mut bodies = guarded(|_| ());
    read(&mut bodies, 2, "25", |_| ());
    assert_eq!(concluded(&bodies).verdict, Verdict::Fail);
    // The right lock was opened, the ring turned, the lock tightened: the left readings still hold.
    let mut open = confirm(Channel::Right, "0.2", "0");
    open.lock = Some(Lock::Before);
    bodies.push(Body::Reading(open));
    assert_eq!(concluded(&bodies).verdict, Verdict::NotMeasured);
    bodies.push(Body::Reading(confirm(Channel::Right, "0", "0")));
    let conclusion = concluded(&bodies);
    assert_eq!(conclusion.verdict, Verdict::Pass);
    assert_eq!(conclusion.measured.unwrap().readings, PerChannel { left: 2, right: 1 });
    // A log reading turns the ring too.
    bodies.push(log(Channel::Left, "0", "38.1", "14.4"));
    assert_eq!(concluded(&bodies).verdict, Verdict::NotMeasured);
}
