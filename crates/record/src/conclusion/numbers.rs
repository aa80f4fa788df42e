//! The numbers a signature stores, under lasting names.

use super::Conclusion;
use super::measured::Measured;
use super::method;
use crate::fact::Number;
use crate::window::Rule;

/// What is stored whatever the rule, and all that the simple rule rests on.
const MEANS: [&str; 8] = [
    "left_x_arcmin",
    "left_y_arcmin",
    "right_x_arcmin",
    "right_y_arcmin",
    "misalignment_x_arcmin",
    "misalignment_y_arcmin",
    "boresight_arcmin",
    "window_use",
];

/// Whether a rule rests on a number, so that no signature under it may lack it. The simple rule rests
/// on the means alone; early files under it store no more.
pub(crate) fn decides(rule: Rule, name: &str) -> bool {
    let bare = name.rsplit('.').next().unwrap_or(name);
    rule.asks_uncertainty() || MEANS.contains(&bare)
}

/// A stored number's name in words, and its unit: `left_x_arcmin` is “left x”, in arcminutes.
///
/// ```
/// use record::conclusion::number_in_words;
/// assert_eq!(number_in_words("left_x_arcmin"), ("left x".to_owned(), "′"));
/// let (name, unit) = number_in_words("narrow_stop.shared_covariance_xy_arcmin2");
/// assert_eq!((name.as_str(), unit), ("narrow stop: shared covariance xy", "′²"));
/// ```
#[must_use]
pub fn number_in_words(name: &str) -> (String, &'static str) {
    let (bare, unit) = if let Some(bare) = name.strip_suffix("_arcmin2") {
        (bare.to_owned(), "′²")
    } else if name.contains("_arcmin") {
        (name.replacen("_arcmin", "", 1), "′")
    } else {
        (name.to_owned(), "")
    };
    // Numbers of a setting; else what stands before the dot is the position.
    let words = bare.replacen("points.", "crosshair ", 1).replace(".x", " x").replace(".y", " y");
    (words.replace('.', ": ").replace('_', " "), unit)
}

impl Conclusion {
    /// The numbers a signature stores, under lasting names: those of the set-up position bare,
    /// those of the others with the position before them, `narrow_stop.window_use`.
    #[must_use]
    pub fn numbers(&self) -> Vec<Number> {
        let method = self.method.number();
        let method = method.map(|value| Number { name: method::NAME.to_owned(), value });
        self.positions().flat_map(numbers).chain(method).collect()
    }
}

fn numbers(measured: &Measured) -> Vec<Number> {
    let prefix = measured.position.prefix();
    let points = &measured.points;
    let means = [
        points.left.x_arcmin,
        points.left.y_arcmin,
        points.right.x_arcmin,
        points.right.y_arcmin,
        measured.misalignment.x_arcmin,
        measured.misalignment.y_arcmin,
        measured.boresight_arcmin,
        measured.window_use.worst(),
    ];
    let mut named: Vec<(&str, f64)> = MEANS.into_iter().zip(means).collect();
    if let Some(judged) = &measured.judgement {
        let [[m_xx, m_xy], [_, m_yy]] = judged.misalignment_covariance;
        let [[b_xx, b_xy], [_, b_yy]] = judged.shared_covariance;
        let [[c_xx, c_xy], [c_yx, c_yy]] = judged.cross_covariance;
        named.extend([
            ("probability_misalignment", judged.in_box),
            ("probability_boresight", judged.in_boresight),
            ("probability_at_least", judged.inside_at_least()),
            ("misalignment_covariance_xx_arcmin2", m_xx),
            ("misalignment_covariance_xy_arcmin2", m_xy),
            ("misalignment_covariance_yy_arcmin2", m_yy),
            ("shared_covariance_xx_arcmin2", b_xx),
            ("shared_covariance_xy_arcmin2", b_xy),
            ("shared_covariance_yy_arcmin2", b_yy),
            ("cross_covariance_xx_arcmin2", c_xx),
            ("cross_covariance_xy_arcmin2", c_xy),
            ("cross_covariance_yx_arcmin2", c_yx),
            ("cross_covariance_yy_arcmin2", c_yy),
        ]);
        if judged.seatings > 1 {
            named.push(("seatings", judged.seatings as f64));
        }
        // Endless when the spread is stated, and no number then.
        if judged.freedom.is_finite() {
            named.push(("degrees_of_freedom", judged.freedom));
        }
    }
    let number = |(name, value): (&str, f64)| Number { name: format!("{prefix}{name}"), value };
    named.into_iter().map(number).collect()
}
