//! A lens's distortion about the middle of the picture.

use nalgebra::Matrix2;

/// p ← c + (p − c)(1 + k ρ²), ρ the distance from the middle c over half the diagonal.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Radial {
    /// The middle, ((w − 1)/2, (h − 1)/2), pixels.
    pub middle_px: [f64; 2],
    /// Half the diagonal, pixels.
    pub half_diagonal_px: f64,
    /// k, no unit.
    pub k: f64,
}

impl Radial {
    /// Of a picture's size and k.
    #[must_use]
    pub fn of(size_px: [u64; 2], k: f64) -> Self {
        let [w, h] = size_px.map(|pixels| pixels as f64);
        let middle_px = [0.5 * (w - 1.0), 0.5 * (h - 1.0)];
        Self { middle_px, half_diagonal_px: (0.5 * w.hypot(h)).max(1.0), k }
    }

    /// Place without distortion of a place in the picture.
    #[must_use]
    pub fn straight_from_px(&self, px: [f64; 2]) -> [f64; 2] {
        let [dx, dy] = self.off_middle(px);
        let stretch = 1.0 + self.k * self.rho_squared([dx, dy]);
        [self.middle_px[0] + dx * stretch, self.middle_px[1] + dy * stretch]
    }

    /// Place in the picture of a place without distortion; `None` where no place has it, which is beyond
    /// where 1 + 3 k ρ² falls to 0.
    #[must_use]
    pub fn px_from_straight(&self, straight: [f64; 2]) -> Option<[f64; 2]> {
        let [dx, dy] = self.off_middle(straight);
        let far = dx.hypot(dy) / self.half_diagonal_px;
        if !far.is_finite() {
            return None;
        }
        // r (1 + k r²) = far: rises from 0, so that Newton's steps close in from `far`.
        let mut r = far;
        for _ in 0..60 {
            let slope = 1.0 + 3.0 * self.k * r * r;
            let step = (r * (1.0 + self.k * r * r) - far) / slope;
            if slope <= 1e-3 || !step.is_finite() {
                return None;
            }
            r -= step;
            if step.abs() < 1e-14 * far.max(1.0) {
                let shrink = if far > 0.0 { r / far } else { 1.0 };
                let there = r >= 0.0 && 1.0 + 3.0 * self.k * r * r > 1e-3;
                return there
                    .then(|| [self.middle_px[0] + dx * shrink, self.middle_px[1] + dy * shrink]);
            }
        }
        None
    }

    /// How the place without distortion moves with the place in the picture.
    #[must_use]
    pub fn derivative(&self, px: [f64; 2]) -> Matrix2<f64> {
        let [dx, dy] = self.off_middle(px);
        let stretch = 1.0 + self.k * self.rho_squared([dx, dy]);
        let bend = 2.0 * self.k / (self.half_diagonal_px * self.half_diagonal_px);
        Matrix2::new(
            stretch + bend * dx * dx,
            bend * dx * dy,
            bend * dx * dy,
            stretch + bend * dy * dy,
        )
    }

    pub(crate) fn off_middle(&self, px: [f64; 2]) -> [f64; 2] {
        [px[0] - self.middle_px[0], px[1] - self.middle_px[1]]
    }

    pub(crate) fn rho_squared(&self, [dx, dy]: [f64; 2]) -> f64 {
        (dx * dx + dy * dy) / (self.half_diagonal_px * self.half_diagonal_px)
    }
}
