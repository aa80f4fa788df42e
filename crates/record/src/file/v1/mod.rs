//! Format 1: the words of its lines, and from words to facts and back.
//!
//! Frozen: a line that this module wrote must be read by it for ever, and what it reads must mean
//! the same for ever. A fact that needs more is format 2, in a module of its own.
//!
//! - [`wire`]: the rules that turn types into words; [`shop_items`] and [`words`]: the words.

pub(crate) mod shop_items;
pub(crate) mod wire;
pub(crate) mod words;

use serde::{Deserialize, Serialize};

use self::words::{Continued, SessionKind, What};
use crate::check::Checked;
use crate::fact::{self, Body, Fact, Mark};
use crate::file::words::Words;
use crate::{housing, station, unit, window};
use wire::{Bad, Wire};

/// Its number.
pub(crate) const FORMAT: u32 = 1;

impl Words for Body {
    const FILE: &'static str = "session";
    const TAG: &'static str = "";
    const FORMAT: u32 = FORMAT;

    fn is_header(&self) -> bool {
        matches!(self, Self::Header(_))
    }

    fn noted(mark: &Mark) -> Option<Self> {
        Some(Self::Note(mark.note()))
    }

    fn write(fact: &Fact) -> Result<String, String> {
        write(fact).map_err(|bad| bad.to_string())
    }

    fn read_header(body: &str) -> Result<Fact, String> {
        read_header(body).map_err(|bad| bad.to_string())
    }

    fn read(body: &str) -> Result<Fact, String> {
        read(body).map_err(|bad| bad.to_string())
    }
}

/// The header's line. `format` comes first in every format, so that a newer one can be told.
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

/// Any other line.
#[derive(Debug, Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct FactLine {
    seq: u64,
    time: String,
    hand: String,
    what: What,
}

/// A fact in words: the BODY of its line.
fn write(fact: &Fact) -> Result<String, Bad> {
    let (seq, time, hand) = (fact.seq, Wire::write(&fact.time), fact.hand.clone());
    let written = match (&fact.body, what(&fact.body)) {
        (Body::Header(header), _) => ron::to_string(&HeaderLine {
            format: FORMAT,
            program: header.program.clone(),
            session: header.session.clone(),
            kind: Wire::write(&header.kind),
            continues: Wire::write(&header.continues),
            seq,
            time,
            hand,
        }),
        (_, Some(what)) => ron::to_string(&FactLine { seq, time, hand, what }),
        (_, None) => return Err(Bad::new("only the header is without words of its own")),
    };
    written.map_err(Bad::new)
}

/// The header from the BODY of the first line.
fn read_header(body: &str) -> Result<Fact, Bad> {
    let line: HeaderLine = ron::from_str(body).map_err(Bad::new)?;
    Ok(Fact {
        seq: line.seq,
        time: line.time.read().map_err(|bad| bad.within("time"))?,
        hand: line.hand,
        body: Body::Header(fact::Header {
            program: line.program,
            session: line.session,
            kind: line.kind.read()?,
            continues: line.continues.read().map_err(|bad| bad.within("continues"))?,
        }),
    })
}

/// A fact from the BODY of any other line.
fn read(body: &str) -> Result<Fact, Bad> {
    let line: FactLine = ron::from_str(body).map_err(Bad::new)?;
    Ok(Fact {
        seq: line.seq,
        time: line.time.read().map_err(|bad| bad.within("time"))?,
        hand: line.hand,
        body: body_of(line.what)?,
    })
}

/// To words and back, body by body; the header has a line of its own kind.
macro_rules! bodies {
    ($($variant:ident),* ; checked $($checked:ident),*) => {
        fn what(body: &Body) -> Option<What> {
            Some(match body {
                Body::Header(_) => return None,
                Body::Undo(seq) => What::Undo(*seq),
                Body::Redo(seq) => What::Redo(*seq),
                $(Body::$variant(held) => What::$variant(Wire::write(held)),)*
                $(Body::$checked(held) => What::$checked(Wire::write(held)),)*
            })
        }

        fn body_of(what: What) -> Result<Body, Bad> {
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
bodies!(
    Setup, Precondition, RoundOpened, Reading, Withdrawn, SettingChosen, RemedyTaken, LookingTest,
    Note, Picture, Signed, Countersigned, Returned;
    checked Station, Window, Housing, Unit
);

fn checked<T: Checked>(read: Result<T, Bad>) -> Result<T, Bad> {
    let value = read?;
    value.check().map_err(Bad::new)?;
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
            fn read(self) -> Result<$of, Bad> {
                checked(self.$field.read()).map_err(|bad| bad.within(stringify!($field)))
            }
        }
    };
}
shop_file!(Station, station, station::Station);
shop_file!(Window, window, window::Window);
shop_file!(Housing, housing, housing::Housing);
shop_file!(Unit, unit, unit::Unit);
