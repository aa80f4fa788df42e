//! Whether a second line hides in what a line leaves over: one almost on the first, or at a small angle to it.

use core::ops::Range;

use wide::f32x4;

use crate::blocks::{Around, Seen};
use crate::path::median_of;
use crate::picture::View;
use crate::shape::Shape;
use crate::sums::{LANES, product, products};
use crate::trace::Line;

/// Blocks of a piece whose profile is looked at by itself.
const PIECE: usize = 2;

/// How far beside the line another is looked for, pixels, and from step to step.
const FAR_PX: f64 = 9.0;
const STEP_PX: f64 = 0.5;

/// From angle to angle, by how far the line's ends are moved, pixels.
const ENDS_PX: f64 = 1.0;

/// The steepest angle between both, across per along.
const STEEPEST: f64 = 0.1;

/// A fainter one is no crosshair's: a graticule's line may lie there. A share of the line's height.
const LEAST_SHARE: f32 = 0.25;

/// One that shows less clearly may be noise, standard deviations.
const LEAST_Z: f64 = 5.0;

/// Of what another line would look like, the least share that the line itself, moved, widened or of another
/// shape, must not look like; squares.
const LEAST_OWN: f32 = 0.003;

/// Steps from one side to the other.
const PLACES: usize = 2 * (FAR_PX / STEP_PX) as usize + 1;

/// Room for them, of which a processor takes some at once; nothing is shown beyond the last place.
const ROOM: usize = PLACES + LANES - 1;

/// What a piece shows of another line at each distance: numerator and denominator of its height as a share of the
/// line's, both 0 where it cannot be told from the line itself. Seven digits are more than noise leaves.
struct Piece {
    along: f64,
    with: [f32; ROOM],
    own: [f32; ROOM],
}

/// How far beside the line, pixels, the clearest second one is; `None` where none shows.
pub(crate) fn beside_px(view: &View<'_>, line: &Line, around: &Around) -> Option<f64> {
    let reach = (FAR_PX + 2.5 * line.shape.sigma_px()).min(40.0);
    let seen = Seen::along(view, line.path(), &line.blocks, reach, around);
    let whole = line.blocks.len() - line.blocks.len() % PIECE;
    let pieces: Vec<Piece> = (0..whole)
        .step_by(PIECE)
        .filter_map(|from| piece(&seen, line, from..from + PIECE))
        .collect();
    // As it scatters from place to place: a tube's noise is alike from pixel to pixel.
    let scatter = pieces
        .iter()
        .flat_map(|piece| piece.with.iter().zip(&piece.own))
        .filter(|(_, own)| **own > 0.0)
        .map(|(with, own)| f64::from((with / own.sqrt()).abs()));
    // As shares of the line's height, too.
    let noise = (line.noise / line.height).max(1.4826 * median_of(scatter)?);
    let mid = line.path().mid;
    let far = pieces.iter().map(|piece| (piece.along - mid).abs()).fold(1.0, f64::max);
    let slopes = (STEEPEST * far / ENDS_PX) as i32;
    let mut best: Option<(f64, f64)> = None;
    for slope in -slopes..=slopes {
        let slope = f64::from(slope) * ENDS_PX / far;
        let mut halves = [Half::NOTHING; 2];
        for piece in &pieces {
            // Over a whole piece the other line is as many steps to one side.
            let steps = (slope * (piece.along - mid) / STEP_PX + 0.5).floor();
            halves[usize::from(piece.along > mid)].add(piece, steps as isize);
        }
        let [before, after] = &halves;
        for place in 0..PLACES {
            let off_px = place as f64 * STEP_PX - FAR_PX;
            let (before, after) = (before.at(place), after.at(place));
            // The whole line, and each of its halves: an arm of the other may be short.
            for part in [before.and(after), before, after] {
                let Some([with, own]) = part.without_the_clearest() else { continue };
                if with < LEAST_SHARE * own {
                    continue;
                }
                let z = f64::from(with) / (noise * f64::from(own).sqrt());
                if z >= best.map_or(LEAST_Z, |(most, _)| most) {
                    best = Some((z, off_px));
                }
            }
        }
    }
    best.map(|(_, off_px)| off_px.abs().max(STEP_PX))
}

/// Sums over the pieces of half a line for each place of another, and the piece that shows most.
struct Half {
    count: [f32; ROOM],
    with: [f32; ROOM],
    own: [f32; ROOM],
    clearest_with: [f32; ROOM],
    clearest_own: [f32; ROOM],
}

impl Half {
    const NOTHING: Self = Self {
        count: [0.0; ROOM],
        with: [0.0; ROOM],
        own: [0.0; ROOM],
        clearest_with: [f32::NEG_INFINITY; ROOM],
        clearest_own: [0.0; ROOM],
    };

    /// Adds what a piece shows so many steps beside each place.
    fn add(&mut self, piece: &Piece, steps: isize) {
        let off = steps.unsigned_abs().min(PLACES);
        let (to, from) = if steps < 0 { (off, 0) } else { (0, off) };
        let [with, own] = [&piece.with, &piece.own].map(|of| of[from..].as_chunks::<LANES>().0);
        let [count, sum, sum_own, most, most_own] = [
            &mut self.count,
            &mut self.with,
            &mut self.own,
            &mut self.clearest_with,
            &mut self.clearest_own,
        ]
        .map(|of| of[to..].as_chunks_mut::<LANES>().0.iter_mut());
        let sums = count.zip(sum).zip(sum_own).zip(most).zip(most_own);
        for (((((count, sum), sum_own), most), most_own), (with, own)) in
            sums.zip(with.iter().zip(own))
        {
            let [with, own] = [*with, *own].map(f32x4::from);
            let add =
                |to: &mut [f32; LANES], more: f32x4| *to = (f32x4::from(*to) + more).to_array();
            let there = own.simd_gt(f32x4::ZERO);
            add(count, there & f32x4::ONE);
            add(sum, with);
            add(sum_own, own);
            let more = there & with.simd_gt(f32x4::from(*most));
            *most = more.select(with, f32x4::from(*most)).to_array();
            *most_own = more.select(own, f32x4::from(*most_own)).to_array();
        }
    }

    const fn at(&self, place: usize) -> Part {
        Part {
            count: self.count[place],
            sums: [self.with[place], self.own[place]],
            clearest: [self.clearest_with[place], self.clearest_own[place]],
        }
    }
}

/// Sums over pieces, and the one of them that shows most.
#[derive(Clone, Copy)]
struct Part {
    count: f32,
    sums: [f32; 2],
    clearest: [f32; 2],
}

impl Part {
    fn and(self, other: Self) -> Self {
        let both = |place: usize| self.sums[place] + other.sums[place];
        let first = self.clearest[0] >= other.clearest[0];
        Self {
            count: self.count + other.count,
            sums: [both(0), both(1)],
            clearest: if first { self.clearest } else { other.clearest },
        }
    }

    /// The sums over all but the one that shows most, for a spot is no line; `None` of too few.
    fn without_the_clearest(self) -> Option<[f32; 2]> {
        let less = |place: usize| self.sums[place] - self.clearest[place];
        (self.count > 1.5).then(|| [less(0), less(1)])
    }
}

/// How far a line is seen to its sides, standard deviations of its shape.
const SEEN_SIGMAS: f64 = 5.0;

/// Level, slope, bend, the line, it moved, widened, blunter and sharper.
const OWN: usize = 8;

fn piece(seen: &Seen, line: &Line, blocks: Range<usize>) -> Option<Piece> {
    let reach = seen.reach_px();
    let stack = seen.stacked(blocks.clone());
    let blocks = &line.blocks[blocks];
    if stack.len() < OWN + 4 {
        return None;
    }
    let along = blocks.iter().map(|block| block.along).sum::<f64>() / blocks.len() as f64;
    let [shape, blunt, sharp] = {
        let [blunt, .., sharp] = line.shape.others();
        [line.shape, blunt, sharp].map(Shape::drawn)
    };
    // Each row times the root of its weight: products are plain ones then.
    let roots: Vec<f64> = stack.iter().map(|(.., weight)| weight.sqrt()).collect();
    let count = stack.len();
    let mut basis = vec![0.0; OWN * count];
    for (place, ((d, ..), root)) in stack.iter().zip(&roots).enumerate() {
        let [t, s] = shape.at(*d);
        let of = d / reach;
        let row = [1.0, of, of * of, t, s, d * s, blunt.height(*d) - t, sharp.height(*d) - t];
        for (term, value) in row.into_iter().enumerate() {
            basis[term * count + place] = value * root;
        }
    }
    // Made square to each other; one that is made of those before it is left out.
    for term in 0..OWN {
        let (before, values) = basis.split_at_mut(term * count);
        let values = &mut values[..count];
        let whole = product(values, values);
        less(values, before);
        let size = product(values, values);
        let scale = if size > 1e-9 * whole.max(1e-9) { 1.0 / size.sqrt() } else { 0.0 };
        values.iter_mut().for_each(|value| *value *= scale);
    }
    let mut left: Vec<f64> =
        stack.iter().zip(&roots).map(|((_, value, _), root)| value * root / line.height).collect();
    less(&mut left, &basis);
    let ds = stack.iter().map(|(d, ..)| *d).collect();
    let [left, basis, roots, ds]: [Vec<f32>; 4] =
        [left, basis, roots, ds].map(|of| of.iter().map(|value| *value as f32).collect());
    let mut values = vec![0.0; stack.len()];
    let (mut withs, mut owns) = ([0.0; ROOM], [0.0; ROOM]);
    let far = (SEEN_SIGMAS * line.shape.sigma_px()) as f32;
    let (mut from, mut to) = (0, 0);
    for (place, (with, own)) in withs.iter_mut().zip(&mut owns).take(PLACES).enumerate() {
        let away_px = (place as f64 * STEP_PX - FAR_PX) as f32;
        // Where it is seen at all: distances are in order.
        from += ds[from..].iter().take_while(|d| **d < away_px - far).count();
        to += ds[to..].iter().take_while(|d| **d < away_px + far).count();
        let values = &mut values[from..to];
        shape.heights(&ds[from..to], away_px, values);
        values.iter_mut().zip(&roots[from..]).for_each(|(value, root)| *value *= root);
        let values = &*values;
        // What is left is square to the basis: all products with that are those of the values as they are.
        let term = |term: usize| &basis[term * count..][from..to];
        let [a, b, c, d, e, f, g, h] = core::array::from_fn(term);
        let (whole, [shown, terms @ ..]) =
            products(values, [&left[from..to], a, b, c, d, e, f, g, h]);
        let terms: [f32; OWN] = terms;
        let shared: f32 = terms.iter().map(|product| product * product).sum();
        if whole - shared > LEAST_OWN * whole {
            (*with, *own) = (shown, whole - shared);
        }
    }
    Some(Piece { along, with: withs, own: owns })
}

/// Takes away what each term of a basis explains.
fn less(values: &mut [f64], basis: &[f64]) {
    for term in basis.chunks_exact(values.len()) {
        let shared = product(values, term);
        for (value, of) in values.iter_mut().zip(term) {
            *value -= shared * of;
        }
    }
}
