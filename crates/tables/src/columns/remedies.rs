//! One row a remedy taken; of shims one a channel, with what was predicted of it beside what it did.

use record::{
    Channel, PredictionBasis, Remedy, RemedyTaken, ShimOutcome, ShimSeen, ShimUnder,
    ShownPrediction, Stamp,
};

use super::common::{InSession, OfSession, common};
use super::{Cell, Column, meaning};

/// A remedy's row.
#[derive(Clone, Debug)]
pub struct RemedyRow<'a> {
    /// Of which session.
    pub of: &'a OfSession<'a>,
    /// The unit, its housing and the day of the session.
    pub unit: &'a str,
    /// Its housing type.
    pub housing: &'a str,
    /// The day of the session's last reading.
    pub day: Option<jiff::civil::Date>,
    /// The number of its fact.
    pub seq: u64,
    /// When it was taken, where that is told.
    pub time: Option<Stamp>,
    /// The number of the round it was taken upon, from 1.
    pub number: usize,
    /// What was done; `None` where only its effect is told.
    pub taken: Option<&'a RemedyTaken>,
    /// The channel that the row is about, where it is about one.
    pub channel: Option<Channel>,
    /// Of a shim that had a prediction and was measured: what it did.
    pub effect: Option<ShimOutcome>,
}

impl InSession for RemedyRow<'_> {
    fn of(&self) -> &OfSession<'_> {
        self.of
    }
}

impl RemedyRow<'_> {
    fn prediction(&self) -> Option<&ShownPrediction> {
        self.taken?.prediction.as_ref()
    }

    fn seen(&self) -> Option<ShimSeen> {
        self.effect?.seen()
    }

    /// The one shim of the channel, where it is one.
    fn shim(&self) -> Option<&ShimUnder> {
        let Remedy::Shim(shims) = &self.taken?.remedy else { return None };
        let mut of_channel = shims.iter().filter(|under| Some(under.channel) == self.channel);
        let first = of_channel.next()?;
        of_channel.next().is_none().then_some(first)
    }
}

const fn kind(remedy: &Remedy) -> &'static str {
    match remedy {
        Remedy::Shim(_) => "shim",
        Remedy::SwapEyepieces => "swap eyepieces",
        Remedy::SwapTubes => "swap tubes",
        Remedy::TurnTube(_) => "turn tube",
        Remedy::ReplaceTube(_) => "replace tube",
        Remedy::ReplaceEyepiece(_) => "replace eyepiece",
        Remedy::Other => "other",
    }
}

/// The columns.
#[must_use]
pub fn columns<'a>() -> Vec<Column<RemedyRow<'a>>> {
    let mut columns = common();
    columns.extend(taken());
    columns.extend(predicted());
    columns.extend(measured());
    columns
}

fn taken<'a>() -> Vec<Column<RemedyRow<'a>>> {
    vec![
        Column::text("unit", meaning::UNIT_NAME, |row| Cell::text(row.unit)),
        Column::text("housing", "its housing type", |row| Cell::text(row.housing)),
        Column::day("day", "the day of the session’s last reading", |row| Cell::day(row.day)),
        Column::count("seq", meaning::SEQ_IN_SESSION, |row| Cell::count(Some(row.seq))),
        Column::moment("taken_utc", "when it was taken", |row| Cell::moment(row.time)),
        Column::count("number", "the round it was taken upon, as people count", |row| {
            Cell::count(Some(row.number))
        }),
        Column::text("kind", "shim, swap or turn, replace, or other", |row| {
            Cell::text(row.taken.map_or("shim", |taken| kind(&taken.remedy)))
        }),
        Column::text("words", "what was done, in a sentence", |row| {
            Cell::said(
                row.taken.map(|taken| record::remedies::said(&taken.remedy)).unwrap_or_default(),
            )
        }),
        Column::text("note", "what the hand said of it", |row| {
            Cell::maybe_text(row.taken.map(|taken| taken.note.as_str()))
        }),
        Column::text("channel", "whose tube or circle: left or right", |row| {
            Cell::maybe_text(row.channel.map(Channel::word))
        }),
        Column::mm("shim_height_mm", "how high the shim is, where the channel has one", |row| {
            Cell::number(row.shim().map(|under| under.shim.height_mm()))
        }),
        Column::deg(
            "shim_clock_deg",
            "where it lies, clockwise from up, seen from the eye side",
            |row| Cell::number(row.shim().map(|under| under.shim.clock_deg)),
        ),
        Column::deg(
            "turned_by_deg",
            "how far a tube was turned, clockwise, seen from the eye side",
            |row| {
                Cell::number(row.taken.and_then(|taken| match &taken.remedy {
                    Remedy::TurnTube(turned) => Some(turned.by_deg),
                    _ => None,
                }))
            },
        ),
    ]
}

fn predicted<'a>() -> Vec<Column<RemedyRow<'a>>> {
    vec![
        Column::text(
            "predicted_from",
            "what the prediction rests on: model, measured shims, readings",
            |row| {
                Cell::maybe_text(row.prediction().map(|prediction| match prediction.basis {
                    PredictionBasis::Model => "model",
                    PredictionBasis::Measured => "measured shims",
                    PredictionBasis::Readings => "readings",
                }))
            },
        ),
        Column::share(
            "predicted_window_use_share",
            "how much of the window was predicted to be used",
            |row| Cell::number(row.prediction().and_then(|prediction| prediction.window_use)),
        ),
        Column::arcmin(
            "predicted_centre_x_arcmin",
            "where its circle’s centre was predicted, across",
            |row| Cell::number(row.effect.map(|effect| effect.predicted.x_arcmin)),
        ),
        Column::arcmin(
            "predicted_centre_y_arcmin",
            "where its circle’s centre was predicted, up",
            |row| Cell::number(row.effect.map(|effect| effect.predicted.y_arcmin)),
        ),
        Column::arcmin(
            "predicted_shift_arcmin",
            "how far a shim was predicted to move the centre",
            |row| Cell::number(row.seen().map(|seen| seen.predicted_arcmin())),
        ),
    ]
}

fn measured<'a>() -> Vec<Column<RemedyRow<'a>>> {
    vec![
        Column::arcmin(
            "measured_centre_x_arcmin",
            "where the next round found the centre, across",
            |row| Cell::number(row.effect.map(|effect| effect.after.x_arcmin)),
        ),
        Column::arcmin(
            "measured_centre_y_arcmin",
            "where the next round found the centre, up",
            |row| Cell::number(row.effect.map(|effect| effect.after.y_arcmin)),
        ),
        Column::arcmin(
            "measured_along_arcmin",
            "how far the centre moved along the predicted shift",
            |row| Cell::number(row.seen().and_then(|seen| seen.measured_along_arcmin())),
        ),
        Column::arcmin("miss_arcmin", "from the predicted to the measured centre", |row| {
            Cell::number(row.effect.map(|effect| effect.miss().miss_arcmin))
        }),
    ]
}
