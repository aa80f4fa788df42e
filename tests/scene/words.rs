//! Every item tells what it is; the telling holds them.

use paper::description::description;
use paper::measure::{MeasuredEnd, measure_scene};
use paper::scene::{MeasureEnd, Shape};
use paper::{Field, ItemId};
use solver::swing::SwingRange;
use solver::{Channel, Direction};

use crate::units::{crossing, drawn, place};

/// Whatever is drawn can be told; only words that stand beside an item tell nothing themselves.
#[test]
fn every_item_has_words() {
    let range = SwingRange::new(-12.0, 12.0).unwrap();
    let scene = drawn(&crossing(), |field, _| Field { swing: Some(range), ..field });
    assert!(scene.items().count() > 20);
    for item in scene.items() {
        let silent = matches!(item.shape, Shape::Text { .. });
        assert_eq!(item.told.name.is_empty(), silent, "{:?}: {}", item.id, item.told.words());
    }
}

#[test]
fn a_reading_tells_its_numbers() {
    let mut problem = crossing();
    problem.spread.sigma_arcmin = Some(0.3);
    let scene = drawn(&problem, |field, _| field);
    let words = scene.find(ItemId::Reading(Channel::Left, 1)).unwrap().told.words().into_owned();
    assert_eq!(words, "left reading 2: ring 90°, 10.0′, −26.0′; off circle 0.0′, off angle 0.0°");
    let circle = scene.find(ItemId::Circle(Channel::Right)).unwrap().told.words().into_owned();
    // u(r) = σ/√4 = 0.15; × 1.96 = 0.29.
    assert_eq!(circle, "right circle: centre −6.0′, −3.0′, radius 26.0′ ± 0.29′ (95 %)");
}

#[test]
fn the_telling_holds_what_matters() {
    let range = SwingRange::new(-12.0, 12.0).unwrap();
    let mut problem = crossing();
    problem.spread.sigma_arcmin = Some(0.3);
    let told = description(&drawn(&problem, |field, _| Field { swing: Some(range), ..field }));
    for part in [
        "Left circle: centre 10.0′, 4.0′, radius 30.0′ ± 0.29′ (95 %), 4 readings.",
        "Meet here:",
        "95 % ellipse of the crossing",
        "Tolerance window round the left crosshair",
        "Boresight limit 40.0′.",
        "pods swung by −12° to 12°",
    ] {
        assert!(told.contains(part), "{part} is missing: {told}");
    }
}

/// A measurement from one item to another says both and how far.
#[test]
fn a_measurement_is_drawn_and_told() {
    let scene = drawn(&crossing(), |field, _| field);
    let end = |channel| MeasuredEnd {
        at: place(&scene, ItemId::Centre(channel)),
        on: Some(format!("centre of the {channel} circle")),
    };
    let measured = measure_scene(&end(Channel::Left), Some(&end(Channel::Right)));
    let label = measured.find(ItemId::MeasureLabel).unwrap();
    // (−6, −3) − (10, 4) = (−16, −7), √305 = 17.46.
    assert_eq!(
        label.told.words(),
        "From centre of the left circle to centre of the right circle: \
         Δx −16.0′  Δy −7.0′  17.5′ apart"
    );
    let begun = measure_scene(&MeasuredEnd { at: Direction::BORESIGHT, on: None }, None);
    assert!(begun.find(ItemId::MeasureEnd(MeasureEnd::From)).is_some());
    assert!(begun.find(ItemId::MeasureLabel).is_none());
}
