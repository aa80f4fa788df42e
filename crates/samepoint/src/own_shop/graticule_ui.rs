//! The picture of a graticule with marks on it: the whole and what is round the cursor, marks placed by pointer or keys.

use egui::{
    Align2, Button, Event, EventFilter, Id, Key, Modifiers, Rect, Response, RichText, Sense, Ui,
    vec2,
};
use paper::style::Marker;

use super::OwnAction;
use super::form::Form;
use super::form::desk::CameraDesk;
use super::form::fields::{Fields, OPENING};
use super::form::fitted::{FittedMarks, arrows_times};
use super::form::marks::{self, MARKS};
use super::marks_ui::{mark_field, picture_id};
use crate::app::action::Action;
use crate::sheets::paths::ask_ui;
use crate::theme::{Palette, TARGET};
use crate::widgets::chart::{Chart, ChartInk, ChartPen, Map, key_ui, room_ui};
use crate::widgets::{refused_ui, text_ui};

/// Points that a pixel has round the cursor.
const NEAR_PT: f64 = 6.0;

/// How far the arrow keys move the cursor, and with Shift, pixels.
const STEP_PX: [f64; 2] = [8.0, 0.5];

/// Arrows and their ways.
const ARROWS: [(Key, [f64; 2]); 4] = [
    (Key::ArrowLeft, [-1.0, 0.0]),
    (Key::ArrowRight, [1.0, 0.0]),
    (Key::ArrowUp, [0.0, -1.0]),
    (Key::ArrowDown, [0.0, 1.0]),
];

/// Shows the picture, or asks for one; what the marks come to below it.
pub(crate) fn graticule_ui(
    ui: &mut Ui,
    palette: &Palette,
    form: &mut Form,
    height: f32,
    actions: &mut Vec<Action>,
) {
    let Form { fields, desk: Some(desk), .. } = form else { return };
    if desk.is_open() {
        open_ui(ui, palette, (fields, desk), height);
        if ui.add(Button::new("Another picture…").min_size(vec2(0.0, TARGET))).clicked() {
            desk.close();
        }
    } else {
        ask_for_ui(ui, palette, desk, actions);
    }
    match desk.fitted(fields) {
        Ok(fitted) => {
            for sentence in &fitted.told {
                key_ui(ui, palette, sentence);
            }
        }
        Err(why) => key_ui(ui, palette, &paper::words::capital(&why.to_string())),
    }
}

fn ask_for_ui(ui: &mut Ui, palette: &Palette, desk: &mut CameraDesk, actions: &mut Vec<Action>) {
    let field = "Path of the graticule’s picture";
    let id = Id::unique("graticule’s picture");
    let enter = text_ui(ui, palette, id, field, &mut desk.path.path, "");
    refused_ui(ui, palette, desk.path.refused.as_ref());
    ui.horizontal_wrapped(|ui| {
        let open = ui.add(Button::new("Open the picture").min_size(vec2(0.0, TARGET))).clicked();
        if open || enter {
            actions.push(Action::Own(OwnAction::OpenGraticule));
        }
        ask_ui(ui, palette, desk.path.asking, actions);
    });
    let told = if desk.opening {
        OPENING
    } else {
        "A picture of the graticule alone, without a crosshair in it. Marks can be typed without a picture, below."
    };
    key_ui(ui, palette, told);
}

/// The picture and what lies round the cursor, beside each other.
fn open_ui(
    ui: &mut Ui,
    palette: &Palette,
    (fields, desk): (&mut Fields, &mut CameraDesk),
    height: f32,
) {
    let made = desk.fitted(fields).clone().ok();
    let ctx = ui.ctx().clone();
    let Some(screen) = desk.screen(&ctx).cloned() else { return };
    let rows = marks::rows(&fields.text_as_is(MARKS));
    let count = paper::words::counted_s(rows.len(), "mark");
    let told = format!("Picture of the graticule, {}: {count}", desk.name());
    let size = vec2(ui.available_width(), height);
    let (room, response) = room_ui(ui, size, Sense::click(), &told);
    let near_side = height.min(0.36 * room.width());
    let [whole, near] = split(room, near_side);
    keys(ui, &response, (fields, desk));
    let hovered = response.hover_pos();
    let map = Map::picture(whole, screen.size());
    let pointed = hovered.filter(|at| map.rect().contains(*at)).map(|at| map.value(at));
    let near_map = Map::picture_round(near, pointed.unwrap_or(desk.cursor_px), NEAR_PT);
    // The cursor as it was when the pointer came: what is round it can be pointed at, too.
    let in_near = hovered.filter(|at| near.contains(*at)).map(|at| near_map.value(at));
    if response.clicked_by(egui::PointerButton::Primary)
        && let Some(at) = pointed.or(in_near)
    {
        put(ui, (fields, desk), at);
    } else if response.clicked() && hovered.is_none_or(|_| response.has_focus()) {
        let at = desk.cursor_px;
        put(ui, (fields, desk), at);
    }
    for (room, map) in [(whole, map), (near, near_map)] {
        let mut chart = Chart::new(ui, palette, room, map);
        chart.picture(&screen);
        drawn(&mut chart, palette, &rows, made.as_ref());
        let pen = ChartPen::new(1.0, palette.on_picture);
        let pen = if response.has_focus() { pen } else { pen.dotted() };
        chart.crosshair(desk.cursor_px, 7.0, pen);
    }
    let [across, _] = map.lengths(1.0);
    let arrows = made.as_ref().and_then(|made| arrows_times(&made.of_marks, f64::from(across)));
    if let Some(times) = arrows {
        let times = record::figures::number(times, usize::from(times < 1.0));
        key_ui(
            ui,
            palette,
            &format!("Arrows: how far marks lie from the map, {times} times as long."),
        );
    }
    let [x, y] = desk.cursor_px.map(|at| record::figures::number(at, 1));
    let cursor = format!(
        "Click a crossing; or arrows move the cursor ({x}, {y} px; Shift: finer), Enter marks, Delete takes away."
    );
    key_ui(ui, palette, &cursor);
    if !desk.told.is_empty() {
        let told = RichText::new(&desk.told).color(palette.text);
        ui.add(crate::widgets::Label::new(told).wrap());
    }
}

fn split(room: Rect, near_side: f32) -> [Rect; 2] {
    let near = Rect::from_min_size(
        room.right_top() - vec2(near_side, 0.0),
        vec2(near_side, room.height().min(near_side)),
    );
    let whole = Rect::from_min_max(room.min, egui::pos2(near.left() - 8.0, room.bottom()));
    [whole, near]
}

/// Puts a mark, and the keyboard where its divisions are typed.
fn put(ui: &Ui, (fields, desk): (&mut Fields, &mut CameraDesk), at_px: [f64; 2]) {
    if let Some(place) = desk.place(fields, at_px) {
        // The key that marked is not for the field that comes next.
        ui.input_mut(|input| {
            input.events.retain(|event| match event {
                Event::Key { key, .. } => !matches!(key, Key::Enter | Key::Space),
                Event::Text(text) => text != " ",
                _ => true,
            });
        });
        ui.memory_mut(|memory| memory.request_focus(mark_field(place, 2)));
    }
}

/// Keys while the picture has the keyboard.
fn keys(ui: &Ui, response: &Response, (fields, desk): (&mut Fields, &mut CameraDesk)) {
    // Whoever gives the keyboard back to the picture finds it by this.
    ui.data_mut(|data| data.insert_temp(picture_id(), response.id));
    if !response.has_focus() {
        return;
    }
    let filter =
        EventFilter { horizontal_arrows: true, vertical_arrows: true, ..EventFilter::default() };
    ui.memory_mut(|memory| memory.set_focus_lock_filter(response.id, filter));
    // Without others would take those with Shift, too.
    for (modifiers, step) in [(Modifiers::SHIFT, STEP_PX[1]), (Modifiers::NONE, STEP_PX[0])] {
        for (key, way) in ARROWS {
            let count = ui.input_mut(|input| input.count_and_consume_key(modifiers, key));
            desk.move_cursor(way.map(|way| way * step * count as f64));
        }
    }
    let delete = |key| ui.input_mut(|input| input.consume_key(Modifiers::NONE, key));
    if delete(Key::Delete) || delete(Key::Backspace) {
        desk.take_away(fields);
    }
}

/// Marks with their numbers, the map's lines, and how far marks lie from it.
fn drawn(
    chart: &mut Chart<'_>,
    palette: &Palette,
    rows: &[marks::MarkTyped],
    made: Option<&FittedMarks>,
) {
    let ink = palette.on_picture;
    if let Some(made) = made {
        for course in &made.lines {
            chart.line(course.iter().copied(), ChartPen::new(1.0, ink).fine());
        }
        let [across, _] = chart.map.lengths(1.0);
        if let Some(times) = arrows_times(&made.of_marks, f64::from(across)) {
            for mark in &made.of_marks {
                let [dx, dy] = mark.residual_px.map(|px| px * times);
                let to = [mark.px[0] + dx, mark.px[1] + dy];
                chart.arrow(mark.px, to, ChartPen::new(2.0, ink));
            }
        }
    }
    for (place, row) in rows.iter().enumerate() {
        let Some(px) = row.px() else { continue };
        chart.mark(px, Marker::Dot, 5.0, ChartInk::Open(ink));
        let at = chart.place(px);
        if chart.map.rect().contains(at) {
            let number = (place + 1).to_string();
            chart.words(at + vec2(7.0, -3.0), Align2::LEFT_BOTTOM, &number, ink);
        }
    }
}
