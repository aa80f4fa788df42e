//! On the plot: trying and choosing a setting, copying and saving the picture.

use super::clip::Clip;
use crate::shell::refusals::Refusal;
use std::path::Path;

use paper::{Scene, words};
use record::fact::{Body, SettingChosen, SettingSource};
use solver::setting::RingPlace;
use solver::{Channel, Direction, PerChannel, Setting, SettingKind};

use crate::app::App;
use crate::report_file::{NotWritten, PLOT_PT, write_picture};
use crate::sheets::Sheet;
use crate::sheets::choose::ChooseSheet;
use crate::shell::open_shop::words_of;
use crate::shell::path_sheet::PathSheet;

/// Pixels a point in a PNG: sharp in print at half its size.
const PIXELS_PER_PT: f64 = 3.0;

/// Why there is no file of the plot.
#[derive(Debug, thiserror::Error)]
enum NoPlotFile {
    /// The kind of a picture is told by its name.
    #[error("End the name in .svg or .png, so that its kind is known.")]
    Ending,
    /// There is nothing to draw.
    #[error(transparent)]
    Refused(#[from] Refusal),
    /// The sheet's own drawing cannot be made.
    #[error(transparent)]
    NoScene(#[from] record::Error),
    /// It cannot be drawn in pixels.
    #[error(transparent)]
    Pixels(#[from] paper::png::PngError),
    /// It cannot be put there.
    #[error(transparent)]
    NotWritten(#[from] NotWritten),
}

impl App {
    /// Tries a channel's ring where its crosshair comes nearest to a direction.
    pub(crate) fn try_at(&mut self, channel: Channel, towards: Direction) {
        self.try_ring(channel, |session, _| {
            let fits = session.picture().solution.as_ref()?.both_fits()?;
            let step_deg = session.ring_step_deg();
            Some(RingPlace::nearest(&fits[channel].circle, towards, step_deg))
        });
    }

    /// Tries the ring of the channel that the entry row stands at, some of its steps further.
    pub(crate) fn try_step(&mut self, steps: f64) {
        let channel = self.entry.channel;
        if let Some(why) = self.session.as_ref().and_then(|session| session.told().err()) {
            self.say(why);
            return;
        }
        let known = self.session.as_ref().is_some_and(|s| !s.picture().handles.is_empty());
        if !known {
            self.say("Nothing to try yet: both circles have to be known first.");
            return;
        }
        self.try_ring(channel, |session, place| {
            Some(place.turned(steps * session.ring_step_deg()))
        });
        let Some(session) = &self.session else { return };
        if let Some(setting) = &session.picture().setting {
            let at = setting.ring_deg[channel].map_or_else(
                || words::direction(setting.points[channel]),
                |deg| words::ring(deg, session.ring_step_deg()),
            );
            let eyes = words::misalignment(setting.misalignment);
            self.say(format!("Trying {channel} at {at}: {eyes}."));
        }
    }

    /// Tries a pair of ring angles, degrees, each to the ring's step.
    pub(crate) fn try_rings(&mut self, rings: PerChannel<f64>) {
        for channel in Channel::BOTH {
            self.try_ring(channel, |session, _| {
                let fits = session.picture().solution.as_ref()?.both_fits()?;
                let circle = &fits[channel].circle;
                let towards = circle.at_ring(rings[channel])?;
                Some(RingPlace::nearest(circle, towards, session.ring_step_deg()))
            });
        }
    }

    fn try_ring(
        &mut self,
        channel: Channel,
        put: impl FnOnce(&crate::bench::session::OpenSession, RingPlace) -> Option<RingPlace>,
    ) {
        let (unit, selected) = (self.entry.unit, self.selected);
        let Some(session) = &mut self.session else { return };
        let begun = session.picture().begun(session.aside(), session.ring_step_deg());
        let Some(mut trial) = begun else { return };
        let Some(place) = put(session, trial[channel]) else { return };
        trial[channel] = place;
        session.try_out(Some(trial), unit, selected);
    }

    /// Ends a trial; false when nothing was tried.
    pub(crate) fn end_trial(&mut self) -> bool {
        let (unit, selected) = (self.entry.unit, self.selected);
        let Some(session) = &mut self.session else { return false };
        let tried = session.aside().trial.is_some();
        if tried {
            session.try_out(None, unit, selected);
        }
        tried
    }

    /// Puts the setting on screen on record: the recommended one at once, another with a reason.
    pub(crate) fn choose_setting(&mut self) {
        let Some(session) = &self.session else { return };
        let Some(setting) = session.picture().setting else {
            self.say("There is no setting to choose yet: log both channels.");
            return;
        };
        if setting.kind == SettingKind::ByHand {
            let rings = Channel::BOTH.map(|channel| {
                let at = setting.ring_deg[channel].map_or_else(
                    || words::direction(setting.points[channel]),
                    |deg| words::ring(deg, session.ring_step_deg()),
                );
                format!("{channel} at {at}")
            });
            let words = format!(
                "{}: {}.",
                words::capital(&rings.join(", ")),
                words::misalignment(setting.misalignment)
            );
            let sheet = ChooseSheet { words, reason: String::new(), refused: None };
            self.bring(Sheet::Choose(sheet));
        } else {
            self.record_setting(&setting, String::new());
        }
    }

    pub(crate) fn choose_now(&mut self) {
        let Sheet::Choose(sheet) = &mut self.front else { return };
        let reason = sheet.reason.trim().to_owned();
        if reason.is_empty() {
            sheet.refused = Some("Say why: this is not the recommended setting.".to_owned());
            return;
        }
        let setting = self.session.as_ref().and_then(|session| session.picture().setting);
        let Some(setting) = setting else { return };
        self.record_setting(&setting, reason);
    }

    fn record_setting(&mut self, setting: &Setting, reason: String) {
        let Some(session) = &self.session else { return };
        let Some(round) = session.state().round().map(|round| round.id) else { return };
        let swing = session.state().problem(round).and_then(|problem| problem.swing);
        let window = session.state().window().map(|window| window.limits);
        let worst = window.zip(swing).map(|(window, range)| {
            solver::swing::worst_over(setting.points, &window, range).used.worst()
        });
        let xy = |at: Direction| [at.x_arcmin, at.y_arcmin];
        let chosen = SettingChosen {
            round,
            source: match setting.kind {
                SettingKind::Crossing => SettingSource::NearestCrossing,
                SettingKind::Compromise => SettingSource::Compromise,
                SettingKind::ByHand => SettingSource::ByHand,
            },
            ring_deg: setting.ring_deg,
            points_arcmin: PerChannel::from_fn(|channel| xy(setting.points[channel])),
            misalignment_arcmin: [setting.misalignment.x_arcmin, setting.misalignment.y_arcmin],
            boresight_arcmin: setting.boresight_arcmin,
            window_use: setting.window_use.map(|used| used.worst()),
            worst_window_use: worst,
            reason,
        };
        match self.append(Body::SettingChosen(chosen)) {
            Ok(_) => {
                self.put_away();
                self.say("Setting chosen: it is on record, and the targets follow it.");
            }
            Err(why) => {
                if let Sheet::Choose(sheet) = &mut self.front {
                    sheet.refused = Some(why.to_string());
                }
            }
        }
    }

    /// The plot as it stands in the window: what is in view, with the measurement on it.
    fn picture_scene(&self) -> Option<Scene> {
        let session = self.session.as_ref()?;
        let mut scene = Scene::clone(&session.picture().scene);
        scene.caption = paper::caption(session.state());
        scene.extent = self.view.shown().unwrap_or(scene.extent);
        if let Some(over) = self.view.measured_scene() {
            scene.lay_over(&over);
        }
        Some(scene)
    }

    pub(crate) fn copy_svg(&mut self) {
        let Some(scene) = self.picture_scene() else { return };
        self.clip = Some(Clip::Text(paper::svg(&scene, [PLOT_PT; 2])));
        self.say("The plot is on the clipboard as SVG.");
    }

    pub(crate) fn copy_png(&mut self) {
        let Some(scene) = self.picture_scene() else { return };
        let pixels = paper::pixels(&scene, [PLOT_PT; 2], PIXELS_PER_PT);
        self.clip = Some(Clip::Picture(pixels));
        self.say("The plot is on the clipboard as a picture.");
    }

    /// Puts on the clipboard what was copied.
    pub(crate) fn put_on_clipboard(&mut self, ctx: &egui::Context) {
        match self.clip.take() {
            None => {}
            Some(Clip::Text(text)) => ctx.copy_text(text),
            Some(Clip::Picture(pixels)) => {
                let size = [usize::from(pixels.width), usize::from(pixels.height)];
                ctx.copy_image(egui::ColorImage::from_rgba_unmultiplied(size, &pixels.rgba));
            }
        }
    }

    pub(crate) fn show_picture_sheet(&mut self) {
        let Some(session) = &self.session else { return };
        let path = session.file().path();
        let name = format!("{} field.svg", words_of(path));
        self.bring(Sheet::SavePicture(PathSheet::of(path, &path.with_file_name(name))));
    }

    pub(crate) fn save_picture(&mut self, path: &Path) {
        match self.picture_to(path) {
            Ok(()) => {
                self.put_away();
                self.say(format!("The plot is in {}", record::shown::path(path)));
            }
            Err(why) => {
                if let Sheet::SavePicture(sheet) = &mut self.front {
                    sheet.refused = Some(why.to_string());
                }
            }
        }
    }

    fn picture_to(&self, path: &Path) -> Result<(), NoPlotFile> {
        let scene = match self.sheet_scene() {
            Some(scene) => scene?,
            None => self.picture_scene().ok_or(Refusal::NoSession)?,
        };
        let ending = path.extension().and_then(|ending| ending.to_str()).unwrap_or_default();
        let bytes = match ending.to_ascii_lowercase().as_str() {
            "svg" => paper::svg(&scene, [PLOT_PT; 2]).into_bytes(),
            "png" => paper::png(&scene, [PLOT_PT; 2], PIXELS_PER_PT)?,
            _ => return Err(NoPlotFile::Ending),
        };
        Ok(write_picture(path, &bytes)?)
    }
}
