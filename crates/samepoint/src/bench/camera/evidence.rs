//! The facts by which a reading names the picture it rests on.

use std::path::Path;

use record::fact::{Body, Camera, Frame, FrameRead, NotedCrosshair, Reading, Seen, Seq};
use record::review::Beside;
use record::review::read_again::rests_already;
use record::{Error, FIRST_FORMAT, Shop};

use super::filling::Filled;
use super::looking::PictureRead as Looked;
use crate::app::App;
use crate::shell::refusals::Refusal;

/// What is to be noted of a reading's picture.
pub(crate) struct Evidence {
    /// The camera map, where it is not in force yet.
    pub(crate) camera: Option<Camera>,
    sha256: String,
    background_sha256: Option<String>,
    crosshair: NotedCrosshair,
}

/// Why a reading's picture is not kept; the number can be logged without it.
#[derive(Debug, thiserror::Error)]
pub(crate) enum PictureNotKept {
    /// The file keeps its format.
    #[error(
        "The picture is not kept: this session’s file is of format 1, which has no words for pictures. Enter logs \
         the number without it."
    )]
    FirstFormat,
    /// Nowhere to keep it.
    #[error(
        "The picture is not kept: the session lies in no shop that could keep it. Enter logs the number without it."
    )]
    NoShop,
    /// What the shop says.
    #[error("The picture is not kept: {0}. Enter logs the number without it.")]
    Record(Error),
    /// A frame that makes no file.
    #[error("The camera’s frame cannot be kept as a picture: {0}. Enter logs its number alone.")]
    NoFile(#[from] image::ImageError),
    /// It stands in the row of a frame that was read for another channel or in another unit.
    #[error(
        "What stands in the row was read for another channel or in another unit: wait until the camera has read it \
         anew."
    )]
    OfAnother,
    /// The file does not take one of the facts.
    #[error(transparent)]
    NotAdded(#[from] Refusal),
    /// Another reading has it.
    #[error(
        "The picture is not kept: reading {0} rests on this picture already, and one picture is not two readings. \
         Enter logs the number without it."
    )]
    Used(Seq),
}

impl PictureNotKept {
    /// Whether another reading has the picture.
    pub(crate) const fn is_used(&self) -> bool {
        matches!(self, Self::Used(_))
    }
}

impl Evidence {
    /// The fact of it, once the reading has its number.
    pub(crate) fn frame(self, reading: Seq) -> Body {
        Body::Frame(self.as_frame(reading))
    }

    fn as_frame(&self, reading: Seq) -> Frame {
        Frame {
            reading,
            picture_sha256: self.sha256.clone(),
            background_sha256: self.background_sha256.clone(),
            read: FrameRead::Camera,
            crosshairs: vec![self.crosshair],
        }
    }
}

impl App {
    /// What Enter does where no picture of a reading is ever kept, said before it is pressed.
    pub(super) fn never_kept(&self) -> Option<&'static str> {
        let session = self.session.as_ref()?;
        if session.state().format() <= FIRST_FORMAT {
            return Some(
                "Enter twice logs the number alone: a session of format 1 has no words for its picture.",
            );
        }
        Beside::folder_of(session.file().path())
            .is_none()
            .then_some("Enter twice logs the number alone: no shop is there to keep its picture.")
    }

    /// Keeps the picture that a reading rests on, if what is typed is what was read in it; `None` where it rests
    /// on none. What is typed over is the hand's own reading, and the picture is let go of.
    ///
    /// # Errors
    /// Why it cannot be kept, in a sentence; the picture is let go of, so that the number can be logged alone.
    fn evidence_for(&mut self, reading: &Reading) -> Result<Option<Evidence>, PictureNotKept> {
        let (Some(filled), Some(session)) = (&self.camera.filled, &self.session) else {
            return Ok(None);
        };
        if self.is_of_another(filled) {
            return Err(PictureNotKept::OfAnother);
        }
        let rests = matches!(&reading.seen, Seen::Direction(read) if filled.is(read));
        let place = filled.place;
        let Some(seen) = self.camera.seen.as_ref().filter(|_| rests) else { return Ok(None) };
        let Some(placed) = seen.crosshairs.get(place).copied() else { return Ok(None) };
        let kept = if session.state().format() <= FIRST_FORMAT {
            Err(PictureNotKept::FirstFormat)
        } else {
            match Beside::folder_of(session.file().path()) {
                None => Err(PictureNotKept::NoShop),
                Some(folder) => kept_in(&folder, seen),
            }
        };
        let evidence = kept.and_then(|(sha256, background_sha256)| {
            let evidence = Evidence {
                camera: (session.state().camera() != Some(&seen.camera))
                    .then(|| seen.camera.clone()),
                sha256,
                background_sha256,
                crosshair: NotedCrosshair {
                    px: placed.crosshair.px,
                    covariance_px2: Some(placed.crosshair.covariance_px2),
                },
            };
            // No reading has this number yet.
            let frame = evidence.as_frame(Seq::MAX);
            match rests_already(session.state(), &frame, reading, Seq::MAX) {
                Some(by) => Err(PictureNotKept::Used(by)),
                None => Ok(evidence),
            }
        });
        if evidence.is_err() {
            self.let_go_of_picture();
        }
        evidence.map(Some)
    }

    /// Whether what a frame put in the row was read for another channel or in another unit.
    pub(super) fn is_of_another(&self, filled: &Filled) -> bool {
        self.camera.live.is_followed(&self.entry, Some(filled)) && !filled.is_for(&self.entry)
    }

    /// Logs a reading, and the picture it rests on, if it rests on one.
    ///
    /// # Errors
    /// Why it is not logged.
    pub(crate) fn log_with_picture(&mut self, reading: &Reading) -> Result<Seq, PictureNotKept> {
        if self.practice_unit().is_some() {
            return self.log_of_invented(reading);
        }
        let evidence = self.evidence_for(reading)?;
        if let Some(camera) = evidence.as_ref().and_then(|evidence| evidence.camera.clone()) {
            self.append(Body::Camera(camera))?;
        }
        let seq = self.append(Body::Reading(reading.clone()))?;
        if let Some(evidence) = evidence
            && let Err(why) = self.append(evidence.frame(seq))
        {
            self.shell.warn(format!("Reading {seq} does not name its picture: {why}"));
        }
        Ok(seq)
    }

    /// Forgets the picture read last.
    pub(crate) fn let_go_of_picture(&mut self) {
        self.camera.seen = None;
        self.camera.filled = None;
    }
}

/// Keeps a picture and what was subtracted from it in a shop; their SHA-256.
fn kept_in(folder: &Path, seen: &Looked) -> Result<(String, Option<String>), PictureNotKept> {
    let bytes = seen.pixels.bytes()?;
    let shop = Shop::load(folder).map_err(PictureNotKept::Record)?;
    let background = seen.background.as_ref();
    let under = background.map(|under| shop.keep_frame(&under.bytes, &under.path)).transpose();
    let under = under.map_err(PictureNotKept::Record)?;
    let kept = shop.keep_frame(&bytes, &seen.path).map_err(PictureNotKept::Record)?;
    Ok((kept.hash, under.map(|under| under.hash)))
}
