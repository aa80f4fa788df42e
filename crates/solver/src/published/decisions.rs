//! Conformance of one result, and risks of a rule.

use super::{Case, Figure, close, printed};
use crate::channel::PerChannel;
use crate::decision::{Confirmation, ReadingSpread, Reference, Rule, judge};
use crate::direction::Direction;
use crate::error::Error;
use crate::global_risk::of_one;
use crate::tolerance::Window;

/// All of them.
pub const CASES: &[Case] = &[
    Case {
        what: "probability that a result conforms",
        source: "JCGM 106:2012, 7.4 (from memory); further digits recomputed with scipy 1.17",
        work: conformance,
    },
    Case {
        what: "risk at the edge of a guard band",
        source: "ILAC-G8:09/2019, 4.2; recomputed with scipy 1.17",
        work: guard_bands,
    },
    Case {
        what: "consumer's and producer's risk of resistors",
        source: "JCGM 106:2012, 9.5 (inputs from memory); acceptance within the tolerance recomputed with \
                 scipy 1.17",
        work: resistors,
    },
    Case {
        what: "false accepts and rejects at 4:1, at 2:1 with a guard, and at wider limits",
        source: "D. Deaver, guard banding figures, as repeated in the tests of a general uncertainty \
                 library; digits recomputed with scipy 1.17",
        work: deaver,
    },
];

/// Probability that x with standard uncertainty u lies between two limits about 0, by one reading of each
/// channel: the right one's x has u, what lies along y is known exactly.
fn in_box(x: f64, u: f64, low: f64, high: f64) -> Result<f64, Error> {
    let confirmation = Confirmation {
        readings: PerChannel {
            left: vec![Direction::BORESIGHT],
            right: vec![Direction::new(x, 0.0)],
        },
        // Both channels have half the variance of the difference.
        spread: ReadingSpread::Stated([[0.5 * u * u, 0.0], [0.0, 0.0]]),
        reference: Reference::default(),
    };
    let judged = judge(&confirmation, &Window::new(-low, high, 1.0, None)?, Rule::Guarded)?;
    Ok(judged.map_or(f64::NAN, |judged| judged.in_box))
}

fn conformance() -> Result<Vec<Figure>, Error> {
    // Breakdown voltage −5.47, u 0.05, at most −5.40; from a zero at −6, far from the other side.
    let upper = in_box(0.53, 0.05, -60.0, 0.60)?;
    // Strength 509.7, u 8.6, at least 490; from a zero at 500.
    let lower = in_box(9.7, 8.6, -10.0, 9_000.0)?;
    // Viscosity 13.6, u 1.8, in [12.5, 16.3]; from a zero at 14.
    let interval = in_box(-0.4, 1.8, -1.5, 2.3)?;
    Ok(vec![
        printed("upper limit", upper, 0.92, 2),
        close("upper limit", upper, 0.919_243_340_766, 1e-12),
        printed("lower limit", lower, 0.99, 2),
        close("lower limit", lower, 0.989_009_547_385, 1e-12),
        printed("interval", interval, 0.66, 2),
        close("interval", interval, 0.662_629_786_495, 1e-12),
    ])
}

fn guard_bands() -> Result<Vec<Figure>, Error> {
    const RISKS: [(f64, f64); 5] = [
        (0.0, 0.5),
        (1.644_853_626_951_472_7, 0.05),
        (1.959_963_984_540_054, 0.025),
        (2.0, 0.022_750_131_948),
        (3.0, 0.001_349_898_032),
    ];
    let worked = RISKS.into_iter().map(|(factor, risk)| {
        let found = 1.0 - in_box(20.0 - 0.5 * factor, 0.5, -4_500.0, 20.0)?;
        Ok(close("risk", found, risk, 1e-12))
    });
    worked.collect()
}

fn resistors() -> Result<Vec<Figure>, Error> {
    let of = |half: f64| {
        of_one([1_500.0, 0.12], 0.04, [1_499.8, 1_500.2], [1_500.0 - half, 1_500.0 + half])
    };
    let (guarded, simple) = (of(0.18)?, of(0.20)?);
    // Limits of 1 500 ± 0.2 are rounded to 2e-13, of a density of 3 per Ω.
    Ok(vec![
        printed("consumer's, within ± 0.18", guarded.consumers, 0.009_878, 6),
        printed("producer's, within ± 0.18", guarded.producers, 0.069_027, 6),
        close("consumer's, within ± 0.20", simple.consumers, 0.018_942_206_717, 2e-12),
        close("producer's, within ± 0.20", simple.producers, 0.037_207_800_178, 2e-12),
    ])
}

fn deaver() -> Result<Vec<Figure>, Error> {
    // A process of standard deviation 1 with limits, measured to u, accepted within a share of them. At
    // limits of 2 the ratio is limit/(2u).
    let of = |limit: f64, u: f64, guard: f64| {
        of_one([0.0, 1.0], u, [-limit, limit], [-guard * limit, guard * limit])
    };
    let (four, two) = (of(2.0, 0.25, 1.0)?, of(2.0, 0.5, 0.91)?);
    Ok(vec![
        printed("accepted at 4:1", four.consumers, 0.008, 3),
        close("accepted at 4:1", four.consumers, 0.008_006_084_834, 1e-11),
        close("rejected at 4:1", four.producers, 0.014_850_884_211, 1e-11),
        close("accepted at 2:1, guarded", two.consumers, 0.008_051_608_545, 1e-11),
        close("rejected at 2:1, guarded", two.producers, 0.066_106_452_159, 1e-11),
        close("accepted at 2.5, u 0.25", of(2.5, 0.25, 1.0)?.consumers, 0.002_445_348_713, 1e-11),
        close("accepted at 2.5, u 1", of(2.5, 1.0, 1.0)?.consumers, 0.004_723_566_502, 1e-11),
    ])
}
