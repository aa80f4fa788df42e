//! The offset circles and the bands they lie in.

use core::f64::consts::TAU;

use solver::{Channel, CircleFit, Direction, OffsetCircle};

use super::{Field, plus_minus};
use crate::scene::{ItemId, ItemTold, Role, Scene, Shape};
use crate::words;

/// Points round a band: 2° apart.
const BAND_POINTS: u16 = 180;

pub(super) fn draw(scene: &mut Scene, field: &Field<'_>) {
    for channel in Channel::BOTH {
        if let Some(fit) = field.fit(channel) {
            band(scene, channel, fit);
            circle(scene, channel, fit);
        } else if let Some(circle) = field.circles[channel] {
            alone(scene, channel, circle);
        }
    }
}

fn alone(scene: &mut Scene, channel: Channel, circle: OffsetCircle) {
    let OffsetCircle { centre, radius_arcmin, .. } = circle;
    let shape = Shape::Circle { centre, radius_arcmin };
    let words = words::circle(channel, &circle);
    scene.push(ItemId::Circle(channel), Role::Circle(channel), shape, words);
}

fn circle(scene: &mut Scene, channel: Channel, fit: &CircleFit) {
    let doubtful = fit.arc_too_short();
    let role = if doubtful { Role::DoubtfulCircle(channel) } else { Role::Circle(channel) };
    let (centre, radius_arcmin) = (fit.circle.centre, fit.circle.radius_arcmin);
    let numbers = format!(
        "centre {}, radius {}{}{}",
        words::direction(centre),
        words::arcmin(radius_arcmin),
        plus_minus(fit.radius_u_arcmin(), fit.coverage_factor()),
        if doubtful { ", read over too short an arc to trust" } else { "" },
    );
    scene.push(
        ItemId::Circle(channel),
        role,
        Shape::Circle { centre, radius_arcmin },
        ItemTold::new(format!("{channel} circle"), numbers),
    );
    let told = ItemTold::new(format!("centre of the {channel} circle"), words::direction(centre));
    let shape = Shape::Marker { at: centre };
    scene.push(ItemId::Centre(channel), Role::Centre(channel), shape, told);
}

/// Edge ± factor·u along the normal, all round. The band of a circle from too short an arc would
/// be as wide as the circle: the doubtful circle says so itself.
fn band(scene: &mut Scene, channel: Channel, fit: &CircleFit) {
    let (Some(covariance), Some(factor)) = (fit.covariance, fit.coverage_factor()) else { return };
    if fit.arc_too_short() {
        return;
    }
    let (centre, radius) = (fit.circle.centre, fit.circle.radius_arcmin);
    let (mut outer, mut inner) = (Vec::new(), Vec::new());
    let (mut least, mut most) = (f64::INFINITY, 0.0_f64);
    for k in 0..BAND_POINTS {
        let angle_rad = f64::from(k) * TAU / f64::from(BAND_POINTS);
        let normal = Direction::polar(1.0, angle_rad);
        let variance = covariance.edge_variance_arcmin2(normal.x_arcmin, normal.y_arcmin);
        let half = factor * variance.sqrt();
        if !half.is_finite() {
            return;
        }
        (least, most) = (least.min(half), most.max(half));
        outer.push(centre + normal * (radius + half));
        inner.push(centre + normal * (radius - half).max(0.0));
    }
    let words = format!(
        "95 % band of the {channel} circle: ± {} where it is known best, ± {} where least",
        words::arcmin_fine(least),
        words::arcmin_fine(most)
    );
    scene.push(ItemId::Band(channel), Role::Band(channel), Shape::Band { outer, inner }, words);
}
