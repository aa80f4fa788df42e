//! What the marks of a camera map come to as they stand: the map, how far each mark lies from it, and words for both.

use reader::camera::{LEAST_MARKS, MARKS_FOR_RADIAL};
use reader::{CameraMap, Mark};
use record::figures::number;

use super::camera::size_px;
use super::fields::Fields;
use super::marks::{self, MARKS};

/// What whole marks come to.
#[derive(Clone, Debug)]
pub(crate) struct FittedMarks {
    pub(crate) map: CameraMap,
    /// Each mark's line, in order.
    pub(crate) of_marks: Vec<FittedMark>,
    /// Lines of the graticule as the map has them, through marks: a course in the picture each, pixels.
    pub(crate) lines: Vec<Vec<[f64; 2]>>,
    /// The same in sentences.
    pub(crate) told: Vec<String>,
}

/// A mark and how it lies.
#[derive(Clone, Debug)]
pub(crate) struct FittedMark {
    /// Its place among all that are typed.
    pub(crate) row: usize,
    pub(crate) px: [f64; 2],
    /// Seen less mapped, pixels.
    pub(crate) residual_px: [f64; 2],
    /// The same in words, and when it is left out.
    pub(crate) words: String,
}

/// Why the marks make no map yet, or none at all.
#[derive(Clone, Debug, thiserror::Error)]
pub(crate) enum NoFit {
    /// Marks are wanting.
    #[error(
        "{} more with {} divisions make a map; {MARKS_FOR_RADIAL} marks or more show the lens’s distortion too.",
        paper::words::counted_s(*wanting, "mark"),
        paper::words::form_for(*wanting, "its", "their")
    )]
    Wanting {
        /// How many.
        wanting: usize,
    },
    /// The picture's size is not one.
    #[error("{0}")]
    Size(String),
    /// The marks make no map.
    #[error("{why}{}.", if *all { "" } else { " (of those whose four numbers are there)" })]
    NoMap {
        /// Why.
        why: reader::MapError,
        /// Whether all that are typed are whole: they are counted from 1.
        all: bool,
    },
}

/// What the fields come to now: a map, or what is wanting.
pub(crate) fn fitted(fields: &Fields) -> Result<FittedMarks, NoFit> {
    let rows = marks::rows(&fields.text_as_is(MARKS));
    let whole: Vec<(usize, Mark)> = rows
        .iter()
        .enumerate()
        .filter_map(|(row, typed)| {
            let mark = typed.mark(row).ok()?;
            Some((row, Mark { px: mark.px, divisions: mark.divisions }))
        })
        .collect();
    if whole.len() < LEAST_MARKS {
        return Err(NoFit::Wanting { wanting: LEAST_MARKS - whole.len() });
    }
    let size = size_px(fields).map_err(|wrong| NoFit::Size(wrong.why))?;
    let marks: Vec<Mark> = whole.iter().map(|(_, mark)| *mark).collect();
    let all = whole.len() == rows.len();
    let map = CameraMap::fit(size, &marks).map_err(|why| NoFit::NoMap { why, all })?;
    let left_out = map.left_out_px();
    let of_marks: Vec<FittedMark> = whole
        .iter()
        .enumerate()
        .map(|(place, (row, mark))| {
            let residual_px = map.residuals_px().get(place).copied().unwrap_or_default();
            let out = left_out.and_then(|all| all.get(place)).copied();
            FittedMark {
                row: *row,
                px: mark.px,
                residual_px,
                words: words(&map, mark, residual_px, out),
            }
        })
        .collect();
    let told = told(&map, &marks);
    let lines = lines(&map, &marks);
    Ok(FittedMarks { map, of_marks, lines, told })
}

fn length([x, y]: [f64; 2]) -> f64 {
    x.hypot(y)
}

fn words(map: &CameraMap, mark: &Mark, residual_px: [f64; 2], out: Option<[f64; 2]>) -> String {
    let Some(out) = out else {
        return "met exactly; more marks tell how well".to_owned();
    };
    let divisions = map.step_in_divisions(mark.px, out).map_or(f64::NAN, length);
    format!(
        "off by {} px; left out, by {} px or {} divisions",
        number(length(residual_px), 2),
        number(length(out), 2),
        number(divisions, 3)
    )
}

fn told(map: &CameraMap, marks: &[Mark]) -> Vec<String> {
    let count = marks.len();
    let k = if count < MARKS_FOR_RADIAL {
        format!(
            "The lens’s distortion is taken as k = 0: it takes {MARKS_FOR_RADIAL} marks to see it."
        )
    } else {
        format!("The lens’s distortion is k = {}.", number(map.radial().k, 4))
    };
    let Some((u, left_out)) = map.u_mark_px().zip(map.left_out_px()) else {
        return vec![
            format!("{count} marks make a map and leave nothing to tell how good it is."),
            k,
        ];
    };
    let worst = left_out.iter().enumerate().max_by(|a, b| length(*a.1).total_cmp(&length(*b.1)));
    let mut told = vec![format!("{count} marks lie off the map by {} px each way.", number(u, 2))];
    if let Some((place, out)) = worst
        && let Some(mark) = marks.get(place)
    {
        let divisions = map.step_in_divisions(mark.px, *out).map_or(f64::NAN, length);
        told.push(format!(
            "Left out one at a time they are told to within {} px, or {} divisions: worst at {}, {}.",
            number(length(*out), 2),
            number(divisions, 3),
            marks::typed(mark.divisions[0]),
            marks::typed(mark.divisions[1]),
        ));
    }
    told.push(k);
    told
}

/// The courses of the graticule's lines through marks.
fn lines(map: &CameraMap, marks: &[Mark]) -> Vec<Vec<[f64; 2]>> {
    const STEPS: u8 = 16;
    let mut courses = Vec::new();
    for axis in [0, 1] {
        let along = marks.iter().map(|mark| mark.divisions[1 - axis]);
        let (low, high) = along.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), at| {
            (low.min(at), high.max(at))
        });
        let mut at: Vec<f64> = marks.iter().map(|mark| mark.divisions[axis]).collect();
        at.sort_by(f64::total_cmp);
        at.dedup();
        for fixed in at.into_iter().take(40) {
            let course = (0..=STEPS).filter_map(|step| {
                let runs = low + (high - low) * f64::from(step) / f64::from(STEPS);
                let divisions = if axis == 0 { [fixed, runs] } else { [runs, fixed] };
                map.px_from_divisions(divisions)
            });
            courses.push(course.collect());
        }
    }
    courses
}

/// By how much residuals are drawn longer than they are, so that the longest is plain: 1, 2 or 5 times a power of ten.
pub(crate) fn arrows_times(of_marks: &[FittedMark], pixel_pt: f64) -> Option<f64> {
    const LONGEST_PT: f64 = 36.0;
    let longest = of_marks.iter().map(|mark| length(mark.residual_px)).fold(0.0, f64::max);
    let least = longest * pixel_pt / LONGEST_PT;
    // Rounding alone is no residual.
    (longest > 1e-6).then(|| 1.0 / crate::widgets::chart::round_step(least).unwrap_or(1.0))
}
