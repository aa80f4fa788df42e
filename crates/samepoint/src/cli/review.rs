//! `samepoint review`: work a session out again, check its chain, and say whether what was signed
//! follows from what was read.

use record::review::{Account, Follows, RoundAccount, review};
use record::{RealDisk, SessionKind, Verdict};
use serde::Serialize;
use solver::{Channel, PerChannel};

use super::arguments::Review;
use super::{Outcome, beside, figures};

/// Raised only when a key changes its meaning, which none should.
const FORMAT: u32 = 1;
/// The exit code of a damaged session.
const DAMAGED: u8 = 3;

#[derive(Serialize)]
struct Document<'a> {
    format: u32,
    session: Option<&'a str>,
    practice: bool,
    facts: usize,
    last_hash: &'a str,
    chain: &'static str,
    damage: Option<String>,
    rounds: Vec<Round>,
    verdict: Option<&'static str>,
    no_verdict_because: Option<String>,
    rests_on: &'a [u64],
    caveats: Vec<String>,
    signed: Option<Signature<'a>>,
    follows: Option<bool>,
    differences: Vec<String>,
    remarks: Vec<String>,
    ledger: Option<beside::Ledger>,
    copies: Vec<beside::OtherFile>,
    recall: Option<beside::Recalled>,
}

#[derive(Serialize)]
struct Round {
    number: usize,
    why: &'static str,
    as_found_readings: usize,
    log_readings: usize,
    confirm_readings: usize,
    withdrawn: usize,
    relation: Option<&'static str>,
    crossing_arcmin: Option<[f64; 2]>,
    left_ring_deg: Option<f64>,
    right_ring_deg: Option<f64>,
    left_closure_arcmin: Option<[f64; 2]>,
    right_closure_arcmin: Option<[f64; 2]>,
}

#[derive(Serialize)]
struct Signature<'a> {
    seq: u64,
    hand: &'a str,
    verdict: &'static str,
    rule: &'static str,
    outdated: bool,
}

/// Reviews a session without touching it.
pub(super) fn run(asked: &Review) -> Outcome {
    let account = match review(&asked.session, &RealDisk) {
        Ok(account) => account,
        // The very first line is damaged: nothing to account for, but damage all the same.
        Err(error @ record::Error::Damaged { .. }) => {
            let text = if asked.json {
                let damage = serde_json::Value::from(error.to_string());
                format!("{{\"format\": {FORMAT}, \"chain\": \"damaged\", \"damage\": {damage}}}\n")
            } else {
                format!("{error}\n")
            };
            return Outcome::Answered { text, code: DAMAGED };
        }
        Err(error) => {
            return Outcome::refused(figures::naming(&asked.session, &error.to_string()));
        }
    };
    let code = account.exit_code();
    let text = if asked.json {
        match serde_json::to_string_pretty(&document(&account)) {
            Ok(text) => text + "\n",
            Err(error) => {
                return Outcome::refused(format!("the account cannot be written as JSON: {error}"));
            }
        }
    } else {
        account.words()
    };
    Outcome::Answered { text, code }
}

fn document(account: &Account) -> Document<'_> {
    let conclusion = account.conclusion.as_ref();
    Document {
        format: FORMAT,
        session: account.header().map(|header| header.session.as_str()),
        practice: account
            .header()
            .is_some_and(|header| matches!(header.kind, SessionKind::Practice(_))),
        facts: account.facts,
        last_hash: &account.last_hash,
        chain: account.chain.word(),
        damage: account.chain.trouble(),
        rounds: account.rounds.iter().map(round).collect(),
        verdict: account.verdict().map(Verdict::word),
        no_verdict_because: conclusion.err().map(ToString::to_string),
        rests_on: conclusion.map_or(&[], |conclusion| conclusion.rests_on.as_slice()),
        caveats: conclusion.map_or_else(
            |_| Vec::new(),
            |conclusion| conclusion.caveats.iter().map(ToString::to_string).collect(),
        ),
        signed: account.signature().map(|signature| Signature {
            seq: signature.seq,
            hand: &signature.hand,
            verdict: signature.signed.verdict.word(),
            rule: signature.signed.rule.word(),
            outdated: signature.outdated,
        }),
        follows: match &account.follows {
            Follows::Yes { .. } => Some(true),
            Follows::No(_) => Some(false),
            Follows::CannotTell(_) | Follows::NothingStored => None,
        },
        differences: match &account.follows {
            Follows::No(differences) => differences.iter().map(ToString::to_string).collect(),
            _ => Vec::new(),
        },
        remarks: account.remarks().iter().map(ToString::to_string).collect(),
        ledger: beside::ledger(account),
        copies: beside::copies(account),
        recall: beside::recalled(account),
    }
}

fn round(round: &RoundAccount) -> Round {
    let [as_found_readings, log_readings, confirm_readings] = round.readings;
    let meeting = round
        .solution
        .as_ref()
        .and_then(|solution| solution.as_ref().ok())
        .and_then(|solution| solution.meeting.as_ref());
    let nearest = meeting.and_then(|meeting| meeting.nearest());
    let rings = nearest.map_or(PerChannel { left: None, right: None }, |nearest| nearest.ring_deg);
    let closure = |channel: Channel| {
        round.closure[channel]
            .as_ref()
            .map(|closure| [closure.difference.x_arcmin, closure.difference.y_arcmin])
    };
    Round {
        number: round.number,
        why: round.why.word(),
        as_found_readings,
        log_readings,
        confirm_readings,
        withdrawn: round.withdrawn,
        relation: meeting.map(|meeting| meeting.relation.word()),
        crossing_arcmin: nearest.map(|nearest| [nearest.point.x_arcmin, nearest.point.y_arcmin]),
        left_ring_deg: rings.left,
        right_ring_deg: rings.right,
        left_closure_arcmin: closure(Channel::Left),
        right_closure_arcmin: closure(Channel::Right),
    }
}
