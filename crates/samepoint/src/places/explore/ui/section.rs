//! One channel cut open along its axis: objective, tube on its shims, eyepiece, and the ray of a
//! target on boresight through them to the eye.

use egui::{Align2, Rect, RichText, Sense, Ui, pos2, vec2};
use paper::style::Marker;
use paper::words;
use record::practice::explore::Section;
use solver::Channel;

use crate::theme::Palette;
use crate::widgets::Label;
use crate::widgets::chart::{Chart, ChartInk, ChartPen, Map, room_ui};

/// Height of the drawing, points.
const HEIGHT: f32 = 176.0;
/// Half the height of lenses and of the tube, points.
const LENS: f32 = 40.0;
const TUBE: f32 = 26.0;
/// Points of a millimetre across the axis, unless something would leave the drawing.
const TALL: f64 = 70.0;

pub(crate) fn section_ui(
    ui: &mut Ui,
    palette: &Palette,
    channel: Channel,
    section: &Section,
    told: &str,
) {
    let telling = format!("Section of the {channel} channel. {told}");
    let size = vec2(ui.available_width(), HEIGHT);
    let (room, _) = room_ui(ui, size, Sense::hover(), &telling);
    let mut chart = Chart::new(ui, palette, room, map(room, section));
    chart.field(palette.field);
    draw(&mut chart, channel, section);
    let [along, across] = chart.map.lengths(1.0);
    let times = words::number(f64::from(across / along), 0);
    let about = format!("{told} Heights are drawn {times} times larger than lengths.");
    ui.add(Label::new(RichText::new(about).small().color(palette.quiet)).wrap());
}

/// From millimetres to the screen: heights are drawn larger than lengths.
fn map(room: Rect, section: &Section) -> Map {
    let [first, .., last] = section.ray;
    let heights = section.ray.iter().map(|[_, height]| height.abs());
    let highest = heights.chain([section.ring_axis.abs()]).fold(0.0, f64::max);
    let half = f64::from(room.height() / 2.0);
    let tall = TALL.min((half - 22.0) / highest.max(1e-9));
    let edge = (last[0] - first[0]).max(1.0) * f64::from(6.0 / room.width().max(1.0));
    Map::new(
        room,
        [first[0] - edge, last[0].max(first[0] + 1.0) + edge],
        [-half / tall, half / tall],
    )
}

fn draw(chart: &mut Chart<'_>, channel: Channel, section: &Section) {
    let palette = chart.palette;
    let own = ChartPen::new(2.0, palette.drawn(channel));
    chart.level(0.0, ChartPen::new(1.0, palette.quiet).dashed());
    lens(chart, [0.0, section.objective], ChartPen::new(1.0, palette.edge));
    tube(chart, section);
    lens(chart, [section.eyepiece_at, section.lens], own);
    // The axis the ring turns about: the cell's centre goes round it.
    chart.dash([section.eyepiece_at, section.ring_axis], 9.0, own);
    chart.line(section.ray, ChartPen::new(2.0, palette.here));
    // The way the eye looks back along the ray that reaches it.
    let ([first, .., lens, eye], quiet) = (section.ray, palette.quiet);
    let slope = (lens[1] - eye[1]) / (eye[0] - lens[0]);
    let far = [first[0], lens[1] + slope * (lens[0] - first[0])];
    chart.line([lens, far], ChartPen::new(1.0, palette.look).fine());
    let (room, [front, rear]) = (chart.map.rect(), section.tube_at);
    let parts = [
        (0.0, "objective"),
        (f64::midpoint(front, rear), "tube"),
        (section.eyepiece_at, "eyepiece"),
    ];
    for (along, name) in parts {
        let at = pos2(chart.map.x(along), room.bottom() - 3.0);
        chart.words(at, Align2::CENTER_BOTTOM, name, quiet);
    }
    let [left, right] = [room.left_top() + vec2(6.0, 3.0), room.right_top() + vec2(-6.0, 3.0)];
    chart.words(right, Align2::RIGHT_TOP, "eye →", quiet);
    chart.words(left, Align2::LEFT_TOP, "← target", quiet);
}

/// Two arcs about a middle.
fn lens(chart: &Chart<'_>, at: [f64; 2], pen: ChartPen) {
    let middle = chart.place(at);
    for side in [-1.0, 1.0] {
        let shares = (-6_i8..=6).map(|step| f32::from(step) / 6.0);
        let off = |share: f32| vec2(side * 5.0 * (1.0 - share * share), share * LENS);
        let arc: Vec<_> = shares.map(|share| middle + off(share)).collect();
        chart.path(&arc, pen);
    }
    chart.mark(at, Marker::Dot, 2.0, ChartInk::Filled(pen.colour()));
}

/// The tube between its ends, and its shims where they lie.
fn tube(chart: &Chart<'_>, section: &Section) {
    let ends = [0, 1].map(|end| chart.place([section.tube_at[end], section.tube[end]]));
    let ([front, rear], half) = (ends, vec2(0.0, TUBE));
    let corners = [front - half, rear - half, rear + half, front + half];
    chart.shape(&corners, chart.palette.raised, chart.palette.edge);
    for ((at, inward), end) in ends.into_iter().zip([14.0, -14.0]).zip([0, 1]) {
        let thick = section.tube[end] - section.tube_without_shims[end];
        let [_, by_pt] = chart.map.lengths(thick);
        if by_pt.abs() < 0.5 {
            continue;
        }
        // A tube pushed up lies on its shim, one pushed down hangs below it.
        let edge = at + if by_pt > 0.0 { half } else { -half };
        let shim = Rect::from_two_pos(edge, edge + vec2(inward, by_pt));
        let corners = [shim.left_top(), shim.right_top(), shim.right_bottom(), shim.left_bottom()];
        chart.shape(&corners, chart.palette.look, chart.palette.look);
    }
}
