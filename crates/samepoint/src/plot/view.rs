//! What the plot remembers between frames: what is in view, what is held, what is measured.

use egui::{Id, Vec2};
use egui_plot::{PlotBounds, PlotTransform};
use paper::scene::{Extent, Scene};
use solver::Direction;

use super::grab::Grab;
use super::many::ManyMeshes;
use super::measuring::Measuring;
use super::paint::place;

/// What the plot remembers between frames.
#[derive(Clone, Debug, Default)]
pub struct FieldView {
    /// In which room of the program it is; each has a plot of its own.
    room: &'static str,
    /// What is shown while the view follows the readings; only grows, so that nothing jumps.
    following: Option<Extent>,
    /// Panned or zoomed by hand: left alone until *fit*.
    pub(super) by_hand: bool,
    /// A zoom asked for by key: > 1 is closer.
    pub(super) zoom: Option<f64>,
    /// A pan asked for by key, as shares of the view.
    pub(super) pan: Vec2,
    /// What to bring to the middle.
    pub(super) go_to: Option<Direction>,
    /// The transform of the last frame, for tests and pointers.
    pub(super) transform: Option<PlotTransform>,
    /// The handle that is dragged.
    pub(super) grab: Option<Grab>,
    /// Where it was dragged to last.
    pub(super) dragged_to: Option<egui::Pos2>,
    /// The measurement being made.
    pub(super) measuring: Option<Measuring>,
    /// The plot's place in the order of the keyboard.
    pub(super) keyboard: Option<Id>,
    /// Whether the plot should have the keyboard from the next frame on.
    pub(super) take_keyboard: bool,
    /// The marks as they were drawn last, where they are many.
    pub(super) many: ManyMeshes,
}

impl FieldView {
    /// A view of its own for a room of the program.
    #[must_use]
    pub fn in_room(room: &'static str) -> Self {
        Self { room, ..Self::default() }
    }

    /// What the plot is known by.
    pub(super) fn id(&self) -> Id {
        Id::unique(("field plot", self.room))
    }

    /// Shows everything, as close as it fits.
    pub fn fit(&mut self) {
        self.following = None;
        self.by_hand = false;
    }

    /// Zooms about the middle; > 1 is closer.
    pub fn zoom(&mut self, factor: f64) {
        self.zoom = Some(factor);
    }

    /// Brings a direction to the middle at the same scale.
    pub fn go_to(&mut self, direction: Direction) {
        self.go_to = Some(direction);
    }

    /// Begins to measure, or ends it.
    pub fn turn_measuring(&mut self) {
        self.measuring = match self.measuring {
            Some(_) => None,
            None => Some(Measuring::default()),
        };
        self.take_keyboard = self.measuring.is_some();
    }

    /// Ends measuring; false when nothing was measured.
    pub fn end_measuring(&mut self) -> bool {
        self.measuring.take().is_some()
    }

    /// What is measured, or what to do next; `None` when nothing is.
    #[must_use]
    pub fn measured(&self) -> Option<String> {
        self.measuring.as_ref().map(Measuring::words)
    }

    /// The measurement as drawn.
    #[must_use]
    pub fn measured_scene(&self) -> Option<Scene> {
        self.measuring.as_ref().and_then(Measuring::scene)
    }

    /// Gives the plot the keyboard.
    pub fn take_keyboard(&mut self) {
        self.take_keyboard = true;
    }

    /// Whether keys go to the plot: arrows pan it or walk its items.
    #[must_use]
    pub fn has_keyboard(&self, ctx: &egui::Context) -> bool {
        self.keyboard.is_some_and(|id| ctx.memory(|memory| memory.has_focus(id)))
    }

    /// Where a direction was drawn in the last frame, points.
    #[must_use]
    pub fn place(&self, direction: Direction) -> Option<egui::Pos2> {
        place(self.transform.as_ref()?, direction)
    }

    /// What the last frame showed, as a square to be drawn on paper; `None` before the first.
    #[must_use]
    pub fn shown(&self) -> Option<Extent> {
        let bounds = self.transform.as_ref()?.bounds();
        let centre = bounds.center();
        let half_arcmin = bounds.width().min(bounds.height()) / 2.0;
        let shown = Extent { centre: Direction::new(centre.x, centre.y), half_arcmin };
        (shown.centre.is_finite() && half_arcmin.is_finite() && half_arcmin > 0.0).then_some(shown)
    }

    /// What to show when the view is not moved by hand.
    pub(super) fn wanted(&mut self, extent: Extent, room: Vec2) -> Option<PlotBounds> {
        (!self.by_hand).then(|| bounds(self.follow(extent), room))
    }

    fn follow(&mut self, extent: Extent) -> Extent {
        let shown = match self.following {
            None => extent,
            Some(shown) if contains(shown, extent) => shown,
            Some(shown) => {
                let reach = |extent: Extent| {
                    let half = Direction::new(extent.half_arcmin, extent.half_arcmin);
                    (extent.centre - half, extent.centre + half)
                };
                let mut joined = Extent::around([reach(shown), reach(extent)]);
                // `around` adds a margin that both already have.
                joined.half_arcmin /= 1.12;
                joined
            }
        };
        self.following = Some(shown);
        shown
    }
}

fn contains(outer: Extent, inner: Extent) -> bool {
    let apart = inner.centre - outer.centre;
    let room = outer.half_arcmin - inner.half_arcmin + 1e-9;
    apart.x_arcmin.abs() <= room && apart.y_arcmin.abs() <= room
}

/// The square extent, widened to the room's shape.
fn bounds(extent: Extent, room: Vec2) -> PlotBounds {
    let (width, height) = (f64::from(room.x.max(1.0)), f64::from(room.y.max(1.0)));
    let least = width.min(height);
    let half =
        Direction::new(extent.half_arcmin * width / least, extent.half_arcmin * height / least);
    let (low, high) = (extent.centre - half, extent.centre + half);
    PlotBounds::from_min_max([low.x_arcmin, low.y_arcmin], [high.x_arcmin, high.y_arcmin])
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A view that follows grows to hold what is new and never shrinks under the hand.
    #[test]
    fn following_only_grows() {
        let mut view = FieldView::default();
        let small = Extent { centre: Direction::BORESIGHT, half_arcmin: 20.0 };
        let far = Extent { centre: Direction::new(50.0, 0.0), half_arcmin: 10.0 };
        assert_eq!(view.follow(small), small);
        let grown = view.follow(far);
        assert!(contains(grown, small) && contains(grown, far));
        assert_eq!(view.follow(small), grown);
        view.fit();
        assert_eq!(view.follow(small), small);
    }
}
