//! Sessions filtered, searched and sorted: what a table of them shows.

use core::cmp::Ordering;

use jiff::civil::Date;

use super::{SessionSummary, Survey};
use crate::fact::Verdict;

/// Which sessions are wanted. What is empty or `None` asks for nothing.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Filter {
    /// Words that must all occur, in any case, somewhere in what names the session: file, unit,
    /// housing, tubes, station, hand, window, verdict, day, what became of its signature. A number of one or two
    /// digits must be a whole word there.
    pub words: String,
    /// Only what lies in this of the survey's folders.
    pub folder: Option<usize>,
    /// Only this housing.
    pub housing: Option<String>,
    /// Only this station.
    pub station: Option<String>,
    /// Only this hand.
    pub hand: Option<String>,
    /// Only this verdict.
    pub verdict: Option<Verdict>,
    /// From this day on.
    pub from: Option<Date>,
    /// Up to and with this day.
    pub to: Option<Date>,
    /// Only sessions with something to look at.
    pub only_troubled: bool,
    /// Practice too.
    pub with_practice: bool,
}

/// What sessions are sorted by.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum SortBy {
    /// The day, then the file's name.
    #[default]
    Day,
    /// The unit.
    Unit,
    /// The housing.
    Housing,
    /// The station.
    Station,
    /// The hand.
    Hand,
    /// The verdict.
    Verdict,
    /// Distance from boresight as left.
    Boresight,
    /// Window use as left.
    WindowUse,
    /// Rounds.
    Rounds,
    /// The folder, in the order in which they are seen.
    Folder,
}

impl Filter {
    /// Whether a session is wanted.
    #[must_use]
    pub fn wants(&self, session: &SessionSummary) -> bool {
        let is = |wanted: &Option<String>, name: &str| {
            wanted.as_ref().is_none_or(|wanted| wanted == name)
        };
        (self.with_practice || !session.practice)
            && self.folder.is_none_or(|folder| folder == session.folder)
            && is(&self.housing, &session.housing)
            && is(&self.station, &session.station)
            && is(&self.hand, &session.hand)
            && self.verdict.is_none_or(|verdict| session.verdict == Some(verdict))
            && self.from.is_none_or(|from| session.day.is_some_and(|day| day >= from))
            && self.to.is_none_or(|to| session.day.is_some_and(|day| day <= to))
            && (!self.only_troubled || !session.troubles().is_empty())
            && mentions(session, &self.words)
    }
}

/// Whether every word occurs in what names a session, in any case.
fn mentions(session: &SessionSummary, words: &str) -> bool {
    if words.trim().is_empty() {
        return true;
    }
    let day = session.day.map(|day| day.to_string()).unwrap_or_default();
    let names = [
        session.file.as_str(),
        &session.unit,
        &session.housing,
        &session.tubes.left,
        &session.tubes.right,
        &session.station,
        &session.hand,
        &session.window,
        session.verdict.map_or("", Verdict::word),
        session.state.word(),
        &day,
    ];
    // Line ends keep a word from matching across two names.
    let all = names.join("\n").to_lowercase();
    words.split_whitespace().map(str::to_lowercase).all(|word| {
        // The 4 of “Bench 4” is not that of a serial number or a day.
        let short = word.len() <= 2 && word.bytes().all(|letter| letter.is_ascii_digit());
        if short { all.split_whitespace().any(|whole| whole == word) } else { all.contains(&word) }
    })
}

impl Survey {
    /// The indices of the sessions wanted, sorted. Sessions that lack what is sorted by come last, either
    /// way; of equals, the later day first.
    #[must_use]
    pub fn seek(&self, filter: &Filter, by: SortBy, descending: bool) -> Vec<usize> {
        let all = self.sessions.iter().enumerate();
        let mut wanted: Vec<(usize, &SessionSummary)> =
            all.filter(|(_, session)| filter.wants(session)).collect();
        wanted.sort_by(|(_, a), (_, b)| {
            compared(by, a, b, descending)
                .then_with(|| b.day.cmp(&a.day))
                .then_with(|| a.file.cmp(&b.file))
        });
        wanted.into_iter().map(|(index, _)| index).collect()
    }
}

fn compared(by: SortBy, a: &SessionSummary, b: &SessionSummary, descending: bool) -> Ordering {
    let text = |a: &str, b: &str| {
        let missing = a.is_empty().cmp(&b.is_empty());
        missing.then_with(|| turned(a.to_lowercase().cmp(&b.to_lowercase()), descending))
    };
    match by {
        SortBy::Day => known(a.day, b.day, Ord::cmp, descending),
        SortBy::Unit => text(&a.unit, &b.unit),
        SortBy::Housing => text(&a.housing, &b.housing),
        SortBy::Station => text(&a.station, &b.station),
        SortBy::Hand => text(&a.hand, &b.hand),
        SortBy::Verdict => {
            text(a.verdict.map_or("", Verdict::word), b.verdict.map_or("", Verdict::word))
        }
        SortBy::Boresight => {
            known(a.boresight_arcmin, b.boresight_arcmin, f64::total_cmp, descending)
        }
        SortBy::WindowUse => known(a.window_use, b.window_use, f64::total_cmp, descending),
        SortBy::Rounds => turned(a.rounds.cmp(&b.rounds), descending),
        SortBy::Folder => turned(a.folder.cmp(&b.folder), descending),
    }
}

fn known<T>(
    a: Option<T>,
    b: Option<T>,
    order: impl Fn(&T, &T) -> Ordering,
    descending: bool,
) -> Ordering {
    match (a, b) {
        (Some(a), Some(b)) => turned(order(&a, &b), descending),
        (a, b) => a.is_none().cmp(&b.is_none()),
    }
}

const fn turned(order: Ordering, descending: bool) -> Ordering {
    if descending { order.reverse() } else { order }
}
