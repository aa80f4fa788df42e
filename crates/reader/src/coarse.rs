//! The picture in bins of 4 × 4 pixels, with what is smooth in it taken away: where lines are looked for.

use core::ops::Range;

use wide::f32x4;

use crate::path::Path;
use crate::picture::Picture;

/// Pixels of a bin, each way.
pub(crate) const BIN: usize = 4;

/// How far round a bin counts as its surroundings, bins.
const ROUND: usize = 5;

/// No bin counts more than this many standard deviations: a bright spot is no line.
pub(crate) const CLIP: f32 = 6.0;

/// The noise is told from one bin in this many: a prime, so that no row or column is favoured.
const ONE_IN: usize = 7;

/// Bins, row by row; a row runs across the lines looked for, rows follow along them.
#[derive(Clone, Debug)]
pub(crate) struct Bins {
    pub(crate) values: Vec<f32>,
    /// How many along and across.
    pub(crate) lengths: [usize; 2],
}

/// The picture in bins, x across and y along; `None` where a value is not a number.
pub(crate) fn binned<'a>(
    picture: &Picture<'a>,
    background: Option<&Picture<'a>>,
    dark: bool,
) -> Option<Bins> {
    let [width, height] = picture.size();
    let (across, along) = (width / BIN, height / BIN);
    let mut values = vec![0.0_f32; across * along];
    let mut columns = vec![0.0_f32; width];
    let sign = if dark { -1.0 } else { 1.0 };
    let share = sign / (BIN * BIN) as f32;
    for (strip, row) in values.chunks_exact_mut(across).enumerate() {
        let lines_of = |picture: &Picture<'a>| -> [&'a [f32]; BIN] {
            core::array::from_fn(|line| &picture.pixels()[(strip * BIN + line) * width..][..width])
        };
        let [a, b, c, d] = lines_of(picture);
        for ((((sum, a), b), c), d) in columns.iter_mut().zip(a).zip(b).zip(c).zip(d) {
            *sum = a + b + c + d;
        }
        if let Some(background) = background {
            let [a, b, c, d] = lines_of(background);
            for ((((sum, a), b), c), d) in columns.iter_mut().zip(a).zip(b).zip(c).zip(d) {
                *sum = *sum - a - b - c - d;
            }
        }
        let (fours, rest) = columns.as_chunks::<BIN>().0.as_chunks::<BIN>();
        let (bins, bins_rest) = row.as_chunks_mut::<BIN>();
        for (bins, fours) in bins.iter_mut().zip(fours) {
            let [a, b, c, d] = f32x4::transpose(fours.map(f32x4::from));
            *bins = ((a + b + c + d) * share).to_array();
        }
        for (bin, four) in bins_rest.iter_mut().zip(rest) {
            *bin = four.iter().sum::<f32>() * share;
        }
    }
    let numbers = values.iter().all(|value| value.is_finite());
    numbers.then_some(Bins { values, lengths: [along, across] })
}

impl Bins {
    /// Three times less the mean of what is round each bin: what is smooth leaves nothing.
    pub(crate) fn flattened(mut self) -> Self {
        for _ in 0..3 {
            self.take_surroundings();
        }
        self
    }

    /// Takes from each bin the mean of what is round it, the surroundings shrinking towards the edge so that a
    /// slope leaves nothing: the means along each row, and those of them down each column.
    fn take_surroundings(&mut self) {
        /// Rows whose means are kept: those that come and go with a row.
        const KEPT: usize = 2 * ROUND + 2;
        let [along, across] = self.lengths;
        let mut sums = [vec![0.0_f32; across], vec![0.0_f32; across]];
        let mut sum = vec![0.0_f32; across];
        let mut means = vec![0.0_f32; KEPT * across];
        let place = |line: usize| line % KEPT * across..(line % KEPT + 1) * across;
        let mut told = 0;
        for line in 0..along {
            // Of rows from which nothing is taken yet.
            while told < along.min(line + ROUND + 1) {
                let row = &self.values[told * across..][..across];
                row_means(row, &mut means[place(told)], &mut sums);
                told += 1;
            }
            let up = ROUND.min(line).min(along - 1 - line);
            let of = |line: usize| &means[place(line)];
            let share = 1.0 / (2 * up + 1) as f32;
            let row = &mut self.values[line * across..][..across];
            // From one row to the next one leaves and one comes, but towards the edges.
            if line > ROUND && up == ROUND {
                let (gone, come) = (of(line - up - 1), of(line + up));
                for (((value, sum), gone), come) in row.iter_mut().zip(&mut sum).zip(gone).zip(come)
                {
                    *sum += come - gone;
                    *value -= share * *sum;
                }
                continue;
            }
            sum.fill(0.0);
            for other in line - up..=line + up {
                for (sum, mean) in sum.iter_mut().zip(of(other)) {
                    *sum += mean;
                }
            }
            for (value, sum) in row.iter_mut().zip(&sum) {
                *value -= share * sum;
            }
        }
    }

    /// Some columns of it.
    fn columns(&self, of: Range<usize>) -> Self {
        let [along, across] = self.lengths;
        let mut values = Vec::with_capacity(along * of.len());
        for row in self.values.chunks_exact(across) {
            values.extend_from_slice(&row[of.clone()]);
        }
        Self { values, lengths: [along, of.len()] }
    }

    /// The same picture with x along and y across.
    pub(crate) fn turned(&self) -> Self {
        const FOUR: usize = 4;
        let [along, across] = self.lengths;
        let mut values = vec![0.0; self.values.len()];
        for (strip, lines) in self.values.chunks(FOUR * across).enumerate() {
            let first = strip * FOUR;
            let lines: Vec<&[f32]> = lines.chunks_exact(across).collect();
            let mut done = 0;
            if let [a, b, c, d] = lines.as_slice() {
                let [a, b, c, d] = [a, b, c, d].map(|line| line.as_chunks::<FOUR>().0);
                for (((a, b), c), d) in a.iter().zip(b).zip(c).zip(d) {
                    for column in f32x4::transpose([*a, *b, *c, *d].map(f32x4::from)) {
                        let to = done * along + first;
                        values[to..to + FOUR].copy_from_slice(column.as_array());
                        done += 1;
                    }
                }
            }
            for place in done..across {
                for (line, from) in lines.iter().enumerate() {
                    values[place * along + first + line] = from[place];
                }
            }
        }
        Self { values, lengths: [across, along] }
    }

    /// Smoothed across the lines looked for by 1, 2, 1.
    fn smooth(&mut self) {
        let across = self.lengths[1];
        let mut before = vec![0.0_f32; across];
        for row in self.values.chunks_exact_mut(across) {
            before.copy_from_slice(row);
            let inner = row.iter_mut().skip(1);
            for (value, three) in inner.zip(before.windows(3)) {
                *value = 0.25 * (three[0] + three[2]) + 0.5 * three[1];
            }
        }
    }

    /// The noise of a bin, at least a thousandth of the largest.
    fn noise(&self) -> f32 {
        let (whole, rest) = self.values.as_chunks::<8>();
        let mut lanes = [0.0_f32; 8];
        for values in whole {
            for (most, value) in lanes.iter_mut().zip(values) {
                *most = if value.abs() > *most { value.abs() } else { *most };
            }
        }
        let largest = lanes.iter().chain(rest).fold(0.0_f32, |most, value| most.max(value.abs()));
        let mut sizes: Vec<f32> =
            self.values.iter().step_by(ONE_IN).map(|value| value.abs()).collect();
        let middle = sizes.len() / 2;
        let (_, median, _) = sizes.select_nth_unstable_by(middle, f32::total_cmp);
        // 1.4826: a normal distribution's standard deviation from its median absolute deviation.
        (1.4826 * *median).max(1e-3 * largest).max(f32::MIN_POSITIVE)
    }
}

/// The mean of what is round each value of a row.
fn row_means(row: &[f32], means: &mut [f32], sums: &mut [Vec<f32>; 2]) {
    const WHOLE: usize = 2 * ROUND + 1;
    let count = row.len();
    let edge = ROUND.min(count / 2);
    for side in 0..edge {
        let width = 2 * side + 1;
        let mean = |of: &[f32]| of.iter().sum::<f32>() / width as f32;
        means[side] = mean(&row[..width]);
        means[count - 1 - side] = mean(&row[count - width..]);
    }
    if count < WHOLE {
        let side = count.saturating_sub(1) / 2;
        if count % 2 == 1 {
            means[side] = row.iter().sum::<f32>() / count as f32;
        }
        return;
    }
    // Of two, of four, of eight; and of eleven: eight, two and one.
    let [two, four] = sums;
    for (sum, pair) in two.iter_mut().zip(row.windows(2)) {
        *sum = pair[0] + pair[1];
    }
    for (sum, three) in four.iter_mut().zip(two.windows(3)) {
        *sum = three[0] + three[2];
    }
    let inner = &mut means[ROUND..count - ROUND];
    let fours = four.windows(5);
    for (((mean, fours), two), one) in inner.iter_mut().zip(fours).zip(&two[8..]).zip(&row[10..]) {
        *mean = (fours[0] + fours[4] + two + one) * (1.0 / WHOLE as f32);
    }
}

/// Where lines of one way are looked for: what stands out, in standard deviations of the noise, and from what it was made,
/// so that what is hidden leaves no shadow beside it.
#[derive(Debug)]
pub(crate) struct Field {
    bins: Bins,
    noise: f32,
    /// What stands out: smoothed across, clipped.
    pub(crate) clear: Bins,
    /// Of each row the places that are hidden, from and to.
    hidden: Vec<(usize, usize, usize)>,
}

impl Field {
    /// Of bins whose rows run across the lines, and the same flattened.
    pub(crate) fn of(bins: Bins, mut flat: Bins) -> Self {
        flat.smooth();
        let noise = flat.noise();
        clip(&mut flat, noise);
        Self { bins, noise, clear: flat, hidden: Vec::new() }
    }

    /// Takes a line out that was followed from end to end. What it covers is bridged in the bins before they are flattened
    /// again: else what was taken from its surroundings for its sake would stand there as two fainter lines.
    pub(crate) fn take(&mut self, line: &Path, ends: [f64; 2], width_bins: f64) {
        let across = self.bins.lengths[1];
        let covered = self.covered(line, ends, width_bins);
        for (row, from, to) in &covered {
            bridge(&mut self.bins.values[row * across..][..across], *from, *to);
        }
        let first = covered.iter().map(|(_, from, _)| *from).min().unwrap_or(0);
        let last = covered.iter().map(|(_, _, to)| *to).max().unwrap_or(0);
        self.hidden.extend(covered);
        self.clear_again(first..last);
    }

    /// Makes again what stands out where columns of the bins have changed.
    fn clear_again(&mut self, changed: Range<usize>) {
        /// So far is changed what a changed bin's surroundings are taken from three times, and smoothed once.
        const FAR: usize = 3 * ROUND + 1;
        let across = self.bins.lengths[1];
        let about = |far: usize| changed.start.saturating_sub(far)..(changed.end + far).min(across);
        // What is cut out is told wrong as far from where it is cut.
        let (cut, kept) = (about(2 * FAR), about(FAR));
        let mut clear = self.bins.columns(cut.clone()).flattened();
        clear.smooth();
        clip(&mut clear, self.noise);
        let rows =
            clear.values.chunks_exact(cut.len()).zip(self.clear.values.chunks_exact_mut(across));
        for (from, to) in rows {
            to[kept.clone()].copy_from_slice(&from[kept.start - cut.start..kept.end - cut.start]);
        }
        hide(&mut self.clear, &self.hidden);
    }

    /// Hides a piece that led to no line, and nothing else: what lies to its sides tells nothing of what is under it.
    pub(crate) fn hide(&mut self, piece: &Path, ends: [f64; 2], width_bins: f64) {
        let covered = self.covered(piece, ends, width_bins);
        hide(&mut self.clear, &covered);
        self.hidden.extend(covered);
    }

    /// What a path covers: row, from and to.
    fn covered(&self, path: &Path, ends: [f64; 2], width_bins: f64) -> Vec<(usize, usize, usize)> {
        let [rows, across] = self.bins.lengths;
        let side = 0.7 * width_bins + 1.6;
        let of = |row: usize| {
            let along = (row as f64 + 0.5) * BIN as f64 - 0.5;
            let centre = (path.at(along) + 0.5) / BIN as f64 - 0.5;
            let [from, to] = [centre - side, centre + side + 1.0]
                .map(|end| end.round().clamp(0.0, across as f64) as usize);
            let there = (ends[0] - 30.0..=ends[1] + 30.0).contains(&along);
            (there && from < to).then_some((row, from, to))
        };
        (0..rows).filter_map(of).collect()
    }
}

fn hide(bins: &mut Bins, covered: &[(usize, usize, usize)]) {
    let across = bins.lengths[1];
    for (row, from, to) in covered {
        if let Some(hidden) = bins.values.get_mut(row * across + from..row * across + to) {
            hidden.fill(0.0);
        }
    }
}

/// A straight course from what is on one side to what is on the other.
fn bridge(values: &mut [f32], from: usize, to: usize) {
    const SIDE: usize = 3;
    let mean = |of: &[f32]| (!of.is_empty()).then(|| of.iter().sum::<f32>() / of.len() as f32);
    let before = mean(&values[from.saturating_sub(SIDE)..from]);
    let after = mean(&values[to..(to + SIDE).min(values.len())]);
    let (Some(before), Some(after)) = (before.or(after), after.or(before)) else { return };
    let count = (to - from + 1) as f32;
    for (place, value) in values[from..to].iter_mut().enumerate() {
        *value = before + (after - before) * (place + 1) as f32 / count;
    }
}

fn clip(bins: &mut Bins, noise: f32) {
    let scale = 1.0 / noise;
    for value in &mut bins.values {
        *value = (*value * scale).clamp(-CLIP, CLIP);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn bins(along: usize, across: usize, at: impl Fn(usize, usize) -> f32) -> Bins {
        let values = (0..along * across).map(|place| at(place / across, place % across)).collect();
        Bins { values, lengths: [along, across] }
    }

    /// By definition: the mean of every bin round one, the surroundings cut evenly at the edge.
    #[test]
    fn surroundings_are_the_mean_of_what_is_round() {
        for [along, across] in [[16, 16], [17, 40], [31, 23]] {
            let before = bins(along, across, |y, x| ((y * 37 + x * 91) % 53) as f32);
            let mut after = before.clone();
            after.take_surroundings();
            for y in 0..along {
                for x in 0..across {
                    let [up, side] =
                        [(y, along), (x, across)].map(|(at, of)| ROUND.min(at).min(of - 1 - at));
                    let round = (y - up..=y + up)
                        .flat_map(|y| (x - side..=x + side).map(move |x| y * across + x));
                    let sum: f32 = round.map(|place| before.values[place]).sum();
                    let mean = sum / ((2 * up + 1) * (2 * side + 1)) as f32;
                    let place = y * across + x;
                    let off = after.values[place] - (before.values[place] - mean);
                    assert!(off.abs() < 1e-3, "{x}, {y}: {off}");
                }
            }
        }
    }

    #[test]
    fn turned_twice_is_as_it_was() {
        let before = bins(19, 34, |y, x| (y * 34 + x) as f32);
        let turned = before.turned();
        assert_eq!(turned.lengths, [34, 19]);
        assert!((turned.values[3] - before.values[3 * 34]).abs() < 1e-9);
        assert_eq!(turned.turned().values, before.values);
    }

    fn one_line() -> Bins {
        bins(48, 64, |_, x| if (30..32).contains(&x) { 60.0 } else { (x % 2) as f32 })
    }

    fn at_bin(place: f64) -> Path {
        Path { mid: 0.0, c: [(place + 0.5) * BIN as f64 - 0.5, 0.0, 0.0] }
    }

    /// A line taken out leaves nothing beside it; only hidden where it was, it would leave two, of a third of its height.
    #[test]
    fn what_is_taken_out_leaves_no_shadow() {
        let bins = one_line();
        let mut field = Field::of(bins.clone(), bins.clone().flattened());
        field.take(&at_bin(30.5), [0.0, 191.0], 2.0);
        let most = field.clear.values.iter().fold(0.0_f32, |most, value| most.max(value.abs()));
        assert!(most < 1.5, "{most}");
    }

    /// A piece that is hidden is nought where it was, and stays so when a line is taken out; all else stays as it was.
    #[test]
    fn what_is_hidden_changes_nothing_else() {
        let bins = one_line();
        let before = Field::of(bins.clone(), bins.clone().flattened());
        let mut field = Field::of(bins.clone(), bins.clone().flattened());
        field.hide(&at_bin(12.0), [80.0, 110.0], 1.0);
        let here = |x: usize| (10..=14).contains(&x);
        let differs = |y: usize, x: usize| {
            (field.clear.values[y * 64 + x] - before.clear.values[y * 64 + x]).abs() > 1e-6
        };
        for y in 0..48 {
            for x in (0..64).filter(|x| !here(*x)) {
                assert!(!differs(y, x), "{x}, {y}");
            }
        }
        field.take(&at_bin(30.5), [0.0, 191.0], 2.0);
        for row in field.clear.values.chunks_exact(64).skip(20).take(7) {
            assert!(row[10..=14].iter().all(|value| value.abs() < 1e-6), "{row:?}");
        }
    }
}
