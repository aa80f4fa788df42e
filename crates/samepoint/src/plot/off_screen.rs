//! Arrows at the plot's edge to everything that lies beyond it: nothing is lost from sight
//! without a sign of where it went.

use egui::{
    Align2, FontId, Id, Pos2, Rect, Sense, Shape as Ink, Stroke, Ui, WidgetInfo,
    accesskit::Role as WidgetRole, vec2,
};
use egui_plot::PlotTransform;
use paper::scene::{Item, ItemId, Scene, Shape};
use paper::words;
use solver::Direction;

use super::paint::{direction_at, place};
use crate::theme::{Palette, TARGET};
use crate::widgets::TellOnHover;

/// Something beyond the edge, and what stands beside it.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct EdgeArrow {
    /// Middle of the arrow, at the edge.
    pub(super) at: Pos2,
    /// Which way it points, on screen.
    pub(super) way: egui::Vec2,
    /// What lies there, with how many more.
    pub(super) name: String,
    /// Where.
    pub(super) target: Direction,
    rank: u8,
    more: usize,
}

/// Arrows keep this far from the frame, points: half a target.
const INSET_PT: f32 = TARGET / 2.0;

/// The arrows that a view needs: what lies beyond the frame, neighbours under one arrow.
pub(super) fn arrows(scene: &Scene, transform: &PlotTransform) -> Vec<EdgeArrow> {
    let frame = *transform.frame();
    let edge = frame.shrink(INSET_PT);
    let mut arrows: Vec<EdgeArrow> = Vec::new();
    if !edge.is_positive() {
        return arrows;
    }
    let of_items = |items: &[Item], arrows: &mut Vec<EdgeArrow>| {
        for item in items {
            let Some(rank) = rank(item.id) else { continue };
            let Some(target) = beyond(item, transform, frame) else { continue };
            let Some(there) = place(transform, target) else { continue };
            add(arrows, edge, there, target, rank, || item.told.name.clone());
        }
    };
    of_items(scene.beneath(), &mut arrows);
    for marked in scene.marks().iter() {
        let Some(rank) = rank(marked.id()) else { continue };
        let (target, _) = marked.span();
        let there = place(transform, target).filter(|there| !frame.contains(*there));
        let Some(there) = there else { continue };
        add(&mut arrows, edge, there, target, rank, || marked.item().told.name);
    }
    of_items(scene.above(), &mut arrows);
    for arrow in &mut arrows {
        if arrow.more > 0 {
            arrow.name = format!("{} and {} more", arrow.name, arrow.more);
        }
    }
    arrows
}

/// An arrow to what lies `there` on screen, or one more under the arrow that stands beside it.
fn add(
    arrows: &mut Vec<EdgeArrow>,
    edge: Rect,
    there: Pos2,
    target: Direction,
    rank: u8,
    name: impl Fn() -> String,
) {
    let (at, way) = at_edge(edge, there);
    // A name above or below takes more room than one beside.
    let beside = |other: &EdgeArrow| {
        let apart = other.at - at;
        let on_side = (at.x - edge.left()).min(edge.right() - at.x) < 1.0;
        if on_side {
            apart.x.abs() < 1.0 && apart.y.abs() < 36.0
        } else {
            apart.y.abs() < 1.0 && apart.x.abs() < 170.0
        }
    };
    match arrows.iter_mut().find(|other| beside(other)) {
        Some(other) => {
            other.more += 1;
            if rank < other.rank {
                (other.rank, other.name, other.target) = (rank, name(), target);
            }
        }
        None => arrows.push(EdgeArrow { at, way, name: name(), target, rank, more: 0 }),
    }
}

/// What an arrow names first; `None` has no arrow of its own, since it belongs to what has one.
const fn rank(id: ItemId) -> Option<u8> {
    Some(match id {
        ItemId::Crossing(0) => 0,
        ItemId::Setting(_) => 1,
        ItemId::Crossing(_) => 2,
        ItemId::Circle(_) => 3,
        ItemId::Window => 4,
        ItemId::Now(_) => 5,
        ItemId::Boresight => 6,
        ItemId::Reading(..) => 7,
        ItemId::GhostCrossing(_) => 8,
        ItemId::GhostCircle(..) => 9,
        ItemId::BoresightLimit => 10,
        ItemId::SwingEnd(..) => 11,
        ItemId::Centre(_) => 12,
        ItemId::MeasureEnd(_) => 13,
        _ => return None,
    })
}

/// Where to go to see an item none of which is in the frame.
fn beyond(item: &Item, transform: &PlotTransform, frame: Rect) -> Option<Direction> {
    match &item.shape {
        Shape::Marker { at } => (!frame.contains(place(transform, *at)?)).then_some(*at),
        Shape::Circle { centre, radius_arcmin } => {
            let middle = place(transform, *centre)?;
            let radius_pt = (radius_arcmin * transform.dpos_dvalue_x()).abs() as f32;
            let farthest = [frame.left_top(), frame.right_top(), frame.left_bottom()]
                .into_iter()
                .chain([frame.right_bottom()])
                .map(|corner| corner.distance(middle))
                .fold(0.0, f32::max);
            let seen = frame.distance_to_pos(middle) <= radius_pt && radius_pt <= farthest;
            let circle = solver::OffsetCircle::unphased(*centre, *radius_arcmin);
            let looking = direction_at(transform, frame.center())?;
            (!seen).then(|| circle.nearest_to(looking))
        }
        Shape::Line { points, .. } => {
            let looking = direction_at(transform, frame.center())?;
            let near = points
                .iter()
                .copied()
                .min_by(|a, b| a.distance_arcmin(looking).total_cmp(&b.distance_arcmin(looking)))?;
            // Boxes only: their sides run along the frame's, so a side's own box tells.
            let places: Vec<Pos2> =
                points.iter().filter_map(|&point| place(transform, point)).collect();
            let seen = places
                .iter()
                .zip(places.iter().cycle().skip(1))
                .any(|(&from, &to)| frame.intersects(Rect::from_two_pos(from, to)));
            (!seen).then_some(near)
        }
        _ => None,
    }
}

/// Where the line from the middle of a frame to a place leaves it, and its direction.
fn at_edge(edge: Rect, there: Pos2) -> (Pos2, egui::Vec2) {
    let way = there - edge.center();
    let half = edge.size() / 2.0;
    let reach =
        |along: f32, room: f32| if along.abs() > 1e-3 { room / along.abs() } else { f32::MAX };
    let share = reach(way.x, half.x).min(reach(way.y, half.y));
    (edge.center() + way * share, way.normalized())
}

/// Shows the arrows as buttons; returns where the one that was pressed leads.
pub(super) fn arrows_ui(
    ui: &Ui,
    palette: &Palette,
    frame: &Rect,
    arrows: &[EdgeArrow],
) -> Option<Direction> {
    let mut pressed = None;
    for arrow in arrows {
        let rect = Rect::from_center_size(arrow.at, vec2(TARGET, TARGET));
        let response = ui.interact(rect, Id::unique(("off screen", &arrow.name)), Sense::click());
        let telling = format!("Off screen: {}. Go there.", arrow.name);
        response.widget_info(|| WidgetInfo::labeled(WidgetRole::Button, true, &telling));
        let lit = response.hovered() || response.has_focus();
        let colour = if lit { palette.here } else { palette.text };
        let painter = ui.painter();
        let (along, side) = (arrow.way * 11.0, arrow.way.rot90() * 7.0);
        let points =
            vec![arrow.at + along, arrow.at - along * 0.4 + side, arrow.at - along * 0.4 - side];
        painter.add(Ink::convex_polygon(points, colour, Stroke::new(1.5, palette.field)));
        if response.has_focus() {
            painter.rect_stroke(
                rect,
                4.0,
                Stroke::new(1.5, palette.here),
                egui::StrokeKind::Inside,
            );
        }
        let align = if arrow.way.x.abs() > arrow.way.y.abs() {
            if arrow.way.x > 0.0 { Align2::RIGHT_CENTER } else { Align2::LEFT_CENTER }
        } else if arrow.way.y > 0.0 {
            Align2::CENTER_BOTTOM
        } else {
            Align2::CENTER_TOP
        };
        let beside = arrow.at - arrow.way * (INSET_PT + 2.0);
        let text = painter.layout_no_wrap(arrow.name.clone(), FontId::proportional(12.5), colour);
        let frame = frame.shrink(4.0);
        let mut place = align.anchor_size(beside, text.size());
        place = place.translate(vec2(
            (frame.left() - place.left()).max(0.0) - (place.right() - frame.right()).max(0.0),
            (frame.top() - place.top()).max(0.0) - (place.bottom() - frame.bottom()).max(0.0),
        ));
        painter.rect_filled(place.expand2(vec2(4.0, 1.0)), 3.0, palette.field);
        painter.galley(place.min, text, colour);
        let response = response.tell_on_hover(format!(
            "{telling}\n{} from boresight",
            words::arcmin(arrow.target.boresight_arcmin())
        ));
        if response.clicked() {
            pressed = Some(arrow.target);
        }
    }
    pressed
}

#[cfg(test)]
mod tests {
    use super::*;
    use egui::pos2;

    /// Straight to the right it leaves at the right edge's middle; steeply up, at the top.
    #[test]
    fn arrows_stand_where_the_way_leaves_the_frame() {
        let edge = Rect::from_min_max(pos2(0.0, 0.0), pos2(200.0, 100.0));
        assert_eq!(at_edge(edge, pos2(1000.0, 50.0)).0, pos2(200.0, 50.0));
        assert_eq!(at_edge(edge, pos2(150.0, -150.0)).0, pos2(112.5, 0.0));
    }
}
