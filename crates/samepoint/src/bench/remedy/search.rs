//! Ranking remedies on a thread of its own: a search may take longer than a frame, and what shims did
//! in the shop's other sessions has to be read first.

use std::path::PathBuf;

use record::fact::Seq;
use record::remedies::KnownOfUnit;
use record::{RealDisk, Session, Shop};
use solver::decision::ENOUGH;
use solver::remedy::PredictedKind;
use solver::remedy::rank::Ranking;
use solver::remedy::shim::TriedShim;
use solver::remedy::spread::{RemedySpread, use_after};
use solver::swing::SwingRange;
use solver::{Channel, CircleFit, PerChannel, Window};

use crate::bench::session::OpenSession;
use crate::jobs::Broken;
use crate::shell::refusals::BOTH_CIRCLES;
use record::practice::WITHHELD;

/// Why remedies are not ranked, in a sentence.
#[derive(Debug, thiserror::Error)]
pub(crate) enum NotRanked {
    /// An examination is sat.
    #[error("{WITHHELD}")]
    Withheld,
    /// Nothing to mend.
    #[error("No round is open.")]
    NoRound,
    /// Nothing to start from.
    #[error("{BOTH_CIRCLES}")]
    NoCircles,
    /// Nothing to rank by.
    #[error("Remedies are ranked by the tolerance window: choose one under Set up.")]
    NoWindow,
    /// The solver.
    #[error(transparent)]
    Solver(#[from] solver::Error),
    /// The worker ended without an answer.
    #[error("{0}")]
    Broken(Broken),
}

/// Random trials for each remedy of the list, and where they start: the same facts give the same
/// list. A share of 95 % is then known to ±1 % (one standard deviation, √(pq/n)).
const TRIALS: usize = 500;
const SEED: u64 = 1;

/// Shims tried in the shop's other sessions of a housing.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Tried {
    housing: String,
    except: PathBuf,
    shims: Vec<TriedShim>,
}

/// What was found.
#[derive(Debug)]
pub(crate) struct FoundRemedies {
    /// The round it was worked out from.
    pub(crate) round: Seq,
    /// What was known.
    pub(crate) known: KnownOfUnit,
    /// Every remedy, ranked.
    pub(crate) ranking: Ranking,
    /// A channel whose readings do not fit what they are said to scatter by.
    pub(crate) misfit: Option<Channel>,
    /// Whether the unit may well be outside as it is, although it is inside by its circles.
    pub(crate) unsure: bool,
    /// What each may really give; `None` where a fit has no covariance.
    pub(crate) spreads: Vec<Option<RemedySpread>>,
    /// What was tried elsewhere, not to be read again.
    pub(crate) tried: Option<Tried>,
}

/// What is to be ranked.
pub(crate) struct RemedySearch {
    round: Seq,
    session: Session,
    path: PathBuf,
    fits: PerChannel<CircleFit>,
    window: Window,
    swing: Option<SwingRange>,
    shop: Option<Shop>,
    tried: Option<Tried>,
}

impl RemedySearch {
    /// For the open round.
    ///
    /// # Errors
    /// What is missing, in a sentence.
    pub(crate) fn of(
        session: &OpenSession,
        shop: Option<Shop>,
        tried: Option<Tried>,
    ) -> Result<Self, NotRanked> {
        session.told().map_err(|_| NotRanked::Withheld)?;
        let state = session.state();
        let round = state.round().ok_or(NotRanked::NoRound)?.id;
        let fits = session
            .picture()
            .solution
            .as_ref()
            .and_then(solver::Solution::both_fits)
            .ok_or(NotRanked::NoCircles)?
            .map(|fit| *fit);
        let window = state.window().ok_or(NotRanked::NoWindow)?.limits;
        Ok(Self {
            round,
            session: state.clone(),
            path: session.file().path().to_owned(),
            fits,
            window,
            swing: state.swing(),
            shop,
            tried,
        })
    }

    /// Looks.
    ///
    /// # Errors
    /// Why they cannot be ranked.
    pub(crate) fn find(self) -> Result<FoundRemedies, NotRanked> {
        let tried = self.tried_elsewhere();
        let elsewhere = tried.as_ref().map(|tried| tried.shims.as_slice()).unwrap_or_default();
        let known = KnownOfUnit::of_session(&self.session, elsewhere);
        let ranking = known.ranked(self.fits.as_ref(), &self.window, self.swing)?;
        let spread = |remedy: &solver::remedy::RankedRemedy| {
            use_after(&remedy.predicted, &self.window, self.swing, TRIALS, SEED).ok()
        };
        let spreads = ranking.remedies.iter().map(spread).collect();
        let misfit =
            self.fits.iter().find(|(_, fit)| fit.does_not_fit()).map(|(channel, _)| channel);
        // Trials are of crossings: of a compromise they say nothing.
        let baseline = &ranking.baseline;
        let crosses = baseline.setting.is_some_and(|held| held.kind == PredictedKind::Crossing);
        let chance = use_after(baseline, &self.window, self.swing, TRIALS, SEED).ok();
        let unsure = crosses && chance.is_some_and(|spread| spread.inside < ENOUGH);
        Ok(FoundRemedies { round: self.round, known, ranking, misfit, unsure, spreads, tried })
    }

    /// What was tried elsewhere, read from the shop unless it was already.
    fn tried_elsewhere(&self) -> Option<Tried> {
        let housing = &self.session.housing()?.name;
        let known = self.tried.as_ref();
        if let Some(known) = known.filter(|it| it.housing == *housing && it.except == self.path) {
            return Some(known.clone());
        }
        let shims = match self.shop.as_ref()?.tried_shims_of(housing, &self.path, &RealDisk) {
            Ok(shims) => shims,
            Err(error) => {
                // Without them the model does; the list says which.
                log::warn!("{error}");
                return None;
            }
        };
        Some(Tried { housing: housing.clone(), except: self.path.clone(), shims })
    }
}
