//! Logging: what is typed becomes a reading.

use paper::words;
use record::Typed;
use record::fact::{Body, DirectionReading, Purpose, Reading};
use solver::Channel;

use crate::app::App;
use crate::app::entry::Field;
use crate::app::front::Front;
use crate::app::picture::capital;
use crate::app::session::OpenSession;

impl App {
    pub(in crate::app) fn turn_to(&mut self, purpose: Purpose) {
        let possible = self.session.as_ref().is_some_and(OpenSession::as_found_possible);
        if purpose == Purpose::AsFound && !possible {
            self.say("A reading was logged, so rings have been turned: as found is over.");
            return;
        }
        self.lay_by();
        self.leave_remedies();
        if self.entry.purpose == Purpose::Confirm {
            self.ring_as_last_logged();
        }
        self.entry.turn_to_purpose(purpose);
    }

    pub(super) fn log_reading(&mut self) {
        let channel = self.entry.channel;
        if let Some(why) = self.closed() {
            self.entry.refused = Some((Field::X, why));
            return;
        }
        if let Some(why) = self.misread_ring() {
            self.entry.refused = Some((Field::Ring, why));
            self.entry.focus = Some(Field::Ring);
            return;
        }
        let reading = match self.typed_reading() {
            Ok(reading) => reading,
            Err((field, why)) => {
                self.entry.refused = Some((field, why));
                self.entry.focus = Some(field);
                return;
            }
        };
        let ring_deg = reading.ring_deg(channel).map(Typed::value);
        let purpose = reading.purpose;
        match self.append(Body::Reading(reading)) {
            Err(why) => self.entry.refused = Some((Field::X, why)),
            Ok(_) => {
                self.entry.clear();
                if self.front == Front::Cautions && self.behind.is_empty() {
                    self.front = Front::Clear;
                }
                self.after_logging(channel, purpose, ring_deg);
            }
        }
    }

    pub(super) fn after_logging(
        &mut self,
        channel: Channel,
        purpose: Purpose,
        ring_deg: Option<f64>,
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
            self.after_confirming(channel);
        } else {
            self.entry.step_on_from(channel, ring_deg);
            let at = ring_deg.map_or_else(
                || "without ring angle".to_owned(),
                |deg| format!("at ring {}", words::degrees(deg, deg)),
            );
            let closing = self.session.as_ref().and_then(|session| {
                let closed = session.closing()[channel].as_ref()?;
                // Only when this very reading closed the round.
                session.closed_by_last(channel).then(|| format!(" The round {}.", closed.text))
            });
            let closing = closing.unwrap_or_default();
            self.say(format!("{} logged {at}.{closing}", capital(channel.word())));
        }
    }

    /// What is typed, or which field is wrong and why.
    pub(super) fn typed_reading(&self) -> Result<Reading, (Field, String)> {
        let entry = &self.entry;
        let Some(round) = self.session.as_ref().and_then(|session| session.state().round()) else {
            return Err((Field::X, "No round is open: open one first (F9).".to_owned()));
        };
        let number = |field: Field, text: &str| {
            Typed::parse(text).map_err(|why| (field, format!("{}: {why}", capital(field.word()))))
        };
        let ring_text = &entry.ring[entry.channel];
        let ring_deg =
            if ring_text.trim().is_empty() { None } else { Some(number(Field::Ring, ring_text)?) };
        let direction = DirectionReading {
            channel: entry.channel,
            ring_deg,
            x: number(Field::X, &entry.x)?,
            y: number(Field::Y, &entry.y)?,
            unit: entry.unit,
            approach: entry.approach,
        };
        let reading = Reading::direction(round.id, entry.purpose, direction);
        match entry.purpose {
            Purpose::Confirm => {
                self.confirming.note_in(reading, entry.channel).map_err(|why| (Field::X, why))
            }
            Purpose::AsFound | Purpose::Log => Ok(reading),
        }
    }

    /// Ring angles go on where logging left off.
    pub(super) fn ring_as_last_logged(&mut self) {
        let Some(session) = &self.session else { return };
        for channel in Channel::BOTH {
            if let Some(ring_deg) = session.last_logged_ring_deg(channel) {
                self.entry.step_on_from(channel, ring_deg);
            }
        }
    }
}
