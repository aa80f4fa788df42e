//! What every invented unit is made and held against: its optics, housing, and the limits of its window.

use solver::optics::{Optics, TubeImage};

use crate::error::Error;
use crate::housing::{Adjustment, Housing, Seat, ShimEnds, TubeKind};

/// Focal length of objective and eyepiece, mm.
const FOCAL_MM: f64 = 27.0;

/// What the note of each thing that is only there for practice says.
pub(super) const INVENTED: &str = "Invented, for practice.";

/// What its station is called.
pub(super) const BENCH: &str = "Practice bench";

/// What the window says of its source.
pub(super) const INVENTED_SOURCE: &str = "Invented for practice";

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

/// The housing type. The pods slide, so that the window is all there is to keep.
pub(super) fn housing() -> Housing {
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
