//! Kinds of round, and rounds of them.

use solver::monte_carlo::Source;
use solver::{Direction, OffsetCircle, PerChannel, Phase, Reading, Sense, Spread};

/// Noise of a reading, each axis, where a kind does not say otherwise.
const SIGMA_ARCMIN: f64 = 0.3;

/// Whose ring angles are read.
#[derive(Clone, Copy)]
pub(crate) enum Angles {
    All,
    Half,
    None,
}

/// A kind of round.
pub(crate) struct Kind {
    pub(crate) name: String,
    pub(crate) count: u16,
    pub(crate) arc_deg: f64,
    pub(crate) angles: Angles,
    /// Whether σ (and σθ) is stated.
    pub(crate) stated: bool,
    pub(crate) sigma_arcmin: f64,
    pub(crate) ring_sigma_deg: f64,
    /// Readings are rounded to this; 0: not.
    pub(crate) step_arcmin: f64,
}

impl Kind {
    fn new(count: u16, arc_deg: f64, angles: Angles, stated: bool) -> Self {
        let (arc, known) = (arc_deg, if stated { "σ stated" } else { "σ unknown" });
        let rings = match angles {
            Angles::All => "angles known",
            Angles::Half => "angles half known",
            Angles::None => "no angles",
        };
        Self {
            name: format!("{rings}, {arc:.0}° of arc, n {count}, {known}"),
            count,
            arc_deg,
            angles,
            stated,
            sigma_arcmin: SIGMA_ARCMIN,
            ring_sigma_deg: 0.0,
            step_arcmin: 0.0,
        }
    }

    fn with_ring_sigma(self, ring_sigma_deg: f64) -> Self {
        let name = format!("{}, σθ {ring_sigma_deg:.0}°", self.name);
        Self { name, ring_sigma_deg, ..self }
    }

    /// Read to whole arcminutes, with noise that is a share of one.
    fn in_steps(self, sigma_arcmin: f64) -> Self {
        let name = format!("{}, noise {sigma_arcmin} steps", self.name);
        Self { name, sigma_arcmin, step_arcmin: 1.0, ..self }
    }

    /// What the solver is told.
    pub(crate) fn spread(&self) -> Spread {
        Spread {
            sigma_arcmin: self.stated.then_some(self.sigma_arcmin),
            ring_sigma_deg: if self.stated { self.ring_sigma_deg } else { 0.0 },
        }
    }

    /// Both circles of a unit: the same shape each time, elsewhere by less than a step.
    pub(crate) fn unit(&self, source: &mut Source) -> PerChannel<OffsetCircle> {
        let mut about = |x: f64, y: f64, radius: f64, zero_deg: f64| OffsetCircle {
            centre: Direction::new(
                x + source.rectangular(-1.0, 1.0),
                y + source.rectangular(-1.0, 1.0),
            ),
            radius_arcmin: radius + source.rectangular(-1.0, 1.0),
            phase: Some(Phase {
                zero_deg: zero_deg + source.rectangular(-5.0, 5.0),
                sense: Sense::With,
            }),
        };
        PerChannel { left: about(-14.0, 5.0, 50.0, 40.0), right: about(16.0, -3.0, 46.0, 40.0) }
    }

    /// A round's readings of one circle: the arc begins anywhere.
    pub(crate) fn readings(&self, circle: &OffsetCircle, source: &mut Source) -> Vec<Reading> {
        let parts = if self.arc_deg < 360.0 { self.count - 1 } else { self.count };
        let begin = source.rectangular(0.0, 360.0).round();
        (0..self.count)
            .filter_map(|k| {
                let shown_deg = begin + self.arc_deg * f64::from(k) / f64::from(parts);
                let true_deg = shown_deg + self.ring_sigma_deg * source.normal();
                let seen = circle.at_ring(true_deg)? + source.direction(self.sigma_arcmin);
                let direction = Direction::new(self.read(seen.x_arcmin), self.read(seen.y_arcmin));
                let known = match self.angles {
                    Angles::All => true,
                    Angles::Half => k % 2 == 0,
                    Angles::None => false,
                };
                Some(Reading { direction, ring_deg: known.then_some(shown_deg) })
            })
            .collect()
    }

    fn read(&self, value: f64) -> f64 {
        if self.step_arcmin > 0.0 {
            (value / self.step_arcmin).round() * self.step_arcmin
        } else {
            value
        }
    }
}

/// All kinds of the table.
pub(crate) fn kinds() -> Vec<Kind> {
    let mut kinds = Vec::new();
    for stated in [true, false] {
        for count in [3, 4, 6, 12, 24] {
            kinds.push(Kind::new(count, 360.0, Angles::All, stated));
        }
    }
    for stated in [true, false] {
        kinds.push(Kind::new(8, 180.0, Angles::All, stated));
        kinds.push(Kind::new(8, 30.0, Angles::All, stated));
        kinds.push(Kind::new(8, 360.0, Angles::Half, stated));
        kinds.push(Kind::new(8, 180.0, Angles::Half, stated));
    }
    for stated in [true, false] {
        for arc_deg in [360.0, 180.0, 90.0, 60.0, 45.0, 30.0, 20.0] {
            kinds.push(Kind::new(12, arc_deg, Angles::None, stated));
        }
    }
    kinds.push(Kind::new(5, 360.0, Angles::None, false));
    for ring_sigma_deg in [1.0, 2.0] {
        for count in [4, 6, 12, 24] {
            kinds.push(Kind::new(count, 360.0, Angles::All, true).with_ring_sigma(ring_sigma_deg));
        }
    }
    kinds.push(Kind::new(12, 360.0, Angles::Half, true).with_ring_sigma(2.0));
    for share in [0.0, 0.1, 0.3, 1.0] {
        for count in [4, 8] {
            kinds.push(Kind::new(count, 360.0, Angles::All, false).in_steps(share));
        }
    }
    kinds
}
