//! What readings of linked parts determine.

use solver::shelf::{KnownValue, Missing, Offsets, Part, Seated, Subject};
use solver::source_split::{self, Observation, Split};
use solver::{Channel, Direction, PerChannel};

use crate::{both, stated};

fn seen(
    housing: usize,
    channel: Channel,
    tube: usize,
    turned_deg: f64,
    at: [f64; 2],
) -> KnownValue {
    KnownValue {
        subject: Subject::Centre { housing, channel, seated: Seated { tube, turned_deg } },
        value: Direction::new(at[0], at[1]),
        covariance_arcmin2: [[0.04, 0.0], [0.0, 0.04]],
    }
}

fn plain(tube: usize) -> Seated {
    Seated { tube, turned_deg: 0.0 }
}

fn turned(tube: usize) -> Seated {
    Seated { tube, turned_deg: 180.0 }
}

/// A master tube read in both pods of two housings, and two tubes read in the left pod of the first:
/// everything else follows, but nothing turned.
#[test]
fn a_master_tube_links_what_was_never_together() {
    let left = Channel::Left;
    let right = Channel::Right;
    let read = [
        seen(0, left, 0, 0.0, [1.0, 2.0]),
        seen(0, right, 0, 0.0, [-3.0, 0.5]),
        seen(1, left, 0, 0.0, [4.0, -1.0]),
        seen(1, right, 0, 0.0, [0.0, 7.0]),
        seen(0, left, 1, 0.0, [6.0, 2.5]),
        seen(0, left, 2, 0.0, [-2.0, 3.0]),
    ];
    let offsets = Offsets::of(&read).unwrap();
    // Tube 1 less the master is (5, 0.5): in the right pod of housing 1 it comes to (0, 7) + (5, 0.5).
    let centre = offsets.centre(1, right, plain(1)).unwrap();
    assert!(centre.value.distance_arcmin(Direction::new(5.0, 7.5)) < 1e-9);
    // Three readings of 0.2′ each: 3 · 0.04.
    assert!((centre.covariance_arcmin2[0][0] - 0.12).abs() < 1e-9);
    assert_eq!(offsets.centre(1, right, turned(1)), Err(Missing::NotTurned { tube: 1 }));
    assert_eq!(offsets.centre(1, right, plain(9)), Err(Missing::NotRead(Part::Tube(9))));
    assert_eq!(offsets.centre(7, left, plain(1)), Err(Missing::NotRead(Part::pod(7, left))));
    // Neither bore nor tube is known alone, and nothing is said of them.
    assert!(offsets.alone(Part::Tube(1)).is_none() && offsets.alone(Part::pod(0, left)).is_none());
    // One reading of one tube turned settles every tube.
    let mut more = read.to_vec();
    more.push(seen(0, left, 2, 180.0, [0.0, 1.0]));
    let offsets = Offsets::of(&more).unwrap();
    // Twice tube 2 is (−2, 3) − (0, 1) = (−2, 2): tube 2 (−1, 1), pod (−1, 2), master (2, 0), tube 1 (7, 0.5).
    let alone = offsets.alone(Part::Tube(1)).unwrap().value;
    assert!(alone.distance_arcmin(Direction::new(7.0, 0.5)) < 1e-9);
    let centre = offsets.centre(1, left, turned(1)).unwrap().value;
    // Pod: (4, −1) − (2, 0) = (2, −1); less (7, 0.5).
    assert!(centre.distance_arcmin(Direction::new(-5.0, -1.5)) < 1e-9);
}

/// Units that share no part tell nothing of each other's parts together.
#[test]
fn what_shares_nothing_is_not_linked() {
    let read =
        [seen(0, Channel::Left, 0, 0.0, [1.0, 2.0]), seen(1, Channel::Left, 1, 0.0, [4.0, -1.0])];
    let offsets = Offsets::of(&read).unwrap();
    assert!(offsets.centre(0, Channel::Left, plain(0)).is_ok());
    let centre = offsets.centre(0, Channel::Left, plain(1));
    assert_eq!(centre, Err(Missing::NotLinked { tube: 1 }));
    assert_eq!(offsets.groups().len(), 2);
    // Stated alone, each, they need no link.
    let stated = [
        stated(Part::pod(0, Channel::Left), Direction::new(1.0, 1.0)),
        stated(Part::Tube(1), Direction::new(2.0, 0.0)),
    ];
    let offsets = Offsets::of(&stated).unwrap();
    let centre = offsets.centre(0, Channel::Left, turned(1)).unwrap();
    assert!(centre.value.distance_arcmin(Direction::new(-1.0, 1.0)) < 1e-9);
    assert!((centre.covariance_arcmin2[1][1] - 0.02).abs() < 1e-12);
}

/// The rounds of one unit give what its source split gives: other code, the same equations.
#[test]
fn one_unit_gives_what_its_source_split_gives() {
    let rounds = [
        (Channel::Left, 0, 0.0, [8.0, -3.0]),
        (Channel::Right, 1, 0.0, [-6.1, -5.0]),
        (Channel::Left, 1, 0.0, [1.2, -16.1]),
        (Channel::Right, 0, 0.0, [1.0, 8.1]),
        (Channel::Left, 1, 180.0, [5.1, -2.0]),
        (Channel::Right, 0, 45.0, [4.2, 2.6]),
    ];
    let read: Vec<KnownValue> =
        rounds.iter().map(|&(pod, tube, by, at)| seen(0, pod, tube, by, at)).collect();
    let observed: Vec<Observation> = rounds
        .iter()
        .map(|&(pod, tube, turned_deg, at)| Observation {
            pod,
            tube,
            turned_deg,
            centre: Direction::new(at[0], at[1]),
            u_arcmin: 0.2,
        })
        .collect();
    let (offsets, split) = (Offsets::of(&read).unwrap(), Split::of(&observed).unwrap());
    let group = &offsets.groups()[0];
    assert_eq!((group.rank, group.degrees_of_freedom), (split.rank, split.degrees_of_freedom));
    assert!((group.chi_squared - split.chi_squared).abs() < 1e-9);
    for tubes in [[0, 1], [1, 0]] {
        let seated = PerChannel { left: plain(tubes[0]), right: turned(tubes[1]) };
        let centres = offsets.centres(0, seated).unwrap();
        for (channel, first) in both().into_iter().zip([0, 2]) {
            let told = split
                .determined_turned(&[
                    (source_split::CentrePart::Pod(channel), 1.0, 0.0),
                    (
                        source_split::CentrePart::Tube(seated[channel].tube),
                        1.0,
                        seated[channel].turned_deg,
                    ),
                ])
                .unwrap();
            assert!(centres.at[channel].distance_arcmin(told.value) < 1e-9);
            let widened = group.widened.sqrt();
            for axis in 0..2 {
                let u = centres.covariance_arcmin2[first + axis][first + axis].sqrt();
                assert!((u - told.u_arcmin[axis] * widened).abs() < 1e-9);
            }
        }
        // The difference of both centres: what they share cancels.
        let cov = centres.covariance_arcmin2;
        let u = (cov[0][0] + cov[2][2] - 2.0 * cov[0][2]).sqrt();
        let told = split
            .determined_turned(&[
                (source_split::CentrePart::Pod(Channel::Right), 1.0, 0.0),
                (source_split::CentrePart::Tube(seated.right.tube), 1.0, 180.0),
                (source_split::CentrePart::Pod(Channel::Left), -1.0, 0.0),
                (source_split::CentrePart::Tube(seated.left.tube), -1.0, 0.0),
            ])
            .unwrap();
        assert!((u - told.u_arcmin[0] * group.widened.sqrt()).abs() < 1e-9);
    }
}

/// Readings that differ by more than they are uncertain by make all they give more uncertain: two of 0.2′
/// that differ by 2′ have χ² = 2²/(2·0.04) = 50 an axis on one degree of freedom.
#[test]
fn readings_that_disagree_widen_what_they_give() {
    let agree =
        [seen(0, Channel::Left, 0, 0.0, [1.0, 2.0]), seen(0, Channel::Left, 0, 0.0, [1.2, 2.0])];
    let differ =
        [seen(0, Channel::Left, 0, 0.0, [1.0, 2.0]), seen(0, Channel::Left, 0, 0.0, [3.0, 4.0])];
    let u2 = |read: &[KnownValue]| {
        let offsets = Offsets::of(read).unwrap();
        offsets.centre(0, Channel::Left, plain(0)).unwrap().covariance_arcmin2[0][0]
    };
    assert!((u2(&agree) - 0.02).abs() < 1e-9);
    assert!((u2(&differ) - 0.02 * 50.0).abs() < 1e-6);
}

#[test]
fn what_is_no_number_is_refused() {
    let mut read = [seen(0, Channel::Left, 0, 0.0, [f64::NAN, 2.0])];
    assert!(Offsets::of(&read).is_err());
    read[0].value = Direction::new(0.0, 0.0);
    read[0].covariance_arcmin2 = [[0.0, 0.0], [0.0, 0.0]];
    assert!(Offsets::of(&read).is_err());
    read[0].covariance_arcmin2 = [[1.0, 2.0], [2.0, 1.0]];
    assert!(Offsets::of(&read).is_err());
    let mut turned = [seen(0, Channel::Left, 0, f64::INFINITY, [0.0, 2.0])];
    assert!(Offsets::of(&turned).is_err());
    turned[0].subject = Subject::Stated(Part::Tube(3));
    assert!(Offsets::of(&turned).is_ok());
    assert!(Offsets::of(&[]).unwrap().groups().is_empty());
}
