//! A camera ready to read its pictures: what it sees, in pixels and in divisions.

use reader::camera::InDivisions;
use reader::{CameraMap, Crosshair, Looking, Mark, Picture};
use record::review::read_again::{InPicture, NotRead, ReadsPictures};
use record::{Camera, Lines, StationMap};

use super::file::{self, Grey};
use super::refusal::{NotPlaced, NotSeen};

/// A camera and its map.
#[derive(Clone, Debug)]
pub(crate) struct Seeing {
    pub(crate) camera: Camera,
    pub(crate) map: CameraMap,
}

/// A crosshair and its place in divisions.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Placed {
    pub(crate) crosshair: Crosshair,
    pub(crate) there: InDivisions,
}

impl Seeing {
    /// Fits the camera's map to its marks.
    pub(crate) fn of(camera: Camera) -> Result<Self, reader::MapError> {
        let mark =
            |mark: &record::fact::PictureMark| Mark { px: mark.px, divisions: mark.divisions };
        let marks: Vec<Mark> = camera.marks.iter().map(mark).collect();
        let map = CameraMap::fit(camera.size_px, &marks)?;
        Ok(Self { camera, map })
    }

    /// A picture of the camera's size.
    pub(crate) fn picture<'a>(&self, grey: &'a Grey) -> Result<Picture<'a>, reader::PictureError> {
        let size = self.camera.size_px.map(|pixels| usize::try_from(pixels).unwrap_or(usize::MAX));
        Picture::new(&grey.pixels, size, Some(grey.full_scale))
    }

    /// What is in a picture: one or two crosshairs, the strongest first.
    pub(crate) fn read(
        &self,
        grey: &Grey,
        background: Option<&Grey>,
    ) -> Result<Result<Vec<Placed>, NotPlaced>, reader::PictureError> {
        let shown = self.picture(grey)?;
        let under = background.map(|under| self.picture(under)).transpose()?;
        let radial = self.map.radial();
        let looking = Looking {
            dark: self.camera.lines == Lines::Dark,
            radial: (radial.k != 0.0).then_some(radial),
        };
        let found = reader::read(&shown, under.as_ref(), &looking)?;
        Ok(found.map_err(NotPlaced::Refused).and_then(|all| {
            all.into_iter()
                .map(|crosshair| self.placed(crosshair).ok_or(NotPlaced::Beyond))
                .collect()
        }))
    }

    /// What is in a picture file's bytes.
    pub(crate) fn read_bytes(
        &self,
        picture: &[u8],
        background: Option<&[u8]>,
    ) -> Result<Vec<Placed>, NotSeen> {
        let grey_of = |bytes: &[u8]| file::from_bytes(bytes, self.camera.size_px);
        let grey = grey_of(picture)?;
        let under = background.map(grey_of).transpose()?;
        Ok(self.read(&grey, under.as_ref())??)
    }

    fn placed(&self, crosshair: Crosshair) -> Option<Placed> {
        let there = self.map.crosshair_in_divisions(crosshair.px, crosshair.covariance_px2)?;
        Some(Placed { crosshair, there })
    }
}

impl Placed {
    /// Its direction through a station's map and its covariance xx, xy, yy, arcminutes.
    pub(crate) fn arcmin(&self, map: &StationMap) -> ([f64; 2], [f64; 3]) {
        let at = map.direction_from_divisions(self.there.divisions);
        let [one, other] = [[1.0, 0.0], [0.0, 1.0]].map(|step| map.step_from_divisions(step));
        let [xx, xy, yy] = self.there.covariance_divisions2;
        // M C Mᵀ, by the columns of M.
        let mixed = |a: [f64; 2], b: [f64; 2]| {
            a[0] * b[0] * xx + (a[0] * b[1] + a[1] * b[0]) * xy + a[1] * b[1] * yy
        };
        let rows = [[one.x_arcmin, other.x_arcmin], [one.y_arcmin, other.y_arcmin]];
        let covariance =
            [mixed(rows[0], rows[0]), mixed(rows[0], rows[1]), mixed(rows[1], rows[1])];
        ([at.x_arcmin, at.y_arcmin], covariance)
    }
}

/// Reads pictures that a session rests on again, with the reader and the settings they were read with.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct PictureReader;

impl ReadsPictures for PictureReader {
    fn read(
        &self,
        camera: &Camera,
        picture: &[u8],
        background: Option<&[u8]>,
    ) -> Result<Vec<InPicture>, NotRead> {
        let seen = Seeing::of(camera.clone())
            .map_err(NotSeen::from)
            .and_then(|seeing| seeing.read_bytes(picture, background));
        let all = seen.map_err(|why| NotRead(why.to_string()))?;
        Ok(all
            .into_iter()
            .map(|one| in_picture(one.crosshair.px, one.crosshair.covariance_px2, one.there))
            .collect())
    }

    fn place(
        &self,
        camera: &Camera,
        px: [f64; 2],
        covariance_px2: [f64; 3],
    ) -> Result<InPicture, NotRead> {
        let seeing = Seeing::of(camera.clone()).map_err(NotSeen::from);
        let there = seeing.and_then(|seeing| {
            let there = seeing.map.crosshair_in_divisions(px, covariance_px2);
            there.ok_or(NotSeen::NotPlaced(NotPlaced::Beyond))
        });
        let there = there.map_err(|why| NotRead(why.to_string()))?;
        Ok(in_picture(px, covariance_px2, there))
    }
}

const fn in_picture(px: [f64; 2], covariance_px2: [f64; 3], there: InDivisions) -> InPicture {
    InPicture {
        px,
        covariance_px2,
        divisions: there.divisions,
        covariance_divisions2: there.covariance_divisions2,
    }
}
