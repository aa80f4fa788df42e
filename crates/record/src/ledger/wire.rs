//! The words of a ledger's lines, in formats 1 and 2; frozen with [them](crate::journal).

use serde::{Deserialize, Serialize};
use smol_str::SmolStr;

use super::{LedgerAbout, LedgerEntry, SigningKind, SigningLine};
use crate::file::bad_field::BadField;
use crate::file::v1::wire::{Wire, wire_enum};
use crate::journal::wire::{Wired, header_line};

impl Wired for LedgerEntry {
    type Header = HeaderLine;
    type What = What;
}

header_line!(AboutWords for LedgerAbout { year: i16 } after);

#[derive(Deserialize, Serialize)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub(crate) enum What {
    Entered(EntryWords),
}

impl Wire<LedgerEntry> for What {
    fn write(from: &LedgerEntry) -> Self {
        let line = &from.line;
        Self::Entered(EntryWords {
            session: from.session.clone(),
            file: from.file.clone(),
            kind: Wire::write(&line.kind),
            line: line.seq,
            hash: Wire::write(&line.hash),
            time: Wire::write(&line.time),
            hand: line.hand.clone(),
            late: from.late,
        })
    }
    fn read(self) -> Result<LedgerEntry, BadField> {
        let Self::Entered(words) = self;
        let line = SigningLine {
            seq: words.line,
            hash: words.hash.read().map_err(|bad| bad.within("entered.hash"))?,
            kind: words.kind.read().map_err(|bad| bad.within("entered.kind"))?,
            time: words.time.read().map_err(|bad| bad.within("entered.time"))?,
            hand: words.hand,
        };
        Ok(LedgerEntry { session: words.session, file: words.file, line, late: words.late })
    }
}

#[derive(Clone, Debug, Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct EntryWords {
    session: SmolStr,
    file: SmolStr,
    kind: KindWords,
    line: u64,
    hash: String,
    time: String,
    hand: SmolStr,
    late: bool,
}

wire_enum!(KindWords for SigningKind { Signed, Countersigned, Returned });
