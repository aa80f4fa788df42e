//! The camera's picture at the glass. It is drawn through the theme's own light: no brighter than that, and in the
//! deep-red theme red alone.

use egui::Ui;
use paper::style::Marker;
use solver::Channel;

use super::glass::{LiveGlass, LivePicture};
use crate::theme::Palette;
use crate::widgets::chart::{
    Chart, ChartInk, ChartPen, Map, canvas_ui, channel_marker, fitted, key_ui,
};
use crate::widgets::message_ui;

/// A picture that grew old is drawn with this share of the light.
const OLD: f32 = 0.35;

/// Room for a sentence below the picture, points.
const SENTENCE: f32 = 44.0;

/// Shows it.
pub(crate) fn live_glass_ui(ui: &mut Ui, palette: &Palette, height: f32, glass: &LiveGlass) {
    if let Some(picture) = &glass.picture {
        let said: Vec<&str> = glass.told.iter().map(|(_, said)| said.as_str()).collect();
        let telling = format!("The camera’s picture. {}", said.join(" "));
        let below = SENTENCE * (glass.told.len() as f32 + 1.0);
        let (room, _) = canvas_ui(ui, height, below, &telling);
        let [width, height] = picture.shown_px;
        let rect = fitted(room, (width / height).clamp(0.2, 5.0) as f32);
        // Pixels are counted from the middle of the first, downwards.
        let map = Map::new(rect, [-0.5, width - 0.5], [height - 0.5, -0.5]);
        picture_ui(&Chart::new(ui, palette, rect, map), palette, picture);
    }
    for (tone, said) in &glass.told {
        message_ui(ui, palette, *tone, said, false);
    }
    if glass.picture.is_some() {
        let key = "Square: left crosshair; triangle: right; diamond: not known whose. Circles as logged, small rings \
                   where each should go.";
        key_ui(ui, palette, key);
    }
}

fn picture_ui(chart: &Chart<'_>, palette: &Palette, picture: &LivePicture) {
    chart.field(palette.well);
    let light = if picture.old { palette.picture.gamma_multiply(OLD) } else { palette.picture };
    chart.picture(picture.texture, light);
    for channel in Channel::BOTH {
        let pen = ChartPen::new(1.5, palette.drawn(channel)).of(channel);
        let circle = &picture.circles[channel];
        if circle.len() > 2 {
            chart.outline(circle.iter().copied(), pen);
        }
        if let Some(at) = picture.targets[channel] {
            chart.mark(at, Marker::Dot, 7.0, ChartInk::Open(palette.here));
        }
    }
    if !picture.old {
        for (at, whose) in &picture.crosshairs {
            let (marker, colour) = whose.map_or((Marker::Diamond, palette.quiet), |channel| {
                (channel_marker(channel), palette.drawn(channel))
            });
            chart.mark(*at, marker, 11.0, ChartInk::Open(colour));
        }
    }
    chart.frame(palette.edge);
}
