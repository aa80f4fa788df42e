//! What came in since the last frame: facts that reached the disk, answers of file dialogs, keys.

use super::App;
use super::action::Action;
use crate::bench::day::DayField;
use crate::bench::signing::SignSheet;
use crate::bench::signing::sealing::SealSheet;
use crate::dialogs::DialogAnswer;
use crate::own_shop::listing::ListAction;
use crate::sheets::Sheet;
use crate::shell::refusals::NO_DIALOG;
use crate::shell::sealing::choice::SealChoice;

impl App {
    /// Hears everything that arrived.
    pub(crate) fn hear(&mut self, ctx: &egui::Context) {
        self.hear_files();
        self.hear_sealing();
        self.seal_next_waiting();
        self.hear_reading_back();
        self.rescue_waiting(false);
        self.look_again_while_saving(ctx);
        self.hear_close_request(ctx);
        self.places.practice.hear(&self.shell);
        self.places.review.hear();
        self.hear_written();
        if self.places.shop.hear(&mut self.shell) {
            self.tell_risk();
        }
        self.hear_noting(ctx);
        self.places.shelf.hear(&self.shell);
        self.hear_dialog();
        self.hear_on_paper();
        self.hear_camera();
        self.hear_graticule();
        self.hear_head_picture();
        self.hear_live(ctx);
        self.hear_aim_off();
        self.hear_remedies();
        if ctx.zoom_factor() != self.shell.preferences.scale {
            ctx.set_zoom_factor(self.shell.preferences.scale);
        }
    }

    /// Hears what became of facts on their way to disk.
    pub(crate) fn hear_files(&mut self) {
        let now = self.shell.services.clock.now();
        if let Some(session) = &mut self.session {
            for said in session.hear(now) {
                self.shell.warnings.push(said);
            }
            let (path, signed) = (session.file().path().to_owned(), session.take_signed());
            self.note_signed(&path, signed);
        }
        self.hear_checks();
        self.places.study.hear(&mut self.shell);
    }

    /// Enter and Tab move the keyboard to another field from the next frame on. What was typed
    /// behind them in the same frame belongs to that field: it waits for it.
    pub(crate) fn hold_back(&mut self, ctx: &egui::Context, input: &mut egui::RawInput) {
        let mut events = std::mem::take(&mut self.held_events);
        events.append(&mut input.events);
        let moves = |event: &egui::Event| {
            matches!(
                event,
                egui::Event::Key { key: egui::Key::Enter | egui::Key::Tab, pressed: true, .. }
            )
        };
        if let Some(place) = events.iter().position(moves) {
            self.held_events = events.split_off(place + 1);
        }
        input.events = events;
        if !self.held_events.is_empty() {
            ctx.request_repaint();
        }
    }

    fn hear_dialog(&mut self) {
        let Some(answer) = self.asking.hear() else { return };
        if self.seal_choices().any(|choice| choice.hear(&answer)) {
            return;
        }
        if let Sheet::Receiving(sheet) = &mut self.front {
            sheet.asking = false;
            let why = match answer {
                Ok(DialogAnswer::Chosen(path)) => {
                    sheet.picture = path.display().to_string();
                    None
                }
                Ok(DialogAnswer::Cancelled) => None,
                Ok(DialogAnswer::NoService) => Some(NO_DIALOG.to_owned()),
                Err(broken) => Some(broken.to_string()),
            };
            sheet.refused = why.map(|why| (DayField::Picture, why));
            sheet.focus = Some(DayField::Picture);
            return;
        }
        if matches!(self.front, Sheet::Edit(_)) {
            return self.hear_graticule_path(answer);
        }
        let Some(sheet) = self.front.path() else { return };
        sheet.asking = false;
        match answer {
            Ok(DialogAnswer::Chosen(path)) => {
                sheet.path = path.display().to_string();
                sheet.refused = None;
                match self.front {
                    Sheet::Import(_) => self.apply(vec![Action::ReadCsv]),
                    Sheet::List(_) => self.list_action(ListAction::Read),
                    _ => {}
                }
            }
            Ok(DialogAnswer::Cancelled) => {}
            Ok(DialogAnswer::NoService) => {
                sheet.refused = Some(NO_DIALOG.to_owned());
            }
            Err(broken) => sheet.refused = Some(broken.to_string()),
        }
    }

    /// Where a hand chooses a key, the sheet in front first.
    pub(crate) fn seal_choices(&mut self) -> impl Iterator<Item = &mut SealChoice> {
        let sheets =
            std::iter::once(&mut self.front).chain(&mut self.behind).chain(&mut self.laid_by);
        let of_sheets = sheets.filter_map(|front| match front {
            Sheet::Sign(SignSheet { seal, .. }) | Sheet::Seal(SealSheet { seal, .. }) => Some(seal),
            _ => None,
        });
        of_sheets.chain(std::iter::once(&mut self.places.review.seal))
    }

    /// Leaves: what is typed but not logged is the only thing that is not on disk.
    pub(crate) fn leave(&mut self) {
        self.save_preferences();
        self.stop_sealing_before_leaving();
        self.hush_before_leaving();
        self.end_camera();
        // Where nothing could keep the window open, what waits is in the rescue file.
        self.rescue_waiting(true);
        self.close_checks();
        self.close_study();
        self.close_session();
        self.note_before_leaving();
    }
}
