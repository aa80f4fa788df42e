//! What the log points at: each with what it means and what can be done about it.

use paper::words::capital;
use record::fact::Seq;
use record::{Stamp, Station};
use solver::{Channel, Sense, SenseBasis};

use crate::bench::session::OpenSession;
use crate::bench::station_words;
use crate::bench::station_words::Judging;
use crate::ui_command::UiCommand;
use crate::views::round::RoundView;
use crate::widgets::Tone;

/// One of them.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Callout {
    /// How it is meant.
    pub tone: Tone,
    /// The sentences.
    pub text: String,
    /// What can be done.
    pub commands: Vec<UiCommand>,
    /// Whether it is about the station, and so has nothing to do with this unit's readings.
    pub is_of_station: bool,
}

/// Everything the log points at now. `station`: the one in force as it stands today.
#[must_use]
pub(crate) fn callouts(
    session: &OpenSession,
    selected: Option<Seq>,
    station: Option<&(Station, Judging)>,
    now: Stamp,
) -> Vec<Callout> {
    let stand_out = session.advice().stand_out.iter().map(|stands_out| Callout {
        tone: Tone::Look,
        text: stands_out.text.clone(),
        commands: vec![UiCommand::ReadAgain, UiCommand::LeaveOut],
        is_of_station: false,
    });
    // One after the other: what is read again or withdrawn may well be why another stands out.
    let mut callouts: Vec<Callout> =
        selected.and_then(|seq| withdrawn(session, seq)).into_iter().collect();
    callouts.extend(stand_out.take(1));
    let against = |&channel| against(session.picture(), channel);
    callouts.extend(Channel::BOTH.iter().filter_map(against));
    callouts.extend(station.and_then(|(station, judging)| of_station(station, *judging, now)));
    callouts
}

/// A reading that is selected and does not count: why, and how it can count again.
fn withdrawn(session: &OpenSession, seq: Seq) -> Option<Callout> {
    let entry = session.state().entry(seq)?;
    let withdrawn = entry.withdrawn.as_ref()?;
    let was_last = session.state().undo() == Some(withdrawn.by);
    let reading = match entry.reading.channel() {
        Some(channel) => format!("{} reading {}", capital(channel.word()), entry.number),
        None => format!("Reading {}", entry.number),
    };
    let again = if was_last { "Undo counts it again" } else { "To have it again, read it again" };
    Some(Callout {
        tone: Tone::Plain,
        text: format!(
            "{reading} is withdrawn and does not count: {}. {again}.",
            withdrawn.reason.trim_end_matches('.')
        ),
        commands: vec![if was_last { UiCommand::Undo } else { UiCommand::ReadAgain }],
        is_of_station: false,
    })
}

/// By the optics a crosshair runs with its ring. Against it, one of two things is wrong, and a
/// wrong flip would send a shim the wrong way.
fn against(picture: &RoundView, channel: Channel) -> Option<Callout> {
    let fit = picture.solution.as_ref()?.fits[channel].as_ref().ok()?;
    let found = matches!(fit.sense_basis, Some(SenseBasis::Found { .. }));
    let against = fit.circle.phase.is_some_and(|phase| phase.sense == Sense::Against);
    (found && against).then(|| Callout {
        tone: Tone::Look,
        text: format!(
            "The {channel} crosshair runs against its ring. Look into that eyepiece: if the \
             numbers grow counter-clockwise, say so under Parts. If not, a flip in the {channel} \
             station map is wrong: choose a station that has it right and read the round again. \
             Until one of them is said, no shim is worked out."
        ),
        commands: vec![UiCommand::SetUp],
        is_of_station: false,
    })
}

/// The station's state marks every verdict until it is resolved; it keeps nobody from logging.
fn of_station(station: &Station, judging: Judging, now: Stamp) -> Option<Callout> {
    let troubles = station_words::troubles(station, judging, now);
    let unchecked = station.name != station_words::NO_STATION && !station.checked_on(now.date());
    let check = unchecked.then_some(UiCommand::CheckStation);
    (!troubles.is_empty()).then(|| Callout {
        tone: Tone::Look,
        text: format!("{} Every verdict will say so until it is resolved.", troubles.join(" ")),
        commands: check.into_iter().chain([UiCommand::SetUp]).collect(),
        is_of_station: true,
    })
}
