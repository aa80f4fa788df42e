//! What is known, made ready to look at: words and scenes, once per change of the facts and never per frame.
//! Nothing is drawn here, and nothing asked for; bench, review and explore show it.
//!
//! - [`round`]: an open round, from a [`source`]; [`log`]: its readings; [`differences`]: the same where only the
//!   difference is read; [`overlay`]: what is laid beside;
//! - [`targets`]: where to turn each ring; [`use_words`]: slack and swing; [`off_by`]: how far confirm readings lie
//!   from what was predicted;
//! - [`course`]: attempts in practice.

pub(crate) mod course;
pub(crate) mod differences;
pub(crate) mod log;
pub(crate) mod off_by;
pub(crate) mod overlay;
pub(crate) mod round;
pub(crate) mod source;
pub(crate) mod targets;
pub(crate) mod use_words;

use differences::{difference_picture, speak};
use record::fact::Seq;
use record::{ReadingUnit, Session};
use solver::{PerChannel, Reading};

use differences::DifferenceView;
use log::AtHand;
use overlay::Overlay;
use round::{ReadingsFrom, RoundView};

/// The picture of a state, solved anew unless one from before is given.
pub(crate) fn picture(
    state: &Session,
    at_hand: &AtHand,
    unit: ReadingUnit,
    selected: Option<Seq>,
    aside: &Overlay,
    before: Option<&RoundView>,
) -> (RoundView, Option<DifferenceView>) {
    let round = state.round();
    let source = ReadingsFrom {
        log: &at_hand.log,
        problem: &at_hand.problem,
        place: PerChannel::from_fn(|channel| {
            let place = round?.place(channel)?;
            Some(Reading { direction: place.direction?, ring_deg: place.ring_deg })
        }),
        approach: PerChannel::from_fn(|channel| {
            round.map_or(record::ApproachUsed::NotNoted, |round| round.approach(channel))
        }),
        station: state.station(),
        ring_step_deg: state.housing().map_or(1.0, |housing| housing.ring_step_deg),
        unit,
        selected,
        aside,
    };
    let mut picture = before.map_or_else(|| RoundView::new(source), |before| before.again(source));
    let differences = difference_picture(state).map(|(shown, found)| {
        speak(&mut picture, state, found.as_ref(), &shown.plane, unit);
        shown
    });
    if aside.rested {
        picture.leave_unanswered();
    }
    (picture, differences)
}
