//! What stands in the tables is the record's own account of the shop, and enough to answer its questions from.

use std::collections::{BTreeMap, BTreeSet};
use std::num::NonZeroUsize;
use std::path::Path;

use parquet::record::Field;
use record::practice::{Exam, Grade, PracticeUnit};
use record::{Body, Fact, SessionKind, Survey, fold, survey};
use tables::Table;

use crate::read_back::{Read, count, demo_shop, made, number, rows, shop, text, truth, whole_job};

fn demo() -> (tempfile::TempDir, Survey) {
    let folder = tempfile::tempdir().unwrap();
    let run = made(&[&demo_shop()], folder.path());
    // One of its files is damaged on purpose.
    assert_eq!((run.code, run.err.lines().count()), (1, 1), "{run:?}");
    assert!(run.err.contains("0412.samepoint"), "{run:?}");
    (folder, survey(&demo_shop(), NonZeroUsize::MIN).unwrap())
}

#[test]
fn a_session_is_as_the_survey_has_it() {
    let (to, survey) = demo();
    let rows = rows(to.path(), Table::Sessions);
    assert_eq!(rows.len(), survey.sessions.len() + survey.skipped.len());
    let by_file: BTreeMap<String, &Read> =
        rows.iter().map(|row| (text(row, "file").unwrap(), row)).collect();
    let maybe = |name: &str| (!name.is_empty()).then(|| name.to_owned());
    for one in &survey.sessions {
        let row = by_file[&one.file];
        assert_eq!(text(row, "session"), maybe(&one.session));
        assert_eq!(text(row, "unit"), maybe(&one.unit));
        assert_eq!(text(row, "housing"), maybe(&one.housing));
        assert_eq!(text(row, "station"), maybe(&one.station));
        assert_eq!(truth(row, "counts"), Some(one.counts()));
        assert_eq!(truth(row, "practice"), Some(one.practice));
        assert_eq!(truth(row, "damaged"), Some(false));
        assert_eq!(text(row, "state").as_deref(), Some(one.state.word()));
        assert_eq!(text(row, "verdict").as_deref(), one.verdict.map(record::Verdict::word));
        assert_eq!(truth(row, "follows"), one.follows);
        assert_eq!(number(row, "boresight_arcmin"), one.boresight_arcmin);
        assert_eq!(number(row, "window_use_share"), one.window_use);
        assert_eq!(number(row, "left_centre_x_arcmin"), one.centres.left.map(|at| at.x_arcmin));
        assert_eq!(number(row, "middle_y_arcmin"), one.middle().map(|at| at.y_arcmin));
        assert_eq!(number(row, "scatter_arcmin"), one.scatter_arcmin);
        assert_eq!(count(row, "facts"), Some(one.facts as i64));
        let day = one.day.unwrap();
        assert_eq!(text(row, "month").unwrap(), day.to_string()[..7]);
        // 1970-01-01 was 719,468 days after 0000-03-01, as civil calendars count (H. Hinnant, from memory).
        let (year, month) = (i64::from(day.year()), i64::from(day.month()));
        let (year, month) = if month > 2 { (year, month - 3) } else { (year - 1, month + 9) };
        let number = 365 * year + year / 4 - year / 100
            + year / 400
            + (153 * month + 2) / 5
            + i64::from(day.day())
            - 1
            - 719_468;
        assert_eq!(count(row, "day_number"), Some(number));
        assert_eq!(row["day"], Field::Date(number as i32));
    }
    assert!(survey.sessions.iter().any(|one| one.follows == Some(false)), "one does not follow");
}

/// What is not known is nothing, never 0: of a damaged file no more than its name is told.
#[test]
fn a_damaged_file_is_a_row_that_counts_for_nothing() {
    let (to, _) = demo();
    let of = |table| -> Vec<Read> {
        let all = rows(to.path(), table).into_iter();
        all.filter(|row| text(row, "file").is_some_and(|file| file.contains("0412"))).collect()
    };
    let sessions = of(Table::Sessions);
    let [row] = sessions.as_slice() else { panic!("{}", sessions.len()) };
    assert_eq!((truth(row, "damaged"), truth(row, "counts")), (Some(true), Some(false)));
    let known = [
        "shop_name",
        "folder",
        "file",
        "session",
        "practice",
        "examination",
        "damaged",
        "state",
        "counts",
        "format",
        "begun_utc",
        "last_utc",
        "last_hash",
        "job",
        "month",
    ];
    for (column, value) in row {
        assert!(known.contains(&column.as_str()) || *value == Field::Null, "{column}: {value}");
    }
    for table in [Table::Rounds, Table::Readings, Table::Verdicts, Table::Remedies] {
        assert!(of(table).is_empty(), "{table:?}");
    }
    let troubles = of(Table::Troubles);
    assert_eq!(text(&troubles[0], "kind").as_deref(), Some("passed over"));
    assert!(text(&troubles[0], "words").unwrap().contains("line 23"));
}

#[test]
fn readings_are_told_as_typed_and_as_mapped() {
    let folder = tempfile::tempdir().unwrap();
    let own = shop(&folder.path().join("shop"), &[("one.samepoint", &whole_job())]);
    let to = folder.path().join("to");
    let run = made(&[&own], &to);
    assert_eq!(run.code, 0, "{run:?}");
    let scanned =
        record::file::scan(&whole_job(), std::fs::File::open(whole_job()).unwrap()).unwrap();
    let session = fold(&scanned.facts);
    let entries: Vec<_> = session.rounds.iter().flat_map(|round| round.readings.iter()).collect();
    let readings = rows(&to, Table::Readings);
    assert!(readings.len() == entries.len() && readings.len() > 10);
    for (entry, row) in entries.iter().zip(&readings) {
        assert_eq!(count(row, "seq"), Some(entry.seq as i64));
        assert_eq!(truth(row, "withdrawn"), Some(!entry.in_use()));
        let channel = entry.reading.channel().unwrap();
        let (ring_deg, direction) = entry.direction(channel).unwrap();
        assert_eq!(number(row, "x_arcmin"), Some(direction.x_arcmin));
        assert_eq!(number(row, "y_arcmin"), Some(direction.y_arcmin));
        assert_eq!(number(row, &format!("{channel}_ring_deg")), ring_deg);
        assert_eq!(number(row, &format!("{}_ring_deg", channel.other())), None);
        let Field::TimestampMillis(at) = row["taken_utc"] else { panic!("{:?}", row["taken_utc"]) };
        assert_eq!(at, entry.time.unix_milliseconds());
    }
    let rounds = rows(&to, Table::Rounds);
    assert_eq!(rounds.len(), session.rounds.len());
    for (round, row) in session.rounds.iter().zip(&rounds) {
        let circles = record::circles_of(&session, round.id);
        let left = circles.as_ref().and_then(|circles| circles.fit(record::Channel::Left));
        assert_eq!(number(row, "left_radius_arcmin"), left.map(|fit| fit.circle.radius_arcmin));
        let nearest = circles.as_ref().and_then(solver::Circles::nearest);
        assert_eq!(number(row, "crossing_x_arcmin"), nearest.map(|at| at.x_arcmin));
    }
    let verdicts = rows(&to, Table::Verdicts);
    assert_eq!(verdicts.len(), 1 + session.signatures.len());
    let (now, signed) = (&verdicts[0], &verdicts[1]);
    let conclusion = record::conclude(&session).unwrap();
    assert_eq!(text(now, "verdict").as_deref(), Some(conclusion.verdict.word()));
    assert_eq!(text(signed, "hand").as_deref(), Some(session.signatures[0].hand.as_str()));
    for column in ["misalignment_x_arcmin", "boresight_arcmin", "window_use_share"] {
        let [now, signed] = [now, signed].map(|row| number(row, column).unwrap());
        assert!((now - signed).abs() < 1e-6, "{column}: {now} {signed}");
    }
    assert!(truth(&rows(&to, Table::Sessions)[0], "examination") == Some(false));
}

/// Of each unit, the file of its first visit, and whether it passed.
type FirstVisits = BTreeMap<String, (String, bool)>;

/// First passes by housing and month, from the rows alone.
#[test]
fn what_passes_first_can_be_counted() {
    let (to, survey) = demo();
    let mut first: BTreeMap<(Option<String>, String), FirstVisits> = BTreeMap::new();
    for row in rows(to.path(), Table::Sessions) {
        if truth(&row, "counts") != Some(true) || truth(&row, "decided") != Some(true) {
            continue;
        }
        let (month, file) = (text(&row, "month").unwrap(), text(&row, "file").unwrap());
        let unit = text(&row, "unit").unwrap_or_else(|| format!("file {file}"));
        let visit = (file, truth(&row, "passed_first").unwrap());
        let units = first.entry((text(&row, "housing"), month)).or_default();
        // File names of the invented shop begin with their day.
        let held = units.entry(unit).or_insert_with(|| visit.clone());
        *held = visit.min(held.clone());
    }
    let told = survey.pass_rate_by_housing();
    assert!(told.len() > 20 && told.len() == first.len());
    for month in told {
        let housing = (!month.housing.is_empty()).then(|| month.housing.clone());
        let units = &first[&(housing, format!("{:04}-{:02}", month.rate.year, month.rate.month))];
        assert_eq!(units.len(), month.rate.passed_first.trials);
        let passed = units.values().filter(|(_, passed)| *passed).count();
        assert_eq!(passed, month.rate.passed_first.successes);
    }
    let all: usize = survey.pass_rate().iter().map(|month| month.passed_first.trials).sum();
    assert!(all > 20, "{all}");
}

/// The points that a station's wandering and the shims are told from, point for point.
#[test]
fn what_lines_are_drawn_through_stands_in_the_rows() {
    let (to, survey) = demo();
    let zeros: BTreeSet<(String, u64)> = rows(to.path(), Table::Sessions)
        .iter()
        .filter(|row| truth(row, "counts") == Some(true))
        .filter_map(|row| Some((text(row, "file")?, number(row, "middle_x_arcmin")?.to_bits())))
        .collect();
    let drift = survey.drift();
    let across = drift.iter().filter(|drift| drift.axis == record::Axis::X);
    for (index, _, middle) in across.flat_map(|drift| drift.points.iter()) {
        assert!(zeros.contains(&(survey.sessions[*index].file.clone(), middle.to_bits())));
    }
    let shims: Vec<(String, [u64; 2])> = rows(to.path(), Table::Remedies)
        .iter()
        .filter(|row| truth(row, "counts") == Some(true))
        .filter_map(|row| {
            let both =
                [number(row, "predicted_shift_arcmin")?, number(row, "measured_along_arcmin")?];
            Some((text(row, "file")?, both.map(f64::to_bits)))
        })
        .collect();
    let found = survey.shims(None);
    assert!(found.points.len() > 8);
    for point in &found.points {
        let both = [point.predicted_arcmin, point.measured_arcmin].map(f64::to_bits);
        assert!(shims.contains(&(survey.sessions[point.session].file.clone(), both)));
    }
    assert_eq!(shims.len(), found.points.len() + found.later_visits);
}

#[test]
fn checks_and_studies_are_told() {
    let (to, _) = demo();
    let shop = record::Shop::load(&demo_shop()).unwrap();
    let (kept, _) = shop.checks(&record::RealDisk).unwrap();
    let checks = rows(to.path(), Table::Checks);
    assert_eq!(checks.len(), kept.iter().map(|one| one.checks.readings.len()).sum::<usize>());
    // One of its stations was off for a time.
    assert!(checks.iter().any(|row| truth(row, "outside") == Some(true)));
    assert!(checks.iter().any(|row| truth(row, "outside") == Some(false)));
    let studies = rows(to.path(), Table::Studies);
    assert!(studies.len() > 20);
    for row in &studies {
        assert!(number(row, "x_arcmin").is_some() && text(row, "part").is_some());
        let complete = truth(row, "complete") == Some(true);
        assert_eq!(number(row, "repeatability_x_arcmin").is_some(), complete);
    }
    assert!(studies.iter().any(|row| truth(row, "complete") == Some(true)));
}

/// A whole job as practice or as an examination: signed, and before that.
fn as_exam(folder: &Path) {
    let path = whole_job();
    let scanned = record::file::scan(&path, std::fs::File::open(&path).unwrap()).unwrap();
    let unit = PracticeUnit::invented(Grade::First, 12).unwrap();
    let signed =
        scanned.facts.iter().position(|fact| matches!(fact.body, Body::Signed(_))).unwrap();
    let put = |name: &str, exam: bool, facts: &[Fact]| {
        let mut facts = facts.to_vec();
        let Body::Header(header) = &mut facts[0].body else { panic!("{:?}", facts[0]) };
        let invented = unit.clone();
        let unit = if exam { invented.examined(Exam { minutes: None }) } else { invented };
        header.kind = SessionKind::Practice(unit.exercise());
        let file = std::fs::File::create(folder.join(name)).unwrap();
        record::file::write_all_lines(&facts, file).unwrap();
    };
    put("practice.samepoint", false, &scanned.facts[..=signed]);
    put("sat.samepoint", true, &scanned.facts[..signed]);
    put("signed.samepoint", true, &scanned.facts[..=signed]);
}

/// Practice counts for nothing wherever it lies; an examination that is sat withholds its answers here too.
#[test]
fn practice_and_examinations_are_columns() {
    let folder = tempfile::tempdir().unwrap();
    let own = shop(&folder.path().join("shop"), &[("real.samepoint", &whole_job())]);
    std::fs::create_dir(own.join("practice")).unwrap();
    as_exam(&own.join("practice"));
    as_exam(&own.join("sessions"));
    let to = folder.path().join("to");
    made(&[&own], &to);
    let sessions = rows(&to, Table::Sessions);
    assert_eq!(sessions.len(), 7);
    for row in &sessions {
        let file = text(row, "file").unwrap();
        let real = file == "real.samepoint";
        assert_eq!(truth(row, "practice"), Some(!real), "{file}");
        assert_eq!(truth(row, "counts"), Some(real), "{file}");
        let exam = file.starts_with("sat") || file.starts_with("signed");
        assert_eq!(truth(row, "examination"), Some(exam), "{file}");
        assert_eq!(text(row, "exercise").is_some(), !real, "{file}");
    }
    let answers = ["_arcmin", "_share", "_deg"];
    for table in [Table::Sessions, Table::Rounds, Table::Verdicts] {
        let sat = rows(&to, table)
            .into_iter()
            .filter(|row| text(row, "file").unwrap().starts_with("sat"));
        for row in sat {
            for (column, value) in &row {
                let limit = column.contains("_limit_");
                let answer = answers.iter().any(|end| column.ends_with(end)) && !limit;
                assert!(!answer || *value == Field::Null, "{table:?} {column}: {value}");
            }
            if table == Table::Verdicts {
                assert_eq!(text(&row, "verdict"), None);
                assert!(text(&row, "no_verdict_because").unwrap().contains("withholds"));
            }
        }
    }
    for table in [Table::Rounds, Table::Readings, Table::Verdicts] {
        assert!(rows(&to, table).iter().all(|row| {
            truth(row, "counts") == Some(text(row, "file").unwrap() == "real.samepoint")
        }));
    }
}
