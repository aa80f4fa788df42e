//! Which readings a verdict rests on.

use solver::{Channel, Direction, PerChannel};

use super::position::Position;
use crate::fact::{Lock, Purpose, Seq};
use crate::fold::{Entry, Round, Session};

/// The readings that count at one position.
#[derive(Clone, Debug, PartialEq)]
pub struct Counted<'a> {
    /// Where the pods stood.
    pub position: Position,
    /// Each channel's readings with where they point.
    pub readings: PerChannel<Vec<(&'a Entry, Direction)>>,
}

impl<'a> Counted<'a> {
    /// Whether both channels were read.
    #[must_use]
    pub const fn is_whole(&self) -> bool {
        !self.readings.left.is_empty() && !self.readings.right.is_empty()
    }

    /// All of them, left first.
    pub fn entries(&self) -> impl Iterator<Item = &'a Entry> + '_ {
        Channel::BOTH.into_iter().flat_map(|of| self.readings[of].iter().map(|(entry, _)| *entry))
    }
}

/// The confirm readings that tell how the unit was left, position by position, the set-up's first.
///
/// Not counted: what is withdrawn or could not be mapped, readings with the lock noted as open, and
/// everything of a channel before its ring was last free to turn: before its last log reading, or
/// its last reading with the lock open. Those are of a setting that is no more.
#[must_use]
pub fn counted<'a>(session: &Session, round: &'a Round) -> Vec<Counted<'a>> {
    let mut found: Vec<Counted<'a>> = Vec::new();
    for channel in Channel::BOTH {
        let free = last_free(round, channel).unwrap_or(round.id);
        let confirm = round.of(channel, Purpose::Confirm).filter(|entry| entry.seq > free);
        for entry in confirm {
            let Some((_, direction)) = entry.direction(channel) else { continue };
            let position = Position::of(entry, session);
            match found.iter_mut().find(|at| at.position == position) {
                Some(at) => at.readings[channel].push((entry, direction)),
                None => {
                    let mut readings: PerChannel<Vec<_>> = PerChannel::default();
                    readings[channel].push((entry, direction));
                    found.push(Counted { position, readings });
                }
            }
        }
    }
    // Stable: where the others come in the order read.
    found.sort_by_key(|at| at.position != Position::SetUp);
    found
}

/// The last reading of a round that shows a ring free to turn.
pub(crate) fn last_free(round: &Round, channel: Channel) -> Option<Seq> {
    let free = |entry: &&Entry| {
        let reading = &entry.reading;
        let of_channel = reading.channel().is_none_or(|of| of == channel);
        let open = reading.purpose == Purpose::Confirm && reading.lock == Some(Lock::Before);
        of_channel && (reading.purpose == Purpose::Log || open)
    };
    round.in_use().rev().find(free).map(|entry| entry.seq)
}
