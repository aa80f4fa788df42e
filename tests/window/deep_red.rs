//! Deep red: whatever is drawn on any screen, by us or by the toolkit, is red and nothing else.

use std::collections::BTreeSet;

use egui::epaint::Primitive;
use egui::{Key, Modifiers, TextureId};
use samepoint::theme::Lighting;

use crate::bench::Bench;
use crate::confirm::{confirm_all, turn_to_confirm};
use crate::session::{log_eight, start};

/// Green and blue of what is drawn, at most: 8 % of full, for rounding on the way.
const BOUND: u8 = 20;

/// Every colour of every vertex that would reach the screen. A picture in pixels would be drawn with a
/// texture of its own: there is none.
fn only_red(bench: &Bench, what: &str) {
    let shapes = bench.window.output().shapes.clone();
    let mut other = BTreeSet::new();
    for drawn in bench.window.ctx.tessellate(shapes, 1.0) {
        match drawn.primitive {
            Primitive::Mesh(mesh) => {
                assert_eq!(mesh.texture_id, TextureId::default(), "{what}: a picture in pixels");
                let colours = mesh.vertices.iter().map(|vertex| vertex.color.to_array());
                other.extend(colours.filter(|[_, g, b, _]| *g > BOUND || *b > BOUND));
            }
            Primitive::Callback(_) => panic!("{what}: drawn by something else"),
        }
    }
    assert!(other.is_empty(), "{what}: {other:?}");
}

fn in_deep_red(bench: &mut Bench) {
    while bench.app().preferences().lighting != Lighting::DeepRed {
        bench.keys(Modifiers::COMMAND, Key::L);
    }
    bench.window.run();
}

/// Every view, place and sheet; text selected, the pointer over things.
#[test]
fn every_screen_is_red_and_nothing_else() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    in_deep_red(&mut bench);
    log_eight(&mut bench);
    only_red(&bench, "the bench");
    bench.type_text("12.5");
    bench.keys(Modifiers::COMMAND, Key::A);
    only_red(&bench, "what is selected");
    for place in [(90.0, 20.0), (60.0, 150.0), (640.0, 400.0), (1200.0, 500.0), (100.0, 780.0)] {
        bench.window.hover_at(place.into());
        bench.window.run();
        only_red(&bench, "under the pointer");
    }
    bench.key(Key::Insert);
    only_red(&bench, "bench mode");
    bench.key(Key::Insert);
    for key in [Key::Num1, Key::Num2, Key::Num3, Key::Num4, Key::Num5] {
        bench.keys(Modifiers::ALT, key);
        only_red(&bench, "a view");
    }
    for (modifiers, key, what) in [
        (Modifiers::COMMAND, Key::Num1, "set up"),
        (Modifiers::COMMAND, Key::Num5, "remedies"),
        (Modifiers::COMMAND, Key::K, "commands"),
        (Modifiers::COMMAND | Modifiers::SHIFT, Key::V, "paste"),
        (Modifiers::NONE, Key::F1, "keys"),
        (Modifiers::NONE, Key::F8, "withdraw"),
        (Modifiers::NONE, Key::F9, "round"),
        (Modifiers::COMMAND, Key::P, "report"),
        (Modifiers::ALT, Key::C, "check the station"),
        (Modifiers::ALT, Key::D, "what is due"),
        (Modifiers::COMMAND | Modifiers::SHIFT, Key::F1, "cautions"),
    ] {
        bench.keys(modifiers, key);
        only_red(&bench, what);
        bench.key(Key::Escape);
    }
    for key in [Key::P, Key::E, Key::U, Key::H, Key::V] {
        bench.keys(Modifiers::ALT, key);
        while bench.app().places().shop.reading.is_going_on() {
            std::thread::sleep(std::time::Duration::from_millis(5));
            bench.window.run();
        }
        only_red(&bench, bench.app().place().text());
    }
}

/// Confirming, signing, refusing.
#[test]
fn confirming_is_red_and_nothing_else() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = turn_to_confirm(start(home.path()));
    in_deep_red(&mut bench);
    only_red(&bench, "confirming");
    confirm_all(&mut bench);
    only_red(&bench, "confirmed");
    bench.key(Key::Insert);
    only_red(&bench, "bench mode");
    bench.key(Key::F12);
    only_red(&bench, "signing");
    bench.key(Key::Enter);
    only_red(&bench, "signed");
}
