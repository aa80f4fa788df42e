//! Numbers as everyone reads them, in sentences, on screen and on paper: true minus signs, units, one
//! decimal for arcminutes.

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
    let text = format!("{value:.decimals$}");
    match text.strip_prefix('-') {
        // Rounded to nothing: no sign.
        Some(digits) if digits.chars().all(|c| matches!(c, '0' | '.')) => digits.to_owned(),
        Some(digits) => format!("{MINUS}{digits}"),
        None => text,
    }
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

/// A direction: `−14.3′, 21.7′`.
#[must_use]
pub fn direction(direction: Direction) -> String {
    format!("{}, {}", arcmin(direction.x_arcmin), arcmin(direction.y_arcmin))
}

/// Percent, whole: `65 %`. More than all never reads as all: `over 100 %`.
///
/// ```
/// assert_eq!(record::figures::percent(1.0), "100 %");
/// assert_eq!(record::figures::percent(1.004), "over 100 %");
/// ```
#[must_use]
pub fn percent(share: f64) -> String {
    // What sums of a few shares may be off by is not more than all.
    if share > 1.0 + 1e-9 && share < 1.005 {
        "over 100 %".to_owned()
    } else if share.is_finite() && share < 100.0 {
        format!("{} %", number(share * 100.0, 0))
    } else {
        "over 9999 %".to_owned()
    }
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

/// So many of something: `1 reading`, `5 readings`.
#[must_use]
pub fn counted(count: usize, one: &str, many: &str) -> String {
    if count == 1 { format!("1 {one}") } else { format!("{count} {many}") }
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
