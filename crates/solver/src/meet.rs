//! Where two offset circles meet.

use crate::channel::{Channel, PerChannel};
use crate::circle::OffsetCircle;
use crate::crossing_uncertainty::{
    CrossingUncertainty, difference_of_distances, is_bent, is_grazing, uncertainty_at,
};
use crate::direction::Direction;
use crate::ellipse::Ellipse;
use crate::error::Error;
use crate::fit::CircleFit;
use crate::uncertainty::Uncertainty;

/// The usual tolerance for touching: a share of the larger radius.
pub const RELATION_TOLERANCE: f64 = 1e-9;

/// How two circles lie to each other.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Relation {
    /// They cross at two points.
    Crossing,
    /// They touch at one point.
    Tangent,
    /// Each lies outside the other.
    Separate,
    /// One lies inside the other.
    Contained,
    /// They share a centre but not a radius.
    Concentric,
    /// They are the same circle.
    Coincident,
}

impl Relation {
    /// The word used on screen, in files and in JSON.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Crossing => "crossing",
            Self::Tangent => "tangent",
            Self::Separate => "separate",
            Self::Contained => "contained",
            Self::Concentric => "concentric",
            Self::Coincident => "coincident",
        }
    }
}

/// One point at which both channels can point alike.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CrossingPoint {
    /// Where it is.
    pub point: Direction,
    /// Its distance from boresight, arcminutes.
    pub boresight_arcmin: f64,
    /// The ring angles that bring each crosshair there, degrees in [0, 360); `None` without phase.
    pub ring_deg: PerChannel<Option<f64>>,
    /// Covariance of x and y from both fits, square arcminutes; `None` from bare circles, where
    /// the fits have none, or where the circles only touch.
    pub covariance_arcmin2: Option<[[f64; 2]; 2]>,
    /// The same with its degrees of freedom, ellipse and the ring targets' uncertainty.
    pub uncertainty: Option<CrossingUncertainty>,
    /// Whether the circles meet at so grazing an angle, for how well they are known, that the
    /// linear covariance fails ([`is_grazing`] says when and why). Where they only touch or
    /// coincide it always does.
    pub grazing: bool,
    /// Whether it lies along an arc rather than in an ellipse ([`is_bent`] says when), or hangs on a
    /// circle of which too short an arc was read to state a region at all
    /// ([`CircleFit::states_regions`]). The linear covariance fails then too.
    pub bent: bool,
}

impl CrossingPoint {
    /// Whether the linear covariance says where the point is. Where it does not, the covariance stands, but
    /// no region is made of it: [`crate::monte_carlo::crossing`] has one.
    #[must_use]
    pub const fn is_linear(&self) -> bool {
        self.uncertainty.is_some() && !self.grazing && !self.bent
    }

    /// The 95 % ellipse of the point; `None` without covariance and where it would not hold.
    #[must_use]
    pub fn ellipse(&self) -> Option<Ellipse> {
        let linear = self.uncertainty.filter(|_| self.is_linear());
        linear.and_then(|uncertainty| uncertainty.ellipse(self.point))
    }

    /// Uncertainty of the distance from boresight, arcminutes; `None` without covariance, where that fails, and
    /// where the distance is less than three of it ([`CrossingUncertainty::boresight`]).
    #[must_use]
    pub fn boresight_u(&self) -> Option<Uncertainty> {
        let linear = self.uncertainty.filter(|_| self.is_linear());
        linear.and_then(|uncertainty| uncertainty.boresight(self.point))
    }
}

/// How two circles meet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Meeting {
    /// How they lie to each other.
    pub relation: Relation,
    /// The space between them where they do not meet, arcminutes; 0 where they do.
    pub gap_arcmin: f64,
    points: [Option<CrossingPoint>; 2],
    /// Distances from boresight that differ by less are the same.
    same_arcmin: f64,
    /// Of the difference of both points' distances.
    difference_u: Option<Uncertainty>,
}

/// How much nearer boresight one of two crossing points is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Nearer {
    /// By how much, arcminutes, not less than zero.
    pub by_arcmin: f64,
    /// How well that is known, from both fits and with what both points have in common; `None` from
    /// bare circles or where the fits have no covariance.
    pub uncertainty: Option<Uncertainty>,
    /// Whether they differ by no more than touching circles may: the order then goes by height.
    pub tied: bool,
}

impl Nearer {
    /// Whether the readings do not tell which is nearer: the difference is within its own 95 % interval,
    /// or there is none. Never where nothing is known of its uncertainty, but for a tie.
    #[must_use]
    pub fn is_open(&self) -> bool {
        let half = self.uncertainty.and_then(|uncertainty| uncertainty.half_width_95());
        self.tied || half.is_some_and(|half| self.by_arcmin <= half)
    }
}

impl Meeting {
    /// How much nearer the first of two crossing points is; `None` where there are not two.
    #[must_use]
    pub fn nearer(&self) -> Option<Nearer> {
        let [Some(first), Some(second)] = &self.points else { return None };
        let by_arcmin = (second.boresight_arcmin - first.boresight_arcmin).max(0.0);
        let tied = by_arcmin <= self.same_arcmin;
        Some(Nearer { by_arcmin, uncertainty: self.difference_u, tied })
    }

    /// The crossing points, nearest boresight first: two, one or none.
    pub fn crossings(&self) -> impl Iterator<Item = &CrossingPoint> {
        self.points.iter().flatten()
    }

    /// The recommended crossing point: the one nearest boresight.
    #[must_use]
    pub const fn nearest(&self) -> Option<&CrossingPoint> {
        self.points[0].as_ref()
    }

    /// The same with each crossing point's uncertainty from both fits
    /// ([`crate::crossing_uncertainty`]).
    #[must_use]
    pub fn with_covariance(mut self, fits: PerChannel<&CircleFit>) -> Self {
        let crosses = self.relation == Relation::Crossing;
        // Both points lie at the same half chord from the line of centres.
        let grazing = !crosses || self.points[0].is_some_and(|first| is_grazing(first.point, fits));
        if let ([Some(first), Some(second)], true) = (&self.points, crosses) {
            self.difference_u = difference_of_distances([first.point, second.point], fits);
        }
        for crossing in self.points.iter_mut().flatten() {
            crossing.grazing = grazing;
            if crosses {
                crossing.uncertainty = uncertainty_at(crossing.point, fits);
                let bent = crossing.uncertainty.is_some_and(|known| is_bent(&known, fits));
                let stated = fits.left.states_regions() && fits.right.states_regions();
                crossing.bent = bent || !stated;
                crossing.covariance_arcmin2 = crossing
                    .uncertainty
                    .map(|uncertainty| uncertainty.covariance_arcmin2())
                    .filter(|covariance| covariance.iter().flatten().all(|e| e.is_finite()));
            }
        }
        self
    }
}

/// Finds where two circles meet.
///
/// `tolerance` is the share of the larger radius within which circles count as touching, sharing
/// a centre, or being the same ([`RELATION_TOLERANCE`] is usual).
///
/// # Errors
/// [`Error::CircleNotFinite`], [`Error::RelationTolerance`].
///
/// # Degenerate input
/// A circle of radius zero is a point: it is tangent where it lies on the other. Coincident
/// circles give the one of their points nearest boresight; when they go round boresight itself,
/// the one straight up.
///
/// # Accuracy
/// Crossing points lie on both circles to 1e-12 of the larger radius (plus the rounding of the
/// coordinates themselves), whatever the angle at which the circles meet; how well the place is
/// known near grazing is the covariance's to say. A tangent's point is half way across the gap or
/// overlap that the tolerance forgave.
///
/// # Source
/// Half chord from the triangle of the centres and a crossing, its height by W. Kahan, *Miscalculating
/// Area and Angles of a Needle-like Triangle* (2014), section 2.
///
/// ```
/// use solver::meet::{meet, RELATION_TOLERANCE};
/// use solver::{Direction, OffsetCircle, Relation};
/// let a = OffsetCircle::unphased(Direction::new(0.0, 0.0), 5.0);
/// let b = OffsetCircle::unphased(Direction::new(5.0, 5.0), 5.0);
/// let met = meet(&a, &b, RELATION_TOLERANCE)?;
/// assert_eq!(met.relation, Relation::Crossing);
/// assert_eq!(met.crossings().count(), 2);
/// # Ok::<(), solver::Error>(())
/// ```
pub fn meet(left: &OffsetCircle, right: &OffsetCircle, tolerance: f64) -> Result<Meeting, Error> {
    if !(0.0..1.0).contains(&tolerance) {
        return Err(Error::RelationTolerance { value: tolerance });
    }
    for (channel, circle) in [(Channel::Left, left), (Channel::Right, right)] {
        let usable = circle.centre.is_finite()
            && circle.radius_arcmin.is_finite()
            && circle.radius_arcmin >= 0.0;
        if !usable {
            return Err(Error::CircleNotFinite { channel });
        }
    }
    // Seen from the smaller circle, a rounding error moves a point least off the larger one.
    let (small, large) =
        if left.radius_arcmin <= right.radius_arcmin { (left, right) } else { (right, left) };
    let (r, big_r) = (small.radius_arcmin, large.radius_arcmin);
    let between = large.centre - small.centre;
    let d = between.boresight_arcmin();
    if !d.is_finite() || !(d + r + big_r).is_finite() {
        return Err(Error::CircleNotFinite { channel: Channel::Right });
    }
    let forgiven = tolerance * big_r;
    let (outer_gap, inner_gap) = (d - (r + big_r), (big_r - r) - d);

    let mut points = [None, None];
    let mut gap_arcmin = 0.0;
    let relation = if d <= forgiven && big_r - r <= forgiven {
        points[0] = Some(small.centre + nearest_offset_to_boresight(small, forgiven));
        Relation::Coincident
    } else if d <= forgiven {
        gap_arcmin = big_r - r;
        Relation::Concentric
    } else if outer_gap > forgiven {
        gap_arcmin = outer_gap;
        Relation::Separate
    } else if inner_gap > forgiven {
        gap_arcmin = inner_gap;
        Relation::Contained
    } else if outer_gap.abs() <= forgiven {
        points[0] = Some(small.centre + between * ((r + outer_gap / 2.0) / d));
        Relation::Tangent
    } else if inner_gap.abs() <= forgiven {
        points[0] = Some(small.centre + between * (-(r + inner_gap / 2.0) / d));
        Relation::Tangent
    } else {
        let along = ((r - big_r) * ((r + big_r) / d) + d) / 2.0;
        let half_chord = height_over(d, big_r, r);
        let length = along.hypot(half_chord);
        let forward = between * (1.0 / d);
        let sideways = Direction::new(-forward.y_arcmin, forward.x_arcmin);
        for (slot, side) in points.iter_mut().zip([1.0, -1.0]) {
            let offset = forward * (along / length) + sideways * (side * half_chord / length);
            *slot = Some(small.centre + offset * r);
        }
        Relation::Crossing
    };
    let mut points = points.map(|point| {
        point.filter(|point| point.is_finite()).map(|point| CrossingPoint {
            point,
            boresight_arcmin: point.boresight_arcmin(),
            ring_deg: PerChannel { left: left.ring_for(point), right: right.ring_for(point) },
            covariance_arcmin2: None,
            uncertainty: None,
            grazing: false,
            bent: false,
        })
    });
    let same_arcmin = tolerance.max(f64::EPSILON) * big_r;
    if let [Some(first), Some(second)] = &points
        && comes_before(second, first, same_arcmin)
    {
        points.swap(0, 1);
    }
    Ok(Meeting { relation, gap_arcmin, points, same_arcmin, difference_u: None })
}

/// The recommended order: nearer boresight; equally near, the higher; equally high, the righter.
fn comes_before(a: &CrossingPoint, b: &CrossingPoint, same_arcmin: f64) -> bool {
    for (a, b) in [
        (-a.boresight_arcmin, -b.boresight_arcmin),
        (a.point.y_arcmin, b.point.y_arcmin),
        (a.point.x_arcmin, b.point.x_arcmin),
    ] {
        if (a - b).abs() > same_arcmin {
            return a > b;
        }
    }
    false
}

/// From a circle's centre to its point nearest boresight.
fn nearest_offset_to_boresight(circle: &OffsetCircle, forgiven: f64) -> Direction {
    let away = circle.centre.boresight_arcmin();
    if away <= forgiven {
        Direction::new(0.0, circle.radius_arcmin)
    } else {
        circle.centre * (-circle.radius_arcmin / away)
    }
}

/// Height over one side of a triangle, from all three, exact to rounding however thin, large or small
/// it is (Kahan).
fn height_over(base: f64, b: f64, c: f64) -> f64 {
    let mut sides = [base, b, c];
    sides.sort_by(|p, q| q.total_cmp(p));
    let [long, middle, short] = sides;
    // A root each: the product of all four would overflow from sides of 1e77 on.
    let long_factors = (long + (middle + short)).sqrt() * (long + (middle - short)).sqrt();
    let part = long - middle;
    let short_factors = (short - part).max(0.0).sqrt() * (short + part).sqrt();
    long_factors / base * short_factors / 2.0
}
