//! What a worker sees in a frame: crosshairs through the one camera map that fits, or why not.

use std::path::PathBuf;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::time::{Duration, Instant};

use record::Camera;

use crate::bench::camera::looking::{Background, NoLook, cameras_of, many};
use crate::frames::frame::VideoFrame;
use crate::frames::latest::Latest;
use crate::jobs::WakeWindow;
use crate::pictures::file::{self, Grey};
use crate::pictures::refusal::{NoGrey, NotSeen};
use crate::pictures::{Placed, Seeing};
use crate::widgets::chart::{GreyImage, range};

/// No more frames are looked at than one in this time: an eye sees no more, and a window drawn more often is work for
/// nothing.
const EACH: Duration = Duration::from_millis(50);

/// A frame that is older is never shown as what is seen now.
pub(crate) const STALE: Duration = Duration::from_millis(500);

/// How often is looked whether the shop's camera map is still the same.
const MAPS_EACH: Duration = Duration::from_millis(300);

/// Less than this from dark to bright, as a share of a full pixel, is not drawn farther apart: noise alone would look
/// like a picture.
const LEAST_SPAN: f32 = 0.2;

/// Through what frames are read.
#[derive(Clone, Debug)]
pub(crate) struct Eyes {
    /// The station on the bench.
    pub(crate) station: String,
    pub(crate) maps: Maps,
}

/// Which camera maps there are.
#[derive(Clone, Debug)]
pub(crate) enum Maps {
    /// Those of a shop.
    Shop {
        /// Its folder.
        folder: PathBuf,
        /// The one in force in the session.
        in_force: Option<Camera>,
    },
    /// This one.
    Only(Camera),
}

/// A frame that was looked at.
pub(crate) struct LiveFrame {
    pub(crate) frame: Arc<VideoFrame>,
    pub(crate) seeing: Arc<Seeing>,
    /// What was subtracted.
    pub(crate) background: Option<Background>,
    /// One or two crosshairs, the strongest first, or why there is none.
    pub(crate) found: Result<Vec<Placed>, NoLook>,
    /// It made ready for the screen.
    pub(crate) image: GreyImage,
}

/// What is subtracted from the frames that follow. Clones are the same.
#[derive(Clone, Debug, Default)]
pub(crate) struct LampOff(Arc<Mutex<Option<Background>>>);

impl LampOff {
    fn held(&self) -> MutexGuard<'_, Option<Background>> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// This from now on.
    pub(crate) fn set(&self, background: Option<Background>) {
        *self.held() = background;
    }

    fn get(&self) -> Option<Background> {
        self.held().clone()
    }
}

/// A background, and its grey values or why there are none.
type Under = Option<(Background, Result<Grey, Arc<NoGrey>>)>;

impl Eyes {
    /// Looks at the newest frame time and again, until there are no more. A map that is changed meanwhile is taken up;
    /// while there is none, or several, frames are shown and not read.
    ///
    /// # Errors
    /// [`NoLook`] where no frame at all can be read: no camera map, another size, several maps.
    pub(crate) fn watch(
        self,
        frames: &Latest<VideoFrame>,
        lamp_off: &LampOff,
        seen: &Latest<LiveFrame>,
        wake: &WakeWindow,
    ) -> Result<(), NoLook> {
        // Said before the first frame comes.
        self.cameras()?;
        let mut through: Option<Through> = None;
        let mut under: Under = None;
        loop {
            let Some(frame) = frames.wait() else { return Ok(()) };
            let begun = Instant::now();
            let now = self.through(through.take(), frame.size)?;
            under = followed(under, lamp_off.get(), &now.seeing);
            seen.put(looked_at(frame, &now, &under));
            through = Some(now);
            wake();
            std::thread::sleep(EACH.saturating_sub(begun.elapsed()));
        }
    }
}

/// The map that frames are read through.
struct Through {
    seeing: Arc<Seeing>,
    /// When it was looked at last.
    looked: Instant,
    /// Why it is in force no more, where it is not.
    gone: Option<Arc<NoLook>>,
}

impl Eyes {
    /// The map for frames of a size, looked at again once in a while.
    fn through(&self, before: Option<Through>, size: [usize; 2]) -> Result<Through, NoLook> {
        let looked = Instant::now();
        let camera = || {
            let cameras = self.cameras()?;
            fitting(&cameras, &self.station, size).cloned()
        };
        let seeing = |camera: Camera| -> Result<Arc<Seeing>, NoLook> {
            Ok(Arc::new(Seeing::of(camera).map_err(NotSeen::from)?))
        };
        let Some(before) = before else {
            return Ok(Through { seeing: seeing(camera()?)?, looked, gone: None });
        };
        if before.looked.elapsed() < MAPS_EACH {
            return Ok(before);
        }
        let now = camera().and_then(|camera| {
            let same = camera == before.seeing.camera;
            if same { Ok(before.seeing.clone()) } else { seeing(camera) }
        });
        Ok(match now {
            Ok(seeing) => Through { seeing, looked, gone: None },
            Err(why) => Through { seeing: before.seeing, looked, gone: Some(Arc::new(why)) },
        })
    }

    fn cameras(&self) -> Result<Vec<Camera>, NoLook> {
        match &self.maps {
            Maps::Shop { folder, in_force } => cameras_of(folder, &self.station, in_force.as_ref()),
            Maps::Only(camera) => Ok(vec![camera.clone()]),
        }
    }
}

/// The one camera map for frames of a size.
fn fitting<'a>(
    cameras: &'a [Camera],
    station: &str,
    size: [usize; 2],
) -> Result<&'a Camera, NoLook> {
    let size_px = size.map(|pixels| pixels as u64);
    let fitting: Vec<&Camera> = cameras.iter().filter(|camera| camera.size_px == size_px).collect();
    match (&fitting[..], cameras.first()) {
        ([one], _) => Ok(one),
        ([], Some(first)) => {
            let found = size.map(|pixels| u32::try_from(pixels).unwrap_or(u32::MAX));
            Err(NotSeen::from(NoGrey::OtherSize { found, wanted: first.size_px }).into())
        }
        ([], None) => Err(NoLook::NoCamera { station: station.to_owned() }),
        _ => Err(many(fitting.iter().copied(), station)),
    }
}

/// What is to be subtracted, unpacked when it changes.
fn followed(under: Under, wanted: Option<Background>, seeing: &Seeing) -> Under {
    let wanted = wanted?;
    match under {
        Some((known, grey)) if Arc::ptr_eq(&known.bytes, &wanted.bytes) => Some((known, grey)),
        _ => {
            let grey = file::from_bytes(&wanted.bytes, seeing.camera.size_px);
            Some((wanted, grey.map_err(Arc::new)))
        }
    }
}

fn looked_at(frame: VideoFrame, through: &Through, under: &Under) -> LiveFrame {
    let grey = frame.grey();
    let seeing = through.seeing.clone();
    let found = match (&through.gone, under) {
        (Some(why), _) => Err(NoLook::NoMapAnyMore(why.clone())),
        (None, Some((_, Err(why)))) => Err(NoLook::Background(why.clone())),
        (None, Some((_, Ok(under)))) => read(&grey, &seeing, Some(under)),
        (None, None) => read(&grey, &seeing, None),
    };
    let background = under.as_ref().map(|(background, _)| background.clone());
    let [low, high] = range(&grey.pixels);
    let white = high.max(low + LEAST_SPAN * grey.full_scale);
    let image = GreyImage::between(&grey.pixels, frame.size, [low, white]);
    LiveFrame { frame: Arc::new(frame), seeing, background, found, image }
}

fn read(grey: &Grey, seeing: &Seeing, under: Option<&Grey>) -> Result<Vec<Placed>, NoLook> {
    let found = seeing.read(grey, under).map_err(NotSeen::from)?;
    Ok(found.map_err(NotSeen::from)?)
}
