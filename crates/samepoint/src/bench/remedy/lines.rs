//! What the remedy panel shows, as words.

use paper::words;
use record::remedies::{self, Compared, PredictedPlace};
use solver::Channel;
use solver::remedy::clock_face::ClockFace;
use solver::remedy::rank::Ranking;
use solver::remedy::shim::{ChannelShim, SeatLimits, ShimEffect};
use solver::remedy::spread::RemedySpread;
use solver::remedy::{PredictedKind, PredictedSetting, RankedRemedy, RemedyAction};

use crate::app::App;
use crate::bench::session::OpenSession;

use super::search::FoundRemedies;

/// What the panel shows.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct RemedyLines {
    /// What the unit gives as it is; first, that no remedy is needed where none is.
    pub baseline: String,
    /// Whether none is needed.
    pub none_needed: bool,
    /// That what is predicted rests on readings that do not fit.
    pub doubted: Option<String>,
    /// What shim predictions rest on, where there are any.
    pub effect: Option<String>,
    /// Each remedy: what to do and what it will give.
    pub remedies: Vec<RemedyLine>,
    /// Kinds that are not offered, with why.
    pub refused: Vec<String>,
    /// Why there is no list, or that it is being worked out.
    pub instead: Option<String>,
    /// Whether that can be tried again.
    pub again: bool,
}

/// A remedy.
#[derive(Clone, Debug, PartialEq)]
pub struct RemedyLine {
    /// The sentence for hands.
    pub hands: String,
    /// What it is predicted to give.
    pub gives: String,
    /// Whether that is inside the window; `None` where it rests on readings that do not fit.
    pub inside: Option<bool>,
    /// Each seat with its shim, drawn.
    pub faces: Vec<ClockFace>,
    /// Whether it may go at the front or at the rear end.
    pub either_end: bool,
}

/// A predicted place beside the measured one.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct ComparedLine {
    /// What.
    pub name: &'static str,
    /// As predicted.
    pub predicted: String,
    /// As measured.
    pub measured: String,
    /// How far apart they are.
    pub difference: String,
}

impl App {
    /// What the panel shows.
    #[must_use]
    pub fn remedy_lines(&self) -> RemedyLines {
        match &self.remedying.found {
            None => RemedyLines {
                instead: Some("Working out what would help…".to_owned()),
                ..RemedyLines::default()
            },
            Some(Err(why)) => RemedyLines {
                instead: Some(why.to_string()),
                again: self.remedying.broken,
                ..RemedyLines::default()
            },
            Some(Ok(found)) => lines(found),
        }
    }
}

fn lines(found: &FoundRemedies) -> RemedyLines {
    let FoundRemedies { ranking, known, spreads, misfit, unsure, .. } = found;
    let as_it_is = ranking.baseline.setting.as_ref();
    let none_needed =
        misfit.is_none() && !unsure && as_it_is.is_some_and(PredictedSetting::is_inside);
    let gives = remedies::gives(as_it_is);
    let shims =
        ranking.remedies.iter().any(|remedy| matches!(remedy.action, RemedyAction::Shims(_)));
    RemedyLines {
        baseline: if none_needed {
            format!("None is needed. As it is, turned to its targets: {gives}")
        } else {
            format!("As it is. {gives}")
        },
        none_needed,
        doubted: misfit.map(|channel| {
            format!(
                "The {channel} readings do not fit what the station says they scatter by: nothing here is \
                 judged. Find what was misread before a unit is opened."
            )
        }),
        effect: known.effect.filter(|_| shims).map(effect),
        remedies: ranking
            .remedies
            .iter()
            .zip(spreads)
            .map(|(remedy, spread)| RemedyLine {
                hands: remedy.action.sentences().join(" "),
                gives: format!(
                    "{}{}",
                    remedies::gives(remedy.predicted.setting.as_ref()),
                    spread
                        .as_ref()
                        .filter(|_| misfit.is_none())
                        .map_or_else(String::new, |spread| may_give(remedy, spread))
                ),
                inside: misfit
                    .is_none()
                    .then(|| remedy.predicted.setting.is_some_and(|setting| setting.is_inside())),
                faces: faces(&remedy.action, known.seat.as_ref()),
                either_end: remedy.action.has_a_choice_of_ends(),
            })
            .collect(),
        refused: refusals(ranking),
        instead: None,
        again: false,
    }
}

/// Each shim of a remedy in its seat, drawn.
fn faces(action: &RemedyAction, seat: Option<&SeatLimits>) -> Vec<ClockFace> {
    let RemedyAction::Shims(shims) = action else { return Vec::new() };
    let face = |(channel, shim): (_, &Option<ChannelShim>)| {
        shim.as_ref().map(|shim| ClockFace::of_plan(channel, shim, seat))
    };
    shims.iter().filter_map(face).collect()
}

/// What a shim is taken to do.
fn effect(effect: ShimEffect) -> String {
    match effect {
        ShimEffect::Model(_) => {
            "Shims are predicted by the optics of the housing; fewer than three were measured, or \
             they disagree."
        }
        ShimEffect::Measured { .. } => {
            "Shims are predicted by those of this housing that were measured."
        }
    }
    .to_owned()
}

/// Kinds that are not offered, those refused for the same reason in one sentence.
fn refusals(ranking: &Ranking) -> Vec<String> {
    let mut said: Vec<(Vec<&'static str>, String)> = Vec::new();
    for refusal in &ranking.refused {
        let (kind, why) = (refusal.kind.words(), refusal.why.to_string());
        match said.iter_mut().find(|(_, known)| *known == why) {
            Some((kinds, _)) => kinds.push(kind),
            None => said.push((vec![kind], why)),
        }
    }
    said.into_iter().map(|(kinds, why)| format!("No {}: {why}.", kinds.join(", no "))).collect()
}

/// How sure that is. Trials are of crossings: of another setting they say nothing.
fn may_give(remedy: &RankedRemedy, spread: &RemedySpread) -> String {
    let kind = remedy.predicted.setting.map(|setting| setting.kind);
    match (kind, spread.use_95) {
        (Some(PredictedKind::Crossing), Some(used)) => format!(
            " As the readings stand, {} of the window with 95 % probability.",
            words::percent_at_most(used)
        ),
        (Some(PredictedKind::Compromise), _) => format!(
            " As the readings stand, the nearest crossing is inside with a probability of {}.",
            words::probability(spread.inside)
        ),
        _ => format!(
            " As the readings stand the circles meet with a probability of only {}.",
            words::probability(spread.meets)
        ),
    }
}

/// The last remedy's prediction beside what was measured; empty where there is none.
#[must_use]
pub(crate) fn compared_lines(session: &OpenSession) -> Vec<ComparedLine> {
    let solution = session.picture().solution.as_ref();
    remedies::compared(session.state(), solution).iter().map(compared_line).collect()
}

fn compared_line(compared: &Compared) -> ComparedLine {
    let not_yet = || "–".to_owned();
    ComparedLine {
        name: match compared.what {
            PredictedPlace::Centre(Channel::Left) => "left",
            PredictedPlace::Centre(Channel::Right) => "right",
            PredictedPlace::Crossing => "meet",
        },
        predicted: words::direction(compared.predicted),
        measured: compared.measured.map_or_else(not_yet, words::direction),
        difference: compared
            .difference()
            .map_or_else(not_yet, |off| words::arcmin(off.boresight_arcmin())),
    }
}
