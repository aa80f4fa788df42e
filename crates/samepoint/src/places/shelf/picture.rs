//! A plan made ready to look at, once an answer.

use std::path::{Path, PathBuf};

use record::figures::counted_s;
use record::shop::parts::page::{PartKind, PartKnown};
use record::shop::parts::told;
use record::{Foretold, Matching, shown};
use solver::shelf::Match;
use solver::{Channel, PerChannel};

use super::picked::PickedUnits;
use crate::shell::effect::FromShelf;

/// What the place shows.
pub(crate) struct ShelfView {
    /// What lies on the shelf, and what it is known from.
    pub(crate) about: [String; 2],
    /// What the plan comes to.
    pub(crate) totals: String,
    /// Whether it is proved.
    pub(crate) proved: bool,
    /// What is proved of it, in words.
    pub(crate) proof: String,
    /// The units to be built.
    pub(crate) matches: Vec<MatchView>,
    /// The best single unit that could be built now, where that is none of them.
    pub(crate) best: Option<MatchView>,
    /// What is not known, and what reading would tell.
    pub(crate) unknown: Vec<String>,
    /// What else is to be looked at.
    pub(crate) remarks: Vec<String>,
    /// Sessions that were left out, and why.
    pub(crate) left_out: Vec<String>,
    /// Every part of the list.
    pub(crate) parts: Vec<PartView>,
    /// Units that were built of known parts.
    pub(crate) built: Vec<BuiltView>,
}

/// One unit to be built.
pub(crate) struct MatchView {
    /// Unit and housing type.
    pub(crate) title: String,
    /// What goes into each pod.
    pub(crate) pods: PerChannel<String>,
    /// Shims, a sentence each.
    pub(crate) shims: Vec<String>,
    /// What it is predicted to give.
    pub(crate) figures: String,
    /// What is to be thought of before it is built.
    pub(crate) caution: Option<String>,
    /// The button that begins a session with it.
    pub(crate) button: String,
    /// What that session is begun with.
    pub(crate) begins: FromShelf,
}

/// One part, by itself.
pub(crate) struct PartView {
    /// What kind it is.
    pub(crate) kind: PartKind,
    /// Its name, the type of housing, and where it is.
    pub(crate) title: String,
    /// What is known and what is not.
    pub(crate) lines: Vec<String>,
    /// The newest sessions that read it: file, and the button that looks it over.
    pub(crate) sessions: Vec<(PathBuf, String)>,
    /// How many more there are, in words.
    pub(crate) more: Option<String>,
}

/// A unit that was built of known parts, predicted beside measured.
pub(crate) struct BuiltView {
    /// The session's file.
    pub(crate) path: PathBuf,
    /// The button that looks it over.
    pub(crate) button: String,
    /// Which unit of which parts, and whether it came out as predicted.
    pub(crate) title: String,
    /// Whether it did.
    pub(crate) agrees: bool,
    /// Each circle.
    pub(crate) circles: PerChannel<String>,
    /// The crossing.
    pub(crate) crossing: String,
}

impl ShelfView {
    /// Of the shelf of a shop's folder.
    #[must_use]
    pub(crate) fn of(matching: &Matching, folder: &Path) -> Self {
        let plan = &matching.plan;
        let best = plan.best_single.as_ref().filter(|best| !plan.matches.contains(best));
        let one_line = |said: &[String]| -> Vec<String> {
            said.iter().map(|said| shown::one_line(said).into_owned()).collect()
        };
        Self {
            about: matching.about(),
            totals: told::totals(&plan.totals),
            proved: plan.proved,
            proof: told::proof(plan),
            matches: plan.matches.iter().map(|one| MatchView::of(matching, one)).collect(),
            best: best.map(|one| MatchView::of(matching, one)),
            unknown: one_line(&matching.unknown),
            remarks: one_line(&matching.remarks),
            left_out: one_line(&matching.left_out),
            parts: matching.parts.iter().map(|one| PartView::of(one, folder)).collect(),
            built: matching.foretold.iter().map(|one| BuiltView::of(one, folder)).collect(),
        }
    }

    /// What a session is begun with.
    #[must_use]
    pub(crate) fn picked(&self, which: PickedUnits) -> Option<&MatchView> {
        match which {
            PickedUnits::OfPlan(place) => self.matches.get(place),
            PickedUnits::Best => self.best.as_ref(),
        }
    }

    /// How much there is to look at in what is not known.
    #[must_use]
    pub(crate) const fn to_look_at(&self) -> usize {
        self.unknown.len() + self.remarks.len() + self.left_out.len()
    }
}

impl MatchView {
    fn of(matching: &Matching, one: &Match) -> Self {
        let names = matching.names(one);
        let unit = shown::one_line(names.unit);
        let pod = |channel: Channel| {
            let tube = matching.tube_words(one, channel);
            format!("tube {tube}, eyepiece {}", shown::one_line(names.eyepieces[channel]))
        };
        Self {
            title: format!("{unit} · {}", shown::one_line(names.housing)),
            pods: PerChannel::from_fn(pod),
            shims: matching.shim_words(one),
            figures: told::figures_sentence(one),
            caution: told::caution(one),
            button: format!("Begin {unit}…"),
            begins: FromShelf {
                unit: matching.unit(one),
                window: matching.window.name.clone(),
                ipd_mm: matching.ipd_mm,
                predicted: matching.prediction_words(one),
            },
        }
    }
}

/// Sessions that lead on from a part.
const NEWEST: usize = 3;

impl PartView {
    fn of(one: &PartKnown, folder: &Path) -> Self {
        let place = if one.in_use { "in use" } else { "on the shelf" };
        let (name, housing) = (shown::one_line(&one.name), shown::one_line(&one.housing));
        let mut lines: Vec<String> = one.lines.iter().map(|line| line.words.clone()).collect();
        if !one.source.is_empty() {
            lines.push(format!("Stated by: {}", shown::one_line(&one.source)));
        }
        // Files are named after their days: the last are the newest.
        let newest = one.files.iter().rev().take(NEWEST);
        let sessions = newest.map(|file| (folder.join("sessions").join(file), look_over(file)));
        let more = one.files.len().saturating_sub(NEWEST);
        Self {
            kind: one.kind,
            title: format!("{name} · {housing} · {place}"),
            lines,
            sessions: sessions.collect(),
            more: (more > 0).then(|| format!("and {} before", counted_s(more, "session"))),
        }
    }
}

fn look_over(file: &str) -> String {
    format!("Look over {}", shown::one_line(file))
}

impl BuiltView {
    fn of(one: &Foretold, folder: &Path) -> Self {
        Self {
            path: folder.join("sessions").join(&one.file),
            button: look_over(&one.file),
            title: one.title(),
            agrees: one.against.agrees(),
            circles: PerChannel::from_fn(|channel| one.circle_words(channel)),
            crossing: one.crossing_words(),
        }
    }
}
