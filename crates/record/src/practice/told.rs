//! Readings that the program told instead of the trainee's eye: each is noted in the session, and costs.

use solver::Channel;

use crate::fact::{Note, Seq};
use crate::fold::{Entry, Session};

/// The note that says that a channel's crosshair was read out. Never undone.
#[must_use]
pub fn told_note(channel: Channel) -> Note {
    Note::told(channel)
}

/// Whether a channel's crosshair is read out now: it was since its last reading.
#[must_use]
pub fn is_told(session: &Session, channel: Channel) -> bool {
    let entries = session.rounds.iter().flat_map(|round| &round.readings);
    let of_channel = |entry: &&Entry| entry.reading.channel().is_none_or(|of| of == channel);
    let read = entries.filter(of_channel).map(|entry| entry.seq).max().unwrap_or(0);
    session.notes.iter().any(|note| note.seq > read && note.body.told_channel() == Some(channel))
}

/// The readings of a session that were told: of each channel the next one logged after it was read out.
#[must_use]
pub fn told_readings(session: &Session) -> Vec<Seq> {
    let mut told: Vec<Seq> = session
        .notes
        .iter()
        .filter_map(|note| {
            let channel = note.body.told_channel()?;
            let entries = session.rounds.iter().flat_map(|round| &round.readings);
            let next = |entry: &&Entry| {
                entry.seq > note.seq && entry.reading.channel().is_none_or(|of| of == channel)
            };
            entries.filter(next).map(|entry| entry.seq).min()
        })
        .collect();
    told.sort_unstable();
    told.dedup();
    told
}
