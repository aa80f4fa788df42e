//! The picture at the head of a shop's papers: read within bounds, on white where it is transparent, in grey.

use std::io::{Cursor, Read as _};
use std::path::Path;

use image::{DynamicImage, ImageDecoder as _, ImageFormat, ImageReader, Limits};
use paper::{GreyPicture, HeadShown, NotShown};
use record::file::plain;
use record::review::read_again::NotRead;
use record::shop::{HeadPicture, LARGEST_HEAD_PICTURE, PictureFound};

use super::file::whole_jpeg;
use super::refusal::NoGrey;
use super::small::reduced;

/// The most pixels.
const MOST_PIXELS: u64 = 16_000_000;

/// The most pixels of its longer side on paper: finer than a printer shows at its size.
const LONGEST_PX: usize = 720;

/// How much red, green and blue are to the eye (ITU-R BT.709-6, 3.2).
const LUMA: [f32; 3] = [0.2126, 0.7152, 0.0722];

/// A picture's file, and it as paper shows it.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct HeadRead {
    /// Its bytes as they came.
    pub(crate) bytes: Vec<u8>,
    /// It in grey.
    pub(crate) picture: GreyPicture,
}

/// Reads one that a hand chose.
pub(crate) fn read(path: &Path) -> Result<HeadRead, NoGrey> {
    let mut bytes = Vec::new();
    plain::open(path)?.take(LARGEST_HEAD_PICTURE + 1).read_to_end(&mut bytes)?;
    if bytes.len() as u64 > LARGEST_HEAD_PICTURE {
        return Err(NoGrey::TooLarge { most_mib: LARGEST_HEAD_PICTURE >> 20 });
    }
    let picture = in_grey(&bytes)?;
    Ok(HeadRead { bytes, picture })
}

/// The one that a shop keeps for its papers; `None` where they have none.
pub(crate) fn kept(shop: &Path, of: Option<&HeadPicture>) -> Option<HeadShown> {
    let sha256 = of?.sha256.as_ref()?;
    let shown = || {
        let bytes = PictureFound::bytes(shop, sha256).map_err(NotShown::NotThere)?;
        in_grey(&bytes).map_err(|why| NotShown::NotRead(NotRead(why.to_string())))
    };
    Some(shown())
}

fn in_grey(bytes: &[u8]) -> Result<GreyPicture, NoGrey> {
    if bytes.is_empty() {
        return Err(NoGrey::Empty);
    }
    let (format, name) = match image::guess_format(bytes) {
        Ok(ImageFormat::Png) => (ImageFormat::Png, "PNG"),
        Ok(ImageFormat::Jpeg) => {
            whole_jpeg(bytes)?;
            (ImageFormat::Jpeg, "JPEG")
        }
        _ => return Err(NoGrey::NeitherPngNorJpeg),
    };
    let bad = |why: image::ImageError| NoGrey::Broken { format: name, why };
    let mut reader = ImageReader::with_format(Cursor::new(bytes), format);
    let mut limits = Limits::default();
    limits.max_alloc = Some(1 << 28);
    reader.limits(limits);
    let mut decoder = reader.into_decoder().map_err(bad)?;
    let (width, height) = decoder.dimensions();
    if u64::from(width) * u64::from(height) > MOST_PIXELS {
        return Err(NoGrey::TooManyPixels {
            found: [width, height],
            most_millions: MOST_PIXELS / 1_000_000,
        });
    }
    let upright = decoder.orientation().map_err(bad)?;
    let mut unpacked = DynamicImage::from_decoder(decoder).map_err(bad)?;
    unpacked.apply_orientation(upright);
    let colours = unpacked.into_rgba8();
    let size = [colours.width(), colours.height()].map(|side| side as usize);
    let on_white = |pixel: &[u8]| {
        let [red, green, blue, opacity] =
            [0, 1, 2, 3].map(|part| pixel.get(part).copied().map_or(0.0, f32::from));
        let [r, g, b] = LUMA;
        let share = opacity / 255.0;
        255.0 * (1.0 - share) + share * (r * red + g * green + b * blue)
    };
    let grey: Vec<f32> = colours.as_raw().chunks_exact(4).map(on_white).collect();
    let (means, [across, down]) = reduced(&grey, size, LONGEST_PX).ok_or(NoGrey::Empty)?;
    let values = means.iter().map(|mean| mean.round() as u8).collect();
    GreyPicture::new([across, down].map(|side| u32::try_from(side).unwrap_or(0)), values)
        .ok_or(NoGrey::Empty)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "tests fail by panicking")]
    use image::{
        ExtendedColorType, ImageEncoder as _, codecs::jpeg::JpegEncoder, codecs::png::PngEncoder,
    };
    use proptest::prelude::*;

    use super::*;

    fn png(bytes: &[u8], [wide, high]: [u32; 2], colours: ExtendedColorType) -> Vec<u8> {
        let mut file = Vec::new();
        PngEncoder::new(&mut file).write_image(bytes, wide, high, colours).unwrap();
        file
    }

    /// What nobody can see through is as bright as its colour is to the eye, what is clear is paper, between them
    /// it is between; the weights are those of ITU-R BT.709.
    #[test]
    fn it_stands_on_white() {
        let pixels =
            [[255, 0, 0, 255], [0, 255, 0, 255], [0, 0, 255, 255], [0, 0, 0, 0], [0, 0, 0, 128]];
        let file = png(&pixels.concat(), [5, 1], ExtendedColorType::Rgba8);
        let picture = in_grey(&file).unwrap();
        assert_eq!((picture.size_px(), picture.grey()), ([5, 1], &[54, 182, 18, 255, 127][..]));
    }

    #[test]
    fn grey_of_sixteen_bits_and_jpeg_are_taken() {
        let file = png(&[0, 0, 0xff, 0xff], [2, 1], ExtendedColorType::L16);
        assert_eq!(in_grey(&file).unwrap().grey(), [0, 255]);
        let mut file = Vec::new();
        JpegEncoder::new(&mut file).encode(&[77; 64], 8, 8, ExtendedColorType::L8).unwrap();
        let read = in_grey(&file).unwrap();
        assert!(read.grey().iter().all(|grey| grey.abs_diff(77) <= 1), "{:?}", read.grey());
        let cut = in_grey(&file[..file.len() - 2]).unwrap_err();
        assert!(matches!(cut, NoGrey::Cut), "{cut}");
    }

    /// A large one is made small, one of too many pixels is refused before it is unpacked.
    #[test]
    fn it_has_bounds() {
        let wide = 4 * LONGEST_PX as u32;
        let file = png(&vec![9; wide as usize * 8], [wide, 8], ExtendedColorType::L8);
        assert_eq!(in_grey(&file).unwrap().size_px(), [LONGEST_PX as u32, 2]);
        let mut huge = png(&[1], [1, 1], ExtendedColorType::L8);
        // Width and height stand behind the signature and the first chunk's length and name (ISO/IEC 15948, 11.2.2).
        huge[16..24].copy_from_slice(&[0, 0, 0x40, 0, 0, 0, 0x40, 0]);
        let sum = crc32(&huge[12..29]);
        huge[29..33].copy_from_slice(&sum.to_be_bytes());
        let why = in_grey(&huge).unwrap_err();
        assert!(matches!(why, NoGrey::TooManyPixels { found: [0x4000, 0x4000], .. }), "{why}");
        assert!(matches!(in_grey(b"dear sirs").unwrap_err(), NoGrey::NeitherPngNorJpeg));
        assert!(matches!(in_grey(b"").unwrap_err(), NoGrey::Empty));
        assert!(matches!(in_grey(&file[..60]).unwrap_err(), NoGrey::Broken { .. }));
    }

    /// ISO/IEC 15948, annex D.
    fn crc32(bytes: &[u8]) -> u32 {
        !bytes.iter().fold(!0, |sum, byte| {
            (0..8).fold(sum ^ u32::from(*byte), |sum, _| {
                (sum >> 1) ^ if sum & 1 == 1 { 0xedb8_8320 } else { 0 }
            })
        })
    }

    proptest! {
        #[test]
        fn any_bytes_are_answered(rest in prop::collection::vec(any::<u8>(), 0..800), which in 0..3_usize) {
            let begins: [&[u8]; 3] =
                [b"", b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR\0\0\0\x40\0\0\0\x40\x08\x06\0\0\0", b"\xff\xd8\xff\xe0"];
            if let Err(why) = in_grey(&[begins[which], &rest].concat()) {
                prop_assert!(!why.to_string().is_empty());
            }
        }
    }
}
