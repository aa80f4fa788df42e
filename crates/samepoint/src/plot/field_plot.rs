//! The field plot: a scene at equal scale both ways, with panning, zooming and a fit that grows.

use std::ops::RangeInclusive;

use egui::{Id, Shape, Ui, Vec2, WidgetInfo, accesskit::Role};
use egui_plot::{
    AxisHints, CoordinatesFormatter, Corner, GridMark, Plot, PlotBounds, PlotGeometry, PlotItem,
    PlotItemBase, PlotTransform,
};
use paper::scene::{Extent, ItemId, Scene};
use paper::words;
use solver::{Channel, Direction};

use crate::plot::paint::{paint, place};
use crate::theme::Palette;

/// What the plot remembers between frames.
#[derive(Clone, Debug, Default)]
pub struct FieldView {
    /// What is shown while the view follows the readings; only grows, so that nothing jumps.
    following: Option<Extent>,
    /// Panned or zoomed by hand: left alone until *fit*.
    by_hand: bool,
    /// A zoom asked for by key: > 1 is closer.
    zoom: Option<f64>,
    /// The transform of the last frame, for tests and pointers.
    transform: Option<PlotTransform>,
}

impl FieldView {
    /// Shows everything, as close as it fits.
    pub fn fit(&mut self) {
        self.following = None;
        self.by_hand = false;
    }

    /// Zooms about the middle; > 1 is closer.
    pub fn zoom(&mut self, factor: f64) {
        self.zoom = Some(factor);
    }

    /// Where a direction was drawn in the last frame, points.
    #[must_use]
    pub fn place(&self, direction: Direction) -> Option<egui::Pos2> {
        place(self.transform.as_ref()?, direction)
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

/// Shows a scene in all the room there is; returns the reading that was pressed, if one was.
/// `telling` is the picture in words.
pub fn field_plot_ui(
    ui: &mut Ui,
    view: &mut FieldView,
    scene: &Scene,
    palette: &Palette,
    telling: &str,
) -> Option<(Channel, u64)> {
    let room = ui.available_size();
    let wanted = (!view.by_hand).then(|| bounds(view.follow(scene.extent), room));
    let zoom = view.zoom.take();
    let pt_per_arcmin = match (&wanted, &view.transform) {
        (Some(bounds), _) => f64::from(room.x) / bounds.width(),
        (None, Some(transform)) => transform.dpos_dvalue_x(),
        (None, None) => 1.0,
    };
    let step = grid_step_arcmin(pt_per_arcmin);
    let arcmin_mark = |mark: GridMark, _: &RangeInclusive<f64>| {
        format!("{}′", words::number(mark.value, decimals(mark.step_size)))
    };
    let shown = Plot::new("field")
        .id(Id::unique("field plot"))
        .data_aspect(1.0)
        .auto_bounds(false)
        .show_crosshair(false)
        .allow_boxed_zoom(false)
        .allow_axis_zoom_drag(false)
        .allow_double_click_reset(false)
        .grid_color(palette.line)
        .grid_spacing(egui::Rangef::new(8.0, 60.0))
        .x_grid_spacer(even_grid(step))
        .y_grid_spacer(even_grid(step))
        .cursor_color(palette.quiet)
        .custom_x_axes(vec![
            AxisHints::new_x().formatter(arcmin_mark).label_spacing(egui::Rangef::new(34.0, 44.0)),
        ])
        .custom_y_axes(vec![
            AxisHints::new_y()
                .formatter(arcmin_mark)
                .label_spacing(egui::Rangef::new(18.0, 26.0))
                .min_thickness(44.0),
        ])
        .coordinates_formatter(
            Corner::RightBottom,
            CoordinatesFormatter::new(|point, _| {
                format!("x {}  y {}", words::arcmin(point.x), words::arcmin(point.y))
            }),
        )
        .show(ui, |plot| {
            if let Some(bounds) = wanted {
                plot.set_plot_bounds(bounds);
            }
            if let Some(factor) = zoom {
                let centre = plot.plot_bounds().center();
                plot.zoom_bounds(Vec2::splat(factor as f32), centre);
            }
            plot.add(SceneItem { scene, palette, base: PlotItemBase::new("field".to_owned()) });
        });
    let response = shown.response;
    response.widget_info(|| WidgetInfo::labeled(Role::Canvas, true, telling));
    let scrolled = response.hovered()
        && ui.input(|input| input.smooth_scroll_delta() != Vec2::ZERO || input.zoom_delta() != 1.0);
    if response.dragged() || scrolled || zoom.is_some() {
        view.by_hand = true;
    }
    let pressed = response
        .clicked()
        .then(|| response.interact_pointer_pos())
        .flatten()
        .and_then(|at| nearest_reading(scene, &shown.transform, at));
    view.transform = Some(shown.transform);
    pressed
}

/// Lines of the grid are at least this far apart, points.
const GRID_PT: f64 = 44.0;

/// The grid's step: 1, 2 or 5 times a power of ten, the same both ways.
fn grid_step_arcmin(pt_per_arcmin: f64) -> f64 {
    let least = GRID_PT / pt_per_arcmin;
    if !(least.is_finite() && least > 0.0) {
        return 10.0;
    }
    let decade = 10_f64.powf(least.log10().floor());
    [1.0, 2.0, 5.0]
        .into_iter()
        .map(|k| k * decade)
        .find(|step| *step >= least)
        .unwrap_or(10.0 * decade)
}

/// The marks of a grid, all alike.
fn even_grid(step_size: f64) -> impl Fn(egui_plot::GridInput) -> Vec<GridMark> {
    move |input| {
        let (low, high) = input.bounds;
        let (first, last) = ((low / step_size).ceil(), (high / step_size).floor());
        if !(first.is_finite() && last.is_finite()) {
            return Vec::new();
        }
        // A field is some thousand points wide at most; the clamp holds whatever the bounds.
        let count = (last - first).clamp(0.0, 256.0) as u32;
        (0..=count)
            .map(|k| GridMark { value: (first + f64::from(k)) * step_size, step_size })
            .collect()
    }
}

/// Decimals that tell grid lines of a step apart.
fn decimals(step: f64) -> usize {
    if step >= 1.0 { 0 } else { (-step.log10()).ceil().clamp(0.0, 3.0) as usize }
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

/// The reading within a fingertip of the pointer.
fn nearest_reading(
    scene: &Scene,
    transform: &PlotTransform,
    at: egui::Pos2,
) -> Option<(Channel, u64)> {
    scene
        .items
        .iter()
        .filter_map(|item| match (item.id, &item.shape) {
            (ItemId::Reading(channel, key), paper::Shape::Marker { at: direction }) => {
                Some(((channel, key), place(transform, *direction)?.distance(at)))
            }
            _ => None,
        })
        .filter(|(_, distance)| *distance <= 14.0)
        .min_by(|a, b| a.1.total_cmp(&b.1))
        .map(|(found, _)| found)
}

/// The whole scene as one plot item, so that nothing is drawn by a rule other than the scene's.
struct SceneItem<'a> {
    scene: &'a Scene,
    palette: &'a Palette,
    base: PlotItemBase,
}

impl PlotItem for SceneItem<'_> {
    fn shapes(&self, ui: &Ui, transform: &PlotTransform, shapes: &mut Vec<Shape>) {
        paint(self.scene, self.palette, ui, transform, shapes);
    }

    fn initialize(&mut self, _x_range: RangeInclusive<f64>) {}

    fn color(&self) -> egui::Color32 {
        self.palette.text
    }

    fn allow_hover(&self) -> bool {
        false
    }

    fn geometry(&self) -> PlotGeometry<'_> {
        PlotGeometry::None
    }

    fn bounds(&self) -> PlotBounds {
        let Extent { centre, half_arcmin } = self.scene.extent;
        PlotBounds::from_min_max(
            [centre.x_arcmin - half_arcmin, centre.y_arcmin - half_arcmin],
            [centre.x_arcmin + half_arcmin, centre.y_arcmin + half_arcmin],
        )
    }

    fn base(&self) -> &PlotItemBase {
        &self.base
    }

    fn base_mut(&mut self) -> &mut PlotItemBase {
        &mut self.base
    }
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

    /// Lines keep their distance at every scale, and do not thin out more than fivefold.
    #[test]
    fn grid_steps_are_round_and_roomy() {
        for (scale, step) in [(4.4, 10.0), (8.0, 10.0), (9.0, 5.0), (44.0, 1.0), (0.1, 500.0)] {
            assert_eq!(grid_step_arcmin(scale), step, "{scale}");
        }
        assert_eq!(grid_step_arcmin(f64::NAN), 10.0);
    }

    #[test]
    fn grid_labels_show_their_step() {
        assert_eq!([10.0, 1.0, 0.5, 0.1, 0.01].map(decimals), [0, 0, 1, 1, 2]);
    }
}
