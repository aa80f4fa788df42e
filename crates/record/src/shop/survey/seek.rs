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
    /// Only this housing.
    pub housing: Option<String>,
    /// Only this station.
    pub station: Option<String>,
    /// Only this hand.
    pub hand: Option<String>,
    /// Only this shop, where several are seen as one: its place in [`Survey::folders`].
    pub folder: Option<usize>,
    /// Only this verdict, whether it was signed or the readings give it.
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
    /// How it stands, what weighs least first.
    State,
    /// Order or job number.
    Job,
    /// Whose unit it is.
    Customer,
    /// Who signed.
    Signer,
    /// The day it was signed.
    SignedOn,
    /// Who countersigned.
    Countersigner,
    /// The day it was countersigned.
    CountersignedOn,
    /// The day it was begun.
    Begun,
    /// The shop's folder, where several are seen as one: in the order in which they are named, one's own first.
    Folder,
}

impl SortBy {
    /// All of them, in the order in which columns are offered.
    pub const EVERY: [Self; 18] = [
        Self::Day,
        Self::Folder,
        Self::Unit,
        Self::Job,
        Self::Customer,
        Self::Housing,
        Self::Station,
        Self::Hand,
        Self::Rounds,
        Self::Boresight,
        Self::WindowUse,
        Self::Verdict,
        Self::State,
        Self::Signer,
        Self::SignedOn,
        Self::Countersigner,
        Self::CountersignedOn,
        Self::Begun,
    ];

    /// The word for it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Day => "day",
            Self::Unit => "unit",
            Self::Job => "job",
            Self::Customer => "customer",
            Self::Housing => "housing",
            Self::Station => "station",
            Self::Hand => "hand",
            Self::Rounds => "rounds",
            Self::Boresight => "boresight ′",
            Self::WindowUse => "use",
            Self::Verdict => "verdict",
            Self::State => "state",
            Self::Signer => "signer",
            Self::SignedOn => "signed on",
            Self::Countersigner => "countersigner",
            Self::CountersignedOn => "countersigned on",
            Self::Begun => "begun",
            Self::Folder => "shop",
        }
    }
}

impl Filter {
    /// Whether a session is wanted.
    #[must_use]
    pub fn wants(&self, session: &SessionSummary) -> bool {
        let is = |wanted: &Option<String>, name: &str| {
            wanted.as_ref().is_none_or(|wanted| wanted == name)
        };
        (self.with_practice || !session.practice)
            && is(&self.housing, &session.housing)
            && is(&self.station, &session.station)
            && is(&self.hand, &session.hand)
            && self.folder.is_none_or(|wanted| wanted == session.folder)
            && self.verdict.is_none_or(|verdict| {
                let signed = session.signed_as.as_ref().map(|signed| signed.verdict);
                [session.verdict, signed].contains(&Some(verdict))
            })
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
    let signed = session.signed_as.as_ref();
    let answers = [
        signed.map(|signed| signed.hand.as_str()),
        signed.and_then(|signed| Some(signed.answered.as_ref()?.hand.as_str())),
    ];
    let answers = answers.map(Option::unwrap_or_default).join("\n");
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
        &session.eyepieces.left,
        &session.eyepieces.right,
        &session.job,
        &session.customer,
        &session.complaint,
        &answers,
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
        seek_among(self.sessions.iter().enumerate(), filter, by, descending)
    }
}

/// As [`Survey::seek`], among sessions each with an index of its own.
#[must_use]
pub fn seek_among<'a>(
    all: impl Iterator<Item = (usize, &'a SessionSummary)>,
    filter: &Filter,
    by: SortBy,
    descending: bool,
) -> Vec<usize> {
    let mut wanted: Vec<(usize, &SessionSummary)> =
        all.filter(|(_, session)| filter.wants(session)).collect();
    wanted.sort_by(|(_, a), (_, b)| {
        compared(by, a, b, descending)
            .then_with(|| b.day.cmp(&a.day))
            .then_with(|| a.file.cmp(&b.file))
    });
    wanted.into_iter().map(|(index, _)| index).collect()
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
            let word = |of: &SessionSummary| {
                let signed = of.signed_as.as_ref().map(|signed| signed.verdict);
                signed.or(of.verdict).map_or("", Verdict::word)
            };
            text(word(a), word(b))
        }
        SortBy::State => turned(a.state.cmp(&b.state), descending),
        SortBy::Job => text(&a.job, &b.job),
        SortBy::Customer => text(&a.customer, &b.customer),
        SortBy::Signer => text(signer(a), signer(b)),
        SortBy::SignedOn => {
            let day = |of: &SessionSummary| of.signed_as.as_ref().map(|signed| signed.day);
            known(day(a), day(b), Ord::cmp, descending)
        }
        SortBy::Countersigner => text(&a.countersigned_words(), &b.countersigned_words()),
        SortBy::CountersignedOn => {
            let day = |of: &SessionSummary| of.countersigned_by().map(|answer| answer.day);
            known(day(a), day(b), Ord::cmp, descending)
        }
        SortBy::Begun => known(a.begun, b.begun, Ord::cmp, descending),
        SortBy::Folder => turned(a.folder.cmp(&b.folder), descending),
        SortBy::Boresight => {
            known(a.boresight_arcmin, b.boresight_arcmin, f64::total_cmp, descending)
        }
        SortBy::WindowUse => known(a.window_use, b.window_use, f64::total_cmp, descending),
        SortBy::Rounds => turned(a.rounds.cmp(&b.rounds), descending),
    }
}

fn signer(session: &SessionSummary) -> &str {
    session.signed_as.as_ref().map_or("", |signed| signed.hand.as_str())
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
