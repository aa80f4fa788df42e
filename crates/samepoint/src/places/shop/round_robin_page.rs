//! A round robin's page: which unit, in what its benches are compared, and what was read of them.

use paper::chart::ChartLook;
use std::sync::Arc;

use record::shop::survey::round_robin::{COMPARED, RoundRobin};
use record::{RealDisk, Survey};

use super::chart::{Curve, Leads, Point, ShopChart, round_marks};
use crate::jobs::{Job, Work, Workers};

/// What the page remembers.
pub struct RoundRobinPage {
    /// Units that were on several stations.
    pub units: Vec<String>,
    /// The unit; empty: all of them are listed.
    pub unit: String,
    /// In what its benches are compared, by its place in [`COMPARED`].
    pub compared: usize,
    /// What its benches measured, once its sessions were read.
    pub found: Option<RoundRobin>,
    /// The reading of them.
    pub reading: Job<Option<RoundRobin>>,
    /// Why they could not be read.
    pub refused: Option<String>,
    /// The bench, or the unit of all, that the keyboard is at.
    pub at: usize,
    /// What is compared, drawn.
    pub(crate) chart: ShopChart,
}

impl Default for RoundRobinPage {
    fn default() -> Self {
        Self {
            units: Vec::new(),
            unit: String::new(),
            compared: 0,
            found: None,
            reading: Job::idle(Work::RoundRobin),
            refused: None,
            at: 0,
            chart: ShopChart::default(),
        }
    }
}

impl RoundRobinPage {
    /// Turns to a unit and begins to read its sessions.
    pub(super) fn turn_to(
        &mut self,
        unit: String,
        survey: Option<&Arc<Survey>>,
        workers: &Workers,
    ) {
        self.found = None;
        self.refused = None;
        self.at = 0;
        self.unit = unit;
        let Some(survey) = survey.map(Arc::clone) else { return };
        let unit = self.unit.clone();
        self.reading.start(workers, move || RoundRobin::of(&survey, &unit, &RealDisk));
    }

    /// Lists all units again, at the one that was in sight.
    pub(super) fn list_all(&mut self) {
        let unit = std::mem::take(&mut self.unit);
        self.at = self.units.iter().position(|one| *one == unit).unwrap_or_default();
        self.found = None;
        self.refused = None;
    }

    /// Compares the benches in this.
    pub(super) fn compare(&mut self, compared: usize) {
        self.compared = compared.min(COMPARED.len() - 1);
        self.chart =
            self.found.as_ref().map_or_else(ShopChart::default, |of| drawn(of, self.compared));
    }

    /// Hears what was read; of a unit that is not in sight any more it is let go of.
    pub(super) fn hear(&mut self) {
        match self.reading.hear() {
            None => {}
            Some(Ok(found)) => {
                self.found = found.filter(|found| found.unit == self.unit);
                self.compare(self.compared);
            }
            Some(Err(broken)) => self.refused = Some(broken.to_string()),
        }
    }

    /// How many rows can be walked through.
    pub(crate) fn rows(&self) -> usize {
        if self.unit.is_empty() {
            return self.units.len();
        }
        self.found.as_ref().map_or(0, |found| found.rows(self.compared).len())
    }

    /// The session of the bench that the keyboard is at.
    #[must_use]
    pub fn session_at(&self) -> Option<usize> {
        let found = self.found.as_ref()?;
        let rows = found.rows(self.compared);
        found.benches.get(rows.get(self.at)?.bench?).map(|bench| bench.session)
    }
}

/// What each bench measured, with its interval, over the consensus with its own; one that is not counted stands back.
fn drawn(found: &RoundRobin, at: usize) -> ShopChart {
    let what = COMPARED.get(at).copied().unwrap_or_default();
    let mut chart = ShopChart {
        title: format!("{}, bench by bench", paper::words::capital(what)),
        names: ["bench".to_owned(), format!("{what} ′")],
        ..ShopChart::default()
    };
    let mut place = 0.0;
    for row in found.rows(at) {
        let Some(bench) = row.bench.and_then(|bench| found.benches.get(bench)) else { continue };
        let Some(value) = bench.value_at(at) else { continue };
        let [name, read, half, others, ..] = &row.cells;
        let en = row.cells.get(5).map(String::as_str).unwrap_or_default();
        let station = record::shown::one_line(&bench.station).into_owned();
        chart.marks[0].push((place, station));
        chart.points.push(Point {
            at: [place, value],
            interval: bench.interval_at(at),
            leads: Leads::Session(bench.session),
            words: format!("{name}: read {read}′ ± {half}′, the others {others}′, E_n {en}"),
            look: if bench.not_counted.is_some() { ChartLook::Quiet } else { ChartLook::Plain },
        });
        place += 1.0;
    }
    let ends = [-0.5, place - 0.5];
    if let Some((value, [low, high])) = found.consensus_at(at) {
        for (value, dashed) in [(value, false), (low, true), (high, true)] {
            let points = ends.map(|x| [x, value]).to_vec();
            chart.curves.push(Curve { points, dashed, look: ChartLook::Quiet });
        }
        chart.told.push(
            "Solid line: the consensus of all benches that are counted; dashed: it ± 95 %. Bars: what each read ± \
             95 %, its reference included."
                .to_owned(),
        );
    }
    chart.fit([&ends, &[]]);
    chart.marks[1] = round_marks(chart.extent[1], "′");
    chart
}
