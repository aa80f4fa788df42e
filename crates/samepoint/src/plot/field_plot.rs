//! The field plot: a scene at equal scale both ways, to be panned, zoomed, measured and tried on.

use core::cell::RefCell;
use std::ops::RangeInclusive;
use std::sync::Arc;

use egui::{
    EventFilter, Key, Modifiers, Response, Stroke, Ui, Vec2, WidgetInfo, accesskit::Role, vec2,
};
use egui_plot::{AxisHints, CoordinatesFormatter, Corner, GridMark, Plot, PlotBounds};
use paper::scene::Scene;
use paper::words;
use solver::{Channel, Direction};

use super::grab::{Handle, taken};
use super::grid::{even_grid, grid_step_arcmin};
use super::hit::{item_at, reading_at, snapped};
use super::off_screen::arrows_ui;
use super::paint::direction_at;
use super::scene_item::SceneItem;
use super::view::FieldView;
use crate::theme::Palette;
use crate::widgets::Tell;
use crate::widgets::chart::decimals;

/// What the plot shows.
#[derive(Clone, Copy, Debug)]
pub(crate) struct FieldPlot<'a> {
    /// The picture.
    pub scene: &'a Arc<Scene>,
    /// The picture in words.
    pub telling: &'a str,
    /// What can be dragged to try a setting.
    pub handles: &'a [Handle],
}

/// What a hand did on the plot.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum PlotAct {
    /// Pressed a reading: its number.
    Pressed(u64),
    /// Dragged a channel's crosshair towards here.
    Tried(Channel, Direction),
}

/// How far an arrow key pans, as a share of the view.
const PAN_SHARE: f32 = 0.1;
/// How much closer one key brings the picture.
const KEY_ZOOM: f64 = 1.25;
/// Wheel points that bring the picture closer by a factor e.
const WHEEL_PT: f32 = 240.0;

/// Half the width of a number on the x axis, points, less the margin beside the plot.
const EDGE_PT: f64 = 12.0;

/// Shows a scene in all the room there is.
pub(crate) fn field_plot_ui(
    ui: &mut Ui,
    palette: &Palette,
    view: &mut FieldView,
    shown: FieldPlot<'_>,
) -> Vec<PlotAct> {
    let mut acts = Vec::new();
    let FieldPlot { scene, telling, handles } = shown;
    if view.has_keyboard(ui.ctx()) {
        keys(ui, view, scene);
    }
    let room = ui.available_size();
    let wanted = view.wanted(scene.extent, room);
    let (zoom, pan, go_to) = (view.zoom.take(), std::mem::take(&mut view.pan), view.go_to.take());
    let pt_per_arcmin = match (&wanted, &view.transform) {
        (Some(bounds), _) => f64::from(room.x) / bounds.width(),
        (None, Some(transform)) => transform.dpos_dvalue_x(),
        (None, None) => 1.0,
    };
    let step = grid_step_arcmin(pt_per_arcmin);
    let arcmin_mark = |mark: GridMark, _: &RangeInclusive<f64>| {
        format!("{}′", words::number(mark.value, decimals(mark.step_size)))
    };
    // A number that would stand over the plot's right edge is left out rather than cut.
    let x_mark = |mark: GridMark, range: &RangeInclusive<f64>| {
        let to_edge_pt = (range.end() - mark.value) * pt_per_arcmin;
        if to_edge_pt < EDGE_PT { String::new() } else { arcmin_mark(mark, range) }
    };
    // A press on a handle drags it; the plot must know before it pans.
    let over_handle = ui
        .input(|input| input.pointer.press_origin().or(input.pointer.latest_pos()))
        .zip(view.transform.as_ref())
        .is_some_and(|(at, transform)| taken(handles, transform, at).is_some());
    let holds = view.grab.is_some() || (over_handle && view.measuring.is_none());
    let measured = view.measured_scene();
    let scroll = ui.input(|input| input.smooth_scroll_delta().y);
    let many = RefCell::new(std::mem::take(&mut view.many));
    let mut moved = zoom.is_some() || pan != Vec2::ZERO || go_to.is_some();
    let plot = Plot::new("field")
        .id(view.id())
        .data_aspect(1.0)
        .auto_bounds(false)
        .show_crosshair(false)
        .allow_drag(!holds)
        .allow_scroll(false)
        .allow_boxed_zoom(false)
        .allow_axis_zoom_drag(false)
        .allow_double_click_reset(false)
        .grid_color(palette.line)
        .grid_spacing(egui::Rangef::new(8.0, 60.0))
        .x_grid_spacer(even_grid(step))
        .y_grid_spacer(even_grid(step))
        .cursor_color(palette.quiet)
        .custom_x_axes(vec![
            AxisHints::new_x().formatter(x_mark).label_spacing(egui::Rangef::new(34.0, 44.0)),
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
            let bounds = plot.plot_bounds();
            if let Some(middle) = go_to {
                plot.set_plot_bounds(centred(&bounds, middle));
            }
            if pan != Vec2::ZERO {
                let (width, height) = (bounds.width() as f32, bounds.height() as f32);
                plot.translate_bounds(vec2(pan.x * width, pan.y * height));
            }
            if let Some(factor) = zoom {
                let middle = plot.plot_bounds().center();
                plot.zoom_bounds(Vec2::splat(factor as f32), middle);
            }
            if scroll != 0.0
                && plot.response().hovered()
                && let Some(about) = plot.pointer_coordinate()
            {
                plot.zoom_bounds(Vec2::splat((scroll / WHEEL_PT).exp()), about);
                moved = true;
            }
            plot.add(SceneItem::of_many("field", scene, palette, &many));
            if let Some(measured) = &measured {
                plot.add(SceneItem::new("measured", measured, palette));
            }
            moved
        });
    view.many = many.into_inner();
    let (response, transform, mut moved) = (plot.response, plot.transform, plot.inner);
    response.widget_info(|| WidgetInfo::labeled(Role::Canvas, true, telling));
    moved |= response.hovered() && ui.input(egui::InputState::zoom_delta) != 1.0;
    moved |= response.dragged() && !holds;
    view.by_hand |= moved;
    keyboard(ui, palette, view, &response);
    view.transform = Some(transform);
    if view.measuring.is_some() {
        measure(view, scene, &response);
    } else {
        acts.extend(drag(ui, view, handles, &response));
        if response.clicked()
            && let Some(at) = response.interact_pointer_pos()
        {
            acts.extend(reading_at(scene, &transform, at).map(PlotAct::Pressed));
        }
    }
    if let Some(target) = arrows_ui(ui, palette, transform.frame(), view.many.arrows()) {
        view.go_to(target);
        ui.request_repaint();
    }
    hover(view, scene, over_handle, response);
    acts
}

/// The same view with another middle.
fn centred(bounds: &PlotBounds, middle: Direction) -> PlotBounds {
    let (half_x, half_y) = (bounds.width() / 2.0, bounds.height() / 2.0);
    PlotBounds::from_min_max(
        [middle.x_arcmin - half_x, middle.y_arcmin - half_y],
        [middle.x_arcmin + half_x, middle.y_arcmin + half_y],
    )
}

/// Keys while the plot has the keyboard.
fn keys(ui: &Ui, view: &mut FieldView, scene: &Scene) {
    let pressed = |key| ui.input_mut(|input| input.consume_key(Modifiers::NONE, key));
    for (key, way) in [
        (Key::ArrowLeft, vec2(-1.0, 0.0)),
        (Key::ArrowRight, vec2(1.0, 0.0)),
        (Key::ArrowDown, vec2(0.0, -1.0)),
        (Key::ArrowUp, vec2(0.0, 1.0)),
    ] {
        if pressed(key) {
            match &mut view.measuring {
                Some(measuring) => measuring.walk(scene, way.x + way.y > 0.0),
                None => view.pan += way * PAN_SHARE,
            }
        }
    }
    if let Some(measuring) = &mut view.measuring
        && pressed(Key::Enter)
    {
        measuring.set();
    }
    for (key, factor) in
        [(Key::Plus, KEY_ZOOM), (Key::Equals, KEY_ZOOM), (Key::Minus, 1.0 / KEY_ZOOM)]
    {
        if pressed(key) {
            view.zoom(factor);
        }
    }
    if pressed(Key::Num0) {
        view.fit();
    }
}

/// Takes the keyboard when asked to, keeps the arrow keys while it has it, and shows that.
fn keyboard(ui: &Ui, palette: &Palette, view: &mut FieldView, response: &Response) {
    view.keyboard = Some(response.id);
    if std::mem::take(&mut view.take_keyboard) {
        response.request_focus();
        ui.request_repaint();
    }
    if response.gained_focus() {
        // The arrow keys can be kept only from the frame after this one.
        ui.request_repaint();
    }
    if response.has_focus() {
        let arrows = EventFilter {
            horizontal_arrows: true,
            vertical_arrows: true,
            ..EventFilter::default()
        };
        ui.memory_mut(|memory| memory.set_focus_lock_filter(response.id, arrows));
        let edge = Stroke::new(1.5, palette.here);
        ui.painter().rect_stroke(response.rect, 3.0, edge, egui::StrokeKind::Inside);
    }
}

/// The pointer sets the ends of a measurement.
fn measure(view: &mut FieldView, scene: &Scene, response: &Response) {
    let (Some(transform), Some(measuring)) = (&view.transform, &mut view.measuring) else { return };
    let snap = |at| snapped(scene, transform, at);
    if response.clicked()
        && let Some(end) = response.interact_pointer_pos().and_then(snap)
    {
        measuring.press(end);
    } else if let Some(end) = response.hover_pos().and_then(snap) {
        measuring.hover(end);
    }
}

/// A handle that is dragged tries a setting at every move of the pointer.
fn drag(ui: &Ui, view: &mut FieldView, handles: &[Handle], response: &Response) -> Option<PlotAct> {
    let transform = view.transform.as_ref()?;
    let (origin, now) =
        ui.input(|input| (input.pointer.press_origin(), input.pointer.latest_pos()));
    if response.drag_started() {
        view.grab = taken(handles, transform, origin?);
        view.dragged_to = None;
    }
    let grab = view.grab?;
    if response.drag_stopped() || !response.dragged() {
        view.grab = None;
    }
    let now = response.interact_pointer_pos().or(now)?;
    let channel = grab.decided(handles, now - origin.unwrap_or(now))?;
    if view.grab.is_some() {
        view.grab = Some(super::grab::Grab::Of(channel));
    }
    // A hand that holds still asks for nothing new.
    if view.dragged_to.replace(now) == Some(now) {
        return None;
    }
    Some(PlotAct::Tried(channel, direction_at(transform, now)?))
}

/// What lies under the pointer, in words.
fn hover(view: &FieldView, scene: &Scene, over_handle: bool, response: Response) {
    let Some(transform) = &view.transform else { return };
    if view.grab.is_some() || response.dragged() {
        response.on_hover_cursor(egui::CursorIcon::Grabbing);
        return;
    }
    let found = response.hover_pos().and_then(|at| item_at(scene, transform, at));
    let Some(item) = found else { return };
    let handle = over_handle && view.measuring.is_none();
    let response = if handle { response.on_hover_cursor(egui::CursorIcon::Grab) } else { response };
    response.on_hover_ui_at_pointer(|ui| {
        // Else it stays as narrow as the words of the item that the pointer comes from.
        ui.set_max_width(ui.spacing().tooltip_width);
        ui.tell(item.told.words().as_ref());
        if handle {
            ui.label("Drag along a circle to try a setting.");
        }
    });
}
