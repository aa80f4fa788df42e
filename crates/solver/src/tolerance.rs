//! The tolerance window and how much of it a pair of directions uses.
//!
//! A box in misalignment (common practice, no source for the shape; each window names the source
//! of its numbers) and an optional limit on the distance from boresight.

use crate::direction::{Direction, Misalignment};
use crate::error::Error;

/// Limits in arcminutes, all > 0 and finite.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Window {
    convergence_arcmin: f64,
    divergence_arcmin: f64,
    dipvergence_arcmin: f64,
    boresight_arcmin: Option<f64>,
}

impl Window {
    /// A window from its limits, arcminutes.
    ///
    /// # Errors
    /// [`Error::WindowLimit`] names the first limit that is not a finite number above 0.
    pub fn new(
        convergence_arcmin: f64,
        divergence_arcmin: f64,
        dipvergence_arcmin: f64,
        boresight_arcmin: Option<f64>,
    ) -> Result<Self, Error> {
        let limits = [
            ("convergence", Some(convergence_arcmin)),
            ("divergence", Some(divergence_arcmin)),
            ("dipvergence", Some(dipvergence_arcmin)),
            ("boresight", boresight_arcmin),
        ];
        for (limit, value) in limits {
            if let Some(value_arcmin) = value
                && !(value_arcmin > 0.0 && value_arcmin.is_finite())
            {
                return Err(Error::WindowLimit { limit, value_arcmin });
            }
        }
        Ok(Self { convergence_arcmin, divergence_arcmin, dipvergence_arcmin, boresight_arcmin })
    }

    /// How far the eyes may have to converge (m_x < 0), arcminutes.
    #[must_use]
    pub const fn convergence_arcmin(&self) -> f64 {
        self.convergence_arcmin
    }

    /// How far the eyes may have to diverge (m_x > 0), arcminutes.
    #[must_use]
    pub const fn divergence_arcmin(&self) -> f64 {
        self.divergence_arcmin
    }

    /// How far the images may differ in height, either way, arcminutes.
    #[must_use]
    pub const fn dipvergence_arcmin(&self) -> f64 {
        self.dipvergence_arcmin
    }

    /// How far from boresight both may point together, arcminutes, if limited.
    #[must_use]
    pub const fn boresight_arcmin(&self) -> Option<f64> {
        self.boresight_arcmin
    }

    /// The corners of the box round the left crosshair in which the right one may lie, counter-
    /// clockwise from the lower left.
    ///
    /// ```
    /// use solver::{Direction, Window};
    /// let corners = Window::new(45.0, 20.0, 15.0, None)?.corners_round_left(Direction::new(1.0, 2.0));
    /// assert_eq!(corners[0], Direction::new(-44.0, -13.0));
    /// assert_eq!(corners[2], Direction::new(21.0, 17.0));
    /// # Ok::<(), solver::Error>(())
    /// ```
    #[must_use]
    pub fn corners_round_left(&self, left: Direction) -> [Direction; 4] {
        let (convergence, divergence) = (self.convergence_arcmin(), self.divergence_arcmin());
        let dipvergence = self.dipvergence_arcmin();
        [
            left + Direction::new(-convergence, -dipvergence),
            left + Direction::new(divergence, -dipvergence),
            left + Direction::new(divergence, dipvergence),
            left + Direction::new(-convergence, dipvergence),
        ]
    }

    /// Window use of two directions.
    ///
    /// u = max(m_x > 0 ? m_x/divergence : −m_x/convergence, |m_y|/dipvergence,
    /// |(p_L + p_R)/2|/boresight); u ≤ 1 is inside.
    ///
    /// ```
    /// use solver::{Direction, Window};
    /// let window = Window::new(45.0, 20.0, 15.0, Some(40.0))?;
    /// let used = window.used_by(Direction::new(-1.0, 0.0), Direction::new(9.0, 3.0));
    /// assert_eq!(used.side_to_side, 0.5); // 10′ of divergence out of 20′
    /// assert_eq!(used.up_and_down, 0.2);
    /// assert!(used.is_inside());
    /// # Ok::<(), solver::Error>(())
    /// ```
    #[must_use]
    pub fn used_by(&self, left: Direction, right: Direction) -> WindowUse {
        self.use_of(Misalignment::between(left, right), left.midpoint(right))
    }

    /// Window use of a misalignment and the direction both channels share, (p_L + p_R)/2.
    #[must_use]
    pub fn use_of(&self, misalignment: Misalignment, shared: Direction) -> WindowUse {
        let Misalignment { x_arcmin, y_arcmin } = misalignment;
        WindowUse {
            side_to_side: if x_arcmin > 0.0 {
                x_arcmin / self.divergence_arcmin
            } else {
                -x_arcmin / self.convergence_arcmin
            }
            .abs(),
            up_and_down: y_arcmin.abs() / self.dipvergence_arcmin,
            from_boresight: self.boresight_arcmin.map(|limit| shared.boresight_arcmin() / limit),
        }
    }
}

/// The shares of a window that are used; 1 is the whole limit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WindowUse {
    /// Share of the convergence or divergence limit.
    pub side_to_side: f64,
    /// Share of the dipvergence limit.
    pub up_and_down: f64,
    /// Share of the boresight limit, if there is one.
    pub from_boresight: Option<f64>,
}

impl WindowUse {
    /// u, the largest of the shares.
    #[must_use]
    pub fn worst(&self) -> f64 {
        [self.side_to_side, self.up_and_down, self.from_boresight.unwrap_or(0.0)]
            .into_iter()
            // Not f64::max, which would pass over a share that is no number.
            .fold(
                0.0,
                |worst: f64, share| if share <= worst || worst.is_nan() { worst } else { share },
            )
    }

    /// Whether u ≤ 1.
    #[must_use]
    pub fn is_inside(&self) -> bool {
        self.worst() <= 1.0
    }
}
