//! One line a session, one column a figure: tidy, for other programs.

use solver::Channel;

use super::{SessionSummary, Survey};
use crate::axis::Axis;
use crate::csv_cell;
use crate::error::Error;
use crate::review::BlindWord;

/// The columns, in order. Only ever added to, at the end.
pub const COLUMNS: [&str; 57] = [
    "file",
    "practice",
    "day",
    "unit",
    "housing",
    "station",
    "hand",
    "window",
    "rounds",
    "verdict",
    "passed_first_round",
    "signed",
    "boresight_arcmin",
    "window_use",
    "centres_apart_arcmin",
    "left_shim_miss_arcmin",
    "right_shim_miss_arcmin",
    "left_tube",
    "right_tube",
    "signature",
    "follows",
    "checks_blind",
    "misalignment_x_arcmin",
    "misalignment_y_arcmin",
    "left_centre_x_arcmin",
    "left_centre_y_arcmin",
    "right_centre_x_arcmin",
    "right_centre_y_arcmin",
    "circles",
    "left_sense",
    "right_sense",
    "scatter_arcmin",
    "setting_miss_arcmin",
    "left_lock_turn_deg",
    "right_lock_turn_deg",
    "state",
    "blind_readings",
    "otherwise",
    "session",
    "counts",
    "ledger",
    "recalled_after",
    "zero_off_left_x_arcmin",
    "zero_off_left_y_arcmin",
    "zero_off_right_x_arcmin",
    "zero_off_right_y_arcmin",
    "corrected",
    "corrected_window_use",
    "folder",
    "job",
    "customer",
    "signed_verdict",
    "signer",
    "signed_on",
    "countersigner",
    "countersigned_on",
    "begun",
];

impl Survey {
    /// The table as CSV in UTF-8 (RFC 4180), numbers at full precision with a decimal point, empty
    /// where something is not known; names as [`csv_cell::text`] writes them. The shim columns hold the
    /// last shim of that side.
    ///
    /// # Errors
    /// [`Error::FactNotWritable`] when the table cannot be put together.
    pub fn csv(&self) -> Result<Vec<u8>, Error> {
        let rows = self.sessions.iter().map(|session| {
            let folder = self.folders.get(session.folder);
            let folder = folder.map_or_else(String::new, |folder| folder.display().to_string());
            cells(session, &folder).to_vec()
        });
        written(&COLUMNS, rows)
    }
}

/// A head and its rows as CSV.
pub(crate) fn written<Row>(
    head: &[&str],
    rows: impl IntoIterator<Item = Row>,
) -> Result<Vec<u8>, Error>
where
    Row: IntoIterator<Item = String>,
{
    let failed = |what: String| Error::FactNotWritable { what };
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record(head).map_err(|why| failed(why.to_string()))?;
    for row in rows {
        writer.write_record(row).map_err(|why| failed(why.to_string()))?;
    }
    writer.into_inner().map_err(|why| failed(why.to_string()))
}

/// What stands under each of the [`COLUMNS`] for a session.
pub(super) fn cells(session: &SessionSummary, folder: &str) -> [String; 57] {
    let truth = |holds: bool| if holds { "true" } else { "false" }.to_owned();
    let figure = |value: Option<f64>| value.map_or_else(String::new, |value| value.to_string());
    let miss = |channel: Channel| {
        let misses = session.shim_misses.iter().rev();
        let of_channel = misses.filter(|miss| miss.channel == channel);
        figure(of_channel.map(|miss| miss.miss_arcmin).next())
    };
    let otherwise: Vec<String> = session.otherwise.iter().map(ToString::to_string).collect();
    let recall = session.recall.as_ref();
    let (signed, countersigned) = (session.signed_as.as_ref(), session.countersigned_by());
    let zero = |channel: Channel, axis: Axis| {
        figure(recall.and_then(|recall| Some(axis.of(recall.zero[channel]?.off))))
    };
    let passed_first =
        if session.is_decided() { truth(session.passed_first()) } else { String::new() };
    [
        csv_cell::text(&session.file),
        truth(session.practice),
        session.day.map_or_else(String::new, |day| day.to_string()),
        csv_cell::text(&session.unit),
        csv_cell::text(&session.housing),
        csv_cell::text(&session.station),
        csv_cell::text(&session.hand),
        csv_cell::text(&session.window),
        session.rounds.to_string(),
        session.verdict.map_or("", |verdict| verdict.word()).to_owned(),
        passed_first,
        truth(session.signed),
        figure(session.boresight_arcmin),
        figure(session.window_use),
        figure(session.centres_apart_arcmin),
        miss(Channel::Left),
        miss(Channel::Right),
        csv_cell::text(&session.tubes.left),
        csv_cell::text(&session.tubes.right),
        session.signature.word().to_owned(),
        session.follows.map_or_else(String::new, truth),
        csv_cell::text(session.checks.as_deref().unwrap_or_default()),
        figure(session.misalignment.map(|m| m.x_arcmin)),
        figure(session.misalignment.map(|m| m.y_arcmin)),
        figure(session.centres.left.map(|centre| centre.x_arcmin)),
        figure(session.centres.left.map(|centre| centre.y_arcmin)),
        figure(session.centres.right.map(|centre| centre.x_arcmin)),
        figure(session.centres.right.map(|centre| centre.y_arcmin)),
        session.relation.map_or("", |relation| relation.word()).to_owned(),
        session.senses.left.map_or("", |sense| sense.word()).to_owned(),
        session.senses.right.map_or("", |sense| sense.word()).to_owned(),
        figure(session.scatter_arcmin),
        figure(session.setting_miss_arcmin),
        figure(session.lock_turn_deg.left),
        figure(session.lock_turn_deg.right),
        session.state.word().to_owned(),
        session.blind.map_or("", BlindWord::word).to_owned(),
        otherwise.join("; "),
        csv_cell::text(&session.session),
        truth(session.counts()),
        session.ledger.first().map_or("", |finding| finding.word()).to_owned(),
        recall.and_then(|recall| recall.last_good).map_or_else(String::new, |day| day.to_string()),
        zero(Channel::Left, Axis::X),
        zero(Channel::Left, Axis::Y),
        zero(Channel::Right, Axis::X),
        zero(Channel::Right, Axis::Y),
        recall.map_or("", |recall| recall.would.word()).to_owned(),
        figure(recall.and_then(|recall| recall.window_use)),
        csv_cell::text(folder),
        csv_cell::text(&session.job),
        csv_cell::text(&session.customer),
        signed.map_or("", |signed| signed.verdict.word()).to_owned(),
        csv_cell::text(signed.map_or("", |signed| &signed.hand)),
        signed.map_or_else(String::new, |signed| signed.day.to_string()),
        csv_cell::text(countersigned.map_or("", |answer| &answer.hand)),
        countersigned.map_or_else(String::new, |answer| answer.day.to_string()),
        session.begun.map_or_else(String::new, |day| day.to_string()),
    ]
}
