//! Everything the solver can refuse, in the user's words, with the evidence inside.

use crate::channel::Channel;
use crate::words::counted_s;

/// Why there is no answer, and what would give one.
///
/// `index` counts a channel's readings from 0; the text counts from 1.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum Error {
    /// A reading holds NaN or an infinity.
    #[error("{channel} reading {}: the {field} is not a number; type it again", index + 1)]
    ReadingNotFinite {
        /// Whose reading.
        channel: Channel,
        /// Which of that channel's readings.
        index: usize,
        /// `ring angle`, `x` or `y`.
        field: &'static str,
    },
    /// A reading lies outside the field the small-angle model covers.
    #[error(
        "{channel} reading {}: {}′ is farther than {limit_arcmin:.0}′ from boresight; check the number \
         and the station's map",
        index + 1,
        told(value_arcmin.round())
    )]
    BeyondField {
        /// Whose reading.
        channel: Channel,
        /// Which of that channel's readings.
        index: usize,
        /// The offending part.
        value_arcmin: f64,
        /// [`crate::direction::FIELD_LIMIT_ARCMIN`].
        limit_arcmin: f64,
    },
    /// Fewer than two ring angles and fewer than three points.
    #[error("{channel} channel: {}", too_few(*readings, *distinct_angles, *distinct_points))]
    TooFewReadings {
        /// Which channel.
        channel: Channel,
        /// How many readings there are.
        readings: usize,
        /// Distinct ring angles among them, modulo 360°.
        distinct_angles: usize,
        /// Distinct directions among them.
        distinct_points: usize,
    },
    /// Three or more points without enough ring angles, all on one line.
    #[error(
        "{channel} channel: the readings lie on a straight line, so no circle can be told from them; \
         read farther round the ring, or log ring angles"
    )]
    OnALine {
        /// Which channel.
        channel: Channel,
    },
    /// Enough readings by count, but they leave the circle free to move.
    #[error(
        "{channel} channel: these readings do not settle the circle; log one more ring angle well \
         away from the others"
    )]
    Undetermined {
        /// Which channel.
        channel: Channel,
    },
    /// The crosshair does not move although the ring does.
    #[error(
        "{channel} channel: the crosshair stays in one place while the ring turns; check that the \
         eyepiece is seated and that its ring was turned"
    )]
    NoOffset {
        /// Which channel.
        channel: Channel,
    },
    /// A reading of the difference holds a number that is none, or is beyond the field.
    #[error("reading {}: the {field} must be {must}, not {}", index + 1, told(*value))]
    RelativeReading {
        /// Which reading.
        index: usize,
        /// `left ring angle`, `right ring angle`, `x` or `y`.
        field: &'static str,
        /// What was given.
        value: f64,
        /// What would do.
        must: &'static str,
    },
    /// Fewer than three different pairs of ring angles.
    #[error(
        "{} of the difference at {}; three different pairs of ring angles are needed, each ring turned \
         and not both by the same amount",
        counted_s(*readings, "reading"),
        counted_s(*distinct_pairs, "pair")
    )]
    RelativeTooFew {
        /// How many readings there are.
        readings: usize,
        /// Distinct pairs of ring angles among them, modulo 360°.
        distinct_pairs: usize,
    },
    /// One ring was never turned, so its offset cannot be told from the difference of centres.
    #[error(
        "the {channel} ring stands at one angle in every reading, so its circle cannot be told from \
         where the centres lie; turn the {channel} ring and read again"
    )]
    RelativeRingStill {
        /// Which ring.
        channel: Channel,
    },
    /// Both rings were turned by the same amount throughout, so that their offsets turn as one.
    #[error(
        "both rings were turned by the same amount throughout, so their two circles cannot be told \
         apart; turn one ring alone and read again"
    )]
    RelativeInStep,
    /// The stated reading uncertainty is not a positive number.
    #[error("the uncertainty of a reading must be more than 0′, not {}′", told(*value_arcmin))]
    SigmaNotPositive {
        /// What was stated.
        value_arcmin: f64,
    },
    /// The stated ring uncertainty is negative or no number.
    #[error("the uncertainty of a ring angle must be 0° or more, not {}°", told(*value_deg))]
    RingSigmaNegative {
        /// What was stated.
        value_deg: f64,
    },
    /// A ring uncertainty without a reading uncertainty: the two have no ratio.
    #[error(
        "an uncertainty of ring angles needs an uncertainty of readings beside it; state both, or \
         leave the ring's out"
    )]
    RingSigmaWithoutSigma,
    /// A window limit is not a positive number.
    #[error(
        "the {limit} limit of the tolerance window must be more than 0′, not {}′",
        told(*value_arcmin)
    )]
    WindowLimit {
        /// `convergence`, `divergence`, `dipvergence` or `boresight`.
        limit: &'static str,
        /// What was stated.
        value_arcmin: f64,
    },
    /// A circle handed in has parts that are not finite, or a negative radius.
    #[error("{channel} circle: centre and radius must be finite numbers, the radius 0′ or more")]
    CircleNotFinite {
        /// Which channel.
        channel: Channel,
    },
    /// The relative tolerance of touching is not a number in [0, 1).
    #[error("the tolerance for touching circles must be from 0 to less than 1, not {}", told(*value))]
    RelationTolerance {
        /// What was stated.
        value: f64,
    },
    /// A number outside what makes sense, NaN and infinities included.
    #[error("{what} must be {must}, not {}", told(*value))]
    OutOfRange {
        /// What the number is.
        what: &'static str,
        /// What was given.
        value: f64,
        /// What would do.
        must: &'static str,
    },
    /// Not enough of something to go on.
    #[error("{found} {what}; at least {needed} are needed")]
    TooFew {
        /// What there is too little of.
        what: &'static str,
        /// How many there are.
        found: usize,
        /// How many are needed.
        needed: usize,
    },
    /// A matrix that cannot be a covariance.
    #[error("{what} is no covariance: variances must be 0 or more, and correlations from −1 to 1")]
    NotACovariance {
        /// Which.
        what: &'static str,
    },
    /// The optical model covers tubes that invert their image, and no others.
    #[error(
        "a straight-through tube is not covered by the optical model; only shim effects measured on \
         this housing can be used"
    )]
    StraightThroughTube,
}

impl Error {
    /// The same for a place that names the channel already: without the channel it begins with.
    #[must_use]
    pub fn beside_channel(&self) -> String {
        let whole = self.to_string();
        match self {
            Self::TooFewReadings { channel, .. }
            | Self::OnALine { channel }
            | Self::Undetermined { channel }
            | Self::NoOffset { channel } => {
                let beside = whole.strip_prefix(&format!("{channel} channel: "));
                beside.map(str::to_owned).unwrap_or(whole)
            }
            _ => whole,
        }
    }

    /// [`Error::OutOfRange`] unless `holds`.
    pub(crate) const fn check(
        holds: bool,
        what: &'static str,
        value: f64,
        must: &'static str,
    ) -> Result<(), Self> {
        if holds { Ok(()) } else { Err(Self::OutOfRange { what, value, must }) }
    }

    /// The same of what lies between certainties, each left out.
    pub(crate) fn check_probability(what: &'static str, value: f64) -> Result<(), Self> {
        Self::check(value > 0.0 && value < 1.0, what, value, "more than 0 and less than 1")
    }

    /// The same of how far off a ring is set.
    pub(crate) fn check_ring_setting(value_deg: f64) -> Result<(), Self> {
        let holds = value_deg >= 0.0 && value_deg.is_finite();
        Self::check(holds, "the error of setting a ring", value_deg, "0° or more")
    }
}

/// What is missing, in words.
fn too_few(readings: usize, distinct_angles: usize, distinct_points: usize) -> String {
    match (readings, distinct_angles, distinct_points) {
        (0, _, _) => "no readings yet; log it at two ring angles or more".into(),
        (1, 1, _) => "one reading; log at least one more ring angle".into(),
        (_, 1, _) => {
            format!("{readings} readings but only one ring angle; log at least one more ring angle")
        }
        (_, _, points) => format!(
            "{} without ring angles at {}; without ring angles a circle needs three places, with them \
             two ring angles",
            counted_s(readings, "reading"),
            counted_s(points, "place"),
        ),
    }
}

/// A number as people write it: with a true minus sign, no more than four decimals (four digits, where
/// it begins after them), and what is no number called that.
///
/// ```
/// use solver::error::told;
/// assert_eq!(told(-0.5), "−0.5");
/// assert_eq!(told(1.137_500_000_000_000_2), "1.1375");
/// assert_eq!(told(0.000_012_345_6), "1.235e−5");
/// assert_eq!(told(1e300), "1e300");
/// assert_eq!(told(f64::NAN), "a missing number");
/// ```
#[must_use]
pub fn told(value: f64) -> String {
    if value.is_nan() {
        "a missing number".to_owned()
    } else if value.is_infinite() {
        "an endless number".to_owned()
    } else {
        let size = value.abs();
        let text = if size != 0.0 && !(1e-3..1e15).contains(&size) {
            short_power(&format!("{value:.3e}"))
        } else {
            without_zeros(&format!("{value:.4}")).to_owned()
        };
        text.replace('-', "\u{2212}")
    }
}

/// `1.200e5` → `1.2e5`.
fn short_power(text: &str) -> String {
    match text.split_once('e') {
        Some((digits, power)) => format!("{}e{power}", without_zeros(digits)),
        None => text.to_owned(),
    }
}

fn without_zeros(text: &str) -> &str {
    if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.') } else { text }
}
