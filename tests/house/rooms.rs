//! Things that may happen in one folder only.

use crate::circles::arrows;
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

/// Rooms that may name only these others. The window itself (`app`), the bench, the sheets in front of it, upkeep
/// and what waits are one: the window holds their state.
const ROOMS: [(&str, &[&str]); 6] = [
    ("widgets", &[]),
    ("theme", &[]),
    ("plot", &[]),
    ("views", &[]),
    ("shell", &[]),
    // The charts of a station's checks are drawn alike in its sheet and on the shop's page.
    ("places", &["shell", "upkeep"]),
];

/// All rooms; what else there is, everything may name.
const ALL: [&str; 7] = ["app", "bench", "places", "sheets", "shell", "upkeep", "waiting"];

/// A place knows the shell and what is made ready to look at, and neither the window, nor the bench, nor another
/// place: it does its own part and asks for the rest (`shell::effect`).
#[test]
fn no_room_reaches_into_another() {
    let part = |module: &str, at: usize| module.split("::").nth(at).unwrap_or_default().to_owned();
    let mut found = Vec::new();
    for (from, all) in arrows("samepoint") {
        let room = part(&from, 0);
        let Some((_, may)) = ROOMS.iter().find(|(name, _)| *name == room) else { continue };
        for to in all {
            let other = part(&to, 0);
            let reaches =
                ALL.contains(&other.as_str()) && other != room && !may.contains(&other.as_str());
            let between = room == "places"
                && other == "places"
                && from.contains("::")
                && part(&from, 1) != part(&to, 1);
            if reaches || between {
                found.push(format!("{from} → {to}"));
            }
        }
    }
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

/// A rule that is added would pass such a comparison unasked, and a unit with it.
#[test]
fn nothing_is_compared_with_one_rule() {
    let one = ["== Rule::Simple", "!= Rule::Simple", "== Rule::Guarded", "!= Rule::Guarded"];
    for name in ["solver", "record", "tables", "paper", "samepoint"] {
        let found = lines_with(&sources(&format!("crates/{name}/src")), &one);
        assert!(found.is_empty(), "ask the rule what it asks for: {found:#?}");
    }
}

/// Whatever else a room shows to others would be kept for the sake of whoever might use it.
#[test]
fn the_program_is_reached_by_four_doors() {
    let lib = sources("crates/samepoint/src")
        .into_iter()
        .find(|file| file.path.ends_with("src/lib.rs"))
        .unwrap();
    let doors: Vec<&str> =
        lib.text.lines().filter_map(|line| line.strip_prefix("pub mod ")).collect();
    assert_eq!(doors, ["cli;", "launch;", "signals;", "testing;"]);
}
