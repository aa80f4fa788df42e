//! Local search: down to a minimum of the worst share, from a pair of places on the circles.
//!
//! Each step minimises a model, the largest of the touching functions' tangents plus half the
//! curvature of their mixture, over a square of steps, by looking at every place where its minimum
//! can be: one function stationary, two equal, three equal, corners and edges of the square. A step that
//! does not go down shrinks the square. At a minimum held by three functions this is Newton's method
//! for their equality; at one held by fewer, Newton's method for the mixture that is stationary.
//! It supplies settings, never bounds.

use nalgebra::{Matrix2, Vector2};

use crate::channel::{Channel, PerChannel};
use crate::circle::OffsetCircle;
use crate::setting::arms::{Arms, points, turned};
use crate::setting::best::Best;
use crate::setting::shares::{Shares, Touch, Wave};

/// Steps of one search: a dozen are usual.
const MOST_STEPS: usize = 60;
/// Functions that a model is made of: those with the largest values.
const MOST_PIECES: usize = 8;
/// The first square of steps, radians to each side.
const FIRST_SQUARE: f64 = 0.4;
/// A smaller step is rest, radians.
const REST: f64 = 1e-15;

/// A touching function along the circles: value, slope and curvature in the two angles.
struct TouchPiece {
    value: f64,
    slope: Vector2<f64>,
    curvature: Matrix2<f64>,
}

impl TouchPiece {
    fn of(touch: &Touch, circles: &PerChannel<OffsetCircle>, arms: &Arms) -> Self {
        let wave = Wave::of(&touch.linear, circles, arms);
        let bend = Vector2::from(Wave::of(&touch.bend, circles, arms).across);
        let mut curvature = bend * bend.transpose();
        curvature[(0, 0)] -= wave.along[0];
        curvature[(1, 1)] -= wave.along[1];
        Self { value: touch.value, slope: Vector2::from(wave.across), curvature }
    }
}

/// Goes down from a pair of places, and offers where it comes to rest.
pub(super) fn descend(
    shares: &Shares<'_>,
    circles: &PerChannel<OffsetCircle>,
    start: Arms,
    best: &mut Best<'_>,
) {
    let mut touches = Vec::with_capacity(16);
    let mut arms = start;
    let mut value = shares.touching(points(circles, &arms), &mut touches);
    let mut square = FIRST_SQUARE;
    let mut curvature = None;
    let mut before = f64::INFINITY;
    for _ in 0..MOST_STEPS {
        touches.sort_by(|a, b| b.value.total_cmp(&a.value));
        touches.truncate(MOST_PIECES);
        let pieces: Vec<TouchPiece> =
            touches.iter().map(|touch| TouchPiece::of(touch, circles, &arms)).collect();
        let Some(first) = pieces.first() else { break };
        let bent = curvature.unwrap_or(first.curvature);
        let Some((step, held)) = model_step(&pieces, &bent, square) else { break };
        curvature = Some(held);
        let size = step.amax();
        let mut ahead = arms;
        for (channel, angle) in [(Channel::Left, step[0]), (Channel::Right, step[1])] {
            let (sin, cos) = angle.sin_cos();
            ahead[channel] = turned(arms[channel], sin, cos);
        }
        let there = shares.touching(points(circles, &ahead), &mut touches);
        // Near rest the descent drowns in rounding: there a step that keeps shrinking is taken.
        let rounding = 8.0 * f64::EPSILON * rounding_scale(circles, value);
        if there < value || (there <= value + rounding && size < 0.5 * before) {
            (arms, value) = (ahead, there);
            square = square.max(2.0 * size);
            before = size;
            if size < REST {
                break;
            }
        } else {
            square = 0.25 * size.min(square);
            if square < REST {
                break;
            }
            shares.touching(points(circles, &arms), &mut touches);
        }
    }
    best.offer(points(circles, &arms));
}

/// What rounding of a share is measured by: the directions it is made of.
fn rounding_scale(circles: &PerChannel<OffsetCircle>, value: f64) -> f64 {
    let reach = |circle: &OffsetCircle| circle.centre.boresight_arcmin() + circle.radius_arcmin;
    reach(&circles.left) + reach(&circles.right) + value
}

/// The lowest place of the model within the square of steps, and the curvature of the mixture that holds
/// it there.
fn model_step(
    pieces: &[TouchPiece],
    bent: &Matrix2<f64>,
    square: f64,
) -> Option<(Vector2<f64>, Matrix2<f64>)> {
    let model = |step: Vector2<f64>| {
        let tangent = pieces
            .iter()
            .map(|piece| piece.value + piece.slope.dot(&step))
            .fold(f64::NEG_INFINITY, f64::max);
        tangent + 0.5 * step.dot(&(bent * step))
    };
    let mut lowest: Option<(f64, Vector2<f64>, Matrix2<f64>)> = None;
    let mut consider = |step: Vector2<f64>, held: &dyn Fn(Vector2<f64>) -> Matrix2<f64>| {
        if step.amax() <= square * (1.0 + 1e-12) {
            let there = model(step);
            if there < lowest.as_ref().map_or(f64::INFINITY, |known| known.0) {
                lowest = Some((there, step, held(step)));
            }
        }
    };
    for (i, a) in pieces.iter().enumerate() {
        if let Some(step) = solved(*bent, -a.slope) {
            consider(step, &|_| a.curvature);
        }
        for (j, b) in pieces.iter().enumerate().skip(i + 1) {
            // a and b are equal along a line of steps.
            let apart = a.slope - b.slope;
            let squares = apart.norm_squared();
            let foot = apart * ((b.value - a.value) / squares);
            let along = Vector2::new(-apart[1], apart[0]);
            let mixed = |step: Vector2<f64>| {
                // The mixture whose slope is least where the step ends.
                let slope = a.slope + bent * step;
                let share = (slope.dot(&apart) / squares).clamp(0.0, 1.0);
                a.curvature * (1.0 - share) + b.curvature * share
            };
            let stiff = along.dot(&(bent * along));
            if stiff > 0.0 {
                let by = -(a.slope + bent * foot).dot(&along) / stiff;
                consider(foot + along * by, &mixed);
            }
            for axis in 0..2 {
                for end in [-square, square] {
                    consider(foot + along * ((end - foot[axis]) / along[axis]), &mixed);
                }
            }
            for c in pieces.iter().skip(j + 1) {
                let (ab, ac) = (b.slope - a.slope, c.slope - a.slope);
                let equal = Matrix2::new(ab[0], ab[1], ac[0], ac[1]);
                let right = Vector2::new(a.value - b.value, a.value - c.value);
                if let Some(step) = solved(equal, right) {
                    let held = |step: Vector2<f64>| {
                        let slopes = equal.transpose();
                        let shares = solved(slopes, -(a.slope + bent * step)).unwrap_or_default();
                        let [p, q] = [shares[0], shares[1]].map(|share| share.clamp(0.0, 1.0));
                        a.curvature * (1.0 - p - q).max(0.0) + b.curvature * p + c.curvature * q
                    };
                    consider(step, &held);
                }
            }
        }
    }
    if let Some(first) = pieces.first() {
        for (x, y) in [(-square, -square), (-square, square), (square, -square), (square, square)] {
            consider(Vector2::new(x, y), &|_| first.curvature);
        }
    }
    lowest.map(|(_, step, held)| (step, held))
}

fn solved(matrix: Matrix2<f64>, right: Vector2<f64>) -> Option<Vector2<f64>> {
    let determinant = matrix.determinant();
    let solved = Vector2::new(
        matrix[(1, 1)] * right[0] - matrix[(0, 1)] * right[1],
        matrix[(0, 0)] * right[1] - matrix[(1, 0)] * right[0],
    ) / determinant;
    (solved[0].is_finite() && solved[1].is_finite()).then_some(solved)
}
