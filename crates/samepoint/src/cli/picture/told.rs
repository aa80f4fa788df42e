//! The answer for a person.

use std::fmt::Write as _;

use record::{StationMap, shown};

use super::{PictureOptions, Placed, Read};

/// Standard uncertainties in a ± of 95 %.
const COVERAGE: f64 = 1.96;

/// Every picture, and the camera map it was read through.
pub(super) fn page(asked: &PictureOptions, read: &[Read]) -> String {
    let mut page = String::new();
    head(asked, &mut page);
    for Read { file, found } in read {
        // Writing into a string cannot fail.
        let _ = writeln!(page, "{file}");
        match found {
            Ok(all) => {
                for placed in all {
                    crosshair(placed, asked.station_map.as_ref(), &mut page);
                }
            }
            Err(why) => {
                let _ = writeln!(page, "  not read: {why}");
            }
        }
    }
    page
}

fn head(asked: &PictureOptions, page: &mut String) {
    let camera = &asked.seeing.camera;
    let _ = write!(
        page,
        "Camera map {} of station {}, {} marks",
        shown::one_line(&camera.name),
        shown::one_line(&camera.station),
        camera.marks.len()
    );
    let _ = match asked.seeing.map.u_mark_px() {
        Some(u) => {
            let worst = asked.seeing.map.left_out_px().unwrap_or_default().iter();
            let worst = worst.map(|[x, y]| x.hypot(*y)).fold(0.0, f64::max);
            writeln!(page, ": each ±{:.2} px, left out at most {worst:.2} px off", COVERAGE * u)
        }
        None => {
            writeln!(page, ": none to spare, so its own uncertainty is not known and not in any ±")
        }
    };
}

fn crosshair(placed: &Placed, station_map: Option<&StationMap>, page: &mut String) {
    let Placed { crosshair, there } = placed;
    let _ = writeln!(page, "  {} px", pair(crosshair.px, crosshair.covariance_px2, ""));
    let _ =
        writeln!(page, "  {} divisions", pair(there.divisions, there.covariance_divisions2, ""));
    if let Some(map) = station_map {
        let (at, covariance) = placed.arcmin(map);
        let _ = writeln!(page, "  {}", pair(at, covariance, "′"));
    }
    let _ = writeln!(
        page,
        "  turned {:.1}° {}, contrast to noise {:.1}, lines {:.1} px wide",
        crosshair.roll_deg.abs(),
        solver::words::way_round(-crosshair.roll_deg),
        crosshair.contrast_to_noise,
        crosshair.width_px
    );
}

/// `12.34 ±0.05, −7.21 ±0.04`: as many decimals as the ± has two digits of.
fn pair(at: [f64; 2], [xx, _, yy]: [f64; 3], unit: &str) -> String {
    let each = |value: f64, variance: f64| {
        let u = COVERAGE * variance.max(0.0).sqrt();
        let decimals = (1.0 - u.max(1e-9).log10().floor()).clamp(0.0, 4.0) as usize;
        format!("{}{unit} ±{u:.decimals$}{unit}", signed(value, decimals))
    };
    format!("{}, {}", each(at[0], xx), each(at[1], yy))
}

/// With a true minus sign, and none before a zero.
fn signed(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    match text.strip_prefix('-') {
        Some(size) if size.bytes().any(|byte| (b'1'..=b'9').contains(&byte)) => format!("−{size}"),
        Some(size) => size.to_owned(),
        None => text,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: 1.96 × 0.02 is 0.0392, 1.96 × 3 is 5.88.
    #[test]
    fn as_many_decimals_as_mean_something() {
        assert_eq!(pair([-12.345_67, 7.0], [4e-4, 0.0, 9.0], "′"), "−12.346′ ±0.039′, 7.0′ ±5.9′");
        assert_eq!(signed(-0.004, 2), "0.00");
    }
}
