//! Words over a whole shop: no text of a session hides anything in them, and numbers are told by the
//! digits that mean something.

use std::fs::{self, File};
use std::num::NonZeroUsize;
use std::path::Path;

use record::{Fact, Survey, survey, timeline};

use crate::hostile_texts::{corpus, nothing_hides_in, with_texts};
use crate::told_numbers::numbers_mean_something;

fn demo() -> std::path::PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo-data")
}

fn sessions() -> Vec<Vec<Fact>> {
    let listed = fs::read_dir(demo().join("sessions")).unwrap();
    let facts = |path: &Path| record::file::scan(path, File::open(path).unwrap()).unwrap().facts;
    listed.map(|entry| facts(&entry.unwrap().path())).collect()
}

fn lines(facts: &[Fact]) -> Vec<String> {
    let told = |entry: record::TimelineEntry| {
        format!("{} {} {} {}", entry.hand, entry.kind, entry.words, entry.standing.words())
    };
    timeline(facts).into_iter().map(told).collect()
}

fn words(survey: &Survey) -> Vec<String> {
    use record::shop::survey::{centres, drift, locks, pass_rate, troubles};
    let mut said: Vec<String> =
        survey.pass_rate().iter().map(pass_rate::MonthlyRate::words).collect();
    said.extend(survey.centres().iter().map(centres::HousingCentres::words));
    said.extend(survey.drift().iter().map(drift::Drift::words));
    said.extend(survey.locks().iter().map(locks::LockTurns::words));
    let found = survey.troubles();
    said.extend(found.iter().flat_map(|(_, all)| all.iter().map(troubles::Trouble::words)));
    said
}

#[test]
fn numbers_of_the_invented_shop_mean_something() {
    let sessions = sessions();
    assert!(sessions.len() > 60);
    for line in sessions.iter().flat_map(|facts| lines(facts)) {
        numbers_mean_something(&line);
    }
    let said = words(&survey(&demo(), NonZeroUsize::MIN).unwrap());
    assert!(said.len() > 20, "{said:?}");
    said.iter().for_each(|line| numbers_mean_something(line));
}

/// A fact is one line of the timeline whatever its texts hold.
#[test]
fn no_text_makes_a_line_of_its_own_in_a_timeline() {
    for facts in sessions().iter().step_by(20) {
        for text in corpus() {
            for line in lines(&with_texts(facts, &text)) {
                assert!(!line.contains('\n'), "{line:?}");
                nothing_hides_in(&line);
            }
        }
    }
}
