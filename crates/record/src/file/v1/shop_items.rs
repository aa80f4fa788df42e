//! Station, window, housing and unit in the words of format 1: on a line of a session, and in a
//! file of the shop, where a hand may leave out what it does not know.

use serde::{Deserialize, Serialize};

use super::wire::{Pair, Wire, wire_enum, wire_struct};
use crate::file::bad_field::BadField;
use crate::{housing, station, unit, window};

wire_struct!(Station for station::Station {
    name: String,
    #[serde(default)]
    shows: Shows,
    #[serde(default)]
    usual_unit: ReadingUnit,
    map: Pair<StationMap>,
    #[serde(default)]
    spread: Spread,
    #[serde(default)]
    reference: ReferenceUncertainty,
    graticule: Option<Graticule>,
    calibration: Option<Calibration>,
    checked: Option<DailyCheck>,
    #[serde(default)]
    note: String,
});
wire_enum!(Shows for station::Shows { Direction, Relative, Box });
wire_enum!(ReadingUnit for station::ReadingUnit { Divisions, Arcmin, Mrad, Mil, PrismDioptre });
wire_struct!(StationMap for station::StationMap {
    #[serde(default)]
    flip_x: bool,
    #[serde(default)]
    flip_y: bool,
    #[serde(default)]
    rotation_deg: f64,
    arcmin_per_division: [f64; 2],
    #[serde(default)]
    boresight_divisions: [f64; 2],
});
wire_struct!(Spread for solver::Spread {
    sigma_arcmin: Option<f64>,
    #[serde(default)]
    ring_sigma_deg: f64,
});
wire_struct!(ReferenceUncertainty for station::ReferenceUncertainty {
    #[serde(default)]
    own_u_arcmin: Pair<[f64; 2]>,
    #[serde(default)]
    common_u_arcmin: [f64; 2],
});
wire_struct!(Graticule for station::Graticule {
    x_divisions: [f64; 2],
    y_divisions: [f64; 2],
    read_to_divisions: Option<f64>,
});
wire_struct!(Calibration for station::Calibration {
    #[serde(default)]
    certificate: String,
    done: Option<String>,
    due: String,
});
wire_struct!(DailyCheck for station::DailyCheck {
    time: String,
    passed: bool,
    #[serde(default)]
    note: String,
});

wire_struct!(Window for window::NamedWindow {
    name: String,
    source: String,
    limits: Limits,
    #[serde(default)]
    rule: Rule,
    far_point_share: Option<f64>,
    #[serde(default)]
    note: String,
});
wire_enum!(Rule for window::Rule { Simple, Guarded });

/// Arcminutes.
#[derive(Clone, Debug, Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Limits {
    convergence_arcmin: f64,
    divergence_arcmin: f64,
    dipvergence_arcmin: f64,
    boresight_arcmin: Option<f64>,
}

impl Wire<solver::Window> for Limits {
    fn write(from: &solver::Window) -> Self {
        Self {
            convergence_arcmin: from.convergence_arcmin(),
            divergence_arcmin: from.divergence_arcmin(),
            dipvergence_arcmin: from.dipvergence_arcmin(),
            boresight_arcmin: from.boresight_arcmin(),
        }
    }
    fn read(self) -> Result<solver::Window, BadField> {
        solver::Window::new(
            self.convergence_arcmin,
            self.divergence_arcmin,
            self.dipvergence_arcmin,
            self.boresight_arcmin,
        )
        .map_err(BadField::new)
    }
}

wire_struct!(Housing for housing::Housing {
    name: String,
    objective_focal_mm: Option<f64>,
    eyepiece_focal_mm: Option<f64>,
    #[serde(default)]
    tube: TubeKind,
    seat: Option<Seat>,
    #[serde(default)]
    adjustment: Adjustment,
    ipd_range_mm: Option<[f64; 2]>,
    #[serde(default = "one_degree")]
    ring_step_deg: f64,
    #[serde(default)]
    note: String,
});
wire_enum!(TubeKind for housing::TubeKind { Inverting, StraightThrough });
wire_struct!(Seat for housing::Seat {
    clock_deg: Vec<f64>,
    ends: Vec<ShimEnds>,
    leaves_mm: Vec<f64>,
    largest_stack_mm: f64,
});
wire_enum!(ShimEnds for housing::ShimEnds { Front, Rear, Both });
wire_enum!(Adjustment for housing::Adjustment { Unknown, Slide; Hinge(Hinge) });
wire_struct!(Hinge for housing::Hinge {
    spread_mm: f64,
    arm_mm: f64,
    #[serde(default = "yes")]
    pods_above: bool,
});

wire_struct!(Unit for unit::Unit {
    name: String,
    housing: String,
    #[serde(default)]
    tubes: Pair<Tube>,
    #[serde(default)]
    eyepieces: Pair<Eyepiece>,
    #[serde(default)]
    shims: Pair<Vec<Shim>>,
    #[serde(default)]
    note: String,
});
wire_struct!(Tube for unit::Tube {
    serial: String,
    #[serde(default)]
    turned_deg: f64,
});
wire_struct!(Eyepiece for unit::Eyepiece {
    serial: String,
    #[serde(default)]
    ring: RingNumbering,
});
wire_enum!(RingNumbering for unit::RingNumbering { NotSaid, Clockwise, Counter });
wire_struct!(Shim for unit::Shim {
    clock_deg: f64,
    leaves_mm: Vec<f64>,
    ends: ShimEnds,
});

const fn yes() -> bool {
    true
}

const fn one_degree() -> f64 {
    1.0
}

/// A wire type left out stands for its program type's default.
macro_rules! default_of_program {
    ($($wire:ty = $of:ty),* $(,)?) => {$(
        impl Default for $wire {
            fn default() -> Self {
                Self::write(&<$of>::default())
            }
        }
    )*};
}
default_of_program!(
    Shows = station::Shows,
    ReadingUnit = station::ReadingUnit,
    Spread = solver::Spread,
    ReferenceUncertainty = station::ReferenceUncertainty,
    Rule = window::Rule,
    TubeKind = housing::TubeKind,
    Adjustment = housing::Adjustment,
    Tube = unit::Tube,
    Eyepiece = unit::Eyepiece,
    RingNumbering = unit::RingNumbering,
);
