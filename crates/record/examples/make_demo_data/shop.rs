//! What the invented shop keeps: stations, tolerance windows, housings, units.

use record::{
    Adjustment, Calibration, DailyCheck, Error, Eyepiece, Graticule, Hinge, Housing, NamedWindow,
    ReadingUnit, RingNumbering, Rule, Seat, ShimEnds, Station, StationMap, Tube, TubeKind, Unit,
};
use solver::angle::arcmin_from_prism_dioptre;
use solver::{PerChannel, Spread};

use crate::bench::SIGMA_ARCMIN;

/// Reads arcminutes; in calibration.
pub(crate) fn bench_2() -> Result<Station, Error> {
    Ok(Station {
        spread: Spread { sigma_arcmin: Some(SIGMA_ARCMIN), ring_sigma_deg: 0.5 },
        graticule: Some(Graticule {
            x_divisions: [-60.0, 60.0],
            y_divisions: [-60.0, 60.0],
            read_to_divisions: Some(0.1),
        }),
        calibration: Some(Calibration {
            certificate: "B2-2026-01".into(),
            done: Some(jiff::civil::date(2026, 3, 4)),
            due: jiff::civil::date(2027, 3, 4),
        }),
        checked: Some(DailyCheck {
            time: "2026-11-25T08:02:10.000+01:00".parse()?,
            passed: true,
            note: "check standard read within 0.2′".into(),
        }),
        note: "Visible green source, lowest lamp step. One division is one arcminute.".into(),
        ..Station::plain("Bench 2")
    })
}

/// Reads divisions of two arcminutes, the right graticule hung the other way round; its boresight
/// is not at zero.
pub(crate) fn bench_3() -> Result<Station, Error> {
    let left = StationMap {
        arcmin_per_division: [2.0, 2.0],
        boresight_divisions: [0.5, -1.0],
        ..StationMap::PLAIN
    };
    let right = StationMap { flip_x: true, boresight_divisions: [-0.5, -0.5], ..left };
    Ok(Station {
        usual_unit: ReadingUnit::Divisions,
        map: PerChannel { left, right },
        spread: Spread { sigma_arcmin: Some(SIGMA_ARCMIN), ring_sigma_deg: 0.0 },
        graticule: Some(Graticule {
            x_divisions: [-40.0, 40.0],
            y_divisions: [-40.0, 40.0],
            read_to_divisions: Some(0.1),
        }),
        calibration: Some(Calibration {
            certificate: "B3-2025-02".into(),
            done: Some(jiff::civil::date(2025, 11, 30)),
            due: jiff::civil::date(2026, 11, 30),
        }),
        checked: Some(DailyCheck {
            time: "2026-11-24T08:11:40.000+01:00".parse()?,
            passed: true,
            note: String::new(),
        }),
        note: "Infrared source: never look into it unaided.".into(),
        ..Station::plain("Bench 3")
    })
}

fn window(
    name: &str,
    source: &str,
    limits: (f64, f64, f64, Option<f64>),
    note: &str,
) -> Result<NamedWindow, Error> {
    let (convergence, divergence, dipvergence, boresight) = limits;
    Ok(NamedWindow {
        name: name.into(),
        source: source.into(),
        limits: solver::Window::new(convergence, divergence, dipvergence, boresight)?,
        rule: Rule::Guarded,
        far_point_share: None,
        note: note.into(),
    })
}

/// The shop's own window, used in its sessions.
pub(crate) fn shop_window() -> Result<NamedWindow, Error> {
    window(
        "Shop window",
        "Invented for the demo: the box of 'Binoculars, apparent field' with a boresight limit added",
        (45.0, 20.0, 15.0, Some(40.0)),
        "",
    )
}

/// Windows with a published source. They were made for other instruments; whether one suits a
/// given viewer is for the shop to say.
pub(crate) fn published_windows() -> Result<Vec<NamedWindow>, Error> {
    let convert = arcmin_from_prism_dioptre;
    Ok(vec![
        window(
            "Binoculars, apparent field",
            "Chapter on collimation of a book on binocular astronomy, table 2.1, values for the \
             apparent field; read at www.astronomyclub.xyz/globular-cluster-2/collimation.html",
            (45.0, 20.0, 15.0, None),
            "Made for hand-held and mounted binoculars.",
        )?,
        window(
            "Protective spectacles, plano",
            "MIL-PRF-29580C, 3.4.2.2.1 and 3.4.2.2.2, prism imbalance between the eyes: 0.25 Δ base \
             out, 0.125 Δ base in, 0.125 Δ vertical",
            (convert(0.25), convert(0.125), convert(0.125), None),
            "Made for spectacles. Base out asks the eyes to converge, base in to diverge.",
        )?,
        window(
            "Spectacles, mounted pair",
            "ANSI Z80.1-2015 as given in its quick-reference guide, item 6, prismatic imbalance: \
             0.67 Δ horizontal, 0.33 Δ vertical",
            (convert(0.67), convert(0.67), convert(0.33), None),
            "Made for spectacles of low power.",
        )?,
    ])
}

/// Swings about hinges; inverting tubes; takes shims at six places.
pub(crate) fn heron_b() -> Housing {
    Housing {
        objective_focal_mm: Some(27.0),
        eyepiece_focal_mm: Some(27.0),
        seat: Some(Seat {
            clock_deg: vec![0.0, 60.0, 120.0, 180.0, 240.0, 300.0],
            ends: vec![ShimEnds::Front, ShimEnds::Rear, ShimEnds::Both],
            leaves_mm: vec![0.1, 0.05, 0.025],
            largest_stack_mm: 0.3,
        }),
        adjustment: Adjustment::Hinge(Hinge { spread_mm: 24.0, arm_mm: 24.0, pods_above: true }),
        ipd_range_mm: Some([54.0, 71.0]),
        ring_step_deg: 1.0,
        note: "Left bores of the first run sit low.".into(),
        ..Housing::named("Heron B")
    }
}

/// Slides, so a crossing point far from boresight does no harm; straight-through tubes.
pub(crate) fn plover() -> Housing {
    Housing {
        eyepiece_focal_mm: Some(24.0),
        tube: TubeKind::StraightThrough,
        adjustment: Adjustment::Slide,
        ipd_range_mm: Some([56.0, 72.0]),
        ring_step_deg: 2.0,
        ..Housing::named("Plover")
    }
}

/// A unit with parts named after it.
pub(crate) fn unit(name: &str, housing: &str, ring: RingNumbering, note: &str) -> Unit {
    let serial = |part: &str, side: &str| format!("{part}-{name}{side}");
    let sides = PerChannel { left: "L", right: "R" };
    Unit {
        name: name.into(),
        housing: housing.into(),
        tubes: sides.map(|side| Tube { serial: serial("T", side), turned_deg: 0.0 }),
        eyepieces: sides.map(|side| Eyepiece { serial: serial("E", side), ring }),
        note: note.into(),
        ..Unit::default()
    }
}

/// Every unit the shop has on its shelf.
pub(crate) fn units() -> Vec<Unit> {
    vec![
        unit("0147", "Heron B", RingNumbering::Clockwise, ""),
        unit("0152", "Heron B", RingNumbering::Clockwise, "Loan pool."),
        unit("0155", "Heron B", RingNumbering::Clockwise, "Tubes from stock."),
        unit("0160", "Plover", RingNumbering::NotSaid, "Ring figures worn off."),
        unit("0163", "Heron B", RingNumbering::Clockwise, "Eyepieces from two makers."),
    ]
}
