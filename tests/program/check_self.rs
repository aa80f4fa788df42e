//! `samepoint check-self`: the exit code, the count and the sources.

use crate::run::samepoint;

#[test]
fn every_published_case_is_printed_and_agrees() {
    let run = samepoint(&["check-self"]);
    assert_eq!((run.code, run.err.as_str()), (0, ""), "{}", run.out);
    let all = solver::published::cases().count();
    assert!(run.out.contains(&format!("{all} of {all} published cases agree")), "{}", run.out);
    assert!(run.out.contains(env!("CARGO_PKG_VERSION")));
    assert!(!run.out.contains("DISAGREES") && !run.out.contains(" ! "), "{}", run.out);
    for part in ["BIT 34", "JCGM 106:2012", "Norris", "Deaver", "expected", "4.739782", "0.069027"]
    {
        assert!(run.out.contains(part), "{part}: {}", run.out);
    }
    let message = samepoint(&["check-self", "more"]).refused();
    assert!(message.contains("check-self --help"), "{message}");
}
