//! What lies under the pointer.

use std::borrow::Cow;

use egui::Pos2;
use egui_plot::PlotTransform;
use paper::measure::MeasuredEnd;
use paper::scene::{Item, Marked, Scene, Shape};
use solver::Direction;

use super::paint::{direction_at, place};

/// A marker is meant within this distance, points: a fingertip's.
pub(super) const FINGER_PT: f32 = 14.0;
/// A line is meant within this distance, points.
const LINE_PT: f32 = 7.0;

/// The item that is meant by a place on screen: a marker before a line, the nearer before the
/// farther, the upper before the lower.
pub(super) fn item_at<'a>(
    scene: &'a Scene,
    transform: &PlotTransform,
    at: Pos2,
) -> Option<Cow<'a, Item>> {
    let mut best: Option<(Distance, UnderPointer<'a>)> = None;
    let mut consider = |apart: Option<Distance>, found: UnderPointer<'a>| {
        let Some((is_line, apart)) = apart else { return };
        let is_meant = apart <= if is_line { LINE_PT } else { FINGER_PT };
        if is_meant && best.as_ref().is_none_or(|(least, _)| (is_line, apart) < *least) {
            best = Some(((is_line, apart), found));
        }
    };
    let told = |items: &'a [Item]| items.iter().rev().filter(|item| !item.told.name.is_empty());
    for item in told(scene.above()) {
        consider(distance(&item.shape, transform, at), UnderPointer::Plain(item));
    }
    for marked in scene.marks().iter().rev() {
        let to = |direction| place(transform, direction);
        let apart = match marked.span() {
            (marker, None) => to(marker).map(|marker| (false, marker.distance(at))),
            (from, Some(end)) => {
                to(from).zip(to(end)).map(|(from, end)| (true, to_segment(at, from, end)))
            }
        };
        consider(apart, UnderPointer::Marked(marked));
    }
    for item in told(scene.beneath()) {
        consider(distance(&item.shape, transform, at), UnderPointer::Plain(item));
    }
    best.map(|(_, found)| match found {
        UnderPointer::Plain(item) => Cow::Borrowed(item),
        UnderPointer::Marked(marked) => Cow::Owned(marked.item()),
    })
}

/// What lies under the pointer, before it is put in words.
enum UnderPointer<'a> {
    Plain(&'a Item),
    Marked(Marked<'a>),
}

/// Whether it is a line, and how far from it a place is, points.
type Distance = (bool, f32);

fn distance(shape: &Shape, transform: &PlotTransform, at: Pos2) -> Option<Distance> {
    match shape {
        Shape::Marker { at: marker } => Some((false, place(transform, *marker)?.distance(at))),
        Shape::Head { tip, .. } => Some((true, place(transform, *tip)?.distance(at))),
        Shape::Circle { centre, radius_arcmin } => {
            let radius_pt = (radius_arcmin * transform.dpos_dvalue_x()).abs() as f32;
            Some((true, (place(transform, *centre)?.distance(at) - radius_pt).abs()))
        }
        Shape::Line { points, closed } => {
            let mut places = points.iter().filter_map(|&point| place(transform, point));
            let first = places.next()?;
            let mut from = first;
            let mut least: Option<f32> = None;
            for to in places.chain(closed.then_some(first)) {
                let apart = to_segment(at, from, to);
                least = Some(least.map_or(apart, |least| least.min(apart)));
                from = to;
            }
            least.map(|apart| (true, apart))
        }
        Shape::Band { .. } | Shape::Text { .. } => None,
    }
}

fn to_segment(at: Pos2, from: Pos2, to: Pos2) -> f32 {
    let along = to - from;
    let length_sq = along.length_sq();
    let share =
        if length_sq > 0.0 { ((at - from).dot(along) / length_sq).clamp(0.0, 1.0) } else { 0.0 };
    at.distance(from + along * share)
}

/// The reading that is meant by a place on screen.
pub(super) fn reading_at(scene: &Scene, transform: &PlotTransform, at: Pos2) -> Option<u64> {
    let marks = scene.marks().all().iter();
    marks
        .filter_map(|mark| Some((mark.key, place(transform, mark.reading.direction)?.distance(at))))
        .filter(|(_, apart)| *apart <= FINGER_PT)
        .min_by(|a, b| a.1.total_cmp(&b.1))
        .map(|(key, _)| key)
}

/// What a measurement would start or end on here: a marker, the nearest point of a circle, or just
/// the place.
pub(super) fn snapped(scene: &Scene, transform: &PlotTransform, at: Pos2) -> Option<MeasuredEnd> {
    let raw = direction_at(transform, at)?;
    let end = |at: Direction, item: &Item| MeasuredEnd { at, on: Some(item.told.name.clone()) };
    let found = item_at(scene, transform, at).and_then(|item| match item.shape {
        Shape::Marker { at } => Some(end(at, &item)),
        Shape::Circle { centre, radius_arcmin } => {
            let circle = solver::OffsetCircle::unphased(centre, radius_arcmin);
            Some(end(circle.nearest_to(raw), &item))
        }
        _ => None,
    });
    Some(found.unwrap_or(MeasuredEnd { at: raw, on: None }))
}
