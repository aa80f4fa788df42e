//! A line block by block: a few pixels along it, its profile across, and where in that the line is.

use core::ops::Range;

use crate::normal::{Rows, Sums};
use crate::path::{Node, Path, median_of};
use crate::picture::View;
use crate::shape::Shape;
use crate::sums::product;

/// Pixels of a block along the line.
pub(crate) const BLOCK: usize = 6;

/// What is found of a line in a block.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Block {
    /// Its middle.
    pub(crate) along: f64,
    /// Where the line is across.
    pub(crate) across: f64,
    /// How far that is from where it was looked for.
    pub(crate) shift: f64,
    /// Variance of across.
    pub(crate) variance: f64,
    /// The line's height over its surroundings, and its standard deviation.
    pub(crate) height: f64,
    pub(crate) height_sd: f64,
    /// Standard deviation of a pixel.
    pub(crate) noise: f64,
}

impl Block {
    pub(crate) const fn node(&self) -> Node {
        Node { along: self.along, across: self.across, variance: self.variance }
    }

    /// How clearly there is a line.
    pub(crate) fn z(&self) -> f64 {
        self.height / self.height_sd
    }
}

/// What else is known to lie on and beside a line.
#[derive(Clone, Debug, Default)]
pub(crate) struct Around {
    /// Pieces along it, from and to, where other lines cross.
    pub(crate) crossed: Vec<[f64; 2]>,
    /// Lines that run the same way: their path, from and to along it, and half of what they cover.
    pub(crate) beside: Vec<(Path, [f64; 2], f64)>,
}

impl Around {
    /// Whether a row of the profile is left out: it would hold something else.
    fn hides(&self, along: f64, centre: f64, reach: f64) -> bool {
        self.crossed.iter().any(|[from, to]| (*from..=*to).contains(&along))
            || self.beside.iter().any(|(path, [from, to], half)| {
                (*from..=*to).contains(&along) && (path.at(along) - centre).abs() < reach + half
            })
    }
}

/// Looks for the line within `search_px` of a path, in whole pixels and a parabola between them.
pub(crate) fn searched(
    view: &View<'_>,
    path: &Path,
    span: [usize; 2],
    shape: Shape,
    search_px: usize,
) -> Vec<Block> {
    let reach = shape.reach_px().ceil() as usize;
    let side = reach + search_px;
    let kernel = kernel(shape, reach);
    let gain: f64 = kernel.iter().map(|value| value * value).sum::<f64>().sqrt();
    let drawn = shape.drawn();
    let heights: Vec<f64> =
        (0..=2 * reach).map(|place| drawn.height(place as f64 - reach as f64)).collect();
    let mut sums = vec![0.0; 2 * side + 1];
    let mut row = sums.clone();
    let (mut heights_at, mut left) = (Vec::new(), Vec::new());
    let mut found = Vec::new();
    let mut from = span[0];
    while from < span[1] {
        let to = (from + BLOCK).min(span[1]);
        let middle = 0.5 * (from + to - 1) as f64;
        sums.fill(0.0);
        let mut rows = 0.0;
        for along in from..to {
            let centre = path.at(along as f64).round();
            if centre < side as f64 || centre + side as f64 >= view.lengths[1] as f64 {
                continue;
            }
            view.fill(along, centre as usize - side, &mut row);
            for (sum, value) in sums.iter_mut().zip(&row) {
                *sum += value;
            }
            rows += 1.0;
        }
        from = to;
        if rows < 3.0 {
            continue;
        }
        let height = |shift: usize| -> f64 { product(&sums[shift..], &kernel) / rows };
        heights_at.clear();
        heights_at.extend((0..=2 * search_px).map(height));
        let Some((best, _)) = heights_at.iter().enumerate().max_by(|a, b| a.1.total_cmp(b.1))
        else {
            continue;
        };
        if best == 0 || best == 2 * search_px {
            continue;
        }
        let [before, here, after] = [heights_at[best - 1], heights_at[best], heights_at[best + 1]];
        let bend = before - 2.0 * here + after;
        let between = if bend < 0.0 { 0.5 * (before - after) / bend } else { 0.0 };
        let shift = best as f64 - search_px as f64 + between.clamp(-0.5, 0.5);
        let noise =
            rest(&sums[best..=best + 2 * reach], &heights, here * rows, &mut left) / rows.sqrt();
        found.push(Block {
            along: middle,
            across: path.at(middle) + shift,
            shift,
            variance: 1.0,
            height: here,
            height_sd: (noise * gain / rows.sqrt()).max(f64::MIN_POSITIVE),
            noise,
        });
    }
    found
}

/// What the height of the shape is on a level and a slope, as a sum over whole pixels.
fn kernel(shape: Shape, reach: usize) -> Vec<f64> {
    let place = |index: usize| index as f64 - reach as f64;
    let count = 2 * reach + 1;
    let heights: Vec<f64> = (0..count).map(|index| shape.height(place(index))).collect();
    let mean = heights.iter().sum::<f64>() / count as f64;
    // Even in d: a slope leaves nothing by itself.
    let own: f64 = heights.iter().map(|height| height * (height - mean)).sum();
    heights.iter().map(|height| (height - mean) / own.max(1e-12)).collect()
}

/// The standard deviation of what a level, a slope and the shape leave; `left`: room for what the shape leaves.
fn rest(values: &[f64], heights: &[f64], height: f64, left: &mut Vec<f64>) -> f64 {
    let n = values.len() as f64;
    let middle = 0.5 * (n - 1.0);
    left.clear();
    left.extend(values.iter().zip(heights).map(|(value, of)| value - height * of));
    let ds = || (0_i32..).map(|place| f64::from(place) - middle);
    let (mut s1, mut sd, mut dd) = (0.0, 0.0, 0.0);
    for (y, d) in left.iter().zip(ds()) {
        s1 += y;
        sd += y * d;
        dd += d * d;
    }
    let (level, slope) = (s1 / n, sd / dd.max(1e-12));
    let squares: f64 = left.iter().zip(ds()).map(|(y, d)| (y - level - slope * d).powi(2)).sum();
    (squares / (n - 3.0).max(1.0)).sqrt()
}

/// Each block by least squares: level, slope, bend, height and place of the shape at once.
///
/// The place is the zero of the profile's derivative once what differs between its sides is accounted for.
///
/// # Source
/// C. Steger, *An unbiased detector of curvilinear structures*, IEEE PAMI 20 (1998) 113: the line's centre
/// by the zero of its smoothed derivative, less the bias that unequal sides give.
pub(crate) fn measured(
    view: &View<'_>,
    path: &Path,
    span: [usize; 2],
    shape: Shape,
    around: &Around,
) -> Vec<Block> {
    let mut across = Rows::of(shape);
    let reach = across.reach_px();
    let last = view.lengths[1] as f64 - 1.0;
    let mut found = Vec::new();
    let mut from = span[0];
    while from < span[1] {
        let to = (from + BLOCK).min(span[1]);
        let (mut rows, mut alongs) = (0.0, 0.0);
        let mut sums = Sums::default();
        let mut base = None;
        for along in from..to {
            let place = along as f64;
            let centre = path.at(place);
            let (low, high) = ((centre - reach).ceil(), (centre + reach).floor());
            if low < 0.0 || high > last || around.hides(place, centre, reach) {
                continue;
            }
            rows += 1.0;
            alongs += place;
            let count = (high - low) as usize + 1;
            let row = across.values(count);
            view.fill(along, low as usize, row);
            let base = *base.get_or_insert(row.first().copied().unwrap_or(0.0));
            sums.add(&mut across, count, low - centre, base);
        }
        let (normal, right, squares, count) = sums.whole();
        from = to;
        if rows < 2.0 || count < 10.0 {
            continue;
        }
        let Some(inverse) = normal.cholesky().map(|factors| factors.inverse()) else { continue };
        let found_here = inverse * right;
        let (height, moved) = (found_here[3], found_here[4]);
        let left = (squares - found_here.dot(&right)).max(0.0);
        let noise = (left / (count - 5.0)).sqrt();
        // The shape moved by δ is T(d) − δ T′(d).
        let shift = -moved / height;
        let middle = alongs / rows;
        let variance = noise
            * noise
            * (inverse[(4, 4)] + 2.0 * shift * inverse[(3, 4)] + shift * shift * inverse[(3, 3)])
            / (height * height);
        if !(shift.is_finite() && variance.is_finite()) {
            continue;
        }
        found.push(Block {
            along: middle,
            across: path.at(middle) + shift,
            shift,
            // Pictures without noise are known no better than their numbers are rounded.
            variance: variance.max(1e-8),
            height,
            height_sd: (noise * inverse[(3, 3)].max(0.0).sqrt()).max(f64::MIN_POSITIVE),
            noise,
        });
    }
    found
}

/// A line's profile row by row, wherever blocks show it.
pub(crate) struct Seen {
    reach_px: f64,
    /// Of each row how far its first pixel is from the line, and which values are its.
    rows: Vec<(f64, Range<usize>)>,
    /// Values less the mean of their row.
    values: Vec<f64>,
    /// Of each block its first row, and where the last one's end.
    blocks: Vec<usize>,
}

impl Seen {
    pub(crate) fn along(
        view: &View<'_>,
        path: &Path,
        blocks: &[Block],
        reach_px: f64,
        around: &Around,
    ) -> Self {
        // One more than there can be: what is rounded may fall on both ends.
        let most = (2.0 * reach_px) as usize + 2;
        let mut rows = Vec::with_capacity(blocks.len() * BLOCK);
        let mut values = vec![0.0; blocks.len() * BLOCK * most];
        let mut of_blocks = Vec::with_capacity(blocks.len() + 1);
        let last = view.lengths[1] as f64 - 1.0;
        let mut from = 0;
        for block in blocks {
            of_blocks.push(rows.len());
            let first = (block.along - 0.5 * BLOCK as f64).max(0.0).ceil() as usize;
            for along in first..(first + BLOCK).min(view.lengths[0]) {
                let centre = path.at(along as f64);
                let (low, high) = ((centre - reach_px).ceil(), (centre + reach_px).floor());
                if low < 0.0 || high > last || around.hides(along as f64, centre, reach_px) {
                    continue;
                }
                let to = from + (high - low) as usize + 1;
                let row = &mut values[from..to];
                view.fill(along, low as usize, row);
                let mean = row.iter().sum::<f64>() / row.len() as f64;
                row.iter_mut().for_each(|value| *value -= mean);
                rows.push((low - centre, from..to));
                from = to;
            }
        }
        of_blocks.push(rows.len());
        Self { reach_px, rows, values, blocks: of_blocks }
    }

    pub(crate) const fn reach_px(&self) -> f64 {
        self.reach_px
    }

    /// The profile of some blocks laid over one another: distance, value less the mean of its row, how many pixels.
    pub(crate) fn stacked(&self, blocks: Range<usize>) -> Vec<(f64, f64, f64)> {
        // Two bins a pixel: from pixel to pixel every second one, so that a row fills those of one kind in order.
        const KINDS: usize = 2;
        let bins = (2.0 * self.reach_px * KINDS as f64).ceil() as usize + 1;
        // Of each kind sums of distances, of values and of pixels.
        let width = bins.div_ceil(KINDS) + 1;
        let mut sums = vec![0.0; KINDS * 3 * width];
        for (near, values) in &self.rows[self.blocks[blocks.start]..self.blocks[blocks.end]] {
            let bin = ((near + self.reach_px) * KINDS as f64) as usize;
            let (kind, from) = (bin % KINDS, bin / KINDS);
            let (ds, rest) = sums[kind * 3 * width..][..3 * width].split_at_mut(width);
            let (sums, counts) = rest.split_at_mut(width);
            let sums = ds[from..].iter_mut().zip(&mut sums[from..]).zip(&mut counts[from..]);
            for ((((ds, sum), count), value), place) in
                sums.zip(&self.values[values.clone()]).zip(0_i32..)
            {
                *ds += near + f64::from(place);
                *sum += value;
                *count += 1.0;
            }
        }
        let sums = (0..bins).map(|bin| {
            let from = bin % KINDS * 3 * width + bin / KINDS;
            [sums[from], sums[from + width], sums[from + 2 * width]]
        });
        let filled = sums.filter(|[.., count]| *count > 0.0);
        filled.map(|[ds, values, count]| (ds / count, values / count, count)).collect()
    }
}

/// The line's profile, all blocks that show it laid over one another: distance, value less the mean of its
/// row, how many pixels.
pub(crate) fn stacked(
    view: &View<'_>,
    path: &Path,
    blocks: &[Block],
    reach_px: f64,
    around: &Around,
) -> Vec<(f64, f64, f64)> {
    Seen::along(view, path, blocks, reach_px, around).stacked(0..blocks.len())
}

/// The standard deviation of a pixel beside the line: of each block and side about its mean, the median.
pub(crate) fn noise_beside(
    view: &View<'_>,
    path: &Path,
    blocks: &[Block],
    shape: Shape,
    around: &Around,
) -> Option<f64> {
    let reach = shape.reach_px();
    let from_px = (2.8 * shape.sigma_px()).min(reach - 1.5);
    let last = view.lengths[1] as f64 - 1.0;
    let mut found = Vec::new();
    let mut row = Vec::new();
    for block in blocks {
        let first = (block.along - 0.5 * BLOCK as f64).max(0.0).ceil() as usize;
        let mut sides = [(0.0, 0.0, 0.0); 2];
        for along in first..(first + BLOCK).min(view.lengths[0]) {
            let centre = path.at(along as f64);
            let (low, high) = ((centre - reach).ceil(), (centre + reach).floor());
            if low < 0.0 || high > last || around.hides(along as f64, centre, reach) {
                continue;
            }
            row.resize((high - low) as usize + 1, 0.0);
            view.fill(along, low as usize, &mut row);
            for (place, value) in row.iter().enumerate() {
                let d = low - centre + place as f64;
                if d.abs() < from_px {
                    continue;
                }
                let (count, mean, squares) = &mut sides[usize::from(d > 0.0)];
                // Welford's way.
                *count += 1.0;
                let off = value - *mean;
                *mean += off / *count;
                *squares += off * (value - *mean);
            }
        }
        let each = sides.iter().filter(|(count, ..)| *count > 4.0);
        found.extend(each.map(|(count, _, squares)| (squares / (count - 1.0)).sqrt()));
    }
    median_of(found.into_iter())
}
