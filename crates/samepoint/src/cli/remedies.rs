//! What would mend a unit of a housing, or why nothing can be said.

use std::fmt::{self, Write as _};

use record::Housing;
use record::remedies::KnownOfUnit;
use solver::remedy::PredictedSetting;
use solver::remedy::rank::{RankedRemedy, Ranking, RemedyAction, RemedyKind, RemedyRefusal};
use solver::remedy::shim::ChannelShim;
use solver::{CircleFit, PerChannel, Problem};

use super::sentences::broken;

/// Remedies listed for a person.
const MOST_IN_WORDS: usize = 3;

/// What came of looking for remedies.
pub(super) struct Remedies(Result<Ranking, RankingRefusal>);

/// Why remedies cannot be ranked; without a full stop.
#[derive(Debug, thiserror::Error)]
enum RankingRefusal {
    #[error("remedies are ranked by a tolerance window; give --window")]
    NoWindow,
    #[error(transparent)]
    Solver(#[from] solver::Error),
}

impl Remedies {
    /// Every remedy for a solved problem, ranked.
    pub(super) fn for_housing(
        housing: &Housing,
        problem: &Problem,
        fits: PerChannel<&CircleFit>,
    ) -> Self {
        let Some(window) = &problem.window else {
            return Self(Err(RankingRefusal::NoWindow));
        };
        let ranked = KnownOfUnit::of_housing(housing).ranked(fits, window, problem.swing);
        Self(ranked.map_err(RankingRefusal::Solver))
    }

    /// Best first; `None` where none can be ranked.
    pub(super) fn ranking(&self) -> Option<&Ranking> {
        self.0.as_ref().ok()
    }

    /// Shim plans among them; `None` where there can be none.
    pub(super) fn shim_plans(
        &self,
    ) -> Option<impl Iterator<Item = (&PerChannel<Option<ChannelShim>>, &RankedRemedy)>> {
        let ranking = self.ranking()?;
        let refused = ranking.refused.iter().any(|refusal| refusal.kind == RemedyKind::Shims);
        (!refused).then(|| {
            ranking.remedies.iter().filter_map(|remedy| match &remedy.action {
                RemedyAction::Shims(shims) => Some((shims, remedy)),
                _ => None,
            })
        })
    }

    /// The best of them in words.
    pub(super) fn write(&self, page: &mut String, housing: &Housing, misfit: bool) -> fmt::Result {
        writeln!(page, "\nRemedies for {}", housing.name)?;
        let ranking = match &self.0 {
            Ok(ranking) => ranking,
            Err(why) => {
                page.push_str(&broken("  ", &format!("None: {why}.")));
                return Ok(());
            }
        };
        let as_it_is = ranking.baseline.setting.as_ref();
        if misfit {
            page.push_str(&broken("! ", "The readings do not fit: nothing of this is judged."));
        } else if as_it_is.is_some_and(PredictedSetting::is_inside) {
            let gives = record::remedies::gives(as_it_is);
            page.push_str(&broken("  ", &format!("None is needed. {gives}")));
        }
        let useful = || ranking.remedies.iter().filter(|remedy| remedy.predicted.setting.is_some());
        for (place, remedy) in useful().take(MOST_IN_WORDS).enumerate() {
            let hands = remedy.action.sentences().join(" ");
            page.push_str(&broken(&format!("{:>3}. ", place + 1), &hands));
            let gives = record::remedies::gives(remedy.predicted.setting.as_ref());
            page.push_str(&broken("     ", &gives));
        }
        if useful().next().is_none() && !ranking.remedies.is_empty() {
            page.push_str(&broken("  ", "None makes the circles meet."));
        }
        for refusal in ranking.refused.iter().filter(|refusal| worth_saying(refusal)) {
            let kind = refusal.kind.words();
            page.push_str(&broken("  ", &format!("No {kind}: {}.", refusal.why)));
        }
        let caution = "Predictions. Open a unit only as its maintenance manual directs; after any of \
                       these, read both channels again.";
        page.push_str(&broken("  ", caution));
        Ok(())
    }
}

/// A file of readings never tells tubes apart: that need not be said each time.
fn worth_saying(refusal: &RemedyRefusal) -> bool {
    matches!(refusal.kind, RemedyKind::Shims | RemedyKind::ShimsIn(_) | RemedyKind::EyepieceSwap)
}
