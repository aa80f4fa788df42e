//! The recall list on paper: since when a zero was off, every unit left on it, an empty list, long names.

use std::io::Cursor;
use std::num::NonZeroUsize;
use std::sync::OnceLock;

use paper::{PaperSize, marks, recall_list};
use record::{Stamp, Survey, survey};

use crate::hostile_texts::{corpus, nothing_hides_in};
use crate::reading::Report;
use crate::session::{issued, root};

/// The invented shop, whose Bench 4 wanders.
fn shop() -> &'static Survey {
    static SHOP: OnceLock<Survey> = OnceLock::new();
    SHOP.get_or_init(|| survey(&root().join("demo-data"), NonZeroUsize::MIN).unwrap())
}

fn noon() -> Stamp {
    // 2026-11-28 12:00.
    Stamp::from_unix_milliseconds(1_795_867_200_000).unwrap()
}

fn list(survey: &Survey) -> Report {
    Report::read(&recall_list(survey, "Fen Lane", noon(), PaperSize::A4).unwrap())
}

#[test]
fn every_unit_left_on_a_wandering_bench_is_on_the_list() {
    let shop = shop();
    let [spell] = &shop.spells[..] else { panic!("{:?}", shop.spells) };
    let list = list(shop);
    list.says("Recall list, shop Fen Lane");
    list.says("Drawn on 2026-11-28.");
    list.says(&spell.words());
    assert!(shop.recalled().count() >= 5);
    let text = list.text();
    for (_, session, recall) in shop.recalled() {
        // A cell of two lines has the other cells' first lines between.
        let file = session.file.split(' ').next_back().unwrap();
        for part in [&session.unit, file, &recall.day.to_string()] {
            list.says(part);
        }
        list.says(recall.would.word());
    }
    // Which of them pass, which fail and which are open is told as often as it is so.
    for would in ["would pass", "would fail", "cannot be told"] {
        let expected = shop.recalled().filter(|(_, _, recall)| recall.would.word() == would);
        let word: String = would.split_whitespace().collect();
        let others = if would == "would pass" { 1 } else { 0 };
        assert_eq!(text.matches(&word).count(), expected.count() + others, "{would}\n{text}");
    }
    for part in ["Looked over by", "What becomes of each unit decided by", "done"] {
        list.says(part);
    }
    let pages = list.pages();
    for number in 1..=pages {
        assert!(list.page(number as u32).contains(&format!("page{number}of{pages}")));
    }
    // A damaged file of the invented shop could be on no list: it is said.
    list.says("Not looked at:");
    list.says("0412.samepoint");
    let again = || recall_list(shop, "Fen Lane", noon(), PaperSize::A4).unwrap();
    assert!(again() == again());
}

/// Nothing found is said, with what it rests on; nothing judged is no all-clear.
#[test]
fn an_empty_list_says_what_was_looked_at() {
    let mut sound = shop().clone();
    sound.spells.clear();
    sound.sessions.iter_mut().for_each(|session| session.recall = None);
    let report = list(&sound);
    report.says("No station’s zero lay outside its limits: there is nothing to recall.");
    assert!(!report.text().contains(&"Nothing can be told".replace(' ', "")));
    sound.zeros_judged.clear();
    sound.checks_unread = vec!["checks/Bench 9.checks: not all of it can be read".to_owned()];
    let report = list(&sound);
    report.says("Nothing can be told.");
    assert!(!report.text().contains("thereisnothingtorecall"), "{}", report.text());
    report.says("Of Bench 2, Bench 3, Bench 4, Bench 5, Bench 6 nothing can be told");
    report.says("no check standard with limits is on file");
    report.says("Checks not read: checks/Bench 9.checks: not all of it can be read.");
}

/// Names of any length are whole, and none makes a line of its own.
#[test]
fn long_and_hostile_names_are_whole() {
    let mut shop = shop().clone();
    let index = shop.recalled().next().unwrap().0;
    let name = format!("UNIT-{}", "0123456789ABCDEF".repeat(40));
    shop.sessions[index].unit = name.clone().into();
    let report = list(&shop);
    // The first lines stand beside those of other cells, and a page may end among them.
    let whole = report.text().matches("0123456789ABCDEF").count();
    assert!(whole >= 35, "{whole} of 40\n{}", report.text());
    assert!(report.text().matches('F').count() >= 40);
    // Hundreds of units go on overleaf, each with the head of the table.
    let mut many = shop.clone();
    many.sessions[index].unit = "Z".into();
    let one = many.sessions[index].clone();
    many.sessions.extend(core::iter::repeat_n(one, 300));
    let report = list(&many);
    assert!(report.pages() >= 6, "{}", report.pages());
    assert!(report.text().matches("zerotakenoff").count() >= report.pages() - 1);
    for text in corpus() {
        shop.sessions[index].unit = text.clone().into();
        shop.sessions[index].file = text.clone();
        let bytes = recall_list(&shop, &text, noon(), PaperSize::Letter).unwrap();
        nothing_hides_in(&Report::read(&bytes).raw());
    }
}

/// A list is known as a list and a report as a report: neither takes the other's place.
#[test]
fn a_list_is_no_report() {
    let list = recall_list(shop(), "Fen Lane", noon(), PaperSize::A4).unwrap();
    let account = crate::session::account(crate::session::DEMO);
    let report = paper::report(&account, None, PaperSize::A4, issued()).unwrap();
    let known = |bytes: &[u8]| {
        let mut file = Cursor::new(bytes);
        let report = marks::is_our_pdf(&mut file).unwrap();
        (report, marks::is_our_recall_list(&mut file).unwrap())
    };
    assert_eq!(known(&list), (false, true));
    assert_eq!(known(&report), (true, false));
}
