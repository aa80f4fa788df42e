//! Filters of the table of sessions by name, as preferences keep them.

use record::fact::Verdict;
use record::shop::survey::seek::Filter;

use super::Surveying;
use crate::preferences::{KeptFilter, MOST_FILTERS};
use crate::shell::Shell;

/// Why a filter is not kept.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub(crate) enum FilterNotKept {
    /// It has no name.
    #[error("Name the filter before it is kept.")]
    NoName,
    /// There are too many.
    #[error("{MOST_FILTERS} filters are kept: remove one first.")]
    TooMany,
}

impl Surveying {
    /// Keeps what is asked of the table by the name typed; a filter of that name is replaced.
    pub(super) fn keep_filter(&mut self, shell: &mut Shell) -> Result<(), FilterNotKept> {
        let name = self.filter_name.trim().to_owned();
        if name.is_empty() {
            return Err(FilterNotKept::NoName);
        }
        let kept = &mut shell.preferences.shop_filters;
        let own = kept.iter().position(|filter| filter.name == name);
        if own.is_none() && kept.len() >= MOST_FILTERS {
            return Err(FilterNotKept::TooMany);
        }
        let filter = self.as_kept(name);
        match own.and_then(|own| kept.get_mut(own)) {
            Some(held) => *held = filter,
            None => kept.push(filter),
        }
        self.filter_name.clear();
        Ok(())
    }

    /// What is asked of the table, by a name.
    fn as_kept(&self, name: String) -> KeptFilter {
        let Filter { words, housing, station, hand, verdict, only_troubled, with_practice, .. } =
            self.filter.clone();
        KeptFilter {
            name,
            words,
            housing,
            station,
            hand,
            shop: self.only_shop.clone(),
            verdict: verdict.map(|verdict| verdict.word().to_owned()),
            from: self.from.clone(),
            to: self.to.clone(),
            only_troubled,
            with_practice,
        }
    }

    /// Whether the table is asked just what a kept filter asks.
    pub(crate) fn asks_as(&self, kept: &KeptFilter) -> bool {
        self.as_kept(kept.name.clone()) == *kept
    }

    /// Asks of the table what a kept filter asks.
    pub(super) fn apply_filter(&mut self, kept: KeptFilter) {
        let verdicts = [Verdict::Pass, Verdict::Fail, Verdict::Undecided, Verdict::NotMeasured];
        let word = kept.verdict.as_deref();
        self.filter = Filter {
            words: kept.words,
            housing: kept.housing,
            station: kept.station,
            hand: kept.hand,
            folder: None,
            verdict: verdicts.into_iter().find(|verdict| Some(verdict.word()) == word),
            only_troubled: kept.only_troubled,
            with_practice: kept.with_practice,
            from: None,
            to: None,
        };
        self.only_shop = kept.shop;
        self.from = kept.from;
        self.to = kept.to;
        self.refresh();
    }
}
