//! One unit on several benches, made ready to look at: which units there are, one of them compared.

use std::sync::Arc;

use paper::words;
use record::shop::survey::round_robin::{COMPARED, RoundRobin, ScoreWord};
use record::{Disk, Survey};
use solver::uncertainty::Uncertainty;

use super::chart::{AxisMark, Curve, Leads, Point, SeriesLook, ShopChart};
use super::charts::ShopCharts;
use crate::jobs::{Broken, Job, Work, Workers};

/// How far a bench and what it is held against stand apart.
const APART: f64 = 0.14;

/// What was asked, and what came of it.
pub struct RobinShown {
    /// What is typed to find a unit.
    pub typed: String,
    /// What is known of it.
    pub known: RobinRead,
    /// The reading of the unit's sessions.
    pub reading: Job<RobinRead>,
    /// Why they could not be read.
    pub refused: Option<Broken>,
}

/// What was read.
#[derive(Clone, Debug, Default)]
pub struct RobinRead {
    /// The units that were measured on several stations.
    pub units: Vec<String>,
    /// The one that is compared; empty: none.
    pub unit: String,
    /// What it comes to.
    pub found: Option<RoundRobin>,
}

impl Default for RobinShown {
    fn default() -> Self {
        Self {
            typed: String::new(),
            known: RobinRead::default(),
            reading: Job::idle(Work::RoundRobin),
            refused: None,
        }
    }
}

impl RobinShown {
    /// Reads the sessions of a unit, or where it is not among them of the first of those that several
    /// stations measured. What is in sight stays meanwhile.
    pub(crate) fn read(
        &mut self,
        survey: &Arc<Survey>,
        unit: String,
        disk: Arc<dyn Disk>,
        workers: &Workers,
    ) {
        let survey = Arc::clone(survey);
        self.refused = None;
        self.reading.start(workers, move || {
            let units = RoundRobin::units(&survey);
            let unit = if units.contains(&unit) { Some(unit) } else { units.first().cloned() };
            let unit = unit.unwrap_or_default();
            let found = RoundRobin::of(&survey, &unit, &*disk).filter(|_| !unit.is_empty());
            RobinRead { units, unit, found }
        });
    }

    /// Hears what they come to; whether that changed.
    pub(crate) fn hear(&mut self) -> bool {
        match self.reading.hear() {
            None => return false,
            Some(Ok(known)) => self.known = known,
            Some(Err(broken)) => self.refused = Some(broken),
        }
        true
    }

    /// What is compared, a chart each: what each bench read, and beside it what all others come to.
    #[must_use]
    pub(crate) fn charts(&self) -> ShopCharts {
        let Some(found) = &self.known.found else { return ShopCharts::default() };
        let charts: Vec<ShopChart> =
            (0..COMPARED.len()).filter_map(|at| compared(found, at)).collect();
        let told = if charts.is_empty() { Vec::new() } else { vec![HOW.to_owned()] };
        ShopCharts { told, charts }
    }
}

const HOW: &str = "Dots, solid bars: what each bench read, with 95 %. Open diamonds, dashed bars, to their right: the \
                   consensus of all others. Line: that of all, between its 95 % (dashed).";

fn compared(found: &RoundRobin, at: usize) -> Option<ShopChart> {
    let what = *COMPARED.get(at)?;
    let mut chart = ShopChart {
        title: words::capital(what),
        names: ["bench".to_owned(), "′".to_owned()],
        ..ShopChart::default()
    };
    for (place, bench) in found.benches.iter().enumerate() {
        let value = bench.value.get(at).copied().flatten();
        let Some(value) = value else { continue };
        let (x, leads) = (place as f64, Leads::Session(bench.session));
        let station = record::shown::one_line(&bench.station).into_owned();
        let en = bench.en.get(at).copied().flatten();
        let judged = en.map_or_else(
            || format!("E_n {}", ScoreWord::NotKnown.word()),
            |en| format!("E_n {}, {}", words::number(en, 2), ScoreWord::of(Some(en)).word()),
        );
        let own = half(bench.u.get(at).copied().flatten());
        chart.points.push(Point {
            at: [x - APART, value],
            interval: own.map(|half| [value - half, value + half]),
            leads,
            words: format!("{station} read {} · {judged}", with_half(value, own)),
            look: SeriesLook::Plain,
        });
        if let Some((others, u)) = bench.others.get(at).copied().flatten() {
            let half = half(Some(u));
            chart.points.push(Point {
                at: [x + APART, others],
                interval: half.map(|half| [others - half, others + half]),
                leads,
                words: format!("all but {station}: {}", with_half(others, half)),
                look: SeriesLook::Others,
            });
        }
        chart.marks[0].push(AxisMark { at: x, text: station });
    }
    if chart.points.is_empty() {
        return None;
    }
    let ends = [-0.5, found.benches.len() as f64 - 0.5];
    if let Some(Some(all)) = found.consensus.get(at) {
        let half = half(Some(all.u)).unwrap_or(0.0);
        for (off, dashed) in [(0.0, false), (-half, true), (half, true)] {
            let points = ends.map(|x| [x, all.value + off]).to_vec();
            chart.curves.push(Curve { points, dashed, look: SeriesLook::Quiet });
        }
        let known = with_half(all.value, Some(half).filter(|half| *half > 0.0));
        chart.told.push(format!("Consensus of all: {known}."));
    } else {
        chart.told.push("No consensus: fewer than two benches are known well enough.".to_owned());
    }
    if at == 0 {
        chart.told.push("Below 0 the eyes must converge.".to_owned());
    }
    chart.fit([&ends, &[]]);
    chart.marks[1] = super::chart::round_marks(chart.extent[1], "′");
    Some(chart)
}

/// The half width of the 95 % interval.
pub(crate) fn half(u: Option<Uncertainty>) -> Option<f64> {
    u.and_then(|u| u.half_width_95())
}

fn with_half(value: f64, half: Option<f64>) -> String {
    let value = words::number(value, 2);
    half.map_or_else(
        || format!("{value}′, how well is not known"),
        |half| format!("{value}′ ± {}′", words::number(half, 2)),
    )
}
