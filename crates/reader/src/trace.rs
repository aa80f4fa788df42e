//! A line from a piece of it: followed both ways, its shape found, its blocks measured.

use crate::blocks::{Around, BLOCK, Block, measured, noise_beside, searched, stacked};
use crate::path::{Fitted, Path, fit, median_of};
use crate::picture::{View, Way};
use crate::shape::{Profile, Shape};

/// Standard deviations of a line's profile that are looked for, pixels.
const SIGMAS_PX: [f64; 2] = [0.4, 9.0];

/// How far to each side a piece is first looked at, pixels.
const FIRST_SIDE: usize = 26;

/// How clearly it must stand out there, standard deviations.
const FIRST_Z: f64 = 15.0;

/// A path that moved by less than this, pixels, and a shape that widened by less than this share, would show the same.
const SAME_PX: f64 = 0.5;
const SAME_SHAPE: f64 = 0.05;

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

    /// The same with the noise that is beside it rather than what its blocks leave over.
    pub(crate) fn with_noise_beside(self, view: &View<'_>, around: &Around) -> Self {
        let noise = noise_beside(view, self.path(), &self.blocks, self.shape, around);
        Self { noise: noise.unwrap_or(self.noise), ..self }
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

    /// Whether a path runs where it does, to so many pixels at both ends, and mostly along it.
    fn is_at(&self, path: &Path, ends: [f64; 2], most_px: f64) -> bool {
        let own = self.ends();
        let shared = ends[1].min(own[1]) - ends[0].max(own[0]);
        let off = ends.map(|end| (path.at(end) - self.path().at(end)).abs());
        off[0].max(off[1]) < most_px && shared > 0.5 * (ends[1] - ends[0])
    }
}

/// Why a piece leads to no line.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum NoLine {
    /// There is none after all.
    Nothing,
    /// It is one of those that are known already.
    Known,
}

/// Follows a line from the piece `span` of a path that stands out by `z` standard deviations.
pub(crate) fn traced(
    view: &View<'_>,
    way: Way,
    path: Path,
    span: [f64; 2],
    z: f64,
    known: &[Line],
) -> Result<Line, NoLine> {
    let nothing = Around::default();
    let whole = view.lengths[0];
    let [from, to] = span.map(|end| end.clamp(0.0, whole as f64) as usize);
    let (shift, mut shape) =
        first_look(view, &path, [from, to], rows_that_tell(z)).ok_or(NoLine::Nothing)?;
    let mut path = Path { c: [path.c[0] + shift, path.c[1], path.c[2]], ..path };
    let (mut from, mut to) = (from, to);
    let mut search_px = (3.0 + shape.sigma_px()).ceil() as usize + 2;
    let mut shown = 0;
    let mut idle = 0;
    let mut blocks = Vec::new();
    let mut looked = Looked::default();
    let mut shape_of = 0;
    for round in 0..12 {
        looked.search(view, &path, [from, to], shape, search_px);
        blocks = shown_by(looked.blocks.clone(), BLOCK_Z);
        let fitted = fit(&nodes(&blocks, 0.04)).ok_or(NoLine::Nothing)?;
        path = fitted.path;
        let ends = ends_of(&blocks).ok_or(NoLine::Nothing)?;
        if round == 0 && known.iter().any(|line| line.is_at(&path, ends, 1.0)) {
            return Err(NoLine::Known);
        }
        if (round == 0 || idle > 0) && shape_of != blocks.len() {
            let stack = stacked(view, &path, &blocks, (1.5 * shape.reach_px()).min(30.0), &nothing);
            shape = fitted_shape(&stack).unwrap_or(shape);
            shape_of = blocks.len();
        }
        search_px = (3.0 + shape.sigma_px()).ceil() as usize;
        idle = if blocks.len() > shown { 0 } else { idle + 1 };
        shown = blocks.len();
        if (from == 0 && to == whole) || idle > 2 {
            break;
        }
        let more = (0.7 * (ends[1] - ends[0])).max(60.0) * f64::from(1 + idle);
        from = ((ends[0] - more).max(0.0) as usize).min(from);
        to = ((ends[1] + more) as usize).min(whole).max(to);
    }
    let stack = stacked(view, &path, &blocks, (1.5 * shape.reach_px()).min(40.0), &nothing);
    let shape = fitted_shape(&stack).unwrap_or(shape);
    let ends = ends_of(&blocks).ok_or(NoLine::Nothing)?;
    let line = refined(view, way, path, shape, [ends[0] - 40.0, ends[1] + 40.0], &nothing)
        .ok_or(NoLine::Nothing)?;
    let z: f64 = line.blocks.iter().map(|block| block.z().powi(2)).sum::<f64>().sqrt();
    // Where it is seen, not where it was looked for: stray blocks far off its ends are left out by now.
    if known.iter().any(|before| before.is_at(line.path(), line.ends(), 0.5)) {
        return Err(NoLine::Known);
    }
    if z >= LINE_Z && line.blocks.len() >= 5 { Ok(line) } else { Err(NoLine::Nothing) }
}

fn ends_of(blocks: &[Block]) -> Option<[f64; 2]> {
    Some([blocks.first()?.along, blocks.last()?.along])
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
        last = Some((fitted, blocks));
        if round > 0 && moved[0].max(moved[1]) < 0.02 {
            break;
        }
    }
    let (fitted, blocks) = last?;
    let height = median_of(blocks.iter().map(|block| block.height))?;
    let noise = median_of(blocks.iter().map(|block| block.noise))?;
    Some(Line { way, fitted, shape, blocks, height, noise })
}

/// What a search along a line has found so far: where it would find the same again it looks no second time.
#[derive(Default)]
struct Looked {
    blocks: Vec<Block>,
    /// About what path, from and to where, and with how wide a shape.
    about: Option<(Path, [usize; 2], f64)>,
}

impl Looked {
    fn search(
        &mut self,
        view: &View<'_>,
        path: &Path,
        span: [usize; 2],
        shape: Shape,
        search_px: usize,
    ) {
        let [from, to] = span;
        let sigma = shape.sigma_px();
        let known = self.about.filter(|(before, [first, last], of)| {
            let moved =
                [first, last].map(|end| (path.at(*end as f64) - before.at(*end as f64)).abs());
            moved[0].max(moved[1]) < SAME_PX && (sigma / of).ln().abs() < SAME_SHAPE
        });
        let Some((before, [first, last], of)) = known else {
            self.blocks = searched(view, path, span, shape, search_px);
            self.about = Some((*path, span, sigma));
            return;
        };
        // Blocks lie as they would had all been looked at from one end.
        let begin = first - (first.saturating_sub(from) / BLOCK) * BLOCK;
        let mut blocks = searched(view, path, [begin, first], shape, search_px);
        blocks.append(&mut self.blocks);
        blocks.extend(searched(view, path, [last, to.max(last)], shape, search_px));
        self.blocks = blocks;
        self.about = Some((before, [begin, to.max(last)], of));
    }
}

/// Of how many rows one is enough to see where a line is that stands out by `z` standard deviations.
fn rows_that_tell(z: f64) -> usize {
    ((z / FIRST_Z).powi(2) as usize).clamp(1, 4)
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

/// Where across the line is in its piece, and about what shape; one row in `step` tells.
fn first_look(view: &View<'_>, path: &Path, span: [usize; 2], step: usize) -> Option<(f64, Shape)> {
    const WHOLE: usize = 2 * FIRST_SIDE + 1;
    let mut sums = [(0.0, 0.0); WHOLE];
    let mut row = [0.0; WHOLE];
    for along in (span[0]..span[1]).step_by(step) {
        // One side of the picture to the other, in places of the sums.
        let first = path.at(along as f64).round() - FIRST_SIDE as f64;
        let [from, to] = [0.0, view.lengths[1] as f64]
            .map(|edge| (edge - first).clamp(0.0, WHOLE as f64) as usize);
        let row = &mut row[from..to];
        view.fill(along, (first + from as f64).max(0.0) as usize, row);
        for ((sum, count), value) in sums[from..to].iter_mut().zip(row) {
            *sum += *value;
            *count += 1.0;
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
