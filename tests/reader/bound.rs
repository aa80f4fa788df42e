//! No unbiased estimator of a line's place does better than 1.062 √σ / (SNR √length): the bound of Cramér
//! and Rao for a normal profile in white noise (2 σ/√π = 1.128 σ is its square). Measured elsewhere for a
//! cross of 161 px with σ 1.5 px: 0.053, 0.022, 0.011 and 0.003 px at SNR 2, 5, 10 and 40.

use reader::simulate::{Scene, Shown};
use solver::monte_carlo::Source;

use crate::tally::{Tally, read_scene};

const SIGMA_PX: f64 = 1.5;

fn at(snr: f64, count: u64) -> Tally {
    let mut found = Tally::default();
    for seed in 0..count {
        let mut source = Source::seeded(77_000_000 + seed);
        let mut scene = Scene::even([200, 200], 20.0);
        let at = [source.rectangular(97.0, 103.0), source.rectangular(97.0, 103.0)];
        // 2 √(2 ln 2) standard deviations wide at half height.
        let mut shown = Shown::plain(at, snr, SIGMA_PX * 2.3548, 80.0);
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
    found
}

#[test]
fn it_is_reached_within_a_third() {
    for snr in [3.0, 5.0, 10.0, 20.0, 40.0] {
        let found = at(snr, 150);
        let bound = 1.062 * SIGMA_PX.sqrt() / (snr * 161.0_f64.sqrt());
        assert!(found.read >= 145, "SNR {snr}: {found:?}");
        assert!(found.rms() <= 1.3 * bound, "SNR {snr}: {} against {bound}", found.rms());
        // Far below it, the scene would not be what it says.
        assert!(found.rms() >= 0.85 * bound, "SNR {snr}: {} against {bound}", found.rms());
        assert!(found.bias() <= 4.0 * bound / 150.0_f64.sqrt(), "SNR {snr}: {}", found.bias());
        assert!(
            (0.90..=1.0).contains(&found.inside_share()),
            "SNR {snr}: {}",
            found.inside_share()
        );
    }
}
