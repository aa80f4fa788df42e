//! A shop's month on paper: its counts beside those made here from the sessions, one by one.

use std::io::Cursor;
use std::num::NonZeroUsize;

use paper::{PaperSize, marks, month_report};
use record::shop::survey::period::Period;
use record::{Stamp, Survey, Verdict, survey};

use crate::reading::Report;
use crate::session::root;

fn noon() -> Stamp {
    // 2026-11-28 12:00.
    Stamp::from_unix_milliseconds(1_795_867_200_000).unwrap()
}

fn drawn(shop: &Survey, month: &str) -> Vec<u8> {
    month_report(shop, Period::month(month).unwrap(), "Fen Lane", noon(), PaperSize::A4).unwrap()
}

#[test]
fn a_month_says_what_its_sessions_came_to() {
    let shop = survey(&root().join("demo-data"), NonZeroUsize::MIN).unwrap();
    let mut failed_in = 0;
    for month in ["2026-04", "2026-05", "2026-06"] {
        let bytes = drawn(&shop, month);
        assert!(bytes == drawn(&shop, month));
        assert!(marks::is_our_month_report(&mut Cursor::new(&bytes)).unwrap());
        assert!(!marks::is_our_recall_list(&mut Cursor::new(&bytes)).unwrap());
        let report = Report::read(&bytes);
        report.says(&format!("{month}, shop Fen Lane"));
        let of_month: Vec<_> = shop
            .counted()
            .map(|(_, session)| session)
            .filter(|session| session.day.is_some_and(|day| day.to_string().starts_with(month)))
            .collect();
        report.says(&format!("{} sessions", of_month.len()));
        for verdict in [Verdict::Pass, Verdict::Fail] {
            let with = of_month.iter().filter(|session| session.verdict == Some(verdict));
            let (with, signed) = with.fold((0, 0), |(all, signed), session| {
                (all + 1, signed + usize::from(session.signed))
            });
            if with > 0 {
                report.says(&format!("{} {with} {signed}", verdict.word()));
            }
        }
        for session in of_month.iter().filter(|session| session.verdict == Some(Verdict::Fail)) {
            failed_in += 1;
            report.says(&session.unit);
            report.says(&session.day.unwrap().to_string());
        }
        report.says("What waits on 2026-11-28");
        report.says("Not looked at:");
        report.says("0412.samepoint");
    }
    assert!(failed_in > 0, "no month with a failed unit was looked at");
}

/// A month without work is a page, and gives no figure that is none.
#[test]
fn a_month_without_work_says_so() {
    let shop = survey(&root().join("demo-data"), NonZeroUsize::MIN).unwrap();
    let report = Report::read(&drawn(&shop, "2019-02"));
    report.says("0 sessions of 0 units from 2019-02-01 to 2019-02-28");
    report.says("No session was read in this time.");
    report.says("No unit came to a verdict.");
    report.says("Nothing was signed in this time.");
    assert!(!report.text().contains("NaN"));
}
