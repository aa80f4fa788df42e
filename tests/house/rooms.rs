//! Things that may happen in one folder only.

use crate::tree::{Source, lines_with, sources};

fn program_outside(room: &str) -> Vec<Source> {
    let mut sources = sources("crates/samepoint/src");
    let all = sources.len();
    sources.retain(|source| !source.path.starts_with(&format!("crates/samepoint/src/{room}")));
    assert!(sources.len() < all, "there is no {room} in the program");
    sources
}

#[test]
fn only_the_plot_room_uses_the_plot_library() {
    let found = lines_with(&program_outside("plot"), &["egui_plot"]);
    assert!(found.is_empty(), "{found:#?}");
}

/// A worker started anywhere else would be told of, or forgotten, in a way of its own when it dies.
#[test]
fn only_the_jobs_start_threads() {
    let starting = ["thread::Builder", "thread::spawn", "thread::scope", "mpsc"];
    let found = lines_with(&program_outside("jobs.rs"), &starting);
    assert!(found.is_empty(), "{found:#?}");
}

/// What a session comes to is worked out once a fact, and looked at: `record::Derived`.
#[test]
fn the_program_concludes_nothing_by_itself() {
    let found =
        lines_with(&sources("crates/samepoint/src"), &["conclude(", "conclude_by(", "conclude,"]);
    assert!(found.is_empty(), "{found:#?}");
}

/// A colour named anywhere else escapes the themes, and the deep-red one above all.
#[test]
fn only_the_theme_names_screen_colours() {
    let naming = [
        "Color32::from_",
        "Color32::WHITE",
        "Color32::BLACK",
        "Color32::RED",
        "Color32::GREEN",
        "Color32::BLUE",
        "Color32::YELLOW",
        "Color32::GRAY",
        "Color32::DARK_",
        "Color32::LIGHT_",
        "Color32::ORANGE",
        "Color32::GOLD",
        "Color32::BROWN",
        "Color32::KHAKI",
        "Color32::CYAN",
        "Color32::MAGENTA",
        "Color32::PURPLE",
        "Rgba::from_",
        "Hsva",
        "hex_color!",
    ];
    let found = lines_with(&program_outside("theme"), &naming);
    assert!(found.is_empty(), "{found:#?}");
}

/// Who maps to the screen, marks or draws lines alone looks and tells like no other: what is charted goes
/// through `widgets/chart`, and the field plot through its library.
#[test]
fn only_the_chart_painter_maps_and_marks() {
    let by_hand = [
        "lerp(",
        "remap",
        "RectTransform",
        "line_segment",
        "Shape::line",
        "dashed_line",
        "dotted_line",
        "closed_line",
        "convex_polygon",
        "PathShape",
        "Bezier",
        "painter.circle",
        "painter().circle",
        "circle_filled",
        "circle_stroke",
        "vline(",
        "high - low)) as f32",
        "low) / (high",
    ];
    let mut sources = program_outside("plot/");
    sources.retain(|source| !source.path.contains("/widgets/chart/"));
    let found = lines_with(&sources, &by_hand);
    assert!(found.is_empty(), "{found:#?}");
}
