//! From a picture's file to its crosshairs, through the one camera map of the shop that it can be of.

use std::borrow::Cow;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use record::{Camera, Shop};
use thiserror::Error;

use crate::frames::frame::VideoFrame;
use crate::pictures::file;
use crate::pictures::refusal::{NoGrey, NotSeen};
use crate::pictures::{Placed, Seeing};

/// What is to be read, and what it may be read through.
#[derive(Clone, Debug)]
pub(crate) struct PictureToRead {
    pub(crate) path: PathBuf,
    /// The shop whose camera maps there are.
    pub(crate) shop: PathBuf,
    /// The station on the bench.
    pub(crate) station: String,
    /// The camera map in force in the session.
    pub(crate) in_force: Option<Camera>,
    /// What is subtracted.
    pub(crate) background: Option<Background>,
}

/// A picture with the lamp off.
#[derive(Clone, Debug)]
pub(crate) struct Background {
    pub(crate) path: PathBuf,
    /// Its bytes as they came.
    pub(crate) bytes: Arc<[u8]>,
}

/// What a picture that was read is kept as.
#[derive(Clone, Debug)]
pub(crate) enum KeptPixels {
    /// The bytes of its file as they came.
    File(Vec<u8>),
    /// A frame of the camera that runs.
    Frame(Arc<VideoFrame>),
}

impl KeptPixels {
    /// The bytes of its file; a frame becomes one.
    ///
    /// # Errors
    /// What the encoder says.
    pub(crate) fn bytes(&self) -> Result<Cow<'_, [u8]>, image::ImageError> {
        match self {
            Self::File(bytes) => Ok(Cow::Borrowed(bytes)),
            Self::Frame(frame) => frame.png().map(Cow::Owned),
        }
    }
}

/// A picture that was read.
#[derive(Clone, Debug)]
pub(crate) struct PictureRead {
    /// Its file, or what a frame would be called as one.
    pub(crate) path: PathBuf,
    pub(crate) pixels: KeptPixels,
    /// What was subtracted.
    pub(crate) background: Option<Background>,
    pub(crate) camera: Camera,
    /// One or two, the strongest first.
    pub(crate) crosshairs: Vec<Placed>,
}

/// Why a picture was not read.
#[derive(Debug, Error)]
pub(crate) enum NoLook {
    /// The shop cannot be read.
    #[error("the shop’s camera maps cannot be read: {0}")]
    Shop(record::Error),
    /// There is no map.
    #[error(
        "the shop has no camera map of station “{station}”; keep one in its folder `cameras`, then read the \
         picture again"
    )]
    NoCamera {
        /// The station.
        station: String,
    },
    /// More than one map fits.
    #[error(
        "{} are camera maps of station “{station}” for pictures of this size, and which of them took it \
         cannot be told; leave one in the shop’s folder `cameras`",
        names.join(" and ")
    )]
    ManyCameras {
        /// Their names.
        names: Vec<String>,
        /// The station.
        station: String,
    },
    /// What is to be subtracted.
    #[error("the picture with the lamp off cannot be subtracted: {0}")]
    Background(Arc<NoGrey>),
    /// What frames were read through is there no more.
    #[error("{0}")]
    NoMapAnyMore(Arc<NoLook>),
    /// The picture itself.
    #[error(transparent)]
    NotSeen(#[from] NotSeen),
}

impl NoLook {
    /// Whether frames are not read because their map is gone.
    pub(crate) const fn is_without_map(&self) -> bool {
        matches!(self, Self::NoMapAnyMore(_))
    }
}

/// The camera maps of a station that a shop has, one at least: the one in force in the session alone, where it is
/// among them.
pub(crate) fn cameras_of(
    shop: &Path,
    station: &str,
    in_force: Option<&Camera>,
) -> Result<Vec<Camera>, NoLook> {
    let kept = Shop::cameras_in(shop).map_err(NoLook::Shop)?.into_iter().map(|kept| kept.value);
    let mut cameras: Vec<Camera> = kept.filter(|camera| camera.station == station).collect();
    // A name that the session knows already goes before another of the same size.
    if let Some(known) = in_force
        && let Some(place) = cameras.iter().position(|camera| camera.name == known.name)
    {
        cameras = vec![cameras.swap_remove(place)];
    }
    if cameras.is_empty() {
        return Err(NoLook::NoCamera { station: station.to_owned() });
    }
    Ok(cameras)
}

/// That several camera maps fit.
pub(crate) fn many<'a>(cameras: impl Iterator<Item = &'a Camera>, station: &str) -> NoLook {
    let names = cameras.map(|camera| format!("“{}”", camera.name)).collect();
    NoLook::ManyCameras { names, station: station.to_owned() }
}

impl PictureToRead {
    /// Reads it.
    pub(crate) fn seen(self) -> Result<PictureRead, NoLook> {
        let Self { path, shop, station, in_force, background } = self;
        let cameras = cameras_of(&shop, &station, in_force.as_ref())?;
        let Some(first) = cameras.first().cloned() else {
            return Err(NoLook::NoCamera { station });
        };
        let bytes = file::bytes_of(&path).map_err(NotSeen::from)?;
        let mut fitting = Vec::new();
        for camera in cameras {
            match file::from_bytes(&bytes, camera.size_px) {
                Ok(grey) => fitting.push((camera, grey)),
                Err(NoGrey::OtherSize { .. }) => {}
                Err(why) => return Err(NotSeen::from(why).into()),
            }
        }
        let (camera, grey) = match fitting.len() {
            1 => fitting.swap_remove(0),
            0 => {
                // The size is said by whoever refuses it.
                let why = file::from_bytes(&bytes, first.size_px).err();
                let why = why.unwrap_or(NoGrey::NoPicture);
                return Err(NotSeen::from(why).into());
            }
            _ => {
                return Err(many(fitting.iter().map(|(camera, _)| camera), &station));
            }
        };
        let seeing = Seeing::of(camera).map_err(NotSeen::from)?;
        let size_px = seeing.camera.size_px;
        let under = background.as_ref().map(|under| file::from_bytes(&under.bytes, size_px));
        let under = under.transpose().map_err(|why| NoLook::Background(Arc::new(why)))?;
        let found = seeing.read(&grey, under.as_ref()).map_err(NotSeen::from)?;
        let crosshairs = found.map_err(NotSeen::from)?;
        let pixels = KeptPixels::File(bytes);
        Ok(PictureRead { path, pixels, background, camera: seeing.camera, crosshairs })
    }
}
