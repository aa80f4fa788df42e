//! What a reading says, in words.

use solver::{Channel, PerChannel};

use crate::fact::{Approach, Lock, Reading, Seen, SwingStop};
use crate::figures::{arcmin, direction};
use crate::fold::Value;
use crate::number::Typed;
use crate::station::ReadingUnit;

/// What was read and what it means: `left, log, ring 60°, typed 12.5, −3.0 div, which is 25.0′, −6.0′;
/// lock tight`. `value`: what it means through its station's map; `None` where that cannot be told.
#[must_use]
pub fn reading(read: &Reading, value: Option<Value>) -> String {
    let mut words = match &read.seen {
        Seen::Direction(seen) => format!(
            "{}, {}, {}, typed {}",
            seen.channel.word(),
            read.purpose.word(),
            ring(seen.ring_deg.as_ref()),
            seen.unit.pair(&seen.x, &seen.y)
        ),
        Seen::Relative(seen) => format!(
            "right less left, {}, {}, typed {}",
            read.purpose.word(),
            rings(&seen.ring_deg),
            seen.unit.pair(&seen.x, &seen.y)
        ),
        Seen::Box(seen) => format!(
            "{} the box, {}, {}",
            if seen.inside { "inside" } else { "outside" },
            read.purpose.word(),
            rings(&seen.ring_deg)
        ),
    };
    let in_arcmin = match &read.seen {
        Seen::Direction(seen) => seen.unit == ReadingUnit::Arcmin,
        Seen::Relative(seen) => seen.unit == ReadingUnit::Arcmin,
        Seen::Box(_) => true,
    };
    match value {
        // What was typed says it already.
        Some(_) if in_arcmin => {}
        Some(Value::Direction { direction: point, .. }) => {
            words.push_str(&format!(", which is {}", direction(point)));
        }
        Some(Value::Relative { misalignment, .. }) => {
            let (x, y) = (arcmin(misalignment.x_arcmin), arcmin(misalignment.y_arcmin));
            words.push_str(&format!(", which is {x}, {y}"));
        }
        Some(Value::Box { .. }) => {}
        None => words.push_str(", which cannot be told in arcminutes"),
    }
    for note in notes(read) {
        words.push_str("; ");
        words.push_str(&note);
    }
    words
}

/// What else was noted with a reading, in the order a hand would say it.
#[must_use]
pub fn notes(read: &Reading) -> Vec<String> {
    let mut notes = Vec::new();
    let approached = |approach: Approach, whose: &str| {
        (approach != Approach::NotNoted).then(|| format!("{whose}turned {}", approach.word()))
    };
    match &read.seen {
        Seen::Direction(seen) => notes.extend(approached(seen.approach, "")),
        Seen::Relative(seen) => notes.extend(both(&seen.approach, approached)),
        Seen::Box(seen) => notes.extend(both(&seen.approach, approached)),
    }
    match read.lock {
        Some(Lock::Before) => notes.push("lock open".to_owned()),
        Some(Lock::After) => notes.push("lock tight".to_owned()),
        None => {}
    }
    if read.reseated {
        notes.push("reseated".to_owned());
    }
    match read.swing_stop {
        Some(SwingStop::Narrow) => notes.push("narrow stop".to_owned()),
        Some(SwingStop::Wide) => notes.push("wide stop".to_owned()),
        Some(SwingStop::Working) => notes.push("working position".to_owned()),
        None => {}
    }
    if let Some(ipd) = &read.ipd_mm {
        notes.push(format!("at {} mm", ipd.shown()));
    }
    if let Some(dioptre) = &read.dioptre {
        notes.push(format!("dioptre at {}", dioptre.shown()));
    }
    notes
}

fn both(
    approach: &PerChannel<Approach>,
    said: impl Fn(Approach, &str) -> Option<String>,
) -> impl Iterator<Item = String> {
    let each = Channel::BOTH.map(|of| said(approach[of], &format!("{} ", of.word())));
    each.into_iter().flatten()
}

fn ring(ring_deg: Option<&Typed>) -> String {
    ring_deg.map_or_else(|| "ring not read".to_owned(), |deg| format!("ring {}°", deg.shown()))
}

fn rings(ring_deg: &PerChannel<Option<Typed>>) -> String {
    let each = Channel::BOTH.map(|of| format!("{} {}", of.word(), ring(ring_deg[of].as_ref())));
    each.join(", ")
}
