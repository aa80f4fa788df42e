//! A chart as data: points that know their sessions, curves, and the same in words.

use jiff::civil::Date;

/// How a series or a curve looks. Left and right differ in marker as well as in colour.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Look {
    /// The left channel.
    Left,
    /// The right channel.
    Right,
    /// Neither.
    #[default]
    Plain,
    /// Stands back.
    Quiet,
}

/// Where a point leads.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Leads {
    /// To a session, by its index.
    Session(usize),
    /// To the sessions from one day to another.
    Days(Date, Date),
}

/// A point.
#[derive(Clone, Debug, PartialEq)]
pub struct Point {
    /// Where.
    pub at: [f64; 2],
    /// From where to where its interval goes, in y.
    pub interval: Option<[f64; 2]>,
    /// Where it leads.
    pub leads: Leads,
    /// What it says.
    pub words: String,
    /// How it looks.
    pub look: Look,
}

/// A curve.
#[derive(Clone, Debug, PartialEq)]
pub struct Curve {
    /// Its points in order.
    pub points: Vec<[f64; 2]>,
    /// Whether it is drawn dashed.
    pub dashed: bool,
    /// How it looks.
    pub look: Look,
}

/// A number or name along an axis.
#[derive(Clone, Debug, PartialEq)]
pub struct Mark {
    /// Where.
    pub at: f64,
    /// What it says.
    pub text: String,
}

/// A chart.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Chart {
    /// Its title.
    pub title: String,
    /// What lies across, and what up, with units.
    pub names: [String; 2],
    /// From where to where, x and y.
    pub extent: [[f64; 2]; 2],
    /// Whether both axes have one scale.
    pub true_shape: bool,
    /// Marks along x, and along y.
    pub marks: [Vec<Mark>; 2],
    /// Points.
    pub points: Vec<Point>,
    /// Curves, beneath the points.
    pub curves: Vec<Curve>,
    /// What it tells, in sentences.
    pub told: Vec<String>,
}

impl Chart {
    /// Fits the extent to what is drawn, with an edge; always holds `keep` of each axis.
    pub fn fit(&mut self, keep: [&[f64]; 2]) {
        for (axis, keep) in keep.into_iter().enumerate() {
            let of_points = self.points.iter().flat_map(|point| {
                let interval = if axis == 1 { point.interval } else { None };
                [Some(point.at[axis]), interval.map(|it| it[0]), interval.map(|it| it[1])]
            });
            let of_curves = self.curves.iter().flat_map(|curve| &curve.points).map(|at| at[axis]);
            let all = of_points.flatten().chain(of_curves).chain(keep.iter().copied());
            let finite = all.filter(|value| value.is_finite());
            let (low, high) = finite
                .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), value| {
                    (low.min(value), high.max(value))
                });
            let (low, high) = if low <= high { (low, high) } else { (0.0, 1.0) };
            let edge = if high > low { 0.06 * (high - low) } else { 0.5 };
            self.extent[axis] = [low - edge, high + edge];
        }
    }

    /// Marks at round numbers along both axes.
    pub fn mark_numbers(&mut self, units: [&str; 2]) {
        for (axis, unit) in units.into_iter().enumerate() {
            self.marks[axis] = round_marks(self.extent[axis], unit);
        }
    }
}

/// About six round numbers in a range.
#[must_use]
pub fn round_marks([low, high]: [f64; 2], unit: &str) -> Vec<Mark> {
    let span = high - low;
    if !(span.is_finite() && span > 0.0) {
        return Vec::new();
    }
    let rough = span / 6.0;
    let power = 10_f64.powf(rough.log10().floor());
    let step = [1.0, 2.0, 5.0, 10.0]
        .into_iter()
        .map(|times| times * power)
        .find(|step| *step >= rough)
        .unwrap_or(rough);
    let decimals = if step >= 1.0 { 0 } else { (-step.log10()).ceil() as usize };
    let first = (low / step).ceil() as i64;
    let last = (high / step).floor() as i64;
    (first..=last.min(first + 20))
        .map(|k| {
            let at = k as f64 * step;
            Mark { at, text: format!("{}{unit}", paper::words::number(at, decimals)) }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn marks_are_round_and_few() {
        let texts = |range, unit| -> Vec<String> {
            round_marks(range, unit).into_iter().map(|mark| mark.text).collect()
        };
        assert_eq!(texts([-10.5, 10.5], "′"), ["−10′", "−5′", "0′", "5′", "10′"]);
        assert_eq!(texts([0.0, 1.0], ""), ["0.0", "0.2", "0.4", "0.6", "0.8", "1.0"]);
        assert!(round_marks([1.0, 1.0], "").is_empty());
        assert!(round_marks([f64::NAN, 1.0], "").is_empty());
    }
}
