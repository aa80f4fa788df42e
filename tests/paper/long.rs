//! What is too long for its place, and what cannot be shown at all.

use paper::PaperSize;
use record::Body;
use record::fact::Purpose;

use crate::session::{DEMO, changed, issued, report};

/// Long names go on in the next line; none of their letters is lost.
#[test]
fn long_names_are_whole() {
    let name = format!("UNIT-{}", "0123456789ABCDEF".repeat(24));
    let customer = "the company of many long words and even longer names ".repeat(12);
    let account = changed(DEMO, |facts| {
        for fact in facts {
            match &mut fact.body {
                Body::Unit(unit) => unit.name = name.clone(),
                Body::Setup(setup) => setup.customer = customer.clone(),
                _ => {}
            }
        }
    });
    let report = report(&account);
    report.says(&name);
    // A page may end among these words, with a foot and a head between them.
    let whole = report.text().matches("thecompanyofmanylongwordsandevenlongernames").count();
    assert!(whole >= 11, "{whole} of 12");
}

/// Three hundred readings fill many pages, each with its number and the table's head.
#[test]
fn many_readings_go_on_overleaf() {
    let account = changed(DEMO, |facts| {
        let logged = |fact: &&record::Fact| matches!(&fact.body, Body::Reading(reading) if reading.purpose == Purpose::Log);
        let first = facts.iter().position(|fact| logged(&fact)).unwrap();
        let one = facts[first].clone();
        facts.splice(first..first, core::iter::repeat_n(one, 300));
    });
    let report = report(&account);
    let pages = report.pages();
    assert!(pages >= 6, "{pages} pages");
    report.says(&format!("page {pages} of {pages}"));
    let heads = report.text().matches("offcircle").count();
    assert!(heads >= 4, "the table's head is said {heads} times");
}

/// A character that no face has costs nothing: it is told by its number wherever it stands, and a line
/// at the end says so. The same bytes each time.
#[test]
fn a_missing_letter_is_told_by_its_number() {
    let account = changed(DEMO, |facts| {
        for fact in facts {
            if let Body::Unit(unit) = &mut fact.body {
                unit.name = "unit 日 4 🔭".to_owned();
            }
            if let Body::Setup(setup) = &mut fact.body {
                setup.complaint = "眼".repeat(300);
            }
        }
    });
    let report = report(&account);
    report.says("unit [U+65E5] 4 [U+1F52D]");
    report.says("Told by their numbers in brackets, since this program has no letters for them: U+65E5, U+773C, U+1F52D.");
    let eyes = report.text().matches("U+773C]").count();
    assert!(eyes >= 290, "{eyes} of 300");
    let written = || paper::report(&account, None, PaperSize::A4, issued()).unwrap();
    assert!(written() == written());
    let plain = crate::session::account(DEMO);
    let plain = crate::session::report(&plain).text();
    assert!(!plain.contains("Toldbytheirnumbers"), "{plain}");
}

/// Text of more than one page in a single field still ends.
#[test]
fn a_note_longer_than_a_page_goes_on() {
    let note = "a note of many words, ".repeat(400);
    let account = changed(DEMO, |facts| {
        for fact in facts {
            if let Body::Setup(setup) = &mut fact.body {
                setup.complaint = note.clone();
            }
        }
    });
    let report = report(&account);
    assert!(report.pages() >= 5, "{} pages", report.pages());
    // Heads and feet come between: a few of the words are cut in two by them.
    let whole = report.text().matches("anoteofmanywords").count();
    assert!(whole + report.pages() >= 400, "{whole} of 400");
}
