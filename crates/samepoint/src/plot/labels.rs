//! Words beside what the plot draws: none lies over another. What matters most is placed first; what finds
//! its place taken stands on another side of its item, or is left out: pointing at the item tells it.

use std::sync::Arc;

use egui::{Align2, Color32, FontId, Galley, Pos2, Rect, Ui, Vec2, vec2};
use paper::Role;
use paper::Shape as SceneShape;
use paper::scene::{Anchor, Item, ItemId, Scene};

use solver::Direction;

use crate::theme::{self, Palette};

/// Words stand this far from their place, points.
const GAP: f32 = 12.0;
/// Round words this much is kept free, points: the ground they stand on.
const ROUND: Vec2 = vec2(4.0, 1.0);

/// In a field that is lower than this, points, words of limits would lie over what is measured.
const LOW: f32 = 200.0;
/// The [`weight`] of limits.
const OF_LIMITS: u8 = 6;

/// Words that have a place.
pub(super) struct PlacedLabel {
    id: ItemId,
    /// Where they stand.
    pub(super) rect: Rect,
    /// The words, laid out.
    pub(super) galley: Arc<Galley>,
    /// In which colour.
    pub(super) colour: Color32,
}

/// All words of a scene that have a place in a view.
pub(super) struct Labels(Vec<PlacedLabel>);

impl Labels {
    /// Gives them their places in a frame, the weightiest first; where a direction is in it is said by `place`.
    pub(super) fn of(
        scene: &Scene,
        palette: &Palette,
        ui: &Ui,
        frame: Rect,
        place: impl Fn(Direction) -> Option<Pos2>,
    ) -> Self {
        let mut words: Vec<(&Item, Pos2, &str, Anchor)> = scene
            .beneath()
            .iter()
            .chain(scene.above())
            .filter_map(|item| match &item.shape {
                SceneShape::Text { at, text, anchor } => {
                    Some((item, place(*at)?, text.as_str(), *anchor))
                }
                _ => None,
            })
            .collect();
        words.retain(|(item, ..)| frame.height() >= LOW || weight(item.role) < OF_LIMITS);
        words.sort_by_key(|(item, ..)| weight(item.role));
        // Words never leave the field: they slide along its edge instead.
        let frame = frame.shrink(4.0);
        let mut placed: Vec<PlacedLabel> = Vec::new();
        for (item, at, text, anchor) in words {
            let (font, colour) = font(item.role, palette);
            let galley =
                ui.ctx().fonts_mut(|fonts| fonts.layout_no_wrap(text.to_owned(), font, colour));
            let free = sides(anchor).into_iter().find_map(|(align, offset)| {
                let mut rect = align.anchor_size(at + offset, galley.size());
                if frame.contains(at) {
                    rect = slid(rect, frame);
                }
                let ground = rect.expand2(ROUND);
                let taken = |other: &PlacedLabel| other.rect.expand2(ROUND).intersects(ground);
                (!placed.iter().any(taken)).then_some(rect)
            });
            placed.extend(free.map(|rect| PlacedLabel { id: item.id, rect, galley, colour }));
        }
        Self(placed)
    }

    /// Where an item's words stand; `None` where they found no place.
    pub(super) fn get(&self, id: ItemId) -> Option<&PlacedLabel> {
        self.0.iter().find(|placed| placed.id == id)
    }
}

/// What gives way to what: the greater to the smaller.
const fn weight(role: Role) -> u8 {
    match role {
        Role::Measure => 0,
        Role::Trial(_) => 1,
        Role::Here => 2,
        Role::Elsewhere => 3,
        Role::Ghost(_) | Role::GhostCrossing => 5,
        Role::Limit | Role::Window | Role::Guard | Role::Boresight => OF_LIMITS,
        _ => 4,
    }
}

fn font(role: Role, palette: &Palette) -> (FontId, Color32) {
    let colour = palette.role(role);
    match role {
        Role::Here | Role::Trial(_) | Role::Measure => (theme::bold(14.5), colour),
        // A faint line may carry words, but words are never faint.
        Role::Limit => (FontId::proportional(12.5), palette.quiet),
        _ => (FontId::proportional(12.5), colour),
    }
}

/// The side that words were given, then the others.
fn sides(anchor: Anchor) -> [(Align2, Vec2); 4] {
    let above = (Align2::CENTER_BOTTOM, vec2(0.0, -GAP));
    let below = (Align2::CENTER_TOP, vec2(0.0, GAP));
    let right = (Align2::LEFT_BOTTOM, vec2(GAP / 2.0, 0.0));
    let left = (Align2::RIGHT_BOTTOM, vec2(-GAP / 2.0, 0.0));
    match anchor {
        Anchor::Above => [above, right, left, below],
        Anchor::Below => [below, right, left, above],
        Anchor::Right => [right, left, below, above],
    }
}

fn slid(rect: Rect, frame: Rect) -> Rect {
    let slide = |low: f32, high: f32, from: f32, to: f32| {
        if from < low {
            low - from
        } else if to > high {
            high - to
        } else {
            0.0
        }
    };
    rect.translate(vec2(
        slide(frame.left(), frame.right(), rect.left(), rect.right()),
        slide(frame.top(), frame.bottom(), rect.top(), rect.bottom()),
    ))
}
