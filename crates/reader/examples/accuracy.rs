//! How well invented pictures are read, kind by kind: `cargo run --release -p reader --example accuracy [N]`,
//! N pictures a kind.
#![allow(
    clippy::unwrap_used,
    clippy::print_stdout,
    clippy::use_debug,
    reason = "an example prints, and fails by panicking"
)]

#[path = "../../../tests/reader/tally.rs"]
mod tally;

use reader::simulate::{Kind, Scene, Shown};
use solver::monte_carlo::Source;
use tally::{Tally, read_scene, tally};

fn main() {
    let mut arguments = std::env::args().skip(1);
    let count: u64 = arguments.next().and_then(|n| n.parse().ok()).unwrap_or(200);
    let only = arguments.next();
    println!("kind | pictures | read | bias px | rms px | in 95 % | > 1 px | > 5 sd | refused");
    for (place, kind) in Kind::ALL.into_iter().enumerate() {
        if only.as_ref().is_some_and(|only| *only != format!("{kind:?}")) {
            continue;
        }
        let first = 1_000_000 * (place as u64 + 1);
        let found = tally(kind, [320, 240], first..first + count);
        println!(
            "{kind:?} | {} | {} | {:.4} | {:.4} | {:.1} % | {} | {} | {:?}",
            found.pictures,
            found.read,
            found.bias(),
            found.rms(),
            100.0 * found.inside_share(),
            found.far_off.len(),
            found.beyond.len(),
            found.refusals
        );
        for far in found.far_off.iter().chain(&found.beyond) {
            println!("    {far}");
        }
    }
    bound(count);
}

/// A cross of 161 px with σ 1.5 px against the bound 1.062 √σ / (SNR √length).
fn bound(count: u64) {
    println!("SNR | pictures | read | rms px | bound px | ratio | in 95 %");
    for snr in [2.0, 3.0, 5.0, 10.0, 20.0, 40.0] {
        let mut found = Tally::default();
        for seed in 0..count {
            let mut source = Source::seeded(77_000_000 + seed);
            let mut scene = Scene::even([200, 200], 20.0);
            let at = [source.rectangular(97.0, 103.0), source.rectangular(97.0, 103.0)];
            let mut shown = Shown::plain(at, snr, 1.5 * 2.3548, 80.0);
            shown.roll_deg = source.rectangular(-20.0, 20.0);
            scene.crosshairs.push(shown);
            found.pictures += 1;
            if let Ok(crosshairs) = read_scene(&scene, false, &mut source) {
                found.read += 1;
                for crosshair in crosshairs {
                    found.count(&crosshair, &[at], &format!("SNR {snr}, {seed}"));
                }
            }
        }
        let bound = 1.062 * 1.5_f64.sqrt() / (snr * 161.0_f64.sqrt());
        println!(
            "{snr} | {} | {} | {:.4} | {bound:.4} | {:.2} | {:.1} %",
            found.pictures,
            found.read,
            found.rms(),
            found.rms() / bound,
            100.0 * found.inside_share()
        );
    }
}
