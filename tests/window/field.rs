//! The field plot under the hand: settings tried and chosen, measuring, arrows to what is out of
//! view, pictures copied and saved.

use egui::accesskit::Role;
use egui::{Key, Modifiers, Pos2, vec2};
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use paper::ItemId;
use paper::measure::figures;
use record::fact::{Body, SettingSource};
use samepoint::testing::{RoundView, Target};
use solver::{Channel, Direction, SettingKind};

use crate::bench::Bench;
use crate::session::{begin, log_eight, start};

fn eight(home: &std::path::Path) -> Bench {
    let mut bench = start(home);
    log_eight(&mut bench);
    bench
}

fn picture(bench: &Bench) -> &RoundView {
    bench.app().session().unwrap().picture()
}

fn facts(bench: &Bench) -> usize {
    bench.app().session().unwrap().file().facts().len()
}

fn drag(bench: &mut Bench, path: &[Pos2]) {
    bench.window.hover_at(path[0]);
    bench.rest();
    bench.window.drag_at(path[0]);
    bench.rest();
    for &at in &path[1..] {
        bench.window.hover_at(at);
        bench.rest();
    }
    bench.window.drop_at(path[path.len() - 1]);
    bench.rest();
}

/// Points along a channel's circle from where its handle is, on screen.
fn along(bench: &Bench, channel: Channel, by_deg: f64) -> Vec<Pos2> {
    let handle = picture(bench).handles.iter().find(|handle| handle.channel == channel).unwrap();
    let outward = handle.at - handle.centre;
    (0..=12)
        .map(|k| {
            let at = handle.centre + outward.rotated((by_deg * f64::from(k) / 12.0).to_radians());
            bench.app().view().place(at).unwrap()
        })
        .collect()
}

/// Dragged along the left circle, only the left ring is tried; words and window use follow, nothing
/// is stored, the picture does not move under the hand, and Esc brings the recommended setting back.
#[test]
fn a_setting_is_tried_by_dragging() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = eight(home.path());
    let before = picture(&bench).setting.unwrap();
    let (count, origin) = (facts(&bench), bench.app().view().place(Direction::BORESIGHT));
    let path = along(&bench, Channel::Left, 40.0);
    drag(&mut bench, &path);
    let tried = picture(&bench).setting.unwrap();
    assert!(picture(&bench).trying);
    assert_eq!(tried.kind, SettingKind::ByHand);
    assert_eq!(tried.ring_deg.right, before.ring_deg.right);
    // 40° counter-clockwise on screen is 40° less on a ring the crosshair runs with; the ring's
    // step is 1°, and the drag ends within a point of there, a quarter of a degree.
    let turned =
        solver::angle::turn_deg(before.ring_deg.left.unwrap(), tried.ring_deg.left.unwrap());
    assert!((turned + 40.0).abs() <= 1.5, "{turned}");
    assert!(tried.window_use.unwrap().worst() > before.window_use.unwrap().worst());
    assert!(bench.says("Trying"));
    assert_eq!(facts(&bench), count, "nothing is stored");
    assert_eq!(bench.app().view().place(Direction::BORESIGHT), origin, "the plot moved");
    bench.key(Key::Escape);
    assert!(!picture(&bench).trying);
    assert_eq!(picture(&bench).setting, Some(before));
}

/// By keyboard: the ring of the channel in the entry row is stepped, then chosen with a reason; the
/// targets follow what is on record, and undo takes it back.
#[test]
fn a_setting_is_tried_and_chosen_by_keyboard() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = eight(home.path());
    let before = picture(&bench).setting.unwrap();
    bench.key(Key::F3);
    bench.keys(Modifiers::ALT, Key::ArrowRight);
    bench.keys(Modifiers::ALT | Modifiers::SHIFT, Key::ArrowRight);
    bench.keys(Modifiers::ALT, Key::ArrowLeft);
    let tried = picture(&bench).setting.unwrap();
    assert_eq!(tried.ring_deg.left, before.ring_deg.left);
    let turned =
        solver::angle::turn_deg(before.ring_deg.right.unwrap(), tried.ring_deg.right.unwrap());
    assert!((turned - 10.0).abs() < 1e-9, "{turned}");
    let count = facts(&bench);
    bench.keys(Modifiers::COMMAND, Key::Enter);
    bench.key(Key::Enter);
    assert!(bench.says("Say why"), "a reason is asked for");
    assert_eq!(facts(&bench), count);
    bench.type_text("leaves room for the lock");
    bench.key(Key::Enter);
    assert_eq!(facts(&bench), count + 1);
    let session = bench.app().session().unwrap();
    let Body::SettingChosen(chosen) = &session.file().facts().last().unwrap().body else {
        panic!("no setting was recorded");
    };
    assert_eq!((chosen.source, &chosen.ring_deg), (SettingSource::ByHand, &tried.ring_deg));
    assert!(!picture(&bench).trying);
    assert_eq!(picture(&bench).setting, Some(tried));
    let target = format!("{:.0}°", tried.ring_deg.right.unwrap());
    assert_eq!(picture(&bench).rings.right.target, Target::Ring(target));
    bench.keys(Modifiers::COMMAND, Key::Z);
    assert_eq!(picture(&bench).setting, Some(before));
}

/// The recommended setting goes on record at once, and the record follows from the readings.
#[test]
fn the_recommended_setting_is_chosen_at_once() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = eight(home.path());
    bench.press("Choose this setting");
    let session = bench.app().session().unwrap();
    let Body::SettingChosen(chosen) = &session.file().facts().last().unwrap().body else {
        panic!("no setting was recorded");
    };
    assert_eq!(chosen.source, SettingSource::NearestCrossing);
    bench.wait_saved().unwrap();
    let path = bench.app().session().unwrap().file().path().to_owned();
    drop(bench);
    let account = record::review(&path, &record::file::RealDisk).unwrap();
    assert!(!matches!(account.follows, record::Follows::No(_)), "{}", account.words());
}

/// Between two circles' centres, with the pointer; the same by walking with keys.
#[test]
fn distances_are_measured() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = eight(home.path());
    let centre = |bench: &Bench, channel| {
        picture(bench).scene.find(ItemId::Centre(channel)).unwrap().place().unwrap()
    };
    let (left, right) = (centre(&bench, Channel::Left), centre(&bench, Channel::Right));
    bench.keys(Modifiers::COMMAND, Key::M);
    for at in [left, right] {
        let at = bench.app().view().place(at).unwrap() + vec2(3.0, -2.0);
        drag(&mut bench, &[at]);
    }
    assert!(bench.says(&figures(left, right)), "{:?}", bench.app().view().measured());
    assert!(bench.app().selected().is_none(), "measuring selects nothing");
    bench.key(Key::Escape);
    assert!(bench.app().view().measured().is_none());

    bench.keys(Modifiers::COMMAND, Key::M);
    for key in [Key::ArrowRight, Key::Enter, Key::ArrowRight, Key::ArrowRight, Key::Enter] {
        bench.key(key);
    }
    assert!(bench.says("apart"), "{:?}", bench.app().view().measured());
}

/// What is panned out of sight has an arrow at the edge that names it and leads back.
#[test]
fn an_arrow_leads_to_what_is_out_of_view() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = eight(home.path());
    let arrows = |bench: &Bench| bench.window.query_all_by_label_contains("Off screen:").count();
    assert_eq!(arrows(&bench), 0, "everything is in view at first");
    bench.key(Key::F5);
    for _ in 0..14 {
        bench.key(Key::ArrowRight);
    }
    let at = picture(&bench).setting.unwrap().points.left;
    let plot = bench.window.get_by_label_contains("Field plot.").rect();
    assert!(!plot.contains(bench.app().view().place(at).unwrap()), "it was not panned away");
    assert!(arrows(&bench) >= 1);
    let name = {
        let arrow = bench
            .window
            .query_all_by_label_contains("meet here")
            .find(|node| node.accesskit_node().role() == Role::Button);
        arrow.unwrap().accesskit_node().label().unwrap()
    };
    assert!(name.starts_with("Off screen: meet here") && name.ends_with("Go there."), "{name}");
    bench.press(&name);
    let plot = bench.window.get_by_label_contains("Field plot.").rect();
    let middle = bench.app().view().place(at).unwrap();
    assert!(plot.center().distance(middle) < 40.0, "{middle} in {plot}");
    bench.key(Key::F7);
    assert_eq!(arrows(&bench), 0);
}

/// What lies under the pointer says what it is, with its numbers.
#[test]
fn items_tell_what_they_are() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = eight(home.path());
    let row = bench.app().session().unwrap().rows().left[2].clone();
    let at = bench.app().view().place(row.reading.direction).unwrap();
    bench.window.hover_at(at);
    for _ in 0..6 {
        bench.window.step();
    }
    assert!(bench.says("left reading 2: ring 60°"));
}

/// What is told on hover is as wide as it needs, whatever shorter words were told before it.
#[test]
fn words_on_hover_have_room() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = eight(home.path());
    let handles = &picture(&bench).handles;
    let left = handles.iter().find(|handle| handle.channel == Channel::Left).unwrap();
    let at = left.at;
    // Boresight, told in one word; then the window, which lies up to 45′ to the left crosshair's
    // left, told in many.
    let edge = Direction::new(at.x_arcmin - 30.0, at.y_arcmin + 15.0);
    let mut widths = Vec::new();
    for place in [Direction::BORESIGHT, edge] {
        bench.window.hover_at(bench.app().view().place(place).unwrap());
        for _ in 0..40 {
            bench.window.step();
            std::thread::sleep(std::time::Duration::from_millis(25));
        }
        let told = bench.window.query_all_by_role(Role::Label);
        let wide = told
            .filter(|node| {
                node.accesskit_node()
                    .value()
                    .is_some_and(|text| text.starts_with("tolerance window"))
            })
            .map(|node| node.rect().width());
        widths.extend(wide);
    }
    assert!(matches!(widths[..], [wide] if wide > 200.0), "{widths:?}");
}

/// SVG and PNG by the name's ending; nothing is ever written over.
#[test]
fn the_plot_is_saved_as_a_picture() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = eight(home.path());
    let save = |bench: &mut Bench, path: &std::path::Path| {
        bench.keys(Modifiers::COMMAND, Key::E);
        bench.keys(Modifiers::COMMAND, Key::A);
        bench.type_text(&path.display().to_string());
        bench.key(Key::Enter);
    };
    let (svg, png) = (home.path().join("field.svg"), home.path().join("field.png"));
    save(&mut bench, &svg);
    assert!(std::fs::read_to_string(&svg).unwrap().contains("<svg"));
    save(&mut bench, &png);
    // The PNG signature (ISO/IEC 15948, 5.2).
    assert!(std::fs::read(&png).unwrap().starts_with(b"\x89PNG\r\n\x1a\n"));
    save(&mut bench, &home.path().join("field.bmp"));
    assert!(bench.says("End the name in .svg or .png"));
    bench.key(Key::Escape);
    std::fs::write(&svg, "mine").unwrap();
    save(&mut bench, &svg);
    assert_eq!(std::fs::read_to_string(&svg).unwrap(), "mine");
    bench.key(Key::Escape);
    bench.keys(Modifiers::COMMAND | Modifiers::SHIFT, Key::E);
    assert!(bench.app().notice().unwrap().contains("clipboard"));
}

/// The round before is kept in sight, as what it is.
#[test]
fn the_last_round_is_a_ghost() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = eight(home.path());
    let circle = picture(&bench).solution.as_ref().unwrap().fits.left.as_ref().unwrap().circle;
    bench.key(Key::F9);
    bench.press("Open round");
    let ghost = picture(&bench).scene.find(ItemId::GhostCircle(0, Channel::Left)).unwrap();
    assert!(ghost.told.name.starts_with("round 1, left circle"), "{}", ghost.told.name);
    let paper::Shape::Circle { centre, radius_arcmin } = ghost.shape else { panic!() };
    assert_eq!((centre, radius_arcmin), (circle.centre, circle.radius_arcmin));
}

/// Words on the plot never lie over each other, at any size and however near they are brought; what found no place
/// is told by what it stands beside.
#[test]
fn words_on_the_plot_do_not_lie_over_each_other() {
    let mut dropped = 0;
    for (size, scale) in [
        (vec2(1280.0, 800.0), 1.0),
        (vec2(1920.0, 1080.0), 1.0),
        (vec2(853.0, 533.0), 1.5),
        (vec2(640.0, 400.0), 2.0),
        (vec2(640.0, 480.0), 1.0),
    ] {
        let home = tempfile::tempdir().unwrap();
        let mut bench = begin(Bench::open_sized(home.path(), None, size, scale));
        // A housing that swings has a circle more, with words.
        bench.keys(Modifiers::COMMAND, Key::Num1);
        bench.fill("Housing", "Heron B");
        bench.focus("Interpupillary distance set, mm");
        bench.type_text("64");
        bench.press_anywhere("Change");
        log_eight(&mut bench);
        while bench.window.query_by_label_contains("Field plot.").is_none() {
            bench.key(Key::F10);
        }
        let tries = [Key::F7, Key::PageDown, Key::PageDown, Key::PageDown, Key::PageDown, Key::F7];
        let closer = [Key::PageUp; 6];
        for key in tries.into_iter().chain(closer) {
            bench.key(key);
            let (placed, all, height) = labels(&bench);
            let of_limit = placed.iter().filter(|(one, _)| one.starts_with("boresight limit"));
            // In a low field they would lie over what is measured.
            assert!(height >= 200.0 || of_limit.count() == 0, "{placed:?} at {size} × {scale}");
            for (k, (one, at)) in placed.iter().enumerate() {
                for (other, there) in &placed[k + 1..] {
                    assert!(
                        !at.intersects(*there),
                        "“{one}” {at} lies over “{other}” {there} at {size} × {scale}"
                    );
                }
            }
            dropped += if height < 200.0 { 0 } else { all - placed.len() };
        }
        // The trial has words of its own.
        bench.keys(Modifiers::ALT, Key::ArrowRight);
        let (placed, ..) = labels(&bench);
        for (k, (one, at)) in placed.iter().enumerate() {
            let over = placed[k + 1..].iter().find(|(_, there)| at.intersects(*there));
            assert!(over.is_none(), "“{one}” lies over {over:?} at {size} × {scale}");
        }
        // What a label says is told by what it stands beside, too: the swing-safe circle by itself.
        let told: Vec<String> =
            picture(&bench).scene.items().map(|item| item.told.words().into_owned()).collect();
        assert!(told.iter().any(|words| words.starts_with("swing-safe circle")), "{told:?}");
    }
    assert!(dropped > 0, "none had to give way: nothing is tried");
}

/// The words of the scene that are drawn, where, how many the scene has in view or not, and how high the field is.
fn labels(bench: &Bench) -> (Vec<(String, egui::Rect)>, usize, f32) {
    let words: Vec<String> = picture(bench)
        .scene
        .items()
        .filter_map(|item| match &item.shape {
            paper::Shape::Text { text, .. } => Some(text.clone()),
            _ => None,
        })
        .collect();
    let frame = bench.window.get_by_label_contains("Field plot.").rect();
    let shapes = &bench.window.output().shapes;
    let drawn = shapes.iter().filter_map(|clipped| match &clipped.shape {
        egui::Shape::Text(text) if words.iter().any(|it| it == text.galley.text()) => {
            let rect = clipped.shape.visual_bounding_rect().intersect(frame);
            rect.is_positive().then(|| (text.galley.text().to_owned(), rect))
        }
        _ => None,
    });
    (drawn.collect(), words.len(), frame.height())
}
