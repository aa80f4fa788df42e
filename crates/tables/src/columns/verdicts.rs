//! One row what a session's readings give now, and one each signature, as it was stored.

use record::{Conclusion, NamedWindow, NoConclusion, Rule, Signature, Stamp, Verdict};

use super::common::{InSession, OfSession, common};
use super::{Cell, Column};

/// A verdict's row.
#[derive(Clone, Debug)]
pub struct VerdictRow<'a> {
    /// Of which session.
    pub of: &'a OfSession<'a>,
    /// Where it comes from.
    pub from: VerdictFrom<'a>,
    /// The tolerance window in force now, or the one that was signed by.
    pub window: Option<&'a NamedWindow>,
}

/// Where a verdict comes from.
#[derive(Clone, Debug)]
pub enum VerdictFrom<'a> {
    /// The readings, worked out now.
    Readings(Result<&'a Conclusion, &'a NoConclusion>),
    /// A signature.
    Signature(&'a Signature),
}

impl InSession for VerdictRow<'_> {
    fn of(&self) -> &OfSession<'_> {
        self.of
    }
}

impl VerdictRow<'_> {
    fn given(&self) -> Option<&Conclusion> {
        match &self.from {
            VerdictFrom::Readings(conclusion) => conclusion.ok(),
            VerdictFrom::Signature(_) => None,
        }
    }

    fn signature(&self) -> Option<&Signature> {
        match &self.from {
            VerdictFrom::Readings(_) => None,
            VerdictFrom::Signature(signature) => Some(signature),
        }
    }

    /// A number as it was signed.
    fn signed(&self, name: &str) -> Option<f64> {
        let stored = &self.signature()?.signed.numbers;
        stored.iter().find(|number| number.name == name).map(|number| number.value)
    }

    fn number(&self, stored: &str, of: impl FnOnce(&Conclusion) -> Option<f64>) -> Cell<'static> {
        Cell::number(self.signed(stored).or_else(|| self.given().and_then(of)))
    }

    fn limit(&self, of: impl FnOnce(&solver::Window) -> Option<f64>) -> Cell<'static> {
        Cell::number(self.window.and_then(|window| of(&window.limits)))
    }
}

/// The columns.
#[must_use]
pub fn columns<'a>() -> Vec<Column<VerdictRow<'a>>> {
    let mut columns = common();
    columns.extend(judged());
    columns.extend(signed());
    columns.extend(numbers());
    columns
}

fn judged<'a>() -> Vec<Column<VerdictRow<'a>>> {
    vec![
        Column::text(
            "basis",
            "readings: as they give it now; signature: as it was signed",
            |row| {
                Cell::text(match row.from {
                    VerdictFrom::Readings(_) => "readings",
                    VerdictFrom::Signature(_) => "signature",
                })
            },
        ),
        Column::text(
            "verdict",
            "pass, fail, undecided or not measured; nothing where nothing is judged",
            |row| {
                let given = row.given().map(|given| given.verdict);
                let signed = row.signature().map(|signature| signature.signed.verdict);
                Cell::maybe_text(given.or(signed).map(Verdict::word))
            },
        ),
        Column::text("no_verdict_because", "why the readings give no verdict", |row| {
            Cell::said(match &row.from {
                VerdictFrom::Readings(Err(why)) => why.to_string(),
                _ => String::new(),
            })
        }),
        Column::text("rule", "the rule that decided: simple or guarded", |row| {
            let given = row.given().map(|given| given.rule);
            let signed = row.signature().map(|signature| signature.signed.rule);
            Cell::maybe_text(given.or(signed).map(Rule::word))
        }),
        Column::count("round", "the number of the fact that opened the round it is about", |row| {
            let given = row.given().map(|given| given.round);
            Cell::count(given.or(row.signature().map(|signature| signature.signed.round)))
        }),
        Column::count("rests_on_readings", "how many readings it rests on", |row| {
            let given = row.given().map(|given| given.rests_on.len());
            let signed = row.signature().map(|signature| signature.signed.rests_on.len());
            Cell::count(given.or(signed))
        }),
        Column::text("caveats", "what limits it, parted by semicolons", |row| {
            let caveats = row.given().into_iter().flat_map(|given| given.caveats.iter());
            Cell::said(caveats.map(ToString::to_string).collect::<Vec<_>>().join("; "))
        }),
        Column::text("window", "the tolerance window it was judged by", |row| {
            Cell::maybe_text(row.window.map(|window| window.name.as_str()))
        }),
        Column::arcmin(
            "convergence_limit_arcmin",
            "the convergence limit it was judged by",
            |row| row.limit(|limits| Some(limits.convergence_arcmin())),
        ),
        Column::arcmin("divergence_limit_arcmin", "the divergence limit it was judged by", |row| {
            row.limit(|limits| Some(limits.divergence_arcmin()))
        }),
        Column::arcmin(
            "dipvergence_limit_arcmin",
            "the dipvergence limit it was judged by",
            |row| row.limit(|limits| Some(limits.dipvergence_arcmin())),
        ),
        Column::arcmin(
            "boresight_limit_arcmin",
            "the boresight limit, where the window has one",
            |row| row.limit(solver::Window::boresight_arcmin),
        ),
    ]
}

fn signed<'a>() -> Vec<Column<VerdictRow<'a>>> {
    vec![
        Column::count("seq", "of a signature: the number of its fact", |row| {
            Cell::count(row.signature().map(|signature| signature.seq))
        }),
        Column::moment("signed_utc", "when it was signed", |row| {
            Cell::moment(row.signature().map(|signature| signature.time))
        }),
        Column::text("hand", "whose hand signed it", |row| {
            Cell::maybe_text(row.signature().map(|signature| signature.hand.as_str()))
        }),
        Column::truth(
            "in_force",
            "whether the signature is the last and speaks for the session as it stands",
            |row| Cell::truth(row.signature().map(|signature| !signature.outdated)),
        ),
        Column::text("answer", "what became of it: countersigned or returned", |row| {
            let answer = row.signature().filter(|signature| signature.answer.is_some());
            Cell::maybe_text(answer.map(|signature| {
                if signature.is_returned() { "returned" } else { "countersigned" }
            }))
        }),
        Column::text("answered_by", "whose hand answered", |row| {
            let answer = row.signature().and_then(|signature| signature.answer.as_ref());
            Cell::maybe_text(answer.map(|answer| answer.hand.as_str()))
        }),
        Column::moment("answered_utc", "when it was answered", |row| {
            let answered =
                |signature: &Signature| -> Option<Stamp> { Some(signature.answer.as_ref()?.time) };
            Cell::moment(row.signature().and_then(answered))
        }),
        Column::text(
            "program",
            "the program that worked out what was signed, with version",
            |row| {
                Cell::maybe_text(row.signature().map(|signature| signature.signed.program.as_str()))
            },
        ),
    ]
}

fn numbers<'a>() -> Vec<Column<VerdictRow<'a>>> {
    vec![
        Column::arcmin(
            "misalignment_x_arcmin",
            "right less left where it was set up, across",
            |row| {
                row.number("misalignment_x_arcmin", |one| Some(one.measured?.misalignment.x_arcmin))
            },
        ),
        Column::arcmin("misalignment_y_arcmin", "right less left where it was set up, up", |row| {
            row.number("misalignment_y_arcmin", |one| Some(one.measured?.misalignment.y_arcmin))
        }),
        Column::arcmin(
            "boresight_arcmin",
            "how far both crosshairs’ middle lies from boresight",
            |row| row.number("boresight_arcmin", |one| Some(one.measured?.boresight_arcmin)),
        ),
        Column::share(
            "window_use_share",
            "how much of the window the means use; above 1 is outside",
            |row| row.number("window_use", |one| Some(one.measured?.window_use.worst())),
        ),
        Column::share("inside_at_least_share", "the chance, at least, that all is inside", |row| {
            row.number("probability_at_least", |one| {
                Some(one.measured?.judgement?.inside_at_least())
            })
        }),
    ]
}
