//! The answer for a program: keys are only ever added to, numbers are at full precision.

use record::StationMap;
use serde::Serialize;

use super::{PictureOptions, Placed, Read};

/// Raised only when a key changes its meaning, which none should.
const FORMAT: u32 = 1;

#[derive(Serialize)]
struct PictureDocument<'a> {
    format: u32,
    camera: CameraKeys<'a>,
    pictures: Vec<PictureKeys<'a>>,
}

#[derive(Serialize)]
struct CameraKeys<'a> {
    name: &'a str,
    station: &'a str,
    size_px: [u64; 2],
    marks: usize,
    radial_k: f64,
    /// Standard uncertainty of a mark each way; null where no mark is spare.
    u_mark_px: Option<f64>,
    residuals_px: &'a [[f64; 2]],
    left_out_px: Option<&'a [[f64; 2]]>,
}

#[derive(Serialize)]
struct PictureKeys<'a> {
    file: &'a str,
    #[serde(skip_serializing_if = "Option::is_none")]
    crosshairs: Option<Vec<CrosshairKeys>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    refusal: Option<String>,
}

#[derive(Serialize)]
struct CrosshairKeys {
    px: [f64; 2],
    divisions: [f64; 2],
    #[serde(skip_serializing_if = "Option::is_none")]
    arcmin: Option<[f64; 2]>,
    covariance_px2: [[f64; 2]; 2],
    covariance_divisions2: [[f64; 2]; 2],
    #[serde(skip_serializing_if = "Option::is_none")]
    covariance_arcmin2: Option<[[f64; 2]; 2]>,
    /// Whether the camera map's own uncertainty is in the last two.
    map_uncertainty_included: bool,
    roll_deg: f64,
    contrast_to_noise: f64,
    width_px: f64,
}

const fn square([xx, xy, yy]: [f64; 3]) -> [[f64; 2]; 2] {
    [[xx, xy], [xy, yy]]
}

fn keys(placed: &Placed, station_map: Option<&StationMap>) -> CrosshairKeys {
    let Placed { crosshair, there } = placed;
    let arcmin = station_map.map(|map| placed.arcmin(map));
    CrosshairKeys {
        px: crosshair.px,
        divisions: there.divisions,
        arcmin: arcmin.map(|(at, _)| at),
        covariance_px2: square(crosshair.covariance_px2),
        covariance_divisions2: square(there.covariance_divisions2),
        covariance_arcmin2: arcmin.map(|(_, covariance)| square(covariance)),
        map_uncertainty_included: there.map_included,
        roll_deg: crosshair.roll_deg,
        contrast_to_noise: crosshair.contrast_to_noise,
        width_px: crosshair.width_px,
    }
}

/// The document, with an end of line.
pub(super) fn document(asked: &PictureOptions, read: &[Read]) -> Result<String, serde_json::Error> {
    let pictures = read.iter().map(|Read { file, found }| PictureKeys {
        file,
        crosshairs: found
            .as_ref()
            .ok()
            .map(|all| all.iter().map(|placed| keys(placed, asked.station_map.as_ref())).collect()),
        refusal: found.as_ref().err().map(ToString::to_string),
    });
    let document = PictureDocument {
        format: FORMAT,
        camera: CameraKeys {
            name: &asked.seeing.camera.name,
            station: &asked.seeing.camera.station,
            size_px: asked.seeing.camera.size_px,
            marks: asked.seeing.camera.marks.len(),
            radial_k: asked.seeing.map.radial().k,
            u_mark_px: asked.seeing.map.u_mark_px(),
            residuals_px: asked.seeing.map.residuals_px(),
            left_out_px: asked.seeing.map.left_out_px(),
        },
        pictures: pictures.collect(),
    };
    let text = serde_json::to_string_pretty(&document)?;
    Ok(text + "\n")
}
