//! Nothing clips, nothing moves under the hand, everything has a name and a size for a finger.

use std::time::Duration;

use egui::accesskit::Role;
use egui::vec2;
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use solver::{Channel, Direction};

use crate::bench::Bench;
use crate::session::{log_eight, start};

/// Every control is inside the window and tall enough to be pressed, at every size we promise.
#[test]
fn controls_are_inside_and_large_enough() {
    for (size, pixels_per_point) in
        [(vec2(1280.0, 800.0), 1.0), (vec2(1920.0, 1080.0), 1.0), (vec2(1280.0, 800.0), 2.0)]
    {
        let home = tempfile::tempdir().unwrap();
        let bench = Bench::open_sized(home.path(), None, size, pixels_per_point);
        let room = egui::Rect::from_min_size(egui::Pos2::ZERO, size).expand(0.5);
        let mut seen = 0;
        for role in [Role::Button, Role::NumberInput, Role::TextInput, Role::ComboBox] {
            for node in bench.window.query_all_by_role(role) {
                let rect = node.rect();
                let name = node.accesskit_node().label().unwrap_or_default();
                assert!(room.contains_rect(rect), "{name} {rect:?} at {size:?}");
                assert!(rect.height() >= 31.5, "{name} is {} tall", rect.height());
                seen += 1;
            }
        }
        assert!(seen > 12, "only {seen} controls seen");
    }
}

/// The entry row stays where it is whatever is said below, beside or in front of it.
#[test]
fn the_entry_row_never_moves() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    let place = |bench: &Bench| {
        bench.window.get_by_role_and_label(Role::NumberInput, "left x entry").rect()
    };
    let first = place(&bench);
    bench.enter("1.2.3");
    assert_eq!(place(&bench), first, "a refusal moved it");
    bench.key(egui::Key::F1);
    assert_eq!(place(&bench), first, "a sheet moved it");
    bench.key(egui::Key::Escape);
    bench.keys(egui::Modifiers::COMMAND, egui::Key::A);
    log_eight(&mut bench);
    bench.type_text("l");
    assert_eq!(place(&bench), first, "readings moved it");
}

/// The plot has equal scale both ways, and a reading is drawn where its transform says.
#[test]
fn the_plot_is_true_to_scale() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    log_eight(&mut bench);
    let view = bench.app().view();
    let place = |x, y| view.place(Direction::new(x, y)).unwrap();
    let (origin, right, up) = (place(0.0, 0.0), place(10.0, 0.0), place(0.0, 10.0));
    // Points on screen are single precision: 1e-3 of a point over some tens of points.
    assert!(((right.x - origin.x) - (origin.y - up.y)).abs() < 1e-2, "{origin} {right} {up}");
    let row = &bench.app().session().unwrap().rows()[Channel::Left][1];
    let at = view.place(row.reading.direction).unwrap();
    let drawn = bench.window.output().shapes.iter().any(|clipped| {
        let bounds = clipped.shape.visual_bounding_rect();
        bounds.center().distance(at) < 1.5 && bounds.width() < 20.0
    });
    assert!(drawn, "nothing is drawn at {at}");
}

/// Pressing a reading on the plot selects it in the log.
#[test]
fn a_reading_is_selected_on_the_plot() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    log_eight(&mut bench);
    let row = bench.app().session().unwrap().rows()[Channel::Left][2].clone();
    let at = bench.app().view().place(row.reading.direction).unwrap();
    bench.window.hover_at(at);
    bench.rest();
    bench.window.drag_at(at);
    bench.rest();
    bench.window.drop_at(at);
    bench.rest();
    assert_eq!(bench.app().selected(), Some(row.seq));
}

/// What the plot shows also exists as words.
#[test]
fn the_plot_is_told_in_words() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    log_eight(&mut bench);
    let plot = bench.window.get_by_label_contains("Field plot.");
    let words = plot.accesskit_node().label().unwrap_or_default();
    for part in ["Left circle: centre", "Right circle: centre", "radius", "Meet"] {
        assert!(words.contains(part), "{part} is missing: {words}");
    }
}

/// Nothing is drawn again while nothing happens, but once: when the round has rested for so long that it is asked
/// about, which takes the green away.
#[test]
fn an_idle_window_rests() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    bench.wait_saved().unwrap();
    bench.rest();
    let rests = Duration::from_mins(record::RESTED_MINUTES.unsigned_abs());
    let wait = drawn_again_in(&bench);
    assert!(wait > rests - Duration::from_mins(2) && wait <= rests, "{wait:?}");
    assert!(!bench.says("Was anything touched"));
    bench.clock.pass_minutes(record::RESTED_MINUTES);
    bench.rest();
    assert!(drawn_again_in(&bench) > Duration::from_hours(1));
}

/// When the window asks to be drawn again.
fn drawn_again_in(bench: &Bench) -> Duration {
    let views = bench.window.output().viewport_output.values();
    views.map(|viewport| viewport.repaint_delay).min().unwrap()
}

/// Text that is cut short or reaches out of what it is drawn in. The plot clips at its edges by
/// design; its frame is passed over.
pub(crate) fn cut_short(bench: &Bench) -> Vec<String> {
    let plot = bench.window.query_by_label_contains("Field plot.").map(|plot| plot.rect());
    let mut found = Vec::new();
    for clipped in &bench.window.output().shapes {
        let clip = clipped.clip_rect;
        if plot.is_some_and(|plot| plot.expand(2.0).contains_rect(clip)) {
            continue;
        }
        let mut shapes = vec![&clipped.shape];
        while let Some(shape) = shapes.pop() {
            match shape {
                egui::Shape::Vec(inner) => shapes.extend(inner),
                egui::Shape::Text(text) => {
                    let rect = shape.visual_bounding_rect();
                    // What is scrolled out of sight is not drawn at all.
                    let in_sight = rect.is_positive()
                        && clip.y_range().intersection(rect.y_range()).span() > 1.0;
                    let across =
                        rect.left() >= clip.left() - 1.0 && rect.right() <= clip.right() + 1.0;
                    // In the top bar names from outside are shortened; a reader is told the whole.
                    let told = || {
                        let whole = text.galley.text();
                        bench.window.query_all_by_label(whole).next().is_some()
                    };
                    let shortened = text.galley.elided && rect.bottom() < 48.0 && told();
                    let cut = text.galley.elided && !shortened;
                    if in_sight && (cut || !across) {
                        found.push(format!("{:?} {rect:?} in {clip:?}", text.galley.text()));
                    }
                }
                _ => {}
            }
        }
    }
    found
}

/// Sizes that each place is looked at in, with the points to a pixel.
pub(crate) const PLACE_SIZES: [(egui::Vec2, f32); 4] = [
    (vec2(1280.0, 800.0), 1.0),
    (vec2(1920.0, 1080.0), 1.0),
    (vec2(640.0, 480.0), 1.0),
    (vec2(640.0, 400.0), 2.0),
];

/// No text is cut short at any size we promise, with any sheet in front. Twice the text on a
/// screen is a quarter of the points: 640 × 400 is 1280 × 800 at 200 %.
#[test]
fn no_text_is_cut_short() {
    use egui::{Key, Modifiers};
    for (size, pixels_per_point) in [
        (vec2(1280.0, 800.0), 1.0),
        (vec2(1920.0, 1080.0), 1.0),
        (vec2(1280.0, 800.0), 2.0),
        (vec2(960.0, 600.0), 1.0),
        (vec2(960.0, 540.0), 2.0),
        (vec2(640.0, 480.0), 1.0),
        (vec2(640.0, 400.0), 2.0),
    ] {
        let home = tempfile::tempdir().unwrap();
        let mut bench = Bench::open_sized(home.path(), None, size, pixels_per_point);
        let check = |bench: &Bench, what: &str| {
            let cut = cut_short(bench);
            assert!(cut.is_empty(), "{what} at {size:?}: {cut:#?}");
        };
        check(&bench, "the bench");
        for _ in 0..2 {
            bench.key(Key::F10);
            check(&bench, "another tab");
        }
        for (modifiers, key, what) in [
            (Modifiers::ALT, Key::Num2, "through the glass"),
            (Modifiers::ALT, Key::Num3, "ring map"),
            (Modifiers::ALT, Key::Num4, "swing"),
            (Modifiers::ALT, Key::Num5, "sources"),
            (Modifiers::ALT, Key::Num1, "field"),
            (Modifiers::COMMAND, Key::Num1, "set up"),
            (Modifiers::COMMAND, Key::K, "commands"),
            (Modifiers::COMMAND | Modifiers::SHIFT, Key::V, "paste"),
            (Modifiers::NONE, Key::F1, "keys"),
            (Modifiers::NONE, Key::F8, "withdraw"),
            (Modifiers::NONE, Key::F9, "round"),
        ] {
            bench.keys(modifiers, key);
            check(&bench, what);
            controls_inside(&bench, size, what);
        }
    }
}

/// Nothing is cut short, and no control reaches out of the window.
pub(crate) fn everything_fits(bench: &Bench, size: egui::Vec2, what: &str) {
    let cut = cut_short(bench);
    assert!(cut.is_empty(), "{what} at {size:?}: {cut:#?}");
    controls_inside(bench, size, what);
}

/// Buttons, fields and choices in sight are inside the window.
pub(crate) fn controls_inside(bench: &Bench, size: egui::Vec2, what: &str) {
    let room = egui::Rect::from_min_size(egui::Pos2::ZERO, size).expand(0.5);
    for role in [Role::Button, Role::NumberInput, Role::TextInput, Role::ComboBox, Role::Tab] {
        for node in bench.window.query_all_by_role(role) {
            let rect = node.rect();
            let name = node.accesskit_node().label().unwrap_or_default();
            let across = rect.left() >= room.left() && rect.right() <= room.right();
            assert!(across, "{name} {rect:?} with {what} at {size:?}");
        }
    }
}

/// The colours of a room change nothing but colours: no text is cut, and what can be operated stays
/// where it is.
#[test]
fn colours_move_nothing() {
    use egui::{Key, Modifiers};
    for size in [vec2(1280.0, 800.0), vec2(1920.0, 1080.0), vec2(640.0, 480.0)] {
        let home = tempfile::tempdir().unwrap();
        let mut bench = Bench::open_sized(home.path(), None, size, 1.0);
        // What the command says stands where the hint was: say it before the first look.
        for _ in 0..3 {
            bench.keys(Modifiers::COMMAND, Key::L);
        }
        // The bench, then every other place.
        unmoved_by_colours(&mut bench, size, "the bench");
        for key in [Key::P, Key::E, Key::U, Key::H, Key::V] {
            bench.keys(Modifiers::ALT, key);
            while bench.app().places().shop.reading.is_going_on() {
                std::thread::sleep(Duration::from_millis(5));
                bench.rest();
            }
            let place = bench.app().place().text();
            unmoved_by_colours(&mut bench, size, place);
        }
    }
}

/// Three rooms' colours, one after the other: everything stays where it is, and nothing is cut short.
fn unmoved_by_colours(bench: &mut Bench, size: egui::Vec2, what: &str) {
    use egui::{Key, Modifiers};
    let places = |bench: &Bench| -> Vec<(String, egui::Rect)> {
        [Role::Button, Role::NumberInput, Role::TextInput, Role::ComboBox]
            .into_iter()
            .flat_map(|role| bench.window.query_all_by_role(role))
            .map(|node| (node.accesskit_node().label().unwrap_or_default(), node.rect()))
            .collect()
    };
    let before = places(bench);
    let ground = bench.window.ctx.global_style().visuals.panel_fill;
    for _ in 0..2 {
        bench.keys(Modifiers::COMMAND, Key::L);
        assert_ne!(bench.window.ctx.global_style().visuals.panel_fill, ground);
        assert_eq!(places(bench), before, "{what} at {size:?}");
        let cut = cut_short(bench);
        assert!(cut.is_empty(), "{what} at {size:?}: {cut:#?}");
    }
    bench.keys(Modifiers::COMMAND, Key::L);
    assert_eq!(bench.window.ctx.global_style().visuals.panel_fill, ground);
}

/// A name of 120 letters, a housing and a hand as long: nothing of them reaches out, the bar's marks and
/// buttons stay where they were, and something of the name stands there, the whole told to a reader.
#[test]
fn long_names_are_shortened_and_move_nothing() {
    for size in [vec2(1280.0, 800.0), vec2(640.0, 480.0)] {
        let marks = |name: &str| {
            let home = tempfile::tempdir().unwrap();
            let unit = record::Unit { name: name.to_owned(), ..record::Unit::default() };
            let path = crate::many_readings::session(home.path(), 12, unit);
            let bench = Bench::open_sized(home.path(), Some(path), size, 1.0);
            everything_fits(&bench, size, name);
            let saved = bench.app().session().unwrap().saved().words().to_owned();
            let shown = bench.window.get_by_label(name).rect();
            assert!(shown.width() > 20.0, "{shown:?}");
            let saved = bench.window.get_by_label(&saved).rect();
            assert!(shown.right() <= saved.left() + 0.5, "{shown:?} {saved:?}");
            // Part of the station is there beside the longest name where there is room for it.
            let mut told = bench.window.query_all_by_label_contains("Bench 2");
            let station = told.any(|node| node.rect().bottom() < 48.0);
            assert!(station || size.x < 1000.0);
            saved
        };
        assert_eq!(marks("0171"), marks(&"W".repeat(120)), "at {size:?}");
    }
}
