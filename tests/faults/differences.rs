//! Readings of the difference and of the box: what they come to, and no more.

use record::{
    Approach, Body, BoxReading, PerChannel, Purpose, Reading, ReadingUnit, RelativeReading, Seen,
    differences, fold,
};
use solver::SettingKind;

use crate::support::{ROUND, beginning, facts_of, log, typed, withdraw};

fn seen(seen: Seen) -> Body {
    let direction =
        crate::support::direction(record::Channel::Left, None, "0", "0", ReadingUnit::Arcmin);
    Body::Reading(Reading { seen, ..Reading::direction(ROUND, Purpose::Log, direction) })
}

fn relative(left: Option<&str>, right: &str, x: &str, y: &str) -> Body {
    seen(Seen::Relative(RelativeReading {
        ring_deg: PerChannel { left: left.map(typed), right: Some(typed(right)) },
        x: typed(x),
        y: typed(y),
        unit: ReadingUnit::Arcmin,
        approach: PerChannel { left: Approach::NotNoted, right: Approach::NotNoted },
    }))
}

fn in_box(inside: bool) -> Body {
    seen(Seen::Box(BoxReading {
        ring_deg: PerChannel::default(),
        inside,
        approach: PerChannel::default(),
    }))
}

fn said(more: Vec<Body>) -> Option<(record::Differences, Vec<String>)> {
    let session = fold(&facts_of(&[beginning(), more].concat()));
    let found = differences(&session, ROUND)?;
    let words = found.words();
    Some((found, words))
}

/// Both offsets 10′ to the right at ring zero, centres 12′ apart: the circles meet at (6, ±8), so the
/// left ring stands at ∓53°, the right where ψ is 180° less that.
fn three() -> Vec<Body> {
    vec![
        relative(Some("0"), "0", "12", "0"),
        relative(Some("90"), "0", "22", "10"),
        relative(Some("0"), "90", "2", "-10"),
    ]
}

#[test]
fn differences_of_a_round_give_a_setting_without_boresight() {
    let (found, words) = said(three()).unwrap();
    assert_eq!(found.problem.readings.len(), 3);
    // The station's own.
    assert_eq!(found.problem.sigma_arcmin, Some(0.25));
    let solution = found.answer.unwrap().unwrap();
    assert_eq!(solution.setting.kind, SettingKind::Crossing);
    // From 0°, 90°: 53° and 127° are 90° of turning, 307° and 233° 196°.
    assert_eq!(words[0], "Set the left ring to 53° and the right to 127°: both then agree.");
    assert_eq!(words[1], "They agree at 307° and 233° too, which takes more turning.");
    let said = |part: &str| words.iter().any(|word| word.contains(part));
    assert!(said("This station shows only the difference:"), "{words:?}");
    assert!(said("boresight limit is not judged"), "{words:?}");
    // Of the station's σ, 0.25′: three pairs settle it, and what is stated is stated at 95 %.
    let told = words.join(" ");
    assert!(
        told.contains("Ring targets: left ±") && told.contains("the chance of being inside"),
        "{told}"
    );
}

#[test]
fn what_cannot_be_used_is_counted() {
    let mut bodies = three();
    bodies.push(relative(None, "40", "3", "4"));
    bodies.extend([in_box(true), in_box(true), in_box(true), in_box(false)]);
    let (found, words) = said(bodies).unwrap();
    assert_eq!((found.problem.readings.len(), found.without_rings), (3, 1));
    let told = &words[words.len() - 3..];
    assert_eq!(
        told,
        [
            "1 reading of the difference without both ring angles: left out.",
            "3 readings in the box, no numbers: nothing can be computed from them.",
            "1 reading outside the box, no numbers: nothing can be computed from it.",
        ]
    );
}

#[test]
fn withdrawn_and_too_few_are_told_and_directions_are_none_of_this() {
    let mut bodies = three();
    bodies.push(withdraw(ROUND + 1));
    let (_, words) = said(bodies).unwrap();
    assert!(words[0].starts_with("No setting can be worked out: 2 readings of the difference"));
    assert!(said(vec![log(record::Channel::Left, "0", "1", "2")]).is_none());
    let (found, words) = said(vec![in_box(true)]).unwrap();
    assert!(found.answer.is_none());
    assert_eq!(words, ["1 reading in the box, no numbers: nothing can be computed from it."]);
}
