//! Pictures of each kind that a bench meets, drawn by lot.

use solver::monte_carlo::Source;

use super::{Grid, Scene, Shown};

/// A kind of picture.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Kind {
    /// One crosshair, even noise.
    Plain,
    /// Photon noise and flashes.
    Scintillating,
    /// Chicken wire.
    Honeycomb,
    /// Spots.
    Blemished,
    /// Dark corners and stray light.
    Glare,
    /// Middle or parts of arms missing.
    Gaps,
    /// A faint graticule behind.
    Graticule,
    /// A clear graticule behind, with a background picture.
    WithBackground,
    /// A clear graticule behind, without one.
    ClearGraticule,
    /// Dark lines on a bright picture.
    Dark,
    /// All of it at once, a little.
    Everything,
    /// Two crosshairs.
    Two,
    /// Two almost on one another.
    Close,
    /// None.
    None,
    /// Cut by the edge.
    Cut,
    /// Saturated.
    Saturated,
    /// Out of focus.
    Blurred,
    /// Too faint.
    Faint,
}

impl Kind {
    /// All of them.
    pub const ALL: [Self; 18] = [
        Self::Plain,
        Self::Scintillating,
        Self::Honeycomb,
        Self::Blemished,
        Self::Glare,
        Self::Gaps,
        Self::Graticule,
        Self::WithBackground,
        Self::ClearGraticule,
        Self::Dark,
        Self::Everything,
        Self::Two,
        Self::Close,
        Self::None,
        Self::Cut,
        Self::Saturated,
        Self::Blurred,
        Self::Faint,
    ];

    /// Whether a picture of it should be read: a crosshair is there and nothing forbids it.
    #[must_use]
    pub const fn readable(self) -> bool {
        !matches!(
            self,
            Self::ClearGraticule
                | Self::Close
                | Self::None
                | Self::Cut
                | Self::Saturated
                | Self::Blurred
                | Self::Faint
        )
    }
}

/// A picture of a kind, drawn by lot: its scene, and whether a background picture goes with it.
///
/// Noise is 1 in an even part of it, so that heights are contrasts to noise: from 3 to 40.
pub fn drawn(kind: Kind, size: [usize; 2], source: &mut Source) -> (Scene, bool) {
    let mut scene = Scene::even(size, 40.0);
    let [width, height] = size.map(|pixels| pixels as f64);
    let between = |source: &mut Source, low: f64, high: f64| source.rectangular(low, high);
    let lots = |source: &mut Source, low: f64, high: f64| {
        (low.ln() + (high / low).ln() * source.rectangular(0.0, 1.0)).exp()
    };
    let cross = |source: &mut Source| -> Shown {
        let width_px = lots(source, 1.0, 12.0);
        let arms = [0; 4].map(|_| lots(source, 30.0, 110.0).max(30.0 + 1.5 * width_px));
        Shown {
            px: [source.rectangular(0.25, 0.75) * width, source.rectangular(0.25, 0.75) * height],
            roll_deg: source.rectangular(-20.0, 20.0),
            height: lots(source, 3.0, 40.0),
            width_px,
            bell: source.rectangular(0.0, 1.0) < 0.6,
            arms_px: arms,
            missing_px: Vec::new(),
        }
    };
    let mut one = cross(source);
    let mut with_background = false;
    let everything = kind == Kind::Everything;
    if kind == Kind::Scintillating || everything {
        scene.read_noise = 0.6;
        scene.photon_gain = 0.64 / scene.level;
        scene.flashes = (between(source, 0.002, 0.01), between(source, 1.0, 4.0));
    }
    if kind == Kind::Honeycomb || everything {
        let pitch = between(source, 12.0, 40.0);
        scene.honeycomb = Some((pitch, between(source, 0.01, 0.06)));
    }
    if kind == Kind::Blemished || everything {
        for _ in 0..between(source, 3.0, 25.0) as usize {
            let at = [between(source, 0.0, width), between(source, 0.0, height)];
            let of = if between(source, 0.0, 1.0) < 0.7 {
                between(source, 0.3, 0.9)
            } else {
                between(source, 1.1, 1.6)
            };
            scene.spots.push((at, between(source, 1.0, 7.0), of));
        }
    }
    if kind == Kind::Glare || everything {
        scene.vignetting = between(source, 0.2, 0.7);
        let at = [between(source, 0.0, width), between(source, 0.0, height)];
        scene.glare = Some((at, between(source, 5.0, 60.0), between(source, 60.0, 200.0)));
    }
    if kind == Kind::Gaps || everything {
        one.missing_px.push([0.0, between(source, 2.0, 14.0)]);
        let from = between(source, 20.0, 60.0);
        one.missing_px.push([from, from + between(source, 4.0, 16.0)]);
        one.arms_px = one.arms_px.map(|arm| arm.max(70.0));
    }
    let mut grid = |source: &mut Source, height_of: f64| {
        scene.grid = Some(Grid {
            pitch_px: between(source, 35.0, 80.0),
            at_px: [between(source, 0.0, 80.0), between(source, 0.0, 80.0)],
            roll_deg: between(source, -3.0, 3.0),
            height: height_of,
            width_px: between(source, 1.0, 4.0),
        });
    };
    match kind {
        Kind::Graticule => {
            one.height = one.height.max(5.0);
            let share = between(source, 0.05, 0.22);
            grid(source, share * one.height);
        }
        Kind::WithBackground | Kind::ClearGraticule => {
            let share = between(source, 0.4, 1.5);
            grid(source, share * one.height);
            with_background = kind == Kind::WithBackground;
        }
        Kind::Dark => {
            one.height = -one.height.min(36.0);
        }
        Kind::Cut => {
            let side = between(source, 0.0, 4.0) as usize;
            let off = between(source, -60.0, 22.0);
            one.px = match side {
                0 => [off, one.px[1]],
                1 => [width - 1.0 - off, one.px[1]],
                2 => [one.px[0], off],
                _ => [one.px[0], height - 1.0 - off],
            };
        }
        Kind::Saturated => {
            one.height = one.height.max(15.0);
            scene.full_scale = Some(255.0);
            scene.level = 255.0 - between(source, 0.1, 0.7) * one.height;
            one.width_px = one.width_px.max(2.0);
        }
        Kind::Blurred => {
            scene.blur_px = between(source, 8.0, 16.0);
            one.height = one.height.max(8.0) * 2.0;
            one.arms_px = [100.0; 4];
        }
        Kind::Faint => one.height = between(source, 0.1, 1.0),
        _ => {}
    }
    if kind == Kind::Two || kind == Kind::Close {
        let mut other = cross(source);
        other.width_px = one.width_px * between(source, 0.8, 1.25);
        other.height = one.height * between(source, 0.5, 1.5);
        other.roll_deg = one.roll_deg + between(source, -4.0, 4.0);
        if kind == Kind::Close {
            for (there, here) in other.px.iter_mut().zip(one.px) {
                *there = here + between(source, -6.0, 6.0);
            }
        }
        scene.crosshairs.push(other);
    }
    if kind != Kind::None {
        scene.crosshairs.push(one);
    }
    (scene, with_background)
}
