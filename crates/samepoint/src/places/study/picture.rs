//! What a study comes to, in words, a table and charts. Until it is whole no value is in sight: a hand
//! that knows the others' readings no longer reads by itself.

use jiff::civil::Date;
use paper::words::{arcmin, number, percent};
use record::fact::Seq;
use record::studies::{AxisResult, LimitShare, PlanCell, Study};
use record::{Axis, Meaning as _};
use solver::stats::sample::Sample;

use crate::shell::open_journal::JournalView;

/// What a study comes to.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct StudyView {
    /// Of what, in a line.
    pub title: String,
    /// What to do now.
    pub next: String,
    /// The cell to measure now.
    pub cell: Option<PlanCell>,
    /// How many cells are measured, and of how many.
    pub done: [usize; 2],
    /// The plan as a table: a unit a row, hands and in them trials across.
    pub table: Vec<TableRow>,
    /// The hands' names.
    pub hands: Vec<String>,
    /// How often each hand measures each unit.
    pub trials: usize,
    /// Measurements, the latest first.
    pub measurements: Vec<MeasuredRow>,
    /// Both axes, once the table is full.
    pub axes: Vec<AxisView>,
    /// What was left aside, and why.
    pub remarks: Vec<String>,
}

/// A unit's row.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TableRow {
    /// The unit.
    pub part: String,
    /// Whether each cell is measured, hands and in them trials.
    pub done: Vec<bool>,
}

/// A measurement.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MeasuredRow {
    /// Its identity.
    pub seq: Seq,
    /// Which cell, when, by whom entered; its value once the table is full.
    pub words: String,
    /// Why it was withdrawn, if it was.
    pub withdrawn: Option<String>,
}

/// One axis.
#[derive(Clone, Debug, PartialEq)]
pub struct AxisView {
    /// Which.
    pub axis: Axis,
    /// The result in a sentence or two.
    pub told: Vec<String>,
    /// Name, standard deviation and share of the total, each in words.
    pub parts: Vec<[String; 3]>,
    /// By unit, then hand: the readings, arcminutes.
    pub readings: Vec<Vec<Vec<f64>>>,
    /// Their means.
    pub means: Vec<Vec<f64>>,
}

impl JournalView<Study> for StudyView {
    /// What a study comes to, on whatever day.
    fn of(study: &Study, _: Date) -> Self {
        let Some((about, plan)) = study.about().map(|about| (about, &about.plan)) else {
            return Self { next: study.next_words(), ..Self::default() };
        };
        let open = study.open();
        let whole = open.is_empty();
        let is_done = |cell: PlanCell| !open.contains(&cell);
        let table = (0..plan.parts().len()).zip(plan.parts()).map(|(part, name)| {
            let cells = (0..plan.hands().len()).flat_map(|hand| {
                (0..plan.trials()).map(move |trial| PlanCell { part, hand, trial })
            });
            TableRow { part: name.clone(), done: cells.map(is_done).collect() }
        });
        let measurements = study.measurements.iter().rev().map(|held| {
            let value = if whole {
                let p = held.direction;
                format!(": {}, {}", arcmin(p.x_arcmin), arcmin(p.y_arcmin))
            } else {
                String::new()
            };
            let order = if study.out_of_order.contains(&held.seq) { ", out of order" } else { "" };
            MeasuredRow {
                seq: held.seq,
                words: format!(
                    "{}{value} · {} {}, entered by {}{order}",
                    paper::words::capital(&plan.words(held.taken.cell)),
                    held.time.date(),
                    held.time.time_of_day(),
                    held.hand
                ),
                withdrawn: held.withdrawn.as_ref().map(|gone| gone.reason.clone()),
            }
        });
        Self {
            title: format!(
                "{} · {} channel · {} units, {} hands, {} trials",
                about.station,
                about.channel.word(),
                plan.parts().len(),
                plan.hands().len(),
                plan.trials()
            ),
            next: study.next_words(),
            cell: open.first().copied(),
            done: [plan.cells() - open.len(), plan.cells()],
            table: table.collect(),
            hands: plan.hands().to_vec(),
            trials: plan.trials(),
            measurements: measurements.collect(),
            axes: axes(study),
            remarks: study
                .journal
                .ignored
                .iter()
                .map(|(seq, why)| format!("Fact {seq} is left aside: {why}."))
                .chain(study.journal.marks.iter().map(crate::upkeep::picture::mark_words))
                .collect(),
        }
    }
}

fn axes(study: &Study) -> Vec<AxisView> {
    let (Ok(results), Some(plan)) = (study.results(), study.plan()) else { return Vec::new() };
    let of = |axis: Axis, result: &AxisResult| {
        let mut readings = vec![vec![Vec::new(); plan.hands().len()]; plan.parts().len()];
        for held in study.in_use() {
            let cell = held.taken.cell;
            if let Some(list) = readings.get_mut(cell.part).and_then(|of| of.get_mut(cell.hand)) {
                list.push(axis.of(held.direction));
            }
        }
        let mean = |readings: &Vec<f64>| Sample::of(readings).map_or(f64::NAN, |held| held.mean);
        let means = readings.iter().map(|by_hand| by_hand.iter().map(mean).collect()).collect();
        AxisView { axis, told: told(result), parts: parts(result), readings, means }
    };
    vec![of(Axis::X, &results.x), of(Axis::Y, &results.y)]
}

fn told(result: &AxisResult) -> Vec<String> {
    let mut told = vec![result.words()];
    if let (Ok(_), Ok(range)) = (&result.anova, &result.range) {
        told.push(format!(
            "By average and range the bench and the hands together spread by {}.",
            arcmin2(range.study.gauge())
        ));
    }
    told
}

fn parts(result: &AxisResult) -> Vec<[String; 3]> {
    let Some(study) = result.study() else { return Vec::new() };
    [
        ("Repeatability: one hand again", study.repeatability),
        ("Reproducibility: another hand", study.reproducibility),
        ("Bench and hands together", study.gauge()),
        ("Units", study.part),
        ("All", study.total()),
    ]
    .map(|(name, deviation)| {
        [name.to_owned(), arcmin2(deviation), percent(study.share_of_total(deviation))]
    })
    .to_vec()
}

fn arcmin2(value: f64) -> String {
    format!("{}′", number(value, 2))
}

/// How much of a tolerance window the bench and the hands use up by themselves, an axis a sentence;
/// nothing until the table is full.
#[must_use]
pub(crate) fn window_words(study: &Study, window: &record::NamedWindow) -> Vec<String> {
    let Ok(results) = study.results() else { return Vec::new() };
    let shares = results.shares_of(&window.limits);
    shares
        .map(|LimitShare { axis, limit_arcmin, share }| {
            format!(
                "{}: three standard deviations of bench and hands are {} of the {} limit of {} ({}).",
                paper::words::capital(axis.word()),
                percent(share),
                if axis == Axis::X { "tighter sideways" } else { "dipvergence" },
                arcmin(limit_arcmin),
                window.name
            )
        })
        .collect()
}
