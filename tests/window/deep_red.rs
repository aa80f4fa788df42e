//! Deep red: whatever is drawn on any screen, by us or by the toolkit, is red and nothing else.

use std::collections::BTreeSet;

use egui::epaint::Primitive;
use egui::{Key, Modifiers, TextureId};
use egui_kittest::kittest::Queryable as _;
use record::practice::Grade;
use samepoint::testing::{Lighting, Sheet, UiCommand};

use crate::bench::Bench;
use crate::confirm::{confirm_all, turn_to_confirm};
use crate::session::{log_eight, start};
use crate::{camera_map, own_shop, practice, waiting};

/// Green and blue of what is drawn, at most: 8 % of full, for rounding on the way.
const BOUND: u8 = 20;

/// The red of a camera's picture, at most: what it fills is large.
const BRIGHTEST_PICTURE: u8 = 0x70;

/// Every colour of every vertex that would reach the screen. A picture in pixels is drawn with a texture of its own,
/// each of its pixels times the vertex's colour: no channel is brighter than there, whatever the picture shows.
pub(crate) fn only_red(bench: &Bench, what: &str) {
    let shapes = bench.window.output().shapes.clone();
    let mut other = BTreeSet::new();
    for drawn in bench.window.ctx.tessellate(shapes, 1.0) {
        match drawn.primitive {
            Primitive::Mesh(mesh) => {
                let colours = mesh.vertices.iter().map(|vertex| vertex.color.to_array());
                if mesh.texture_id != TextureId::default() {
                    let bright = colours.clone().find(|[r, ..]| *r > BRIGHTEST_PICTURE);
                    assert_eq!(bright, None, "{what}: a picture in pixels");
                }
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
    bench.rest();
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
        bench.rest();
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
        bench.wait_read();
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

/// Every sheet there is.
const SHEETS: [&str; 42] = [
    "Edit",
    "FirstStart",
    "Begin",
    "Keeps",
    "FindMap",
    "List",
    "SetUp",
    "Open",
    "KeepCopy",
    "ReadPicture",
    "Camera",
    "Report",
    "Label",
    "RecallList",
    "OfShop",
    "Withdraw",
    "Choose",
    "SavePicture",
    "Round",
    "OwnRemedy",
    "Paste",
    "Import",
    "Commands",
    "Looking",
    "Sign",
    "Seal",
    "Handover",
    "Receiving",
    "Units",
    "Check",
    "ProgressCsv",
    "Hidden",
    "Waiting",
    "Continue",
    "Rescue",
    "Due",
    "Keypad",
    "Pedals",
    "Keys",
    "Cautions",
    "Glossary",
    "About",
];

/// What a sheet is called here; a new one does not compile until it stands in this list.
const fn sheet(front: &Sheet) -> &'static str {
    match front {
        Sheet::Clear => "Clear",
        Sheet::SetUp(_) => "SetUp",
        Sheet::Edit(_) => "Edit",
        Sheet::FirstStart => "FirstStart",
        Sheet::Begin(_) => "Begin",
        Sheet::Keeps => "Keeps",
        Sheet::FindMap(_) => "FindMap",
        Sheet::List(_) => "List",
        Sheet::Open(_) => "Open",
        Sheet::KeepCopy(_) => "KeepCopy",
        Sheet::ReadPicture(_) => "ReadPicture",
        Sheet::Camera(_) => "Camera",
        Sheet::Report(_) => "Report",
        Sheet::Label(_) => "Label",
        Sheet::RecallList(_) => "RecallList",
        Sheet::OfShop(_) => "OfShop",
        Sheet::Withdraw(_) => "Withdraw",
        Sheet::Choose(_) => "Choose",
        Sheet::SavePicture(_) => "SavePicture",
        Sheet::Round(_) => "Round",
        Sheet::OwnRemedy(_) => "OwnRemedy",
        Sheet::Paste(_) => "Paste",
        Sheet::Import(_) => "Import",
        Sheet::Commands(_) => "Commands",
        Sheet::Looking(_) => "Looking",
        Sheet::Sign(_) => "Sign",
        Sheet::Seal(_) => "Seal",
        Sheet::Handover(_) => "Handover",
        Sheet::Receiving(_) => "Receiving",
        Sheet::Units(_) => "Units",
        Sheet::Check(_) => "Check",
        Sheet::ProgressCsv(_) => "ProgressCsv",
        Sheet::Hidden(_) => "Hidden",
        Sheet::Waiting(_) => "Waiting",
        Sheet::Continue(_) => "Continue",
        Sheet::Rescue(_) => "Rescue",
        Sheet::Due => "Due",
        Sheet::Keypad => "Keypad",
        Sheet::Pedals(_) => "Pedals",
        Sheet::Keys => "Keys",
        Sheet::Cautions => "Cautions",
        Sheet::Glossary => "Glossary",
        Sheet::About => "About",
    }
}

/// Every sheet there is, by the command that brings it, as it comes and with something typed in it; those that no
/// command brings are brought by what does.
#[test]
fn every_sheet_is_red_and_nothing_else() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = turn_to_confirm(start(home.path()));
    in_deep_red(&mut bench);
    let mut seen = BTreeSet::new();
    let mut look = |bench: &mut Bench, by: &str| {
        let name = sheet(bench.app().front());
        if name != "Clear" {
            seen.insert(name);
        }
        only_red(bench, by);
    };
    for command in UiCommand::ALL {
        bench.give(command);
        while bench.app().preferences().lighting != Lighting::DeepRed {
            bench.keys(Modifiers::COMMAND, Key::L);
        }
        look(&mut bench, command.text());
        // What is refused, and a name in its field; no file can be written there. A shop with a name would be begun.
        if !matches!(bench.app().front(), Sheet::Clear | Sheet::Sign(_) | Sheet::Begin(_)) {
            bench.type_text("no such folder/8");
            bench.key(Key::Enter);
            look(&mut bench, command.text());
        }
        bench.key(Key::Escape);
        bench.key(Key::Escape);
    }
    bench.keys(Modifiers::ALT, Key::B);
    // A pedal that is waited for.
    bench.keys(Modifiers::ALT, Key::Y);
    bench.window.query_all_by_label_contains("Give ").next().unwrap().click_accesskit();
    bench.rest();
    look(&mut bench, "a pedal is waited for");
    bench.key(Key::Escape);
    bench.key(Key::Escape);
    // The results of practice as a table, and what was hidden in a unit.
    practice::to_practice(&mut bench);
    bench.press("As an examination");
    practice::begin(&mut bench, Grade::ALL[1], 6);
    practice::read(&mut bench);
    practice::read(&mut bench);
    bench.key(Key::F12);
    look(&mut bench, "an examination is signed");
    bench.press("your verdict: fail");
    bench.press("Sign “fail”");
    bench.wait_saved().unwrap();
    bench.key(Key::Escape);
    bench.keys(Modifiers::ALT, Key::W);
    look(&mut bench, "what was hidden");
    bench.key(Key::Escape);
    practice::to_practice(&mut bench);
    look(&mut bench, "practice");
    bench.press_anywhere("Write CSV…");
    look(&mut bench, "the results as a table");
    drop(bench);

    // A setting of the hand's own, a seal, and what was left on a station whose zero was off.
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    in_deep_red(&mut bench);
    log_eight(&mut bench);
    bench.keys(Modifiers::ALT, Key::ArrowRight);
    bench.keys(Modifiers::COMMAND, Key::Enter);
    look(&mut bench, "a setting is chosen");
    bench.key(Key::Escape);
    bench.keys(Modifiers::COMMAND, Key::Num6);
    confirm_all(&mut bench);
    bench.key(Key::F12);
    bench.key(Key::Enter);
    bench.wait_saved().unwrap();
    bench.key(Key::Escape);
    bench.keys(Modifiers::SHIFT, Key::F12);
    look(&mut bench, "a seal");
    bench.key(Key::Escape);
    bench.keys(Modifiers::ALT, Key::H);
    bench.wait_read();
    bench.keys(Modifiers::ALT | Modifiers::SHIFT, Key::H);
    look(&mut bench, "the recall list");
    bench.key(Key::Escape);
    bench.keys(Modifiers::ALT | Modifiers::SHIFT, Key::S);
    look(&mut bench, "the table of sessions");
    bench.key(Key::Escape);
    bench.keys(Modifiers::ALT | Modifiers::SHIFT, Key::A);
    look(&mut bench, "an audit pack");
    drop(bench);

    // Facts that cannot be written, where to go on, and what is offered at the next start.
    let home = tempfile::tempdir().unwrap();
    let mut bench = waiting::fourteen(home.path());
    in_deep_red(&mut bench);
    look(&mut bench, "facts cannot be written");
    waiting::close(&mut bench);
    look(&mut bench, "facts that wait");
    bench.press_anywhere("Write them elsewhere…");
    look(&mut bench, "where to go on");
    drop(bench);
    let mut bench = Bench::open(home.path(), None);
    assert_eq!(bench.app().preferences().lighting, Lighting::DeepRed);
    look(&mut bench, "what was never saved");
    drop(bench);

    // The question of the first start, asked on a screen that is red already.
    let home = tempfile::tempdir().unwrap();
    let mut bench = own_shop::first_start(home.path());
    while bench.app().preferences().lighting != Lighting::DeepRed {
        bench.keys(Modifiers::COMMAND, Key::L);
    }
    look(&mut bench, "the question of the first start");
    own_shop::begin_shop(&mut bench);
    look(&mut bench, "what an empty shop keeps");
    own_shop::mark(&home.path().join("mark.png"), [60, 20]);
    bench.press_anywhere("Picture on papers…");
    bench.type_text(&home.path().join("mark.png").display().to_string());
    bench.press_anywhere("Look at it");
    bench.wait_for("as paper will have it");
    look(&mut bench, "the picture on papers");
    drop(bench);

    // A picture in pixels, with marks on it.
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    in_deep_red(&mut bench);
    camera_map::open_new(&mut bench);
    camera_map::open_picture(&mut bench, &camera_map::graticule());
    bench.key(Key::Enter);
    look(&mut bench, "a picture of a graticule");
    let textures = |bench: &Bench| {
        let shapes = bench.window.output().shapes.clone();
        let drawn = bench.window.ctx.tessellate(shapes, 1.0);
        let own = |mesh: &egui::Mesh| mesh.texture_id != TextureId::default();
        drawn
            .iter()
            .filter(|one| matches!(&one.primitive, Primitive::Mesh(mesh) if own(mesh)))
            .count()
    };
    assert!(textures(&bench) >= 2, "the picture and what is round the cursor are drawn");

    let missing: Vec<_> = SHEETS.iter().filter(|name| !seen.contains(*name)).collect();
    assert!(missing.is_empty(), "never seen: {missing:?}");
}
