//! One row a round: its circles, and where they meet.

use record::{Channel, Purpose, Round};
use solver::{CircleFit, Circles, CrossingPoint};

use super::common::{InSession, OfSession, common};
use super::{Cell, Column};

/// A round's row.
#[derive(Clone, Debug)]
pub struct RoundRow<'a> {
    /// Of which session.
    pub of: &'a OfSession<'a>,
    /// The round.
    pub round: &'a Round,
    /// Its circles; `None` without log readings, and while an examination is sat.
    pub circles: Option<&'a Circles>,
    /// Whether closure may be told: an examination that is sat withholds it.
    pub told: bool,
}

impl InSession for RoundRow<'_> {
    fn of(&self) -> &OfSession<'_> {
        self.of
    }
}

impl RoundRow<'_> {
    fn fit(&self, channel: Channel) -> Option<&CircleFit> {
        self.circles?.fit(channel)
    }

    fn nearest(&self) -> Option<CrossingPoint> {
        self.circles?.meeting?.nearest().copied()
    }

    fn read(&self, purpose: Purpose) -> Cell<'static> {
        Cell::count(Some(self.round.taken_for(purpose).count()))
    }

    fn closure_arcmin(&self, channel: Channel) -> Option<f64> {
        let closure = self.round.closure(channel).filter(|_| self.told)?;
        Some(closure.difference.boresight_arcmin())
    }
}

/// The columns.
#[must_use]
pub fn columns<'a>() -> Vec<Column<RoundRow<'a>>> {
    let mut columns = common();
    columns.extend(round());
    columns.extend(left());
    columns.extend(right());
    columns.extend(meeting());
    columns
}

fn round<'a>() -> Vec<Column<RoundRow<'a>>> {
    vec![
        Column::count("round", "the number of the fact that opened it", |row| {
            Cell::count(Some(row.round.id))
        }),
        Column::count("number", "the round as people count, from 1", |row| {
            Cell::count(Some(row.round.number))
        }),
        Column::moment("opened_utc", "when it was opened", |row| Cell::Moment(row.round.time)),
        Column::text("why", "what ended the round before", |row| Cell::text(row.round.why.word())),
        Column::text("note", "what the hand said when it opened it", |row| {
            Cell::text(&row.round.note)
        }),
        Column::count("as_found_readings", "as-found readings in use", |row| {
            row.read(Purpose::AsFound)
        }),
        Column::count("log_readings", "log readings in use", |row| row.read(Purpose::Log)),
        Column::count("confirm_readings", "confirm readings in use", |row| {
            row.read(Purpose::Confirm)
        }),
        Column::count("withdrawn_readings", "readings that were left out, with a reason", |row| {
            Cell::count(Some(row.round.readings.iter().filter(|entry| !entry.in_use()).count()))
        }),
        Column::count("remedies", "remedies taken upon it", |row| {
            Cell::count(Some(row.round.remedies.len()))
        }),
    ]
}

fn left<'a>() -> Vec<Column<RoundRow<'a>>> {
    vec![
        Column::arcmin("left_centre_x_arcmin", "the left circle’s centre, across", |row| {
            Cell::number(row.fit(Channel::Left).map(|fit| fit.circle.centre.x_arcmin))
        }),
        Column::arcmin("left_centre_y_arcmin", "the left circle’s centre, up", |row| {
            Cell::number(row.fit(Channel::Left).map(|fit| fit.circle.centre.y_arcmin))
        }),
        Column::arcmin("left_radius_arcmin", "the left circle’s radius", |row| {
            Cell::number(row.fit(Channel::Left).map(|fit| fit.circle.radius_arcmin))
        }),
        Column::deg(
            "left_phase_deg",
            "from the left centre to ring zero, counter-clockwise from +x",
            |row| {
                Cell::number(
                    row.fit(Channel::Left).and_then(|fit| Some(fit.circle.phase?.zero_deg)),
                )
            },
        ),
        Column::arcmin(
            "left_rms_arcmin",
            "root mean square of the left circle’s residuals",
            |row| Cell::number(row.fit(Channel::Left).map(|fit| fit.rms_arcmin)),
        ),
        Column::truth(
            "left_arc_too_short",
            "whether the left arc is too short to trust its circle",
            |row| Cell::truth(row.fit(Channel::Left).map(CircleFit::arc_too_short)),
        ),
        Column::arcmin("left_closure_arcmin", "how far the left round missed closing", |row| {
            Cell::number(row.closure_arcmin(Channel::Left))
        }),
    ]
}

fn right<'a>() -> Vec<Column<RoundRow<'a>>> {
    vec![
        Column::arcmin("right_centre_x_arcmin", "the right circle’s centre, across", |row| {
            Cell::number(row.fit(Channel::Right).map(|fit| fit.circle.centre.x_arcmin))
        }),
        Column::arcmin("right_centre_y_arcmin", "the right circle’s centre, up", |row| {
            Cell::number(row.fit(Channel::Right).map(|fit| fit.circle.centre.y_arcmin))
        }),
        Column::arcmin("right_radius_arcmin", "the right circle’s radius", |row| {
            Cell::number(row.fit(Channel::Right).map(|fit| fit.circle.radius_arcmin))
        }),
        Column::deg(
            "right_phase_deg",
            "from the right centre to ring zero, counter-clockwise from +x",
            |row| {
                Cell::number(
                    row.fit(Channel::Right).and_then(|fit| Some(fit.circle.phase?.zero_deg)),
                )
            },
        ),
        Column::arcmin(
            "right_rms_arcmin",
            "root mean square of the right circle’s residuals",
            |row| Cell::number(row.fit(Channel::Right).map(|fit| fit.rms_arcmin)),
        ),
        Column::truth(
            "right_arc_too_short",
            "whether the right arc is too short to trust its circle",
            |row| Cell::truth(row.fit(Channel::Right).map(CircleFit::arc_too_short)),
        ),
        Column::arcmin("right_closure_arcmin", "how far the right round missed closing", |row| {
            Cell::number(row.closure_arcmin(Channel::Right))
        }),
    ]
}

fn meeting<'a>() -> Vec<Column<RoundRow<'a>>> {
    vec![
        Column::text("relation", "how its circles lie to each other", |row| {
            let meeting = row.circles.and_then(|circles| circles.meeting);
            Cell::maybe_text(meeting.map(|meeting| meeting.relation.word()))
        }),
        Column::arcmin(
            "crossing_x_arcmin",
            "the crossing point nearest boresight, across",
            |row| Cell::number(row.nearest().map(|point| point.point.x_arcmin)),
        ),
        Column::arcmin("crossing_y_arcmin", "the crossing point nearest boresight, up", |row| {
            Cell::number(row.nearest().map(|point| point.point.y_arcmin))
        }),
        Column::arcmin(
            "crossing_boresight_arcmin",
            "how far that point lies from boresight",
            |row| Cell::number(row.nearest().map(|point| point.boresight_arcmin)),
        ),
        Column::deg(
            "left_target_deg",
            "where the left ring is to be turned for it, clockwise",
            |row| Cell::number(row.nearest().and_then(|point| point.ring_deg.left)),
        ),
        Column::deg(
            "right_target_deg",
            "where the right ring is to be turned for it, clockwise",
            |row| Cell::number(row.nearest().and_then(|point| point.ring_deg.right)),
        ),
    ]
}
