//! Logging: what is typed becomes a reading.

use paper::words;
use paper::words::capital;
use record::Typed;
use record::fact::{BoxReading, DirectionReading, Purpose, Reading, RelativeReading, Seen};
use record::station::Shows;
use solver::{Channel, PerChannel};

use super::EntryField;
use crate::app::App;
use crate::bench::session::OpenSession;
use crate::sheets::Sheet;
use crate::shell::refusals::RINGS_TURNED;

impl App {
    pub(crate) fn turn_to(&mut self, purpose: Purpose) {
        let possible = self.session.as_ref().is_some_and(OpenSession::as_found_possible);
        if purpose == Purpose::AsFound && !possible {
            self.say(RINGS_TURNED);
            return;
        }
        self.lay_by();
        self.leave_remedies();
        if self.entry.purpose == Purpose::Confirm {
            self.ring_as_last_logged();
        }
        self.entry.turn_to_purpose(purpose);
    }

    pub(crate) fn log_reading(&mut self) {
        self.log_seen(None);
    }

    /// Logs what is typed, or what a box shows.
    pub(crate) fn log_seen(&mut self, in_box: Option<bool>) {
        if let Some(why) = self.closed() {
            self.entry.refused = Some((EntryField::X, why));
            return;
        }
        if let Some(why) = self.misread_ring() {
            self.entry.refused = Some((EntryField::Ring, why));
            self.entry.focus = Some(EntryField::Ring);
            return;
        }
        let reading = match self.typed_reading(in_box) {
            Ok(reading) => reading,
            Err((field, why)) => {
                self.entry.refused = Some((field, why));
                self.entry.focus = Some(field);
                return;
            }
        };
        match self.log_with_picture(&reading) {
            Err(why) => {
                self.entry.refused = Some((EntryField::X, why.to_string()));
                // What is typed is whole and waits for its Enter.
                self.entry.focus = Some(EntryField::Y);
            }
            Ok(_) => {
                self.let_go_of_picture();
                self.camera.told.clear();
                self.camera.live.logged();
                self.entry.clear();
                self.read_back(&reading);
                if self.front == Sheet::Cautions && self.behind.is_empty() {
                    self.front = Sheet::Clear;
                }
                self.go_on_from(&reading);
            }
        }
    }

    /// The entry row after a reading: the next thing to be read.
    pub(crate) fn go_on_from(&mut self, reading: &Reading) {
        match reading.channel() {
            None => self.after_logging_both(reading.purpose),
            Some(channel) => {
                let ring_deg = reading.ring_deg(channel).map(Typed::value);
                let noted = record::timeline::readings::notes(reading);
                self.after_logging(channel, reading.purpose, ring_deg, &noted);
            }
        }
    }

    /// After both channels were read at one look.
    fn after_logging_both(&mut self, purpose: Purpose) {
        match purpose {
            Purpose::AsFound => {
                self.entry.turn_to_purpose(Purpose::Log);
                self.entry.turn_to(Channel::Left);
                self.say("Read as found. From here on readings are logged.");
            }
            Purpose::Log => {
                let rings = self.entry.ring.as_ref().map(|ring| match ring.trim() {
                    "" => "not read".to_owned(),
                    deg => format!("{deg}°"),
                });
                self.entry.step_on_by_turns();
                self.say(format!("Logged at rings {}, {}.", rings.left, rings.right));
            }
            Purpose::Confirm => {
                self.seated_as_before();
                self.say("Logged to confirm, without boresight.");
            }
        }
    }

    pub(crate) fn after_logging(
        &mut self,
        channel: Channel,
        purpose: Purpose,
        ring_deg: Option<f64>,
        noted: &[String],
    ) {
        if purpose == Purpose::AsFound {
            let done = self.session.as_ref().is_some_and(OpenSession::as_found_done);
            if done {
                self.entry.turn_to_purpose(Purpose::Log);
                self.entry.turn_to(Channel::Left);
                self.say("Both channels read as found. From here on readings are logged.");
            } else {
                self.entry.turn_to(channel.other());
                self.say(format!("{} read as found.", capital(channel.word())));
            }
        } else if purpose == Purpose::Confirm {
            self.after_confirming(channel, noted);
        } else {
            self.entry.step_on_from(channel, ring_deg);
            let at = ring_deg.map_or_else(
                || "without ring angle".to_owned(),
                |deg| format!("at ring {}", words::degrees(deg, deg)),
            );
            let closing = self.session.as_ref().and_then(|session| {
                let closed = session.closing()[channel].as_ref()?;
                // Only when this very reading closed the round.
                session.closed_by_last(channel).then(|| {
                    let stop = if closed.text.ends_with('?') { "" } else { "." };
                    format!(" The round {}{stop}", closed.text)
                })
            });
            let closing = closing.unwrap_or_default();
            self.say(format!("{} logged {at}.{closing}", capital(channel.word())));
        }
    }

    /// What is typed, or which field is wrong and why.
    pub(crate) fn typed_reading(
        &self,
        in_box: Option<bool>,
    ) -> Result<Reading, (EntryField, String)> {
        let entry = &self.entry;
        let Some(round) = self.session.as_ref().and_then(|session| session.state().round()) else {
            return Err((EntryField::X, "No round is open: open one first (F9).".to_owned()));
        };
        let number = |field: EntryField, text: &str| {
            Typed::by_hand(text).map_err(|why| (field, format!("{}: {why}", capital(field.word()))))
        };
        let ring = |field: EntryField, text: &str| match text.trim() {
            "" => Ok(None),
            _ => number(field, text).map(Some),
        };
        let rings = || {
            let of = |channel| ring(EntryField::RingOf(channel), &entry.ring[channel]);
            Ok(PerChannel { left: of(Channel::Left)?, right: of(Channel::Right)? })
        };
        let shows = self.session.as_ref().map_or(Shows::Direction, OpenSession::shows);
        let approach = PerChannel { left: entry.approach, right: entry.approach };
        let seen = match shows {
            Shows::Direction => Seen::Direction(DirectionReading {
                channel: entry.channel,
                ring_deg: ring(EntryField::Ring, &entry.ring[entry.channel])?,
                x: number(EntryField::X, &entry.x)?,
                y: number(EntryField::Y, &entry.y)?,
                unit: entry.unit,
                approach: entry.approach,
            }),
            Shows::Relative => Seen::Relative(RelativeReading {
                ring_deg: rings()?,
                x: number(EntryField::X, &entry.x)?,
                y: number(EntryField::Y, &entry.y)?,
                unit: entry.unit,
                approach,
            }),
            Shows::Box => {
                let Some(inside) = in_box else {
                    let why = "Press In the box or Outside: this station shows no more.";
                    return Err((EntryField::RingOf(Channel::Left), why.to_owned()));
                };
                Seen::Box(BoxReading { ring_deg: rings()?, inside, approach })
            }
        };
        let reading = Reading::seen(round.id, entry.purpose, seen);
        match entry.purpose {
            Purpose::Confirm => {
                let noted = self.confirming.note_in(reading, entry.channel);
                noted.map_err(|why| (EntryField::X, why.to_string()))
            }
            Purpose::AsFound | Purpose::Log => Ok(reading),
        }
    }

    /// Ring angles go on where logging left off.
    pub(crate) fn ring_as_last_logged(&mut self) {
        let Some(session) = &self.session else { return };
        for channel in Channel::BOTH {
            if let Some(ring_deg) = session.last_logged_ring_deg(channel) {
                self.entry.step_on_from(channel, ring_deg);
            }
        }
    }
}
