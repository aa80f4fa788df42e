//! What was done, and what a remedy is predicted to give, in words.

use solver::remedy::{PredictedKind, PredictedSetting};

use crate::fact::Remedy;
use crate::figures::{arcmin, bearing, degrees_short, number, percent};
use crate::housing::ShimEnds;
use crate::unit::Shim;

/// A remedy that was carried out: `left tube shimmed by 0.15 mm at clock 120°, full length`.
#[must_use]
pub fn said(remedy: &Remedy) -> String {
    match remedy {
        Remedy::Shim(shims) => {
            let each = shims.iter().map(|under| {
                format!("{} tube shimmed by {}", under.channel.word(), shim(&under.shim))
            });
            each.collect::<Vec<_>>().join("; ")
        }
        Remedy::SwapEyepieces => "eyepieces swapped".to_owned(),
        Remedy::SwapTubes => "tubes swapped".to_owned(),
        Remedy::TurnTube(turned) => {
            format!("{} tube turned by {}", turned.channel.word(), degrees_short(turned.by_deg))
        }
        Remedy::ReplaceTube(channel) => format!("{} tube replaced", channel.word()),
        Remedy::ReplaceEyepiece(channel) => format!("{} eyepiece replaced", channel.word()),
        Remedy::Other => "another remedy".to_owned(),
    }
}

/// What a remedy is predicted to give, as one sentence about one setting:
/// `The circles meet 14.3′ from boresight, using 95 % of the window: inside.`
#[must_use]
pub fn gives(setting: Option<&PredictedSetting>) -> String {
    let Some(setting) = setting else {
        return "The circles do not meet.".to_owned();
    };
    let away = arcmin(setting.boresight_arcmin());
    let apart = arcmin(setting.misalignment().length_arcmin());
    let place = match setting.kind {
        PredictedKind::Crossing => format!("The circles then meet {away} from boresight"),
        PredictedKind::Compromise => format!(
            "Better than any crossing is a compromise that leaves the channels {apart} apart, {away} \
             from boresight"
        ),
        PredictedKind::NearestApproach => format!(
            "The circles do not meet; the best compromise leaves the channels {apart} apart, {away} \
             from boresight"
        ),
    };
    let at_rest = percent(setting.window_use.worst());
    let used = match &setting.over_swing {
        Some(worst) => {
            let worst = percent(worst.used.worst());
            format!("{at_rest} of the window, {worst} at worst over the swing")
        }
        None => format!("{at_rest} of the window"),
    };
    let side = if setting.is_inside() { "inside" } else { "outside" };
    format!("{place}, using {used}: {side}.")
}

/// A shim: `0.15 mm at clock 120°, full length`. Heights to a hundredth, thousandths where a leaf
/// has them.
#[must_use]
pub fn shim(shim: &Shim) -> String {
    let height = shim.height_mm();
    let hundredths = 100.0 * height;
    let decimals = if (hundredths - hundredths.round()).abs() < 1e-6 { 2 } else { 3 };
    let ends = match shim.ends {
        ShimEnds::Both => "full length",
        ShimEnds::Front => "front end",
        ShimEnds::Rear => "rear end",
    };
    let tenths = usize::from((shim.clock_deg - shim.clock_deg.round()).abs() >= 0.05);
    format!("{} mm at clock {}, {ends}", number(height, decimals), bearing(shim.clock_deg, tenths))
}

#[cfg(test)]
#[allow(clippy::unwrap_used, clippy::panic, reason = "tests fail by panicking")]
mod tests {
    use solver::fit::{Reading, SenseChoice, Spread, fit_circle};
    use solver::optics::TubeImage;
    use solver::remedy::swap::TubeFacts;
    use solver::remedy::{Ranking, Situation, rank};
    use solver::swing::SwingRange;
    use solver::{Direction, PerChannel, Window};

    use super::gives;

    /// Circles read exactly at twelve ring angles, ranked without seats: as it is, and with the
    /// eyepieces swapped.
    fn ranked(
        circles: PerChannel<([f64; 2], f64)>,
        window: &Window,
        swing: Option<SwingRange>,
    ) -> Ranking {
        let spread = Spread { sigma_arcmin: Some(0.3), ring_sigma_deg: 0.0 };
        let fits = PerChannel::from_fn(|channel| {
            let ([x, y], radius) = circles[channel];
            let readings: Vec<Reading> = (0..12)
                .map(|place| 30.0 * f64::from(place))
                .map(|ring_deg| {
                    let (sin, cos) = (-ring_deg).to_radians().sin_cos();
                    let direction = Direction::new(x + radius * cos, y + radius * sin);
                    Reading { direction, ring_deg: Some(ring_deg) }
                })
                .collect();
            fit_circle(channel, &readings, spread, SenseChoice::Auto).unwrap()
        });
        rank(&Situation {
            fits: fits.as_ref(),
            window,
            swing,
            seats: PerChannel::default(),
            effect: None,
            image: TubeImage::Inverted,
            tubes: TubeFacts::default(),
        })
        .unwrap()
    }

    fn said(circles: PerChannel<([f64; 2], f64)>, window: &Window) -> String {
        gives(ranked(circles, window, None).baseline.setting.as_ref())
    }

    /// Radii 25′ about (∓15′, 0): they cross at (0, ±√(25² − 15²)) = (0, ±20′).
    #[test]
    fn a_sentence_is_of_one_setting() {
        let circles = PerChannel { left: ([-15.0, 0.0], 25.0), right: ([15.0, 0.0], 25.0) };
        let wide = Window::new(45.0, 20.0, 15.0, Some(40.0)).unwrap();
        assert_eq!(
            said(circles, &wide),
            "The circles then meet 20.0′ from boresight, using 50 % of the window: inside."
        );
        // Out to 15′ only. Both channels brought down to y, each on its own circle, converge by
        // 2√(625 − y²) − 30, of 45′: y/15 is the same share at 13y² + 180y − 1600 = 0, y = 6.15′,
        // 41.03 %. With one a little above the other it is less.
        let narrow = Window::new(45.0, 20.0, 15.0, Some(15.0)).unwrap();
        let told = said(circles, &narrow);
        assert!(told.starts_with("Better than any crossing is a compromise"), "{told}");
        assert!(!told.contains("20.0′"), "the crossing's place is of another setting: {told}");
        let Some(setting) = ranked(circles, &narrow, None).baseline.setting else { panic!() };
        let (y, apart) = (setting.boresight_arcmin(), setting.misalignment().length_arcmin());
        assert!((setting.worst() - y / 15.0).abs() < 1e-6, "the use is of the place told");
        assert!(setting.worst() < 0.4103 && setting.worst() > 0.3);
        assert!(told.contains(&format!("{y:.1}′ from boresight")), "{told}");
        assert!(told.contains(&format!("{apart:.1}′ apart")), "{told}");
        assert!(told.ends_with("of the window: inside."), "{told}");
    }

    /// Radii 10′ about (∓40′, 30′): 60′ apart at the nearest, three times the 20′ that eyes may
    /// diverge; 58.3′ would be a wrong place for it, 30′ is right.
    #[test]
    fn circles_that_do_not_meet_are_not_said_to_meet() {
        let circles = PerChannel { left: ([-40.0, 30.0], 10.0), right: ([40.0, 30.0], 10.0) };
        let window = Window::new(45.0, 20.0, 15.0, Some(40.0)).unwrap();
        assert_eq!(
            said(circles, &window),
            "The circles do not meet; the best compromise leaves the channels 60.0′ apart, 30.0′ from \
             boresight, using 300 % of the window: outside."
        );
    }

    /// Over a swing the setting told is never worse than the crossing it was ranked by.
    #[test]
    fn over_a_swing_what_is_told_is_what_was_ranked() {
        let window = Window::new(45.0, 20.0, 15.0, Some(15.0)).unwrap();
        let range = SwingRange::new(-20.0, 20.0).unwrap();
        let mut told_otherwise = 0;
        for x in [4.0, 8.0, 12.0, 16.0, 20.0] {
            for y in [0.0, 15.0, 30.0] {
                let circles = PerChannel { left: ([-x, y], 24.0), right: ([x, y], 27.0) };
                let ranking = ranked(circles, &window, Some(range));
                let all = ranking.remedies.iter().map(|remedy| &remedy.predicted);
                for predicted in all.chain([&ranking.baseline]) {
                    let Some(setting) = &predicted.setting else { continue };
                    assert!(setting.worst() <= predicted.score, "{x} {y}: {setting:?}");
                    told_otherwise += usize::from(setting.worst() < predicted.score);
                }
            }
        }
        assert!(told_otherwise > 5, "{told_otherwise}");
    }
}
