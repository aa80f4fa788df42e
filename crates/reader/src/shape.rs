//! What a line looks like across: a bar of some width, blurred.

use core::f64::consts::{FRAC_1_SQRT_2, PI};
use std::sync::LazyLock;

use wide::f32x4;

/// Half the bar over the blur: from a plain bell to a bar with sharp edges.
const FLATNESS: [f64; 5] = [0.3, 1.2, 2.0, 3.5, 6.0];

/// Steps of a table a standard deviation.
const A_SIGMA: f64 = 64.0;

/// How far tables reach, standard deviations.
const FAR: f64 = 7.0;

/// Values of a table.
const STEPS: usize = (FAR * A_SIGMA) as usize + 2;

/// Height, slope and half width of each flatness for standard deviation 1.
static TABLES: LazyLock<[Table; FLATNESS.len()]> = LazyLock::new(|| FLATNESS.map(Table::of));

struct Table {
    values: [[f64; 2]; STEPS],
    /// The heights alone, to seven digits.
    heights: [f32; STEPS],
    half_width: f64,
}

impl Table {
    fn of(flatness: f64) -> Self {
        // Variances add: blur² + half²/3 is 1.
        let blur = 1.0 / (1.0 + flatness * flatness / 3.0).sqrt();
        let half = flatness * blur;
        let up_to = |at: f64| 0.5 * libm::erf(at / blur * FRAC_1_SQRT_2);
        let bell = |at: f64| (-0.5 * (at / blur) * (at / blur)).exp() / (blur * (2.0 * PI).sqrt());
        let peak = 2.0 * up_to(half);
        let at = |d: f64| {
            let height = (up_to(d + half) - up_to(d - half)) / peak;
            [height, (bell(d + half) - bell(d - half)) / peak]
        };
        let values: [[f64; 2]; STEPS] = core::array::from_fn(|step| at(step as f64 / A_SIGMA));
        let (mut low, mut high) = (0.0, 4.0);
        for _ in 0..50 {
            let middle = 0.5 * (low + high);
            if at(middle)[0] > 0.5 { low = middle } else { high = middle }
        }
        let heights = values.map(|[height, _]| height as f32);
        Self { values, heights, half_width: low }
    }
}

/// A bar blurred by a normal distribution, of a standard deviation altogether; its peak is 1.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Shape {
    flatness: usize,
    sigma_px: f64,
}

impl Shape {
    /// A bell.
    pub(crate) const fn bell(sigma_px: f64) -> Self {
        Self { flatness: 0, sigma_px }
    }

    /// Shapes as wide, blunter and sharper.
    pub(crate) fn others(self) -> [Self; FLATNESS.len()] {
        core::array::from_fn(|flatness| Self { flatness, ..self })
    }

    /// Its standard deviation.
    pub(crate) const fn sigma_px(self) -> f64 {
        self.sigma_px
    }

    /// Its width where it is half as high as at its peak.
    pub(crate) fn width_px(self) -> f64 {
        2.0 * self.sigma_px * TABLES[self.flatness].half_width
    }

    /// How high it is at a distance.
    #[inline]
    pub(crate) fn height(self, px: f64) -> f64 {
        self.drawn().height(px)
    }

    /// It with its table at hand: for many distances, and for its slope.
    pub(crate) fn drawn(self) -> Drawn {
        let Table { values, heights, .. } = &TABLES[self.flatness];
        Drawn { values, heights, steps_a_px: A_SIGMA / self.sigma_px, sigma_px: self.sigma_px }
    }

    /// How far to each side the surroundings are looked at with it: far enough that their slope is known
    /// apart from the line's place.
    pub(crate) fn reach_px(self) -> f64 {
        (4.5 * self.sigma_px).max(4.0)
    }
}

/// A shape with its table at hand.
#[derive(Clone, Copy)]
pub(crate) struct Drawn {
    values: &'static [[f64; 2]; STEPS],
    heights: &'static [f32; STEPS],
    steps_a_px: f64,
    sigma_px: f64,
}

impl Drawn {
    /// Height and slope at a distance.
    #[inline]
    pub(crate) fn at(&self, px: f64) -> [f64; 2] {
        let Some(([t0, s0], [t1, s1], share)) = self.about(px) else { return [0.0, 0.0] };
        let slope = (s0 + share * (s1 - s0)) / self.sigma_px;
        [t0 + share * (t1 - t0), if px < 0.0 { -slope } else { slope }]
    }

    /// How high it is at a distance.
    #[inline]
    pub(crate) fn height(&self, px: f64) -> f64 {
        let Some(([t0, _], [t1, _], share)) = self.about(px) else { return 0.0 };
        t0 + share * (t1 - t0)
    }

    /// How high it is at some distances from a place, to seven digits, several at once.
    pub(crate) fn heights(&self, ds: &[f32], place_px: f32, heights: &mut [f32]) {
        /// The table's last step but one: nothing from there on.
        const LAST: f32 = (STEPS - 2) as f32;
        let (fours, rest) = ds.as_chunks();
        let (heights, heights_rest) = heights.as_chunks_mut();
        for (heights, ds) in heights.iter_mut().zip(fours) {
            let away = (f32x4::from(*ds) - f32x4::splat(place_px)).abs();
            let place = (away * f32x4::splat(self.steps_a_px as f32)).min(f32x4::splat(LAST));
            let step = place.trunc_int();
            let share = place - step.round_float();
            let table = |beyond: usize| {
                let at = |step: i32| self.heights.get(step as usize + beyond).copied();
                f32x4::from(step.to_array().map(|step| at(step).unwrap_or_default()))
            };
            let [here, next] = [table(0), table(1)];
            *heights = (here + share * (next - here)).to_array();
        }
        for (height, d) in heights_rest.iter_mut().zip(rest) {
            *height = self.height(f64::from(d - place_px)) as f32;
        }
    }

    /// What the table has on both sides of a distance, and how far between them that is.
    #[inline]
    fn about(&self, px: f64) -> Option<([f64; 2], [f64; 2], f64)> {
        let place = px.abs() * self.steps_a_px;
        // By way of 32 bits, which a processor makes at once; what is more than they hold is far beyond the table.
        let step = place as i32;
        let share = place - f64::from(step);
        let step = step as usize;
        (step < STEPS - 1).then(|| (self.values[step], self.values[step + 1], share))
    }
}

/// A profile: distance from where the line is looked for, value, weight; with what a level, a slope and a
/// bend explain taken away.
#[derive(Clone, Debug)]
pub(crate) struct Profile {
    /// Distance, weight, and the three polynomials at it, orthonormal.
    places: Vec<(f64, f64, [f64; 3])>,
    /// What is left of the values.
    left: Vec<f64>,
}

impl Profile {
    /// `None` where there are too few places to tell a line from its surroundings.
    pub(crate) fn of(stack: &[(f64, f64, f64)]) -> Option<Self> {
        if stack.len() < 6 {
            return None;
        }
        let mut places: Vec<(f64, f64, [f64; 3])> =
            stack.iter().map(|(d, _, weight)| (*d, *weight, [1.0, *d, d * d])).collect();
        for term in 0..3 {
            for before in 0..term {
                let shared: f64 = places.iter().map(|(_, w, p)| w * p[term] * p[before]).sum();
                for (_, _, p) in &mut places {
                    p[term] -= shared * p[before];
                }
            }
            let size: f64 =
                places.iter().map(|(_, w, p)| w * p[term] * p[term]).sum::<f64>().sqrt();
            // Also where it is not a number.
            let spread = size > 1e-9;
            if !spread {
                return None;
            }
            for (_, _, p) in &mut places {
                p[term] /= size;
            }
        }
        let mut left: Vec<f64> = stack.iter().map(|(_, value, _)| *value).collect();
        for term in 0..3 {
            let shared: f64 =
                places.iter().zip(&left).map(|((_, w, p), value)| w * p[term] * value).sum();
            for ((_, _, p), value) in places.iter().zip(&mut left) {
                *value -= shared * p[term];
            }
        }
        Some(Self { places, left })
    }

    /// The height of a shape at a place, and by how much it lessens the sum of squares.
    pub(crate) fn gained(&self, centre_px: f64, shape: Shape) -> Option<(f64, f64)> {
        let (mut own, mut with) = (0.0, 0.0);
        let mut shared = [0.0; 3];
        let shape = shape.drawn();
        for ((d, weight, p), value) in self.places.iter().zip(&self.left) {
            let t = shape.height(d - centre_px);
            if t == 0.0 {
                continue;
            }
            let t = weight * t;
            own += t * t / weight;
            with += t * value;
            for (sum, p) in shared.iter_mut().zip(p) {
                *sum += t * p;
            }
        }
        let alone = own - shared.iter().map(|sum| sum * sum).sum::<f64>();
        let height = with / alone;
        let usable = alone > 1e-6 * own && height.is_finite();
        usable.then_some((height, with * height))
    }

    /// The shape that explains most, centred at 0; `None` where nothing stands up.
    pub(crate) fn shape(&self, [low, high]: [f64; 2]) -> Option<Shape> {
        let mut best: Option<(f64, Shape)> = None;
        let mut look = |shape: Shape| {
            if let Some((height, gain)) = self.gained(0.0, shape)
                && height > 0.0
                && best.is_none_or(|(most, _)| gain > most)
            {
                best = Some((gain, shape));
            }
            best
        };
        let steps = 12;
        for step in 0..=steps {
            look(Shape::bell(low * (high / low).powf(f64::from(step) / f64::from(steps))));
        }
        for range in [0.16_f64, 0.05, 0.016] {
            let (_, about) = look(Shape::bell(low))?;
            for flatness in 0..FLATNESS.len() {
                if range < 0.1 && flatness.abs_diff(about.flatness) > 1 {
                    continue;
                }
                for step in -2_i32..=2 {
                    let sigma_px = about.sigma_px * (range * f64::from(step)).exp();
                    look(Shape { flatness, sigma_px: sigma_px.clamp(low, high) });
                }
            }
        }
        best.map(|(_, shape)| shape)
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "tests fail by panicking")]
    use super::*;

    /// A bell is 2 √(2 ln 2) standard deviations wide at half height; the bar in it adds a little.
    #[test]
    fn a_bell_is_as_wide_as_bells_are() {
        assert!((Shape::bell(1.0).width_px() - 2.354_82).abs() < 0.01);
    }

    /// A bar 8 px wide with soft edges, level, slope and bend under it: its width comes back.
    #[test]
    fn a_bar_is_told_from_its_surroundings() {
        let stack: Vec<(f64, f64, f64)> = (-60..=60)
            .map(|step| {
                let d = f64::from(step) * 0.5;
                let bar = (4.5 - d.abs()).clamp(0.0, 1.0);
                (d, 10.0 * bar + 3.0 + 0.2 * d - 0.01 * d * d, 1.0)
            })
            .collect();
        let profile = Profile::of(&stack).unwrap();
        let shape = profile.shape([0.4, 9.0]).unwrap();
        assert!((shape.width_px() - 8.0).abs() < 0.2, "{shape:?}");
        let (height, _) = profile.gained(0.0, shape).unwrap();
        // Soft edges as straight lines are none of the shapes: a twentieth.
        assert!((height - 10.0).abs() < 0.6, "{height}");
    }

    #[test]
    fn nothing_is_no_line() {
        assert!(Profile::of(&[]).is_none());
        assert!(Profile::of(&[(1.0, 1.0, 1.0); 20]).is_none());
        let flat: Vec<_> = (0..20_u8).map(|d| (f64::from(d), 1.0, 1.0)).collect();
        let profile = Profile::of(&flat).unwrap();
        assert!(profile.gained(0.0, Shape::bell(1.0)).is_none_or(|(height, _)| height < 1e-9));
    }
}
