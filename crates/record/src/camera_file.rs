//! A camera map's file in the shop: `cameras/NAME.ron`, `(format: 1, camera: (name: "…", station: "…",
//! size_px: (640, 480), lines: bright, marks: [(px: (12.0, 40.5), divisions: (-20.0, 15.0)), …]))`.
//!
//! The map itself, and all else that is derived from the marks, is not stored.

use serde::{Deserialize, Serialize};

use crate::fact::Camera;
use crate::file::bad_field::BadField;
use crate::file::v1::wire::Wire;
use crate::file::v2::words;
use crate::validate::Checked;

/// The file in its words.
#[derive(Debug, Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct CameraFile {
    pub(crate) format: u32,
    camera: words::Camera,
}

impl Wire<Camera> for CameraFile {
    fn write(from: &Camera) -> Self {
        Self { format: 1, camera: Wire::write(from) }
    }

    fn read(self) -> Result<Camera, BadField> {
        let camera: Camera = self.camera.read().map_err(|bad| bad.within("camera"))?;
        camera.check().map_err(BadField::new)?;
        Ok(camera)
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "tests fail by panicking")]
    use std::fs;

    use crate::fact::{Camera, Lines, PictureMark};
    use crate::shop::Shop;

    fn camera() -> Camera {
        let mark = |x: f64, y: f64, u: f64, v: f64| PictureMark { px: [x, y], divisions: [u, v] };
        Camera {
            name: "Bench 2, left of the lamp".to_owned(),
            station: "Bench 2".to_owned(),
            size_px: [640, 480],
            lines: Lines::Dark,
            marks: vec![
                mark(20.0, 30.5, -30.0, 20.0),
                mark(610.25, 28.0, 30.0, 20.0),
                mark(612.0, 455.0, 30.0, -20.0),
                mark(18.0, 452.0, -30.0, -20.0),
            ],
        }
    }

    #[test]
    fn what_is_kept_is_read_again() {
        let folder = tempfile::tempdir().unwrap();
        let shop = Shop::load(folder.path()).unwrap();
        let path = shop.keep_camera(camera()).unwrap();
        assert!(path.ends_with("cameras/Bench 2, left of the lamp.ron"), "{path:?}");
        assert_eq!(Shop::read_camera(&path).unwrap(), camera());
        // Never over another.
        assert!(shop.keep_camera(camera()).unwrap() != path);
    }

    #[test]
    fn what_a_hand_wrote_wrong_is_told_by_place() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("camera.ron");
        let good = "(format: 1, camera: (name: \"a\", station: \"b\", size_px: (640, 480), lines: bright, \
                    marks: [(px: (1.0, 2.0), divisions: (0.0, 0.0)), (px: (600.0, 2.0), divisions: (1.0, 0.0)), \
                    (px: (600.0, 400.0), divisions: (1.0, 1.0)), (px: (1.0, 400.0), divisions: (0.0, 1.0))]))";
        fs::write(&path, good).unwrap();
        assert_eq!(Shop::read_camera(&path).unwrap().marks.len(), 4);
        for (from, to, told) in [
            ("lines: bright", "lines: bight", "bight"),
            ("size_px: (640, 480)", "size_px: (0, 480)", "size_px"),
            ("format: 1", "format: 2", "format"),
            (", (px: (1.0, 400.0), divisions: (0.0, 1.0))", "", "marks"),
            ("(1.0, 2.0)", "(1.0e9, 2.0)", "marks.px"),
            ("(1.0, 2.0)", "(inf, 2.0)", "px"),
            ("station: \"b\"", "station: \"\"", "station"),
            ("name: \"a\"", "name: \"a\", k: 0.1", "k"),
        ] {
            fs::write(&path, good.replacen(from, to, 1)).unwrap();
            let why = Shop::read_camera(&path).unwrap_err().to_string();
            assert!(why.contains(told) && why.contains("camera.ron"), "{from} → {to}: {why}");
        }
    }
}
