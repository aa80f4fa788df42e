//! Repeatability and reproducibility through the study's file: AIAG, *Measurement Systems Analysis*,
//! 4th ed. (2010), chapter III section B, ten parts, three appraisers, three trials; more digits
//! recomputed with mpmath (30 digits), as in `tests/sources/aiag.rs`. The numbers stand in for
//! arcminutes.

use record::studies::{
    CellMeasured, Plan, PlanCell, Study, StudyAbout, StudyBody, StudyFact, StudyFile, StudyHeader,
    fold,
};
use record::{
    Approach, Channel, Error, Fact, JournalBody, Meaning as _, ReadingUnit, Seq, Shop, StationMap,
    Withdrawn,
};
use solver::upkeep::gauge_study::StudyMethod;

use crate::attacks::{reads_for_ever, stands_every_attack};
use crate::published_aiag::READINGS;
use crate::support::{HAND, kept, morning, own_note, printed, read_back, real, typed};

fn names(all: &[&str]) -> Vec<String> {
    all.iter().map(|name| (*name).to_owned()).collect()
}

fn parts() -> Vec<String> {
    (1..=10).map(|part| part.to_string()).collect()
}

fn header(seed: u64) -> StudyHeader {
    StudyHeader {
        format: record::journal::FIRST_FORMAT,
        program: "samepoint 0.1.0".into(),
        name: "ffeeddccbbaa99887766554433221100".into(),
        continues: None,
        about: StudyAbout {
            station: "Bench 2".into(),
            channel: Channel::Right,
            plan: Plan::drawn(parts(), names(&["A", "B", "C"]), 3, seed).unwrap(),
        },
    }
}

/// A cell of the published table: x as published, y through a turned and stretched map.
fn measured(cell: PlanCell) -> StudyBody {
    let value = READINGS[cell.hand][cell.trial][cell.part];
    StudyBody::Measured(CellMeasured {
        cell,
        ring_deg: None,
        x: typed(&format!("{value}")),
        y: typed(&format!("{}", -value)),
        unit: ReadingUnit::Divisions,
        map: StationMap { flip_y: true, arcmin_per_division: [1.0, 2.0], ..StationMap::PLAIN },
        approach: Approach::Clockwise,
    })
}

struct Log(Vec<StudyFact>);

impl Log {
    fn begun(header: StudyHeader) -> Self {
        let body = JournalBody::Header(header);
        Self(vec![Fact { seq: 1, time: morning(0), hand: HAND.into(), body }])
    }

    fn say(&mut self, body: StudyBody) -> Seq {
        fold(&self.0).admits(&body).unwrap();
        let seq = self.0.len() as Seq + 1;
        self.0.push(Fact { seq, time: morning(0), hand: HAND.into(), body: body.into() });
        seq
    }

    fn study(&self) -> Study {
        fold(&read_back(&self.0))
    }

    /// Does as the study says until nothing is open.
    fn finish(&mut self) {
        while let Some(cell) = fold(&self.0).next() {
            self.say(measured(cell));
        }
    }
}

#[test]
fn the_published_study_comes_out_of_the_file() {
    let mut log = Log::begun(header(7));
    log.finish();
    let study = log.study();
    assert_eq!(study.measurements.len(), 90);
    assert!(study.out_of_order.is_empty());
    assert_eq!(study.next_words(), "All 90 cells are measured.");
    let results = study.results().unwrap();
    let anova = results.x.anova.as_ref().unwrap();
    printed("SS part", anova.table.rows.sum, 88.3619, 4);
    printed("SS appraiser", anova.table.columns.sum, 3.1673, 4);
    printed("SS interaction", anova.table.interaction.sum, 0.3590, 4);
    printed("SS equipment", anova.table.repeat.sum, 2.7589, 4);
    assert_eq!(anova.study.method, StudyMethod::AnovaPooled);
    printed("repeatability", anova.study.repeatability.powi(2), 0.03997, 5);
    printed("reproducibility", anova.study.reproducibility.powi(2), 0.05146, 5);
    printed("gauge", anova.study.gauge(), 0.302_371_522_323, 11);
    printed("share", 100.0 * anova.study.share_of_total(anova.study.gauge()), 27.86, 2);
    assert_eq!(anova.study.categories(), Some(4));
    let range = results.x.range.as_ref().unwrap();
    printed("GRR", range.study.gauge(), 0.305_766_345_654, 11);
    printed("% GRR", 100.0 * range.study.share_of_total(range.study.gauge()), 26.68, 2);
    assert_eq!(range.study.categories(), Some(5));
    // y was read in divisions of 2′: everything twice as large, shares the same.
    printed("y gauge", results.y.study().unwrap().gauge(), 2.0 * 0.302_371_522_323, 10);
    printed("y share", results.y.share_of_limit(3.0).unwrap(), 2.0 * 0.302_371_522_323, 10);
    let words = results.x.words();
    assert!(words.starts_with("One hand repeats to 0.20′, hands differ by 0.23′"), "{words}");
    assert!(words.ends_with("28 % of all the spread seen. It tells 4 groups of units apart."));
}

#[test]
fn the_order_is_random_whole_and_the_same_from_the_same_seed() {
    let plan = header(7).about.plan;
    let order: Vec<PlanCell> = plan.order().collect();
    let again: Vec<PlanCell> = header(7).about.plan.order().collect();
    let other: Vec<PlanCell> = header(8).about.plan.order().collect();
    assert_eq!(order, again);
    assert_ne!(order, other);
    // Hand by hand, each measures every part before the next comes; trial after trial.
    for (block, cells) in order.chunks(10).enumerate() {
        assert!(cells.iter().all(|cell| cell.hand == cells[0].hand && cell.trial == block / 3));
        let mut parts: Vec<usize> = cells.iter().map(|cell| cell.part).collect();
        parts.sort_unstable();
        assert_eq!(parts, (0..10).collect::<Vec<_>>());
    }
    // Over many seeds every part comes first about equally often: 600 draws, 60 each, deviation 7.3.
    let mut first = [0; 10];
    for seed in 0..600 {
        let plan = Plan::drawn(parts(), names(&["A", "B"]), 2, seed).unwrap();
        first[plan.order().next().unwrap().part] += 1;
    }
    assert!(first.iter().all(|count| (60 - 30..=60 + 30).contains(count)), "{first:?}");
}

#[test]
fn what_is_missing_is_said_and_a_study_goes_on_where_it_stopped() {
    let folder = tempfile::tempdir().unwrap();
    Shop::lay_out(folder.path()).unwrap();
    let shop = Shop::load(folder.path()).unwrap();
    let path = shop.new_study_path(morning(0).date(), "Bench 2").unwrap();
    let mut file = StudyFile::create(&path, header(3), HAND, real()).unwrap();
    for _ in 0..88 {
        let cell = fold(file.facts()).next().unwrap();
        file.append(measured(cell), morning(0), HAND).unwrap();
    }
    file.finish().unwrap();
    let mut file = StudyFile::open(&shop.studies().unwrap()[0], real()).unwrap();
    let study = fold(file.facts());
    let open = study.open();
    assert_eq!(open.len(), 2);
    let plan = study.plan().unwrap();
    let [first, second] = [open[0], open[1]].map(|cell| plan.words(cell));
    assert!(first.contains("third trial"), "{first}");
    assert_eq!(study.next_words(), format!("Measure next: {first} (89 of 90)."));
    let gap = study.results().unwrap_err().to_string();
    assert_eq!(gap, format!("2 of 90 cells are not measured: {first}; {second}"));
    for cell in open {
        file.append(measured(cell), morning(1), HAND).unwrap();
    }
    file.finish().unwrap();
    assert!(fold(file.facts()).results().is_ok());
}

#[test]
fn a_withdrawn_measurement_opens_its_cell_again() {
    let mut log = Log::begun(header(3));
    log.finish();
    let seq = log.study().measurements[4].seq;
    let cell = log.study().measurements[4].taken.cell;
    log.say(StudyBody::Withdrawn(Withdrawn { reading: seq, reason: "bumped".into() }));
    let study = log.study();
    assert_eq!(study.next(), Some(cell));
    assert!(study.results().is_err());
    log.say(measured(cell));
    assert!(log.study().results().is_ok());
    assert_eq!(log.study().measurements.len(), 91, "nothing is lost");
}

#[test]
fn what_the_plan_does_not_have_is_refused() {
    let mut log = Log::begun(header(3));
    let order: Vec<PlanCell> = header(3).about.plan.order().collect();
    let outside = PlanCell { part: 10, hand: 0, trial: 0 };
    let mut body = measured(order[0]);
    if let StudyBody::Measured(held) = &mut body {
        held.cell = outside;
    }
    let refused = log.study().admits(&body).unwrap_err().to_string();
    assert!(refused.contains("no unit 11, hand 1, trial 1"), "{refused}");
    // Out of turn is taken, and said.
    log.say(measured(order[5]));
    assert_eq!(log.study().out_of_order, [2]);
    let twice = log.study().admits(&measured(order[5])).unwrap_err();
    assert!(matches!(twice, Error::CellMeasured { seq: 2, .. }), "{twice}");

    let refused = |parts: &[&str], hands: &[&str], trials| {
        Plan::drawn(names(parts), names(hands), trials, 1).unwrap_err().to_string()
    };
    assert!(refused(&["1"], &["A", "B"], 2).contains("the number of units"));
    assert!(refused(&["1", "2"], &["A", "B"], 1).contains("the number of trials"));
    assert!(refused(&["1", "2"], &["A", "A "], 2).contains("“A ” is named twice"));
    assert!(refused(&["1", " "], &["A", "B"], 2).contains("units is empty"));
    let [parts, hands] = [names(&["1", "2"]), names(&["A", "B"])];
    let twice = Plan::recorded(parts, hands, 2, 1, vec![0, 1, 2, 3, 4, 5, 6, 6]).unwrap_err();
    assert!(matches!(twice, Error::PlanOrder { cells: 8 }), "{twice}");
}

/// Every word of a format.
fn every_fact(format: u32) -> Log {
    let mut log = Log::begun(StudyHeader { format, ..header(3) });
    for _ in 0..4 {
        let cell = fold(&log.0).next().unwrap();
        log.say(measured(cell));
    }
    log.say(StudyBody::Withdrawn(Withdrawn { reading: 3, reason: "bumped".into() }));
    if format > record::journal::FIRST_FORMAT {
        let (seq, body) = (log.0.len() as Seq + 1, JournalBody::Noted(own_note()));
        log.0.push(Fact { seq, time: morning(0), hand: HAND.into(), body });
    }
    log
}

/// Kept for ever, as the program first wrote them.
#[test]
fn studies_of_formats_1_and_2_read_for_ever_and_would_be_written_the_same() {
    for format in [1, 2] {
        let path = kept(&format!("studies{format}/every-fact.samepoint-study"));
        reads_for_ever(&path, format, &every_fact(format).0, PartialEq::eq);
    }
}

#[test]
fn a_study_stands_every_attack() {
    for format in [1, 2] {
        stands_every_attack(&every_fact(format).0, &real());
    }
}
