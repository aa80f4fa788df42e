//! A crossing of a graticule's lines near a place that a hand points at: the mark is put on its centre.

use nalgebra::{Matrix2, Vector2};
use thiserror::Error;

use crate::blocks::Around;
use crate::cross::met;
use crate::crowding;
use crate::path::{Path, median_of};
use crate::picture::{Picture, View, Way};
use crate::saturation;
use crate::shape::Shape;
use crate::trace::{Line, refined};

/// A crossing of two lines of a graticule.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Crossing {
    /// Where, pixels.
    pub px: [f64; 2],
    /// Its covariance xx, xy, yy, pixels² (standard).
    pub covariance_px2: [f64; 3],
}

/// Why no crossing is told near a place. Never a guess: the mark stays where the hand put it.
#[derive(Clone, Copy, Debug, PartialEq, Error)]
pub enum NoCrossing {
    /// Outside the picture, or not a place.
    #[error("that is no place in the picture")]
    OutsidePicture,
    /// A line is not there.
    #[error("no {which} line of the graticule is seen within {within_px:.0} px of it")]
    NoLine {
        /// `upright` or `level`.
        which: &'static str,
        /// How far was looked.
        within_px: f64,
    },
    /// Lines are there and cross elsewhere.
    #[error("the lines near it cross {away_px:.0} px away, and {within_px:.0} px is the most")]
    NotNear {
        /// How far.
        away_px: f64,
        /// The most.
        within_px: f64,
    },
    /// Something shifts a line.
    #[error("something lies along a line of the graticule there and shifts it by {by_px:.1} px")]
    Crowded {
        /// By how much.
        by_px: f64,
    },
    /// The line's pixels are full.
    #[error(
        "{share_percent:.0} % of the line there is as bright as the camera can show; shorten the exposure"
    )]
    Saturated {
        /// Of the pixels in the middle of the lines.
        share_percent: f64,
    },
    /// Noise hides where.
    #[error("the lines there are too faint or too blurred to tell where they cross")]
    TooFaint,
}

/// How far along the lines is looked, each way, pixels.
const HALF_PX: f64 = 40.0;

/// The steepest line looked for, and the step: 24° either way.
const STEEPEST: i32 = 22;
const SLOPE_STEP: f64 = 0.02;

/// Widths that are tried, pixels.
const WIDTHS: [usize; 5] = [1, 2, 4, 7, 11];

/// A line must stand out by as many standard deviations.
const LEAST_Z: f64 = 8.0;

/// A line less high than this share of the highest near the place is none of the graticule's.
const LEAST_SHARE: f64 = 0.35;

/// A line whose place differs by more when told otherwise is not alone, pixels.
const CROWDED_PX: f64 = 0.2;

/// A crossing known no better than this is none, standard uncertainty, pixels.
const LEAST_SURE_PX: f64 = 0.2;

/// The crossing nearest to a place.
///
/// # Method
/// Each way the line nearest to the place is looked for within `within_px` of it by sums along short straight
/// pieces, then measured every 6 pixels up to 40 px to each side as the lines of a crosshair are (see
/// [`read`](crate::read())), without the pixels that the other line covers; where both cross, with the covariance that
/// follows. At a corner of the graticule the arms of one side are enough.
///
/// # Units
/// Pixels; (0, 0) is the centre of the top left one, x right, y down. `dark`: lines are darker than what is round them.
///
/// # Errors
/// [`NoCrossing`], in the user's words.
///
/// # Accuracy
/// Bias below 0.02 px, and an honest covariance, for lines 1 to 6 px wide, 30 px or more apart (`tests/reader`).
///
/// # Source
/// C. Steger, *An unbiased detector of curvilinear structures*, IEEE PAMI 20 (1998) 113.
pub fn crossing_near(
    picture: &Picture<'_>,
    dark: bool,
    near_px: [f64; 2],
    within_px: f64,
) -> Result<Crossing, NoCrossing> {
    let [width, height] = picture.size().map(|side| side as f64);
    let [x, y] = near_px;
    let within_px = if within_px.is_finite() { within_px.clamp(2.0, 60.0) } else { 12.0 };
    let inside = (-0.5..=width - 0.5).contains(&x) && (-0.5..=height - 0.5).contains(&y);
    if !inside {
        return Err(NoCrossing::OutsidePicture);
    }
    let views = Way::BOTH.map(|way| View::new(picture, None, dark, way));
    let look = |place: usize| -> Result<(Line, Vec<Path>), NoCrossing> {
        let way = Way::BOTH[place];
        let which = if way == Way::Flat { "level" } else { "upright" };
        let none = NoCrossing::NoLine { which, within_px };
        let at = way.along_across(near_px);
        let all = candidates(&views[place], at, within_px).ok_or(none)?;
        let (path, shape) = all[0];
        let ends = [at[0] - HALF_PX, at[0] + HALF_PX];
        let line =
            refined(&views[place], way, path, shape, ends, &Around::default()).ok_or(none)?;
        Ok((line, all[1..].iter().map(|(path, _)| *path).collect()))
    };
    let (flat, flat_others) = look(0)?;
    let (upright, upright_others) = look(1)?;
    let around = [around(&flat, &upright, &flat_others), around(&upright, &flat, &upright_others)];
    let again = |place: usize, line: &Line| {
        let [from, to] = line.ends();
        let ends = [from - 8.0, to + 8.0];
        refined(&views[place], line.way, *line.path(), line.shape, ends, &around[place])
            .map(|line| line.with_noise_beside(&views[place], &around[place]))
    };
    let flat = again(0, &flat).ok_or(NoCrossing::TooFaint)?;
    let upright = again(1, &upright).ok_or(NoCrossing::TooFaint)?;
    let px = met(&flat.fitted, &upright.fitted);
    let away_px = (px[0] - x).hypot(px[1] - y);
    // Also where it is not a number.
    let near = away_px <= within_px * core::f64::consts::SQRT_2;
    if !near {
        return Err(NoCrossing::NotNear { away_px, within_px });
    }
    let mut variances = [0.0; 2];
    for (place, line) in [&flat, &upright].into_iter().enumerate() {
        let share = saturation::share(picture, &views[place], line, dark);
        if share > saturation::MOST {
            return Err(NoCrossing::Saturated { share_percent: 100.0 * share });
        }
        let found = crowding::of(line, &crowding::seen(&views[place], line, &around[place]));
        let by_px = found.lopsided_px.max(found.doubled_px);
        if by_px > CROWDED_PX {
            return Err(NoCrossing::Crowded { by_px });
        }
        let extra = [found.lopsided_px, found.by_shape_px];
        variances[place] =
            line.fitted.variance_at(px[place]) + extra.iter().map(|px| px * px).sum::<f64>();
    }
    let slopes = [flat.path().slope(px[0]), upright.path().slope(px[1])];
    let jacobian = Matrix2::new(-slopes[0], 1.0, 1.0, -slopes[1]);
    let inverse = jacobian.try_inverse().ok_or(NoCrossing::TooFaint)?;
    let covariance =
        inverse * Matrix2::from_diagonal(&Vector2::from(variances)) * inverse.transpose();
    let covariance_px2 = [covariance[(0, 0)], covariance[(0, 1)], covariance[(1, 1)]];
    let sure = covariance_px2[0].max(covariance_px2[2]).sqrt() <= LEAST_SURE_PX;
    if sure { Ok(Crossing { px, covariance_px2 }) } else { Err(NoCrossing::TooFaint) }
}

/// What lies on and beside a line: the one that crosses it, and others that run its way.
fn around(line: &Line, crossing: &Line, others: &[Path]) -> Around {
    let at = if line.way == Way::Flat {
        met(&line.fitted, &crossing.fitted)
    } else {
        met(&crossing.fitted, &line.fitted)
    };
    let [along, _] = line.way.along_across(at);
    let side = 3.2 * crossing.shape.sigma_px() + 1.5;
    let [from, to] = line.ends();
    let half = 2.5 * line.shape.sigma_px();
    let beside = others.iter().map(|path| (*path, [from - 8.0, to + 8.0], half));
    Around { crossed: vec![[along - side, along + side]], beside: beside.collect() }
}

/// Lines of one way near a place, the nearest first, with about their shape; `None` where there is none.
fn candidates(view: &View<'_>, at: [f64; 2], within_px: f64) -> Option<Vec<(Path, Shape)>> {
    let wing = 2 * WIDTHS[WIDTHS.len() - 1];
    let within = within_px.ceil() as usize;
    let side = within + wing;
    let count = 2 * side + 1;
    let first = (at[0] - HALF_PX).max(0.0).ceil() as usize;
    let last = ((at[0] + HALF_PX).floor() as usize).min(view.lengths[0].checked_sub(1)?);
    let rows: Vec<usize> = (first..=last).collect();
    let noise = noise(view, &rows, at, side)?;
    // Of each offset the best: z, height, slope, width.
    let mut best = vec![(0.0_f64, 0.0_f64, 0.0_f64, 0_usize); count];
    let mut sums = vec![(0.0_f64, 0.0_f64); count];
    for step in -STEEPEST..=STEEPEST {
        let slope = SLOPE_STEP * f64::from(step);
        sums.fill((0.0, 0.0));
        for along in &rows {
            let centre = (at[1] + slope * (*along as f64 - at[0])).round() - side as f64;
            for (place, (sum, many)) in sums.iter_mut().enumerate() {
                let across = centre + place as f64;
                if across >= 0.0 && across < view.lengths[1] as f64 {
                    *sum += view.at(*along, across as usize);
                    *many += 1.0;
                }
            }
        }
        // Sums from the left, so that any stretch is one difference.
        let mut up_to = vec![(0.0, 0.0); count + 1];
        for (place, (sum, many)) in sums.iter().enumerate() {
            up_to[place + 1] = (up_to[place].0 + sum, up_to[place].1 + many);
        }
        let mean = |from: usize, to: usize| {
            let many = up_to[to].1 - up_to[from].1;
            (many >= 0.5 * rows.len() as f64).then(|| ((up_to[to].0 - up_to[from].0) / many, many))
        };
        for width in WIDTHS {
            for (place, best) in best.iter_mut().enumerate().take(count - wing).skip(wing) {
                let from = place - width / 2;
                let to = from + width;
                let (Some(here), Some(left), Some(right)) =
                    (mean(from, to), mean(from - width, from), mean(to, (to + width).min(count)))
                else {
                    continue;
                };
                let height = here.0 - 0.5 * (left.0 + right.0);
                let variance = 1.0 / here.1 + 0.25 / left.1 + 0.25 / right.1;
                let z = height / (noise * variance.sqrt());
                if z > best.0 {
                    *best = (z, height, slope, width);
                }
            }
        }
    }
    let highest = best.iter().map(|(_, height, ..)| *height).fold(0.0, f64::max);
    let mut found: Vec<(f64, Path, Shape)> = Vec::new();
    for (place, (z, height, slope, width)) in best.iter().enumerate() {
        let near = place.saturating_sub(4)..(place + 5).min(count);
        let top = best[near].iter().all(|(other, ..)| other <= z);
        if *z < LEAST_Z || *height < LEAST_SHARE * highest || !top {
            continue;
        }
        let offset = place as f64 - side as f64 + if width % 2 == 0 { -0.5 } else { 0.0 };
        let path = Path { mid: at[0], c: [at[1] + offset, *slope, 0.0] };
        let shape = Shape::bell((*width as f64 / 2.3548).max(0.6));
        found.push((offset.abs(), path, shape));
    }
    found.sort_by(|a, b| a.0.total_cmp(&b.0));
    let nearest = found.first()?.0;
    (nearest <= within_px)
        .then(|| found.into_iter().map(|(_, path, shape)| (path, shape)).collect())
}

/// The standard deviation of a pixel, by what neighbours across differ: most of them lie on no line.
fn noise(view: &View<'_>, rows: &[usize], at: [f64; 2], side: usize) -> Option<f64> {
    let low = (at[1] - side as f64).max(0.0) as usize;
    let high = ((at[1] + side as f64).max(0.0) as usize).min(view.lengths[1].checked_sub(2)?);
    let mut largest = 0.0_f64;
    let mut steps = Vec::new();
    for along in rows {
        for across in low..=high {
            let (a, b) = (view.at(*along, across), view.at(*along, across + 1));
            largest = largest.max(a.abs());
            steps.push((b - a).abs());
        }
    }
    // 1.4826: a normal distribution's standard deviation from its median absolute deviation; √2: of a difference.
    let told = 1.4826 * median_of(steps.into_iter())? * core::f64::consts::FRAC_1_SQRT_2;
    let noise = told.max(1e-5 * largest).max(f64::MIN_POSITIVE);
    noise.is_finite().then_some(noise)
}
