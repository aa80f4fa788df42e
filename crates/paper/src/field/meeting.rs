//! Crossing points, the ellipses they lie in, and the setting.

use solver::{Channel, CircleFit, CrossingPoint, Direction, PerChannel, Setting, SettingKind};

use super::Field;
use crate::scene::{Anchor, ItemId, ItemTold, Role, Scene, Shape};
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
        // Where readings do not fit, no region of theirs holds.
        let fit_well = |of| !field.fit(of).is_some_and(CircleFit::does_not_fit);
        if Channel::BOTH.into_iter().all(fit_well) {
            ellipse(scene, rank, crossing);
        }
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

fn told(rank: u8, here: bool, crossing: &CrossingPoint) -> ItemTold {
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
    let far = if crossing.uncertainty.is_some() && !crossing.is_linear() {
        "; a small error moves it far, so no ellipse is drawn"
    } else {
        ""
    };
    let numbers = format!(
        "{}, {} from boresight{rings}{far}",
        words::direction(crossing.point),
        words::arcmin(crossing.boresight_arcmin)
    );
    ItemTold::new(what.to_owned(), numbers)
}

fn ellipse(scene: &mut Scene, rank: u8, crossing: &CrossingPoint) {
    let Some(ellipse) = crossing.ellipse() else { return };
    let numbers = format!(
        "± {} along its length, ± {} across",
        words::arcmin_fine(ellipse.semi_major_arcmin),
        words::arcmin_fine(ellipse.semi_minor_arcmin),
    );
    let shape = Shape::Line { points: ellipse.path(ELLIPSE_POINTS), closed: true };
    let told = ItemTold::new("95 % ellipse of the crossing".to_owned(), numbers);
    scene.push(ItemId::Ellipse(rank), Role::Ellipse, shape, told);
}

/// Each channel's own *here*, where they do not point alike.
fn apart(scene: &mut Scene, setting: &Setting, how: &str) {
    for channel in Channel::BOTH {
        let at = setting.points[channel];
        let words = set_there(setting, channel, format!("set the {channel} crosshair {how}"));
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
        let words = set_there(setting, channel, format!("trying the {channel} crosshair here"));
        scene.push(ItemId::Setting(channel), Role::Trial(channel), Shape::Marker { at }, words);
        let ring = setting.ring_deg[channel]
            .map_or_else(String::new, |deg| format!(" {}", words::degrees_short(deg)));
        let text = format!("try {channel}{ring}");
        let anchor = label_side(setting.points, channel);
        let id = ItemId::SettingLabel(channel);
        scene.label(id, Role::Trial(channel), at, text, anchor);
    }
}

fn set_there(setting: &Setting, channel: Channel, name: String) -> ItemTold {
    let ring = setting.ring_deg[channel]
        .map_or_else(String::new, |deg| format!(", ring {}", words::degrees_short(deg)));
    ItemTold::new(name, format!("{}{ring}", words::direction(setting.points[channel])))
}

/// Words stand away from the other crosshair.
fn label_side(points: PerChannel<Direction>, channel: Channel) -> Anchor {
    let (own, other) = (points[channel], points[channel.other()]);
    let higher = own.y_arcmin > other.y_arcmin
        || (own.y_arcmin == other.y_arcmin && channel == Channel::Left);
    if higher { Anchor::Above } else { Anchor::Below }
}
