//! One row a reading: as typed, and as mapped.

use record::{
    Approach, Channel, DirectionReading, Entry, Lock, PerChannel, Seen, SwingStop, Typed, Value,
};

use super::common::{InSession, OfSession, common};
use super::{Cell, Column, meaning};

/// A reading's row.
#[derive(Clone, Debug)]
pub struct ReadingRow<'a> {
    /// Of which session.
    pub of: &'a OfSession<'a>,
    /// The number of its round, from 1.
    pub number: usize,
    /// The round: the number of the fact that opened it.
    pub round: u64,
    /// The reading.
    pub entry: &'a Entry,
}

impl InSession for ReadingRow<'_> {
    fn of(&self) -> &OfSession<'_> {
        self.of
    }
}

impl ReadingRow<'_> {
    fn typed(&self) -> Option<(&Typed, &Typed, &'static str)> {
        match &self.entry.reading.seen {
            Seen::Direction(DirectionReading { x, y, unit, .. }) => Some((x, y, unit.word())),
            Seen::Relative(read) => Some((&read.x, &read.y, read.unit.word())),
            Seen::Box(_) => None,
        }
    }

    fn ring_deg(&self, of: Channel) -> Option<f64> {
        match self.entry.value? {
            Value::Direction { channel, ring_deg, .. } => ring_deg.filter(|_| channel == of),
            Value::Relative { ring_deg, .. } | Value::Box { ring_deg, .. } => ring_deg[of],
        }
    }

    fn approach(&self, of: Channel) -> Option<&'static str> {
        let both = |approach: &PerChannel<Approach>| approach[of];
        let approach = match &self.entry.reading.seen {
            Seen::Direction(read) if read.channel == of => read.approach,
            Seen::Direction(_) => return None,
            Seen::Relative(read) => both(&read.approach),
            Seen::Box(read) => both(&read.approach),
        };
        (approach != Approach::NotNoted).then(|| approach.word())
    }

    /// Across and up.
    fn mapped(&self) -> Option<[f64; 2]> {
        match self.entry.value? {
            Value::Direction { direction, .. } => Some([direction.x_arcmin, direction.y_arcmin]),
            Value::Relative { misalignment, .. } => {
                Some([misalignment.x_arcmin, misalignment.y_arcmin])
            }
            Value::Box { .. } => None,
        }
    }
}

/// The columns.
#[must_use]
pub fn columns<'a>() -> Vec<Column<ReadingRow<'a>>> {
    let mut columns = common();
    columns.extend(taken());
    columns.extend(seen());
    columns
}

fn taken<'a>() -> Vec<Column<ReadingRow<'a>>> {
    vec![
        Column::count("seq", meaning::SEQ_IN_SESSION, |row| Cell::count(Some(row.entry.seq))),
        Column::count("round", "the number of the fact that opened its round", |row| {
            Cell::count(Some(row.round))
        }),
        Column::count("number", "its round as people count, from 1", |row| {
            Cell::count(Some(row.number))
        }),
        Column::moment("taken_utc", "when it was entered", |row| Cell::Moment(row.entry.time)),
        Column::text("hand", "whose hand entered it", |row| Cell::text(&row.entry.hand)),
        Column::text("purpose", "what for: as found, log or confirm", |row| {
            Cell::text(row.entry.reading.purpose.word())
        }),
        Column::truth("withdrawn", meaning::LEFT_OUT, |row| Cell::Truth(!row.entry.in_use())),
        Column::text("withdrawn_why", "the reason given for leaving it out", |row| {
            Cell::maybe_text(row.entry.withdrawn.as_ref().map(|why| why.reason.as_str()))
        }),
        Column::text(
            "lock",
            "before or after the locks were tightened, where it was noted",
            |row| {
                let lock = row.entry.reading.lock.map(|lock| match lock {
                    Lock::Before => "before",
                    Lock::After => "after",
                });
                Cell::maybe_text(lock)
            },
        ),
        Column::truth(
            "reseated",
            "whether the unit was taken off and seated again before it",
            |row| Cell::Truth(row.entry.reading.reseated),
        ),
        Column::text(
            "swing_stop",
            "where the pods stood, where not as set up: narrow, working, wide",
            |row| {
                let stop = row.entry.reading.swing_stop.map(|stop| match stop {
                    SwingStop::Narrow => "narrow",
                    SwingStop::Working => "working",
                    SwingStop::Wide => "wide",
                });
                Cell::maybe_text(stop)
            },
        ),
        Column::mm(
            "ipd_mm",
            "the interpupillary distance, where it was another than set up",
            |row| Cell::number(row.entry.reading.ipd_mm.as_ref().map(Typed::value)),
        ),
    ]
}

fn seen<'a>() -> Vec<Column<ReadingRow<'a>>> {
    vec![
        Column::text(
            "kind",
            "what was seen: direction of a channel, relative (right less left), or box",
            |row| {
                Cell::text(match row.entry.reading.seen {
                    Seen::Direction(_) => "direction",
                    Seen::Relative(_) => "relative",
                    Seen::Box(_) => "box",
                })
            },
        ),
        Column::text(
            "channel",
            "whose crosshair: left or right; nothing where it is of both",
            |row| Cell::maybe_text(row.entry.reading.channel().map(Channel::word)),
        ),
        Column::deg("left_ring_deg", "the left ring’s angle, clockwise, from 0 to 360", |row| {
            Cell::number(row.ring_deg(Channel::Left))
        }),
        Column::deg("right_ring_deg", "the right ring’s angle, clockwise, from 0 to 360", |row| {
            Cell::number(row.ring_deg(Channel::Right))
        }),
        Column::text("left_approach", "which way the left ring was turned to get there", |row| {
            Cell::maybe_text(row.approach(Channel::Left))
        }),
        Column::text("right_approach", "which way the right ring was turned to get there", |row| {
            Cell::maybe_text(row.approach(Channel::Right))
        }),
        Column::typed(
            "x_typed",
            "across, the number typed, in the unit of the column unit_typed",
            |row| Cell::number(row.typed().map(|(x, ..)| x.value())),
        ),
        Column::typed(
            "y_typed",
            "up, the number typed, in the unit of the column unit_typed",
            |row| Cell::number(row.typed().map(|(_, y, _)| y.value())),
        ),
        Column::text("x_text", "across, letter for letter as typed", |row| {
            Cell::maybe_text(row.typed().map(|(x, ..)| x.text()))
        }),
        Column::text("y_text", "up, letter for letter as typed", |row| {
            Cell::maybe_text(row.typed().map(|(_, y, _)| y.text()))
        }),
        Column::text("unit_typed", "the unit that was typed in", |row| {
            Cell::maybe_text(row.typed().map(|(.., unit)| unit))
        }),
        Column::arcmin(
            "x_arcmin",
            "across, through the station’s map, seen by the user; right above 0",
            |row| Cell::number(row.mapped().map(|[x, _]| x)),
        ),
        Column::arcmin(
            "y_arcmin",
            "up, through the station’s map, seen by the user; up above 0",
            |row| Cell::number(row.mapped().map(|[_, y]| y)),
        ),
        Column::truth("inside", "of a box: whether it lay inside", |row| {
            Cell::truth(match row.entry.value {
                Some(Value::Box { inside, .. }) => Some(inside),
                _ => None,
            })
        }),
    ]
}
