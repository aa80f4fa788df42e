//! A session's rounds side by side, each with what was predicted of it.

use paper::words;
use record::fact::Fact;
use record::remedies::{Compared, compared};
use record::{Account, RoundAccount, fold_to};
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
pub fn sides(facts: &[Fact], account: &Account) -> Vec<SideRow> {
    let rounds = account.rounds.iter();
    rounds
        .enumerate()
        .map(|(place, round)| {
            let next = account.rounds.get(place + 1).map(|next| next.id);
            let last = next.map_or(facts.len() as u64, |next| next.saturating_sub(1));
            let then = fold_to(facts, last);
            let solution = round.solution.as_ref().and_then(|solved| solved.as_ref().ok());
            SideRow {
                title: format!("Round {} · {}", round.number, round.why.word()),
                told: told(round, solution),
                predicted: compared(&then, solution).iter().map(predicted).collect(),
            }
        })
        .collect()
}

fn told(round: &RoundAccount, solution: Option<&Solution>) -> Vec<String> {
    let [as_found, log, confirm] = round.readings;
    let mut told = vec![format!(
        "{as_found} as found, {log} logged, {confirm} to confirm, {} withdrawn",
        round.withdrawn
    )];
    for channel in Channel::BOTH {
        let Some(Ok(fit)) = solution.map(|solution| &solution.fits[channel]) else { continue };
        told.push(format!(
            "{channel} circle: centre {}, radius {}",
            words::direction(fit.circle.centre),
            words::arcmin(fit.circle.radius_arcmin)
        ));
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
        record::remedies::Place::Centre(channel) => format!("{channel} centre"),
        record::remedies::Place::Crossing => "meeting".to_owned(),
    };
    let measured = at.measured.map_or_else(|| "not measured".to_owned(), words::direction);
    let off = at.difference().map_or_else(String::new, |off| {
        format!(", {} apart", words::arcmin(off.boresight_arcmin()))
    });
    format!("{what}: predicted {}, measured {measured}{off}", words::direction(at.predicted))
}
