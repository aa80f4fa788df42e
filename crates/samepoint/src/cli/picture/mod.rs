//! `samepoint picture`: crosshairs in pictures of a station, in divisions and directions.
//!
//! - `refusal`: why a station does not go with a camera; `told`: the answer for a person; `json`: for a program

mod json;
pub(super) mod refusal;
mod told;

use std::path::Path;

use record::{Camera, Channel, PerChannel, Shop, Station, StationMap};

use super::refusal::{CommandRefusal, RefusalKind};
use super::{Outcome, arguments, figures};
use crate::pictures::refusal::NotPlaced;
use crate::pictures::{Placed, Seeing, file};
use refusal::NotThrough;

/// Some pictures hold no crosshair that can be read.
const SOME_NOT: u8 = 1;

/// What is asked of every picture.
struct PictureOptions {
    seeing: Seeing,
    station_map: Option<StationMap>,
}

/// What a picture came to.
struct Read {
    file: String,
    found: Result<Vec<Placed>, NotPlaced>,
}

/// Reads every picture and says what is in it.
pub(super) fn run(asked: &arguments::PictureArguments) -> Result<Outcome, CommandRefusal> {
    let (known, read) = read_all(asked)?;
    let code = if read.iter().all(|one| one.found.is_ok()) { 0 } else { SOME_NOT };
    let text = if asked.json { json::document(&known, &read)? } else { told::page(&known, &read) };
    Ok(Outcome::Answered { text, code })
}

fn read_all(
    asked: &arguments::PictureArguments,
) -> Result<(PictureOptions, Vec<Read>), CommandRefusal> {
    let camera = Shop::read_camera(&asked.camera)
        .map_err(|why| RefusalKind::Record(why).of(&asked.camera))?;
    let seeing = Seeing::of(camera).map_err(|why| RefusalKind::Camera(why).of(&asked.camera))?;
    let station_map = match &asked.station {
        None => None,
        Some(path) => {
            let station =
                Shop::read_station(path).map_err(|why| RefusalKind::Record(why).of(path))?;
            let map = through(&station, &seeing.camera, asked.channel);
            Some(map.map_err(|why| RefusalKind::Through(why).of(path))?)
        }
    };
    let grey_of = |path: &Path| {
        file::grey(path, seeing.camera.size_px).map_err(|why| RefusalKind::Picture(why).of(path))
    };
    let background = asked.background.as_deref().map(grey_of).transpose()?;
    if let (Some(path), Some(grey)) = (&asked.background, &background) {
        seeing.picture(grey).map_err(|why| RefusalKind::Reader(why).of(path))?;
    }
    let mut read = Vec::new();
    for path in &asked.pictures {
        let grey = grey_of(path)?;
        let found = seeing
            .read(&grey, background.as_ref())
            .map_err(|why| RefusalKind::Reader(why).of(path))?;
        read.push(Read { file: figures::path(path), found });
    }
    Ok((PictureOptions { seeing, station_map }, read))
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
