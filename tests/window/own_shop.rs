//! A shop of one's own: the question of the first start, beginning one by keyboard, what an empty one says, and what
//! is never written over.

use std::fs;
use std::path::Path;

use egui::{Key, Modifiers, vec2};
use egui_kittest::kittest::Queryable as _;
use samepoint::testing::{Ask, DialogAnswer, Sheet, UiCommand};

use crate::bench::Bench;

/// A window as it opens on a computer where it never ran.
pub(crate) fn first_start(home: &Path) -> Bench {
    Bench::open_first(home, vec2(1280.0, 800.0))
}

/// From the question of the first start to an empty shop, by keyboard alone.
pub(crate) fn begin_shop(bench: &mut Bench) {
    bench.key(Key::Enter);
    for text in ["Sandpiper Optics", "1 Quay, Harbour"] {
        bench.type_text(text);
        bench.key(Key::Tab);
    }
    // The folder offered and the file dialog's button.
    bench.key(Key::Tab);
    bench.key(Key::Tab);
    bench.enter("KT");
}

#[test]
fn the_first_start_asks_one_question_and_asks_it_once() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = first_start(home.path());
    assert_eq!(*bench.app().front(), Sheet::FirstStart);
    assert!(bench.says("Everything in it is invented"));
    bench.press("Look round the demo shop");
    assert_eq!(*bench.app().front(), Sheet::Clear);
    assert!(bench.app().session().is_some(), "the demo shop's newest session is open");
    drop(bench);
    let bench = Bench::open_asking(home.path(), None, vec2(1280.0, 800.0));
    assert_eq!(*bench.app().front(), Sheet::Clear, "it was answered");
}

/// Esc is an answer too; left without any it is asked again.
#[test]
fn the_first_start_asks_until_it_is_answered() {
    let home = tempfile::tempdir().unwrap();
    drop(first_start(home.path()));
    let mut bench = first_start(home.path());
    assert_eq!(*bench.app().front(), Sheet::FirstStart);
    bench.key(Key::Escape);
    assert_eq!(*bench.app().front(), Sheet::Clear);
    drop(bench);
    assert_eq!(*first_start(home.path()).app().front(), Sheet::Clear);
}

/// Nor is it answered by closing the window while a shop is half begun.
#[test]
fn closing_the_window_answers_nothing() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = first_start(home.path());
    bench.key(Key::Enter);
    bench.type_text("Sandpiper Optics");
    crate::waiting::close(&mut bench);
    drop(bench);
    assert_eq!(*first_start(home.path()).app().front(), Sheet::FirstStart);
}

#[test]
fn a_shop_is_begun_by_keyboard() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = first_start(home.path());
    begin_shop(&mut bench);
    assert_eq!(*bench.app().front(), Sheet::Keeps, "{:?}", bench.app().front());
    let folder = home.path().join("shop");
    assert_eq!(bench.app().offers().folder, folder);
    assert_eq!(bench.app().offers().shop, "Sandpiper Optics");
    let shop = record::Shop::load(&folder).unwrap();
    assert!(shop.skipped.is_empty(), "{:?}", shop.skipped);
    assert_eq!(shop.letterhead.unwrap().address, "1 Quay, Harbour");
    assert_eq!(shop.hands.known[0].value.initials, "KT");
    for open in ["No station is kept", "No tolerance window is kept", "takes a second hand"] {
        assert!(bench.says(open), "{open}");
    }
    // Nothing of the demo shop is in sight any more, and the next start opens this one.
    assert!(bench.app().session().is_none());
    drop(bench);
    let mut bench = Bench::open_asking(home.path(), None, vec2(1280.0, 800.0));
    assert_eq!(bench.app().offers().shop, "Sandpiper Optics");
    bench.keys(Modifiers::ALT, Key::A);
    assert_eq!(*bench.app().front(), Sheet::Keeps);
}

/// What cannot be is said on the sheet, what was typed stays, and nothing that stands there is touched.
#[test]
fn what_stands_there_is_never_written_over() {
    let home = tempfile::tempdir().unwrap();
    let theirs = home.path().join("theirs");
    fs::create_dir(&theirs).unwrap();
    fs::write(theirs.join("letters.txt"), "mine").unwrap();
    let mut bench = first_start(home.path());
    bench.key(Key::Enter);
    bench.press_anywhere("Begin");
    assert!(bench.says("fill it in"), "a shop has a name");
    bench.focus("Name of the shop");
    bench.type_text("Sandpiper Optics");
    *bench.dialogs.next.lock().unwrap() = Some(DialogAnswer::Chosen(theirs.clone()));
    bench.press_anywhere("Choose with a file dialog…");
    assert!(matches!(bench.dialogs.asked.lock().unwrap()[..], [Ask::ShopFolder { .. }]));
    bench.press_anywhere("Begin");
    assert!(bench.says("holds something already"));
    assert_eq!(fs::read_dir(&theirs).unwrap().count(), 1);
    // A hand whose initials cannot be: nothing is made.
    let new = home.path().join("new");
    *bench.dialogs.next.lock().unwrap() = Some(DialogAnswer::Chosen(new.clone()));
    bench.press_anywhere("Choose with a file dialog…");
    bench.focus("Your initials");
    bench.type_text("K*");
    bench.key(Key::Enter);
    assert!(bench.says("initials may not hold") && !new.exists());
    bench.keys(Modifiers::COMMAND, Key::A);
    bench.enter("KT");
    assert_eq!(bench.app().offers().folder, new);
}

/// Esc drops what was typed only when pressed twice.
#[test]
fn escape_asks_before_it_drops_what_was_typed() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = first_start(home.path());
    bench.key(Key::Enter);
    bench.type_text("Sandpiper Optics");
    bench.key(Key::Escape);
    assert!(bench.says("Esc again drops"));
    bench.focus("Name of the shop");
    bench.type_text(" Ltd");
    assert!(!bench.says("Esc again drops"), "who goes on typing keeps it");
    // Initials are typed too, and so are ticks of a form.
    bench.key(Key::Escape);
    assert!(bench.says("Esc again drops"));
    bench.fill("Your initials", "KT");
    bench.press("Back");
    assert!(bench.says("Esc again drops"), "what was typed since is asked about, too");
    bench.press("Back");
    assert_eq!(
        *bench.app().front(),
        Sheet::FirstStart,
        "the question is not answered by leaving it"
    );
    assert!(!home.path().join("shop").exists());
    drop(bench);
    assert_eq!(*first_start(home.path()).app().front(), Sheet::FirstStart);
}

/// The same in a form: another letter since, and it is asked again, by whichever way it is left.
#[test]
fn a_form_asks_before_it_drops_what_was_typed_since() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = first_start(home.path());
    begin_shop(&mut bench);
    bench.press_anywhere("Add a hand…");
    bench.type_text("BR");
    bench.key(Key::Escape);
    assert!(bench.says("Esc again drops"));
    bench.press_anywhere("Technician: signs");
    bench.press_anywhere("Back");
    assert!(matches!(bench.app().front(), Sheet::Edit(_)), "a tick was set since");
    bench.fill("Name in full", "B Rail");
    bench.press_anywhere("Back");
    assert!(matches!(bench.app().front(), Sheet::Edit(_)), "a name was typed since");
    bench.press_anywhere("Back");
    assert_eq!(*bench.app().front(), Sheet::Keeps);
}

/// On a box to tick Space ticks; Enter keeps, as in every other field.
#[test]
fn enter_on_a_tick_keeps_and_leaves_it_ticked() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = first_start(home.path());
    begin_shop(&mut bench);
    bench.press_anywhere("Add a hand…");
    bench.type_text("BR");
    bench.focus("Technician: signs");
    bench.key(Key::Space);
    bench.key(Key::Enter);
    assert_eq!(*bench.app().front(), Sheet::Keeps, "{:?}", bench.app().front());
    let shop = record::Shop::load(&home.path().join("shop")).unwrap();
    let hand = shop.hands.known.iter().find(|kept| kept.value.initials == "BR").unwrap();
    assert_eq!(hand.value.roles, [record::HandRole::Technician]);
}

/// A folder without its root would lie wherever the program was started.
#[test]
fn a_shop_lies_at_a_whole_path() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = first_start(home.path());
    bench.key(Key::Enter);
    bench.type_text("Sandpiper Optics");
    bench.fill("Folder of the shop", "shops/mine");
    bench.key(Key::Enter);
    assert!(bench.says("Write the whole path of the folder"));
    assert!(matches!(bench.app().front(), Sheet::Begin(_)));
    assert!(!Path::new("shops").exists());
}

/// What a form refuses first is what it asks first.
#[test]
fn an_empty_form_asks_for_its_name() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = first_start(home.path());
    begin_shop(&mut bench);
    for (add, name) in [
        ("Add a window…", "Name of the window"),
        ("Add a station…", "Name of the station"),
        ("Add a housing…", "Name of the housing"),
    ] {
        bench.press_anywhere(add);
        bench.press_anywhere("Keep");
        assert!(bench.says(&format!("{name} is empty; fill it in.")), "{add}");
        bench.key(Key::Escape);
    }
}

/// In a window as small as a large text makes it, what is refused comes into sight by itself.
#[test]
fn what_is_refused_comes_into_sight() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = Bench::open_sized(home.path(), None, vec2(640.0, 400.0), 1.0);
    bench.keys(Modifiers::COMMAND, Key::O);
    bench.enter("nowhere.samepoint");
    let alerts = bench.window.query_all_by_role(egui::accesskit::Role::Alert);
    let tops: Vec<_> = alerts.map(|alert| alert.rect()).collect();
    assert!(
        tops.iter().any(|rect| rect.top() > 40.0 && rect.bottom() < 400.0),
        "the refusal is in sight: {tops:?}"
    );
}

/// Page keys turn a sheet, whichever it is, and not the plot that lies behind it.
#[test]
fn page_keys_turn_the_sheet_in_front() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = Bench::open_sized(home.path(), None, vec2(1280.0, 800.0), 1.0);
    let page = egui::KeyboardShortcut::new(Modifiers::NONE, Key::PageDown);
    assert!(!bench.app().front().owns_key(page));
    for command in [UiCommand::Open, UiCommand::Keeps, UiCommand::New, UiCommand::Report] {
        bench.run(command.text());
        assert!(bench.app().front().owns_key(page), "{}", command.text());
        bench.key(Key::Escape);
    }
}

/// The cautions stay beside the row until a hand puts them away, whatever came in front of them meanwhile.
#[test]
fn another_sheet_does_not_put_the_cautions_away() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = Bench::open_sized(home.path(), None, vec2(1280.0, 800.0), 1.0);
    bench.keys(Modifiers::COMMAND | Modifiers::SHIFT, Key::F1);
    assert_eq!(*bench.app().front(), Sheet::Cautions);
    bench.keys(Modifiers::ALT, Key::M);
    assert!(matches!(bench.app().front(), Sheet::ReadPicture(_)));
    bench.key(Key::Escape);
    assert_eq!(*bench.app().front(), Sheet::Cautions);
    bench.key(Key::Escape);
    assert_eq!(*bench.app().front(), Sheet::Clear);
}

/// Every part of an empty shop's page says what would stand there and how to get it.
#[test]
fn an_empty_shop_says_what_would_stand_where() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = first_start(home.path());
    begin_shop(&mut bench);
    bench.keys(Modifiers::ALT, Key::H);
    for (part, says) in [
        ("Sessions", "Begin one at the bench with Ctrl+N"),
        ("To look at", "Nothing to look at yet"),
        ("Circle centres", "Log a round at the bench"),
        ("Boresight", "confirmed at the bench"),
        ("First pass", "signed at the bench"),
        ("Shims", "once a remedy was taken"),
        ("Differences", "it takes two of them"),
        ("Locks", "locks open and tight"),
        ("Stations", "Each one’s calibration"),
        ("Practice", "Nobody has begun a practice unit"),
    ] {
        let buttons = bench.window.query_all_by_label(part).count();
        assert!(buttons > 0, "{part}");
        bench.press_anywhere_first(part);
        bench.wait_for(says);
    }
}

/// A shop's own file of a kind.
fn kept(home: &Path, kind: &str) -> Vec<String> {
    let mut names: Vec<_> = fs::read_dir(home.join("shop").join(kind)).unwrap().flatten().collect();
    names.retain(|entry| entry.path().extension().is_some_and(|ending| ending == "ron"));
    names.iter().map(|entry| entry.file_name().to_string_lossy().into_owned()).collect()
}

/// What is refused stands beside its field, in the form's words; a window without a source is none.
#[test]
fn a_form_says_beside_the_field_what_cannot_be() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = first_start(home.path());
    begin_shop(&mut bench);
    bench.press_anywhere("Add a window…");
    bench.type_text("Night work");
    for (name, text) in [("Convergence ′", "45"), ("Divergence ′", "0"), ("Dipvergence ′", "15")]
    {
        bench.fill(name, text);
    }
    bench.press_anywhere("Keep");
    assert!(bench.says("Source is empty; fill it in."));
    bench.fill("Source", "Shop rule 7");
    bench.press_anywhere("Keep");
    assert!(bench.says("divergence limit of the tolerance window must be more than 0"));
    assert!(kept(home.path(), "windows").is_empty());
    bench.fill("Divergence ′", "20");
    // The drawing tells what the numbers mean as they stand.
    assert!(bench.says("up to 45′ to its left (the eyes converge), 20′ to its right"));
    bench.key(Key::Enter);
    assert_eq!(*bench.app().front(), Sheet::Keeps);
    assert_eq!(kept(home.path(), "windows"), ["Night work.ron"]);
    assert_eq!(bench.app().offers().windows[0].source, "Shop rule 7");
    // A second of that name is refused: which of the two would judge?
    bench.press_anywhere("Add a window…");
    bench.type_text("night work");
    for (name, text) in
        [("Source", "x"), ("Convergence ′", "1"), ("Divergence ′", "1"), ("Dipvergence ′", "1")]
    {
        bench.fill(name, text);
    }
    bench.press_anywhere("Keep");
    assert!(bench.says("is kept already"));
    assert_eq!(kept(home.path(), "windows"), ["Night work.ron"]);
}

/// What is changed keeps what it was under its date, with what was another; what nobody touched stays as it was to
/// the last digit.
#[test]
fn a_change_keeps_what_it_was_and_says_what_is_another() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = first_start(home.path());
    begin_shop(&mut bench);
    let mut station = record::Station::plain("Bench 1");
    station.map.left.arcmin_per_division = [1.0 / 3.0, 0.1 + 0.2];
    station.map.right.rotation_deg = -0.7;
    let folder = home.path().join("shop");
    record::Shop::load(&folder).unwrap().keep_station(station.clone()).unwrap();
    bench.keys(Modifiers::COMMAND, Key::O);
    bench.enter(&folder.display().to_string());
    bench.keys(Modifiers::ALT, Key::A);
    bench.press_anywhere("Change station Bench 1…");
    // Nothing was changed: Esc asks nothing.
    bench.key(Key::Escape);
    assert_eq!(*bench.app().front(), Sheet::Keeps);
    bench.press_anywhere("Change station Bench 1…");
    bench.fill("Scatter of a reading, ′", "0.3");
    bench.press_anywhere("Right x runs the other way");
    assert!(bench.says("right channel, as the user sees it: x grows to the left"));
    bench.press_anywhere("Keep");
    assert_eq!(*bench.app().front(), Sheet::Keeps);
    let now = record::Shop::load(&folder).unwrap().stations[0].value.clone();
    let mut wanted = station.clone();
    wanted.spread.sigma_arcmin = Some(0.3);
    wanted.map.right.flip_x = true;
    assert_eq!(now, wanted, "all else stays to the last digit");
    assert_eq!(kept(home.path(), "stations"), ["Bench 1.ron"]);
    bench.press_anywhere("Change station Bench 1…");
    bench.press_anywhere("What it was before");
    assert!(bench.says("Until 2026-11-25 09-0"));
    assert!(bench.says("Scatter of a reading, ′: was nothing, is 0.3"));
    assert!(bench.says("Right x runs the other way: was no, is yes"));
    // Another bench changes it meanwhile: nothing is written over.
    let path = folder.join("stations/Bench 1.ron");
    let theirs = fs::read_to_string(&path).unwrap().replace("0.3", "0.4");
    fs::write(&path, &theirs).unwrap();
    bench.fill("Scatter of a reading, ′", "0.5");
    bench.press_anywhere("Keep");
    assert!(bench.says("was changed elsewhere meanwhile"));
    assert_eq!(fs::read_to_string(&path).unwrap(), theirs);
}

/// Housing and hand: what a form does not show is kept, what is typed is read.
#[test]
fn a_housing_and_a_hand_are_added() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = first_start(home.path());
    begin_shop(&mut bench);
    bench.run("Add a housing");
    bench.type_text("Plover");
    bench.press_anywhere("How the pods move: pods swing about hinges");
    for (name, text) in [
        ("Eyepiece focal length, mm", "27"),
        ("Hinges apart, mm", "24"),
        ("From hinge to pod axis, mm", "21"),
        ("Clock positions for shims, degrees", "20, 130 250"),
        ("Shim leaves in stock, mm", "0,05 0,10"),
        ("Thickest stack that fits, mm", "0.3"),
    ] {
        bench.fill(name, text);
    }
    assert!(bench.says("pods stand above their hinges; shims go at 20°, 130°, 250°"));
    bench.press_anywhere("Keep");
    let housing = bench.app().offers().housings[0].clone();
    let seat = housing.seat.clone().unwrap();
    assert_eq!((seat.clock_deg, seat.leaves_mm), (vec![20.0, 130.0, 250.0], vec![0.05, 0.10]));
    assert_eq!(seat.ends, [record::ShimEnds::Both]);
    assert!(housing.optics().is_ok() && housing.bridge().is_some());
    bench.run("Add a hand");
    bench.type_text("MA");
    bench.press_anywhere("Keep");
    assert!(bench.says("it has no role"));
    bench.press_anywhere("Supervisor: countersigns and returns");
    bench.press_anywhere("Keep");
    assert_eq!(bench.app().offers().hands.len(), 2);
    assert!(!bench.says("takes a second hand"), "now there is one");
}

/// What the shop wants printed is kept, changed, and found again under the day until which it held; a foot that is too
/// long is refused.
#[test]
fn the_words_of_reports_are_kept_with_what_they_were() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = first_start(home.path());
    begin_shop(&mut bench);
    bench.press_anywhere("Words in reports…");
    bench.fill("Above the signatures", "Complaints within thirty days.");
    bench.fill("Foot of every page", &"long ".repeat(30));
    bench.press_anywhere("Keep");
    assert!(bench.says("at most 120 letters"));
    bench.fill("Foot of every page", "Registered");
    bench.press_anywhere("Keep");
    let folder = bench.app().offers().folder.clone();
    let kept = || fs::read_to_string(folder.join("wording.ron")).unwrap();
    assert!(kept().contains("Complaints within thirty days.") && kept().contains("Registered"));
    bench.press_anywhere("Words in reports…");
    bench.fill("Above the signatures", "Complaints within ten days.");
    bench.press_anywhere("Keep");
    assert!(kept().contains("ten days") && !kept().contains("thirty"));
    bench.press_anywhere("Words in reports…");
    bench.press_anywhere("What it was before");
    assert!(bench.says("Until ") && bench.says("was Complaints within thirty days."));
}

/// A paragraph has lines of its own: Enter makes one and keeps nothing, Tab goes on, Ctrl+Enter keeps; what is kept
/// has the lines.
#[test]
fn a_paragraph_of_the_reports_has_lines() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = first_start(home.path());
    begin_shop(&mut bench);
    bench.press_anywhere("Words in reports…");
    assert!(bench.says("Ctrl+Enter keeps the form"), "the way out is told");
    bench.fill("Above the signatures", "Complaints within thirty days.");
    bench.key(Key::Enter);
    bench.type_text("To the head of the shop.");
    assert!(matches!(bench.app().front(), Sheet::Edit(_)), "Enter keeps nothing there");
    bench.key(Key::Tab);
    bench.type_text("Mind the step.");
    bench.keys(Modifiers::COMMAND, Key::Enter);
    assert_eq!(*bench.app().front(), Sheet::Keeps);
    let folder = bench.app().offers().folder.clone();
    let kept = record::Shop::load(&folder).unwrap().wording.unwrap();
    let lines = "Complaints within thirty days.\nTo the head of the shop.";
    assert_eq!(record::shown::in_lines(&kept.above_signatures), lines);
    assert_eq!(kept.caution, "Mind the step.");
    // Kept again untouched they are the same lines.
    let file = || fs::read_to_string(folder.join("wording.ron")).unwrap();
    let before = file();
    assert!(before.contains("days.\\nTo the head"), "{before}");
    bench.press_anywhere("Words in reports…");
    bench.fill("Foot of every page", "Registered");
    bench.keys(Modifiers::COMMAND, Key::Enter);
    assert!(file().contains("days.\\nTo the head") && file().contains("Registered"), "{}", file());
}

/// A picture as a hand has it: black and clear, with one of its sides as long as said.
pub(crate) fn mark(at: &Path, [wide, high]: [u32; 2]) {
    let pixel = |place: u32| if place.is_multiple_of(3) { [0, 0, 0, 0] } else { [10, 10, 10, 255] };
    let pixels: Vec<u8> = (0..wide * high).flat_map(pixel).collect();
    image::save_buffer(at, &pixels, wide, high, image::ExtendedColorType::Rgba8).unwrap();
}

/// The picture of the shop's papers is chosen by its path or in a dialog, looked at, kept as a copy of the shop's own
/// with what it was before, and taken off again; what is none is refused beside the field.
#[test]
fn the_shops_papers_have_a_picture() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = first_start(home.path());
    begin_shop(&mut bench);
    let at = |name: &str| home.path().join(name);
    mark(&at("mark.png"), [60, 20]);
    fs::write(at("letter.png"), "dear sirs").unwrap();
    fs::write(at("large.jpg"), vec![0; (4 << 20) + 1]).unwrap();
    bench.press_anywhere("Picture on papers…");
    bench.key(Key::Enter);
    assert!(bench.says("Say which picture"));
    for (name, why) in [
        ("letter.png", "It is neither PNG nor JPEG."),
        ("large.jpg", "It is larger than 4 MiB"),
        ("gone.png", "There is no such file or folder"),
        ("", "This is a folder; choose a file"),
    ] {
        bench.fill("Path of the shop’s picture", &at(name).display().to_string());
        bench.key(Key::Enter);
        bench.wait_for(why);
        assert!(matches!(bench.app().front(), Sheet::Edit(_)), "{name}");
    }
    let head = || {
        let shop = record::Shop::load(&home.path().join("shop")).unwrap();
        assert!(shop.skipped.is_empty(), "{:?}", shop.skipped);
        (shop.head_picture.clone(), shop.head_picture_found())
    };
    assert_eq!(head(), (None, None), "nothing of all that is kept");
    // Looked at by itself, then kept.
    *bench.dialogs.next.lock().unwrap() = Some(DialogAnswer::Chosen(at("mark.png")));
    bench.press_anywhere("Choose with a file dialog…");
    assert!(matches!(
        bench.dialogs.asked.lock().unwrap().last(),
        Some(Ask::OpenHeadPicture { .. })
    ));
    bench.wait_for("The picture in grey, 60 × 20 pixels, as paper will have it");
    bench.press_anywhere("Keep");
    assert_eq!(*bench.app().front(), Sheet::Keeps, "{:?}", bench.app().front());
    let first = record::sums::sha256(&fs::read(at("mark.png")).unwrap());
    let (kept, found) = head();
    assert_eq!(kept.unwrap().sha256, Some(first.clone()));
    assert_eq!(found, Some(record::shop::PictureFound::Whole));
    assert!(!bench.says("the picture on the shop"), "nothing is left open of it");
    // Another, by its path and Enter alone; the first was kept whole before.
    mark(&at("second.png"), [30, 30]);
    bench.press_anywhere("Picture on papers…");
    bench.fill("Path of the shop’s picture", &at("second.png").display().to_string());
    bench.key(Key::Enter);
    for _ in 0..400 {
        if *bench.app().front() == Sheet::Keeps {
            break;
        }
        std::thread::sleep(std::time::Duration::from_millis(5));
        bench.rest();
    }
    assert_eq!(*bench.app().front(), Sheet::Keeps, "{:?}", bench.app().front());
    assert_ne!(head().0.unwrap().sha256, Some(first.clone()));
    bench.press_anywhere("Picture on papers…");
    bench.press_anywhere("What it was before");
    assert!(bench.says(&format!("was SHA-256 {}…", &first[..12])));
    // Gone from the shop it is told of; taken off, it is not looked for.
    fs::remove_dir_all(home.path().join("shop/pictures")).unwrap();
    bench.key(Key::Escape);
    assert!(bench.says("The picture on the shop’s papers is missing"));
    bench.press_anywhere("Picture on papers…");
    bench.press_anywhere("No picture on the papers any more");
    bench.press_anywhere("Keep");
    assert_eq!(*bench.app().front(), Sheet::Keeps);
    assert_eq!(head().0.unwrap().sha256, None);
    assert!(!bench.says("The picture on the shop’s papers is missing"));
}
