//! Which lines make a crosshair, where they cross, and how well that is known.

use nalgebra::{Matrix2, Vector2};

use crate::alike;
use crate::blocks::{Around, BLOCK, Block};
use crate::crowding::{self, Crowding};
use crate::looking::Looking;
use crate::matching::{self, Pair};
use crate::path::{Fitted, Node, fit};
use crate::picture::{Picture, View, Way};
use crate::refusal::Refusal;
use crate::saturation;
use crate::second;
use crate::trace::{Line, refined};

/// A crosshair in a picture.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Crosshair {
    /// Where its lines cross, pixels.
    pub px: [f64; 2],
    /// Its covariance xx, xy, yy, pixels² (standard).
    pub covariance_px2: [f64; 3],
    /// How far it is turned, degrees, counter-clockwise positive as the picture is seen.
    pub roll_deg: f64,
    /// The height of its lines over their surroundings, over the standard deviation of a pixel; of both lines
    /// the smaller.
    pub contrast_to_noise: f64,
    /// How wide its lines are at half height, pixels; of both the larger.
    pub width_px: f64,
}

/// The least length of an arm, pixels.
pub(crate) const LEAST_ARM_PX: f64 = 30.0;

/// Wider lines are too blurred, pixels at half height: 12 px wide ones, and some blur.
const WIDEST_PX: f64 = 15.0;

/// A line less high than this share of the highest is no line of a crosshair.
const LEAST_SHARE: f64 = 0.3;

/// A place known no better than this is too faint to tell, standard uncertainty, pixels.
const LEAST_SURE_PX: f64 = 0.2;

/// A line whose place differs by more than this when told from its middle alone, or its width along it, is
/// not alone, pixels.
const CROWDED_PX: f64 = 0.2;

/// The most a crosshair's lines may be off square, degrees.
const OFF_SQUARE_DEG: f64 = 8.0;

/// What is wrong with a pair of lines.
enum NoPair {
    /// An arm has no room.
    Cut([f64; 2]),
    /// An arm is not seen, or they are not square to each other.
    NoCross,
}

/// The crosshairs that flat and upright lines make.
pub(crate) fn crosshairs(
    picture: &Picture<'_>,
    views: &[View<'_>; 2],
    lines: [Vec<Line>; 2],
    looking: &Looking,
    faint: bool,
) -> Result<Vec<Crosshair>, Refusal> {
    let count = lines.iter().map(Vec::len).sum::<usize>();
    let unread = |otherwise| if faint { Refusal::TooFaint } else { otherwise };
    if count == 0 {
        return Err(unread(Refusal::NoneFound));
    }
    // What is wider than any line may be stray light; if nothing else makes a crosshair, it may be blurred.
    let [sharp, wide] = apart(lines);
    let blurred = !wide.iter().any(Vec::is_empty);
    let width_px = wide.iter().flatten().map(Line::width_px).fold(0.0, f64::max);
    let lines = sharp;
    if blurred && lines.iter().any(Vec::is_empty) {
        return Err(Refusal::TooBlurred { width_px, most_px: WIDEST_PX });
    }
    let highest = lines.iter().flatten().map(|line| line.height).fold(0.0, f64::max);
    let [flat, upright] = kept(&lines, highest)?;
    // Each line measured again, without what all lines of the other way cover.
    let again = |of: &[&Line], place: usize| -> Vec<Line> {
        of.iter().filter_map(|line| without(line, &views[place], &lines)).collect()
    };
    let (flat, upright) = (again(&flat, 0), again(&upright, 1));
    let mut pairs = Vec::new();
    let mut cut = None;
    for (h, one) in flat.iter().enumerate() {
        for (v, other) in upright.iter().enumerate() {
            match paired(one, other, picture.size()) {
                Ok(cost) => pairs.push(Pair { flat: h, upright: v, cost }),
                Err(NoPair::Cut(px)) => cut = Some(px),
                Err(NoPair::NoCross) => {}
            }
        }
    }
    if pairs.is_empty() {
        return Err(match cut {
            Some([x_px, y_px]) => Refusal::Cut { x_px, y_px, least_px: LEAST_ARM_PX },
            None if blurred => Refusal::TooBlurred { width_px, most_px: WIDEST_PX },
            None => unread(Refusal::NoCross { lines: count }),
        });
    }
    let ambiguous = Refusal::Ambiguous { flat: flat.len(), upright: upright.len() };
    let chosen = matching::chosen(&pairs).ok_or(ambiguous)?;
    let mut found = Vec::new();
    for pair in chosen {
        let two = [&flat[pair.flat], &upright[pair.upright]];
        found.push(crossing(picture, views, two, &lines, looking)?);
    }
    found.sort_by(|a, b| b.contrast_to_noise.total_cmp(&a.contrast_to_noise));
    Ok(found)
}

/// Lines that may be a crosshair's, and those that are too wide.
fn apart(lines: [Vec<Line>; 2]) -> [[Vec<Line>; 2]; 2] {
    let mut sharp = [Vec::new(), Vec::new()];
    let mut wide = [Vec::new(), Vec::new()];
    for (place, of) in lines.into_iter().enumerate() {
        for line in of {
            let to = if line.width_px() > WIDEST_PX { &mut wide } else { &mut sharp };
            to[place].push(line);
        }
    }
    [sharp, wide]
}

/// Of each way the lines that stand out: one or two, or it cannot be told which are meant.
fn kept(lines: &[Vec<Line>; 2], highest: f64) -> Result<[Vec<&Line>; 2], Refusal> {
    let mut kept = [Vec::new(), Vec::new()];
    for (of, kept) in lines.iter().zip(&mut kept) {
        let mut high: Vec<&Line> =
            of.iter().filter(|line| line.height >= LEAST_SHARE * highest).collect();
        high.sort_by(|a, b| b.height.total_cmp(&a.height));
        if high.len() > 2 {
            let falls = |place: usize| high[place].height < 0.5 * high[place - 1].height;
            let Some(place) = (1..=2).find(|place| falls(*place)) else {
                let [flat, upright] = [0, 1].map(|way| lines[way].len());
                return Err(Refusal::Ambiguous { flat, upright });
            };
            high.truncate(place);
        }
        *kept = high;
    }
    Ok(kept)
}

/// What lies on and beside a line: all other lines of both ways.
fn around(line: &Line, lines: &[Vec<Line>; 2]) -> Around {
    let [alike, others] = if line.way == Way::Flat { [0, 1] } else { [1, 0] };
    let crossed = lines[others].iter().map(|other| {
        let [along, _] = line.way.along_across(meeting(line, other));
        let side = 3.2 * other.shape.sigma_px() + 1.5;
        [along - side, along + side]
    });
    // The line itself is the one that lies on it.
    let [from, to] = line.ends();
    let middle = 0.5 * (from + to);
    let own = |other: &&Line| {
        let off = (other.path().at(middle) - line.path().at(middle)).abs();
        other.blocks.len() == line.blocks.len() && off < 1e-9
            || off < 0.5 && other.ends()[0] < middle && other.ends()[1] > middle
    };
    let beside = lines[alike].iter().filter(|other| !own(other)).map(|other| {
        let [from, to] = other.ends();
        (*other.path(), [from - 8.0, to + 8.0], 2.5 * other.shape.sigma_px())
    });
    Around { crossed: crossed.collect(), beside: beside.collect() }
}

fn without(line: &Line, view: &View<'_>, lines: &[Vec<Line>; 2]) -> Option<Line> {
    let ends = line.ends();
    let around = around(line, lines);
    let span = [ends[0] - 8.0, ends[1] + 8.0];
    let again = refined(view, line.way, *line.path(), line.shape, span, &around)?;
    Some(again.with_noise_beside(view, &around))
}

/// Where two lines cross, roughly or, of their final fits, exactly: (x, y).
fn meeting(one: &Line, other: &Line) -> [f64; 2] {
    let (flat, upright) = if one.way == Way::Flat { (one, other) } else { (other, one) };
    met(&flat.fitted, &upright.fitted)
}

/// y = f(x), x = g(y), by repetition: slopes are below ½, so it closes in.
pub(crate) fn met(flat: &Fitted, upright: &Fitted) -> [f64; 2] {
    let (mut x, mut y) = (upright.path.c[0], flat.path.c[0]);
    for _ in 0..60 {
        let next = flat.path.at(x);
        let moved = (next - y).abs();
        (x, y) = (upright.path.at(next), next);
        if moved < 1e-10 {
            break;
        }
    }
    [x, y]
}

/// Whether two lines are the lines of a crosshair, and how unlike one they look.
fn paired(flat: &Line, upright: &Line, size: [usize; 2]) -> Result<f64, NoPair> {
    let at = meeting(flat, upright);
    if !at.iter().all(|value| value.is_finite()) {
        return Err(NoPair::NoCross);
    }
    let slopes = [flat.path().slope(at[0]), upright.path().slope(at[1])];
    let off_square_deg = (slopes[0].atan() + slopes[1].atan()).to_degrees();
    if off_square_deg.abs() > OFF_SQUARE_DEG {
        return Err(NoPair::NoCross);
    }
    let mut lopsided = 0.0;
    let mut near = true;
    let mut seen = 0;
    let mut cut = false;
    for (line, place) in [(flat, 0), (upright, 1)] {
        let along = at[place];
        let whole = size[place] as f64;
        let mut lengths = [0.0; 2];
        for (side, length) in lengths.iter_mut().enumerate() {
            let room = if side == 0 { along } else { whole - 1.0 - along };
            let arm = arm(line, along, side == 0);
            seen += usize::from(arm.is_some());
            cut |= room < LEAST_ARM_PX || arm.is_none() && room < 2.0 * LEAST_ARM_PX;
            *length = arm.unwrap_or(0.0);
            // An arm that is there at all begins within reach of the crossing.
            near &= arm.is_some() || room < 2.0 * LEAST_ARM_PX;
        }
        let touches = [lengths[0] > along - 20.0, lengths[1] > whole - along - 20.0];
        if !touches[0] && !touches[1] {
            let unlike = (lengths[1] - lengths[0]) / (lengths[0] + lengths[1]).max(1.0);
            lopsided += (unlike / 0.12).powi(2).min(16.0);
        }
    }
    if cut && near && seen >= 2 {
        return Err(NoPair::Cut(at));
    }
    if seen < 4 {
        return Err(NoPair::NoCross);
    }
    let unlike = |a: f64, b: f64, usual: f64| ((a / b).ln() / usual).powi(2).min(25.0);
    Ok(lopsided
        + unlike(flat.height, upright.height, 0.15)
        + unlike(flat.width_px(), upright.width_px(), 0.2)
        + (off_square_deg / 0.6).powi(2).min(25.0))
}

/// How long an arm of a line is from a place; `None` where it is not seen.
fn arm(line: &Line, along: f64, before: bool) -> Option<f64> {
    /// The middle may be missing, pixels.
    const MIDDLE_PX: f64 = 60.0;
    let mut away: Vec<f64> = line
        .blocks
        .iter()
        .map(|block| if before { along - block.along } else { block.along - along })
        .filter(|away| *away > 0.0)
        .collect();
    away.sort_by(f64::total_cmp);
    let first = away.first().copied().filter(|first| *first <= MIDDLE_PX)?;
    let close: Vec<f64> = away.iter().copied().filter(|px| *px <= first + 90.0).collect();
    let last = close.last().copied()?;
    let wanted = 0.4 * ((last - first) / BLOCK as f64 + 1.0);
    let seen = close.len() >= 2 && close.len() as f64 >= wanted;
    let end = away.last().copied().unwrap_or(last) + 0.5 * BLOCK as f64;
    seen.then_some(end)
}

/// The line's places in the camera's picture without its lens's distortion, where that is known.
fn straight_nodes(line: &Line, looking: &Looking) -> Vec<Node> {
    let straight = |block: &Block| {
        let Some(radial) = looking.radial else { return block.node() };
        let straight = radial.straight_from_px(line.way.px(block.along, block.across));
        let [along, across] = line.way.along_across(straight);
        Node { along, across, variance: block.variance }
    };
    line.blocks.iter().map(straight).collect()
}

/// The line's fit in the camera's picture without its lens's distortion.
fn straightened(line: &Line, looking: &Looking) -> Option<Fitted> {
    if looking.radial.is_none() { Some(line.fitted) } else { fit(&straight_nodes(line, looking)) }
}

/// By how much a line is seen moved at a place along the one that crosses it, and the variance of that: half
/// of it may be the lines' own.
fn leaning(across: &Line, line: &Line, along: f64) -> (f64, f64) {
    let nodes: Vec<Node> = across
        .blocks
        .iter()
        .map(|block| Node {
            along: block.along,
            across: block.height.max(f64::MIN_POSITIVE).ln(),
            variance: block.z().powi(-2).max(1e-8),
        })
        .collect();
    let Some(heights) = fit(&nodes) else { return (0.0, 0.0) };
    let moved = line.shape.sigma_px().powi(2);
    // No light falls off faster than by a two-hundredth a pixel over a whole crosshair.
    let pull = moved * heights.path.slope(along).clamp(-0.005, 0.005);
    let variance = moved * moved * heights.covariance[(1, 1)] + 0.25 * pull * pull;
    (pull, variance)
}

/// Where two lines cross, with its covariance.
fn crossing(
    picture: &Picture<'_>,
    views: &[View<'_>; 2],
    [flat, upright]: [&Line; 2],
    lines: &[Vec<Line>; 2],
    looking: &Looking,
) -> Result<Crosshair, Refusal> {
    let mut extra = [0.0; 2];
    for (line, place) in [(flat, 0), (upright, 1)] {
        let share = saturation::share(picture, &views[place], line, looking.dark);
        if share > saturation::MOST {
            return Err(Refusal::Saturated { share_percent: 100.0 * share });
        }
        let around = around(line, lines);
        let seen = crowding::seen(&views[place], line, &around);
        let Crowding { lopsided_px, by_bend_px, by_shape_px, uneven_px, doubled_px } =
            crowding::of(line, &seen);
        let by_px = lopsided_px.max(uneven_px).max(doubled_px);
        if by_px > CROWDED_PX {
            return Err(Refusal::Crowded { by_px });
        }
        if let Some(beside_px) = second::beside_px(&views[place], line, &around) {
            return Err(Refusal::Doubled { beside_px });
        }
        let nodes = straight_nodes(line, looking);
        let size = picture.size();
        alike::along(line, &seen, &nodes, size).map_err(|how| Refusal::Unlike { how })?;
        extra[place] =
            [lopsided_px, by_bend_px, by_shape_px, uneven_px].iter().map(|px| px * px).sum::<f64>();
    }
    alike::both(flat, upright).map_err(|how| Refusal::Unlike { how })?;
    let fits = [straightened(flat, looking), straightened(upright, looking)];
    let [Some(h), Some(v)] = fits else { return Err(Refusal::TooFaint) };
    let straight = met(&h, &v);
    let slopes = [h.path.slope(straight[0]), v.path.slope(straight[1])];
    let variances = [h.variance_at(straight[0]) + extra[0], v.variance_at(straight[1]) + extra[1]];
    // A line that is brighter on one side is seen moved that way: by its variance times the slope of the
    // logarithm of its height, which the other line shows as it runs across.
    let pulls = [leaning(upright, flat, straight[1]), leaning(flat, upright, straight[0])];
    let variances = [variances[0] + pulls[0].1, variances[1] + pulls[1].1];
    // y − h(x) = 0 and x − v(y) = 0, in x and y.
    let jacobian = Matrix2::new(-slopes[0], 1.0, 1.0, -slopes[1]);
    let inverse = jacobian.try_inverse().ok_or(Refusal::TooFaint)?;
    let own = Matrix2::from_diagonal(&Vector2::from(variances));
    let mut covariance = inverse * own * inverse.transpose();
    let mut px = [straight[0] - pulls[1].0, straight[1] - pulls[0].0];
    if let Some(radial) = looking.radial {
        px = radial.px_from_straight(px).ok_or(Refusal::NoneFound)?;
        let back = radial.derivative(px).try_inverse().ok_or(Refusal::NoneFound)?;
        covariance = back * covariance * back.transpose();
    }
    let covariance_px2 = [covariance[(0, 0)], covariance[(0, 1)], covariance[(1, 1)]];
    let least_sure = covariance_px2[0].max(covariance_px2[2]).sqrt();
    // Also where it is not a number.
    let sure = least_sure <= LEAST_SURE_PX;
    if !sure {
        return Err(Refusal::TooFaint);
    }
    let noise = |line: &Line| line.height / line.noise.max(1e-6 * line.height);
    Ok(Crosshair {
        px,
        covariance_px2,
        roll_deg: 0.5 * (slopes[1].atan() - slopes[0].atan()).to_degrees(),
        contrast_to_noise: noise(flat).min(noise(upright)),
        width_px: flat.width_px().max(upright.width_px()),
    })
}
