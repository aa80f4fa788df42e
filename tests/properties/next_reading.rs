//! The next reading is the best of 720 angles on either channel, tried by adding each and solving.

use crate::given::{readings_of, round_angles, without_rings};
use proptest::prelude::*;
use solver::fit::{Reading, Spread};
use solver::{
    Channel, CrossingPoint, Direction, OffsetCircle, PerChannel, Phase, Problem, Relation, Sense,
    SenseChoice, solve,
};

fn problem(
    circles: &PerChannel<OffsetCircle>,
    angles: &PerChannel<Vec<f64>>,
    free: bool,
    ring_sigma_deg: f64,
) -> Problem {
    let readings = PerChannel::from_fn(|channel| {
        let readings = readings_of(&circles[channel], &angles[channel], &[(0.0, 0.0)]);
        if free { without_rings(&readings) } else { readings }
    });
    let sense = SenseChoice::Given(Sense::With);
    Problem {
        readings,
        spread: Spread { sigma_arcmin: Some(0.4), ring_sigma_deg },
        sense: PerChannel { left: sense, right: sense },
        ..Problem::default()
    }
}

fn nearest(problem: &Problem) -> Option<CrossingPoint> {
    let meeting = solve(problem).unwrap().meeting?;
    (meeting.relation == Relation::Crossing).then(|| *meeting.nearest().unwrap())
}

fn determinant(crossing: &CrossingPoint) -> f64 {
    let [[xx, xy], [_, yy]] = crossing.covariance_arcmin2.unwrap();
    xx * yy - xy * xy
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, ..ProptestConfig::default() })]
    #[test]
    fn no_other_reading_is_better(
        x_arcmin in 10.0..40.0_f64,
        y_arcmin in -15.0..15.0_f64,
        radii in (35.0..60.0_f64, 35.0..60.0_f64),
        shares in (0.2..1.0_f64, 0.2..1.0_f64),
        left in round_angles(4..=6),
        right in round_angles(4..=6),
        free in any::<bool>(),
        ring_sigma_deg in prop::sample::select(vec![0.0, 0.7]),
    ) {
        let circle = |x: f64, radius_arcmin: f64| OffsetCircle {
            centre: Direction::new(x, y_arcmin),
            radius_arcmin,
            phase: Some(Phase { zero_deg: 30.0, sense: Sense::With }),
        };
        let circles = PerChannel {
            left: circle(-x_arcmin, radii.0),
            right: circle(x_arcmin, radii.1),
        };
        // Arcs of a share of the turn, so that the best place is not everywhere.
        let angles = PerChannel {
            left: left.iter().map(|deg| deg * shares.0).collect(),
            right: right.iter().map(|deg| deg * shares.1).collect(),
        };
        let problem = problem(&circles, &angles, free, ring_sigma_deg);
        let Some(before) = nearest(&problem) else { return Ok(()) };
        // Where two crossings are all but equally near, an exact extra reading may swap them.
        prop_assume!(before.boresight_arcmin > 1.0 && before.covariance_arcmin2.is_some());
        let after = |channel: Channel, ring_deg: f64| {
            let mut more = problem.clone();
            let direction = circles[channel].at_ring(ring_deg).unwrap();
            more.readings[channel].push(Reading { direction, ring_deg: (!free).then_some(ring_deg) });
            nearest(&more)
                .filter(|crossing| crossing.point.distance_arcmin(before.point) < 1e-6)
                .map(|crossing| determinant(&crossing) / determinant(&before))
        };
        let best = Channel::BOTH
            .into_iter()
            .flat_map(|channel| (0..720).map(move |k| (channel, 0.5 * f64::from(k))))
            .filter_map(|(channel, ring_deg)| after(channel, ring_deg))
            .fold(f64::INFINITY, f64::min);
        prop_assume!(best.is_finite());
        let advised = solve(&problem).unwrap().next_reading().unwrap();
        prop_assert_eq!(advised.ring_deg.is_none(), free);
        let ring_deg = circles[advised.channel].ring_for(advised.place).unwrap();
        let reached = after(advised.channel, ring_deg).unwrap();
        // A determinant of covariances that are good to 1e-10.
        prop_assert!((reached - advised.determinant_ratio).abs() < 1e-7, "{reached} {advised:?}");
        prop_assert!(reached <= best + 1e-9, "{reached} is worse than {best}");
    }
}
