//! Counts what becomes of invented pictures of a kind: read, refused, how far off, how often inside.

use std::collections::BTreeMap;

use reader::simulate::{Kind, Scene, drawn};
use reader::{Crosshair, Looking, Picture, Refusal, read};
use solver::monte_carlo::Source;

/// What pictures of one kind came to.
#[derive(Clone, Debug, Default)]
pub(crate) struct Tally {
    pub(crate) pictures: usize,
    /// Pictures of which at least one crosshair was reported.
    pub(crate) read: usize,
    pub(crate) crosshairs: usize,
    pub(crate) refusals: BTreeMap<&'static str, usize>,
    /// Sums of errors and of their squares, each way, pixels.
    pub(crate) sums: [f64; 2],
    pub(crate) squares: f64,
    /// Inside the 95 % ellipse.
    pub(crate) inside: usize,
    /// Off by more than 1 px; by more than 5 σ.
    pub(crate) far_off: Vec<String>,
    pub(crate) beyond: Vec<String>,
}

impl Tally {
    pub(crate) fn bias(&self) -> f64 {
        let n = self.crosshairs.max(1) as f64;
        (self.sums[0] / n).hypot(self.sums[1] / n)
    }

    /// Each axis.
    pub(crate) fn rms(&self) -> f64 {
        (self.squares / (2.0 * self.crosshairs.max(1) as f64)).sqrt()
    }

    pub(crate) fn inside_share(&self) -> f64 {
        self.inside as f64 / self.crosshairs.max(1) as f64
    }

    /// A crosshair that was found, against those that are there.
    pub(crate) fn count(&mut self, found: &Crosshair, truth: &[[f64; 2]], which: &str) {
        let off = |at: &[f64; 2]| (found.px[0] - at[0]).hypot(found.px[1] - at[1]);
        let nearest = truth.iter().min_by(|a, b| off(a).total_cmp(&off(b)));
        self.crosshairs += 1;
        let Some(nearest) = nearest else {
            self.far_off.push(format!("{which}: none is there, {found:?}"));
            return;
        };
        let [dx, dy] = [found.px[0] - nearest[0], found.px[1] - nearest[1]];
        let [xx, xy, yy] = found.covariance_px2;
        let distance2 = (yy * dx * dx - 2.0 * xy * dx * dy + xx * dy * dy) / (xx * yy - xy * xy);
        // χ² of two degrees of freedom: −2 ln 0.05.
        self.inside += usize::from(distance2 <= -2.0 * 0.05_f64.ln());
        let told = || {
            format!(
                "{which}: off {dx:.3}, {dy:.3}, {:.1} σ, {nearest:?} {found:?}",
                distance2.sqrt()
            )
        };
        if off(nearest) > 1.0 {
            self.far_off.push(told());
        } else {
            self.sums[0] += dx;
            self.sums[1] += dy;
            self.squares += dx * dx + dy * dy;
        }
        if distance2 > 25.0 {
            self.beyond.push(told());
        }
    }
}

/// A word for a refusal.
pub(crate) fn word(refusal: &Refusal) -> &'static str {
    match refusal {
        Refusal::NotNumbers => "not numbers",
        Refusal::NoneFound => "none found",
        Refusal::NoCross { .. } => "no cross",
        Refusal::Ambiguous { .. } => "ambiguous",
        Refusal::Crowded { .. } => "crowded",
        Refusal::Doubled { .. } => "doubled",
        Refusal::Unlike { .. } => "unlike",
        Refusal::Cut { .. } => "cut",
        Refusal::Saturated { .. } => "saturated",
        Refusal::TooFaint => "too faint",
        Refusal::TooBlurred { .. } => "too blurred",
    }
}

/// A scene rendered and read.
pub(crate) fn read_scene(
    scene: &Scene,
    with_background: bool,
    source: &mut Source,
) -> Result<Vec<Crosshair>, Refusal> {
    let pixels = scene.rendered(source);
    let under = with_background.then(|| scene.background().rendered(source));
    let full = scene.full_scale.map(|full| full as f32);
    let picture = Picture::new(&pixels, scene.size, full).unwrap();
    let under = under.as_ref().map(|under| Picture::new(under, scene.size, full).unwrap());
    let dark = scene.crosshairs.iter().any(|cross| cross.height < 0.0);
    read(&picture, under.as_ref(), &Looking { dark, radial: None }).unwrap()
}

/// `count` pictures of a kind, from a seed each.
pub(crate) fn tally(kind: Kind, size: [usize; 2], seeds: std::ops::Range<u64>) -> Tally {
    let mut tally = Tally::default();
    for seed in seeds {
        let mut source = Source::seeded(seed);
        let (scene, with_background) = drawn(kind, size, &mut source);
        tally.pictures += 1;
        match read_scene(&scene, with_background, &mut source) {
            Ok(found) => {
                tally.read += 1;
                let truth: Vec<[f64; 2]> = scene.crosshairs.iter().map(|shown| shown.px).collect();
                for found in &found {
                    tally.count(found, &truth, &format!("{kind:?} {seed}"));
                }
            }
            Err(refusal) => *tally.refusals.entry(word(&refusal)).or_default() += 1,
        }
    }
    tally
}
