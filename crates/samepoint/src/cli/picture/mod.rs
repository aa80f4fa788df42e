//! `samepoint picture`: crosshairs in pictures of a station, in divisions and directions.
//!
//! - `file`: from a file to grey values; `refusal`: why not; `told`: the answer for a person; `json`: for a program

mod file;
mod json;
pub(super) mod refusal;
mod told;

use std::path::Path;

use reader::camera::InDivisions;
use reader::{CameraMap, Crosshair, Looking, Mark, Picture};
use record::{Camera, Channel, Lines, PerChannel, Shop, Station, StationMap};

use super::refusal::{Refusal, RefusalKind};
use super::{Outcome, arguments, figures};
use refusal::NotThrough;

/// Some pictures hold no crosshair that can be read.
const SOME_NOT: u8 = 1;

/// What is asked of every picture.
struct Asked {
    camera: Camera,
    map: CameraMap,
    station_map: Option<StationMap>,
}

/// What a picture came to.
struct Read {
    file: String,
    found: Result<Vec<Placed>, NotPlaced>,
}

/// Why a picture gives no crosshair.
#[derive(Debug, thiserror::Error)]
enum NotPlaced {
    #[error(transparent)]
    Refused(#[from] reader::Refusal),
    #[error("the crosshair lies where the camera map has no divisions")]
    Beyond,
}

/// A crosshair and where it points.
struct Placed {
    crosshair: Crosshair,
    there: InDivisions,
    /// Direction and its covariance xx, xy, yy, arcminutes.
    arcmin: Option<([f64; 2], [f64; 3])>,
}

/// Reads every picture and says what is in it.
pub(super) fn run(asked: &arguments::Picture) -> Result<Outcome, Refusal> {
    let (known, read) = read_all(asked)?;
    let code = if read.iter().all(|one| one.found.is_ok()) { 0 } else { SOME_NOT };
    let text = if asked.json { json::document(&known, &read)? } else { told::page(&known, &read) };
    Ok(Outcome::Answered { text, code })
}

fn read_all(asked: &arguments::Picture) -> Result<(Asked, Vec<Read>), Refusal> {
    let camera = Shop::read_camera(&asked.camera)
        .map_err(|why| RefusalKind::Record(why).of(&asked.camera))?;
    let marks: Vec<Mark> =
        camera.marks.iter().map(|mark| Mark { px: mark.px, divisions: mark.divisions }).collect();
    let map = CameraMap::fit(camera.size_px, &marks)
        .map_err(|why| RefusalKind::Camera(why).of(&asked.camera))?;
    let station_map = match &asked.station {
        None => None,
        Some(path) => {
            let station =
                Shop::read_station(path).map_err(|why| RefusalKind::Record(why).of(path))?;
            let map = through(&station, &camera, asked.channel);
            Some(map.map_err(|why| RefusalKind::Through(why).of(path))?)
        }
    };
    let grey_of = |path: &Path| {
        file::grey(path, camera.size_px).map_err(|why| RefusalKind::Picture(why).of(path))
    };
    let background = asked.background.as_deref().map(grey_of).transpose()?;
    let size = camera.size_px.map(|pixels| usize::try_from(pixels).unwrap_or(usize::MAX));
    if let (Some(path), Some(grey)) = (&asked.background, &background) {
        Picture::new(&grey.pixels, size, Some(grey.full_scale))
            .map_err(|why| RefusalKind::Reader(why).of(path))?;
    }
    let looking = Looking {
        dark: camera.lines == Lines::Dark,
        radial: (map.radial().k != 0.0).then(|| map.radial()),
    };
    let size_px = camera.size_px;
    let known = Asked { camera, map, station_map };
    let mut read = Vec::new();
    for path in &asked.pictures {
        let grey = file::grey(path, size_px).map_err(|why| RefusalKind::Picture(why).of(path))?;
        let shown = Picture::new(&grey.pixels, size, Some(grey.full_scale))
            .map_err(|why| RefusalKind::Reader(why).of(path))?;
        let under = background
            .as_ref()
            .and_then(|under| Picture::new(&under.pixels, size, Some(under.full_scale)).ok());
        let found = reader::read(&shown, under.as_ref(), &looking)
            .map_err(|why| RefusalKind::Reader(why).of(path))?;
        let found = found.map_err(NotPlaced::Refused).and_then(|all| {
            all.into_iter()
                .map(|crosshair| known.placed(crosshair).ok_or(NotPlaced::Beyond))
                .collect()
        });
        read.push(Read { file: figures::path(path), found });
    }
    Ok((known, read))
}

/// The station's map for what the camera sees.
fn through(
    station: &Station,
    camera: &Camera,
    channel: Option<arguments::ChannelArgument>,
) -> Result<StationMap, NotThrough> {
    if station.name != camera.station {
        return Err(NotThrough::OtherStation {
            here: station.name.clone(),
            camera: camera.station.clone(),
        });
    }
    let PerChannel { left, right } = &station.map;
    match channel.map(arguments::ChannelArgument::channel) {
        Some(Channel::Left) => Ok(*left),
        Some(Channel::Right) => Ok(*right),
        None if left == right => Ok(*left),
        None => Err(NotThrough::WhichChannel),
    }
}

impl Asked {
    fn placed(&self, crosshair: Crosshair) -> Option<Placed> {
        let there = self.map.crosshair_in_divisions(crosshair.px, crosshair.covariance_px2)?;
        let arcmin = self.station_map.map(|map| {
            let at = map.direction_from_divisions(there.divisions);
            let [one, other] = [[1.0, 0.0], [0.0, 1.0]].map(|step| map.step_from_divisions(step));
            let [xx, xy, yy] = there.covariance_divisions2;
            // M C Mᵀ, by the columns of M.
            let mixed = |a: [f64; 2], b: [f64; 2]| {
                a[0] * b[0] * xx + (a[0] * b[1] + a[1] * b[0]) * xy + a[1] * b[1] * yy
            };
            let rows = [[one.x_arcmin, other.x_arcmin], [one.y_arcmin, other.y_arcmin]];
            let covariance =
                [mixed(rows[0], rows[0]), mixed(rows[0], rows[1]), mixed(rows[1], rows[1])];
            ([at.x_arcmin, at.y_arcmin], covariance)
        });
        Some(Placed { crosshair, there, arcmin })
    }
}
