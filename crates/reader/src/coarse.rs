//! The picture in bins of 4 × 4 pixels, with what is smooth in it taken away: where lines are looked for.

use crate::picture::{Picture, Way};

/// Pixels of a bin, each way.
pub(crate) const BIN: usize = 4;

/// How far round a bin counts as its surroundings, bins.
const ROUND: usize = 5;

/// No bin counts more than this many standard deviations: a bright spot is no line.
const CLIP: f32 = 6.0;

/// Bins, row by row; a row runs across the lines looked for, rows follow along them.
#[derive(Clone, Debug)]
pub(crate) struct Bins {
    pub(crate) values: Vec<f32>,
    /// How many along and across.
    pub(crate) lengths: [usize; 2],
}

/// The picture in bins, x across and y along; `None` where a value is not a number.
pub(crate) fn binned(
    picture: &Picture<'_>,
    background: Option<&Picture<'_>>,
    dark: bool,
) -> Option<Bins> {
    let [width, height] = picture.size();
    let (across, along) = (width / BIN, height / BIN);
    let mut values = vec![0.0_f32; across * along];
    let mut columns = vec![0.0_f32; width];
    for (strip, row) in values.chunks_exact_mut(across).enumerate() {
        columns.fill(0.0);
        let sum_of = |from: &[f32], columns: &mut [f32], sign: f32| {
            for line in from.chunks_exact(width).skip(strip * BIN).take(BIN) {
                for (sum, value) in columns.iter_mut().zip(line) {
                    *sum += sign * value;
                }
            }
        };
        let sign = if dark { -1.0 } else { 1.0 };
        sum_of(picture.pixels(), &mut columns, sign);
        if let Some(background) = background {
            sum_of(background.pixels(), &mut columns, -sign);
        }
        for (bin, four) in row.iter_mut().zip(columns.chunks_exact(BIN)) {
            *bin = four.iter().sum::<f32>() * (1.0 / (BIN * BIN) as f32);
        }
    }
    let numbers = values.iter().all(|value| value.is_finite());
    numbers.then_some(Bins { values, lengths: [along, across] })
}

impl Bins {
    /// Three times less the mean of what is round each bin: what is smooth leaves nothing.
    pub(crate) fn flattened(self) -> Self {
        self.less_surroundings().less_surroundings().less_surroundings()
    }

    /// Each bin less the mean of what is round it, the surroundings shrinking towards the edge so that a
    /// slope leaves nothing.
    fn less_surroundings(&self) -> Self {
        let [along, across] = self.lengths;
        // Sums over everything above and to the left; one more row and column of zeros.
        let mut sums = vec![0.0_f64; (along + 1) * (across + 1)];
        for (line, row) in self.values.chunks_exact(across).enumerate() {
            let (above, below) = sums.split_at_mut((line + 1) * (across + 1));
            let above = &above[line * (across + 1)..];
            let mut sum = 0.0;
            for (place, value) in row.iter().enumerate() {
                sum += f64::from(*value);
                below[place + 1] = above[place + 1] + sum;
            }
        }
        let mut values = Vec::with_capacity(self.values.len());
        for (line, row) in self.values.chunks_exact(across).enumerate() {
            let up = ROUND.min(line).min(along - 1 - line);
            let upper = &sums[(line - up) * (across + 1)..][..=across];
            let lower = &sums[(line + up + 1) * (across + 1)..][..=across];
            for (place, value) in row.iter().enumerate() {
                let side = ROUND.min(place).min(across - 1 - place);
                let (left, right) = (place - side, place + side + 1);
                let sum = lower[right] - lower[left] - upper[right] + upper[left];
                let count = ((2 * up + 1) * (2 * side + 1)) as f64;
                values.push(value - (sum / count) as f32);
            }
        }
        Self { values, lengths: self.lengths }
    }

    /// The same picture with x along and y across.
    fn turned(&self) -> Self {
        let [along, across] = self.lengths;
        let mut values = vec![0.0; self.values.len()];
        for (line, row) in self.values.chunks_exact(across).enumerate() {
            for (place, value) in row.iter().enumerate() {
                values[place * along + line] = *value;
            }
        }
        Self { values, lengths: [across, along] }
    }

    /// For lines of one way: smoothed across them by 1, 2, 1, clipped, in standard deviations of the noise.
    pub(crate) fn for_way(&self, way: Way) -> Self {
        let mut bins = match way {
            Way::Upright => self.clone(),
            Way::Flat => self.turned(),
        };
        let across = bins.lengths[1];
        let mut before = vec![0.0_f32; across];
        for row in bins.values.chunks_exact_mut(across) {
            before.copy_from_slice(row);
            for place in 1..across - 1 {
                row[place] = 0.25 * (before[place - 1] + before[place + 1]) + 0.5 * before[place];
            }
        }
        let mut sizes: Vec<f32> = bins.values.iter().map(|value| value.abs()).collect();
        let largest = sizes.iter().copied().fold(0.0_f32, f32::max);
        let middle = sizes.len() / 2;
        let (_, median, _) = sizes.select_nth_unstable_by(middle, f32::total_cmp);
        // 1.4826: a normal distribution's standard deviation from its median absolute deviation.
        let sigma = (1.4826 * *median).max(1e-3 * largest).max(f32::MIN_POSITIVE);
        let scale = 1.0 / sigma;
        for value in &mut bins.values {
            *value = (*value * scale).clamp(-CLIP, CLIP);
        }
        bins
    }
}
