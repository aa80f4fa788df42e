//! The first frame: it waits for nothing, says what is being opened, and loses no key.

use eframe::App as _;
use egui::{Event, RawInput, ViewportId, vec2};
use samepoint::testing::{FirstFrame, Folders, Services};

use crate::bench::{Bench, TestClock};

/// A frame as the program's own loop goes through it; whether it asks for another at once, and what it says.
fn frame(window: &mut FirstFrame, ctx: &egui::Context, typed: &str) -> (bool, Vec<String>) {
    let mut input = RawInput {
        screen_rect: Some(egui::Rect::from_min_size(egui::Pos2::ZERO, vec2(1280.0, 800.0))),
        ..RawInput::default()
    };
    if !typed.is_empty() {
        input.events.push(Event::Text(typed.to_owned()));
    }
    window.raw_input_hook(ctx, &mut input);
    let mut of_window = eframe::Frame::_new_kittest();
    let mut output = ctx.run_ui(input, |ui| {
        window.logic(ui.ctx(), &mut of_window);
        window.ui(ui, &mut of_window);
    });
    // Nothing is drawn here.
    output.textures_delta.clear();
    let told = output.platform_output.accesskit_update.map(|update| update.nodes);
    let said = told
        .unwrap_or_default()
        .into_iter()
        .filter_map(|(_, node)| node.label().or_else(|| node.value()).map(str::to_owned));
    let again = output.viewport_output[&ViewportId::ROOT].repaint_delay.is_zero();
    (again, said.collect())
}

#[test]
fn the_first_frame_waits_for_nothing_and_loses_no_key() {
    let home = tempfile::tempdir().unwrap();
    let path = {
        let bench = Bench::open(home.path(), None);
        bench.app().session().unwrap().file().path().to_owned()
    };
    let services = Services {
        clock: Box::new(TestClock::default()),
        folders: Folders::below(home.path()),
        ..Services::of_user()
    };
    let ctx = egui::Context::default();
    ctx.enable_accesskit();
    let mut window = FirstFrame::new(&ctx, services, Some(path.clone()));

    let (again, said) = frame(&mut window, &ctx, "4");
    assert!(window.opened().is_none(), "the first frame waits for no session");
    assert!(again, "and what it is to open follows at once");
    let name = path.file_name().unwrap().to_str().unwrap();
    assert!(
        said.iter().any(|said| said.starts_with("Opening ") && said.contains(name)),
        "{said:?}"
    );

    frame(&mut window, &ctx, "2");
    let app = window.opened().expect("the second frame opens it");
    assert_eq!(app.session().map(|session| session.file().path()), Some(path.as_path()));
    let typed = |window: &FirstFrame| {
        let entry = window.opened().unwrap().entry();
        [entry.x.clone(), entry.ring[entry.channel].clone()]
    };
    let before = typed(&window);
    for _ in 0..4 {
        frame(&mut window, &ctx, "");
    }
    assert_ne!(typed(&window), before);
    assert!(typed(&window).iter().any(|typed| typed.ends_with("42")), "{:?}", typed(&window));
}
