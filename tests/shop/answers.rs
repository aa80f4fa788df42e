//! What many sessions answer together, from made summaries with the answer put in.

use record::shop::survey::differ::Quantity;
use record::shop::survey::seek::{Filter, SortBy};
use record::shop::survey::troubles::Trouble;
use record::{
    Axis, By, Channel, PerChannel, SentBack, SessionSummary, ShimSeen, Stamp, State, Survey,
    Verdict,
};
use solver::{Direction, Sense};

fn day(text: &str) -> Option<jiff::civil::Date> {
    Some(text.parse().unwrap())
}

/// A session of one month, that passed first or not.
fn decided(month: i8, passed: bool) -> SessionSummary {
    SessionSummary {
        file: format!("2026-{month:02}-10.samepoint"),
        day: day(&format!("2026-{month:02}-10")),
        rounds: 1,
        verdict: Some(if passed { Verdict::Pass } else { Verdict::Fail }),
        ..SessionSummary::default()
    }
}

fn shop(sessions: Vec<SessionSummary>) -> Survey {
    Survey { sessions: sessions.into(), ..Survey::default() }
}

/// Wilson's interval of 4 in 5 at 95 % is 0.3755 to 0.9638: centre (0.8 + z²/10)/(1 + z²/5), with z² =
/// 3.8415, half width z √(0.16/5 + z²/100)/(1 + z²/5), worked by hand to four decimals.
#[test]
fn months_have_their_share_and_interval() {
    let mut sessions: Vec<_> = (0..5).map(|k| decided(3, k > 0)).collect();
    sessions.push(decided(5, false));
    sessions.push(SessionSummary { verdict: Some(Verdict::NotMeasured), ..decided(4, true) });
    sessions.push(SessionSummary { practice: true, ..decided(4, true) });
    sessions.push(SessionSummary { checks: Some("a.samepoint".into()), ..decided(4, true) });
    // It passed, but only in its second round.
    sessions.push(SessionSummary { rounds: 2, ..decided(5, true) });
    let months = shop(sessions).pass_rate();
    assert_eq!(months.iter().map(|month| month.month).collect::<Vec<_>>(), [3, 5]);
    let march = months[0].passed_first;
    assert_eq!((march.successes, march.trials), (4, 5));
    assert!((march.low - 0.3755).abs() < 5e-5 && (march.high - 0.9638).abs() < 5e-5, "{march:?}");
    assert_eq!((months[1].passed_first.successes, months[1].passed_first.trials), (0, 2));
    assert_eq!(months[1].sessions, [5, 9]);
    assert!(months[0].words().starts_with("2026-03: 4 of 5 passed in their first round, 80 %"));
}

/// By hand: quartiles of 1 to 9 are 3, 5 and 7; 95 % lies 0.6 of the way from 8 to 9.
#[test]
fn half_finish_within_the_median() {
    let sessions = (1..=9).map(|k| SessionSummary {
        boresight_arcmin: Some(f64::from(k)),
        hand: "KT".into(),
        ..SessionSummary::default()
    });
    let found = shop(sessions.collect()).finishing(By::Hand);
    assert_eq!(found.len(), 1);
    for (found, expected) in found[0].quantiles_arcmin.iter().zip([3.0, 5.0, 7.0, 8.6]) {
        assert!((found - expected).abs() < 1e-12, "{found} {expected}");
    }
    assert!(found[0].words().contains("half of 9 sessions finish within 5.0′"));
}

fn shimmed(predicted: (f64, f64), measured: (f64, f64)) -> SessionSummary {
    let direction = |(x, y)| Direction::new(x, y);
    let (predicted, measured) = (direction(predicted), direction(measured));
    SessionSummary {
        housing: "Heron B".into(),
        shims: vec![ShimSeen { channel: Channel::Left, predicted, measured }],
        ..SessionSummary::default()
    }
}

/// Shims that do four fifths of what was predicted, along it, with a part across that does not count:
/// slope 0.8 exactly, so as predicted they are not.
#[test]
fn shims_that_do_less_are_found() {
    let sessions = vec![
        shimmed((3.0, 4.0), (2.4 - 0.4, 3.2 + 0.3)),
        shimmed((10.0, 0.0), (8.0, 1.0)),
        shimmed((0.0, -20.0), (-2.0, -16.0)),
        shimmed((0.0, 0.0), (1.0, 1.0)),
    ];
    let shop = shop(sessions);
    let found = shop.shims(None);
    assert_eq!(found.points.len(), 3);
    let line = found.line.unwrap();
    assert!((line.slope - 0.8).abs() < 1e-12 && line.intercept.abs() < 1e-12, "{line:?}");
    assert!(found.p_as_predicted().unwrap() < 1e-6);
    assert!(found.words().contains("not as predicted"), "{}", found.words());
    let band = found.band_at(10.0).unwrap();
    assert!(
        (band.line_arcmin - 8.0).abs() < 1e-12
            && band.mean_half_arcmin < band.next_half_arcmin + 1e-12
    );
    assert!(shop.shims(Some("Plover")).line.is_none());
    // A shim that went the other way stands out of those that did as predicted.
    let mut many: Vec<_> = (1..20)
        .map(|k| {
            let (x, off) = (f64::from(k), if k % 2 == 0 { 0.1 } else { -0.1 });
            shimmed((x, 0.0), (x + off, 0.0))
        })
        .collect();
    many.push(shimmed((5.0, 0.0), (-5.0, 0.0)));
    let many = self::shop(many).shims(None);
    let out: Vec<usize> = many
        .points
        .iter()
        .filter(|point| many.stands_out(point))
        .map(|point| point.session)
        .collect();
    assert_eq!(out, [19]);
}

/// A hand whose every value is larger than the others', told apart by exact ranks: of C(8, 4) = 70 orders
/// the two extreme ones give p 2/70; with three pairs Holm makes it 6/70 = 0.0857 for four sessions a
/// hand, and 3 · 2/C(12, 6) = 6/924 for six.
#[test]
fn a_hand_that_differs_is_found() {
    let session = |hand: &str, miss: f64| SessionSummary {
        hand: hand.into(),
        setting_miss_arcmin: Some(miss),
        ..SessionSummary::default()
    };
    let made = |each: i32| {
        let mut sessions = Vec::new();
        for k in 0..each {
            let k = f64::from(k);
            sessions.push(session("KT", 1.0 + 0.10 * k));
            sessions.push(session("RB", 1.05 + 0.10 * k));
            sessions.push(session("JO", 3.0 + 0.10 * k));
        }
        sessions.push(session("guest", 9.0));
        // Where nobody gave a name there is nobody to compare, however often.
        for nobody in ["", record::NOT_NAMED, "Not named", "–"] {
            sessions.extend((0..each).map(|_| session(nobody, 9.0)));
        }
        shop(sessions).differ(By::Hand, Quantity::SettingMiss)
    };
    let four = made(4);
    assert!(!four.too_few.iter().any(|name| record::is_nobody(name)));
    assert_eq!(four.too_few, ["guest"]);
    let names: Vec<&str> = four.groups.iter().map(|group| group.name.as_str()).collect();
    assert_eq!(names, ["JO", "KT", "RB"]);
    assert!((four.pairs[0].corrected_p - 6.0 / 70.0).abs() < 1e-12, "{:?}", four.pairs);
    assert_eq!(four.different().count(), 0);
    let six = made(6);
    assert!((six.pairs[0].corrected_p - 6.0 / 924.0).abs() < 1e-12);
    let different: Vec<[usize; 2]> = six.different().map(|pair| pair.groups).collect();
    assert_eq!(different, [[0, 1], [0, 2]]);
    let words = six.words().join("\n");
    for evidence in ["Kruskal and Wallis", "Mann and Whitney", "Holm", "JO and KT", "guest"] {
        assert!(words.contains(evidence), "{evidence}: {words}");
    }
    assert!(shop(Vec::new()).differ(By::Station, Quantity::Boresight).all.is_none());
}

/// One station moves by exactly 0.1′ a day in x, with units to one side and the other by turns; the
/// other stands still.
#[test]
fn a_station_that_wanders_is_found() {
    let mut sessions = Vec::new();
    for k in 0..12_i8 {
        let off = if k % 2 == 0 { 0.5 } else { -0.5 };
        for (station, drift) in [("Bench 2", 0.0), ("Bench 4", 0.1)] {
            let x = drift * f64::from(k) * 2.0 + off;
            sessions.push(SessionSummary {
                station: station.into(),
                day: day(&format!("2026-03-{:02}", 1 + 2 * k)),
                centres: PerChannel {
                    left: Some(Direction::new(x - 10.0, off)),
                    right: Some(Direction::new(x + 10.0, off)),
                },
                ..SessionSummary::default()
            });
        }
    }
    let found = shop(sessions).drift();
    let wander: Vec<(&str, Axis)> = found
        .iter()
        .filter(|drift| drift.wanders())
        .map(|drift| (drift.station.as_str(), drift.axis))
        .collect();
    assert_eq!(wander, [("Bench 4", Axis::X)]);
    let [month, half] = found[2].in_a_month_arcmin().unwrap();
    assert!((month - 3.0).abs() < half && half < 2.0, "{month} ± {half}");
    assert!(found[2].words().contains("wanders by"), "{}", found[2].words());
}

/// A housing whose left centres lie about (5, 0) and right ones about boresight.
#[test]
fn a_housing_that_is_off_is_found() {
    let ring = [(3.0, 0.0), (0.0, 3.0), (-3.0, 0.0), (0.0, -3.0), (2.0, 2.0), (-2.0, -2.0)];
    let sessions = ring.map(|(x, y)| SessionSummary {
        housing: "Avocet".into(),
        centres: PerChannel {
            left: Some(Direction::new(x + 5.0, y)),
            right: Some(Direction::new(x, y)),
        },
        ..SessionSummary::default()
    });
    let mut sessions = sessions.to_vec();
    sessions.push(SessionSummary { housing: "Rare".into(), ..sessions[0].clone() });
    let found = shop(sessions).centres();
    let off: Vec<(&str, Channel, bool)> =
        found.iter().map(|one| (one.housing.as_str(), one.channel, one.is_off())).collect();
    assert_eq!(
        off,
        [
            ("Avocet", Channel::Left, true),
            ("Avocet", Channel::Right, false),
            ("Rare", Channel::Left, false),
            ("Rare", Channel::Right, false),
        ]
    );
    let left = &found[0];
    assert!((left.scatter.unwrap().mean.x_arcmin - 5.0).abs() < 1e-12);
    assert!(left.of_next.unwrap().contains(Direction::new(8.0, 0.0)));
    assert!(!left.of_mean.unwrap().contains(Direction::BORESIGHT));
    assert!(left.words().contains("is off by 5.0′, 0.0′ (Hotelling’s T²"), "{}", left.words());
    assert!(found[2].words().contains("1 of 5 units needed"));
}

/// Filters, words in any case, order either way with what is missing last.
#[test]
fn sessions_are_sought() {
    let session = |file: &str, unit: &str, boresight: Option<f64>, on: &str| SessionSummary {
        file: file.into(),
        unit: unit.into(),
        tubes: PerChannel { left: format!("T-{unit}L").into(), right: format!("T-{unit}R").into() },
        hand: "KT".into(),
        day: day(on),
        boresight_arcmin: boresight,
        verdict: boresight.map(|_| Verdict::Pass),
        ..SessionSummary::default()
    };
    let survey = shop(vec![
        session("a", "0147", Some(12.0), "2026-01-05"),
        session("b", "0152", None, "2026-02-05"),
        session("c", "0163", Some(4.0), "2026-03-05"),
        SessionSummary { practice: true, ..session("d", "P-1", Some(1.0), "2026-03-06") },
        SessionSummary {
            state: State::Returned,
            sent_back: Some(SentBack {
                by: "SH".into(),
                since: Stamp::from_unix_milliseconds(0).unwrap(),
                comment: "read again".into(),
            }),
            ..session("e", "0147", Some(30.0), "2026-04-05")
        },
    ]);
    let seek = |filter: Filter, by, descending| survey.seek(&filter, by, descending);
    let words = |text: &str| Filter { words: text.into(), ..Filter::default() };
    assert_eq!(seek(Filter::default(), SortBy::Day, true), [4, 2, 1, 0]);
    assert_eq!(seek(Filter::default(), SortBy::Boresight, false), [2, 0, 4, 1]);
    assert_eq!(seek(Filter::default(), SortBy::Boresight, true), [4, 0, 2, 1]);
    assert_eq!(seek(words("t-0147l kt"), SortBy::Day, false), [0, 4]);
    assert_eq!(seek(words("RETURNED"), SortBy::Day, false), [4]);
    assert_eq!(seek(words("2026-02"), SortBy::Day, false), [1]);
    assert_eq!(seek(words("nobody"), SortBy::Day, false), [0; 0]);
    // The number of a bench is a word of its own: not a 4 in a serial number or in a day.
    let benches = shop(vec![
        SessionSummary { station: "Bench 4".into(), ..session("f", "0147", None, "2026-01-05") },
        SessionSummary { station: "Bench 5".into(), ..session("g", "0444", None, "2026-04-04") },
        SessionSummary { station: "Bench 4".into(), ..session("h", "0152", None, "2026-01-07") },
    ]);
    assert_eq!(benches.seek(&words("bench 4"), SortBy::Day, false), [0, 2]);
    assert_eq!(benches.seek(&words("Bench 4 0147"), SortBy::Day, false), [0]);
    assert_eq!(benches.seek(&words("444"), SortBy::Day, false), [1]);
    let filter = Filter { from: day("2026-02-01"), to: day("2026-03-31"), ..Filter::default() };
    assert_eq!(seek(filter.clone(), SortBy::Unit, false), [1, 2]);
    assert_eq!(seek(Filter { with_practice: true, ..filter }, SortBy::Unit, false), [1, 2, 3]);
    let passed = Filter { verdict: Some(Verdict::Pass), ..Filter::default() };
    assert_eq!(seek(passed, SortBy::Unit, false), [4, 0, 2]);
    // Of several folders seen as one, one alone.
    let mut of_two = survey.clone();
    of_two.sessions[1].folder = 1;
    of_two.sessions[4].folder = 1;
    let only = |folder| Filter { folder: Some(folder), ..Filter::default() };
    for (folder, wanted) in [(0, vec![0, 2]), (1, vec![1, 4]), (2, vec![])] {
        assert_eq!(of_two.seek(&only(folder), SortBy::Day, false), wanted);
    }
    let troubled = Filter { only_troubled: true, ..Filter::default() };
    assert_eq!(seek(troubled, SortBy::Day, false), [4]);
}

#[test]
fn troubles_are_told_in_order_of_weight() {
    let session = SessionSummary {
        follows: Some(false),
        senses: PerChannel { left: Some(Sense::With), right: Some(Sense::Against) },
        signature: State::Signed,
        ..SessionSummary::default()
    };
    let found = shop(vec![SessionSummary::default(), session]).troubles();
    assert_eq!(
        found,
        [(
            1,
            vec![
                Trouble::DoesNotFollow(None),
                Trouble::RunsAgainst(Channel::Right),
                Trouble::Waiting
            ]
        )]
    );
    assert!(found[0].1[1].words().contains("right crosshair runs against its ring"));
}

/// Names that a spreadsheet would work out are text in the table, and are read back; figures stay
/// figures. Which signs begin a formula: OWASP, CSV Injection (from memory).
#[test]
fn no_name_in_the_table_is_a_formula() {
    let names =
        ["=1+1", "+1", "-2", "@SUM(A1)", "\t=1", "\r=1", "'0147", "a\n=1", "two, \"three\""];
    let sessions = names.map(|name| SessionSummary {
        file: name.into(),
        unit: name.into(),
        housing: name.into(),
        station: name.into(),
        hand: name.into(),
        window: name.into(),
        tubes: PerChannel { left: name.into(), right: name.into() },
        checks: Some(name.into()),
        misalignment: Some(solver::Misalignment::new(-3.25, 4.0)),
        ..SessionSummary::default()
    });
    let table = shop(sessions.to_vec()).csv().unwrap();
    assert_eq!(table.iter().filter(|&&byte| byte == b'\n').count(), names.len() + 1, "a line each");
    let mut reader = csv::Reader::from_reader(table.as_slice());
    let columns = reader.headers().unwrap().clone();
    for (row, name) in reader.records().zip(names) {
        let row = row.unwrap();
        let mut texts = 0;
        for (column, cell) in columns.iter().zip(&row) {
            if column == "misalignment_x_arcmin" {
                assert_eq!(cell, "-3.25");
            } else if cell.parse::<f64>().is_err() || cell.starts_with(['+', '-']) {
                let first = cell.chars().next();
                let harmless = |c: char| !c.is_control() && !"=+-@".contains(c);
                assert!(first.is_none_or(harmless), "{column}: {cell:?}");
                texts += usize::from(record::csv_cell::read(cell) == record::shown::one_line(name));
            }
        }
        assert_eq!(texts, 9, "{name:?}: {row:?}");
    }
}
