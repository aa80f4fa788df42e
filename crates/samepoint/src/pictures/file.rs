//! From a picture's file to grey values, every limit checked before memory is taken.

use std::io::{Cursor, Read as _};
use std::path::Path;

use image::{ColorType, DynamicImage, ImageDecoder as _, ImageFormat, ImageReader, Limits};
use record::file::plain;

use super::refusal::NoGrey;

/// The largest file, bytes.
const MOST_BYTES: u64 = 512 << 20;

/// The most pixels; a picture of 100 million is refused before it is unpacked.
const MOST_PIXELS: u64 = 64_000_000;

/// Grey values, row by row from the top.
#[derive(Clone, Debug)]
pub(crate) struct Grey {
    pub(crate) pixels: Vec<f32>,
    /// The value of a full pixel.
    pub(crate) full_scale: f32,
}

/// The grey values of a file.
pub(crate) fn grey(path: &Path, wanted_px: [u64; 2]) -> Result<Grey, NoGrey> {
    from_bytes(&bytes_of(path)?, wanted_px)
}

/// A file's bytes, as many as a picture may have.
pub(crate) fn bytes_of(path: &Path) -> Result<Vec<u8>, NoGrey> {
    let mut bytes = Vec::new();
    let file = plain::open(path)?;
    file.take(MOST_BYTES + 1).read_to_end(&mut bytes)?;
    if bytes.len() as u64 > MOST_BYTES {
        return Err(NoGrey::TooLarge { most_mib: MOST_BYTES >> 20 });
    }
    Ok(bytes)
}

/// The grey values of a picture file's bytes.
pub(crate) fn from_bytes(bytes: &[u8], wanted_px: [u64; 2]) -> Result<Grey, NoGrey> {
    unpacked(bytes, Some(wanted_px)).map(|(grey, _)| grey)
}

/// The same of a picture of any size, with its width and height.
pub(crate) fn of_any_size(bytes: &[u8]) -> Result<(Grey, [u64; 2]), NoGrey> {
    unpacked(bytes, None)
}

fn unpacked(bytes: &[u8], wanted_px: Option<[u64; 2]>) -> Result<(Grey, [u64; 2]), NoGrey> {
    if bytes.is_empty() {
        return Err(NoGrey::Empty);
    }
    let format = image::guess_format(bytes).ok();
    let name = match format {
        Some(ImageFormat::Png) => "PNG",
        Some(ImageFormat::Pnm) => "PNM",
        Some(ImageFormat::Jpeg) => "JPEG",
        Some(ImageFormat::Tiff) => "TIFF",
        _ => return Err(NoGrey::NoPicture),
    };
    let bad = |why: image::ImageError| NoGrey::Broken { format: name, why };
    match format {
        // The colour type stands in the header at a fixed place; 3 is a palette.
        Some(ImageFormat::Png) if bytes.get(25) == Some(&3) => {
            return Err(NoGrey::Palette);
        }
        Some(ImageFormat::Jpeg) => whole_jpeg(bytes)?,
        _ => {}
    }
    let mut reader =
        ImageReader::with_format(Cursor::new(bytes), format.unwrap_or(ImageFormat::Png));
    let mut limits = Limits::default();
    limits.max_alloc = Some(1 << 30);
    reader.limits(limits);
    let decoder = reader.into_decoder().map_err(bad)?;
    let (width, height) = decoder.dimensions();
    let pixels = u64::from(width) * u64::from(height);
    if pixels > MOST_PIXELS {
        return Err(NoGrey::TooManyPixels {
            found: [width, height],
            most_millions: MOST_PIXELS / 1_000_000,
        });
    }
    let size_px = [u64::from(width), u64::from(height)];
    if let Some(wanted) = wanted_px.filter(|wanted| *wanted != size_px) {
        return Err(NoGrey::OtherSize { found: [width, height], wanted });
    }
    match decoder.color_type() {
        ColorType::L8 | ColorType::L16 | ColorType::Rgb8 | ColorType::Rgb16 => {}
        ColorType::La8 | ColorType::La16 | ColorType::Rgba8 | ColorType::Rgba16 => {
            return Err(NoGrey::Transparent);
        }
        _ => return Err(NoGrey::Depth),
    }
    let unpacked = DynamicImage::from_decoder(decoder).map_err(bad)?;
    let grey = match unpacked {
        DynamicImage::ImageLuma8(grey) => eight(grey.into_raw()),
        DynamicImage::ImageLuma16(grey) => sixteen(grey.into_raw()),
        DynamicImage::ImageRgb8(colours) => eight(brightest(&colours.into_raw())),
        DynamicImage::ImageRgb16(colours) => sixteen(brightest(&colours.into_raw())),
        _ => return Err(NoGrey::Depth),
    };
    Ok((grey, size_px))
}

fn eight(values: Vec<u8>) -> Grey {
    let pixels = values.into_iter().map(f32::from).collect();
    Grey { pixels, full_scale: 255.0 }
}

fn sixteen(values: Vec<u16>) -> Grey {
    let pixels = values.into_iter().map(f32::from).collect();
    Grey { pixels, full_scale: 65_535.0 }
}

/// Of three colours the one that is brightest altogether: a tube's screen has one colour, and a full pixel
/// of it is known as full only where it is not mixed with the others.
fn brightest<T: Copy + Into<u64>>(colours: &[T]) -> Vec<T> {
    let mut sums = [0_u64; 3];
    for pixel in colours.chunks_exact(3) {
        for (sum, value) in sums.iter_mut().zip(pixel) {
            *sum += (*value).into();
        }
    }
    // Of equal ones green, which a colour camera sees best.
    let most = [1, 0, 2].into_iter().rev().max_by_key(|colour: &usize| sums[*colour]).unwrap_or(1);
    colours.iter().skip(most).step_by(3).copied().collect()
}

/// Four inks are no brightness, and a picture that was cut off would be filled up with grey.
pub(super) fn whole_jpeg(bytes: &[u8]) -> Result<(), NoGrey> {
    let mut place = 2;
    while let Some([0xff, marker, high, low]) = bytes.get(place..place + 4) {
        let length = usize::from(u16::from_be_bytes([*high, *low]));
        match marker {
            // A fill byte before a marker.
            0xff => {
                place += 1;
                continue;
            }
            // A start of frame: length, bits, height, width, colours.
            0xc0..=0xcf
                if ![0xc4, 0xc8, 0xcc].contains(marker) && bytes.get(place + 9) == Some(&4) =>
            {
                return Err(NoGrey::Inks);
            }
            0xda => {
                let rest = bytes.get(place..).unwrap_or_default();
                let ends = rest.windows(2).any(|two| two == [0xff, 0xd9]);
                return if ends { Ok(()) } else { Err(NoGrey::Cut) };
            }
            _ => {}
        }
        place += 2 + length;
    }
    Err(NoGrey::Cut)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "tests fail by panicking")]
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn the_brightest_colour_is_taken() {
        assert_eq!(brightest(&[1_u8, 9, 3, 2, 8, 4]), [9, 8]);
        assert_eq!(brightest(&[1_u16, 1, 1]), [1]);
        assert_eq!(brightest::<u8>(&[]), [0_u8; 0]);
    }

    /// A valid beginning of each format, so that what follows is looked at.
    const BEGINNINGS: [&[u8]; 7] = [
        b"",
        b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR\0\0\0\x40\0\0\0\x40\x08\0\0\0\0",
        b"\x89PNG\r\n\x1a\n",
        b"P5 64 64 255\n",
        b"P2 ",
        b"\xff\xd8\xff\xe0",
        b"II*\0\x08\0\0\0",
    ];

    proptest! {
        #[test]
        fn any_bytes_are_answered(
            beginning in prop::sample::select(BEGINNINGS.to_vec()),
            rest in prop::collection::vec(any::<u8>(), 0..2000),
        ) {
            let bytes = [beginning, &rest].concat();
            if let Err(why) = from_bytes(&bytes, [64, 64]) {
                prop_assert!(!why.to_string().is_empty());
            }
        }
    }
}
