//! A chart as data: points that know their sessions, curves, and the same in words.

use jiff::civil::Date;

use paper::chart::{ChartLook, ChartOnPaper};

use crate::widgets::chart;

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
    pub look: ChartLook,
}

/// A curve.
#[derive(Clone, Debug, PartialEq)]
pub struct Curve {
    /// Its points in order.
    pub points: Vec<[f64; 2]>,
    /// Whether it is drawn dashed.
    pub dashed: bool,
    /// How it looks.
    pub look: ChartLook,
}

/// A chart.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ShopChart {
    /// Its title.
    pub title: String,
    /// What lies across, and what up, with units.
    pub names: [String; 2],
    /// From where to where, x and y.
    pub extent: [[f64; 2]; 2],
    /// Whether both axes have one scale.
    pub true_shape: bool,
    /// Marks along x, and along y.
    pub marks: [Vec<(f64, String)>; 2],
    /// Points.
    pub points: Vec<Point>,
    /// Limits along y, each with what it is; beneath the points.
    pub limits: Vec<(f64, String)>,
    /// Curves, beneath the points.
    pub curves: Vec<Curve>,
    /// What it tells, in sentences.
    pub told: Vec<String>,
}

impl ShopChart {
    /// Fits the extent to what is drawn, with an edge; always holds `keep` of each axis.
    pub fn fit(&mut self, keep: [&[f64]; 2]) {
        for (axis, keep) in keep.into_iter().enumerate() {
            let of_points = self.points.iter().flat_map(|point| {
                let interval = if axis == 1 { point.interval } else { None };
                [Some(point.at[axis]), interval.map(|it| it[0]), interval.map(|it| it[1])]
            });
            let of_curves = self.curves.iter().flat_map(|curve| &curve.points).map(|at| at[axis]);
            let of_limits = self.limits.iter().map(|limit| limit.0).filter(|_| axis == 1);
            let all =
                of_points.flatten().chain(of_curves).chain(of_limits).chain(keep.iter().copied());
            self.extent[axis] = chart::around(all, 0.06).unwrap_or([-0.06, 1.06]);
        }
    }

    /// The same chart for paper. `whose`: what stands below its title.
    #[must_use]
    pub(crate) fn on_paper(&self, whose: &str) -> ChartOnPaper {
        ChartOnPaper {
            title: self.title.clone(),
            whose: whose.to_owned(),
            names: self.names.clone(),
            extent: self.extent,
            true_shape: self.true_shape,
            marks: self.marks.clone(),
            points: self.points.iter().map(|one| (one.at, one.interval, one.look)).collect(),
            limits: self.limits.clone(),
            curves: self
                .curves
                .iter()
                .map(|one| (one.points.clone(), one.dashed, one.look))
                .collect(),
            told: self.told.clone(),
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
pub(crate) fn round_marks([low, high]: [f64; 2], unit: &str) -> Vec<(f64, String)> {
    let span = high - low;
    if !(span.is_finite() && span > 0.0) {
        return Vec::new();
    }
    let step = chart::round_step(span / 6.0).unwrap_or(span);
    chart::round_marks([low, high], step)
        .into_iter()
        .map(|(at, text)| (at, format!("{text}{unit}")))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn marks_are_round_and_few() {
        let texts = |range, unit| -> Vec<String> {
            round_marks(range, unit).into_iter().map(|(_, text)| text).collect()
        };
        assert_eq!(texts([-10.5, 10.5], "′"), ["−10′", "−5′", "0′", "5′", "10′"]);
        assert_eq!(texts([0.0, 1.0], ""), ["0.0", "0.2", "0.4", "0.6", "0.8", "1.0"]);
        assert!(round_marks([1.0, 1.0], "").is_empty());
        assert!(round_marks([f64::NAN, 1.0], "").is_empty());
    }
}
