//! Where a swing takes both channels.

use paper::scene::SwingEnd;
use paper::{Field, ItemId};
use solver::swing::SwingRange;
use solver::{Channel, Direction};

use crate::units::{crossing, drawn, line, place};

/// The left pod rolls by ψ counter-clockwise, the right by as much clockwise; what both share is
/// X cos ψ. With ψ from −30° to 30° and X = (x, y): cos ψ = √3/2, sin ψ = 1/2.
#[test]
fn paths_end_where_the_pods_do() {
    let range = SwingRange::new(-30.0, 30.0).unwrap();
    let scene = drawn(&crossing(), |field, _| Field { swing: Some(range), ..field });
    let at = place(&scene, ItemId::Crossing(0));
    let (cos, sin) = (3.0_f64.sqrt() / 2.0, 0.5);
    let turned = |sign: f64| {
        Direction::new(
            cos * at.x_arcmin - sign * sin * at.y_arcmin,
            sign * sin * at.x_arcmin + cos * at.y_arcmin,
        )
    };
    for (channel, high) in [(Channel::Left, turned(1.0)), (Channel::Right, turned(-1.0))] {
        let path = line(&scene, ItemId::Swing(channel));
        // A dozen roundings of numbers up to 40.
        assert!(path[path.len() - 1].distance_arcmin(high) < 1e-12, "{channel}");
        let end = place(&scene, ItemId::SwingEnd(channel, SwingEnd::High));
        assert!(end.distance_arcmin(high) < 1e-12, "{channel}");
        let low = place(&scene, ItemId::SwingEnd(channel, SwingEnd::Low));
        assert!(path[0].distance_arcmin(low) < 1e-12, "{channel}");
        // The middle of the range is where the readings were taken.
        assert!(path[path.len() / 2].distance_arcmin(at) < 1e-12, "{channel}");
    }
    let shared = line(&scene, ItemId::SwingShared);
    assert!(shared[0].distance_arcmin(at * cos) < 1e-12);
}

/// A slide, or a range of nothing, has no path.
#[test]
fn no_swing_no_path() {
    let range = SwingRange::new(5.0, 5.0).unwrap();
    let scene = drawn(&crossing(), |field, _| Field { swing: Some(range), ..field });
    assert!(scene.find(ItemId::SwingShared).is_none());
}
