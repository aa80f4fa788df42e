//! Invented pictures of a station: crosshairs through a tube's noise, for tests, practice and
//! demonstrations. The random source is an argument.
//!
//! - `drawn`: pictures of each kind that a bench meets, drawn by lot.

mod drawn;

use solver::monte_carlo::Source;

pub use drawn::{Kind, drawn};

/// A crosshair to be shown.
#[derive(Clone, Debug, PartialEq)]
pub struct Shown {
    /// Where its lines cross, pixels.
    pub px: [f64; 2],
    /// Counter-clockwise as the picture is seen, degrees.
    pub roll_deg: f64,
    /// How much brighter than its surroundings (less than 0: darker), in the picture's unit.
    pub height: f64,
    /// Its lines' width at half height, pixels.
    pub width_px: f64,
    /// Whether the profile is a bell, or else a bar with edges one pixel soft.
    pub bell: bool,
    /// Arms to the right, left, down and up, pixels.
    pub arms_px: [f64; 4],
    /// What is missing of each arm, from and to, pixels from the middle.
    pub missing_px: Vec<[f64; 2]>,
}

impl Shown {
    /// A plain one: arms alike, nothing missing.
    #[must_use]
    pub fn plain(px: [f64; 2], height: f64, width_px: f64, arm_px: f64) -> Self {
        let missing_px = Vec::new();
        Self { px, roll_deg: 0.0, height, width_px, bell: true, arms_px: [arm_px; 4], missing_px }
    }

    fn profile(&self, across_px: f64) -> f64 {
        let d = across_px.abs();
        if self.bell {
            // 2.3548 standard deviations wide at half height.
            let z = 2.3548 * d / self.width_px;
            (-0.5 * z * z).exp()
        } else {
            (0.5 * self.width_px + 0.5 - d).clamp(0.0, 1.0)
        }
    }

    fn at(&self, x: f64, y: f64) -> f64 {
        let (sin, cos) = self.roll_deg.to_radians().sin_cos();
        let (dx, dy) = (x - self.px[0], y - self.px[1]);
        // Counter-clockwise with y down.
        let (along, across) = (cos * dx - sin * dy, sin * dx + cos * dy);
        let flat = self.there(along, [0, 1]) * self.profile(across);
        let upright = self.there(across, [2, 3]) * self.profile(along);
        self.height * flat.max(upright)
    }

    fn there(&self, along: f64, [ahead, back]: [usize; 2]) -> f64 {
        let (arm, px) = if along >= 0.0 { (ahead, along) } else { (back, -along) };
        let missing = self.missing_px.iter().any(|[from, to]| (*from..*to).contains(&px));
        if missing { 0.0 } else { (self.arms_px[arm] + 0.5 - px).clamp(0.0, 1.0) }
    }
}

/// A graticule behind: lines each way.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Grid {
    /// From line to line, pixels.
    pub pitch_px: f64,
    /// Where one line of each way is, pixels.
    pub at_px: [f64; 2],
    /// Counter-clockwise, degrees.
    pub roll_deg: f64,
    /// How much brighter (less than 0: darker) its lines are.
    pub height: f64,
    /// Their width, pixels.
    pub width_px: f64,
}

impl Grid {
    fn at(&self, x: f64, y: f64) -> f64 {
        let (sin, cos) = self.roll_deg.to_radians().sin_cos();
        let (dx, dy) = (x - self.at_px[0], y - self.at_px[1]);
        let near = |d: f64| {
            let off = (d / self.pitch_px - (d / self.pitch_px).round()) * self.pitch_px;
            (0.5 * self.width_px + 0.5 - off.abs()).clamp(0.0, 1.0)
        };
        self.height * near(cos * dx - sin * dy).max(near(sin * dx + cos * dy))
    }
}

/// All that a picture shows.
#[derive(Clone, Debug, PartialEq)]
pub struct Scene {
    /// Width and height, pixels.
    pub size: [usize; 2],
    /// Brightness without anything.
    pub level: f64,
    /// Its crosshairs.
    pub crosshairs: Vec<Shown>,
    /// The graticule behind.
    pub grid: Option<Grid>,
    /// By how much the corners are darker, 0 to 1.
    pub vignetting: f64,
    /// Stray light: where, how bright, how wide.
    pub glare: Option<([f64; 2], f64, f64)>,
    /// Chicken wire of the tube's fibres: from cell to cell, pixels; how dark, 0 to 1.
    pub honeycomb: Option<(f64, f64)>,
    /// Spots: where, radius, brightness as a factor.
    pub spots: Vec<([f64; 2], f64, f64)>,
    /// Standard deviation of the noise of every pixel.
    pub read_noise: f64,
    /// Variance that a unit of brightness adds (photon noise).
    pub photon_gain: f64,
    /// Flashes of single electrons: how many a pixel, how bright.
    pub flashes: (f64, f64),
    /// A bell's standard deviation by which everything is out of focus, pixels; 0 is sharp.
    pub blur_px: f64,
    /// The largest value; what is brighter is cut off there. Values are whole numbers where it is given.
    pub full_scale: Option<f64>,
}

impl Scene {
    /// An even picture with noise of 1.
    #[must_use]
    pub const fn even(size: [usize; 2], level: f64) -> Self {
        Self {
            size,
            level,
            crosshairs: Vec::new(),
            grid: None,
            vignetting: 0.0,
            glare: None,
            honeycomb: None,
            spots: Vec::new(),
            read_noise: 1.0,
            photon_gain: 0.0,
            flashes: (0.0, 0.0),
            blur_px: 0.0,
            full_scale: None,
        }
    }

    /// The same with the crosshairs off: what a background picture shows.
    #[must_use]
    pub fn background(&self) -> Self {
        Self { crosshairs: Vec::new(), ..self.clone() }
    }

    /// Its pixels, with noise.
    pub fn rendered(&self, source: &mut Source) -> Vec<f32> {
        let [width, height] = self.size;
        let mut light = vec![0.0_f64; width * height];
        for (place, value) in light.iter_mut().enumerate() {
            *value = self.light((place % width) as f64, (place / width) as f64);
        }
        if self.blur_px > 0.0 {
            blur(&mut light, width, self.blur_px);
        }
        self.add_flashes(&mut light, source);
        light
            .into_iter()
            .map(|light| {
                let variance =
                    self.read_noise * self.read_noise + self.photon_gain * light.max(0.0);
                let value = light + variance.sqrt() * source.normal();
                match self.full_scale {
                    Some(full) => value.round().clamp(0.0, full) as f32,
                    None => value as f32,
                }
            })
            .collect()
    }

    fn light(&self, x: f64, y: f64) -> f64 {
        let [width, height] = self.size.map(|pixels| pixels as f64);
        let mut light = self.level;
        light += self.grid.map_or(0.0, |grid| grid.at(x, y));
        // Two lines on one another do not add up where both are one source's.
        light += self.crosshairs.iter().map(|cross| cross.at(x, y)).sum::<f64>();
        if let Some((at, bright, wide)) = self.glare {
            let far = (x - at[0]).hypot(y - at[1]) / wide;
            light += bright * (-0.5 * far * far).exp();
        }
        let (dx, dy) = ((x / width - 0.5) * 2.0, (y / height - 0.5) * 2.0);
        let mut factor = 1.0 - self.vignetting * 0.5 * (dx * dx + dy * dy);
        if let Some((pitch, depth)) = self.honeycomb {
            factor *= 1.0 - depth * wire(x, y, pitch);
        }
        for (at, radius, of) in &self.spots {
            let far = (x - at[0]).hypot(y - at[1]);
            let inside = (radius + 0.5 - far).clamp(0.0, 1.0);
            factor *= 1.0 + (of - 1.0) * inside;
        }
        light * factor
    }

    fn add_flashes(&self, light: &mut [f64], source: &mut Source) {
        let (rate, bright) = self.flashes;
        let [width, height] = self.size;
        for _ in 0..(rate * light.len() as f64) as usize {
            let x = source.rectangular(0.0, width as f64 - 1.0);
            let y = source.rectangular(0.0, height as f64 - 1.0);
            // Gains of single electrons differ widely: exponential.
            let size = -bright * (1.0 - source.rectangular(0.0, 1.0)).ln();
            let (low_x, low_y) = ((x - 3.0).max(0.0) as usize, (y - 3.0).max(0.0) as usize);
            for py in low_y..(low_y + 7).min(height) {
                for px in low_x..(low_x + 7).min(width) {
                    let far2 = (px as f64 - x).powi(2) + (py as f64 - y).powi(2);
                    light[py * width + px] += size * (-0.5 * far2 / 1.2).exp();
                }
            }
        }
    }
}

/// 1 on the wires between hexagonal cells, 0 inside them.
fn wire(x: f64, y: f64, pitch: f64) -> f64 {
    let turn = core::f64::consts::TAU / pitch;
    let waves: f64 = [0.2_f64, 0.2 + 2.0944, 0.2 + 4.18879]
        .iter()
        .map(|angle| (turn * (x * angle.cos() + y * angle.sin())).cos())
        .sum();
    // From −1.5 on the wires' corners to 3 in the middle of a cell.
    ((-0.5 - waves) / 1.0).clamp(0.0, 1.0)
}

fn blur(light: &mut [f64], width: usize, sigma_px: f64) {
    let reach = (4.0 * sigma_px).ceil() as usize;
    let weights: Vec<f64> = (0..=2 * reach)
        .map(|i| (-0.5 * ((i as f64 - reach as f64) / sigma_px).powi(2)).exp())
        .collect();
    let total: f64 = weights.iter().sum();
    let height = light.len() / width;
    for (count, length, stride, step) in [(height, width, 1, width), (width, height, width, 1)] {
        for line in 0..count {
            let before: Vec<f64> = (0..length).map(|i| light[line * step + i * stride]).collect();
            for i in 0..length {
                let mut sum = 0.0;
                for (j, weight) in weights.iter().enumerate() {
                    let from = (i + j).saturating_sub(reach).min(length - 1);
                    sum += weight * before[from];
                }
                light[line * step + i * stride] = sum / total;
            }
        }
    }
}
