//! How often a unit whose misalignment lies exactly on a limit passes the guarded rule: at most 5 %.

use solver::decision::{
    Circumstances, Confirmation, ReadingSpread, Reference, Rule, Verdict, judge, judge_known,
};
use solver::monte_carlo::Source;
use solver::{Direction, PerChannel, Window};

const SIGMA_ARCMIN: f64 = 0.3;

/// Confirm readings of a unit that is seated several times.
pub(crate) struct Confirming {
    seatings: usize,
    seating_arcmin: f64,
    stated: bool,
}

impl Confirming {
    pub(crate) fn all() -> Vec<Self> {
        let mut all = Vec::new();
        for stated in [true, false] {
            for seating_arcmin in [0.0, 0.2, 0.5, 1.0] {
                for seatings in 1..=5 {
                    all.push(Self { seatings, seating_arcmin, stated });
                }
            }
        }
        all
    }

    pub(crate) fn name(&self) -> String {
        let Self { seatings, seating_arcmin, stated } = self;
        let known = if *stated { "stated" } else { "unknown" };
        format!("seating scatter {seating_arcmin}′, {seatings} seatings, σ {known}")
    }

    /// Shares of the units that pass: as if all readings were of one seating, and by their seatings;
    /// `None` where one seating tells nothing and the verdict's caveat says so.
    pub(crate) fn passes(&self, trials: usize, seed: u64) -> Option<(f64, Option<f64>)> {
        let window = Window::new(45.0, 20.0, 15.0, None).ok()?;
        let mut source = Source::seeded(seed);
        let mut passed = [0_usize; 2];
        for trial in 0..trials {
            // On the divergence limit, or on the dipvergence limit.
            let m =
                if trial % 2 == 0 { Direction::new(20.0, 3.0) } else { Direction::new(2.0, 15.0) };
            let (confirmation, circumstances) = self.readings(m, &mut source);
            let flat = judge(&confirmation, &window, Rule::Guarded).ok()??;
            let seated =
                judge_known(&confirmation, &circumstances, &window, Rule::Guarded).ok()??;
            passed[0] += usize::from(flat.verdict == Verdict::Pass);
            passed[1] += usize::from(seated.verdict == Verdict::Pass);
        }
        let [flat, seated] = passed.map(|count| count as f64 / trials as f64);
        Some((flat, (self.seatings > 1).then_some(seated)))
    }

    /// Three readings of each channel in the first seating, one in each other.
    fn readings(&self, m: Direction, source: &mut Source) -> (Confirmation, Circumstances) {
        let mut readings: PerChannel<Vec<Direction>> = PerChannel::default();
        let mut seating_of: PerChannel<Vec<usize>> = PerChannel::default();
        for seating in 0..self.seatings {
            let off = PerChannel::from_fn(|_| source.direction(self.seating_arcmin));
            for _ in 0..if seating == 0 { 3 } else { 1 } {
                for (channel, half) in
                    [(solver::Channel::Left, -0.5), (solver::Channel::Right, 0.5)]
                {
                    let at = m * half + off[channel] + source.direction(SIGMA_ARCMIN);
                    readings[channel].push(at);
                    seating_of[channel].push(seating);
                }
            }
        }
        let variance = SIGMA_ARCMIN * SIGMA_ARCMIN;
        let spread = if self.stated {
            ReadingSpread::Stated([[variance, 0.0], [0.0, variance]])
        } else {
            ReadingSpread::Observed
        };
        let confirmation = Confirmation { readings, spread, reference: Reference::default() };
        (confirmation, Circumstances { seating_of, ..Circumstances::default() })
    }
}
