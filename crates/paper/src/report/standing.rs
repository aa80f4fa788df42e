//! How far a session can be relied on: the words that mark every page.

use record::review::{COUNTERSIGNED_LINE_GONE, OUTDATED};
use record::{
    Account, AnswerKind, Chain, FileMarkKind, Follows, Remark, SessionKind, Signature, Verdict,
};

use super::figures::moment;
use crate::words::{counted_s, sentence};

/// What every page is marked with; empty for a signed, intact, real session.
pub(crate) fn marks(account: &Account) -> Vec<String> {
    let mut marks = Vec::new();
    if account.header().is_some_and(|header| matches!(header.kind, SessionKind::Practice(_))) {
        marks.push("PRACTICE ON AN INVENTED UNIT");
    }
    match account.chain {
        Chain::Intact => {}
        Chain::EndMissing(_) => marks.push("THE END IS MISSING"),
        Chain::Damaged(_) => marks.push("DAMAGED FILE"),
    }
    for mark in account.session.marks() {
        marks.push(match mark {
            FileMarkKind::EndSetAside => "A MISSING END WAS SET ASIDE",
            FileMarkKind::ContinuedInPart => "CONTINUED IN PART",
            FileMarkKind::BegunBeside => "BEGUN BESIDE ANOTHER FILE",
            FileMarkKind::Salvaged => "SALVAGED FROM A DAMAGED FILE",
            FileMarkKind::LinesLost | FileMarkKind::LostToo => "LINES LOST",
        });
    }
    if account.beside_contradicts() {
        marks.push("THE SHOP CONTRADICTS THIS FILE");
    } else if account.goes_on_elsewhere() {
        marks.push("ANOTHER FILE GOES ON");
    }
    if account.recall.as_ref().is_some_and(record::recall::Recall::changes) {
        marks.push("THE STATION’S ZERO WAS OFF");
    }
    if matches!(account.follows, Follows::No(_)) {
        marks.push("WHAT WAS STORED DOES NOT FOLLOW");
    }
    match account.signature() {
        None => marks.push("UNSIGNED"),
        Some(signature) => {
            if matches!(answer(signature), Some(AnswerKind::Returned(_))) {
                marks.push("RETURNED");
            }
            if signature.outdated {
                marks.push("OUTDATED: FACTS ADDED SINCE SIGNING");
            }
            if account.countersigned_line_found == Some(false) {
                marks.push("WRITTEN ANEW SINCE COUNTERSIGNING");
            }
        }
    }
    marks.into_iter().map(str::to_owned).collect()
}

fn answer(signature: &Signature) -> Option<&AnswerKind> {
    signature.answer.as_ref().map(|answer| &answer.kind)
}

/// The same in sentences.
pub(super) fn sentences(account: &Account) -> Vec<String> {
    let mut said = Vec::new();
    if let Some(header) = account.header()
        && let SessionKind::Practice(exercise) = &header.kind
    {
        said.push(format!(
            "This is practice on an invented unit (exercise “{}”): it says nothing about a real one.",
            exercise.name
        ));
    }
    match &account.chain {
        Chain::Intact => {}
        Chain::EndMissing(end) => said.push(format!(
            "In the session's file {end}. This report knows only what was said before it, {}.",
            counted_s(account.facts, "fact")
        )),
        Chain::Damaged(damage) => said.push(format!(
            "The session's file is damaged: {damage}. This report knows only what was said before \
             the damage, {}.",
            counted_s(account.facts, "fact")
        )),
    }
    if account.beside_contradicts() || account.goes_on_elsewhere() {
        let recall = account.recall.as_ref().map(record::recall::Recall::words);
        let others = account.beside_words().into_iter();
        said.extend(others.filter(|words| Some(words) != recall.as_ref()));
    }
    said.extend(account.recall.iter().map(record::recall::Recall::words));
    let noted = account.remarks().iter();
    said.extend(
        noted
            .filter(|remark| matches!(remark, Remark::Marked { .. }))
            .map(|mark| sentence(&mark.to_string())),
    );
    match &account.follows {
        Follows::No(differences) => {
            said.push("What was stored does not follow from the readings:".to_owned());
            said.extend(differences.iter().map(|difference| format!("– {difference}.")));
        }
        Follows::CannotTell(_) => said.push(account.follows_words()),
        Follows::Yes { .. } | Follows::NothingStored => {}
    }
    said.extend(signing(account));
    said.extend(account.otherwise.iter().map(|found| sentence(&found.to_string())));
    said.extend(account.blind_disagreements());
    said
}

fn signing(account: &Account) -> Vec<String> {
    let Some(signature) = account.signature() else {
        return vec!["Nobody has signed this session.".to_owned()];
    };
    let signed = &signature.signed;
    let mut said = vec![format!(
        "Signed “{}” by {} on {}{}",
        signed.verdict.word(),
        signature.hand,
        moment(signature.time),
        if signed.statement.is_empty() {
            ".".to_owned()
        } else {
            format!(": {}", signed.statement)
        }
    )];
    if signature.outdated {
        said.push(OUTDATED.to_owned());
    }
    if let Some(answer) = &signature.answer {
        let (word, comment) = match &answer.kind {
            AnswerKind::Countersigned(countersigned) => ("Countersigned", &countersigned.comment),
            AnswerKind::Returned(returned) => ("Returned", &returned.comment),
        };
        let comment = if comment.is_empty() { ".".to_owned() } else { format!(": {comment}") };
        said.push(format!("{word} by {} on {}{comment}", answer.hand, moment(answer.time)));
    }
    if account.countersigned_line_found == Some(false) {
        said.push(COUNTERSIGNED_LINE_GONE.to_owned());
    }
    said.extend(account.about_signing());
    said
}

/// The verdict in capitals, as it is told across a room.
pub(crate) const fn loud(verdict: Option<Verdict>) -> &'static str {
    match verdict {
        Some(Verdict::Pass) => "PASS",
        Some(Verdict::Fail) => "FAIL",
        Some(Verdict::Undecided) => "UNDECIDED",
        Some(Verdict::NotMeasured) => "NOT MEASURED",
        None => "NO VERDICT",
    }
}
