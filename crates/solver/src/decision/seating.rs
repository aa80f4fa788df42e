//! What seating the unit again tells: confirm readings taken in several seatings.
//!
//! A unit never sits twice alike, and every reading of one seating is off by the same error. Its spread is seen
//! between seatings only, each of which gives one m = p_R − p_L and one b = (p_L + p_R)/2: with J of
//! them the mean has, axis by axis, the variance S²/J, S² the scatter of the J values about it, and
//! Student's t with J − 1 degrees of freedom. S² holds the noise of the readings as well, so nothing
//! is added for it; where S² comes out smaller than the stated (or rounded) reading alone makes it, that
//! stands instead.
//!
//! Why not the analysis of variance's between-seatings component, σ_s² = (MS_between − MS_within)/n: with two
//! to five seatings it comes out 0 in a third to two thirds of the units, and a unit at its limit
//! then passes as if it sat perfectly. Why not one variance for both axes, with twice the degrees of freedom:
//! a seat that is loose one way only would break it.
//!
//! # Assumptions
//! Errors of seatings are normal about 0, independent of each other and of the readings' noise; both
//! channels may move together, against each other, or apart, and one axis more than the other.
//! Seatings may hold unequally many readings: t holds its one-sided 5 % for means of unequal variance too,
//! up to 14 of them (N. K. Bakirov, G. J. Székely, J. Math. Sci. 139 (2006) 6497; R. Ibragimov, U. K.
//! Müller, J. Bus. Econ. Stat. 28 (2010) 453; both from memory), and more than 14 have degrees of freedom to spare.
//! One seating tells nothing: the verdict is then one about this seating, which its caveat says.
//!
//! # Source
//! JCGM 100:2008, 4.2.3 and G.3 (mean of independent observations, Student's t); H.5 (the analysis of
//! variance between days, of which this is the between-days mean).

use super::given::{Confirmation, Covariance, NONE, ReadingSpread, combined};
use crate::channel::{Channel, PerChannel};
use crate::direction::{Direction, FIELD_LIMIT_ARCMIN};

/// A scatter below this share of the step's own variance is rounding of sums: the readings are alike.
pub(super) const ALIKE: f64 = 1e-6;

/// What is known of confirm readings beside their values.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Circumstances {
    /// Which seating each reading was taken in, in the order of the readings; any numbers that differ
    /// where the seatings do and grow with time. What is missing belongs to seating 0.
    pub seating_of: PerChannel<Vec<usize>>,
    /// The step of each channel's graticule, arcminutes: a reading may be off evenly by half of it either way.
    /// 0 where it is not known.
    pub step_arcmin: PerChannel<f64>,
}

impl Circumstances {
    /// Variance of a reading's rounding: a rectangle one step wide (JCGM 100:2008, F.2.2.1).
    pub(super) fn rounding_arcmin2(&self, channel: Channel) -> f64 {
        let step_arcmin = self.step_arcmin[channel];
        // No step is larger than the field, and none is less than none.
        let step_arcmin = if step_arcmin > 0.0 { step_arcmin.min(FIELD_LIMIT_ARCMIN) } else { 0.0 };
        step_arcmin * step_arcmin / 12.0
    }
}

/// Means of at least two seatings.
pub(super) struct SeatingMeans {
    /// How many.
    pub(super) count: usize,
    /// Mean over the seatings of each channel's mean.
    pub(super) mean: PerChannel<Direction>,
    /// Scatter of m and of b between seatings, each axis; axes are taken apart.
    scatter_m: [f64; 2],
    scatter_b: [f64; 2],
    /// Scatter of m with b: rows m.
    scatter_mb: Covariance,
    /// What reading alone makes of the variance of m's mean, each axis.
    least_m: [f64; 2],
}

impl SeatingMeans {
    /// `None` of fewer than two seatings in which both channels were read. A seating of one channel
    /// goes with the one before it (the first with the one after): independent all the same.
    pub(super) fn of(
        confirmation: &Confirmation,
        circumstances: &Circumstances,
        single: PerChannel<Covariance>,
    ) -> Option<Self> {
        let groups = groups(confirmation, circumstances);
        let count = groups.len();
        if count < 2 {
            return None;
        }
        let share = 1.0 / count as f64;
        let means: Vec<PerChannel<Direction>> =
            groups.iter().map(|group| group.as_ref().map(|of| centre(of))).collect();
        let mean = PerChannel::from_fn(|channel| {
            means.iter().fold(Direction::BORESIGHT, |sum, at| sum + at[channel] * share)
        });
        let (mut mm, mut bb, mut mb) = (NONE, NONE, NONE);
        let per_freedom = 1.0 / (count - 1) as f64;
        for at in &means {
            let (left, right) = (at.left - mean.left, at.right - mean.right);
            let (m, b) = (right - left, left.midpoint(right));
            let (m, b) = ([m.x_arcmin, m.y_arcmin], [b.x_arcmin, b.y_arcmin]);
            for i in 0..2 {
                for j in 0..2 {
                    mm[i][j] += m[i] * m[j] * per_freedom;
                    bb[i][j] += b[i] * b[j] * per_freedom;
                    mb[i][j] += m[i] * b[j] * per_freedom;
                }
            }
        }
        let stated = matches!(confirmation.spread, ReadingSpread::Stated(_));
        let mut least_m = [0.0; 2];
        for channel in Channel::BOTH {
            let rounding = circumstances.rounding_arcmin2(channel);
            let inverse: f64 = groups.iter().map(|of| 1.0 / of[channel].len() as f64).sum();
            for (axis, least) in least_m.iter_mut().enumerate() {
                let noise = single[channel][axis][axis] * inverse * share * share;
                // Seatings that read alike are all off alike.
                let apart = if mm[axis][axis] > ALIKE * rounding { share } else { 1.0 };
                *least += (rounding * apart).max(if stated { noise } else { 0.0 });
            }
        }
        Some(Self {
            count,
            mean,
            scatter_m: [mm[0][0], mm[1][1]],
            scatter_b: [bb[0][0], bb[1][1]],
            scatter_mb: mb,
            least_m,
        })
    }

    /// The readings' part of U_m and U_b were there `count` seatings like these.
    pub(super) fn parts(&self, count: usize) -> (Covariance, Covariance) {
        let share = 1.0 / count.max(1) as f64;
        let fewer = self.count as f64 * share;
        let part = |scatter: [f64; 2], least: f64| {
            let of = |axis: usize| (scatter[axis] * share).max(self.least_m[axis] * fewer * least);
            [[of(0), 0.0], [0.0, of(1)]]
        };
        (part(self.scatter_m, 1.0), part(self.scatter_b, 0.25))
    }

    /// The readings' part of Cov(m, b).
    pub(super) fn cross(&self) -> Covariance {
        combined(self.scatter_mb, 1.0 / self.count as f64, NONE, 0.0)
    }
}

fn groups(
    confirmation: &Confirmation,
    circumstances: &Circumstances,
) -> Vec<PerChannel<Vec<Direction>>> {
    let seating =
        |channel: Channel, k: usize| circumstances.seating_of[channel].get(k).copied().unwrap_or(0);
    let mut numbered: Vec<(usize, Channel, Direction)> = Vec::new();
    for channel in Channel::BOTH {
        let readings = confirmation.readings[channel].iter().enumerate();
        numbered.extend(readings.map(|(k, reading)| (seating(channel, k), channel, *reading)));
    }
    numbered.sort_by_key(|(seating, ..)| *seating);
    let mut groups: Vec<PerChannel<Vec<Direction>>> = Vec::new();
    let mut open: PerChannel<Vec<Direction>> = PerChannel::default();
    let whole =
        |group: &PerChannel<Vec<Direction>>| !group.left.is_empty() && !group.right.is_empty();
    for chunk in numbered.chunk_by(|a, b| a.0 == b.0) {
        let mut this: PerChannel<Vec<Direction>> = PerChannel::default();
        for (_, channel, reading) in chunk {
            this[*channel].push(*reading);
        }
        match groups.last_mut() {
            Some(last) if !whole(&this) => take_in(last, this),
            _ => {
                take_in(&mut open, this);
                if whole(&open) {
                    groups.push(core::mem::take(&mut open));
                }
            }
        }
    }
    groups
}

fn take_in(group: &mut PerChannel<Vec<Direction>>, more: PerChannel<Vec<Direction>>) {
    group.left.extend(more.left);
    group.right.extend(more.right);
}

fn centre(of: &[Direction]) -> Direction {
    let share = 1.0 / of.len().max(1) as f64;
    of.iter().fold(Direction::BORESIGHT, |sum, each| sum + *each * share)
}
