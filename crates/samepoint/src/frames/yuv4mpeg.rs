//! The stream a program writes: YUV4MPEG2, its brightness alone.
//!
//! A line of parameters, then for each frame a line that begins with `FRAME` and the planes, brightness first. Each
//! line and each frame has a bound, checked before memory is taken: nothing a program writes makes it grow.
//!
//! # Source
//! `yuv4mpeg(5)` of the MJPEG tools, which tells of the open format; layouts of more than 8 bits and their names as
//! ffmpeg writes them, two bytes a value, the lower one first.

use std::io::{self, BufRead, Read as _};
use std::time::Instant;

use super::frame::{Luma, VideoFrame};
use super::refusal::NoFrames;

/// The most pixels a frame may have.
const MOST_PIXELS: usize = 16_000_000;

/// The most bytes of a line.
const LONGEST_LINE: usize = 1024;

/// What is shown of what is not understood, bytes.
const SHOWN: usize = 24;

/// What a stream says of its frames.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct StreamHeader {
    /// Width and height, pixels.
    pub(crate) size: [usize; 2],
    /// Bits of a value of brightness.
    bits: u32,
    /// Bytes of the planes that follow it.
    after: usize,
    /// Whether black is 0 and white the largest value; else 16 and 235 of 8 bits.
    full: bool,
}

/// How colours lie behind brightness: values for each pixel, halves and quarters rounded up each way.
#[derive(Clone, Copy)]
enum Colours {
    Grey,
    /// Two planes, coarser so many times across and down.
    Two([usize; 2]),
    /// And one of transparency.
    Three,
}

impl StreamHeader {
    /// Reads the first line of a stream; `None` where there is none at all.
    pub(crate) fn read(from: &mut impl BufRead) -> Result<Option<Self>, NoFrames> {
        let Some(line) = line_of(from, "YUV4MPEG2", "its header")? else { return Ok(None) };
        let Some(rest) =
            line.strip_prefix("YUV4MPEG2").filter(|rest| rest.is_empty() || rest.starts_with(' '))
        else {
            return Err(NoFrames::OtherStream { begins: line.chars().take(SHOWN).collect() });
        };
        Self::of(rest).map(Some)
    }

    fn of(parameters: &str) -> Result<Self, NoFrames> {
        let (mut width, mut height, mut layout, mut full) = (None, None, "420", None);
        for said in parameters.split(' ') {
            let bad = |what| NoFrames::BadParameter { said: said.to_owned(), what };
            let size = |text: &str| {
                let digits = !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit());
                let pixels = text.parse().ok().filter(|pixels: &usize| digits && *pixels > 0);
                pixels.ok_or_else(|| bad("number of pixels"))
            };
            match said.split_at_checked(1) {
                Some(("W", text)) => width = Some(size(text)?),
                Some(("H", text)) => height = Some(size(text)?),
                Some(("C", text)) => layout = text,
                Some(("I", "t" | "b" | "m")) => return Err(NoFrames::Interlaced),
                _ => match said {
                    "XCOLORRANGE=FULL" => full = Some(true),
                    "XCOLORRANGE=LIMITED" => full = Some(false),
                    // Rate, shape of a pixel and what else there may be says nothing of brightness.
                    _ => {}
                },
            }
        }
        let width = width.ok_or(NoFrames::NoSize { missing: "wide" })?;
        let height = height.ok_or(NoFrames::NoSize { missing: "high" })?;
        let pixels = width.checked_mul(height).filter(|pixels| *pixels <= MOST_PIXELS);
        let Some(pixels) = pixels else {
            return Err(NoFrames::TooLarge {
                width,
                height,
                most_millions: MOST_PIXELS / 1_000_000,
            });
        };
        let Some((colours, bits)) = laid_out(layout) else {
            return Err(NoFrames::Layout { said: layout.to_owned() });
        };
        let planes = match colours {
            Colours::Grey => 0,
            Colours::Two([across, down]) => 2 * width.div_ceil(across) * height.div_ceil(down),
            Colours::Three => 3 * pixels,
        };
        let bytes = if bits > 8 { 2 } else { 1 };
        // Where it is not said, grey is what a camera gives, and colours are video's. No source for the first.
        let full = full.unwrap_or(matches!(colours, Colours::Grey));
        Ok(Self { size: [width, height], bits, after: planes * bytes, full })
    }

    /// Reads a frame; `None` at the end of the stream.
    pub(crate) fn frame(
        &self,
        number: u64,
        from: &mut impl BufRead,
    ) -> Result<Option<VideoFrame>, NoFrames> {
        let Some(line) = line_of(from, "FRAME", "a frame’s first line")? else { return Ok(None) };
        if !line.strip_prefix("FRAME").is_some_and(|rest| rest.is_empty() || rest.starts_with(' '))
        {
            return Err(NoFrames::NoFrame { found: line.chars().take(SHOWN).collect() });
        }
        let pixels = self.size[0] * self.size[1];
        let bytes = if self.bits > 8 { 2 * pixels } else { pixels };
        let mut plane = Vec::with_capacity(bytes);
        from.by_ref().take(bytes as u64).read_to_end(&mut plane)?;
        let skipped = io::copy(&mut from.by_ref().take(self.after as u64), &mut io::sink())?;
        if plane.len() < bytes || skipped < self.after as u64 {
            return Err(NoFrames::Cut("a frame"));
        }
        let white = if self.full { (1_u32 << self.bits) - 1 } else { 235 << (self.bits - 8) };
        let (luma, full_scale) = if self.bits > 8 {
            let up = 16 - self.bits;
            let value = |pair: &[u8]| match pair {
                [low, high] => u16::from_le_bytes([*low, *high]).checked_shl(up).unwrap_or(0),
                _ => 0,
            };
            (Luma::Sixteen(plane.chunks_exact(2).map(value).collect()), white << up)
        } else {
            (Luma::Eight(plane), white)
        };
        // At most 16 bits.
        let full_scale = full_scale as f32;
        Ok(Some(VideoFrame { number, at: Instant::now(), size: self.size, luma, full_scale }))
    }
}

/// How pixels are laid out and how many bits a value has, by its name.
fn laid_out(name: &str) -> Option<(Colours, u32)> {
    if let Some(bits) = name.strip_prefix("mono") {
        return Some((Colours::Grey, depth(bits)?));
    }
    match name {
        "420" | "420jpeg" | "420mpeg2" | "420paldv" => return Some((Colours::Two([2, 2]), 8)),
        "411" => return Some((Colours::Two([4, 1]), 8)),
        "444alpha" => return Some((Colours::Three, 8)),
        _ => {}
    }
    let (colours, rest) = match name.split_at_checked(3)? {
        ("420", rest) => (Colours::Two([2, 2]), rest),
        ("422", rest) => (Colours::Two([2, 1]), rest),
        ("444", rest) => (Colours::Two([1, 1]), rest),
        _ => return None,
    };
    match rest.strip_prefix('p') {
        Some(bits) => Some((colours, depth(bits).filter(|bits| *bits > 8)?)),
        None => rest.is_empty().then_some((colours, 8)),
    }
}

/// Bits of a value; none said are 8.
fn depth(bits: &str) -> Option<u32> {
    match bits {
        "" => Some(8),
        "9" => Some(9),
        "10" => Some(10),
        "12" => Some(12),
        "14" => Some(14),
        "16" => Some(16),
        _ => None,
    }
}

/// A line without its end; `None` where there is nothing any more. What does not begin as it should is told of
/// before its end comes, if ever.
fn line_of(
    from: &mut impl BufRead,
    begins: &str,
    within: &'static str,
) -> Result<Option<String>, NoFrames> {
    let mut line = Vec::new();
    loop {
        let there = match from.fill_buf() {
            Ok(there) => there,
            Err(why) if why.kind() == io::ErrorKind::Interrupted => continue,
            Err(why) => return Err(why.into()),
        };
        let Some(&next) = there.first() else {
            if line.is_empty() {
                return Ok(None);
            }
            return if line.len() < begins.len() || line.starts_with(begins.as_bytes()) {
                Err(NoFrames::Cut(within))
            } else {
                Ok(Some(text_of(&line)))
            };
        };
        from.consume(1);
        if next == b'\n' {
            return Ok(Some(text_of(&line)));
        }
        line.push(next);
        let place = line.len();
        if place == begins.len().max(SHOWN) && !line.starts_with(begins.as_bytes()) {
            return Ok(Some(text_of(&line)));
        }
        if place > LONGEST_LINE {
            return Err(NoFrames::LongLine { most: LONGEST_LINE });
        }
    }
}

fn text_of(line: &[u8]) -> String {
    String::from_utf8_lossy(line).into_owned()
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::panic, reason = "tests fail by panicking")]
    use super::*;
    use proptest::prelude::*;

    fn read(bytes: &[u8]) -> Result<Vec<VideoFrame>, NoFrames> {
        let mut from = bytes;
        let Some(header) = StreamHeader::read(&mut from)? else { return Ok(Vec::new()) };
        let mut frames = Vec::new();
        while let Some(frame) = header.frame(frames.len() as u64 + 1, &mut from)? {
            frames.push(frame);
        }
        Ok(frames)
    }

    /// Sizes of planes as the manual page tells them: half and quarter sides are rounded up.
    #[test]
    fn each_layout_has_its_planes() {
        for (layout, bytes, bits, white) in [
            ("", 15 + 2 * 6, 8, 235),
            ("C420jpeg", 15 + 2 * 6, 8, 235),
            ("C420mpeg2", 15 + 2 * 6, 8, 235),
            ("C420paldv", 15 + 2 * 6, 8, 235),
            ("C411", 15 + 2 * 6, 8, 235),
            ("C422", 15 + 2 * 9, 8, 235),
            ("C444", 45, 8, 235),
            ("C444alpha", 60, 8, 235),
            ("Cmono", 15, 8, 255),
            ("Cmono XCOLORRANGE=LIMITED", 15, 8, 235),
            ("C444 XCOLORRANGE=FULL", 45, 8, 255),
            ("Cmono9", 30, 9, 511 << 7),
            ("Cmono10", 30, 10, 1023 << 6),
            ("Cmono12 XCOLORRANGE=LIMITED", 30, 12, (235 << 4) << 4),
            ("Cmono16", 30, 16, 65_535),
            ("C420p10", 2 * (15 + 2 * 6), 10, (235 << 2) << 6),
            ("C422p12", 2 * (15 + 2 * 9), 12, (235 << 4) << 4),
            ("C444p16", 90, 16, 235 << 8),
        ] {
            let mut stream =
                format!("YUV4MPEG2 W5 H3 F25:1 Ip A1:1 {layout} XYSCSS=ANY\n").into_bytes();
            for _ in 0..2 {
                stream.extend(b"FRAME\n");
                stream.extend((0..bytes).map(|k| if bits > 8 && k % 2 == 1 { 1 } else { k as u8 }));
            }
            let frames = read(&stream).unwrap_or_else(|why| panic!("{layout}: {why}"));
            assert_eq!(frames.len(), 2, "{layout}");
            assert_eq!(frames[1].size, [5, 3]);
            assert_eq!(frames[1].full_scale, white as f32, "{layout}");
            let values: Vec<u16> = (0..15).map(|k| (256 + 2 * k) << (16 - bits.max(9))).collect();
            let expected = match bits {
                8 => Luma::Eight((0..15).collect()),
                _ => Luma::Sixteen(values),
            };
            assert_eq!(frames[1].luma, expected, "{layout}");
            // A byte less is no frame.
            stream.pop();
            assert!(matches!(read(&stream), Err(NoFrames::Cut(_))), "{layout}");
        }
    }

    #[test]
    fn each_refusal_says_what_is_wrong() {
        let long = format!("YUV4MPEG2 W5 H3 X{}\n", "x".repeat(5000));
        let frame = "YUV4MPEG2 W5 H3 Cmono\nFRAMED\n0123456789abcde";
        for (stream, words) in [
            ("RIFF....AVI and so on, much longer than that", "RIFF....AVI"),
            ("Hello\n", "Hello"),
            ("YUV4MPEG W5 H3\n", "no YUV4MPEG2"),
            ("YUV4MPEG2W5 H3\n", "no YUV4MPEG2"),
            ("YUV4MPEG2 W5\n", "how high"),
            ("YUV4MPEG2 H5\n", "how wide"),
            ("YUV4MPEG2 W-5 H3\n", "W-5"),
            ("YUV4MPEG2 W+5 H3\n", "W+5"),
            ("YUV4MPEG2 W0 H3\n", "W0"),
            ("YUV4MPEG2 W H3\n", "number of pixels"),
            ("YUV4MPEG2 W99999999999999999999999 H3\n", "number of pixels"),
            ("YUV4MPEG2 W18446744073709551615 H18446744073709551615\n", "16 million"),
            ("YUV4MPEG2 W40000 H40000\n", "40000 × 40000"),
            ("YUV4MPEG2 W5 H3 It\n", "interlaced"),
            ("YUV4MPEG2 W5 H3 C410\n", "410"),
            ("YUV4MPEG2 W5 H3 C420p8\n", "420p8"),
            ("YUV4MPEG2 W5 H3 Cmono32\n", "mono32"),
            ("YUV4MPEG2 W5 H", "breaks off"),
            ("YUV", "breaks off"),
            (&long, "does not end"),
            (frame, "FRAMED"),
        ] {
            let told = read(stream.as_bytes()).map(|frames| frames.len()).unwrap_err().to_string();
            assert!(told.contains(words), "{stream}: {told}");
        }
        assert!(read(b"").unwrap().is_empty());
        // Multi-byte letters where a parameter begins.
        assert_eq!(read("YUV4MPEG2 W5 H3 Cmono é ü\n".as_bytes()).unwrap().len(), 0);
    }

    /// What never ends and never breaks a line is refused after few bytes.
    #[test]
    fn an_endless_line_is_refused_early() {
        struct Endless(u64);
        impl io::Read for Endless {
            fn read(&mut self, into: &mut [u8]) -> io::Result<usize> {
                into.fill(b'x');
                self.0 += into.len() as u64;
                Ok(into.len())
            }
        }
        let mut from = io::BufReader::with_capacity(64, Endless(0));
        assert!(matches!(StreamHeader::read(&mut from), Err(NoFrames::OtherStream { .. })));
        assert!(from.get_ref().0 <= 128);
        let begun = io::Read::chain(&b"YUV4MPEG2 "[..], Endless(0));
        let mut from = io::BufReader::with_capacity(64, begun);
        assert!(matches!(StreamHeader::read(&mut from), Err(NoFrames::LongLine { .. })));
    }

    proptest! {
        #[test]
        fn any_bytes_are_answered(
            begins in prop::sample::select(vec![
                "", "YUV4MPEG2 ", "YUV4MPEG2 W5 H3 ", "YUV4MPEG2 W5 H3 Cmono\n", "YUV4MPEG2 W5 H3 C420p10\nFRAME\n",
            ]),
            rest in prop::collection::vec(any::<u8>(), 0..400),
        ) {
            let bytes = [begins.as_bytes(), &rest].concat();
            if let Err(why) = read(&bytes) {
                prop_assert!(!why.to_string().is_empty());
            }
        }

        /// Any sizes: never more memory than a frame may have, since that is known before it is taken.
        #[test]
        fn any_header_is_answered(width in any::<usize>(), height in any::<usize>(), layout in "[a-z0-9]{0,6}") {
            let line = format!("YUV4MPEG2 W{width} H{height} C{layout}\n");
            if let Ok(Some(header)) = StreamHeader::read(&mut line.as_bytes()) {
                prop_assert!(header.size[0] * header.size[1] <= MOST_PIXELS);
            }
        }
    }
}
