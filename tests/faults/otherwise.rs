//! A window or station that the shop has otherwise, or that changed within the session, is said with both.

use std::num::NonZeroUsize;

use record::review::otherwise::{How, Otherwise, ReviewAspect};
use record::shop::survey::troubles::Trouble;
use record::{Account, Body, Fact, NamedWindow, RealDisk, Rule, Shop, Station, review, survey};

use crate::flips::lines_of;
use crate::support::*;

/// A shop with a station and a window, and a session in it.
fn reviewed(facts: &[Fact], shop: &[(NamedWindow, Station)]) -> (Account, Vec<Trouble>) {
    let folder = tempfile::tempdir().unwrap();
    Shop::lay_out(folder.path()).unwrap();
    let mut kept = Shop::load(folder.path()).unwrap();
    for (window, station) in shop {
        kept.keep_window(window.clone()).unwrap();
        kept.keep_station(station.clone()).unwrap();
    }
    let path = folder.path().join("sessions/a.samepoint");
    std::fs::write(&path, lines_of(facts)).unwrap();
    let account = review(&path, &RealDisk).unwrap();
    let survey = survey(folder.path(), NonZeroUsize::MIN).unwrap();
    let troubles = survey.sessions[0].troubles();
    (account, troubles)
}

fn wide() -> NamedWindow {
    let limits = solver::Window::new(900.0, 900.0, 900.0, None).unwrap();
    NamedWindow { limits, ..window() }
}

fn job() -> Vec<Fact> {
    answered(facts_of(&whole_job()))
}

#[track_caller]
fn said(account: &Account, troubles: &[Trouble], parts: &[&str]) {
    let words = account.words();
    for part in parts {
        assert!(words.contains(part), "{part:?} is missing from\n{words}");
    }
    let listed = troubles.iter().any(|trouble| {
        matches!(trouble, Trouble::Otherwise(_))
            && parts.iter().all(|part| trouble.words().contains(part))
    });
    assert!(listed, "{troubles:?}");
}

#[test]
fn what_the_shop_has_alike_is_not_said() {
    let mut newly_checked = station();
    newly_checked.checked = None;
    newly_checked.note = "moved to the other room".to_owned();
    let (account, troubles) = reviewed(&job(), &[(window(), newly_checked)]);
    assert_eq!((account.otherwise.len(), troubles), (0, vec![]));
}

#[test]
fn a_window_that_the_shop_has_otherwise_is_said_with_both_limits() {
    let mut facts = job();
    facts[3].body = Body::Window(wide());
    let (account, troubles) = reviewed(&facts, &[(window(), station())]);
    let here =
        "here convergence 900′, divergence 900′, dipvergence 900′, no boresight limit, simple rule";
    let there =
        "in the shop convergence 45′, divergence 20′, dipvergence 15′, boresight 40′, simple rule";
    said(&account, &troubles, &[here, there]);
    for (changed, rule) in [(window(), Rule::Guarded), (wide(), Rule::Simple)] {
        let in_shop = NamedWindow { rule, ..changed };
        let (account, _) = reviewed(&job(), &[(in_shop, station())]);
        assert_eq!(account.otherwise.len(), 1, "the shop changed its mind");
        assert_eq!(account.exit_code(), 0, "what lies beside a session changes no exit code");
    }
}

#[test]
fn a_station_that_the_shop_has_otherwise_is_said_with_both() {
    let mut facts = job();
    let mut kinder = station();
    kinder.spread.sigma_arcmin = Some(5.0);
    kinder.map.left.arcmin_per_division = [0.2, 0.2];
    kinder.reference.common_u_arcmin = [3.0, 3.0];
    facts[2].body = Body::Station(kinder);
    let (account, troubles) = reviewed(&facts, &[(window(), station())]);
    said(
        &account,
        &troubles,
        &[
            "station “Bench 2”",
            "here a reading's standard uncertainty 5′",
            "in the shop a reading's standard uncertainty 0.25′",
            "left map 0.2′, 0.2′ a division",
            "left map 2′, 2′ a division",
            "common reference uncertainty 3′, 3′",
        ],
    );
}

/// A name that only looks like the shop's is none of the shop's.
#[test]
fn what_the_shop_does_not_have_is_said() {
    let mut facts = job();
    facts[3].body = Body::Window(NamedWindow { name: "Shор window".to_owned(), ..wide() });
    let (account, troubles) = reviewed(&facts, &[(window(), station())]);
    said(&account, &troubles, &["shop has no tolerance window", "convergence 900′"]);
    let (account, _) = reviewed(&job(), &[]);
    assert_eq!(account.otherwise.len(), 2, "neither window nor station");
    assert!(matches!(account.otherwise[0].how, How::NotInShop { .. }));
}

/// A second window after the first reading, shop or no shop, before the signature or after it.
#[test]
fn what_changed_within_the_session_is_said() {
    let mut facts = job();
    let mut tight = facts.pop().unwrap();
    tight.body = Body::Window(wide());
    facts.push(tight);
    let mut other = station();
    other.spread.sigma_arcmin = Some(2.0);
    let seq = facts.len() as u64 + 1;
    facts.push(Fact { seq, body: Body::Station(other), ..facts[0].clone() });
    let (account, troubles) = reviewed(&facts, &[(wide(), station())]);
    let changed: Vec<&Otherwise> =
        account.otherwise.iter().filter(|found| matches!(found.how, How::Changed { .. })).collect();
    assert_eq!(changed.len(), 2, "{:?}", account.otherwise);
    assert!(matches!(&changed[0].what, ReviewAspect::Window(name) if name == "Shop window"));
    said(
        &account,
        &troubles,
        &["came in within the session", "before convergence 45′", "since convergence 900′"],
    );
    said(&account, &troubles, &["before a reading's standard uncertainty 0.25′"]);
}

/// Nothing to hold it against is said too.
#[test]
fn outside_a_shop_nothing_is_held_against_anything() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("a.samepoint");
    std::fs::write(&path, lines_of(&job())).unwrap();
    let account = review(&path, &RealDisk).unwrap();
    assert_eq!(account.otherwise, []);
    assert!(account.words().contains("It lies in no shop"), "{}", account.words());
}
