//! Format 1 of a ledger. Frozen as a session's is: what it wrote it reads for ever.

use serde::{Deserialize, Serialize};

use super::{Entry, LedgerBody, LedgerFact, LedgerHeader, SigningKind, SigningLine};
use crate::fact::{Fact, Mark};
use crate::file::Words;
use crate::file::v1::wire::{Bad, Wire, wire_enum};
use crate::file::v1::words::Continued;

const FORMAT: u32 = 1;
const TAG: &str = "ledger of a shop";

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct HeaderLine {
    format: u32,
    file: String,
    program: String,
    name: String,
    year: i16,
    after: Option<Continued>,
    seq: u64,
    time: String,
    hand: String,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct FactLine {
    seq: u64,
    time: String,
    hand: String,
    what: What,
}

#[derive(Deserialize, Serialize)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
enum What {
    Entered(EntryWords),
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct EntryWords {
    session: String,
    file: String,
    kind: KindWords,
    line: u64,
    hash: String,
    time: String,
    hand: String,
    late: bool,
}

wire_enum!(KindWords for SigningKind { Signed, Countersigned, Returned });

impl Words for LedgerBody {
    const FILE: &'static str = "ledger";
    const TAG: &'static str = TAG;
    const FORMAT: u32 = FORMAT;

    fn is_header(&self) -> bool {
        matches!(self, Self::Header(_))
    }

    fn noted(_: &Mark, _: u32) -> Option<Self> {
        None
    }

    fn write(fact: &LedgerFact, _: u32) -> Result<String, String> {
        let (seq, time, hand) = (fact.seq, Wire::write(&fact.time), fact.hand.clone());
        let written = match &fact.body {
            Self::Header(header) => ron::to_string(&HeaderLine {
                format: FORMAT,
                file: TAG.to_owned(),
                program: header.program.clone(),
                name: header.name.clone(),
                year: header.year,
                after: Wire::write(&header.after),
                seq,
                time,
                hand,
            }),
            Self::Entered(entry) => {
                let line = &entry.line;
                let what = What::Entered(EntryWords {
                    session: entry.session.clone(),
                    file: entry.file.clone(),
                    kind: Wire::write(&line.kind),
                    line: line.seq,
                    hash: line.hash.clone(),
                    time: Wire::write(&line.time),
                    hand: line.hand.clone(),
                    late: entry.late,
                });
                ron::to_string(&FactLine { seq, time, hand, what })
            }
        };
        written.map_err(|why| why.to_string())
    }

    fn read_header(body: &str) -> Result<LedgerFact, String> {
        let line: HeaderLine = ron::from_str(body).map_err(|why| why.to_string())?;
        header_of(line).map_err(|bad| bad.to_string())
    }

    fn read(body: &str, _: u32) -> Result<LedgerFact, String> {
        let line: FactLine = ron::from_str(body).map_err(|why| why.to_string())?;
        fact_of(line).map_err(|bad| bad.to_string())
    }
}

fn header_of(line: HeaderLine) -> Result<LedgerFact, Bad> {
    let header = LedgerHeader {
        program: line.program,
        name: line.name,
        year: line.year,
        after: line.after.read().map_err(|bad| bad.within("after"))?,
    };
    let time = line.time.read().map_err(|bad| bad.within("time"))?;
    Ok(Fact { seq: line.seq, time, hand: line.hand, body: LedgerBody::Header(header) })
}

fn fact_of(line: FactLine) -> Result<LedgerFact, Bad> {
    let What::Entered(words) = line.what;
    let of_line = SigningLine {
        seq: words.line,
        hash: words.hash,
        kind: words.kind.read().map_err(|bad| bad.within("entered.kind"))?,
        time: words.time.read().map_err(|bad| bad.within("entered.time"))?,
        hand: words.hand,
    };
    let (session, file, late) = (words.session, words.file, words.late);
    let body = LedgerBody::Entered(Entry { session, file, line: of_line, late });
    let time = line.time.read().map_err(|bad| bad.within("time"))?;
    Ok(Fact { seq: line.seq, time, hand: line.hand, body })
}
