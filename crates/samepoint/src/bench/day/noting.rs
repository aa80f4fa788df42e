//! The working day: handovers, receiving, and whether anything was touched while work rested.

use record::fact::{Body, DayKind, DayNote, NotedPicture, RoundReason};
use record::fold::day::RECEIVED;
use record::{Rested, shown};

use super::{DayAction, DayField, HandoverSheet, ReceivingSheet};
use crate::app::App;
use crate::bench::session::OpenSession;
use crate::sheets::Sheet;
use crate::shell::path_sheet::typed_path;
use crate::shell::refusals::Refusal;

/// Why something of the day is not noted.
#[derive(Debug, thiserror::Error)]
enum NotNoted {
    /// The session is signed.
    #[error(
        "This session is signed, and a note would stand outside the signature: leave it with the unit in the \
         list of units waiting."
    )]
    Signed,
    /// A handover without words.
    #[error("Say what was done or what is next.")]
    NothingHandedOver,
    /// What was said is not unsaid.
    #[error("What was said stays: write “none” where there is nothing.")]
    SaidStays,
    /// A picture without a file.
    #[error("Name the picture's file, or choose it.")]
    NoPictureNamed,
    /// The session is only read.
    #[error("This session cannot be added to.")]
    OnlyRead,
    /// A picture that the session names.
    #[error("This picture is there already.")]
    PictureThere,
    /// As everywhere.
    #[error(transparent)]
    Refused(#[from] Refusal),
    /// The record.
    #[error(transparent)]
    Record(#[from] record::Error),
}

impl App {
    pub(crate) fn day_action(&mut self, action: DayAction) {
        match action {
            DayAction::Hand(hand) => self.answer_who(&hand),
            DayAction::HandOver => self.hand_over(),
            DayAction::Receive => self.receive(),
            DayAction::AddPicture => self.add_picture(),
            DayAction::Units(action) => self.units_action(action),
        }
    }

    /// Brings the sheet on which a hand leaves a handover.
    pub(crate) fn show_handover_sheet(&mut self) {
        if self.closed().is_some() {
            return self.say(NotNoted::Signed.to_string());
        }
        self.bring(Sheet::Handover(HandoverSheet::default()));
    }

    fn hand_over(&mut self) {
        let Sheet::Handover(sheet) = &self.front else { return };
        let note = sheet.note();
        let done = if note.text.is_empty() {
            Err(NotNoted::NothingHandedOver)
        } else if self.closed().is_some() {
            Err(NotNoted::Signed)
        } else {
            self.append(Body::Note(note.note())).map_err(NotNoted::from)
        };
        match done {
            Ok(_) => {
                self.put_away();
                self.say(
                    "The handover is left with this session: the next hand sees it on opening. Undo \
                     takes it back.",
                );
            }
            Err(why) => {
                if let Sheet::Handover(sheet) = &mut self.front {
                    sheet.refused = Some(why.to_string());
                }
            }
        }
    }

    /// Says that the handover in sight was read.
    pub(crate) fn handover_read(&mut self) {
        let unread = self.session.as_ref().and_then(|session| session.unread().first().cloned());
        let Some(handover) = unread else { return self.say("No handover waits to be read.") };
        if self.closed().is_some() {
            return self.say(NotNoted::Signed.to_string());
        }
        if self.append(Body::Note(DayNote::read(handover.seq).note())).is_ok() {
            self.say(format!(
                "Noted that {} read the handover of {}.",
                self.shell.hand(),
                handover.hand
            ));
        }
    }

    /// Brings the sheet on which a hand says how the unit came in, as last said.
    pub(crate) fn show_receiving_sheet(&mut self) {
        if self.closed().is_some() {
            return self.say(NotNoted::Signed.to_string());
        }
        let Some(session) = &self.session else { return };
        let received = session.state().received();
        let said =
            |said: Option<record::Fact<String>>| said.map_or_else(String::new, |said| said.body);
        let sheet = ReceivingSheet {
            condition: said(received.condition),
            accessories: said(received.accessories),
            ..ReceivingSheet::default()
        };
        self.bring(Sheet::Receiving(Box::new(sheet)));
    }

    fn receive(&mut self) {
        let Sheet::Receiving(sheet) = self.front.clone() else { return };
        let Some(session) = &self.session else { return };
        let received = session.state().received();
        let before = [&received.condition, &received.accessories]
            .map(|said| said.as_ref().map_or_else(String::new, |said| said.body.clone()));
        let [was_condition, was_accessories] = before;
        let mut count = 0;
        for (field, kind, text, before) in [
            (DayField::Condition, DayKind::Condition, &sheet.condition, was_condition),
            (DayField::Accessories, DayKind::Accessories, &sheet.accessories, was_accessories),
        ] {
            let text = text.trim();
            if text == before {
                continue;
            }
            let done = if text.is_empty() {
                Err(NotNoted::SaidStays)
            } else if self.closed().is_some() {
                Err(NotNoted::Signed)
            } else {
                self.append(Body::Note(DayNote::said(kind, text).note())).map_err(NotNoted::from)
            };
            if let Err(why) = done {
                return self.refuse_receiving(field, why.to_string());
            }
            count += 1;
        }
        self.put_away();
        self.say(if count == 0 {
            "Nothing was changed."
        } else {
            "Noted how the unit came in. Undo takes it back."
        });
    }

    /// Keeps a copy of the picture on the sheet in the shop, once, and notes it.
    fn add_picture(&mut self) {
        let Sheet::Receiving(sheet) = self.front.clone() else { return };
        match self.picture_added(&sheet) {
            Err(why) => self.refuse_receiving(DayField::Picture, why.to_string()),
            Ok(()) => {
                if let Sheet::Receiving(sheet) = &mut self.front {
                    sheet.picture.clear();
                    sheet.caption.clear();
                    sheet.refused = None;
                    sheet.focus = Some(DayField::Picture);
                }
            }
        }
    }

    fn picture_added(&mut self, sheet: &ReceivingSheet) -> Result<(), NotNoted> {
        let path = typed_path(&sheet.picture).ok_or(NotNoted::NoPictureNamed)?;
        if self.closed().is_some() {
            return Err(NotNoted::Signed);
        }
        // Nothing is copied for a fact that nobody could add.
        self.shell.who_first()?;
        let session = self.session.as_ref().filter(|session| session.is_writable());
        let session = session.ok_or(NotNoted::OnlyRead)?;
        let shop = self.shell.shop.shop().ok_or(Refusal::NoShop)?;
        let kept = shop.keep_picture(&path)?;
        if session.state().pictures.iter().any(|said| said.body.hash == kept.hash) {
            return Err(NotNoted::PictureThere);
        }
        let what = match sheet.caption.trim() {
            "" => "picture",
            caption => caption,
        };
        let caption = format!("{RECEIVED}{what} (from {})", shown::path(&path));
        let (hash, extension) = (kept.hash, kept.extension);
        self.append(Body::Picture(NotedPicture { hash, extension, caption, about: None }))?;
        Ok(())
    }

    fn refuse_receiving(&mut self, field: DayField, why: String) {
        if let Sheet::Receiving(sheet) = &mut self.front {
            sheet.refused = Some((field, why));
            sheet.focus = Some(field);
        }
    }

    /// How long the open round was left alone, where that must be asked about before it goes on.
    pub(crate) fn must_ask_rested(&self) -> Option<Rested> {
        self.rested_long().filter(|_| self.session.as_ref().is_some_and(OpenSession::is_writable))
    }

    /// The same, whoever may write: nothing of it is called good for those who only look on either.
    fn rested_long(&self) -> Option<Rested> {
        self.rests().filter(Rested::must_be_asked)
    }

    /// How long the open round was left alone, where that matters.
    fn rests(&self) -> Option<Rested> {
        let session = self.session.as_ref()?;
        if session.is_practice() || self.closed().is_some() {
            return None;
        }
        session.state().rested(self.shell.services.clock.now())
    }

    /// While the question about a round that rested waits, nothing of it is called good. Until then the window is
    /// drawn once more when it must be asked, whether or not anybody touches a key.
    pub(crate) fn heed_rest(&mut self, ctx: &egui::Context) {
        let rests = self.rests();
        let rested = rests.as_ref().is_some_and(Rested::must_be_asked);
        if let Some(left) = rests.and_then(|rests| u64::try_from(rests.minutes_left()?).ok()) {
            ctx.request_repaint_after(std::time::Duration::from_mins(left));
        }
        let (unit, selected) = (self.entry.unit, self.selected);
        if let Some(session) = &mut self.session {
            session.set_rested(rested, unit, selected);
        }
    }

    /// A round that was left alone goes on when a hand says that nothing was touched.
    ///
    /// # Errors
    /// What to say first.
    pub(crate) fn rested_first(&self) -> Result<(), Refusal> {
        self.must_ask_rested().map_or(Ok(()), |_| Err(Refusal::TouchedFirst))
    }

    /// What was in force in the open round, as far as it was.
    pub(crate) fn in_force_words(&self) -> String {
        let state = self.session.as_ref().map(OpenSession::state);
        let station = state.and_then(|state| state.station());
        let window = state.and_then(|state| state.window());
        let at = station.map(|station| format!(", at {}", station.name));
        let by = window.map(|window| format!(", judged by {}", window.name));
        [at, by].into_iter().flatten().collect()
    }

    /// Says when the open round was read last, where it goes on without a question.
    pub(crate) fn say_when_read_last(&mut self) {
        let Some(session) = self.session.as_ref().filter(|session| session.is_writable()) else {
            return;
        };
        let rested = session.state().rested(self.shell.services.clock.now());
        let Some(rested) = rested.filter(|rested| rested.minutes > 0 && !rested.must_be_asked())
        else {
            return;
        };
        if self.closed().is_none() {
            self.say(format!(
                "The last reading was taken {} ago by {}{}.",
                rested.long(),
                rested.hand,
                self.in_force_words()
            ));
        }
    }

    /// Something was touched: the round ends as one does when the unit is seated anew.
    pub(crate) fn touched(&mut self) {
        let Some(rested) = self.must_ask_rested() else {
            return self.say("The round was read a short while ago: end it with New round.");
        };
        self.open_round(RoundReason::Reseated, rested.touched());
    }

    /// Nothing was: the round goes on, and who says so stays noted.
    pub(crate) fn untouched(&mut self) {
        let Some(rested) = self.must_ask_rested() else {
            return self.say("The round was read a short while ago and goes on.");
        };
        if self.append(Body::Note(rested.untouched().note())).is_ok() {
            self.say("Noted: the round goes on.");
        }
    }
}
