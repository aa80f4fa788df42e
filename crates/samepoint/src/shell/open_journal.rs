//! An open file beside the sessions: the file, what its facts come to, and that in words and charts.

use jiff::civil::Date;
use paper::words::capital;
use record::fact::Seq;
use record::file::LineFormat;
use record::{Error, Event, JournalBody, JournalFile, Meaning as _, Stamp, Vocabulary};

use super::kept_file::Mend;

/// How what facts come to is shown.
pub trait JournalView<Means> {
    /// On a day.
    fn of(means: &Means, today: Date) -> Self;
}

/// A check file or a study that is open.
pub struct OpenJournal<V: Vocabulary, Picture> {
    file: JournalFile<V>,
    means: V::Means,
    picture: Picture,
}

impl<V: Vocabulary, Picture: JournalView<V::Means>> OpenJournal<V, Picture>
where
    JournalBody<V>: LineFormat,
{
    /// Folds and draws what a file holds.
    #[must_use]
    pub fn new(file: JournalFile<V>, now: Stamp) -> Self {
        let means = record::journal::fold(file.facts());
        let picture = Picture::of(&means, now.date());
        Self { file, means, picture }
    }

    /// The file.
    #[must_use]
    pub const fn file(&self) -> &JournalFile<V> {
        &self.file
    }

    /// The file, to agree, try again or close.
    pub const fn file_mut(&mut self) -> &mut JournalFile<V> {
        &mut self.file
    }

    /// What its facts come to.
    #[must_use]
    pub const fn means(&self) -> &V::Means {
        &self.means
    }

    /// That in words and charts.
    #[must_use]
    pub const fn picture(&self) -> &Picture {
        &self.picture
    }

    /// Adds a fact: folded and drawn at once, on its way to disk.
    ///
    /// # Errors
    /// Why the fact cannot be added; nothing has changed then.
    pub fn append(&mut self, says: V, now: Stamp, hand: &str) -> Result<Seq, Error> {
        self.means.admits(&says)?;
        let seq = self.file.append(says, now, hand)?;
        self.fold(now);
        Ok(seq)
    }

    /// Does what the hand asks about the file itself; what there is to say of it. Going on in a new file
    /// is asked about elsewhere.
    ///
    /// # Errors
    /// Why it cannot be done.
    pub fn mend(&mut self, mend: Mend, now: Stamp, hand: &str) -> Result<Option<String>, Error> {
        match mend {
            Mend::Agree => self.file.agree()?,
            Mend::Retry => self.file.try_again(),
            Mend::SetEndAside => {
                let aside = self.file.set_end_aside(now, hand)?;
                self.fold(now);
                return Ok(Some(capital(&aside.to_string())));
            }
            Mend::Continue => {}
        }
        Ok(None)
    }

    fn fold(&mut self, now: Stamp) {
        self.means = record::journal::fold(self.file.facts());
        self.redraw(now);
    }

    /// Draws anew: the day has turned, or the facts changed.
    pub fn redraw(&mut self, now: Stamp) {
        self.picture = Picture::of(&self.means, now.date());
    }

    /// Hears what became of facts on their way to disk; returns what must be said.
    pub fn hear(&mut self) -> Vec<String> {
        let stopped = self.file.poll().into_iter().filter_map(|event| match event {
            Event::Stopped { why, .. } => Some(why.to_string()),
            Event::Saved { .. } | Event::Written { .. } => None,
        });
        stopped.collect()
    }
}
