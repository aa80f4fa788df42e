//! Crossing points, the ellipses they lie in, and the setting.

use core::f64::consts::TAU;

use solver::fit::SigmaBasis;
use solver::stats::quantile;
use solver::{Channel, CrossingPoint, Direction, PerChannel, Setting, SettingKind};

use super::Field;
use super::coverage::COVERAGE;
use crate::scene::{Anchor, ItemId, Role, Scene, Shape};
use crate::words;

/// Points round an ellipse: 5° of its parameter apart.
const ELLIPSE_POINTS: u16 = 72;

pub(super) fn draw(scene: &mut Scene, field: &Field<'_>) {
    crossings(scene, field);
    let Some(setting) = field.setting else { return };
    match setting.kind {
        _ if field.trying => trial(scene, setting),
        SettingKind::Crossing => {}
        SettingKind::Compromise => apart(scene, setting, "here"),
        SettingKind::ByHand => apart(scene, setting, "as chosen"),
    }
}

fn crossings(scene: &mut Scene, field: &Field<'_>) {
    let Some(solution) = field.solution else { return };
    let Some(meeting) = solution.meeting else { return };
    let kind = solution.setting.as_ref().ok().map(|setting| setting.kind);
    // A setting on record takes the place of the recommended one; one that is tried does not.
    let overruled =
        !field.trying && field.setting.is_some_and(|setting| setting.kind == SettingKind::ByHand);
    let recommended = kind == Some(SettingKind::Crossing) && !overruled;
    let places: Vec<_> = meeting.crossings().collect();
    // Farther first, so that *here* is drawn on top.
    for (rank, crossing) in (0..u8::MAX).zip(&places).rev() {
        let here = rank == 0 && recommended;
        let role = if here { Role::Here } else { Role::Elsewhere };
        let at = crossing.point;
        ellipse(scene, field, rank, crossing);
        let shape = Shape::Marker { at };
        scene.push(ItemId::Crossing(rank), role, shape, told(rank, here, crossing));
        if field.trying {
            // Words of the trial stand here; what the point is can be had by pointing at it.
            continue;
        }
        let distance = words::arcmin(crossing.boresight_arcmin);
        let text =
            if here { format!("meet here, {distance} out") } else { format!("{distance} out") };
        // Words stand away from the other crossing.
        let higher = places.iter().all(|place| place.point.y_arcmin <= at.y_arcmin);
        let anchor = if higher { Anchor::Above } else { Anchor::Below };
        scene.label(ItemId::CrossingLabel(rank), role, at, text, anchor);
    }
}

fn told(rank: u8, here: bool, crossing: &CrossingPoint) -> String {
    let what = match (here, rank) {
        (true, _) => "meet here",
        (false, 0) => "the nearer crossing",
        (false, _) => "the other crossing",
    };
    let rings = match (crossing.ring_deg.left, crossing.ring_deg.right) {
        (Some(left), Some(right)) => format!(
            "; left ring {}, right ring {}",
            words::degrees_short(left),
            words::degrees_short(right)
        ),
        _ => String::new(),
    };
    format!(
        "{what}: {}, {} from boresight{rings}",
        words::direction(crossing.point),
        words::arcmin(crossing.boresight_arcmin)
    )
}

fn ellipse(scene: &mut Scene, field: &Field<'_>, rank: u8, crossing: &CrossingPoint) {
    let (Some(covariance), Some(factor)) = (crossing.covariance_arcmin2, plane_factor(field))
    else {
        return;
    };
    let Some((semi_axes, long_rad)) = axes(covariance, factor) else { return };
    let (long, short) =
        (Direction::polar(1.0, long_rad), Direction::polar(1.0, long_rad + TAU / 4.0));
    let points = (0..ELLIPSE_POINTS)
        .map(|k| {
            let (sin, cos) = (f64::from(k) * TAU / f64::from(ELLIPSE_POINTS)).sin_cos();
            crossing.point + long * (semi_axes[0] * cos) + short * (semi_axes[1] * sin)
        })
        .collect();
    let words = format!(
        "95 % ellipse of the crossing: ± {} along its length, ± {} across",
        words::arcmin_fine(semi_axes[0]),
        words::arcmin_fine(semi_axes[1])
    );
    scene.push(ItemId::Ellipse(rank), Role::Ellipse, Shape::Line { points, closed: true }, words);
}

/// The factor by which a one-sigma ellipse of a crossing is drawn larger: χ² of two degrees where σ
/// is stated, else Hotelling's 2 F with the fewer degrees of freedom of the two fits.
fn plane_factor(field: &Field<'_>) -> Option<f64> {
    let mut fewest = None;
    for channel in Channel::BOTH {
        let fit = field.fit(channel)?;
        match fit.sigma_basis {
            SigmaBasis::Stated => {}
            SigmaBasis::Residuals => {
                let freedom = fit.degrees_of_freedom;
                fewest = Some(fewest.map_or(freedom, |fewest: usize| fewest.min(freedom)));
            }
            SigmaBasis::Unknown => return None,
        }
    }
    let squared = match fewest {
        None => quantile::chi_squared(COVERAGE, 2.0),
        Some(freedom) => quantile::f(COVERAGE, 2.0, freedom as f64).map(|f| 2.0 * f),
    };
    squared.ok().map(f64::sqrt)
}

/// Semi-axes, the longer first, and the direction of the longer, radians counter-clockwise from
/// +x: eigenvalues of a symmetric 2×2 matrix. `None` where they are not finite.
fn axes([[xx, xy], [_, yy]]: [[f64; 2]; 2], factor: f64) -> Option<([f64; 2], f64)> {
    let (middle, half) = (xx.midpoint(yy), (xx - yy).midpoint(0.0).hypot(xy));
    let semi = [middle + half, (middle - half).max(0.0)].map(|value| factor * value.sqrt());
    let long_rad = (2.0 * xy).atan2(xx - yy) / 2.0;
    (semi.iter().all(|axis| axis.is_finite()) && long_rad.is_finite()).then_some((semi, long_rad))
}

/// Each channel's own *here*, where they do not point alike.
fn apart(scene: &mut Scene, setting: &Setting, how: &str) {
    for channel in Channel::BOTH {
        let at = setting.points[channel];
        let words = setting_words(setting, channel, &format!("set the {channel} crosshair {how}"));
        scene.push(ItemId::Setting(channel), Role::Here, Shape::Marker { at }, words);
        let anchor = label_side(setting.points, channel);
        let text = format!("{channel} {how}");
        scene.label(ItemId::SettingLabel(channel), Role::Here, at, text, anchor);
    }
}

/// A setting that is only being tried: each channel's own marker, larger, in white.
fn trial(scene: &mut Scene, setting: &Setting) {
    for channel in Channel::BOTH {
        let at = setting.points[channel];
        let words =
            setting_words(setting, channel, &format!("trying the {channel} crosshair here"));
        scene.push(ItemId::Setting(channel), Role::Trial(channel), Shape::Marker { at }, words);
        let ring = setting.ring_deg[channel]
            .map_or_else(String::new, |deg| format!(" {}", words::degrees_short(deg)));
        let text = format!("try {channel}{ring}");
        let anchor = label_side(setting.points, channel);
        let id = ItemId::SettingLabel(channel);
        scene.label(id, Role::Trial(channel), at, text, anchor);
    }
}

fn setting_words(setting: &Setting, channel: Channel, what: &str) -> String {
    let ring = setting.ring_deg[channel]
        .map_or_else(String::new, |deg| format!(", ring {}", words::degrees_short(deg)));
    format!("{what}: {}{ring}", words::direction(setting.points[channel]))
}

/// Words stand away from the other crosshair.
fn label_side(points: PerChannel<Direction>, channel: Channel) -> Anchor {
    let (own, other) = (points[channel], points[channel.other()]);
    let higher = own.y_arcmin > other.y_arcmin
        || (own.y_arcmin == other.y_arcmin && channel == Channel::Left);
    if higher { Anchor::Above } else { Anchor::Below }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A matrix with eigenvalues 9 and 4, the longer along 30°: xx = 9 cos² + 4 sin² = 7.75,
    /// yy = 9 sin² + 4 cos² = 5.25, xy = (9 − 4) sin cos = 5·√3/4.
    #[test]
    fn axes_are_the_eigenvalues() {
        let xy = 5.0 * 3.0_f64.sqrt() / 4.0;
        let found = axes([[7.75, xy], [xy, 5.25]], 2.0);
        let ([long, short], rad) = found.unwrap_or(([0.0; 2], 0.0));
        // A dozen roundings of numbers below 10.
        assert!((long - 6.0).abs() < 1e-13 && (short - 4.0).abs() < 1e-13, "{long} {short}");
        assert!((rad - core::f64::consts::FRAC_PI_6).abs() < 1e-14, "{rad}");
        assert_eq!(axes([[f64::NAN, 0.0], [0.0, 1.0]], 1.0), None);
    }
}
