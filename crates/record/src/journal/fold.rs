//! What the facts of a journal come to, as far as it is the same for all.

use super::{JournalBody, JournalFact, Meaning as _, Vocabulary};
use crate::error::Error;
use crate::fact::Fact;
use crate::fact::texts::plain;

/// What the facts come to. Total: a fact that cannot be taken at its word is left aside.
#[must_use]
pub fn fold<V: Vocabulary>(facts: &[JournalFact<V>]) -> V::Means {
    let mut means = V::Means::default();
    for fact in facts {
        let Fact { seq, time, hand, body } = plain(fact).into_owned();
        let taken = match body {
            JournalBody::Header(header) if seq == 1 => {
                means.journal_mut().header = Some(header);
                Ok(())
            }
            JournalBody::Header(_) => Err(Error::HeaderOutOfPlace),
            JournalBody::Noted(note) => {
                means.journal_mut().marks.push(Fact { seq, time, hand, body: note.text });
                Ok(())
            }
            JournalBody::Said(body) => {
                means.admits(&body).and_then(|()| means.take(Fact { seq, time, hand, body }))
            }
        };
        if let Err(why) = taken {
            means.journal_mut().ignored.push((seq, why.to_string()));
        }
    }
    means
}
