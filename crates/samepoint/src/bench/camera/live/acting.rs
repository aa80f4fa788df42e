//! What a hand asks of the camera: start, end, freeze; and what came of it since the last frame of the window.

use std::sync::Arc;
use std::time::Duration;

use super::Live;
use super::eyes::{Eyes, Maps};
use super::over::{Over, Why};
use super::running::{Filmed, RunningCamera};
use crate::app::App;
use crate::bench::camera::live::command_ui::CameraSheet;
use crate::bench::views::View;
use crate::frames::command::CameraCommand;
use crate::sheets::Sheet;

/// While a camera runs the window looks so often whether what it shows grew old.
const LOOK: Duration = Duration::from_millis(100);

impl App {
    /// Starts the camera, or ends it.
    pub(crate) fn turn_camera(&mut self) {
        if self.camera.live.is_running() {
            self.end_camera();
            self.say("The camera is off.");
        } else {
            self.start_camera();
        }
    }

    /// Starts the program of the preferences; one that ran before is ended.
    pub(crate) fn start_camera(&mut self) {
        if let Some(why) = self.no_camera_now() {
            return self.say(why);
        }
        self.end_camera();
        if self.practice_unit().is_some() {
            return self.start_invented_camera();
        }
        let Some((of, eyes)) = self.filmed() else { return };
        let workers = self.shell.workers();
        let background = self.camera.background.clone();
        let started = CameraCommand::typed(&self.shell.preferences.camera_command)
            .and_then(|command| RunningCamera::start(&command, of, eyes, background, &workers));
        match started {
            Ok(running) => self.camera.live.running = Some(running),
            Err(why) => {
                self.camera.live.over = Some(Over { why: Why::NotStarted(why), words: None });
            }
        }
        self.camera.told.clear();
        match &self.camera.live.over {
            Some(over) => self.say(over.told().join(" ")),
            None => self.say("The camera is on; Alt+F ends it."),
        }
        self.show_view(View::Glass);
    }

    /// What is filmed, and through which maps it is read.
    pub(super) fn filmed(&self) -> Option<(Filmed, Eyes)> {
        let session = self.session.as_ref()?;
        let station = session.state().station()?.name.clone();
        let path = session.file().path();
        let lies_in = record::Beside::folder_of(path);
        let maps = Maps::Shop {
            folder: lies_in.unwrap_or_else(|| self.shell.shop.offers().folder.clone()),
            in_force: session.state().camera().cloned(),
        };
        let eyes = Eyes { station: station.clone(), maps };
        Some((Filmed { session: path.to_owned(), station }, eyes))
    }

    /// Ends the camera; nothing is left of it.
    pub(crate) fn end_camera(&mut self) {
        self.end_sweep("The camera is off.");
        self.empty_followed_row();
        // Whoever held it ends it.
        self.camera.live = Live::default();
    }

    /// The picture stays as it is, or goes on.
    pub(crate) fn freeze(&mut self) {
        let live = &mut self.camera.live;
        if live.frozen {
            live.frozen = false;
            if live.is_running() {
                self.say("The camera’s picture goes on.");
            } else {
                self.empty_followed_row();
                self.say("No camera runs: what was frozen is let go of.");
            }
        } else if live.current().is_none() {
            self.say("There is no picture to freeze: Alt+F starts the camera.");
        } else {
            self.end_sweep("The picture was frozen.");
            self.camera.live.frozen = true;
            self.put_frozen_in_row();
            self.say(
                "Frozen. What the camera put in the row is of this frame: Enter logs it, Ctrl+F goes on.",
            );
        }
    }

    /// Asks which program writes the frames.
    pub(crate) fn show_camera_sheet(&mut self) {
        let command = self.shell.preferences.camera_command.clone();
        self.bring(Sheet::Camera(CameraSheet { command, refused: None }));
    }

    /// Keeps the command that stands on the sheet, and starts it where there is something to film.
    pub(crate) fn take_camera_command(&mut self) {
        let Sheet::Camera(sheet) = &mut self.front else { return };
        let typed = sheet.command.trim().to_owned();
        if let Err(why) = CameraCommand::typed(&typed) {
            sheet.refused = Some(format!("Not kept: {why}."));
            return;
        }
        self.shell.preferences.camera_command = typed;
        self.clear_front();
        if let Some(why) = self.no_picture_now() {
            return self.say(format!("The camera’s command is kept. {why}"));
        }
        self.start_camera();
    }

    /// Why the camera that runs has nothing to film any more.
    fn films_nothing(&self) -> Option<String> {
        let running = self.camera.live.running.as_ref()?;
        if self.filmed().is_none_or(|(of, _)| of != running.of) {
            return Some("another session or station is on the bench".to_owned());
        }
        self.no_camera_now()
    }

    /// Hears what the camera saw.
    pub(crate) fn hear_live(&mut self, ctx: &egui::Context) {
        if let Some(why) = self.films_nothing()
            && let Some(running) = self.camera.live.running.take()
        {
            let why = why.trim_end_matches('.').to_owned();
            self.over(running.ended_because(Why::NotNow(why)));
        }
        self.stand_before_camera();
        let channel = self.entry.channel;
        let sweeps = self.camera.sweep.is_some();
        let live = &mut self.camera.live;
        let (mut is_new, mut map_changed) = (false, None);
        if let Some(running) = &mut live.running {
            ctx.request_repaint_after(LOOK);
            if live.turned != Some(channel) {
                live.tracks.forget();
                live.turned = Some(channel);
            }
            let newest = running.newest();
            let over = running.over();
            let first = live.first;
            map_changed = newest.as_ref().and_then(|newest| live.is_read_otherwise(newest));
            if map_changed.is_some() {
                // What was frozen was read through a map that is in force no more.
                live.frozen = false;
                live.tracks.forget();
            }
            let newest = newest.filter(|newest| newest.frame.number >= first && !live.frozen);
            if let Some(newest) = newest {
                if let Ok(found) = &newest.found {
                    live.tracks.follow(found, sweeps);
                }
                live.now = Some(Arc::new(newest));
                is_new = true;
            }
            if let Some(over) = over {
                live.running = None;
                self.over(over);
            }
        }
        if let Some(said) = map_changed {
            self.end_sweep("The camera map was changed.");
            self.empty_followed_row();
            self.say(said);
        } else if is_new {
            self.sweep_on();
        }
        if let Some(left) = self.camera.live.grows_old_in() {
            ctx.request_repaint_after(left);
        }
        self.follow_in_row(ctx);
    }

    fn over(&mut self, over: Over) {
        if self.camera.sweep.is_some() {
            self.end_sweep("The camera ended.");
        } else {
            self.say(format!("{}.", over.why));
        }
        if !self.camera.live.frozen {
            self.empty_followed_row();
        }
        self.camera.live.over = Some(over);
    }

    /// What is said of the camera at the glass.
    #[must_use]
    pub fn told_of_camera(&self) -> Vec<String> {
        self.live_told().into_iter().map(|(_, said)| said).collect()
    }

    /// The process of the camera's program, while it runs.
    #[must_use]
    pub fn camera_process(&self) -> Option<u32> {
        self.camera.live.running.as_ref().and_then(RunningCamera::process)
    }
}
