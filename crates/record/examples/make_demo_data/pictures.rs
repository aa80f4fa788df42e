//! An invented camera on Bench 2, and what it sees: drawn here by plain formulas, since the record knows no
//! pictures.

use solver::monte_carlo::Source;

use record::{Camera, Lines, PictureMark};

/// Width and height, pixels.
const SIZE: [u32; 2] = [320, 240];

/// A picture and its story.
pub(crate) struct Taken {
    pub(crate) file: &'static str,
    pub(crate) story: &'static str,
    /// Where its crosshair is, divisions; and how bright it is, grey values.
    crosshairs: &'static [([f64; 2], f64)],
    graticule: f64,
}

/// The pictures, by name.
pub(crate) fn taken() -> [Taken; 6] {
    let story = |file, crosshairs, graticule, story| Taken { file, story, crosshairs, graticule };
    [
        story(
            "ring-000.png",
            &[([12.0, -6.5], 40.0)],
            0.0,
            "left ring at 0°: crosshair at 12, −6.5",
        ),
        story("ring-120.png", &[([-4.25, 14.0], 40.0)], 0.0, "at 120°: −4.25, 14"),
        story("ring-240.png", &[([-9.5, -17.0], 12.0)], 0.0, "at 240°, lamp low: −9.5, −17"),
        story(
            "both.png",
            &[([6.0, 8.0], 40.0), ([-8.0, -3.0], 26.0)],
            0.0,
            "both channels: 6, 8 and −8, −3",
        ),
        story(
            "graticule.png",
            &[([3.5, 2.25], 40.0)],
            36.0,
            "the graticule shines as brightly: 3.5, 2.25, to be read with the background",
        ),
        story("background.png", &[], 36.0, "the same with the crosshair’s lamp off"),
    ]
}

/// Where divisions are in the picture: 5 pixels a division, turned a little, seen a little from below.
fn px(divisions: [f64; 2]) -> [f64; 2] {
    let [u, v] = divisions;
    let w = 1.0 + 0.0004 * u - 0.0003 * v;
    [(161.0 + 4.95 * u + 0.12 * v) / w, (118.5 + 0.10 * u - 5.02 * v) / w]
}

/// The camera map: nine marks, read by a hand to a few tenths of a pixel.
pub(crate) fn camera() -> Camera {
    let mut source = Source::seeded(22);
    let mut marks = Vec::new();
    for v in [20.0, 0.0, -20.0] {
        for u in [-25.0, 0.0, 25.0] {
            let [x, y] = px([u, v]);
            let read = |value: f64, source: &mut Source| {
                ((value + 0.12 * source.normal()) * 10.0).round() / 10.0
            };
            marks.push(PictureMark {
                px: [read(x, &mut source), read(y, &mut source)],
                divisions: [u, v],
            });
        }
    }
    Camera {
        name: "Bench 2".to_owned(),
        station: "Bench 2".to_owned(),
        size_px: SIZE.map(u64::from),
        lines: Lines::Bright,
        marks,
    }
}

/// A picture's file.
pub(crate) fn png(taken: &Taken, seed: u64) -> Vec<u8> {
    let mut source = Source::seeded(seed);
    let bell = |px: f64| (-0.5 * (px / 1.4) * (px / 1.4)).exp();
    let mut rows = Vec::new();
    for y in 0..SIZE[1] {
        // No filter.
        rows.push(0_u8);
        for x in 0..SIZE[0] {
            let (x, y) = (f64::from(x), f64::from(y));
            let far = ((x - 160.0) / 160.0).powi(2) + ((y - 120.0) / 120.0).powi(2);
            let mut light = 22.0 * (1.0 - 0.18 * far);
            for (at, bright) in taken.crosshairs {
                let [cx, cy] = px(*at);
                // Turned by 2°.
                let (along, across) = (x - cx - 0.035 * (y - cy), y - cy + 0.035 * (x - cx));
                let arm = |far: f64| (58.5 - far.abs()).clamp(0.0, 1.0);
                light += bright * (arm(along) * bell(across)).max(arm(across) * bell(along));
            }
            if taken.graticule > 0.0 {
                let lines = [-20.0, -10.0, 0.0, 10.0, 20.0];
                let near = lines.iter().flat_map(|at| {
                    // Lines stay lines: each through two of its places.
                    let off = |a: [f64; 2], b: [f64; 2]| {
                        let (dx, dy) = (b[0] - a[0], b[1] - a[1]);
                        ((x - a[0]) * dy - (y - a[1]) * dx) / dx.hypot(dy)
                    };
                    let upright = off(px([*at, -30.0]), px([*at, 30.0]));
                    [bell(upright), bell(off(px([-40.0, *at]), px([40.0, *at])))]
                });
                light += taken.graticule * near.fold(0.0, f64::max);
            }
            let noise = (1.0 + 0.25 * light.max(0.0)).sqrt() * source.normal();
            rows.push((light + noise).round().clamp(0.0, 255.0) as u8);
        }
    }
    file(&rows)
}

/// A grey PNG of 8 bits, its rows stored as they are (RFC 1950 and 1951; PNG, second edition).
fn file(rows: &[u8]) -> Vec<u8> {
    let mut png = b"\x89PNG\r\n\x1a\n".to_vec();
    let mut header = Vec::new();
    header.extend(SIZE[0].to_be_bytes());
    header.extend(SIZE[1].to_be_bytes());
    header.extend([8, 0, 0, 0, 0]);
    chunk(&mut png, *b"IHDR", &header);
    let mut stored = vec![0x78, 0x01];
    let blocks = rows.chunks(0xffff);
    let last = blocks.len() - 1;
    for (place, block) in blocks.enumerate() {
        stored.push(u8::from(place == last));
        let length = block.len() as u16;
        stored.extend(length.to_le_bytes());
        stored.extend((!length).to_le_bytes());
        stored.extend(block);
    }
    let (mut a, mut b) = (1_u32, 0_u32);
    for byte in rows {
        a = (a + u32::from(*byte)) % 65_521;
        b = (b + a) % 65_521;
    }
    stored.extend((b << 16 | a).to_be_bytes());
    chunk(&mut png, *b"IDAT", &stored);
    chunk(&mut png, *b"IEND", &[]);
    png
}

fn chunk(png: &mut Vec<u8>, name: [u8; 4], data: &[u8]) {
    png.extend((data.len() as u32).to_be_bytes());
    let from = png.len();
    png.extend(name);
    png.extend(data);
    let mut crc = u32::MAX;
    for byte in &png[from..] {
        crc ^= u32::from(*byte);
        for _ in 0..8 {
            crc = if crc & 1 == 1 { crc >> 1 ^ 0xedb8_8320 } else { crc >> 1 };
        }
    }
    png.extend((!crc).to_be_bytes());
}
