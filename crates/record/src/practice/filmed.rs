//! The camera that films an invented unit: invented, too.

use super::surroundings::{BENCH, INVENTED};
use crate::fact::{Camera, Lines, PictureMark};

/// Its pictures, pixels.
const SIZE_PX: [u64; 2] = [480, 360];

/// Where it sees crossings of the graticule: a little aslant, as a camera stands. Pixels, divisions.
const MARKS: [([f64; 2], [f64; 2]); 9] = [
    ([34.9, 30.9], [-100.0, 70.0]),
    ([242.7, 35.0], [0.0, 70.0]),
    ([446.0, 39.0], [100.0, 70.0]),
    ([30.3, 176.4], [-100.0, 0.0]),
    ([240.6, 178.9], [0.0, 0.0]),
    ([446.3, 181.4], [100.0, 0.0]),
    ([25.6, 325.4], [-100.0, -70.0]),
    ([238.5, 326.3], [0.0, -70.0]),
    ([446.7, 327.1], [100.0, -70.0]),
];

/// Its map of the practice bench's graticule.
#[must_use]
pub fn camera() -> Camera {
    Camera {
        name: INVENTED.trim_end_matches('.').to_owned(),
        station: BENCH.to_owned(),
        size_px: SIZE_PX,
        lines: Lines::Bright,
        marks: MARKS.iter().map(|&(px, divisions)| PictureMark { px, divisions }).collect(),
    }
}
