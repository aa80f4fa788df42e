//! A camera map made in the window: the picture of a graticule opened, marks put on its crossings by keys, their
//! divisions typed, the map kept as a file of the shop; what makes no map is refused in words.

use std::fs;
use std::path::{Path, PathBuf};

use egui::{Key, Modifiers};
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use reader::{CameraMap, Mark};
use record::fact::{Camera, Lines};
use samepoint::testing::{DialogAnswer, Sheet, Work};

use crate::bench::Bench;
use crate::session::start;

/// The demo shop's picture of the graticule of Bench 2, no crosshair in it; its lines are where `demo-data/cameras` has its marks, to the
/// tenth of a pixel these are rounded to.
pub(crate) fn graticule() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo-data/pictures/background.png")
}

fn demo_camera() -> Camera {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo-data/cameras/Bench 2.ron");
    record::Shop::read_camera(&path).unwrap()
}

/// Opens the form of a new camera map.
pub(crate) fn open_new(bench: &mut Bench) {
    bench.run("Add a camera map");
    assert!(matches!(bench.app().front(), Sheet::Edit(_)), "{:?}", bench.app().front());
}

/// Opens a picture by its typed path; the keyboard is in the picture then.
pub(crate) fn open_picture(bench: &mut Bench, path: &Path) {
    bench.focus("Path of the graticule’s picture");
    bench.keys(Modifiers::COMMAND, Key::A);
    bench.enter(&path.display().to_string());
    bench.wait_for("Click a crossing");
    to_picture(bench);
}

fn to_picture(bench: &mut Bench) {
    bench.window.query_by_label_contains("Picture of the graticule").unwrap().focus();
    bench.rest();
}

/// Moves the cursor by keys from where it is to the nearest it can be.
fn move_by_keys(bench: &mut Bench, from: [f64; 2], to: [f64; 2]) {
    for (axis, keys) in
        [(0, [Key::ArrowLeft, Key::ArrowRight]), (1, [Key::ArrowUp, Key::ArrowDown])]
    {
        let steps = ((to[axis] - from[axis]) / 8.0).round();
        for _ in 0..steps.abs() as usize {
            bench.key(keys[usize::from(steps > 0.0)]);
        }
    }
}

/// Where a mark is, as its fields say.
fn placed(bench: &Bench, place: usize) -> [f64; 2] {
    let of = |name: &str| {
        let label = format!("Mark {place}, {name} in the picture, px");
        let node = bench.window.query_all_by_label(&label).last().expect(&label);
        node.accesskit_node().value().unwrap_or_default().parse().unwrap()
    };
    [of("x"), of("y")]
}

/// Crossings of the demo graticule, whose lines are ten divisions apart: the corners first.
const CROSSINGS: [[f64; 2]; 9] = [
    [-20.0, 20.0],
    [20.0, 20.0],
    [20.0, -20.0],
    [-20.0, -20.0],
    [0.0, 20.0],
    [-20.0, 0.0],
    [20.0, 0.0],
    [0.0, -20.0],
    [0.0, 0.0],
];

/// Marks crossings of the demo graticule by keys alone, from its middle on.
fn mark_by_keys(bench: &mut Bench, count: usize) {
    let demo = map_of(&demo_camera());
    let mut cursor = [159.5, 119.5];
    for (place, divisions) in CROSSINGS.into_iter().take(count).enumerate() {
        let px = demo.px_from_divisions(divisions).unwrap();
        move_by_keys(bench, cursor, px);
        bench.key(Key::Enter);
        assert!(bench.says("on the centre of the crossing"), "{divisions:?}");
        cursor = placed(bench, place + 1);
        let off = (cursor[0] - px[0]).hypot(cursor[1] - px[1]);
        // The demo's marks are rounded to 0.1 px.
        assert!(off < 0.2, "{divisions:?}: {cursor:?} {px:?}");
        bench.type_text(&divisions[0].to_string());
        bench.key(Key::Tab);
        bench.enter(&divisions[1].to_string());
    }
}

fn map_of(camera: &Camera) -> CameraMap {
    let mark = |mark: &record::fact::PictureMark| Mark { px: mark.px, divisions: mark.divisions };
    CameraMap::fit(camera.size_px, &camera.marks.iter().map(mark).collect::<Vec<_>>()).unwrap()
}

/// Nine crossings by keys, their divisions typed: the map puts them where the demo's pictures have them,
/// to a tenth of a pixel, and is kept as a file of the shop.
#[test]
fn a_map_is_marked_by_keys_alone() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    open_new(&mut bench);
    bench.focus("Name of the camera map");
    bench.type_text("Over the lamp");
    bench.fill("Station it looks into", "Bench 2");
    open_picture(&mut bench, &graticule());
    assert!(bench.says("4 marks more with their divisions make a map"));
    mark_by_keys(&mut bench, 4);
    assert!(bench.says("leave nothing to tell how good it is"));
    assert!(bench.says("distortion is taken as k = 0"));
    // The next is foretold by the map: its divisions stand there as a hint, and are not taken by themselves.
    bench.press_anywhere("Keep");
    assert_eq!(bench.app().front(), &Sheet::Keeps, "four are enough");
    let path = bench.app().offers().folder.join("cameras/Over the lamp.ron");
    let four = record::Shop::read_camera(&path).unwrap();
    assert_eq!((four.size_px, four.lines, four.marks.len()), ([320, 240], Lines::Bright, 4));
    drop(bench);

    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    open_new(&mut bench);
    bench.focus("Name of the camera map");
    bench.type_text("Over the lamp");
    bench.fill("Station it looks into", "Bench 2");
    open_picture(&mut bench, &graticule());
    mark_by_keys(&mut bench, 9);
    assert!(bench.says("9 marks lie off the map by 0.0"), "as the reader places them");
    assert!(bench.says("distortion is k = "));
    assert!(bench.says("left out, by"));
    bench.press_anywhere("Keep");
    let path = bench.app().offers().folder.join("cameras/Over the lamp.ron");
    let nine = record::Shop::read_camera(&path).unwrap();
    let mine = map_of(&nine);
    for [u, v] in CROSSINGS {
        // Where the demo’s pictures have them (`make_demo_data`, `pictures.rs`): a perspective, no distortion.
        let w = 1.0 + 0.0004 * u - 0.0003 * v;
        let truth = [(161.0 + 4.95 * u + 0.12 * v) / w, (118.5 + 0.10 * u - 5.02 * v) / w];
        let px = mine.px_from_divisions([u, v]).unwrap();
        assert!((px[0] - truth[0]).hypot(px[1] - truth[1]) < 0.1, "{u}, {v}: {px:?} {truth:?}");
    }
    assert!(bench.says("Change camera map Over the lamp"));
}

/// A click of the pointer marks, too; a mark clicked again is placed anew, not twice; Delete takes it away.
#[test]
fn a_click_marks_the_crossing_under_it() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    open_new(&mut bench);
    open_picture(&mut bench, &graticule());
    let picture = bench.window.query_by_label_contains("Picture of the graticule").unwrap().rect();
    // The whole picture stands at the left, in the middle of its room: see how wide it is by its height.
    let near = picture.height().min(0.36 * picture.width());
    let whole = egui::Rect::from_min_max(
        picture.min,
        egui::pos2(picture.right() - near - 8.0, picture.bottom()),
    );
    let pt = (whole.width() / 320.0).min(whole.height() / 240.0);
    let at =
        |px: [f32; 2]| whole.center() + pt * egui::vec2(px[0] + 0.5 - 160.0, px[1] + 0.5 - 120.0);
    let click = |bench: &mut Bench, px: [f32; 2]| {
        let pos = at(px);
        bench.window.hover_at(pos);
        for pressed in [true, false] {
            let button = egui::PointerButton::Primary;
            let modifiers = Modifiers::NONE;
            bench.window.event(egui::Event::PointerButton { pos, button, pressed, modifiers });
            bench.rest();
        }
    };
    let truth = map_of(&demo_camera()).px_from_divisions([-20.0, 20.0]).unwrap();
    let [x, y] = truth.map(|px| px as f32);
    click(&mut bench, [x + 5.0, y + 4.0]);
    let first = placed(&bench, 1);
    assert!((first[0] - truth[0]).hypot(first[1] - truth[1]) < 0.2, "{first:?} {truth:?}");
    click(&mut bench, [x - 4.0, y + 3.0]);
    assert!(bench.window.query_by_label("Remove mark 2").is_none(), "the same crossing");
    // Between lines nothing is told: the mark stays there, and it is said.
    click(&mut bench, [88.0, 44.0]);
    assert!(bench.says("where you put it: no"), "{:?}", placed(&bench, 2));
    to_picture(&mut bench);
    bench.key(Key::Delete);
    assert!(bench.says("Mark 2 is taken away"));
    assert!(bench.window.query_by_label("Remove mark 2").is_none());
    bench.press_anywhere("Remove mark 1");
    assert!(bench.window.query_by_label("Remove mark 1").is_none());
}

fn type_marks(bench: &mut Bench, marks: &[&str]) {
    for (place, mark) in marks.iter().enumerate() {
        bench.press_anywhere("Add a mark");
        for (number, text) in mark.split(' ').enumerate() {
            if number > 0 {
                bench.key(Key::Tab);
            }
            bench.type_text(text);
        }
        assert!(bench.says(&format!("Remove mark {}", place + 1)));
    }
}

/// Marks that make no map are refused in words, and nothing is kept.
#[test]
fn what_makes_no_map_is_refused_in_words() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    for (marks, why) in [
        (&["10 10 0 0", "100 10 1 0", "100 90 1 1"][..], "3 marks are too few"),
        (&["10 10 0 0", "100 10 1 0", "200 10 2 0", "300 10 3 0"], "lie on one line"),
        (&["10 10 0 0", "100 10 1 0", "100 90 1 1", "10 10 0 1"], "same place in the picture"),
        (&["10 10 0 0", "100 10 1 0", "100 90 1 1", "10 90 1 1"], "same place on the graticule"),
        (&["10 10 0 0", "100 10 1 0", "100 90 0 1", "10 90 1 1"], "No camera sees"),
        (&["10 10 0 0", "100 10 1 0", "100 90 1 1", "10 900 0 1"], "outside the picture"),
    ] {
        open_new(&mut bench);
        for (name, text) in [
            ("Name of the camera map", "None"),
            ("Station it looks into", "Bench 2"),
            ("Width of its pictures, px", "320"),
            ("Height of its pictures, px", "240"),
        ] {
            bench.fill(name, text);
        }
        type_marks(&mut bench, marks);
        bench.press_anywhere("Keep");
        assert!(bench.says(why), "{marks:?} are not refused by {why}");
        assert!(matches!(bench.app().front(), Sheet::Edit(_)));
        bench.key(Key::Escape);
        bench.key(Key::Escape);
        bench.key(Key::Escape);
    }
    let cameras = fs::read_dir(bench.app().offers().folder.join("cameras")).unwrap().count();
    assert_eq!(cameras, 1, "only the demo's");
}

/// A station that the shop does not have is refused by name: no picture would ever be read through such a map.
#[test]
fn a_map_is_of_a_station_that_is_there() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    open_new(&mut bench);
    bench.focus("Name of the camera map");
    bench.type_text("Lost");
    bench.fill("Station it looks into", "Bench 22");
    for (name, text) in
        [("Width of its pictures, px", "320"), ("Height of its pictures, px", "240")]
    {
        bench.focus(name);
        bench.type_text(text);
    }
    type_marks(&mut bench, &["10 10 0 0", "300 10 1 0", "300 200 1 1", "10 200 0 1"]);
    bench.press_anywhere("Keep");
    assert!(bench.says("The shop has no station “Bench 22”: it has “Bench 2”"));
}

/// A changed map leaves the old one under its date, and says what is another mark by mark.
#[test]
fn the_old_map_stays_under_its_date() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    bench.keys(Modifiers::ALT, Key::A);
    bench.press_anywhere("Change camera map Bench 2…");
    assert!(bench.says("9 marks lie off the map by"));
    bench.fill("Mark 1, x in the picture, px", "41.9");
    assert!(
        bench.says("Left out one at a time they are told to within 1."),
        "it lies off by 1.5 px"
    );
    bench.press_anywhere("Keep");
    assert_eq!(bench.app().front(), &Sheet::Keeps);
    let folder = bench.app().offers().folder.join("cameras");
    assert_eq!(
        record::Shop::read_camera(&folder.join("Bench 2.ron")).unwrap().marks[0].px,
        [41.9, 16.0]
    );
    assert_eq!(fs::read_dir(folder.join("earlier")).unwrap().count(), 1);
    bench.press_anywhere("Change camera map Bench 2…");
    bench.press_anywhere("What it was before");
    assert!(bench.says("Mark 1: was 40.4, 16 px at −25, 20, is 41.9, 16 px at −25, 20"));
    // A picture of another size has nothing to do with it.
    let other = home.path().join("other.pgm");
    fs::write(&other, [b"P5 64 64 255\n".as_slice(), &[9; 64 * 64]].concat()).unwrap();
    bench.focus("Path of the graticule’s picture");
    bench.enter(&other.display().to_string());
    bench.wait_for("It has 64 × 64 pixels, and the camera map is for 320 × 240");
}

/// What cannot be opened says why on the form, by path and by dialog; a worker that dies is tried again.
#[test]
fn a_picture_that_cannot_be_opened_says_why() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    open_new(&mut bench);
    bench.press_anywhere("Open the picture");
    assert!(bench.says("Say which picture"));
    bench.focus("Path of the graticule’s picture");
    bench.enter(&home.path().join("nothing.png").display().to_string());
    bench.wait_for("here is no such file or folder; check its name");
    let text = home.path().join("words.png");
    fs::write(&text, "no picture").unwrap();
    *bench.dialogs.next.lock().unwrap() = Some(DialogAnswer::Chosen(text));
    bench.press_anywhere("Choose with a file dialog…");
    bench.wait_for("It is no PNG, PNM, JPEG or TIFF picture");
    bench.threads.only_kill(&[Work::Graticule]);
    bench.press_anywhere("Open the picture");
    bench.wait_for("Opening the graticule’s picture stopped unexpectedly");
    bench.threads.only_kill(&[]);
    *bench.dialogs.next.lock().unwrap() = Some(DialogAnswer::Chosen(graticule()));
    bench.press_anywhere("Choose with a file dialog…");
    bench.wait_for("Click a crossing");
}
