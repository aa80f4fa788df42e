//! What the year needs on the shop's shelf: benches 4 to 6, three housings and a strict window.

use jiff::civil::{Date, date};
use record::{
    Adjustment, Calibration, DailyCheck, Error, Graticule, Hinge, Housing, NamedWindow,
    ReferenceUncertainty, Rule, Seat, ShimEnds, Shows, Station,
};
use solver::{PerChannel, Spread};

use crate::bench::SIGMA_ARCMIN;

/// The benches of the year, as they stand at its end.
pub(crate) fn stations() -> Result<Vec<Station>, Error> {
    let last = date(2026, 11, 20);
    ["Bench 4", "Bench 5", "Bench 6"].iter().map(|name| station(name, last)).collect()
}

/// A bench as a session of a day copies it in.
pub(crate) fn station(name: &str, day: Date) -> Result<Station, Error> {
    let (number, note) = match name {
        "Bench 4" => ("4", "Stands on the bracket by the door."),
        "Bench 5" => ("5", ""),
        _ => ("6", "Targets but no boresight: it shows how far the channels differ and no more."),
    };
    let done = date(2025, 11, 24);
    Ok(Station {
        shows: if number == "6" { Shows::Relative } else { Shows::Direction },
        spread: Spread { sigma_arcmin: Some(SIGMA_ARCMIN), ring_sigma_deg: 0.0 },
        reference: ReferenceUncertainty {
            own_u_arcmin: PerChannel { left: [0.1; 2], right: [0.1; 2] },
            common_u_arcmin: [0.2; 2],
        },
        graticule: Some(Graticule {
            x_divisions: [-60.0, 60.0],
            y_divisions: [-60.0, 60.0],
            read_to_divisions: Some(0.1),
        }),
        calibration: Some(Calibration {
            certificate: format!("B{number}-2025-11"),
            done: Some(done),
            due: date(2026, 12, 15),
        }),
        checked: Some(DailyCheck {
            time: format!("{day}T08:04:00.000+01:00").parse()?,
            passed: true,
            note: "looked right".into(),
        }),
        note: note.into(),
        ..Station::plain(name)
    })
}

/// The window of the year's sessions.
pub(crate) fn strict_window() -> Result<NamedWindow, Error> {
    Ok(NamedWindow {
        name: "Strict window".into(),
        source: "Invented for the demo: what a careful customer asked for".into(),
        limits: solver::Window::new(8.0, 4.0, 4.0, Some(20.0))?,
        rule: Rule::Guarded,
        far_point_share: None,
        note: String::new(),
    })
}

/// The housings of the year.
pub(crate) fn housings() -> Vec<Housing> {
    let hinge = Adjustment::Hinge(Hinge { spread_mm: 24.0, arm_mm: 24.0, pods_above: true });
    let shimmed = |name: &str, focal_mm: f64| Housing {
        objective_focal_mm: Some(focal_mm),
        eyepiece_focal_mm: Some(focal_mm),
        seat: Some(Seat {
            clock_deg: vec![0.0, 60.0, 120.0, 180.0, 240.0, 300.0],
            ends: vec![ShimEnds::Both],
            leaves_mm: vec![0.1, 0.05, 0.025],
            largest_stack_mm: 0.2,
        }),
        adjustment: hinge,
        ipd_range_mm: Some([54.0, 71.0]),
        ..Housing::named(name)
    };
    vec![
        shimmed("Redshank", 27.0),
        shimmed("Sandpiper", 25.0),
        Housing {
            objective_focal_mm: Some(24.0),
            eyepiece_focal_mm: Some(24.0),
            adjustment: Adjustment::Slide,
            ipd_range_mm: Some([56.0, 72.0]),
            note: "Locks of the cam kind.".into(),
            ..Housing::named("Turnstone")
        },
    ]
}
