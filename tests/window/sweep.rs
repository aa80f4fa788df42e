//! Sweeps and turning until they meet, from a film of one turn of each ring to the setting, through the window.
//!
//! Planted, in divisions of Bench 2 (an arcminute each): left circle (3, 2), 12; right circle (−4, −1), 11. They cross, by
//! hand: d² = 58, d = 7.6158; a = (58 + 144 − 121) / (2 d) = 5.3179; h = √(144 − 28.280) = 10.7573; foot (−1.8879,
//! −0.0948); points (2.3496, −9.9824), 10.26 out, and (−6.1254, 9.7927), 11.55 out.

use std::time::Duration;

use egui::{Key, Modifiers, vec2};
use record::fact::{Body, Purpose};
use record::{Reading, Seen};
use samepoint::testing::{Aim, Glance, Tone};
use solver::ellipse::Ellipse;
use solver::{Channel, Direction};

use crate::bench::Bench;
use crate::camera::{encoded, film_by, off, pass, start_by, until};
use crate::glance::{SCREENS, SEEN_FROM_TWO_METRES, drawn};
use crate::session::{begin, start};
use crate::station_pictures::{count, facts};

/// Centre and radius of each circle.
const LEFT: ([f64; 2], f64) = ([3.0, 2.0], 12.0);
const RIGHT: ([f64; 2], f64) = ([-4.0, -1.0], 11.0);
const MEET: [f64; 2] = [2.3496, -9.9824];

/// One turn of a ring: forty places.
fn turn((centre, radius): ([f64; 2], f64)) -> String {
    format!("turn SHOP {} {} {radius} 200 40 4", centre[0], centre[1])
}

fn swept(bench: &Bench, channel: Channel) -> Vec<[f64; 2]> {
    let session = bench.app().session().unwrap();
    let round = session.state().round().unwrap();
    let in_use = round.in_use().filter(|entry| entry.reading.purpose == Purpose::Log);
    in_use
        .filter_map(|entry| match &entry.reading {
            Reading { seen: Seen::Direction(read), .. } if read.channel == channel => {
                assert_eq!(read.ring_deg, None);
                Some([read.x.value(), read.y.value()])
            }
            _ => None,
        })
        .collect()
}

fn frames(bench: &Bench) -> usize {
    bench.app().session().unwrap().state().frames.len()
}

/// Sweeps until the film ends.
fn sweep(bench: &mut Bench) {
    bench.window.key_press_modifiers(Modifiers::ALT, Key::T);
    bench.window.step();
    assert!(bench.says("of at most 120 places"));
    until(bench, "over", |bench| bench.app().camera_process().is_none());
    assert!(bench.says("ended: "), "{:?}", bench.app().notice());
}

/// Every place lies on its circle, no two closer than they may be, most of the way round.
#[track_caller]
fn lie_on(places: &[[f64; 2]], (centre, radius): ([f64; 2], f64)) {
    assert!((12..=40).contains(&places.len()), "{} places", places.len());
    for [x, y] in places {
        let off = (x - centre[0]).hypot(y - centre[1]) - radius;
        // The map's marks are a tenth of a pixel off, 0.02 divisions each.
        assert!(off.abs() < 0.15, "{x}, {y}: {off}");
    }
    for two in places.windows(2) {
        let apart = (two[0][0] - two[1][0]).hypot(two[0][1] - two[1][1]);
        // Three times √2 of the station's 0.2′.
        assert!(apart > 0.84, "{two:?}");
    }
}

/// What was found is where it was planted, within what is stated of it.
#[track_caller]
fn is_where_planted(bench: &Bench) {
    let picture = bench.app().session().unwrap().picture();
    let solution = picture.solution.as_ref().unwrap();
    for (channel, (centre, radius)) in [(Channel::Left, LEFT), (Channel::Right, RIGHT)] {
        let fit = solution.fits[channel].as_ref().unwrap();
        let region: Ellipse = fit.centre_ellipse().unwrap();
        assert!(region.contains(Direction::new(centre[0], centre[1])), "{channel}: {region:?}");
        let u = fit.radius_u_arcmin().unwrap();
        assert!((fit.circle.radius_arcmin - radius).abs() < 2.0 * u, "{channel} {u}");
    }
    let meeting = solution.meeting.as_ref().unwrap().nearest().unwrap();
    let region = meeting.ellipse().unwrap();
    assert!(region.contains(Direction::new(MEET[0], MEET[1])), "{region:?}");
    let setting = picture.setting.unwrap();
    for (_, point) in setting.points.iter() {
        assert!(point.distance_arcmin(Direction::new(MEET[0], MEET[1])) < 0.3, "{point:?}");
    }
}

/// x and y to go as bench mode shows them, arcminutes.
fn to_go(glance: &Glance) -> [f64; 2] {
    let Aim::Place { lines, .. } = &glance.aim else { panic!("{glance:?}") };
    let parts: Vec<f64> = lines
        .iter()
        .map(|line| {
            let (number, way) = line[2..].split_once("′ ").unwrap();
            let sign = if matches!(way, "←" | "↓") { -1.0 } else { 1.0 };
            sign * number.parse::<f64>().unwrap()
        })
        .collect();
    [parts[0], parts[1]]
}

#[track_caller]
fn is_near(found: [f64; 2], expected: [f64; 2]) {
    for (found, expected) in found.into_iter().zip(expected) {
        assert!((found - expected).abs() < 0.25, "{found} {expected}");
    }
}

/// One turn of each ring, swept; then each is turned until they meet.
#[test]
fn a_turn_of_each_ring_gives_circles_and_meeting() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    bench.keys(Modifiers::ALT, Key::T);
    assert!(bench.says("No camera runs"));
    film_by(&mut bench, &turn(LEFT));
    sweep(&mut bench);
    let left = swept(&bench, Channel::Left);
    lie_on(&left, LEFT);
    assert_eq!(frames(&bench), left.len());
    // A sweep is one step back, and one forth.
    bench.keys(Modifiers::COMMAND, Key::Z);
    assert!(bench.says(&format!("Undone: the sweep, {} readings", left.len())));
    assert_eq!((swept(&bench, Channel::Left).len(), frames(&bench)), (0, 0));
    bench.keys(Modifiers::COMMAND, Key::Y);
    assert_eq!((swept(&bench, Channel::Left), frames(&bench)), (left.clone(), left.len()));
    bench.key(Key::F3);
    film_by(&mut bench, &turn(RIGHT));
    sweep(&mut bench);
    lie_on(&swept(&bench, Channel::Right), RIGHT);
    assert_eq!(swept(&bench, Channel::Left), left);
    is_where_planted(&bench);

    // Turn until they meet: the right one stands at 5, −7.
    film_by(&mut bench, "still SHOP 5 -7");
    until(&mut bench, "read", crate::camera::row_filled);
    bench.window.key_press_modifiers(Modifiers::ALT | Modifiers::SHIFT, Key::T);
    bench.window.step();
    let glance = bench.app().glance();
    assert_eq!((glance.channel, glance.head), (Channel::Right, "crosshair, to go"));
    is_near(to_go(&glance), [MEET[0] - 5.0, MEET[1] + 7.0]);
    assert!(glance.next.contains("Turn the right ring until both are 0"), "{glance:?}");
    for line in ["x 2.", "y 3.", "y 2."] {
        let Some((pixels, whole)) = drawn(&bench, line, 1.0) else { continue };
        assert!(whole && pixels >= SEEN_FROM_TWO_METRES, "{line} {pixels}");
    }
    // There: said, and nothing is green but what readings say.
    film_by(&mut bench, &format!("still SHOP {} {}", MEET[0], MEET[1]));
    until(&mut bench, "there", |bench| {
        bench.app().glance().next.contains("It is at where they meet")
    });
    let glance = bench.app().glance();
    is_near(to_go(&glance), [0.0, 0.0]);
    assert!(glance.state.iter().all(|(tone, _)| *tone != Tone::Good), "{glance:?}");
    // What is old is no distance; Enter in the row logs as ever.
    film_by(&mut bench, "hang SHOP 5 -7");
    until(&mut bench, "old", |bench| {
        bench.app().glance().aim == Aim::None("No new picture".to_owned())
    });
    bench.window.key_press_modifiers(Modifiers::ALT | Modifiers::SHIFT, Key::T);
    bench.window.step();
    assert!(!bench.app().bench_mode());
    off(&mut bench);
    assert!(count(&bench, |body| matches!(body, Body::Camera(_))) == 1);
}

/// What one sweep logged is one step back in whatever run of the program, and one forth; what was logged by hand before
/// it stays.
#[test]
fn a_sweep_is_taken_back_as_one_after_the_session_is_opened_again() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    bench.keys(Modifiers::NONE, Key::F2);
    bench.enter("30");
    bench.enter("1");
    let by_hand = count(&bench, |body| matches!(body, Body::Reading(_)));
    film_by(&mut bench, &turn(LEFT));
    sweep(&mut bench);
    let all = swept_places(&bench);
    assert!(all > 12, "{all}");
    let path = bench.app().session().unwrap().file().path().to_owned();
    bench.wait_saved().unwrap();
    drop(bench);
    let mut bench = Bench::open(home.path(), Some(path.clone()));
    bench.keys(Modifiers::COMMAND, Key::Z);
    assert!(bench.says(&format!("Undone: the sweep, {all} readings")));
    assert_eq!((swept_places(&bench), frames(&bench)), (0, 0));
    assert_eq!(in_use(&bench), by_hand);
    bench.wait_saved().unwrap();
    drop(bench);
    let mut bench = Bench::open(home.path(), Some(path));
    bench.keys(Modifiers::COMMAND, Key::Y);
    assert!(bench.says(&format!("Brought back: the sweep, {all} readings")));
    assert_eq!((swept_places(&bench), frames(&bench)), (all, all));
    // Once more back, then what the hand logged before it, by itself.
    bench.keys(Modifiers::COMMAND, Key::Z);
    assert_eq!((swept_places(&bench), in_use(&bench)), (0, by_hand));
    bench.keys(Modifiers::COMMAND, Key::Z);
    assert!(bench.says("Undone: camera map"));
    bench.keys(Modifiers::COMMAND, Key::Z);
    assert_eq!(in_use(&bench), by_hand - 1);
}

/// Readings in use, whatever of.
fn in_use(bench: &Bench) -> usize {
    let rounds = &bench.app().session().unwrap().state().rounds;
    rounds.iter().map(|round| round.in_use().count()).sum()
}

/// Readings that name a frame.
fn swept_places(bench: &Bench) -> usize {
    let state = bench.app().session().unwrap().state();
    let named = |seq| state.frames.iter().any(|frame| frame.body.reading == seq);
    let rounds = state.rounds.iter();
    rounds.map(|round| round.in_use().filter(|entry| named(entry.seq)).count()).sum()
}

/// The same through the real `ffmpeg`, from a film in a file of another kind, in its own time.
#[test]
fn a_turn_through_the_real_ffmpeg_gives_circles_and_meeting() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    for (key, circle) in [(Key::F2, LEFT), (Key::F3, RIGHT)] {
        let stored = encoded(&bench, home.path(), &turn(circle));
        bench.key(key);
        let command = format!(
            "ffmpeg -nostdin -loglevel error -re -i \"{}\" -f yuv4mpegpipe -pix_fmt gray -",
            stored.display()
        );
        start_by(&mut bench, &command);
        sweep(&mut bench);
    }
    lie_on(&swept(&bench, Channel::Left), LEFT);
    lie_on(&swept(&bench, Channel::Right), RIGHT);
    is_where_planted(&bench);
}

/// Both in view: which is whose is not known until one moves, then the one that moves is swept alone, and goes to the
/// other where there is no target yet.
#[test]
fn of_two_in_view_the_one_that_moves_is_the_rings() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    film_by(&mut bench, "turn SHOP 3 2 9 0 1 100 -14 -12");
    until(&mut bench, "two", |bench| bench.says("is not known until its ring is turned"));
    assert!(!crate::camera::row_filled(&bench));
    bench.window.key_press_modifiers(Modifiers::ALT | Modifiers::SHIFT, Key::T);
    // A picture that grew old while the window was drawn is followed by the next.
    let not_known = Aim::None("Which is the left one is not known".to_owned());
    until(&mut bench, "asked", |bench| bench.app().glance().aim == not_known);
    let glance = bench.app().glance();
    assert!(glance.next.contains("Turn the left ring a little"));
    film_by(&mut bench, "turn SHOP 3 2 9 0 40 4 -14 -12");
    until(&mut bench, "told", |bench| matches!(bench.app().glance().aim, Aim::Place { .. }));
    let glance = bench.app().glance();
    assert!(glance.next.contains("to the right crosshair, wherever that is"), "{glance:?}");
    bench.key(Key::Escape);
    sweep(&mut bench);
    let places = swept(&bench, Channel::Left);
    lie_on(&places, ([3.0, 2.0], 9.0));
}

/// The ring's own crosshair out of sight at every third place: the other's, alone in view then, is never logged for it.
#[test]
fn the_one_that_stayed_is_never_swept_for_the_one_that_is_lost() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    film_by(&mut bench, "lost SHOP 3 2 9 0 30 5 -14 -12");
    sweep(&mut bench);
    let places = swept(&bench, Channel::Left);
    assert!(places.len() > 8, "{places:?}");
    for [x, y] in places {
        let off = (x - 3.0).hypot(y - 2.0) - 9.0;
        assert!(off.abs() < 0.15, "{x}, {y} is not on the circle");
    }
}

/// A sweep logs nothing of frames that are refused, that show no new place, or while it has no business.
#[test]
fn a_sweep_logs_only_what_moved_and_was_read() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    film_by(&mut bench, "still SHOP 2 3");
    until(&mut bench, "read", crate::camera::row_filled);
    let before = facts(&bench).len();
    bench.window.key_press_modifiers(Modifiers::ALT, Key::T);
    pass(&mut bench, Duration::from_millis(900));
    assert_eq!(swept(&bench, Channel::Left).len(), 1, "it stands still");
    assert!(!crate::camera::row_filled(&bench), "the row has no part in it");
    bench.window.key_press_modifiers(Modifiers::ALT, Key::T);
    bench.window.step();
    assert!(bench.says("The sweep of the left ring ended: 1 place logged."));
    film_by(&mut bench, "dark SHOP");
    bench.window.key_press_modifiers(Modifiers::ALT, Key::T);
    pass(&mut bench, Duration::from_millis(600));
    // Camera, reading, frame of the first place.
    assert_eq!(facts(&bench).len(), before + 3);
    // The row turned to the other channel ends it.
    bench.window.key_press(Key::F3);
    until(&mut bench, "ended", |bench| bench.says("The row was turned to the right channel."));
    off(&mut bench);
    // As found no ring is touched.
    let home = tempfile::tempdir().unwrap();
    let mut bench = begin(Bench::open(home.path(), None));
    bench.key(Key::F4);
    if bench.app().entry().purpose == Purpose::AsFound {
        bench.keys(Modifiers::ALT, Key::T);
        assert!(bench.says("A sweep turns a ring: it belongs to logging"));
    }
}

/// The numbers to go are seen from two metres on every screen, whole.
#[test]
fn the_distance_to_go_is_seen_from_two_metres() {
    for (size, scale) in SCREENS {
        let home = tempfile::tempdir().unwrap();
        let mut bench = begin(Bench::open_sized(home.path(), None, size, scale));
        film_by(&mut bench, "turn SHOP 3 2 9 40 400 2 -14 -12");
        bench.window.key_press_modifiers(Modifiers::ALT | Modifiers::SHIFT, Key::T);
        bench.window.step();
        until(&mut bench, "told", |bench| matches!(bench.app().glance().aim, Aim::Place { .. }));
        bench.window.step();
        for axis in ["x ", "y "] {
            let (pixels, whole) = drawn(&bench, axis, scale).unwrap();
            assert!(
                whole && pixels >= SEEN_FROM_TWO_METRES,
                "{axis} {pixels} at {}",
                vec2(size.x, size.y)
            );
        }
        off(&mut bench);
    }
}
