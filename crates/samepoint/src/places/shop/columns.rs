//! The columns of the table of sessions: which there are, what stands in them, and for which there is room.

use paper::words;
use record::SessionSummary;
use record::shop::survey::seek::SortBy;

/// How large its text is, points.
pub(crate) const TEXT_PT: f32 = 13.5;
/// What of its width no text stands in, points.
pub(crate) const BESIDE_PT: f32 = 12.0;

/// How a column looks.
#[derive(Clone, Copy, Debug)]
pub(crate) struct ColumnLook {
    /// The width below which its usual text is cut, points.
    pub(crate) least: f32,
    /// Whether its text ends at the right.
    pub(crate) right: bool,
}

/// The columns in sight until a hand chooses others.
pub(crate) const USUAL: [SortBy; 11] = [
    SortBy::Day,
    SortBy::Unit,
    SortBy::Housing,
    SortBy::Station,
    SortBy::Hand,
    SortBy::Rounds,
    SortBy::Boresight,
    SortBy::WindowUse,
    SortBy::Verdict,
    SortBy::State,
    SortBy::Countersigner,
];

/// Where there is not room for all, those that stand first here stay.
const FIRST_TO_STAY: [SortBy; 18] = [
    SortBy::Unit,
    SortBy::Verdict,
    SortBy::Folder,
    SortBy::Day,
    SortBy::State,
    SortBy::Housing,
    SortBy::Hand,
    SortBy::Job,
    SortBy::Customer,
    SortBy::Countersigner,
    SortBy::Station,
    SortBy::WindowUse,
    SortBy::Boresight,
    SortBy::Rounds,
    SortBy::Signer,
    SortBy::SignedOn,
    SortBy::CountersignedOn,
    SortBy::Begun,
];

/// How a column looks.
pub(crate) const fn look(column: SortBy) -> ColumnLook {
    let (least, right) = match column {
        SortBy::Rounds | SortBy::WindowUse => (58.0, true),
        SortBy::Boresight => (84.0, true),
        SortBy::Hand | SortBy::Signer => (54.0, false),
        SortBy::Day | SortBy::SignedOn | SortBy::Begun => (92.0, false),
        SortBy::CountersignedOn => (118.0, false),
        SortBy::Unit | SortBy::Job | SortBy::Station | SortBy::Customer => (92.0, false),
        SortBy::Housing | SortBy::State | SortBy::Folder => (104.0, false),
        SortBy::Countersigner => (110.0, false),
        SortBy::Verdict => (200.0, false),
    };
    ColumnLook { least, right }
}

/// Of the columns chosen those there is room for, in the order in which they were offered.
pub(crate) fn with_room(chosen: &[SortBy], width: f32) -> Vec<SortBy> {
    let mut left = width;
    let mut kept = Vec::new();
    for column in FIRST_TO_STAY.into_iter().filter(|column| chosen.contains(column)) {
        left -= look(column).least;
        if left < 0.0 && !kept.is_empty() {
            break;
        }
        kept.push(column);
    }
    SortBy::EVERY.into_iter().filter(|column| kept.contains(column)).collect()
}

/// By their words, as preferences keep them; the usual ones where none of them is known.
pub(crate) fn of_words(kept: &[String]) -> Vec<SortBy> {
    let is_kept = |column: &SortBy| kept.iter().any(|word| word == column.word());
    let known: Vec<SortBy> = SortBy::EVERY.into_iter().filter(is_kept).collect();
    if known.is_empty() { USUAL.to_vec() } else { known }
}

/// What stands in a session's row, in one column; `shop`: what its folder is called, where several are seen as one.
pub(crate) fn cell(session: &SessionSummary, column: SortBy, shop: Option<&str>) -> String {
    let or_dash = |text: Option<String>| {
        text.filter(|text| !text.is_empty()).unwrap_or_else(|| "–".to_owned())
    };
    let named = |name: &str| record::shown::one_line(name).into_owned();
    let signed = session.signed_as.as_ref();
    match column {
        SortBy::Day => or_dash(session.day.map(|day| day.to_string())),
        SortBy::Begun => or_dash(session.begun.map(|day| day.to_string())),
        SortBy::Folder => shop.unwrap_or_default().to_owned(),
        SortBy::Unit => named(&session.unit),
        SortBy::Housing => named(&session.housing),
        SortBy::Station => named(&session.station),
        SortBy::Hand => named(&session.hand),
        SortBy::Job => named(&session.job),
        SortBy::Customer => named(&session.customer),
        SortBy::Rounds => session.rounds.to_string(),
        SortBy::Boresight => or_dash(session.boresight_arcmin.map(|value| words::number(value, 1))),
        SortBy::WindowUse => or_dash(session.window_use.map(words::percent)),
        SortBy::Verdict => session.verdict_words(),
        SortBy::State => session.state.word().to_owned(),
        SortBy::Signer => signed.map(|signed| named(&signed.hand)).unwrap_or_default(),
        SortBy::SignedOn => signed.map(|signed| signed.day.to_string()).unwrap_or_default(),
        SortBy::Countersigner => session.countersigned_words(),
        SortBy::CountersignedOn => {
            session.countersigned_by().map(|answer| answer.day.to_string()).unwrap_or_default()
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Days, figures and states are whole in the least room of their columns, as the table sets them.
    #[test]
    fn usual_texts_have_room() {
        use paper::letters::{Face, Letters};
        let letters = Letters::load();
        for (column, text) in [
            (SortBy::Day, "2026-11-28"),
            (SortBy::CountersignedOn, "2026-11-28"),
            (SortBy::Rounds, "12"),
            (SortBy::Boresight, "123.4"),
            (SortBy::WindowUse, "100 %"),
            (SortBy::Verdict, "not measured"),
            (SortBy::State, "unsigned"),
        ] {
            let room_pt =
                letters.width_pt(text, Face::Plain, TEXT_PT.into()) + f64::from(BESIDE_PT);
            assert!(room_pt <= look(column).least.into(), "{column:?} {room_pt}");
        }
    }

    /// Every column can be chosen and stays somewhere in the order of those that give way.
    #[test]
    fn every_column_has_a_place() {
        for column in SortBy::EVERY {
            assert!(FIRST_TO_STAY.contains(&column), "{column:?}");
            assert_eq!(of_words(&[column.word().to_owned()]), [column]);
        }
        assert_eq!(of_words(&[]), USUAL);
        assert_eq!(of_words(&["no such column".to_owned()]), USUAL);
        assert_eq!(with_room(&SortBy::EVERY, 5000.0), SortBy::EVERY);
        assert_eq!(with_room(&SortBy::EVERY, 10.0), [SortBy::Unit]);
    }
}
