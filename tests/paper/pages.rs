//! Sizes, text, faces, bytes.

use paper::PaperSize;
use record::fact::{Purpose, Withdrawn};
use record::{Body, Channel, Fact, Seen, Typed};

use crate::reading::{Report, squeezed};
use crate::session::{DEMO, DIFFERENCES, PASSED_NO_MORE, WHOLE, account, changed, issued, report};

/// ISO 216: A4 is 210 mm × 297 mm; Letter is 8½ in × 11 in (ANSI/ASME Y14.1). A point is 1/72 in;
/// sizes are stored in single precision, good to 6e-5 pt here.
#[test]
fn pages_have_their_size() {
    let account = account(DEMO);
    for (paper, width_mm, height_mm) in
        [(PaperSize::A4, 210.0, 297.0), (PaperSize::Letter, 215.9, 279.4)]
    {
        let report = Report::read(&paper::report(&account, None, paper, issued()).unwrap());
        assert!(report.pages() >= 2);
        for size_pt in report.sizes_pt() {
            for (found, mm) in size_pt.into_iter().zip([width_mm, height_mm]) {
                let expected = mm * 72.0 / 25.4_f32;
                assert!((found - expected).abs() < 1e-3, "{found} {expected}");
            }
        }
    }
}

/// The first page tells the customer what the job came to; signs are found as they are written.
#[test]
fn the_first_page_is_for_the_customer() {
    let account = account(DEMO);
    let report = report(&account);
    let page = report.page(1);
    for part in [
        "Collimation report, unit 0152",
        "Heron B",
        "Bench 2",
        "B2-2026-01",
        "as found",
        "as left",
        "Offset circles",
        "Crossing points",
        "ring at 355°",
        "Tolerance window",
        "Shop window",
        "the eyes must",
        "Cautions",
        "never sun or laser through a viewer",
        "a pass here is not release for flight, driving or duty",
        "page 1 of",
    ] {
        let part = squeezed(part);
        assert!(page.contains(&part), "{part:?} is not on the first page:\n{page}");
    }
    // As typed once, with a true minus sign and a prime: a search for it finds it.
    assert!(page.contains('−') && page.contains('′'), "{page}");
}

/// The rest is for the specialist: every reading as typed, and the hash that names the state.
#[test]
fn the_rest_is_for_the_specialist() {
    let account = account(DEMO);
    let report = report(&account);
    for part in ["covariance", "−20.1′, −13.6′", "lock tight", "reseated", "Looking test"] {
        report.says(part);
    }
    report.says(&account.last_hash);
    for number in 1..=report.pages() {
        let page = report.page(number as u32);
        assert!(page.contains(&account.last_hash), "page {number}");
    }
}

/// Labels are broken between words, and what a file calls a number by stands on paper in words.
#[test]
fn labels_and_numbers_are_words() {
    let account = account(DEMO);
    let report = report(&account);
    assert!(report.raw().contains("Interpupillary"), "{}", report.raw());
    for part in ["misalignment x", "shared covariance xy", "window use"] {
        report.says(part);
    }
    for name in ["_arcmin", "misalignment_", "window_use", "narrow_stop"] {
        assert!(!report.text().contains(name), "{name}");
    }
}

/// Every caution and what the looking test showed stand on the first page, on either paper, however much else
/// there is to say.
#[test]
fn cautions_and_the_looking_test_are_on_the_first_page() {
    for name in [DEMO, WHOLE, PASSED_NO_MORE, DIFFERENCES] {
        let account = account(name);
        for paper in [PaperSize::A4, PaperSize::Letter] {
            let pdf = paper::report(&account, None, paper, issued()).unwrap();
            let page = Report::read(&pdf).page(1);
            for part in paper::cautions::CAUTIONS.iter().chain(&["looking test"]) {
                assert!(page.contains(&squeezed(part)), "{name} {paper:?} {part}\n{page}");
            }
        }
    }
    let page = report(&account(DEMO)).page(1);
    let made = "looking test – 2026-11-23 08:38:18 RB saw one image (fused), point at 400 m";
    assert!(page.contains(&squeezed(made)), "{page}");
    let without = changed(DEMO, |facts| {
        facts.retain(|fact| !matches!(fact.body, Body::LookingTest(_)));
    });
    let page = report(&without).page(1);
    assert!(page.contains(&squeezed("looking test – not made")), "{page}");
}

/// Beside each word of the trade, where a customer meets it first, is what it means.
#[test]
fn the_first_page_has_plain_words() {
    let mut met = 0;
    for name in [DEMO, WHOLE, PASSED_NO_MORE] {
        let page = report(&account(name)).page(1);
        let lower = page.to_lowercase();
        for term in paper::glossary::TERMS.iter().filter(|term| !term.plain.is_empty()) {
            if lower.contains(&squeezed(term.word)) {
                assert!(page.contains(&squeezed(term.plain)), "{name} {}\n{page}", term.word);
                met += 1;
            }
        }
    }
    assert!(met >= 12, "{met}");
}

/// Where only differences are read, the first page shows them and says what to set.
#[test]
fn differences_are_shown_on_the_first_page() {
    let account = account(DIFFERENCES);
    let found = account.rounds.iter().rev().find_map(|round| round.differences.as_ref()).unwrap();
    let page = report(&account).page(1);
    for part in found.words().iter().map(String::as_str).chain([paper::plane::PLANE_KEY]) {
        assert!(page.contains(&squeezed(part)), "{part}\n{page}");
    }
    for part in ["eyes diverge", "right image high", "Tolerance window"] {
        assert!(page.contains(&squeezed(part)), "{part}\n{page}");
    }
}

/// Every page says which report it is and of what day; another state of the session or another day is another report.
#[test]
fn every_page_says_its_number_and_day() {
    let with_note = changed(DEMO, |facts| {
        let last = facts.last().unwrap();
        let (seq, time, hand) = (last.seq + 1, last.time, last.hand.clone());
        let note = record::fact::Note { text: "seen".to_owned(), about: None };
        facts.push(Fact { seq, time, hand, body: Body::Note(note) });
    });
    let plain = account(DEMO);
    assert_ne!(plain.last_hash, with_note.last_hash);
    for account in [&plain, &with_note] {
        let report = report(account);
        // The session's own name begins so in its first line.
        let number = format!("report 0152a3c4-{}, issued 2026-11-30", &account.last_hash[..8]);
        for page in 1..=report.pages() {
            assert!(report.page(page as u32).contains(&squeezed(&number)), "{number} {page}");
        }
        for line in ["Signatures by hand", "Work done by (name, signature)", "Checked by"] {
            report.says(line);
        }
    }
    let on = |day: &str| paper::report(&plain, None, PaperSize::A4, day.parse().unwrap()).unwrap();
    assert!(on("2026-11-30") == on("2026-11-30"));
    assert!(on("2026-11-30") != on("2026-12-01"));
}

/// Faces are in the file with the letters in use and no others: the largest is 0.75 MB whole.
#[test]
fn faces_are_embedded_and_subset() {
    let report = report(&account(WHOLE));
    let faces = report.faces();
    assert_eq!(faces.len(), 3, "{faces:?}");
    for (name, bytes) in faces {
        // ISO 32000-1, 9.6.4: a subset's name begins with six capitals and a plus sign.
        let (tag, rest) = name.split_once('+').expect("a subset's tag");
        assert!(tag.len() == 6 && tag.bytes().all(|c| c.is_ascii_uppercase()), "{name}");
        assert!(rest.starts_with("DejaVuSans"), "{name}");
        assert!(bytes < 60_000, "{name} takes {bytes} bytes");
    }
    assert!(!report.has_images());
}

/// No clock and no chance: the same session gives the same bytes, dated by its last fact.
#[test]
fn the_same_session_gives_the_same_bytes() {
    let account = account(WHOLE);
    let first = paper::report(&account, None, PaperSize::Letter, issued()).unwrap();
    assert!(first == paper::report(&account, None, PaperSize::Letter, issued()).unwrap());
    let day = account.last_time.unwrap().date().to_string().replace('-', "");
    for made in Report::read(&first).made() {
        assert!(made.starts_with(&format!("D:{day}")), "{made}");
    }
}

/// A ring whose place rounds to a whole turn stands at 0, never at 360.
#[test]
fn a_ring_just_short_of_a_turn_reads_zero() {
    let ring_at = |account: &record::Account| {
        let solution = account.rounds[0].solution.as_ref().unwrap().as_ref().unwrap();
        let nearest = solution.meeting.as_ref().unwrap().crossings().next().unwrap();
        nearest.ring_deg[Channel::Left].unwrap()
    };
    let turned_deg = 359.97 - ring_at(&account(DEMO));
    let account = changed(DEMO, |facts| {
        for fact in facts {
            let Body::Reading(reading) = &mut fact.body else { continue };
            let Seen::Direction(read) = &mut reading.seen else { continue };
            if let (Channel::Left, Some(ring)) = (read.channel, &mut read.ring_deg) {
                let turned = ring.value() + turned_deg;
                *ring = Typed::parse(&format!("{turned:.6}")).unwrap();
            }
        }
    });
    let found = ring_at(&account);
    assert!(found > 359.95 && found < 360.0, "{found}");
    let text = report(&account).text();
    assert!(!text.contains("360.0"), "{text}");
}

/// A reading is called by one number everywhere, whatever else was withdrawn: on the plot, in its words and in the
/// table, as in the window.
#[test]
fn readings_keep_their_numbers_where_one_is_withdrawn() {
    let mut first = 0;
    let account = changed(DEMO, |facts| {
        let logged = facts.iter().find(|fact| {
            matches!(&fact.body, Body::Reading(reading)
                if reading.purpose == Purpose::Log && reading.channel() == Some(Channel::Left))
        });
        let (seq, time) = logged.map(|fact| (fact.seq, fact.time)).unwrap();
        first = seq;
        let withdrawn = Withdrawn { reading: seq, reason: "misread".to_owned() };
        let seq = facts.len() as u64 + 1;
        facts.push(Fact { seq, time, hand: "KT".into(), body: Body::Withdrawn(withdrawn) });
    });
    let scene = paper::session_scene(&account);
    let marks: Vec<_> = scene.marks().all().to_vec();
    let left = |mark: &&paper::ReadingMark| {
        (mark.channel, mark.kind) == (Channel::Left, paper::MarkKind::Log)
    };
    let numbers: Vec<usize> = marks.iter().filter(left).map(|mark| mark.number).collect();
    assert!(numbers.len() > 2, "{numbers:?}");
    assert!(marks.iter().all(|mark| mark.key != first), "it is not drawn");
    // The first is gone and the others are called as before.
    let wanted: Vec<usize> = (2..numbers.len() + 2).collect();
    assert_eq!(numbers, wanted);
    let report = report(&account);
    for number in 1..=numbers.len() + 1 {
        report.says(&format!("left {number} log"));
    }
}
