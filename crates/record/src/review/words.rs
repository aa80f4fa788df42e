//! The account in plain words.

use core::fmt::Write;

use solver::{Channel, NoSetting, Solution};

use super::{Account, BlindWord, Chain, Follows, RoundAccount};
use crate::conclusion::{Measured, number_in_words};
use crate::differences::Differences;
use crate::figures::{
    arcmin, at_least, counted, counted_s, direction, meeting_sentence, misalignment, percent,
    probability,
};
use crate::fold::AnswerKind;
use crate::linked::Link;

/// Writing to a `String` cannot fail.
macro_rules! line {
    ($out:expr) => { $out.push('\n') };
    ($out:expr, $($words:tt)*) => {{ let _ = writeln!($out, $($words)*); }};
}

pub(super) fn words(account: &Account) -> String {
    let mut out = String::new();
    let facts = counted_s(account.facts, "fact");
    line!(out, "{}", crate::shown::path(&account.path));
    found(account, &mut out);
    match &account.chain {
        Chain::Intact => line!(out, "The chain of {facts} is intact to the last byte."),
        Chain::EndMissing(end) => line!(
            out,
            "THE END IS MISSING: {end}. What was said before it, {facts}, is intact, and all that is \
             accounted for here."
        ),
        Chain::Damaged(damage) => line!(
            out,
            "DAMAGED: {damage}. Only what was said before it, {facts}, is accounted for here."
        ),
    }
    line!(out, "Last line {}", account.last_hash);
    match BlindWord::of(&account.blind) {
        Some(word) => {
            line!(out, "State {}; blind readings {}", account.state(), word.word());
        }
        None => line!(out, "State {}", account.state()),
    }
    for sentence in account.beside_words() {
        line!(out, "{sentence}");
    }
    for round in &account.rounds {
        line!(out);
        round_words(round, &mut out);
    }
    line!(out);
    decided(account, &mut out);
    signed(account, &mut out);
    for handover in account.session.handovers() {
        line!(out, "{}", handover.words());
    }
    for remark in account.remarks() {
        line!(out, "Remark: {remark}.");
    }
    line!(out);
    line!(out, "{}", follows(&account.follows));
    out
}

fn found(account: &Account, out: &mut String) {
    let session = &account.session;
    if let Some(header) = account.header() {
        let kind = match &header.kind {
            crate::fact::SessionKind::Real => "Session".to_owned(),
            crate::fact::SessionKind::Practice(exercise) => {
                format!("Practice session “{}”", exercise.name)
            }
        };
        line!(out, "{kind} {}, begun with {}", header.session, header.program);
        if let Some(from) = &header.continues {
            line!(out, "It continues {} after its fact {}", from.file, from.facts);
        }
    }
    if let Some(link) = Link::of(session) {
        line!(
            out,
            "Blind confirm readings for {}, signed with its fact {}",
            link.file,
            link.signature
        );
    }
    if let Some(unit) = session.unit() {
        line!(out, "Unit {}, housing {}", unit.name, unit.housing);
    }
    if let (Some(station), Some(said)) = (session.station(), session.stations.last()) {
        let day = said.time.date();
        let calibration = match station.in_calibration(day) {
            Some(true) => "in calibration",
            Some(false) => "OUT OF CALIBRATION",
            None => "calibration not stated",
        };
        let checked = if station.checked_on(day) {
            "checked"
        } else if session.was_checked_unjudged(&station.name, day) {
            "checked, not judged,"
        } else {
            "not checked"
        };
        line!(out, "Station {}, {calibration} and {checked} on {day}", station.name);
    }
    match session.window() {
        Some(window) => {
            line!(
                out,
                "Window {}, {} rule, from {}",
                window.name,
                window.rule.word(),
                window.source
            );
        }
        None => line!(out, "No tolerance window"),
    }
    for otherwise in &account.otherwise {
        line!(out, "{}", crate::figures::sentence(&otherwise.to_string()));
    }
    if account.beside.is_none() {
        line!(out, "It lies in no shop: its window and station were held against none.");
        let named = session.pictures.len() + session.frames.len();
        if named > 0 {
            let pictures = counted(named, "picture it names was", "pictures it names were");
            line!(out, "The {pictures} not looked for.");
        }
    }
}

fn round_words(round: &RoundAccount, out: &mut String) {
    let [as_found, log, confirm] = round.readings;
    line!(
        out,
        "Round {} ({}): {as_found} as-found, {log} log, {confirm} confirm readings; {} withdrawn",
        round.number,
        round.why.word(),
        round.withdrawn
    );
    for (channel, closure) in round.closure.iter() {
        if let Some(closure) = closure {
            let error = closure.difference;
            line!(
                out,
                "  {channel} closes with an error of {}, {}",
                arcmin(error.x_arcmin),
                arcmin(error.y_arcmin)
            );
        }
    }
    match &round.solution {
        None => {}
        Some(Err(why)) => line!(out, "  cannot be solved: {why}"),
        Some(Ok(solution)) => solution_words(solution, out),
    }
    for sentence in round.differences.iter().flat_map(Differences::words) {
        line!(out, "  {sentence}");
    }
}

fn solution_words(solution: &Solution, out: &mut String) {
    for channel in Channel::BOTH {
        match &solution.fits[channel] {
            Ok(fit) => line!(
                out,
                "  {channel} circle: centre {}, {}, radius {}, {} readings, rms {}",
                arcmin(fit.circle.centre.x_arcmin),
                arcmin(fit.circle.centre.y_arcmin),
                arcmin(fit.circle.radius_arcmin),
                fit.readings,
                arcmin(fit.rms_arcmin)
            ),
            Err(why) => line!(out, "  {why}"),
        }
    }
    for channel in solution.misfits() {
        line!(
            out,
            "  the {channel} readings do not fit what the station says they scatter by: nothing that rests on \
             that circle is judged"
        );
    }
    if let Some(meeting) = &solution.meeting {
        let crossings: Vec<String> = meeting
            .crossings()
            .map(|crossing| {
                format!(
                    "{} ({} from boresight)",
                    direction(crossing.point),
                    arcmin(crossing.boresight_arcmin)
                )
            })
            .collect();
        line!(out, "  {}", meeting_sentence(meeting));
        if !crossings.is_empty() {
            line!(out, "  {}", crossings.join("; "));
        }
    }
    if let Err(NoSetting::ArcTooShort(channel)) = solution.setting {
        line!(out, "  the {channel} readings cover too short an arc to trust their circle");
    }
}

fn decided(account: &Account, out: &mut String) {
    match &account.conclusion {
        Ok(conclusion) => {
            line!(
                out,
                "The readings give: {} (as measured, {} rule)",
                conclusion.verdict_words(),
                conclusion.rule.word()
            );
            for measured in conclusion.positions() {
                measured_words(measured, out);
            }
            if conclusion.measured.is_some() && conclusion.on_circles.is_empty() {
                line!(
                    out,
                    "  not held against circles: this round has none that is known well enough"
                );
            }
            for caveat in &conclusion.caveats {
                line!(out, "  {caveat}");
            }
        }
        Err(why) => line!(out, "No verdict: {why}."),
    }
}

fn measured_words(measured: &Measured, out: &mut String) {
    line!(
        out,
        "  {}; {} from boresight; window use {}",
        misalignment(measured.misalignment),
        arcmin(measured.boresight_arcmin),
        percent(measured.window_use.worst())
    );
    let counted = measured.readings;
    line!(
        out,
        "  from {} left and {} right confirm readings {}",
        counted.left,
        counted.right,
        measured.position
    );
    if let Some(judged) = &measured.judgement {
        line!(
            out,
            "  probability {} for the misalignment, {} for boresight, at least {} for both; {}",
            probability(judged.in_box),
            probability(judged.in_boresight),
            at_least(judged.inside_at_least()),
            match measured.stated_sigma_arcmin {
                Some(sigma_arcmin) => format!("readings stated to {sigma_arcmin:.2}′"),
                None => "scatter as seen in these readings".to_owned(),
            }
        );
    }
    if let Some(outlook) = measured.outlook {
        line!(out, "  undecided {}: {}", measured.position, outlook.sentence());
    }
}

fn signed(account: &Account, out: &mut String) {
    let Some(signature) = account.signature() else {
        line!(out, "Nobody signed.");
        return;
    };
    let signed = &signature.signed;
    line!(
        out,
        "Signed “{}” by {} on {}, {} rule, {}",
        signed.verdict.word(),
        signature.hand,
        signature.time,
        signed.rule.word(),
        signed.program
    );
    if signature.outdated {
        line!(out, "{OUTDATED}");
    }
    if let Some(answer) = &signature.answer {
        let (word, comment) = match &answer.kind {
            AnswerKind::Countersigned(answer) => ("Countersigned", &answer.comment),
            AnswerKind::Returned(answer) => ("Returned", &answer.comment),
        };
        let said = if comment.is_empty() { String::new() } else { format!(": {comment}") };
        line!(out, "{word} by {} on {}{said}", answer.hand, answer.time);
    }
    if account.countersigned_line_found == Some(false) {
        line!(out, "{COUNTERSIGNED_LINE_GONE}");
    }
    for sentence in account.about_signing() {
        line!(out, "{sentence}");
    }
}

/// Said of a signature that facts follow.
pub const OUTDATED: &str = "Facts were added since: the signature does not speak for them.";

/// Said where a countersignature names a last line that the file does not have.
pub const COUNTERSIGNED_LINE_GONE: &str = "The countersignature names a last line that is not in this \
    file: the file was written anew since it was given.";

fn named(numbers: &[String]) -> String {
    numbers.iter().map(|name| number_in_words(name).0).collect::<Vec<_>>().join(", ")
}

pub(super) fn follows(follows: &Follows) -> String {
    match follows {
        Follows::Yes { unknown, missing } => {
            let mut words = "What was stored follows from the readings".to_owned();
            if !unknown.is_empty() {
                // As they stand: what they mean this version does not know.
                let names = unknown.join(", ");
                let _ = write!(
                    words,
                    ", as far as this version can tell: it does not work out {names}"
                );
            }
            words.push('.');
            if !missing.is_empty() {
                let names = named(missing);
                let _ =
                    write!(words, " It does not store {names}, on which the rule does not rest.");
            }
            words
        }
        Follows::No(differences) => {
            let mut words = "DOES NOT FOLLOW from the readings:".to_owned();
            for difference in differences {
                let _ = write!(words, "\n  {difference}");
            }
            words
        }
        Follows::CannotTell(why) => {
            format!("Whether the signed verdict follows cannot be told: {why}.")
        }
        Follows::NothingStored => {
            "Nothing was signed or chosen yet, so there is nothing to check.".to_owned()
        }
    }
}
