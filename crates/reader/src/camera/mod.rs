//! The camera map: from places in the picture to divisions of the graticule.
//!
//! Model: a place is straightened by a radial term about the picture's middle where there are eight marks
//! or more, then goes through a homography. Fitted by least squares in pixels; what is derived is not
//! stored.
//!
//! - `radial`: the lens's distortion; `fitting`: from marks to the map; `error`: what makes none.

mod error;
mod fitting;
mod radial;

use nalgebra::{DMatrix, Matrix2, Matrix3, Vector3};

pub use error::MapError;
pub use radial::Radial;

/// Fewer marks make no map.
pub const LEAST_MARKS: usize = 4;

/// As many marks show the lens's distortion.
pub const MARKS_FOR_RADIAL: usize = 8;

/// More marks than any graticule has.
pub const MOST_MARKS: usize = 1000;

/// A place whose divisions are known.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Mark {
    /// Where it is in the picture, pixels.
    pub px: [f64; 2],
    /// Where it is on the graticule, divisions.
    pub divisions: [f64; 2],
}

/// A camera map fitted to its marks.
#[derive(Clone, Debug)]
pub struct CameraMap {
    radial: Radial,
    /// From straightened pixels to divisions, and back.
    divisions_from_straight: Matrix3<f64>,
    straight_from_divisions: Matrix3<f64>,
    fit: fitting::Scaled,
    /// Of the fit's parameters; `None` where no mark is spare.
    covariance: Option<DMatrix<f64>>,
    residuals_px: Vec<[f64; 2]>,
    left_out_px: Option<Vec<[f64; 2]>>,
    u_mark_px: Option<f64>,
}

/// A place in divisions, with how well it is known.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct InDivisions {
    /// Where, divisions.
    pub divisions: [f64; 2],
    /// Covariance xx, xy, yy, divisions² (standard), the map's own included where it is known.
    pub covariance_divisions2: [f64; 3],
    /// Whether the map's own is known: it is not where no mark is spare.
    pub map_included: bool,
}

impl CameraMap {
    /// From marks in pictures of `size_px` (width, height).
    ///
    /// # Errors
    /// [`MapError`], in the user's words, which mark where it is one.
    ///
    /// # Degenerate input
    /// Marks on a line, or in one place, are refused; four marks are met exactly, with nothing to tell how
    /// well.
    ///
    /// # Source
    /// R. Hartley and A. Zisserman, *Multiple View Geometry in Computer Vision*, 2nd ed. 2004, 4.1 to 4.4:
    /// start by the normalised direct linear transform, then least squares of the distances in one picture.
    pub fn fit(size_px: [u64; 2], marks: &[Mark]) -> Result<Self, MapError> {
        fitting::map(size_px, marks)
    }

    /// The lens's distortion; k is 0 with fewer than eight marks.
    #[must_use]
    pub const fn radial(&self) -> Radial {
        self.radial
    }

    /// How far each mark is seen from where the map puts it, pixels: seen less mapped.
    #[must_use]
    pub fn residuals_px(&self) -> &[[f64; 2]] {
        &self.residuals_px
    }

    /// The same with that mark left out of the fit; `None` where a mark alone holds the map.
    ///
    /// To first order: what a mark pulls is the share of it in its own place.
    #[must_use]
    pub fn left_out_px(&self) -> Option<&[[f64; 2]]> {
        self.left_out_px.as_deref()
    }

    /// Standard uncertainty of a mark each way, from what the fit leaves, pixels; `None` where no mark is
    /// spare.
    #[must_use]
    pub const fn u_mark_px(&self) -> Option<f64> {
        self.u_mark_px
    }

    /// The divisions of a place in the picture; `None` beyond the horizon of the map.
    #[must_use]
    pub fn divisions_from_px(&self, px: [f64; 2]) -> Option<[f64; 2]> {
        through(&self.divisions_from_straight, self.radial.straight_from_px(px))
    }

    /// The place in the picture of divisions; `None` where the camera cannot see it.
    #[must_use]
    pub fn px_from_divisions(&self, divisions: [f64; 2]) -> Option<[f64; 2]> {
        let straight = through(&self.straight_from_divisions, divisions)?;
        self.radial.px_from_straight(straight)
    }

    /// A crosshair's place in divisions, its covariance with it, and the map's own added.
    ///
    /// `covariance_px2` is xx, xy, yy. `None` beyond the horizon of the map.
    #[must_use]
    pub fn crosshair_in_divisions(
        &self,
        px: [f64; 2],
        covariance_px2: [f64; 3],
    ) -> Option<InDivisions> {
        let divisions = self.divisions_from_px(px)?;
        let turn = self.divisions_per_px(px)?;
        let [xx, xy, yy] = covariance_px2;
        let mut in_px = Matrix2::new(xx, xy, xy, yy);
        if let Some(covariance) = &self.covariance {
            // Where the map puts these divisions moves with its parameters; seen from there the crosshair
            // moves the other way.
            let moves = self.fit.moves_px(px, divisions)?;
            in_px += (&moves * covariance * moves.transpose()).fixed_view::<2, 2>(0, 0);
        }
        let out = turn * in_px * turn.transpose();
        let covariance_divisions2 = [out[(0, 0)], out[(0, 1)], out[(1, 1)]];
        covariance_divisions2.iter().all(|value| value.is_finite()).then_some(InDivisions {
            divisions,
            covariance_divisions2,
            map_included: self.covariance.is_some(),
        })
    }

    /// What a step from a place in the picture is in divisions, to first order; `None` beyond the horizon of the map.
    #[must_use]
    pub fn step_in_divisions(&self, px: [f64; 2], step_px: [f64; 2]) -> Option<[f64; 2]> {
        let turn = self.divisions_per_px(px)?;
        let step = turn * nalgebra::Vector2::from(step_px);
        Some([step[0], step[1]])
    }

    /// How divisions move with the place in the picture.
    fn divisions_per_px(&self, px: [f64; 2]) -> Option<Matrix2<f64>> {
        let straight = self.radial.straight_from_px(px);
        let h = &self.divisions_from_straight;
        let p = h * Vector3::new(straight[0], straight[1], 1.0);
        let [x, y] = through(h, straight)?;
        let homography = Matrix2::new(
            (h[(0, 0)] - x * h[(2, 0)]) / p[2],
            (h[(0, 1)] - x * h[(2, 1)]) / p[2],
            (h[(1, 0)] - y * h[(2, 0)]) / p[2],
            (h[(1, 1)] - y * h[(2, 1)]) / p[2],
        );
        Some(homography * self.radial.derivative(px))
    }
}

/// A place through a homography; `None` on its horizon or behind it.
fn through(h: &Matrix3<f64>, at: [f64; 2]) -> Option<[f64; 2]> {
    let p = h * Vector3::new(at[0], at[1], 1.0);
    let place = [p[0] / p[2], p[1] / p[2]];
    let there = p[2] > 1e-9 && place.iter().all(|value| value.is_finite());
    there.then_some(place)
}
