//! The camera's picture at the glass, in the theme's own light; what lies over it in the theme's colour for that, so
//! that channels are told apart by line and marker.

use egui::{Rect, Sense, Ui, Vec2};
use paper::style::Marker;
use solver::Channel;

use super::glass::{LiveGlass, LivePicture};
use crate::theme::Palette;
use crate::widgets::chart::{
    Chart, ChartInk, ChartPen, Map, canvas_ui, channel_marker, key_ui, room_ui,
};
use crate::widgets::message_ui;

/// Room for a sentence below the picture, points.
const SENTENCE: f32 = 58.0;

/// And for what its marks mean.
const KEY: f32 = 34.0;

/// Shows it.
pub(crate) fn live_glass_ui(ui: &mut Ui, palette: &Palette, height: f32, glass: &LiveGlass) {
    if let Some(picture) = &glass.picture {
        let below = live_words_height(glass) + SENTENCE;
        let (room, _) = canvas_ui(ui, height, below, &telling(glass));
        shown_ui(ui, palette, room, picture);
    }
    live_words_ui(ui, palette, glass);
}

/// The picture alone, in a room of this size.
pub(crate) fn live_picture_ui(ui: &mut Ui, palette: &Palette, size: Vec2, glass: &LiveGlass) {
    let (room, _) = room_ui(ui, size, Sense::hover(), &telling(glass));
    if let Some(picture) = &glass.picture {
        shown_ui(ui, palette, room, picture);
    }
}

/// Room for what stands below the picture, points.
pub(crate) fn live_words_height(glass: &LiveGlass) -> f32 {
    SENTENCE * glass.told.len() as f32 + KEY
}

fn telling(glass: &LiveGlass) -> String {
    let said: Vec<&str> = glass.told.iter().map(|(_, said)| said.as_str()).collect();
    format!("The camera’s picture. {}", said.join(" "))
}

fn shown_ui(ui: &Ui, palette: &Palette, room: Rect, picture: &LivePicture) {
    let map = Map::picture(room, picture.grey.size());
    picture_ui(&Chart::new(ui, palette, map.rect(), map), palette, picture);
}

/// What is said of it, and what its marks mean.
pub(crate) fn live_words_ui(ui: &mut Ui, palette: &Palette, glass: &LiveGlass) {
    for (tone, said) in &glass.told {
        message_ui(ui, palette, *tone, said, false);
    }
    if glass.picture.is_some() {
        let key = "Square: left crosshair; triangle: right; diamond: not known whose. Left circle whole, right one \
                   dashed; small rings where each should go. A picture that is crossed out is old.";
        key_ui(ui, palette, key);
    }
}

fn picture_ui(chart: &Chart<'_>, palette: &Palette, picture: &LivePicture) {
    let over = palette.on_picture;
    chart.field(palette.well);
    chart.picture(&picture.grey);
    for channel in Channel::BOTH {
        let circle = &picture.circles[channel];
        if circle.len() > 2 {
            chart.outline(circle.iter().copied(), ChartPen::new(1.5, over).of(channel));
        }
        if let Some(at) = picture.targets[channel] {
            chart.mark(at, Marker::Dot, 7.0, ChartInk::Open(over));
        }
    }
    if picture.old {
        let [width, height] = picture.grey.size().map(|side| side as f64 - 0.5);
        for corners in [[[-0.5, -0.5], [width, height]], [[-0.5, height], [width, -0.5]]] {
            chart.outline(corners, ChartPen::new(3.0, over));
        }
    } else {
        for (at, whose) in &picture.crosshairs {
            let marker = whose.map_or(Marker::Diamond, channel_marker);
            chart.mark(*at, marker, 11.0, ChartInk::Open(over));
        }
    }
    chart.frame(palette.edge);
}
