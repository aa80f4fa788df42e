//! The page of a practice session: what was and was not shown, and how it was scored.

use record::file::write_all_lines;
use record::fold;
use record::practice::sat::{NOT_SHOWN, NOT_WITHHELD, SHOWN};
use record::practice::{Exam, Grade, PracticeUnit, score};

use crate::session::{kept, report};
use crate::trainees::{Trainee, work};

fn told(trainee: Trainee, exam: Option<Exam>) -> (String, f64) {
    let unit = PracticeUnit::invented(Grade::First, 12).unwrap();
    let unit = exam.map_or(unit.clone(), |exam| unit.examined(exam));
    let facts = work(trainee, &unit).unwrap();
    let total = score(&fold(&facts)).unwrap().total_percent();
    let mut bytes = Vec::new();
    write_all_lines(&facts, &mut bytes).unwrap();
    (report(&kept(&bytes)).text(), total)
}

fn holds(text: &str, words: &str) -> bool {
    text.contains(&words.replace(' ', ""))
}

#[test]
fn it_says_what_was_shown_and_what_was_not() {
    let (practice, total) = told(Trainee::Expert, None);
    for words in [
        "Practice certificate",
        "script worked an invented unit, first grade, unit 12, as practice",
        &format!("Score {total:.0} %, by formula 2."),
        "ring targets, the recommended setting",
        "0 of 2",
        "It qualifies nobody",
    ] {
        assert!(holds(&practice, words), "{words}: {practice}");
    }
    let (followed, _) = told(Trainee::Follower, None);
    assert!(holds(&followed, "were told by the program."), "{followed}");
    assert!(holds(&followed, "Skipped: both dioptres at zero"), "{followed}");
    let (examined, _) = told(Trainee::Expert, Some(Exam { minutes: Some(600) }));
    for words in SHOWN.iter().chain(&NOT_SHOWN).chain(&NOT_WITHHELD) {
        let mut letters = words.chars();
        letters.next();
        assert!(holds(&examined, letters.as_str()), "{words}: {examined}");
    }
    assert!(holds(&examined, "whether the unit had been met before cannot be told"), "{examined}");
    assert!(holds(&examined, "Time limit 600 min"), "{examined}");
    // Ten seconds a fact: some 40 facts take longer than a minute.
    let (late, _) = told(Trainee::Expert, Some(Exam { minutes: Some(1) }));
    assert!(holds(&late, "too late, it does not count as passed"), "{late}");
}

#[test]
fn a_real_session_has_no_such_page() {
    let account = crate::session::account(crate::session::WHOLE);
    assert!(!holds(&report(&account).text(), "Practice certificate"));
}
