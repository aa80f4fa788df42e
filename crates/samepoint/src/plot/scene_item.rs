//! A scene as the plot library takes it.

use std::ops::RangeInclusive;

use egui::{Shape, Ui};
use egui_plot::{PlotBounds, PlotGeometry, PlotItem, PlotItemBase, PlotTransform};
use paper::scene::{Extent, Scene};

use super::paint::paint;
use crate::theme::Palette;

/// The whole scene as one plot item, so that nothing is drawn by a rule other than the scene's.
pub(super) struct SceneItem<'a> {
    scene: &'a Scene,
    palette: &'a Palette,
    base: PlotItemBase,
}

impl<'a> SceneItem<'a> {
    /// A scene under a name.
    pub(super) fn new(name: &str, scene: &'a Scene, palette: &'a Palette) -> Self {
        Self { scene, palette, base: PlotItemBase::new(name.to_owned()) }
    }
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
