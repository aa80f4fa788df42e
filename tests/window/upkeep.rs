//! Bench upkeep: the check standard of a station and what is due.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use egui::{Key, Modifiers, vec2};
use egui_kittest::kittest::Queryable as _;
use record::checks::{CheckAbout, CheckBody, CheckFile, CheckHeader, CheckLimits, CheckTaken};
use record::fact::Approach;
use record::ledger::{LedgerAbout, LedgerFile, LedgerHeader};
use record::station::Calibration;
use record::{FileOptions, Opener, ReadingUnit, RealDisk, Shop, Stamp, Station, Typed};
use samepoint::testing::{CheckSheet, Sheet};
use solver::Channel;

use crate::bench::Bench;
use crate::layout::everything_fits;
use crate::session::log_eight;

const DAY_MS: i64 = 86_400_000;
/// 2026-11-24T09:00Z, the day before the bench's clock.
const YESTERDAY_MS: i64 = 1_795_597_200_000 - DAY_MS;

fn options(now: Stamp) -> FileOptions {
    let opener = Opener { now, ..Opener::here("KT") };
    FileOptions { disk: Arc::new(RealDisk), opener, wake: Arc::new(|| {}) }
}

/// A shop with stations that read arcminutes and were never checked, calibrated to these days.
pub(crate) fn shop(home: &Path, stations: &[(&str, &str)]) -> PathBuf {
    let folder = home.join("shop");
    Shop::lay_out(&folder).unwrap();
    let mut shop = Shop::load(&folder).unwrap();
    for (name, due) in stations {
        let calibration =
            Calibration { certificate: String::new(), done: None, due: due.parse().unwrap() };
        let usual_unit = ReadingUnit::Arcmin;
        let station =
            Station { calibration: Some(calibration), usual_unit, ..Station::plain(name) };
        shop.keep_station(station).unwrap();
    }
    folder
}

/// Twelve days that lie 0.2′ to one side and the other in turn, up to yesterday.
fn baseline(folder: &Path, station: &str, with_limits: bool) {
    let shop = Shop::load(folder).unwrap();
    let path = shop.new_check_path(station).unwrap();
    let at = |day: i64| Stamp::from_unix_milliseconds(YESTERDAY_MS - day * DAY_MS).unwrap();
    let about = CheckAbout {
        station: station.to_owned(),
        standard: "target plate 1".to_owned(),
        accepted: Vec::new(),
    };
    let header = CheckHeader::begun("test".to_owned(), about).unwrap();
    let mut file = CheckFile::create(&path, header, "KT", options(at(12))).unwrap();
    let mut from = Vec::new();
    for day in (0..12).rev() {
        let typed = if day % 2 == 0 { "0.2" } else { "-0.2" };
        let taken = CheckTaken {
            channel: Channel::Left,
            ring_deg: None,
            x: Typed::parse(typed).unwrap(),
            y: Typed::parse(typed).unwrap(),
            unit: ReadingUnit::Arcmin,
            map: Station::plain(station).map.left,
            approach: Approach::NotNoted,
        };
        from.push(file.append(CheckBody::Taken(taken), at(day), "KT").unwrap());
    }
    if with_limits {
        let limits = CheckLimits::usual(from, "first two weeks");
        file.append(CheckBody::Limits(limits), at(0), "KT").unwrap();
    }
    file.finish().unwrap();
}

/// The bench on that shop with a session just started.
pub(crate) fn bench(home: &Path, folder: PathBuf) -> Bench {
    bench_sized(home, folder, vec2(1280.0, 800.0))
}

fn bench_sized(home: &Path, folder: PathBuf, size: egui::Vec2) -> Bench {
    let mut bench = Bench::open_sized(home, Some(folder), size, 1.0);
    begin(&mut bench);
    // The cautions, which are shown once.
    bench.key(Key::Escape);
    bench
}

fn begin(bench: &mut Bench) {
    bench.type_text("0171");
    bench.key(Key::Tab);
    bench.keys(Modifiers::COMMAND, Key::A);
    bench.enter("KT");
    assert!(bench.app().session().is_some());
}

fn state(bench: &Bench) -> String {
    bench.app().checks().expect("a check file is shown").picture().state.clone()
}

/// Whether the session's station passed its check today; `None`: it was not checked.
fn passed(bench: &Bench) -> Option<bool> {
    let station = bench.app().session().unwrap().state().station().unwrap();
    station.checked.as_ref().map(|check| check.passed)
}

const MARK: &str = "was not checked against its standard today";

fn check_sheet(bench: &Bench) -> &CheckSheet {
    match bench.app().front() {
        Sheet::Check(sheet) => sheet,
        other => panic!("{other:?}"),
    }
}

/// The first reading names the standard and begins the file; nothing is judged yet.
#[test]
fn a_first_check_begins_the_file() {
    let home = tempfile::tempdir().unwrap();
    let folder = shop(home.path(), &[("Bench A", "2027-03-01")]);
    let mut bench = bench(home.path(), folder.clone());
    assert!(bench.says(MARK));
    bench.keys(Modifiers::ALT, Key::C);
    bench.type_text("target plate 1");
    for _ in 0..4 {
        bench.key(Key::Tab);
    }
    bench.enter("0.1");
    bench.enter("wide");
    assert!(bench.app().checks().unwrap().file().is_none(), "refused before the file is made");
    bench.keys(Modifiers::COMMAND, Key::A);
    bench.enter("-0.2");
    assert!(state(&bench).contains("cannot be judged yet: too few days for limits (1 of 10)"));
    assert_eq!(passed(&bench), None, "too few days decide nothing");
    // x waits for the next reading, of the other channel.
    assert_eq!(check_sheet(&bench).channel, Channel::Right);
    bench.enter("0.2");
    bench.enter("-0.1");
    assert_eq!(bench.app().checks().unwrap().checks().comparable().count(), 2);
    assert_eq!(check_sheet(&bench).channel, Channel::Left, "channel by channel in turn");
    bench.key(Key::Escape);
    // It was checked: what is missing is something that judges it. Never a pass.
    assert!(!bench.says(MARK) && bench.says("checked today, but nothing can judge that yet"));
    assert!(bench.says("checked today, not judged yet"), "in the top bar");
    bench.keys(Modifiers::ALT, Key::D);
    assert!(bench.says("Bench A: in calibration to 2027-03-01"));
    assert!(bench.says("checked today at"));
    bench.key(Key::Escape);
    // A session begun after the check is told like one that was open.
    bench.keys(Modifiers::COMMAND, Key::N);
    begin(&mut bench);
    assert!(!bench.says(MARK) && bench.says("checked today, but nothing can judge that yet"));
    bench.wait_saved().unwrap();
    // What was checked yesterday was not checked today.
    bench.clock.pass_minutes(24 * 60);
    bench.rest();
    assert!(bench.says(MARK) && !bench.says("nothing can judge that yet"));
    let (kept, unread) = Shop::load(&folder).unwrap().checks(&RealDisk).unwrap();
    assert!(unread.is_empty(), "{unread:?}");
    assert_eq!(kept[0].checks.journal.header.as_ref().unwrap().about.standard, "target plate 1");
}

/// Limits are drawn by decision; then the check makes the mark go, here and in new sessions.
#[test]
fn limits_are_drawn_and_the_mark_goes() {
    let home = tempfile::tempdir().unwrap();
    let folder = shop(home.path(), &[("Bench A", "2027-03-01")]);
    baseline(&folder, "Bench A", false);
    let mut bench = bench(home.path(), folder);
    assert!(bench.says(MARK));
    bench.keys(Modifiers::ALT, Key::C);
    assert!(state(&bench).starts_with("Not checked today: 12 days were read but no limits"));
    bench.enter("0.0");
    bench.enter("0.1");
    assert!(!bench.says(MARK) && bench.says("nothing can judge that yet"), "without limits");
    assert_eq!(passed(&bench), None);
    bench.press_anywhere("Draw limits…");
    assert!(bench.says("They will rest on all 13 readings"));
    bench.key(Key::Enter);
    assert!(bench.says("Say why"));
    bench.enter("first month");
    assert!(state(&bench).starts_with("In control"), "{}", state(&bench));
    assert_eq!(passed(&bench), Some(true));
    // What a chart shows also exists as words. Moving ranges: eleven of 0.4′ and one of 0.2′ in x,
    // mean 0.3833′; centre 0. Limits ± 3 · 0.3833/1.128 = ± 1.02 (NIST/SEMATECH e-Handbook 6.3.2.2).
    assert!(bench.says("Limits −1.02′ to 1.02′, centre 0.00′"));
    bench.key(Key::Escape);
    assert!(matches!(bench.app().front(), Sheet::Clear));
    assert!(!bench.says(MARK));
    // The entry row has the keyboard again.
    bench.type_text("7");
    assert_eq!(bench.app().entry().x, "7");

    bench.keys(Modifiers::COMMAND, Key::N);
    begin(&mut bench);
    assert_eq!(passed(&bench), Some(true), "a new session copies the check in");
    assert!(!bench.says(MARK));
}

/// A check outside says which limit; withdrawn, it decides nothing any more.
#[test]
fn a_check_outside_says_so() {
    let home = tempfile::tempdir().unwrap();
    let folder = shop(home.path(), &[("Bench A", "2027-03-01")]);
    baseline(&folder, "Bench A", true);
    let mut bench = bench(home.path(), folder);
    bench.keys(Modifiers::ALT, Key::C);
    assert!(state(&bench).starts_with("Not checked today"), "{}", state(&bench));
    bench.enter("3.0");
    bench.enter("0.0");
    // Limits ± 3 · 0.4/1.128 = ± 1.06 round 0 (NIST/SEMATECH e-Handbook 6.3.2.2).
    let said = state(&bench);
    assert!(said.starts_with("Outside: left, x: reads 3.00′, outside −1.06′ to 1.06′"), "{said}");
    assert_eq!(passed(&bench), Some(false));
    assert!(bench.says("read its check standard wrong today"));

    // The list shows the latest twelve readings; the log's own button stands before them.
    let withdraw: Vec<_> = bench.window.query_all_by_label("Withdraw…").collect();
    withdraw[withdraw.len() - 12].click_accesskit();
    drop(withdraw);
    bench.rest();
    bench.enter("knocked the plate");
    assert!(state(&bench).starts_with("Not checked today"), "{}", state(&bench));
    assert_eq!(passed(&bench), None, "the check that was withdrawn is no longer the station's");
    assert!(bench.says("withdrawn: knocked the plate"));
    bench.enter("0.1");
    bench.enter("0.1");
    assert!(state(&bench).starts_with("In control"), "{}", state(&bench));
    assert_eq!(passed(&bench), Some(true));
}

/// The most urgent station comes first, and its check is one press away.
#[test]
fn what_is_due_is_sorted() {
    let home = tempfile::tempdir().unwrap();
    let stations =
        [("Bench A", "2027-03-01"), ("Bench B", "2026-11-01"), ("Bench C", "2026-12-01")];
    let folder = shop(home.path(), &stations);
    baseline(&folder, "Bench A", true);
    let mut bench = bench(home.path(), folder);
    bench.keys(Modifiers::ALT, Key::D);
    assert!(bench.says("calibration overdue by 24 days, since 2026-11-01"));
    let top = |bench: &Bench, name: &str| bench.window.get_by_label(name).rect().top();
    let (a, b, c) = (
        top(&bench, "Check Bench A…"),
        top(&bench, "Check Bench B…"),
        top(&bench, "Check Bench C…"),
    );
    assert!(b < c && c < a, "{b} {c} {a}");
    bench.press("Check Bench B…");
    assert!(matches!(bench.app().front(), Sheet::Check(sheet) if sheet.station == "Bench B"));
    bench.press_anywhere("Bench A");
    assert!(state(&bench).starts_with("Not checked today"));
}

/// Nothing is cut short with these sheets in front, and the entry row stays in reach.
#[test]
fn sheets_fit_every_size() {
    for size in [vec2(1280.0, 800.0), vec2(960.0, 600.0), vec2(640.0, 480.0)] {
        let home = tempfile::tempdir().unwrap();
        let folder = shop(home.path(), &[("Bench A", "2027-03-01"), ("Bench B", "2026-11-01")]);
        baseline(&folder, "Bench A", true);
        let mut bench = bench_sized(home.path(), folder, size);
        bench.keys(Modifiers::COMMAND, Key::Num3);
        log_eight(&mut bench);
        let check = |bench: &Bench, what: &str| {
            everything_fits(bench, size, what);
            assert!(
                bench.window.query_by_label_contains(" x entry").is_some(),
                "{what} at {size:?}"
            );
        };
        bench.keys(Modifiers::ALT, Key::D);
        check(&bench, "what is due");
        bench.keys(Modifiers::ALT, Key::C);
        check(&bench, "check the station");
        bench.enter("3.0");
        bench.enter("0.0");
        check(&bench, "a check outside");
        bench.press_anywhere("Draw limits…");
        check(&bench, "limits to draw");
    }
}

/// A torn check file goes on when the hand says so, and the sheet shows for ever that it did.
#[test]
fn a_torn_check_file_goes_on_marked() {
    let home = tempfile::tempdir().unwrap();
    let folder = shop(home.path(), &[("Bench A", "2027-03-01")]);
    baseline(&folder, "Bench A", true);
    let files = std::fs::read_dir(folder.join("checks")).unwrap().flatten();
    let mut paths = files.map(|file| file.path());
    let path = paths.find(|path| path.extension().is_some_and(|end| end == "samepoint-check"));
    let path = path.unwrap();
    let whole = std::fs::read(&path).unwrap();
    std::fs::write(&path, [&whole[..], b"(\"0123"].concat()).unwrap();
    let mut bench = bench(home.path(), folder);
    bench.keys(Modifiers::ALT, Key::C);
    bench.press_anywhere(samepoint::testing::SET_END_ASIDE);
    assert!(bench.says("samepoint notes, end set aside: the end was missing from line 15 on"));
    assert_eq!(bench.app().checks().unwrap().checks().journal.marks.len(), 1);
}

/// A torn ledger is told in the shop's place; a press keeps what stands there, cuts it off and says so for ever.
#[test]
fn a_torn_ledger_goes_on_marked() {
    let home = tempfile::tempdir().unwrap();
    let folder = shop(home.path(), &[("Bench A", "2027-03-01")]);
    let path = folder.join("ledger").join("2026.samepoint-ledger");
    std::fs::create_dir(path.parent().unwrap()).unwrap();
    let header = LedgerHeader::begun("test".to_owned(), LedgerAbout { year: 2026 }).unwrap();
    let at = Stamp::from_unix_milliseconds(YESTERDAY_MS).unwrap();
    LedgerFile::create(&path, header, "KT", options(at)).unwrap().finish().unwrap();
    let whole = std::fs::read(&path).unwrap();
    std::fs::write(&path, [&whole[..], b"(\"0123"].concat()).unwrap();
    let mut bench = bench(home.path(), folder);
    bench.keys(Modifiers::ALT, Key::H);
    let read = |bench: &mut Bench| {
        let begun = std::time::Instant::now();
        while bench.app().places().shop.reading.is_going_on() {
            assert!(begun.elapsed() < std::time::Duration::from_secs(60), "never read");
            std::thread::sleep(std::time::Duration::from_millis(5));
            bench.rest();
        }
    };
    read(&mut bench);
    bench.press("To look at");
    assert!(bench.says("In the shop’s ledger 2026.samepoint-ledger the end is missing"));
    bench.press_anywhere("Set the torn bytes of 2026.samepoint-ledger aside and go on");
    read(&mut bench);
    assert!(bench.says("samepoint notes, end set aside: the end was missing from line 2 on"));
    assert!(!bench.says("Set the torn bytes of 2026"));
    let now = std::fs::read(&path).unwrap();
    assert!(now.starts_with(&whole) && now.ends_with(b"\n"));
}

/// The charts' axis says which days they show: the year and month where each begins.
#[test]
fn the_chart_of_a_check_says_when() {
    let home = tempfile::tempdir().unwrap();
    let folder = shop(home.path(), &[("Bench A", "2027-03-01")]);
    baseline(&folder, "Bench A", true);
    let mut bench = bench(home.path(), folder);
    bench.keys(Modifiers::ALT, Key::C);
    let charts: Vec<egui::Rect> = bench
        .window
        .query_all_by_role(egui::accesskit::Role::Image)
        .map(|chart| chart.rect())
        .collect();
    assert!(charts.len() >= 2, "one for x and one for y");
    let shapes = &bench.window.output().shapes;
    for chart in charts {
        // Twelve days up to 2026-11-24, all of one month.
        let dated = shapes.iter().any(|clipped| match &clipped.shape {
            egui::Shape::Text(text) => {
                text.galley.text() == "2026-11"
                    && chart.contains_rect(clipped.shape.visual_bounding_rect())
            }
            _ => false,
        });
        assert!(dated, "no date on the axis of {chart}");
    }
}
