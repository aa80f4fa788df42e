//! A new file from what verifies of a damaged one, marked for ever as salvaged.
//!
//! Facts keep their numbers, so that what names a fact still names that fact: a note of the program's
//! own stands for each one lost, and nothing can be withdrawn, undone or answered by its number.

use std::path::Path;

use crate::error::Error;
use crate::fact::{Body, Continued, Fact, Header, LATEST_FORMAT, Mark};
use crate::file::fact_file::{FileOptions, SessionFile};
use crate::file::open::new_session_name;
use crate::file::salvage::{Gap, Salvage, salvage};

impl SessionFile {
    /// Makes a new session of what verifies in a damaged one: a new header that names the old file, the
    /// facts that verify under the numbers they had, a mark for each that is lost, and at the end one that
    /// says that it is salvaged, behind which no earlier signature is in force. The old file is left as
    /// it is.
    ///
    /// # Errors
    /// [`Error::NothingToSalvage`] of a whole file; as [`salvage`], and as
    /// [`create`](Self::create).
    pub fn salvage_in(
        from: &Path,
        to: &Path,
        program: &str,
        hand: &str,
        options: FileOptions,
    ) -> Result<(Self, Salvage), Error> {
        let bytes = options.disk.open_read(from).map_err(|why| Error::io("open", from, why))?;
        let found = salvage(from, bytes)?;
        if found.is_whole {
            return Err(Error::NothingToSalvage { path: from.to_owned() });
        }
        let facts = facts_of(&found, from, program, hand, &options)?;
        Ok((Self::begin(to, facts, options)?, found))
    }
}

fn facts_of(
    found: &Salvage,
    from: &Path,
    program: &str,
    hand: &str,
    options: &FileOptions,
) -> Result<Vec<Fact>, Error> {
    let Body::Header(old) = &found.header.body else { return Err(Error::HeaderOutOfPlace) };
    let name = from.file_name().map(Path::new).unwrap_or(from);
    let file = crate::shown::path(name);
    let header = Header {
        format: LATEST_FORMAT,
        program: program.to_owned(),
        session: new_session_name()?,
        kind: old.kind.clone(),
        continues: Some(Continued {
            file: name.to_string_lossy().into_owned(),
            session: old.session.clone(),
            facts: found.facts.last().map_or(1, |fact| fact.seq),
            last_hash: found.last_hash.to_string(),
        }),
    };
    let noted = |seq, time, mark: &Mark| Fact {
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
            let time = facts.last().map_or(now, |fact| fact.time);
            let gap = found.gaps.iter().find(|gap| gap.first == lost).map(Gap::to_string);
            let mark = gap.map_or(Mark::LostToo(lost), Mark::LinesLost);
            facts.push(noted(lost, time, &mark));
        }
        facts.push(fact.clone());
    }
    let seq = facts.len() as u64 + 1;
    let words = found.words().replace('\n', " ");
    facts.push(noted(seq, now, &Mark::Salvaged { file, words }));
    Ok(facts)
}
