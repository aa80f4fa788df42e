//! A scene as the plot library takes it.

use core::cell::RefCell;
use std::ops::RangeInclusive;
use std::sync::Arc;

use egui::{Shape, Ui};
use egui_plot::{PlotBounds, PlotGeometry, PlotItem, PlotItemBase, PlotTransform};
use paper::scene::{Extent, Scene};

use super::many::ManyMeshes;
use super::paint::paint;
use crate::theme::Palette;

/// How a scene is drawn.
enum DrawnAs<'a> {
    /// Item by item.
    Few(&'a Scene),
    /// Its marks made ready once for a view.
    Many(&'a Arc<Scene>, &'a RefCell<ManyMeshes>),
}

/// The whole scene as one plot item, so that nothing is drawn by a rule other than the scene's.
pub(super) struct SceneItem<'a> {
    scene: DrawnAs<'a>,
    palette: &'a Palette,
    base: PlotItemBase,
}

impl<'a> SceneItem<'a> {
    /// A scene under a name.
    pub(super) fn new(name: &str, scene: &'a Scene, palette: &'a Palette) -> Self {
        let scene = DrawnAs::Few(scene);
        Self { scene, palette, base: PlotItemBase::new(name.to_owned()) }
    }

    /// The same of a scene that may have many marks.
    pub(super) fn of_many(
        name: &str,
        scene: &'a Arc<Scene>,
        palette: &'a Palette,
        many: &'a RefCell<ManyMeshes>,
    ) -> Self {
        let scene = DrawnAs::Many(scene, many);
        Self { scene, palette, base: PlotItemBase::new(name.to_owned()) }
    }

    fn scene(&self) -> &Scene {
        match self.scene {
            DrawnAs::Few(scene) => scene,
            DrawnAs::Many(scene, _) => scene,
        }
    }
}

impl PlotItem for SceneItem<'_> {
    fn shapes(&self, ui: &Ui, transform: &PlotTransform, shapes: &mut Vec<Shape>) {
        match self.scene {
            DrawnAs::Few(scene) => paint(scene, self.palette, ui, transform, shapes),
            DrawnAs::Many(scene, many) => {
                many.borrow_mut().paint(scene, self.palette, ui, transform, shapes);
            }
        }
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
        let Extent { centre, half_arcmin } = self.scene().extent;
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
