//! A line from a piece of it: followed both ways, its shape found, its blocks measured.

use crate::blocks::{Around, BLOCK, Block, measured, noise_beside, searched, stacked};
use crate::path::{Fitted, Path, fit, median_of};
use crate::picture::{View, Way};
use crate::shape::{Profile, Shape};

/// Standard deviations of a line's profile that are looked for, pixels.
const SIGMAS_PX: [f64; 2] = [0.4, 9.0];

/// How far to each side a piece is first looked at, pixels.
const FIRST_SIDE: usize = 26;

/// How clearly a block must show the line.
const BLOCK_Z: f64 = 3.5;

/// How clearly all blocks together must.
const LINE_Z: f64 = 12.0;

/// A line that was found.
#[derive(Clone, Debug)]
pub(crate) struct Line {
    pub(crate) way: Way,
    pub(crate) fitted: Fitted,
    pub(crate) shape: Shape,
    /// Blocks that show it, in order.
    pub(crate) blocks: Vec<Block>,
    /// Typical height, and standard deviation of a pixel.
    pub(crate) height: f64,
    pub(crate) noise: f64,
}

impl Line {
    pub(crate) const fn path(&self) -> &Path {
        &self.fitted.path
    }

    /// Its width at half height, square across it.
    pub(crate) fn width_px(&self) -> f64 {
        let slope = self.path().slope(self.path().mid);
        self.shape.width_px() / (1.0 + slope * slope).sqrt()
    }

    /// From its first block's beginning to its last one's end.
    pub(crate) fn ends(&self) -> [f64; 2] {
        let half = 0.5 * BLOCK as f64;
        let first = self.blocks.first().map_or(0.0, |block| block.along - half);
        let last = self.blocks.last().map_or(0.0, |block| block.along + half);
        [first, last]
    }
}

/// Follows a line from the piece `span` of a path; `None` where there is no line after all.
pub(crate) fn traced(view: &View<'_>, way: Way, path: Path, span: [f64; 2]) -> Option<Line> {
    let nothing = Around::default();
    let whole = view.lengths[0];
    let [from, to] = span.map(|end| end.clamp(0.0, whole as f64) as usize);
    let (shift, mut shape) = first_look(view, &path, [from, to])?;
    let mut path = Path { c: [path.c[0] + shift, path.c[1], path.c[2]], ..path };
    let (mut from, mut to) = (from, to);
    let mut search_px = (3.0 + shape.sigma_px()).ceil() as usize + 2;
    let mut shown = 0;
    let mut idle = 0;
    let mut blocks = Vec::new();
    for round in 0..12 {
        let looked = searched(view, &path, [from, to], shape, search_px);
        blocks = shown_by(looked, BLOCK_Z);
        let fitted = fit(&nodes(&blocks, 0.04))?;
        path = fitted.path;
        if round == 0 || idle > 0 {
            let stack = stacked(view, &path, &blocks, (1.5 * shape.reach_px()).min(30.0), &nothing);
            shape = fitted_shape(&stack).unwrap_or(shape);
        }
        search_px = (3.0 + shape.sigma_px()).ceil() as usize;
        idle = if blocks.len() > shown { 0 } else { idle + 1 };
        shown = blocks.len();
        if (from == 0 && to == whole) || idle > 2 {
            break;
        }
        let ends = [blocks.first()?.along, blocks.last()?.along];
        let more = (0.7 * (ends[1] - ends[0])).max(60.0) * f64::from(1 + idle);
        from = ((ends[0] - more).max(0.0) as usize).min(from);
        to = ((ends[1] + more) as usize).min(whole).max(to);
    }
    let stack = stacked(view, &path, &blocks, (1.5 * shape.reach_px()).min(40.0), &nothing);
    let shape = fitted_shape(&stack).unwrap_or(shape);
    let ends = [blocks.first()?.along, blocks.last()?.along];
    let line = refined(view, way, path, shape, [ends[0] - 40.0, ends[1] + 40.0], &nothing)?;
    let z: f64 = line.blocks.iter().map(|block| block.z().powi(2)).sum::<f64>().sqrt();
    (z >= LINE_Z && line.blocks.len() >= 5).then_some(line)
}

/// The line measured again about a path, without what is known to lie on and beside it.
pub(crate) fn refined(
    view: &View<'_>,
    way: Way,
    path: Path,
    shape: Shape,
    ends: [f64; 2],
    around: &Around,
) -> Option<Line> {
    let span = ends.map(|end| end.clamp(0.0, view.lengths[0] as f64) as usize);
    let (mut path, mut shape) = (path, shape);
    let mut last = None;
    for round in 0..4 {
        let blocks = measured(view, &path, span, shape, around);
        let near = 1.0_f64.max(0.9 * shape.sigma_px());
        let near = if round == 0 { 1.5 * near } else { near };
        let close = blocks.into_iter().filter(|block| block.shift.abs() < near).collect();
        let blocks = shown_by(close, 3.0);
        let nodes: Vec<_> = blocks.iter().map(Block::node).collect();
        let fitted = fit(&nodes)?;
        let moved = [0, nodes.len() - 1]
            .map(|place| (fitted.path.at(nodes[place].along) - path.at(nodes[place].along)).abs());
        path = fitted.path;
        if round == 0 {
            let reach = (1.3 * shape.reach_px()).min(40.0);
            shape = fitted_shape(&stacked(view, &path, &blocks, reach, around)).unwrap_or(shape);
        }
        let height = median_of(blocks.iter().map(|block| block.height))?;
        let noise = noise_beside(view, &path, &blocks, shape, around)
            .or_else(|| median_of(blocks.iter().map(|block| block.noise)))?;
        last = Some(Line { way, fitted, shape, blocks, height, noise });
        if round > 0 && moved[0].max(moved[1]) < 0.02 {
            break;
        }
    }
    last
}

fn fitted_shape(stack: &[(f64, f64, f64)]) -> Option<Shape> {
    Profile::of(stack)?.shape(SIGMAS_PX)
}

fn nodes(blocks: &[Block], variance: f64) -> Vec<crate::path::Node> {
    blocks
        .iter()
        .map(|block| crate::path::Node {
            along: block.along,
            across: block.across,
            variance: variance + 4.0 / block.z().powi(2),
        })
        .collect()
}

/// Blocks that show the line: clear enough, about as high as the others, no noisier.
fn shown_by(blocks: Vec<Block>, least_z: f64) -> Vec<Block> {
    let clear: Vec<Block> = blocks.into_iter().filter(|block| block.z() >= least_z).collect();
    let height = median_of(clear.iter().map(|block| block.height)).unwrap_or(0.0);
    let noise = median_of(clear.iter().map(|block| block.noise)).unwrap_or(0.0);
    let alike = |block: &Block| {
        (0.3 * height..=3.0 * height).contains(&block.height)
            && block.noise <= 4.0 * noise + 0.05 * height
    };
    clear.into_iter().filter(alike).collect()
}

/// Where across the line is in its piece, and about what shape.
fn first_look(view: &View<'_>, path: &Path, span: [usize; 2]) -> Option<(f64, Shape)> {
    let mut sums = [(0.0, 0.0); 2 * FIRST_SIDE + 1];
    for along in span[0]..span[1] {
        let centre = path.at(along as f64).round();
        for (place, (sum, count)) in sums.iter_mut().enumerate() {
            let across = centre + place as f64 - FIRST_SIDE as f64;
            if across >= 0.0 && across < view.lengths[1] as f64 {
                *sum += view.at(along, across as usize);
                *count += 1.0;
            }
        }
    }
    let stack: Vec<(f64, f64, f64)> = sums
        .iter()
        .enumerate()
        .filter(|(_, (_, count))| *count > 0.0)
        .map(|(place, (sum, count))| (place as f64 - FIRST_SIDE as f64, sum / count, *count))
        .collect();
    let profile = Profile::of(&stack)?;
    let mut best: Option<(f64, f64, Shape)> = None;
    for sigma in [0.6, 1.0, 1.6, 2.5, 4.0, 6.5, 10.0] {
        let shape = Shape::bell(sigma);
        for shift in -8_i32..=8 {
            let shift = f64::from(shift);
            if let Some((height, gain)) = profile.gained(shift, shape)
                && height > 0.0
                && best.is_none_or(|(most, ..)| gain > most)
            {
                best = Some((gain, shift, shape));
            }
        }
    }
    best.map(|(_, shift, shape)| (shift, shape))
}
