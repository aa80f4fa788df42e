//! One row a reading of a station's check standard.

use record::checks::{CheckAbout, CheckReading};

use super::{Cell, Column, meaning};

/// A reading of a check standard.
#[derive(Clone, Debug)]
pub struct CheckReadingRow<'a> {
    /// What the shop is called.
    pub shop: &'a str,
    /// The file's name in `checks/`.
    pub file: &'a str,
    /// Whether its file is read to its end.
    pub whole: bool,
    /// Whether it is the file of its station that counts.
    pub file_counts: bool,
    /// Whose checks.
    pub about: Option<&'a CheckAbout>,
    /// The reading.
    pub reading: &'a CheckReading,
    /// Whether days of it are compared with later ones: not withdrawn, and since the station was started anew.
    pub comparable: bool,
    /// Whether its day broke a limit on either axis at this point; `None` where none were drawn.
    pub outside: Option<bool>,
}

/// The columns.
#[must_use]
pub fn columns<'a>() -> Vec<Column<CheckReadingRow<'a>>> {
    vec![
        Column::text("shop_name", "whose shop: by its letterhead, else by its folder", |row| {
            Cell::text(row.shop)
        }),
        Column::text("file", "the check file’s name in checks", |row| Cell::text(row.file)),
        Column::truth(
            "damaged",
            "whether its file is damaged or lacks its end: rows behind that are missing",
            |row| Cell::Truth(!row.whole),
        ),
        Column::truth(
            "counts",
            "whether it is of the station’s file that counts, not withdrawn, and of the \
                                 time since the station was last started anew",
            |row| Cell::Truth(row.file_counts && row.comparable),
        ),
        Column::text("station", "the station that was checked", |row| {
            Cell::maybe_text(row.about.map(|about| about.station.as_str()))
        }),
        Column::text("standard", "the check standard’s name or number", |row| {
            Cell::maybe_text(row.about.map(|about| about.standard.as_str()))
        }),
        Column::count("seq", meaning::SEQ_IN_FILE, |row| Cell::count(Some(row.reading.seq))),
        Column::moment("taken_utc", "when it was entered", |row| Cell::Moment(row.reading.time)),
        Column::day("day", "the day it was read on, where it was read", |row| {
            Cell::Day(row.reading.time.date())
        }),
        Column::text("hand", "whose hand entered it", |row| Cell::text(&row.reading.hand)),
        Column::text("channel", meaning::WHOSE_CROSSHAIR, |row| {
            Cell::text(row.reading.taken.channel.word())
        }),
        Column::deg(
            "ring_deg",
            "the ring’s angle, clockwise, where the standard has a ring",
            |row| Cell::number(row.reading.taken.point().ring_deg),
        ),
        Column::arcmin("x_arcmin", "where it points, across, through the map of that day", |row| {
            Cell::number(Some(row.reading.direction.x_arcmin))
        }),
        Column::arcmin("y_arcmin", "where it points, up, through the map of that day", |row| {
            Cell::number(Some(row.reading.direction.y_arcmin))
        }),
        Column::truth("withdrawn", meaning::LEFT_OUT, |row| {
            Cell::Truth(row.reading.withdrawn.is_some())
        }),
        Column::text("withdrawn_why", "why it was left out", |row| {
            Cell::maybe_text(row.reading.withdrawn.as_ref().map(|why| why.reason.as_str()))
        }),
        Column::truth(
            "outside",
            "whether its day broke a limit; nothing where no limits were drawn",
            |row| Cell::truth(row.outside),
        ),
    ]
}
