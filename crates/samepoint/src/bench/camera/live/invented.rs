//! An invented unit before an invented camera: what its glass shows at this look, as pictures that are read as any.
//!
//! The camera looks into the channel that the row is set to, the other is capped. It reads for the trainee: what is
//! logged while it does is noted as told, as where the reading was told in words. No picture of it is kept.

use record::StationMap;
use record::fact::{Body, Reading, Seq};
use record::practice::filmed;
use record::practice::told::told_note;
use solver::{Channel, PerChannel};

use super::eyes::Maps;
use super::over::{Over, Why};
use super::running::RunningCamera;
use crate::app::App;
use crate::bench::camera::evidence::PictureNotKept;
use crate::bench::views::View;
use crate::frames::invented::{InventedCrosshair, InventedStage};
use crate::pictures::Seeing;
use crate::shell::refusals::NOT_TOLD_IN_EXAM;

/// How far each crosshair is turned in the picture, degrees: reticles are never set square. Invented.
const ROLL_DEG: PerChannel<f64> = PerChannel { left: 2.5, right: -3.5 };

impl App {
    /// Why no camera can film now.
    pub(crate) fn no_camera_now(&self) -> Option<String> {
        match self.practice_unit() {
            None => self.no_picture_now(),
            Some(unit) if unit.is_sat() => Some(NOT_TOLD_IN_EXAM.to_owned()),
            Some(_) => self.nothing_read_now(),
        }
    }

    /// Shows the invented unit through a camera.
    pub(super) fn start_invented_camera(&mut self) {
        let Some((of, mut eyes)) = self.filmed() else { return };
        let camera = filmed::camera();
        let size = camera.size_px.map(|pixels| usize::try_from(pixels).unwrap_or(0));
        eyes.maps = Maps::Only(camera.clone());
        let live = &mut self.camera.live;
        match Seeing::of(camera) {
            Ok(seeing) => live.invented = Some(seeing),
            Err(why) => {
                let why = Why::NotNow(why.to_string());
                live.over = Some(Over { why, words: None });
                return;
            }
        }
        let background = self.camera.background.clone();
        let workers = self.shell.workers();
        let running =
            RunningCamera::invented(InventedStage::default(), size, of, eyes, background, &workers);
        self.camera.live.running = Some(running);
        self.camera.told.clear();
        self.stand_before_camera();
        self.say("The invented unit is shown through a camera; Alt+F ends it.");
        self.show_view(View::Glass);
    }

    /// Has the invented camera see what this look shows of the row’s channel; what it saw before is let go of.
    pub(crate) fn stand_before_camera(&mut self) {
        let channel = self.entry.channel;
        let Some(seen) = self.practice_unit().map(|unit| unit.seen()[channel]) else { return };
        let live = &self.camera.live;
        let stage = live.running.as_ref().and_then(RunningCamera::stage);
        let (Some(stage), Some(seeing)) = (stage, &live.invented) else { return };
        // The bench’s own map: what the session’s station says of it may be wrong, and planted.
        let divisions = StationMap::PLAIN.divisions_from_direction(seen);
        let px = seeing.map.px_from_divisions(divisions);
        let crosshair = px.map(|px| InventedCrosshair { px, roll_deg: ROLL_DEG[channel] });
        let Some(first) = stage.stand(crosshair) else { return };
        self.empty_followed_row();
        let live = &mut self.camera.live;
        (live.first, live.frozen) = (first, false);
        live.tracks.forget();
    }

    /// Remembers that a channel’s reading stood there in numbers.
    pub(super) fn told_by_camera(&mut self, channel: Channel) {
        if let Some(Ok(unit)) = &mut self.practice_unit {
            unit.read_out(channel);
        }
    }

    /// Logs a reading of an invented unit; one that the camera told is noted as told.
    ///
    /// # Errors
    /// Why it is not logged.
    pub(in crate::bench::camera) fn log_of_invented(
        &mut self,
        reading: &Reading,
    ) -> Result<Seq, PictureNotKept> {
        if self.camera.filled.as_ref().is_some_and(|filled| self.is_of_another(filled)) {
            return Err(PictureNotKept::OfAnother);
        }
        let channel = reading.channel();
        let is_told = channel.filter(|of| {
            self.practice_unit().is_some_and(|unit| unit.was_read_out(*of) && !unit.tells(*of))
        });
        if let Some(channel) = is_told {
            self.append(Body::Note(told_note(channel)))?;
        }
        let seq = self.append(Body::Reading(reading.clone()))?;
        if let (Some(channel), Some(Ok(unit))) = (channel, &mut self.practice_unit) {
            unit.was_logged(channel);
        }
        Ok(seq)
    }
}
