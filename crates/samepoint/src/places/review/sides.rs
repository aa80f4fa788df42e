//! A session's rounds side by side, each with what was predicted of it.

use paper::words;
use record::remedies::{Compared, compared_in};
use record::{Account, RoundAccount, aimed};
use solver::{Channel, Solution};

/// A round beside the others, in words.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SideRow {
    /// Which, and what ended the one before.
    pub title: String,
    /// Readings, circles, crossing, setting.
    pub told: Vec<String>,
    /// What the remedy before it predicted, beside what was measured.
    pub predicted: Vec<String>,
}

/// Every round of a session.
#[must_use]
pub(crate) fn sides(account: &Account) -> Vec<SideRow> {
    let session = &account.session;
    let measured = account.conclusion.as_ref().ok().and_then(|conclusion| conclusion.measured);
    let of = |round: &RoundAccount| {
        let solution = round.solution.as_ref().and_then(|solved| solved.as_ref().ok());
        let folded = session.round_of(round.id);
        let mut said: Vec<String> = folded
            .map(|folded| compared_in(session, folded, solution))
            .unwrap_or_default()
            .iter()
            .map(predicted)
            .collect();
        // What was confirmed is of the last round.
        let last = session.round().is_some_and(|last| last.id == round.id);
        if let Some(aimed) = folded
            .zip(measured.as_ref())
            .filter(|_| last)
            .and_then(|(folded, measured)| aimed(folded, measured))
        {
            said.extend(Channel::BOTH.map(|channel| {
                format!(
                    "{channel} aimed at {}, confirmed at {}, {} apart",
                    words::direction(aimed.predicted[channel]),
                    words::direction(aimed.measured[channel]),
                    words::arcmin(aimed.miss(channel).boresight_arcmin())
                )
            }));
        }
        SideRow {
            title: format!("Round {} · {}", round.number, round.why.word()),
            told: told(round, solution),
            predicted: said,
        }
    };
    account.rounds.iter().map(of).collect()
}

fn told(round: &RoundAccount, solution: Option<&Solution>) -> Vec<String> {
    let [as_found, log, confirm] = round.readings;
    let mut told = vec![format!(
        "{as_found} as found, {log} logged, {confirm} to confirm, {} withdrawn",
        round.withdrawn
    )];
    for channel in Channel::BOTH {
        let Some(Ok(fit)) = solution.map(|solution| &solution.fits[channel]) else { continue };
        told.push(words::circle(channel, &fit.circle));
    }
    let meeting = solution.and_then(|solution| solution.meeting.as_ref());
    if let Some(meeting) = meeting {
        told.push(match meeting.nearest() {
            Some(near) => format!(
                "meets {} from boresight, at {}",
                words::arcmin(near.boresight_arcmin),
                words::direction(near.point)
            ),
            None => format!("does not meet: {}", meeting.relation.word()),
        });
    }
    if let Some(used) = solution
        .and_then(|solution| solution.setting.as_ref().ok())
        .and_then(|setting| setting.window_use)
    {
        told.push(format!("window use {} if set there", words::percent(used.worst())));
    }
    if let Some(Err(why)) = &round.solution {
        told.push(format!("cannot be solved: {why}"));
    }
    told.extend(round.differences.iter().flat_map(record::Differences::words));
    told
}

fn predicted(at: &Compared) -> String {
    let what = match at.what {
        record::remedies::PredictedPlace::Centre(channel) => format!("{channel} centre"),
        record::remedies::PredictedPlace::Crossing => "meeting".to_owned(),
    };
    let measured = at.measured.map_or_else(|| "not measured".to_owned(), words::direction);
    let off = at.difference().map_or_else(String::new, |off| {
        format!(", {} apart", words::arcmin(off.boresight_arcmin()))
    });
    format!("{what}: predicted {}, measured {measured}{off}", words::direction(at.predicted))
}
