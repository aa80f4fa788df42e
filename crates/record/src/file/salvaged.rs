//! A new file from what verifies of a damaged one, marked for ever as salvaged.
//!
//! Facts keep their numbers, so that what names a fact still names that fact: a note of the program's
//! own stands for each one lost, and nothing can be withdrawn, undone or answered by its number.
//! What stands in for a first line that is lost: `first_line`.

use std::path::Path;

use crate::error::Error;
use crate::fact::{Body, Continued, Fact, FileMark, Header, LATEST_FORMAT};
use crate::file::fact_file::{FileOptions, SessionFile};
use crate::file::first_line::{Stead, of_header, of_the_rest};
use crate::file::open::new_session_name;
use crate::file::salvage::{Gap, Salvage, salvage};

impl SessionFile {
    /// Makes a new session of what verifies in a damaged one: a new header that names the old file, the
    /// facts that verify under the numbers they had, a mark for each that is lost, and at the end one that
    /// says that it is salvaged, behind which no earlier signature is in force. The old file is left as
    /// it is.
    ///
    /// `said_real`: whether the hand says that the unit was a real one, which is only asked where the
    /// first line is lost and nothing behind it tells.
    ///
    /// # Errors
    /// [`Error::NothingToSalvage`] of a whole file, [`Error::RealOrPractice`] where the hand must say;
    /// as [`salvage`], and as [`create`](Self::create).
    pub fn salvage_in(
        from: &Path,
        to: &Path,
        program: &str,
        (hand, said_real): (&str, bool),
        options: FileOptions,
    ) -> Result<(Self, Salvage), Error> {
        let bytes = options.disk.open_read(from).map_err(|why| Error::io("open", from, why))?;
        let mut found = salvage(from, bytes)?;
        if found.is_whole {
            return Err(Error::NothingToSalvage { path: from.to_owned() });
        }
        let old = match &found.header {
            Some(header) => of_header(header)?,
            None => of_the_rest(&found, from, &*options.disk, hand, said_real)?,
        };
        found.instead.clone_from(&old.words);
        let facts = facts_of(&found, from, program, hand, old, &options)?;
        Ok((Self::begin(to, facts, options)?, found))
    }
}

fn facts_of(
    found: &Salvage,
    from: &Path,
    program: &str,
    hand: &str,
    old: Stead,
    options: &FileOptions,
) -> Result<Vec<Fact>, Error> {
    let name = from.file_name().map(Path::new).unwrap_or(from);
    let file = crate::shown::path(name);
    let header = Header {
        format: LATEST_FORMAT,
        program: program.to_owned(),
        session: new_session_name()?,
        kind: old.kind,
        continues: Some(Continued {
            file: name.to_string_lossy().into_owned(),
            session: old.session,
            facts: found.facts.last().map_or(1, |fact| fact.seq),
            last_hash: found.last_hash.to_string(),
        }),
    };
    let noted = |seq, time, mark: &FileMark| Fact {
        seq,
        time,
        hand: hand.to_owned(),
        body: Body::Note(mark.note()),
    };
    let now = options.opener.now;
    let body = Body::Header(header);
    let mut facts = vec![Fact { seq: 1, time: now, hand: hand.to_owned(), body }];
    for fact in &found.facts {
        let first = facts.len() as u64 + 1;
        for lost in first..fact.seq {
            // When it was said is lost too: the time of the fact before it keeps the order.
            let time =
                if lost == 2 { fact.time } else { facts.last().map_or(now, |fact| fact.time) };
            // A first line that is lost too has a new one in its place.
            let begins = |gap: &&Gap| gap.first.max(2) == lost && gap.last() >= Some(lost);
            let gap = found.gaps.iter().find(begins).map(Gap::to_string);
            let mark = gap.map_or(FileMark::LostToo(lost), FileMark::LinesLost);
            facts.push(noted(lost, time, &mark));
        }
        facts.push(fact.clone());
    }
    let seq = facts.len() as u64 + 1;
    let words = found.words().replace('\n', " ");
    facts.push(noted(seq, now, &FileMark::Salvaged { file, words }));
    Ok(facts)
}
