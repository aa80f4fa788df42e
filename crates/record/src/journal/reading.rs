//! Readings in a journal: what is kept of each, and leaving one out.

use solver::Direction;

use crate::error::Error;
use crate::fact::{Fact, Seq, Withdrawn};
use crate::fold::Withdrawal;
use crate::stamp::Stamp;
use crate::validate::named;

/// A reading that was logged.
#[derive(Clone, Debug, PartialEq)]
pub struct Logged<T> {
    /// Its identity.
    pub seq: Seq,
    /// When.
    pub time: Stamp,
    /// Whose hand entered it.
    pub hand: String,
    /// As typed.
    pub taken: T,
    /// Where it points.
    pub direction: Direction,
    /// Set when it was withdrawn.
    pub withdrawn: Option<Withdrawal>,
}

impl<T> Logged<T> {
    pub(crate) fn of(fact: Fact<T>, direction: Direction) -> Self {
        let Fact { seq, time, hand, body: taken } = fact;
        Self { seq, time, hand, taken, direction, withdrawn: None }
    }
}

/// The reading of a number, while it counts. Readings stand in the order of their numbers.
pub(crate) fn in_use<T>(readings: &[Logged<T>], seq: Seq) -> Result<usize, Error> {
    let at = readings.binary_search_by_key(&seq, |held| held.seq).ok();
    let counts = |at: &usize| readings.get(*at).is_some_and(|held| held.withdrawn.is_none());
    at.filter(counts).ok_or(Error::NotAReadingInUse { seq })
}

/// Whether a reading may be left out.
pub(crate) fn may_withdraw<T>(readings: &[Logged<T>], withdrawn: &Withdrawn) -> Result<(), Error> {
    in_use(readings, withdrawn.reading)?;
    named("the reason", &withdrawn.reason)
}

/// Leaves a reading out, by a fact's word.
pub(crate) fn withdraw<T>(
    readings: &mut [Logged<T>],
    by: Seq,
    Withdrawn { reading, reason }: Withdrawn,
) -> Result<(), Error> {
    let at = in_use(readings, reading)?;
    if let Some(held) = readings.get_mut(at) {
        held.withdrawn = Some(Withdrawal { by, reason });
    }
    Ok(())
}
