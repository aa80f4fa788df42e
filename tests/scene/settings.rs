//! Crossings, compromises, settings by hand, ghosts.

use paper::{Extent, Field, Ghost, ItemId, Role, field_scene};
use solver::setting::{RingPlace, by_hand};
use solver::{Channel, Direction, OffsetCircle, PerChannel};

use crate::units::{crossing, drawn, place};

/// A unit that meets shows both circles, both crossings, the window and *here* on both circles.
#[test]
fn a_unit_that_meets_is_all_there() {
    let scene = drawn(&crossing(), |field, _| field);
    for id in [
        ItemId::Circle(Channel::Left),
        ItemId::Circle(Channel::Right),
        ItemId::Crossing(0),
        ItemId::Crossing(1),
        ItemId::Window,
        ItemId::Boresight,
        ItemId::BoresightLimit,
    ] {
        assert!(scene.find(id).is_some(), "{id:?}");
    }
    assert_eq!(scene.find(ItemId::Crossing(0)).unwrap().role, Role::Here);
    assert_eq!(scene.find(ItemId::Crossing(1)).unwrap().role, Role::Elsewhere);
}

/// Circles apart: each crosshair has its own *here*, and no crossing is drawn.
#[test]
fn a_compromise_has_a_here_for_each_channel() {
    let mut problem = crossing();
    for reading in &mut problem.readings.right {
        reading.direction = reading.direction + Direction::new(-80.0, 0.0);
    }
    let scene = drawn(&problem, |field, _| field);
    for channel in Channel::BOTH {
        assert_eq!(scene.find(ItemId::Setting(channel)).unwrap().role, Role::Here, "{channel}");
    }
    assert!(scene.find(ItemId::Crossing(0)).is_none());
}

/// Nothing logged: an empty field of ±40′ with the boresight.
#[test]
fn an_empty_field_shows_boresight() {
    let scene = field_scene(&Field::default());
    assert_eq!(scene.items().count(), 1);
    assert_eq!(scene.extent, Extent::default());
}

/// A setting that is tried stands on both circles; the recommended one stays *here*, and the field
/// does not move under the hand. One that was chosen takes its place.
#[test]
fn a_setting_by_hand_is_drawn_as_what_it_is() {
    let problem = crossing();
    let solution = solver::solve(&problem).unwrap();
    let circles = solution.both_fits().unwrap().map(|fit| &fit.circle);
    // Read clockwise from +x: ring 90° points down.
    let places = PerChannel { left: RingPlace::Ring(90.0), right: RingPlace::Ring(0.0) };
    let setting = by_hand(circles, places, problem.window);
    let as_drawn = |trying| {
        field_scene(&Field {
            solution: Some(&solution),
            window: problem.window,
            setting: Some(&setting),
            trying,
            ..Field::default()
        })
    };
    let tried = as_drawn(true);
    let left = place(&tried, ItemId::Setting(Channel::Left));
    assert!(left.distance_arcmin(Direction::new(10.0, -26.0)) < 1e-9, "{left:?}");
    let right = tried.find(ItemId::Setting(Channel::Right)).unwrap();
    assert_eq!(right.role, Role::Trial(Channel::Right));
    assert_eq!(tried.find(ItemId::Crossing(0)).unwrap().role, Role::Here);
    let elsewhere = PerChannel { left: RingPlace::Ring(250.0), right: RingPlace::Ring(120.0) };
    let moved = by_hand(circles, elsewhere, problem.window);
    let after = field_scene(&Field {
        solution: Some(&solution),
        window: problem.window,
        setting: Some(&moved),
        trying: true,
        ..Field::default()
    });
    assert_eq!(tried.extent, after.extent);
    let chosen = as_drawn(false);
    assert_eq!(chosen.find(ItemId::Setting(Channel::Left)).unwrap().role, Role::Here);
    assert_eq!(chosen.find(ItemId::Crossing(0)).unwrap().role, Role::Elsewhere);
}

/// Ghosts lie beneath everything of this round.
#[test]
fn ghosts_lie_beneath() {
    let ghost = Ghost {
        label: "round 1".to_owned(),
        circles: PerChannel {
            left: Some(OffsetCircle::unphased(Direction::new(3.0, 4.0), 5.0)),
            right: None,
        },
        crossing: Some(Direction::new(100.0, 0.0)),
    };
    let ghosts = [ghost];
    let solution = solver::solve(&crossing()).unwrap();
    let field = Field { ghosts: &ghosts, solution: Some(&solution), ..Field::default() };
    let scene = field_scene(&field);
    assert_eq!(scene.plain()[0].id, ItemId::GhostCircle(0, Channel::Left));
    assert!(scene.find(ItemId::GhostCircle(0, Channel::Right)).is_none());
    assert_eq!(place(&scene, ItemId::GhostCrossing(0)), Direction::new(100.0, 0.0));
    // What is to be compared is in the picture.
    assert!(scene.extent.centre.x_arcmin + scene.extent.half_arcmin > 100.0);
}
