//! Formula 1, for the exercises of the first series: where was it left, was it the better place, was the
//! remedy right, what did it take, and is the verdict honest.
//!
//! | part | weight | earns |
//! |---|---|---|
//! | window use | 30 | 1 up to 0.05 above the least that could be reached; down to 0 at 1 more |
//! | boresight | 15 | 1 up to 1′ farther than the nearer crossing; down to 0 at half the boresight limit more; 0 where window use earns nothing |
//! | remedy | 15 | see below |
//! | thrift | 10 | 1 up to par, down to 0 at twice par; a round beyond par counts as 5 readings; 0 where window use earns nothing |
//! | verdict | 30 | see below |
//!
//! Par is 24 readings: as found, a closed round of five and six confirmed of each channel; 34 and a
//! second round where a remedy is needed.
//!
//! *Remedy.* None needed, none taken: 1; taken all the same: 0.5 if rings can still get inside, else 0. Needed
//! and taken so that rings get inside: 1; taken and better than before by more than 0.05: 0.3; otherwise 0. Nothing would
//! have helped: 1 for none or for one that helped all the same, 0.5 for a remedy in vain.
//!
//! *Verdict.* As the readings give it and right: 1. An honest *undecided*: 0.8. A *fail* of a unit
//! that is outside but could have been brought inside: 0.5, for that is giving up. A *fail* of a unit that is
//! inside: 0.4. *Not measured*: 0.2. A *pass* of a unit that is outside: 0, and half of the total is
//! lost. Signed otherwise than the readings give: 0.

use super::{Formula, Score, ScorePart, falling, spent_words};
use crate::fact::Verdict;
use crate::figures::percent;
use crate::practice::reach::best_alone;
use crate::practice::surroundings::limits;
use crate::practice::truth::Truth;

/// Its parts and their weights.
pub(super) const PARTS: [(ScorePart, f64); 5] = [
    (ScorePart::WindowUse, 30.0),
    (ScorePart::Boresight, 15.0),
    (ScorePart::Remedy, 15.0),
    (ScorePart::Thrift, 10.0),
    (ScorePart::Verdict, 30.0),
];

/// Readings of a unit that needs no remedy; of one that does.
const PAR: [usize; 2] = [24, 34];
/// What a round beyond par counts as, readings.
pub(super) const ROUND_COUNTS: usize = 5;
/// Window use above the least that is forgiven; the least is at whole degrees already.
const USE_FORGIVEN: f64 = 0.05;
/// Boresight distance above the nearer crossing's that is forgiven, arcminutes.
const BORESIGHT_FORGIVEN_ARCMIN: f64 = 1.0;

/// How a part is worked out, in a sentence.
pub(super) const fn rule(part: ScorePart) -> &'static str {
    match part {
        ScorePart::WindowUse => {
            "Full up to 5 % of the window above the least use that could be reached, nothing at 105 % above."
        }
        ScorePart::Boresight => {
            "Full up to 1′ farther from boresight than the nearer crossing, nothing at half the \
             boresight limit beyond that, nor where window use earns nothing."
        }
        ScorePart::Remedy => {
            "Full for a remedy that was needed and gets the rings inside, or for none where none \
             was needed or none would help. Half for one taken without need that leaves the rings inside, \
             and for one in vain where nothing helps; 30 % for one that was needed and makes it better, \
             but not inside; otherwise nothing."
        }
        ScorePart::Thrift => {
            "Full up to 24 readings in one round, 34 in two where a remedy is needed; nothing at twice \
             that, nor where window use earns nothing. A round more counts as 5 readings."
        }
        ScorePart::Verdict => {
            "Full for the right verdict as the readings give it, 80 % for undecided, 50 % for failing a \
             unit that could have been brought inside, 40 % for failing one that is inside, 20 % for \
             not measured, nothing for another than the readings give. Passing a failing unit earns \
             nothing and halves the total."
        }
        // Those of formula 2.
        ScorePart::Reading | ScorePart::Procedure | ScorePart::Setting | ScorePart::Finding => "",
    }
}

/// One part as scored: which, what it earned, why.
type Earned = (ScorePart, f64, String);

/// The formula: the truth of the fold, what was signed and what the readings give.
pub(super) fn scored(truth: &Truth, signed: Verdict, concluded: Option<Verdict>) -> Score {
    let (verdict, why) = of_verdict(truth, signed, concluded);
    let used = of_use(truth);
    // Where the channels point apart there is no crossing to be near, and nothing was spared.
    let counts = used.1 > 0.0;
    let parts = vec![
        used,
        of_boresight(truth, counts),
        of_remedy(truth),
        of_thrift(truth, counts),
        (ScorePart::Verdict, verdict, why),
    ];
    let passed_failing = signed == Verdict::Pass && !truth.is_inside();
    Score::new(Formula::First, parts, passed_failing)
}

fn of_use(truth: &Truth) -> Earned {
    let least = truth.reach.least_use;
    let (earned, words) = match truth.used.map(|used| used.worst()) {
        None => (0.0, super::RINGS_UNKNOWN.to_owned()),
        Some(used) => (
            falling(used - least, USE_FORGIVEN, 1.0),
            format!(
                "Left at {} of the window; {} could be reached.",
                percent(used),
                percent(least)
            ),
        ),
    };
    (ScorePart::WindowUse, earned, words)
}

fn of_boresight(truth: &Truth, counts: bool) -> Earned {
    let nearer = truth.nearer_arcmin;
    let limit = limits().ok().and_then(|window| window.boresight_arcmin()).unwrap_or(1.0);
    let (earned, words) = match truth.boresight_arcmin {
        None => (0.0, "Where it points cannot be told: no ring angle was noted.".to_owned()),
        Some(_) if !counts => {
            (0.0, "It does not count: the channels do not point together.".to_owned())
        }
        Some(at) => (
            falling(at - nearer, BORESIGHT_FORGIVEN_ARCMIN, limit / 2.0),
            format!("Left {at:.1}′ from boresight; the nearer place lies {nearer:.1}′ from it."),
        ),
    };
    (ScorePart::Boresight, earned, words)
}

pub(super) fn of_remedy(truth: &Truth) -> Earned {
    let taken = !truth.remedies.is_empty();
    let before = truth.reach.alone.used;
    let window = limits().ok();
    let after = window.and_then(|window| best_alone(&truth.left, &window).ok());
    let after = after.map_or(f64::INFINITY, |best| best.used);
    let inside = after <= 1.0;
    let (earned, why) = if !truth.reach.needs_remedy() {
        match (taken, inside) {
            (false, _) => (1.0, "None was needed and none was taken."),
            (true, true) => (0.5, "None was needed; a unit was opened without need."),
            (true, false) => (0.0, "None was needed, and what was done took it outside."),
        }
    } else if taken && inside {
        (1.0, "It was needed, and the rings get inside with it.")
    } else if truth.reach.is_hopeless() {
        if taken {
            (0.5, "Nothing on the shelf would have helped; a unit was opened in vain.")
        } else {
            (1.0, "Nothing on the shelf would have helped, and nothing was done in vain.")
        }
    } else if taken && after < before - USE_FORGIVEN {
        (0.3, "It was needed and made it better, but the rings do not get inside.")
    } else if taken {
        (0.0, "It was needed, but what was done did not help.")
    } else {
        (0.0, "It was needed: the rings alone do not get inside.")
    };
    let words = if taken {
        format!(
            "{why} Best window use by the rings before {}, after {}.",
            percent(before),
            percent(after)
        )
    } else {
        format!("{why} Best window use by the rings {}.", percent(before))
    };
    (ScorePart::Remedy, earned, words)
}

fn of_thrift(truth: &Truth, counts: bool) -> Earned {
    let (readings, rounds) = (truth.readings, truth.rounds);
    let needs = truth.reach.needs_remedy();
    let (par, par_rounds) = (PAR[usize::from(needs)], 1 + usize::from(needs));
    let spent = readings + ROUND_COUNTS * rounds.saturating_sub(par_rounds);
    let earned = if counts { falling(spent as f64, par as f64, par as f64) } else { 0.0 };
    let mut words = format!("{}; par is {par} in {par_rounds}.", spent_words(readings, rounds));
    if !counts {
        words.push_str(super::NOT_COUNTED);
    }
    (ScorePart::Thrift, earned, words)
}

fn of_verdict(truth: &Truth, signed: Verdict, concluded: Option<Verdict>) -> (f64, String) {
    let inside = truth.is_inside();
    let is = if inside { "inside" } else { "outside" };
    if signed == Verdict::Pass && !inside {
        return (0.0, "Passed, but the unit is outside the window.".to_owned());
    }
    if concluded != Some(signed) {
        return (0.0, super::not_by_readings(signed, concluded));
    }
    let earned = match signed {
        Verdict::Pass => 1.0,
        Verdict::Fail if inside => 0.4,
        Verdict::Fail if truth.reach.is_hopeless() => 1.0,
        Verdict::Fail => 0.5,
        Verdict::Undecided => 0.8,
        Verdict::NotMeasured => 0.2,
    };
    (earned, super::beside_truth(signed, is))
}
