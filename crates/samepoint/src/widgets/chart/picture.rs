//! A picture in pixels, drawn through a light.

use egui::{Color32, Rect, TextureId, pos2};

use super::Chart;

impl Chart<'_> {
    /// A texture over the whole field. Each of its pixels is multiplied with `light`, colour by colour: white becomes
    /// that, and nothing brighter.
    pub(crate) fn picture(&self, texture: TextureId, light: Color32) {
        let whole = Rect::from_min_max(pos2(0.0, 0.0), pos2(1.0, 1.0));
        self.painter.image(texture, self.map.rect(), whole, light);
    }
}
