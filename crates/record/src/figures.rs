//! Numbers as everyone reads them, in sentences, on screen and on paper: true minus signs, units, one
//! decimal for arcminutes.

use std::borrow::Cow;
use std::fmt::Write as _;

use solver::angle::reduced_deg;
pub use solver::words::{
    capital, counted, counted_s, form_for, listed, numbered, sentence, way_round,
};
use solver::{Direction, Meeting, Misalignment, Relation};

/// The true minus sign, U+2212.
pub const MINUS: char = '\u{2212}';

/// A number with a fixed count of decimals and a true minus sign; −0.0 reads 0.0.
///
/// ```
/// assert_eq!(record::figures::number(-14.27, 1), "−14.3");
/// assert_eq!(record::figures::number(-0.04, 1), "0.0");
/// ```
#[must_use]
pub fn number(value: f64, decimals: usize) -> String {
    let mut text = String::with_capacity(12);
    push_number(&mut text, value, decimals);
    text
}

/// The same, behind what is written already.
pub fn push_number(text: &mut String, value: f64, decimals: usize) {
    let from = text.len();
    // Writing to a text does not fail.
    let _ = write!(text, "{value:.decimals$}");
    let Some(digits) = text.get(from..).and_then(|written| written.strip_prefix('-')) else {
        return;
    };
    // Rounded to nothing: no sign.
    let nothing = digits.bytes().all(|digit| matches!(digit, b'0' | b'.'));
    text.replace_range(from..=from, if nothing { "" } else { "\u{2212}" });
}

/// Arcminutes with one decimal: `−14.3′`.
#[must_use]
pub fn arcmin(value: f64) -> String {
    format!("{}′", number(value, 1))
}

/// Arcminutes with two decimals below one, where one decimal would hide an uncertainty: `0.08′`.
#[must_use]
pub fn arcmin_fine(value: f64) -> String {
    format!("{}′", number(value, if value.abs() < 0.995 { 2 } else { 1 }))
}

/// Two lengths of arc, the one beyond the other, with as few decimals as tell them apart and from nothing: `0.04′` where
/// `0.02′` is explained.
///
/// ```
/// use record::figures::arcmin_apart;
/// assert_eq!(arcmin_apart([2.13, 0.6]), ["2.1′", "0.6′"]);
/// assert_eq!(arcmin_apart([0.04, 0.02]), ["0.04′", "0.02′"]);
/// assert_eq!(arcmin_apart([0.06, 0.04]), ["0.06′", "0.04′"]);
/// assert_eq!(arcmin_apart([0.3, 0.0]), ["0.3′", "0.0′"]);
/// assert_eq!(arcmin_apart([1e-9, 0.0]), ["0.0000′", "0.0000′"]);
/// ```
#[must_use]
pub fn arcmin_apart(arcs: [f64; 2]) -> [String; 2] {
    let told = |decimals| arcs.map(|arc| number(arc, decimals));
    let tells = |told: &[String; 2]| {
        let shows = |(arc, told): (&f64, &String)| {
            *arc == 0.0 || told.contains(|sign| matches!(sign, '1'..='9'))
        };
        told[0] != told[1] && arcs.iter().zip(told).all(shows)
    };
    (1..4).map(told).find(tells).unwrap_or_else(|| told(4)).map(|told| format!("{told}′"))
}

/// Degrees as short as they can be told: whole ones without a decimal, others with one.
///
/// ```
/// assert_eq!(record::figures::degrees_short(31.0), "31°");
/// assert_eq!(record::figures::degrees_short(31.26), "31.3°");
/// ```
#[must_use]
pub fn degrees_short(value: f64) -> String {
    let whole = (value - value.round()).abs() < 1e-9;
    format!("{}°", number(value, usize::from(!whole)))
}

/// An angle on a ring or a clock, in [0°, 360°) after rounding too: `330°`.
///
/// ```
/// use record::figures::bearing;
/// assert_eq!(bearing(-30.0, 0), "330°");
/// assert_eq!(bearing(400.0, 0), "40°");
/// assert_eq!(bearing(359.7, 0), "0°");
/// ```
#[must_use]
pub fn bearing(deg: f64, decimals: usize) -> String {
    let scale = 10_f64.powi(i32::try_from(decimals).unwrap_or(0));
    let rounded = (reduced_deg(deg) * scale).round() / scale;
    format!("{}°", number(reduced_deg(rounded), decimals))
}

/// Decimals that show a step exactly: 0 for 1° and for none, 1 for 0.5°; at most three.
#[must_use]
pub fn step_decimals(step_deg: f64) -> usize {
    if step_deg == 0.0 {
        return 0;
    }
    (0..3)
        .find(|&k| {
            let scaled = step_deg * 10_f64.powi(k);
            (scaled - scaled.round()).abs() < 1e-9 && scaled.round() >= 1.0
        })
        .map_or(3, |k| k as usize)
}

/// A direction: `−14.3′, 21.7′`.
#[must_use]
pub fn direction(direction: Direction) -> String {
    format!("{}, {}", arcmin(direction.x_arcmin), arcmin(direction.y_arcmin))
}

/// Percent, whole: `65 %`. What is more than nothing never reads as nothing, and what is less or more
/// than all never as all: `less than 1 %`, `over 99 %`, `over 100 %`.
///
/// ```
/// use record::figures::percent;
/// assert_eq!(percent(1.0), "100 %");
/// assert_eq!(percent(1.004), "over 100 %");
/// assert_eq!(percent(0.996), "over 99 %");
/// assert_eq!(percent(0.004), "less than 1 %");
/// assert_eq!(percent(0.0), "0 %");
/// ```
#[must_use]
pub fn percent(share: f64) -> String {
    // What sums of a few shares may be off by is neither more than all nor more than nothing.
    if share > 1.0 + SUMS_OFF_BY && share < 1.005 {
        "over 100 %".to_owned()
    } else if (0.995..1.0 - SUMS_OFF_BY).contains(&share) {
        "over 99 %".to_owned()
    } else if share > SUMS_OFF_BY && share < 0.005 {
        "less than 1 %".to_owned()
    } else if share.is_finite() && share < 100.0 {
        format!("{} %", number(share * 100.0, 0))
    } else {
        "over 9999 %".to_owned()
    }
}

/// The same for a narrow place, a table or beside a bar: `65 %`, `< 1 %`, `> 99 %`.
///
/// ```
/// assert_eq!(record::figures::percent_short(0.004), "< 1 %");
/// assert_eq!(record::figures::percent_short(1.004), "> 100 %");
/// ```
#[must_use]
pub fn percent_short(share: f64) -> String {
    percent(share).replace("less than", "<").replace("over", ">")
}

/// What sums of a few shares may be off by.
const SUMS_OFF_BY: f64 = 1e-9;

/// An upper bound in percent, rounded up: `no more than 65 %`; `less than 1 %`.
///
/// ```
/// use record::figures::percent_at_most;
/// assert_eq!(percent_at_most(0.642), "no more than 65 %");
/// assert_eq!(percent_at_most(0.002), "less than 1 %");
/// ```
#[must_use]
pub fn percent_at_most(share: f64) -> String {
    if share < 0.01 {
        return "less than 1 %".to_owned();
    }
    format!("no more than {}", percent((share * 100.0 - SUMS_OFF_BY).ceil() / 100.0))
}

/// An upper bound in arcminutes, rounded up to a tenth: `no more than 0.7′`; `less than 0.1′`.
///
/// ```
/// use record::figures::arcmin_at_most;
/// assert_eq!(arcmin_at_most(0.61), "no more than 0.7′");
/// assert_eq!(arcmin_at_most(0.02), "less than 0.1′");
/// ```
#[must_use]
pub fn arcmin_at_most(value: f64) -> String {
    if value < 0.1 {
        return "less than 0.1′".to_owned();
    }
    format!("no more than {}", arcmin((value * 10.0 - SUMS_OFF_BY).ceil() / 10.0))
}

/// A small turn of a ring, seen from the eye side; one that is rounded to nothing has no way round:
/// `0.8° clockwise`, `less than 0.1°`, `0.0°`.
///
/// ```
/// use record::figures::turn;
/// assert_eq!(turn(-0.84), "0.8° counter-clockwise");
/// assert_eq!(turn(-0.01), "less than 0.1°");
/// ```
#[must_use]
pub fn turn(deg: f64) -> String {
    let small = || if deg == 0.0 { "0.0°".to_owned() } else { "less than 0.1°".to_owned() };
    Turned::new(deg, 1).map_or_else(small, |turned| turned.to_string())
}

/// How far a ring is turned and which way, in words: `31° clockwise`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Turned {
    /// How far: `31°`.
    pub amount: String,
    /// Which way round, seen from the eye side.
    pub way: &'static str,
}

impl Turned {
    /// A turn of `clockwise_deg`, positive clockwise, to so many decimals; none where nothing is left of it.
    ///
    /// ```
    /// use record::figures::Turned;
    /// assert_eq!(Turned::new(-31.2, 0).unwrap().to_string(), "31° counter-clockwise");
    /// assert_eq!(Turned::new(0.4, 0), None);
    /// ```
    #[must_use]
    pub fn new(clockwise_deg: f64, decimals: usize) -> Option<Self> {
        let amount = number(clockwise_deg.abs(), decimals);
        let is_left = amount.chars().any(|c| !matches!(c, '0' | '.'));
        is_left.then(|| Self { amount: format!("{amount}°"), way: way_round(clockwise_deg) })
    }

    /// The same, or what is said where the ring stays.
    #[must_use]
    pub fn or_stay(clockwise_deg: f64, decimals: usize) -> String {
        Self::new(clockwise_deg, decimals)
            .map_or_else(|| "stay".to_owned(), |turned| turned.to_string())
    }
}

impl core::fmt::Display for Turned {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        write!(f, "{} {}", self.amount, self.way)
    }
}

/// Two numbers that differ, with as many decimals as it takes to see it, and no more than four.
///
/// ```
/// use record::figures::apart;
/// assert_eq!(apart(0.42, 1.137_500_000_000_000_2), ["0.42", "1.14"].map(str::to_owned));
/// assert_eq!(apart(12.0, 12.000_01), ["12.0000", "12.0000"].map(str::to_owned));
/// ```
#[must_use]
pub fn apart(one: f64, other: f64) -> [String; 2] {
    let told = |decimals| [one, other].map(|value| number_or_word(value, decimals));
    (2..4).map(told).find(|[one, other]| one != other).unwrap_or_else(|| told(4))
}

fn number_or_word(value: f64, decimals: usize) -> String {
    if value.abs() < 1e15 { number(value, decimals) } else { solver::error::told(value) }
}

/// The words of a text between which a line may end: a number stays with its unit, and with what may
/// be added to it.
///
/// ```
/// let words = record::figures::unbroken("uses 65 % of it, ± 0.2 mm.");
/// assert_eq!(words, ["uses", "65 %", "of", "it,", "± 0.2 mm."]);
/// ```
#[must_use]
pub fn unbroken(text: &str) -> Vec<&str> {
    let mut words = Vec::new();
    let mut begun = 0;
    for (blank, _) in text.match_indices(' ').filter(|(blank, _)| !stays(text, *blank)) {
        words.push(text.get(begun..blank).unwrap_or_default());
        begun = blank + 1;
    }
    words.push(text.get(begun..).unwrap_or_default());
    words.retain(|word| !word.is_empty());
    words
}

/// The same text, with spaces that do not break (U+00A0) where a line may not end.
///
/// ```
/// use record::figures::kept_together;
/// assert_eq!(kept_together("65 % of it, ± 0.2 mm"), "65\u{a0}% of it, ±\u{a0}0.2\u{a0}mm");
/// assert!(matches!(kept_together("as it is"), std::borrow::Cow::Borrowed(_)));
/// ```
#[must_use]
pub fn kept_together(text: &str) -> Cow<'_, str> {
    let mut kept = String::new();
    let mut begun = 0;
    for (blank, _) in text.match_indices(' ').filter(|(blank, _)| stays(text, *blank)) {
        kept.push_str(text.get(begun..blank).unwrap_or_default());
        kept.push('\u{a0}');
        begun = blank + 1;
    }
    if begun == 0 {
        return Cow::Borrowed(text);
    }
    kept.push_str(text.get(begun..).unwrap_or_default());
    Cow::Owned(kept)
}

/// Whether what stands before and behind a blank of a text belongs together.
fn stays(text: &str, blank: usize) -> bool {
    const UNITS: [&str; 10] = ["%", "mm", "m", "D", "div", "mil", "mrad", "px", "Δ", "±"];
    let before = text.get(..blank).unwrap_or_default();
    let after = text.get(blank + 1..).unwrap_or_default();
    let next = after.split(char::is_whitespace).next().unwrap_or_default();
    let unit = next.trim_end_matches(['.', ',', ';', ':', ')', '”']);
    let of_number = before.ends_with(|c: char| c.is_ascii_digit());
    before.ends_with('±') || (of_number && UNITS.contains(&unit))
}

/// How two circles meet, in a sentence.
#[must_use]
pub fn meeting_sentence(meeting: &Meeting) -> String {
    let gap = arcmin(meeting.gap_arcmin);
    match meeting.relation {
        Relation::Crossing => "The circles cross at two points.".to_owned(),
        Relation::Tangent => "The circles touch at one point.".to_owned(),
        Relation::Separate => {
            format!("The circles do not meet: each lies outside the other, {gap} apart.")
        }
        Relation::Contained => format!(
            "The circles do not meet: one lies inside the other, {gap} apart at the nearest."
        ),
        Relation::Concentric => {
            format!("The circles do not meet: they share a centre, {gap} apart all round.")
        }
        Relation::Coincident => {
            "The circles are the same circle: every point of it would do.".to_owned()
        }
    }
}

/// That two crossings are equally near boresight as far as the readings tell, and why one of them is
/// taken; `None` where one is nearer, or there are not two.
#[must_use]
pub fn equally_near(meeting: &Meeting) -> Option<String> {
    let nearer = meeting.nearer().filter(solver::meet::Nearer::is_open)?;
    if nearer.tied {
        return Some(
            "Both crossings are equally near boresight; the higher one is taken, at one height the \
             one farther right."
                .to_owned(),
        );
    }
    let half = nearer.uncertainty.and_then(|uncertainty| uncertainty.half_width_95())?;
    Some(format!(
        "Both crossings are equally near boresight as far as the readings tell: they differ by {} ± {} \
         (95 %). The one that came out nearer is taken; the other would do as well.",
        arcmin_fine(nearer.by_arcmin),
        arcmin_fine(half)
    ))
}

/// A probability with a decimal, never rounded to a certainty: `97.3 %`, `over 99.9 %`.
#[must_use]
pub fn probability(share: f64) -> String {
    match 100.0 * share {
        percent if percent > 99.9 => "over 99.9 %".to_owned(),
        percent if percent < 0.1 => "under 0.1 %".to_owned(),
        percent => format!("{} %", number(percent, 1)),
    }
}

/// A lower bound of a probability, rounded down and never to a certainty: `99.9 %`.
#[must_use]
pub fn at_least(share: f64) -> String {
    format!("{} %", number((share * 1000.0).floor().min(999.0) / 10.0, 1))
}

/// What a misalignment asks of the eyes, in words.
///
/// ```
/// use solver::Misalignment;
/// assert_eq!(
///     record::figures::misalignment(Misalignment::new(-4.0, 1.0)),
///     "the eyes must converge 4.0′, right image high 1.0′"
/// );
/// ```
#[must_use]
pub fn misalignment(misalignment: Misalignment) -> String {
    let Misalignment { x_arcmin, y_arcmin } = misalignment;
    let side = if number(x_arcmin.abs(), 1) == "0.0" {
        "the eyes look straight".to_owned()
    } else if x_arcmin > 0.0 {
        format!("the eyes must diverge {}", arcmin(x_arcmin))
    } else {
        format!("the eyes must converge {}", arcmin(-x_arcmin))
    };
    let height = if number(y_arcmin.abs(), 1) == "0.0" {
        "both images level".to_owned()
    } else if y_arcmin > 0.0 {
        format!("right image high {}", arcmin(y_arcmin))
    } else {
        format!("right image low {}", arcmin(-y_arcmin))
    };
    format!("{side}, {height}")
}
