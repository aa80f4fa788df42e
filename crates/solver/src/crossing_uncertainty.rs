//! How well a crossing point and the ring targets that go with it are known.
//!
//! On both circles |P − c| = r, so with unit vectors n_L, n_R from the centres to P the rows n_L, n_R
//! take dP to the edges' movement n·dc + dr of each channel. Column by column the inverse says how
//! far the crossing moves when one channel's edge does. Linear: see [`is_grazing`] and [`is_bent`].
//!
//! # Source
//! JCGM 102:2011, 6.3 (implicit multivariate models).

use crate::angle::deg_from_rad;
use crate::channel::{Channel, PerChannel};
use crate::direction::Direction;
use crate::ellipse::Ellipse;
use crate::fit::CircleFit;
use crate::uncertainty::{COVERAGE, Uncertainty};

/// How well a crossing point is known, to first order.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CrossingUncertainty {
    /// How far the point moves when that channel's circle is off by one standard uncertainty,
    /// arcminutes. The channels are independent: the covariance is the sum of their squares.
    pub moved_by: PerChannel<Direction>,
    /// Degrees of freedom of each channel's variance; infinite where σ is stated.
    pub freedom_of: PerChannel<f64>,
    /// Uncertainty of the ring angle that brings each crosshair there, degrees; `None` without
    /// a phase.
    pub ring_u_deg: PerChannel<Option<Uncertainty>>,
}

impl CrossingUncertainty {
    /// Covariance of x and y, square arcminutes.
    #[must_use]
    pub fn covariance_arcmin2(&self) -> [[f64; 2]; 2] {
        let PerChannel { left: a, right: b } = self.moved_by;
        let xy = a.x_arcmin * a.y_arcmin + b.x_arcmin * b.y_arcmin;
        [
            [a.x_arcmin * a.x_arcmin + b.x_arcmin * b.x_arcmin, xy],
            [xy, a.y_arcmin * a.y_arcmin + b.y_arcmin * b.y_arcmin],
        ]
    }

    /// Effective degrees of freedom of that covariance, for an ellipse: each channel moves the
    /// point along a line of its own, so 1/ν is the mean of the channels' 1/ν
    /// ([`crate::uncertainty::effective_freedom`] where the parts are lines). The 95 % ellipse made
    /// with it holds between 93.4 % (20 and 2 degrees) and 95.3 % by trials; an interval by
    /// Welch and Satterthwaite, 92.5 % with 20 and 2 degrees.
    #[must_use]
    pub fn freedom(&self) -> f64 {
        let per_freedom = 0.5 / self.freedom_of.left + 0.5 / self.freedom_of.right;
        if per_freedom > 0.0 { 1.0 / per_freedom } else { f64::INFINITY }
    }

    /// The 95 % ellipse about the point.
    #[must_use]
    pub fn ellipse(&self, point: Direction) -> Option<Ellipse> {
        Ellipse::covering(point, self.covariance_arcmin2(), COVERAGE, self.freedom()).ok()
    }

    /// Uncertainty of the point along a direction (any length but 0), arcminutes, with
    /// Welch–Satterthwaite's degrees of freedom.
    #[must_use]
    pub fn along(&self, direction: Direction) -> Option<Uncertainty> {
        let unit = direction * (1.0 / direction.boresight_arcmin());
        let part = |channel| (self.moved_by[channel].dot(unit).abs(), self.freedom_of[channel]);
        Uncertainty::combined(&Channel::BOTH.map(part))
    }

    /// Uncertainty of the distance |X| of the point from boresight, arcminutes; `None` where
    /// |X| < 3u: there the distance is no linear function, and its 95 % quantile is
    /// [`crate::monte_carlo::crossing`]'s to give.
    #[must_use]
    pub fn boresight(&self, point: Direction) -> Option<Uncertainty> {
        self.along(point).filter(|u| point.boresight_arcmin() >= 3.0 * u.standard)
    }
}

/// Of a crossing point of two fitted circles; `None` where a fit has no covariance or the circles
/// touch, so that the point has no first-order uncertainty.
#[must_use]
pub fn uncertainty_at(
    point: Direction,
    fits: PerChannel<&CircleFit>,
) -> Option<CrossingUncertainty> {
    let freedom_of = PerChannel { left: fits.left.freedom()?, right: fits.right.freedom()? };
    let Edges { distance, normal, from } = Edges::at(point, fits);
    let edge_u = |channel: Channel| {
        let Direction { x_arcmin, y_arcmin } = normal[channel];
        Some(fits[channel].covariance.as_ref()?.edge_variance_arcmin2(x_arcmin, y_arcmin).sqrt())
    };
    let edge_u = PerChannel { left: edge_u(Channel::Left)?, right: edge_u(Channel::Right)? };
    let moved_by = PerChannel::from_fn(|channel| from[channel] * edge_u[channel]);
    let ring_u_deg = PerChannel::from_fn(|channel| {
        // θ = s(φ − ψ), ψ the direction from the centre to P: dψ = t·(dP − dc)/|P − c|.
        let sign = fits[channel].circle.phase?.sense.sign();
        let n = normal[channel];
        let t = Direction::new(-n.y_arcmin, n.x_arcmin);
        let per_arcmin = -sign * deg_from_rad(1.0) / distance[channel];
        let own = t.dot(from[channel]);
        let own_u = fits[channel].covariance?.variance_of([
            per_arcmin * (own * n.x_arcmin - t.x_arcmin),
            per_arcmin * (own * n.y_arcmin - t.y_arcmin),
            per_arcmin * own,
            sign,
        ]);
        let others_u = (per_arcmin * t.dot(moved_by[channel.other()])).abs();
        Uncertainty::combined(&[
            (own_u.sqrt(), freedom_of[channel]),
            (others_u, freedom_of[channel.other()]),
        ])
    });
    let finite = moved_by.left.is_finite() && moved_by.right.is_finite();
    finite.then_some(CrossingUncertainty { moved_by, freedom_of, ring_u_deg })
}

/// Both circles' edges at a crossing point.
struct Edges {
    /// From each centre to the point.
    distance: PerChannel<f64>,
    /// The unit vectors that way.
    normal: PerChannel<Direction>,
    /// What a unit step of either edge does to the point.
    from: PerChannel<Direction>,
}

impl Edges {
    fn at(point: Direction, fits: PerChannel<&CircleFit>) -> Self {
        let outward = fits.map(|fit| point - fit.circle.centre);
        let distance = outward.map(Direction::boresight_arcmin);
        let normal = PerChannel::from_fn(|channel| outward[channel] * (1.0 / distance[channel]));
        let (a, b) = (normal.left, normal.right);
        let per_determinant = 1.0 / (a.x_arcmin * b.y_arcmin - a.y_arcmin * b.x_arcmin);
        let from = PerChannel {
            left: Direction::new(b.y_arcmin, -b.x_arcmin) * per_determinant,
            right: Direction::new(-a.y_arcmin, a.x_arcmin) * per_determinant,
        };
        Self { distance, normal, from }
    }
}

/// Uncertainty of |second| − |first|, how much farther from boresight one crossing point of two fitted
/// circles is than the other, arcminutes.
///
/// The points share both circles, so what moves one moves the other: with x̂ the unit vector to a
/// point and w what a unit step of one channel's edge does to it, the difference moves by
/// x̂₂·w₂ (n₂·dc + dr) − x̂₁·w₁ (n₁·dc + dr), one linear function of that channel's circle; the channels
/// are independent. `None` as for [`uncertainty_at`]. A point at boresight has no direction of its
/// own and is taken not to move.
#[must_use]
pub fn difference_of_distances(
    [first, second]: [Direction; 2],
    fits: PerChannel<&CircleFit>,
) -> Option<Uncertainty> {
    let edges_and_out = |point: Direction| {
        let away = point.boresight_arcmin();
        let out = if away > 0.0 { point * (1.0 / away) } else { Direction::BORESIGHT };
        (Edges::at(point, fits), out)
    };
    let (first, second) = (edges_and_out(first), edges_and_out(second));
    let step = |(edges, out): &(Edges, Direction), channel: Channel| {
        let n = edges.normal[channel];
        let by = out.dot(edges.from[channel]);
        [by * n.x_arcmin, by * n.y_arcmin, by, 0.0]
    };
    let part = |channel: Channel| {
        let (far, near) = (step(&second, channel), step(&first, channel));
        let coefficients = core::array::from_fn(|place| {
            let pair = far.get(place).zip(near.get(place));
            pair.map_or(0.0, |(far, near)| far - near)
        });
        let covariance = fits[channel].covariance?;
        Some((covariance.variance_of(coefficients).sqrt(), fits[channel].freedom()?))
    };
    Uncertainty::combined(&[part(Channel::Left)?, part(Channel::Right)?])
}

/// Half chords shorter than this many of their standard uncertainties are grazing.
const GRAZING: f64 = 6.0;

/// Whether two crossing circles graze: their half chord h is less than 6 u(h).
///
/// The two points lie at ±h along the chord, and it is h², not h, that is nearly linear in the
/// circles: h moves as h √(1 + 2z u(h)/h). At h = 6 u(h) circles three standard uncertainties off
/// no longer meet, and an interval of ± 1.96 u(h) holds 93.8 % instead of 95 %; nearer it soon
/// holds much less. Beyond this limit the linear covariance fails:
/// [`crate::monte_carlo::crossing`] takes its place. Never without both covariances.
#[must_use]
pub fn is_grazing(point: Direction, fits: PerChannel<&CircleFit>) -> bool {
    let (left, right) = (&fits.left.circle, &fits.right.circle);
    let (Some(left_covariance), Some(right_covariance)) =
        (&fits.left.covariance, &fits.right.covariance)
    else {
        return false;
    };
    let between = right.centre - left.centre;
    let d = between.boresight_arcmin();
    let f = between * (1.0 / d);
    let outward = point - left.centre;
    // From the left centre: x along the line of centres, h across it.
    let (x, h) =
        (f.dot(outward), (f.x_arcmin * outward.y_arcmin - f.y_arcmin * outward.x_arcmin).abs());
    // From h² = r² − x², x = (d² + r² − R²)/(2d).
    let by_distance = -x * (1.0 - x / d) / h;
    let by_left = left.radius_arcmin * (1.0 - x / d) / h;
    let by_right = x * right.radius_arcmin / (d * h);
    let (fx, fy) = (f.x_arcmin * by_distance, f.y_arcmin * by_distance);
    let variance = left_covariance.variance_of([-fx, -fy, by_left, 0.0])
        + right_covariance.variance_of([fx, fy, by_right, 0.0]);
    let clear = h > GRAZING * variance.sqrt();
    // What is no number is not clear either.
    !clear
}

/// A crossing that leaves its ellipse by more than this share of its shorter half axis is bent.
const BENT: f64 = 0.05;

/// Whether a crossing lies along an arc rather than in an ellipse: far round the circles from where they
/// were read.
///
/// Where one circle is known much better than the crossing, the crossing slides along that circle, and a circle
/// leaves its tangent by a²/2r after a. With a and b the half axes of the ellipse (one standard deviation)
/// and r the smaller radius, a²/2r beyond a twentieth of b is bent: of 2,000 rounds of 60° of arc without
/// ring angles the ellipse held 88 %, of 30° 76 % (`--example coverage`). The linear covariance then
/// fails as it does where circles graze.
///
/// # Source
/// D. M. Bates, D. G. Watts, *Nonlinear Regression Analysis and Its Applications* (1988), chapter 7 (curvature
/// against the size of the region; from memory).
#[must_use]
pub fn is_bent(uncertainty: &CrossingUncertainty, fits: PerChannel<&CircleFit>) -> bool {
    let [[xx, xy], [_, yy]] = uncertainty.covariance_arcmin2();
    let large = 0.5 * (xx + yy) + (0.5 * (xx - yy)).hypot(xy);
    if large <= 0.0 {
        return false;
    }
    let small = ((xx * yy - xy * xy) / large).max(0.0);
    let radius_arcmin = fits.left.circle.radius_arcmin.min(fits.right.circle.radius_arcmin);
    let straight = large <= BENT * small.sqrt() * 2.0 * radius_arcmin;
    // What is no number is not straight either.
    !straight
}
