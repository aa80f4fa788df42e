//! What rests on readings that do not fit is not stated on paper either, and where a shim lies is drawn.

use record::{Body, Channel, Purpose, Seen};

use crate::session::{WHOLE, account, changed, report};

/// One reading of the left channel with x and y exchanged: no ± of its circle, and that nothing is judged.
#[test]
fn no_interval_stands_where_readings_do_not_fit() {
    let judged = "ofthiscircle,andnothingthatrestsonitisjudged";
    assert!(!report(&changed(WHOLE, |_| {})).text().contains(judged));
    let exchanged = changed(WHOLE, |facts| {
        let mut logged = facts.iter_mut().filter_map(|fact| match &mut fact.body {
            Body::Reading(reading) if reading.purpose == Purpose::Log => match &mut reading.seen {
                Seen::Direction(read) if read.channel == Channel::Left => Some(read),
                _ => None,
            },
            _ => None,
        });
        let read = logged.next().unwrap();
        std::mem::swap(&mut read.x, &mut read.y);
    });
    let report = report(&exchanged);
    report.says("The left readings do not fit what the station says they scatter by");
    report.says("of this circle, and nothing that rests on it is judged");
    let solution = exchanged.rounds[0].solution.as_ref().unwrap().as_ref().unwrap();
    assert_eq!(solution.fits.left.as_ref().unwrap().half_width_95(2), None);
    assert!(solution.ring_u_deg().left.is_none());
}

/// Shims that were put in, each drawn as a clock face with its words beside it (the demo's unit 0301: 0.10 mm
/// under the left tube at clock 300°, under the right one at 0°).
#[test]
fn where_a_shim_lies_is_drawn() {
    let report = report(&account("demo-data/sessions/2025-12-08 0301.samepoint"));
    report.says("Seat of the left tube as a clock, seen from the eye side");
    report.says("0.10 mm at 300°, each end, pushes the tube toward 120°");
    report.says("0.10 mm at 0°, each end, pushes the tube toward 180°, low");
    report.says("nose");
}
