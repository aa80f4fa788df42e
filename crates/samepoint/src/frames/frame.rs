//! One frame: its brightness as the camera gave it, and as a picture that can be kept and read again.

use std::io::Cursor;
use std::time::Instant;

use image::{DynamicImage, ImageBuffer, ImageFormat};

use crate::pictures::file::Grey;

/// Brightness, row by row from the top.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Luma {
    /// Of 8 bits.
    Eight(Vec<u8>),
    /// Of 9 to 16 bits, moved up to 16.
    Sixteen(Vec<u16>),
}

/// A frame.
#[derive(Clone, Debug)]
pub(crate) struct VideoFrame {
    /// Which of the stream's, from 1.
    pub(crate) number: u64,
    /// When it was here.
    pub(crate) at: Instant,
    /// Width and height, pixels.
    pub(crate) size: [usize; 2],
    pub(crate) luma: Luma,
    /// The value of a full pixel, in the scale of `luma`.
    pub(crate) full_scale: f32,
}

impl VideoFrame {
    /// Its grey values, as the same picture from a file has them.
    pub(crate) fn grey(&self) -> Grey {
        let pixels = match &self.luma {
            Luma::Eight(values) => values.iter().copied().map(f32::from).collect(),
            Luma::Sixteen(values) => values.iter().copied().map(f32::from).collect(),
        };
        Grey { pixels, full_scale: self.full_scale }
    }

    /// The same pixels as a PNG file's bytes.
    ///
    /// # Errors
    /// What the encoder says.
    pub(crate) fn png(&self) -> Result<Vec<u8>, image::ImageError> {
        let [width, height] = self.size.map(|pixels| u32::try_from(pixels).unwrap_or(u32::MAX));
        let whole =
            match &self.luma {
                Luma::Eight(values) => ImageBuffer::from_raw(width, height, values.clone())
                    .map(DynamicImage::ImageLuma8),
                Luma::Sixteen(values) => ImageBuffer::from_raw(width, height, values.clone())
                    .map(DynamicImage::ImageLuma16),
            };
        let mut bytes = Cursor::new(Vec::new());
        // A frame has as many values as pixels: it was read so.
        whole.unwrap_or_default().write_to(&mut bytes, ImageFormat::Png)?;
        Ok(bytes.into_inner())
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "tests fail by panicking")]
    use super::*;
    use crate::pictures::file;

    fn frame(size: [usize; 2], luma: Luma) -> VideoFrame {
        VideoFrame { number: 1, at: Instant::now(), size, luma, full_scale: 255.0 }
    }

    /// What is kept is what was read, pixel by pixel.
    #[test]
    fn a_frame_kept_as_a_picture_has_the_same_values() {
        let eight = frame([64, 65], Luma::Eight((0..64 * 65).map(|k| (k % 251) as u8).collect()));
        let sixteen = frame(
            [65, 64],
            Luma::Sixteen((0..64 * 65).map(|k| (k * 13 % 65_521) as u16).collect()),
        );
        for frame in [eight, sixteen] {
            let again = file::from_bytes(&frame.png().unwrap(), frame.size.map(|side| side as u64))
                .unwrap();
            assert_eq!(again.pixels, frame.grey().pixels);
        }
    }
}
