//! A camera that is not there: `cargo run -p samepoint --example film -- MODE …` writes YUV4MPEG2 to its standard
//! output, as a program that films would. The window's tests are filmed by it, in every way that goes wrong, too.
//!
//! - `still SHOP X Y`: a crosshair at a place, in divisions of the shop's first camera, for ever;
//! - `turn SHOP X Y RADIUS FROM STEPS FRAMES [X Y]`: one that runs once round a circle, counter-clockwise from an angle in
//!   degrees, `STEPS` places of `FRAMES` frames each, beside another that stays; `TEMPO=0` in the environment: at once;
//!   `lost …`: the same, at every third place out of sight;
//! - `blink SHOP X Y`: one that is there in every second frame; `walk SHOP X Y`: one that moves with every frame;
//! - `hang SHOP X Y`: three frames, then nothing; `dark SHOP`: none in view; `ten SHOP X Y`: of 10 bits, two planes of
//!   colour behind;
//! - `silent`, `slow`, `garbage`, `line`, `huge`, `small`, `half`, `dies`: as they say; `parent`: starts a `silent` one.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    clippy::print_stderr,
    reason = "an example fails by panicking"
)]

use std::io::Write;
use std::path::Path;
use std::process::ExitCode;
use std::time::{Duration, Instant};

use reader::simulate::{Scene, Shown};
use reader::{CameraMap, Mark};
use solver::monte_carlo::Source;

/// From frame to frame.
const TICK: Duration = Duration::from_millis(50);

fn main() -> ExitCode {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let words: Vec<&str> = arguments.iter().map(String::as_str).collect();
    match film(&words, &mut std::io::stdout().lock()) {
        Err(why) if why.kind() == std::io::ErrorKind::Other => ExitCode::from(3),
        // Whoever reads may go: that is the end.
        _ => ExitCode::SUCCESS,
    }
}

fn film(words: &[&str], to: &mut impl Write) -> std::io::Result<()> {
    let number = |text: &&str| text.parse::<f64>().unwrap_or_else(|why| panic!("{text}: {why}"));
    let numbers: Vec<f64> = words.iter().skip(2).map(number).collect();
    let camera = || Filming::of(Path::new(words[1]));
    match (words.first().copied().unwrap_or_default(), &numbers[..]) {
        ("still", &[x, y]) => {
            let mut filming = camera().begun(to)?;
            loop {
                filming.frame(&[[x, y]], to)?;
            }
        }
        (how @ ("turn" | "lost"), &[x, y, radius, from, steps, frames, ref still @ ..]) => {
            let still: Vec<[f64; 2]> = still.chunks_exact(2).map(|at| [at[0], at[1]]).collect();
            let mut filming = camera().begun(to)?;
            for step in 0..steps as u32 {
                let turned = (from + 360.0 * f64::from(step) / steps).to_radians();
                let at = [x + radius * turned.cos(), y + radius * turned.sin()];
                let seen = (how == "turn" || step % 3 != 2).then_some(at);
                let all: Vec<[f64; 2]> = still.iter().copied().chain(seen).collect();
                for _ in 0..frames as u32 {
                    filming.frame(&all, to)?;
                }
            }
            Ok(())
        }
        ("blink", &[x, y]) => {
            let mut filming = camera().begun(to)?;
            loop {
                filming.frame(&[[x, y]], to)?;
                filming.frame(&[], to)?;
            }
        }
        ("walk", &[x, y]) => {
            let mut filming = camera().begun(to)?;
            for step in 0_u32.. {
                let along = 0.4 * f64::from(step % 25);
                filming.frame(&[[x + along, y - along]], to)?;
            }
            Ok(())
        }
        ("hang", &[x, y]) => {
            let mut filming = camera().begun(to)?;
            for _ in 0..3 {
                filming.frame(&[[x, y]], to)?;
            }
            forever()
        }
        ("dark", []) => {
            let mut filming = camera().begun(to)?;
            loop {
                filming.frame(&[], to)?;
            }
        }
        ("ten", &[x, y]) => {
            let mut filming = Filming { deep: true, ..camera() }.begun(to)?;
            loop {
                filming.frame(&[[x, y]], to)?;
            }
        }
        ("silent", _) => forever(),
        ("slow", _) => loop {
            for byte in b"YUV4MPEG2 W320 H240 Cmono\n".iter().chain(b"FRAME\n").cycle() {
                to.write_all(&[*byte])?;
                to.flush()?;
                std::thread::sleep(Duration::from_millis(200));
            }
        },
        ("garbage", _) => {
            let mut source = Source::seeded(5);
            loop {
                let noise: Vec<u8> =
                    (0..4096).map(|_| source.rectangular(0.0, 256.0) as u8).collect();
                to.write_all(&noise)?;
            }
        }
        ("line", _) => {
            to.write_all(b"YUV4MPEG2 W320 H240 X")?;
            loop {
                to.write_all(&[b'x'; 4096])?;
            }
        }
        ("huge", _) => {
            to.write_all(b"YUV4MPEG2 W40000 H40000 F25:1 Cmono\nFRAME\n")?;
            loop {
                to.write_all(&[7; 4096])?;
            }
        }
        ("small", _) => {
            to.write_all(b"YUV4MPEG2 W64 H64 F25:1 Cmono\n")?;
            loop {
                to.write_all(b"FRAME\n")?;
                to.write_all(&[40; 64 * 64])?;
                to.flush()?;
                std::thread::sleep(TICK);
            }
        }
        ("half", _) => to.write_all(b"YUV4MPEG2 W320 H240 F25:1 Cmono\nFRAME\nabc"),
        ("dies", _) => {
            eprintln!("early words");
            eprintln!("no camera at \u{1b}[1m/dev/video9");
            Err(std::io::Error::other("as the test wants it"))
        }
        ("parent", _) => {
            let mut child =
                std::process::Command::new(std::env::current_exe()?).arg("silent").spawn()?;
            eprintln!("started {}", child.id());
            child.wait()?;
            Ok(())
        }
        other => panic!("what is to be filmed is not known: {other:?}"),
    }
}

fn forever() -> ! {
    loop {
        std::thread::sleep(Duration::from_secs(3600));
    }
}

/// A camera, and what it filmed last.
struct Filming {
    map: CameraMap,
    size: [usize; 2],
    source: Source,
    deep: bool,
    next: Option<Instant>,
}

impl Filming {
    /// The first camera of a shop.
    fn of(shop: &Path) -> Self {
        let shop = record::Shop::load(shop).unwrap();
        let camera = &shop.cameras[0].value;
        let mark =
            |mark: &record::fact::PictureMark| Mark { px: mark.px, divisions: mark.divisions };
        let marks: Vec<Mark> = camera.marks.iter().map(mark).collect();
        let map = CameraMap::fit(camera.size_px, &marks).unwrap();
        let size = camera.size_px.map(|pixels| pixels as usize);
        let in_time = std::env::var("TEMPO").is_ok_and(|tempo| tempo == "0");
        let next = (!in_time).then(Instant::now);
        Self { map, size, source: Source::seeded(20_261_128), deep: false, next }
    }

    fn begun(self, to: &mut impl Write) -> std::io::Result<Self> {
        let [width, height] = self.size;
        let layout = if self.deep { "C420p10" } else { "Cmono XCOLORRANGE=FULL" };
        writeln!(to, "YUV4MPEG2 W{width} H{height} F20:1 Ip A1:1 {layout}")?;
        Ok(self)
    }

    /// A frame with crosshairs at these divisions, a tick after the one before.
    fn frame(&mut self, at: &[[f64; 2]], to: &mut impl Write) -> std::io::Result<()> {
        let mut scene = Scene::even(self.size, 40.0);
        (scene.read_noise, scene.photon_gain, scene.vignetting) = (2.0, 0.2, 0.3);
        scene.full_scale = Some(255.0);
        for divisions in at {
            let px = self.map.px_from_divisions(*divisions).unwrap();
            let cross = Shown::plain(px, 90.0, 3.0, 60.0);
            scene.crosshairs.push(Shown { roll_deg: 3.0, ..cross });
        }
        let pixels = scene.rendered(&mut self.source);
        to.write_all(b"FRAME\n")?;
        let bytes: Vec<u8> = if self.deep {
            // Video's range: 64 to 940 of 1023.
            let value = |pixel: &f32| (64.0 + pixel * 876.0 / 255.0).round() as u16;
            let [width, height] = self.size.map(|side| side.div_ceil(2));
            let grey = std::iter::repeat_n(512_u16, 2 * width * height);
            pixels.iter().map(value).chain(grey).flat_map(u16::to_le_bytes).collect()
        } else {
            pixels.iter().map(|pixel| *pixel as u8).collect()
        };
        to.write_all(&bytes)?;
        to.flush()?;
        if let Some(next) = &mut self.next {
            *next += TICK;
            std::thread::sleep(next.saturating_duration_since(Instant::now()));
        }
        Ok(())
    }
}
