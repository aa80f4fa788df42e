//! A session whose every name is something else, for all that shows names.

use record::{Body, Fact};

/// A session's facts with every text that is a name made into `text`; the hand's first hundred
/// letters of it, since it stands on every line.
pub(crate) fn with_texts(facts: &[Fact], text: &str) -> Vec<Fact> {
    let mut facts = facts.to_vec();
    for fact in &mut facts {
        fact.hand = text.chars().take(100).collect();
        match &mut fact.body {
            Body::Header(header) => text.clone_into(&mut header.program),
            Body::Unit(unit) => {
                text.clone_into(&mut unit.name);
                text.clone_into(&mut unit.tubes.left.serial);
            }
            Body::Station(station) => text.clone_into(&mut station.name),
            Body::Window(window) => {
                text.clone_into(&mut window.name);
                text.clone_into(&mut window.source);
            }
            Body::Housing(housing) => text.clone_into(&mut housing.name),
            Body::Setup(setup) => {
                text.clone_into(&mut setup.customer);
                text.clone_into(&mut setup.complaint);
            }
            _ => {}
        }
    }
    facts
}
