//! The clock face of a shim, and front and rear twins: clock position α stands clockwise from up, and the tube
//! goes the other way by −t (sin α, cos α); what does the same at either end is told once.

use proptest::prelude::*;
use solver::Channel;
use solver::optics::{Optics, ShimEnds, TubeImage};
use solver::remedy::clock_face::{ClockFace, FaceShape, ShapeRole, spot};
use solver::remedy::shim::{
    ChannelShim, SeatLimits, ShimEffect, sentence, shims_of, without_twins,
};

/// By hand: a clock's hours, three to the right, six down.
#[test]
fn a_clock_runs_clockwise_from_up() {
    for (clock_deg, [x, y]) in
        [(0.0, [0.0, 1.0]), (90.0, [1.0, 0.0]), (180.0, [0.0, -1.0]), (270.0, [-1.0, 0.0])]
    {
        let [found_x, found_y] = spot(clock_deg);
        // Rounding of a sine and a cosine.
        assert!((found_x - x).abs() < 1e-15 && (found_y - y).abs() < 1e-15, "{clock_deg}");
    }
}

/// At clock 130°, right and low, it pushes the right tube left and up: toward its nose. The words that the
/// sentence for hands has.
#[test]
fn the_face_and_the_sentence_say_the_same() {
    let face = ClockFace::new(Channel::Right, ShimEnds::Both, 0.10, 130.0, &[10.0, 130.0, 250.0]);
    assert_eq!(face.push_deg(), 310.0);
    assert_eq!(face.others_deg, [10.0, 250.0]);
    let told = face.telling();
    assert!(told.contains("0.10 mm at 130°, each end, pushes the tube toward 310°"), "{told}");
    assert!(told.contains("toward the nose, high") && told.contains("also takes one at 10°, 250°"));
    // The nose is at the left of the right tube as the user sees it, and at the right of the left one.
    for (channel, side) in [(Channel::Left, 1.0), (Channel::Right, -1.0)] {
        let face = ClockFace::new(channel, ShimEnds::Both, 0.10, 0.0, &[]);
        let nose = face.shapes().into_iter().find_map(|shape| match shape {
            FaceShape::Words { at: [x, _], text } if text == "nose" => Some(x),
            _ => None,
        });
        assert!(nose.unwrap() * side > 0.0, "{channel}");
    }
}

proptest! {
    /// Whatever the angle: shim on the edge at α, tube and arrow away from it along −(sin α, cos α).
    #[test]
    fn the_tube_goes_away_from_the_shim(alpha in -720.0..720.0_f64) {
        let face = ClockFace::new(Channel::Left, ShimEnds::Front, 0.05, alpha, &[0.0, 120.0, 240.0]);
        let (sin, cos) = alpha.to_radians().sin_cos();
        for shape in face.shapes() {
            match shape {
                // Rounding of an angle reduced by up to two turns.
                FaceShape::Circle { part: ShapeRole::Shim, centre: [x, y], .. } => {
                    prop_assert!((x - sin).abs() < 1e-12 && (y - cos).abs() < 1e-12);
                }
                FaceShape::Circle { part: ShapeRole::Tube, centre: [x, y], .. } => {
                    let along = x * sin + y * cos;
                    prop_assert!(along < -0.01 && (x * cos - y * sin).abs() < 1e-12);
                }
                FaceShape::Line { part: ShapeRole::Push, from, to, .. } => {
                    let along = (to[0] - from[0]) * sin + (to[1] - from[1]) * cos;
                    prop_assert!(along < -0.1);
                }
                _ => {}
            }
        }
    }

    #[test]
    fn any_bits_draw(alpha in any::<f64>(), others in prop::collection::vec(any::<f64>(), 0..4)) {
        let face = ClockFace::new(Channel::Left, ShimEnds::Both, 0.1, alpha, &others);
        prop_assert!((0.0..360.0).contains(&face.push_deg()) && !face.telling().is_empty());
        let finite = |spot: [f64; 2]| spot.into_iter().all(f64::is_finite);
        for shape in face.shapes() {
            let drawn = match shape {
                FaceShape::Circle { centre, .. } => finite(centre),
                FaceShape::Line { from, to, .. } => finite(from) && finite(to),
                FaceShape::Words { at, .. } => finite(at),
            };
            prop_assert!(drawn);
        }
    }
}

/// A seat that takes shims at the front, at the rear and at both: of every two at one end one is left, which says
/// that either will do, and what it does is what each of the two does.
#[test]
fn twins_are_told_once() {
    let optics = Optics::new(27.0, 27.0, TubeImage::Inverted).unwrap();
    let seat = |ends: &[ShimEnds]| SeatLimits {
        clocks_deg: vec![10.0, 130.0, 250.0],
        ends: ends.to_vec(),
        leaves_mm: vec![0.05, 0.10],
        largest_mm: 0.30,
    };
    let effect = ShimEffect::Model(optics);
    let all = shims_of(&seat(&[ShimEnds::Front, ShimEnds::Rear, ShimEnds::Both]), &effect).unwrap();
    let told = without_twins(all.clone());
    let of =
        |list: &[ChannelShim], ends: ShimEnds| list.iter().filter(|shim| shim.ends == ends).count();
    assert_eq!(of(&told, ShimEnds::Rear), 0);
    assert_eq!(of(&told, ShimEnds::Front), of(&all, ShimEnds::Front));
    assert_eq!(of(&told, ShimEnds::Both), of(&all, ShimEnds::Both));
    for shim in &all {
        let same = |other: &&ChannelShim| {
            other.clock_deg == shim.clock_deg
                && other.leaves_mm == shim.leaves_mm
                && (other.ends == shim.ends || (other.either_end && shim.ends != ShimEnds::Both))
        };
        let kept = told.iter().find(same).expect("no shim is lost");
        assert_eq!(kept.shift, shim.shift);
        assert_eq!(kept.either_end, shim.ends != ShimEnds::Both);
    }
    let either = told.iter().find(|shim| shim.either_end).unwrap();
    let words = sentence(Channel::Left, either);
    assert!(words.contains("front end or rear end, either does the same"), "{words}");
    // A seat with one end has no twins.
    let front = shims_of(&seat(&[ShimEnds::Front]), &effect).unwrap();
    assert_eq!(without_twins(front.clone()), front);
}
