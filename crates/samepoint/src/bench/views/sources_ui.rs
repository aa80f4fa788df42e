//! Where errors come from: each part's share of a circle's centre as an arrow from nought.

use egui::{Align2, Rect, Ui};

use super::missing::NothingToShow;
use super::sources::{Arrow, CentreSource, SourcesView};
use crate::theme::Palette;
use crate::widgets::chart::{Chart, ChartPen, Map, canvas_ui, empty_ui, told_ui};
use crate::widgets::{Tone, message_ui};

/// Shows it.
pub(crate) fn sources_ui(
    ui: &mut Ui,
    palette: &Palette,
    height: f32,
    sources: &Result<SourcesView, NothingToShow>,
) {
    let sources = match sources {
        Ok(sources) => sources,
        Err(why) => return empty_ui(ui, palette, &why.to_string()),
    };
    let telling = format!("Where errors come from. {} {}", sources.told.join(" "), sources.next);
    let below = 26.0 * sources.told.len() as f32 + 90.0;
    let (room, _) = canvas_ui(ui, height, below, &telling);
    draw(ui, palette, room, &sources.arrows);
    told_ui(ui, palette, &sources.told);
    message_ui(ui, palette, Tone::Plain, &sources.next, false);
}

fn draw(ui: &Ui, palette: &Palette, room: Rect, arrows: &[Arrow]) {
    let reach = arrows.iter().map(|arrow| arrow.value.boresight_arcmin()).fold(1.0, f64::max);
    // Room for the names beside the tips.
    let range = [-1.3 * reach, 1.3 * reach];
    let mut chart = Chart::new(ui, palette, room, Map::equal(room, 0.0, range, range));
    chart.field(palette.field);
    chart.level(0.0, ChartPen::new(1.0, palette.line));
    chart.upright(0.0, ChartPen::new(1.0, palette.line));
    for arrow in arrows {
        let to = [arrow.value.x_arcmin, arrow.value.y_arcmin];
        let pen = pen(palette, arrow.of);
        chart.arrow([0.0, 0.0], to, pen);
        let (middle, tip) = (chart.place([0.0, 0.0]), chart.place(to));
        let along = (tip - middle).normalized();
        let align = match (along.x > 0.3, along.x < -0.3, along.y < 0.0) {
            (true, ..) => Align2::LEFT_CENTER,
            (_, true, _) => Align2::RIGHT_CENTER,
            (_, _, true) => Align2::CENTER_BOTTOM,
            _ => Align2::CENTER_TOP,
        };
        chart.words(tip + along * 6.0, align, &arrow.name, pen.colour());
    }
    chart.frame(palette.edge);
}

/// Pods are in their channel's colour and line, tubes white, differences dashed.
const fn pen(palette: &Palette, of: CentreSource) -> ChartPen {
    match of {
        CentreSource::Pod(channel) => ChartPen::new(2.0, palette.channel(channel)).of(channel),
        CentreSource::Tube => ChartPen::new(2.0, palette.here),
        CentreSource::Difference => ChartPen::new(2.0, palette.quiet).dashed(),
    }
}
