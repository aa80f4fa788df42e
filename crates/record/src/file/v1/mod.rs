//! Format 1: the words of its lines, and from words to facts and back.
//!
//! Frozen: a line that this module wrote must be read by it for ever, and what it reads must mean
//! the same for ever. A fact that needs more is format 2, in a module of its own.
//!
//! - [`wire`]: the rules that turn types into words; [`shop_items`] and [`words`]: the words.

pub(crate) mod shop_items;
pub(crate) mod wire;
pub(crate) mod words;

use serde::de::DeserializeOwned;
use serde::{Deserialize, Serialize};

use self::words::{Continued, SessionKind, What};
use crate::error::Error;
use crate::fact::{self, Body, Fact};
use crate::file::bad_field::BadField;
use crate::validate::Checked;
use crate::{housing, station, unit, window};
use wire::Wire;

/// Its number.
pub(crate) const FORMAT: u32 = 1;

/// The header's line, in format 2 too. `format` comes first in every format, so that a newer one can be
/// told.
#[derive(Debug, Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct HeaderLine {
    format: u32,
    program: String,
    session: String,
    kind: SessionKind,
    continues: Option<Continued>,
    seq: u64,
    time: String,
    hand: String,
}

/// Any other line, in format 2 too.
#[derive(Debug, Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct FactLine<What> {
    seq: u64,
    time: String,
    hand: String,
    what: What,
}

impl<What: Serialize + DeserializeOwned> FactLine<What> {
    /// A fact's line with what it says in words.
    pub(crate) fn write<B>(fact: &Fact<B>, what: What) -> Result<String, BadField> {
        let (seq, time, hand) = (fact.seq, Wire::write(&fact.time), fact.hand.clone());
        ron::to_string(&Self { seq, time, hand, what }).map_err(BadField::new)
    }

    /// A line in its words.
    pub(crate) fn parse(body: &str) -> Result<Self, BadField> {
        ron::from_str(body).map_err(BadField::new)
    }

    /// A fact from its line, what it says by `body_of`.
    pub(crate) fn read<B>(
        self,
        body_of: impl FnOnce(What) -> Result<B, BadField>,
    ) -> Result<Fact<B>, BadField> {
        Ok(Fact {
            seq: self.seq,
            time: self.time.read().map_err(|bad| bad.within("time"))?,
            hand: self.hand,
            body: body_of(self.what)?,
        })
    }
}

/// A fact in words: the BODY of its line.
pub(crate) fn write(fact: &Fact) -> Result<String, BadField> {
    if matches!(&fact.body, Body::Countersigned(held) if held.hands_sha256.is_some()) {
        return Err(no_words("which list of hands it was given under"));
    }
    FactLine::write(fact, what(&fact.body).ok_or_else(|| no_words(fact.body.word()))?)
}

fn no_words(what: &'static str) -> BadField {
    BadField::new(Error::NotInThisFormat { format: FORMAT, what })
}

/// The header in words, whatever its format: the BODY of the first line.
pub(crate) fn write_header(fact: &Fact, header: &fact::Header) -> Result<String, BadField> {
    let line = HeaderLine {
        format: header.format,
        program: header.program.clone(),
        session: header.session.clone(),
        kind: Wire::write(&header.kind),
        continues: Wire::write(&header.continues),
        seq: fact.seq,
        time: Wire::write(&fact.time),
        hand: fact.hand.clone(),
    };
    ron::to_string(&line).map_err(BadField::new)
}

/// The header, whatever its format, from the BODY of the first line.
pub(crate) fn read_header(body: &str) -> Result<Fact, BadField> {
    let line: HeaderLine = ron::from_str(body).map_err(BadField::new)?;
    Ok(Fact {
        seq: line.seq,
        time: line.time.read().map_err(|bad| bad.within("time"))?,
        hand: line.hand,
        body: Body::Header(fact::Header {
            format: line.format,
            program: line.program,
            session: line.session,
            kind: line.kind.read()?,
            continues: line.continues.read().map_err(|bad| bad.within("continues"))?,
        }),
    })
}

/// A fact from the BODY of any other line.
pub(crate) fn read(body: &str) -> Result<Fact, BadField> {
    FactLine::parse(body)?.read(body_of)
}

/// To words and back, body by body; the header has a line of its own kind.
macro_rules! bodies {
    ($($variant:ident),* ; checked $($checked:ident),*) => {
        fn what(body: &Body) -> Option<What> {
            Some(match body {
                Body::Undo(seq) => What::Undo(*seq),
                Body::Redo(seq) => What::Redo(*seq),
                $(Body::$variant(held) => What::$variant(Wire::write(held)),)*
                $(Body::$checked(held) => What::$checked(Wire::write(held)),)*
                // The header has a line of its own kind; of the rest, this format has no words.
                #[allow(unreachable_patterns, reason = "the latest format has words for all but the header")]
                _ => return None,
            })
        }

        fn body_of(what: What) -> Result<Body, BadField> {
            Ok(match what {
                What::Undo(seq) => Body::Undo(seq),
                What::Redo(seq) => Body::Redo(seq),
                $(What::$variant(held) => {
                    Body::$variant(held.read().map_err(|bad| bad.within(stringify!($variant)))?)
                })*
                $(What::$checked(held) => Body::$checked(
                    checked(held.read()).map_err(|bad| bad.within(stringify!($checked)))?
                ),)*
            })
        }
    };
}
pub(crate) use bodies;
bodies!(
    Setup, Precondition, RoundOpened, Reading, Withdrawn, SettingChosen, RemedyTaken, LookingTest,
    Note, Picture, Signed, Countersigned, Returned;
    checked Station, Window, Housing, Unit
);

pub(crate) fn checked<T: Checked>(read: Result<T, BadField>) -> Result<T, BadField> {
    let value = read?;
    value.check().map_err(BadField::new)?;
    Ok(value)
}

/// Files of the shop: `(format: 1, station: (…))`.
macro_rules! shop_file {
    ($name:ident, $field:ident, $of:path) => {
        #[derive(Debug, Deserialize, Serialize)]
        #[serde(deny_unknown_fields)]
        pub(crate) struct $name {
            pub(crate) format: u32,
            $field: shop_items::$name,
        }

        impl Wire<$of> for $name {
            fn write(from: &$of) -> Self {
                Self { format: FORMAT, $field: Wire::write(from) }
            }
            fn read(self) -> Result<$of, BadField> {
                checked(self.$field.read()).map_err(|bad| bad.within(stringify!($field)))
            }
        }
    };
}
shop_file!(Station, station, station::Station);
shop_file!(Window, window, window::NamedWindow);
shop_file!(Housing, housing, housing::Housing);
shop_file!(Unit, unit, unit::Unit);
