//! One row a measurement of a repeatability study, with what its study comes to.

use record::studies::{LoggedMeasurement, Results, StudyAbout};

use super::{Cell, Column, meaning};

/// A measurement of a study.
#[derive(Clone, Debug)]
pub struct StudyRow<'a> {
    /// What the shop is called.
    pub shop: &'a str,
    /// The file's name in `studies/`.
    pub file: &'a str,
    /// Whether its file is read to its end.
    pub whole: bool,
    /// What is studied.
    pub about: Option<&'a StudyAbout>,
    /// The measurement.
    pub measured: &'a LoggedMeasurement,
    /// Whether another cell was next by the plan.
    pub out_of_order: bool,
    /// What the study comes to; `None` while cells are open, and of a file not read to its end.
    pub results: Option<&'a Results>,
}

impl StudyRow<'_> {
    fn named<'r>(&'r self, of: impl FnOnce(&'r StudyAbout) -> Option<&'r String>) -> Cell<'r> {
        Cell::maybe_text(self.about.and_then(of).map(String::as_str))
    }
}

/// The columns.
#[must_use]
pub fn columns<'a>() -> Vec<Column<StudyRow<'a>>> {
    let mut columns = measurement();
    columns.extend(results());
    columns
}

fn measurement<'a>() -> Vec<Column<StudyRow<'a>>> {
    vec![
        Column::text("shop_name", "the shop, by its letterhead, else by its folder", |row| {
            Cell::text(row.shop)
        }),
        Column::text("file", "the study’s file in studies", |row| Cell::text(row.file)),
        Column::truth("damaged", "whether its file is damaged or lacks its end", |row| {
            Cell::Truth(!row.whole)
        }),
        Column::text("station", "the station that was studied", |row| {
            Cell::maybe_text(row.about.map(|about| about.station.as_str()))
        }),
        Column::text("channel", meaning::WHOSE_CROSSHAIR, |row| {
            Cell::maybe_text(row.about.map(|about| about.channel.word()))
        }),
        Column::count("seq", meaning::SEQ_IN_FILE, |row| Cell::count(Some(row.measured.seq))),
        Column::moment("taken_utc", "when it was entered", |row| Cell::Moment(row.measured.time)),
        Column::text("part", "which unit was measured", |row| {
            row.named(|about| about.plan.parts().get(row.measured.taken.cell.part))
        }),
        Column::text("hand", "whose hand measured, by the plan", |row| {
            row.named(|about| about.plan.hands().get(row.measured.taken.cell.hand))
        }),
        Column::count("trial", "for which time, from 1", |row| {
            Cell::count(Some(row.measured.taken.cell.trial + 1))
        }),
        Column::arcmin("x_arcmin", "where it pointed, across", |row| {
            Cell::number(Some(row.measured.direction.x_arcmin))
        }),
        Column::arcmin("y_arcmin", "where it pointed, up", |row| {
            Cell::number(Some(row.measured.direction.y_arcmin))
        }),
        Column::truth("withdrawn", meaning::LEFT_OUT, |row| {
            Cell::Truth(row.measured.withdrawn.is_some())
        }),
        Column::text("withdrawn_why", "why it was left out", |row| {
            Cell::maybe_text(row.measured.withdrawn.as_ref().map(|why| why.reason.as_str()))
        }),
        Column::truth("out_of_order", "whether another cell was next by the plan", |row| {
            Cell::Truth(row.out_of_order)
        }),
    ]
}

fn results<'a>() -> Vec<Column<StudyRow<'a>>> {
    vec![
        Column::truth("complete", "whether every cell of its study is measured", |row| {
            Cell::Truth(row.results.is_some())
        }),
        Column::arcmin(
            "repeatability_x_arcmin",
            "one hand’s standard deviation in its study, across",
            |row| Cell::number(row.results.and_then(|of| Some(of.x.study()?.repeatability))),
        ),
        Column::arcmin(
            "repeatability_y_arcmin",
            "one hand’s standard deviation in its study, up",
            |row| Cell::number(row.results.and_then(|of| Some(of.y.study()?.repeatability))),
        ),
        Column::arcmin(
            "reproducibility_x_arcmin",
            "hands’ standard deviation in its study, across",
            |row| Cell::number(row.results.and_then(|of| Some(of.x.study()?.reproducibility))),
        ),
        Column::arcmin(
            "reproducibility_y_arcmin",
            "hands’ standard deviation in its study, up",
            |row| Cell::number(row.results.and_then(|of| Some(of.y.study()?.reproducibility))),
        ),
    ]
}
