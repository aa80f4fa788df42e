//! Formats 1 and 2 of such files. Frozen as a session's are: what they wrote they read for ever. Format 2
//! says the same as format 1 and [`JournalBody::Noted`], which some kinds had from the first.
//!
//! Each kind gives the words of its own, as [`Wired`]; what stands round them on a line is here.

use serde::de::DeserializeOwned;
use serde::{Deserialize, Serialize};

use super::{JournalBody, JournalFact, JournalHeader, Vocabulary};
use crate::fact::{Fact, FileMark, Note};
use crate::file::LineFormat;
use crate::file::bad_field::BadField;
use crate::file::v1::FactLine;
use crate::file::v1::wire::Wire;
use crate::file::v1::words::Continued;

/// The words of one kind of file.
pub(crate) trait Wired: Vocabulary {
    /// The first line; made by [`header_line`].
    type Header: HeaderLine<Own: Wire<Self::About>>;
    /// What any other line says.
    type What: Wire<Self> + Serialize + DeserializeOwned;
}

/// A first line: what every kind says there, and what is its own.
pub(crate) trait HeaderLine: Serialize + DeserializeOwned {
    /// What is its own.
    type Own;
    fn joined(all: Envelope, own: Self::Own) -> Self;
    fn parted(self) -> (Envelope, Self::Own);
}

/// What the first line of every kind says.
pub(crate) struct Envelope {
    pub(crate) format: u32,
    pub(crate) file: String,
    pub(crate) program: String,
    pub(crate) name: String,
    pub(crate) continues: Option<Continued>,
    pub(crate) seq: u64,
    pub(crate) time: String,
    pub(crate) hand: String,
}

/// `header_line!(Words for About { its own fields } continues)`: the first line of a kind, in the order it is
/// written in. `continues` is the word for the file that it goes on from. Without `for About` the kind
/// says itself how its words become what they are about.
macro_rules! header_line {
    ($own:ident for $about:path { $($field:ident: $wire:ty),* $(,)? } $continues:ident) => {
        $crate::file::v1::wire::wire_struct!($own for $about { $($field: $wire),* });
        $crate::journal::wire::header_line!(@line $own { $($field: $wire),* } $continues);
    };
    ($own:ident { $($field:ident: $wire:ty),* $(,)? } $continues:ident) => {
        pub(crate) struct $own { $($field: $wire),* }
        $crate::journal::wire::header_line!(@line $own { $($field: $wire),* } $continues);
    };
    (@line $own:ident { $($field:ident: $wire:ty),* } $continues:ident) => {
        #[derive(serde::Deserialize, serde::Serialize)]
        #[serde(deny_unknown_fields)]
        pub(crate) struct HeaderLine {
            format: u32,
            file: String,
            program: String,
            name: String,
            $($field: $wire,)*
            $continues: Option<$crate::file::v1::words::Continued>,
            seq: u64,
            time: String,
            hand: String,
        }

        impl $crate::journal::wire::HeaderLine for HeaderLine {
            type Own = $own;
            fn joined(all: $crate::journal::wire::Envelope, own: $own) -> Self {
                let $crate::journal::wire::Envelope {
                    format, file, program, name, continues, seq, time, hand
                } = all;
                let $own { $($field),* } = own;
                Self { format, file, program, name, $($field,)* $continues: continues, seq, time, hand }
            }
            fn parted(self) -> ($crate::journal::wire::Envelope, $own) {
                let Self {
                    format, file, program, name, $($field,)* $continues: continues, seq, time, hand
                } = self;
                let all = $crate::journal::wire::Envelope {
                    format, file, program, name, continues, seq, time, hand
                };
                (all, $own { $($field),* })
            }
        }
    };
}
pub(crate) use header_line;

/// What the program notes itself, from [`Vocabulary::NOTES_FROM_FORMAT`] on.
#[derive(Deserialize, Serialize)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
enum Own {
    Noted(String),
}

impl<V: Wired> LineFormat for JournalBody<V> {
    const FILE: &'static str = V::FILE;
    const TAG: &'static str = V::TAG;
    const FORMAT: u32 = V::NEWEST_FORMAT;

    fn is_header(&self) -> bool {
        matches!(self, Self::Header(_))
    }

    fn format(&self) -> u32 {
        match self {
            Self::Header(header) => header.format,
            Self::Noted(_) | Self::Said(_) => V::NEWEST_FORMAT,
        }
    }

    fn noted(mark: &FileMark, format: u32) -> Option<Self> {
        (format >= V::NOTES_FROM_FORMAT).then(|| Self::Noted(mark.note()))
    }

    fn write(fact: &Fact<Self>, format: u32) -> Result<String, BadField> {
        match &fact.body {
            Self::Header(header) => {
                let all = Envelope {
                    format: header.format,
                    file: V::TAG.to_owned(),
                    program: header.program.clone(),
                    name: header.name.clone(),
                    continues: Wire::write(&header.continues),
                    seq: fact.seq,
                    time: Wire::write(&fact.time),
                    hand: fact.hand.clone(),
                };
                ron::to_string(&V::Header::joined(all, Wire::write(&header.about)))
                    .map_err(BadField::new)
            }
            Self::Noted(_) if format < V::NOTES_FROM_FORMAT => Err(no_words()),
            Self::Noted(note) => FactLine::write(fact, Own::Noted(note.text.clone())),
            Self::Said(says) => FactLine::write(fact, V::What::write(says)),
        }
    }

    fn read_header(body: &str) -> Result<Fact<Self>, BadField> {
        let line: V::Header = ron::from_str(body).map_err(BadField::new)?;
        header_of(line)
    }

    fn read(body: &str, format: u32) -> Result<Fact<Self>, BadField> {
        let said = |what: V::What| {
            let says = what.read()?;
            says.check().map_err(BadField::new)?;
            Ok(Self::Said(says))
        };
        let own = |Own::Noted(text): Own| Note::of_mark(text).map(Self::Noted);
        match FactLine::parse(body) {
            Ok(line) => line.read(said),
            Err(why) => match FactLine::parse(body) {
                Ok(_) if format < V::NOTES_FROM_FORMAT => Err(no_words()),
                Ok(line) => line.read(own),
                Err(_) => Err(why),
            },
        }
    }
}

fn no_words() -> BadField {
    BadField::new("format 1 has no words for a note of the program's own")
}

fn header_of<V: Wired>(line: V::Header) -> Result<JournalFact<V>, BadField> {
    let (all, own) = line.parted();
    let about: V::About = own.read()?;
    let header = JournalHeader {
        format: all.format,
        program: all.program,
        name: all.name,
        continues: all.continues.read().map_err(|bad| bad.within("continues"))?,
        about,
    };
    V::check_about(&header.about).map_err(BadField::new)?;
    let time = all.time.read().map_err(|bad| bad.within("time"))?;
    Ok(Fact { seq: all.seq, time, hand: all.hand, body: JournalBody::Header(header) })
}
