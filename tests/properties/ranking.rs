//! Remedies in one list: the order is the one stated, predictions are what the optics then give, and
//! what is not known is refused by name.

use core::cmp::Ordering;

use proptest::prelude::*;
use solver::fit::{CircleFit, Reading, SenseChoice, Spread, fit_circle};
use solver::monte_carlo::Source;
use solver::optics::{Lateral, Optics, Placement, ShimEnds, TubeImage};
use solver::remedy::PredictedKind;
use solver::remedy::rank::{NotOffered, RankedRemedy, RemedyAction, RemedyKind, Situation, rank};
use solver::remedy::shim::{ChannelShim, SeatLimits, ShimEffect};
use solver::remedy::spread::use_after;
use solver::remedy::swap::{SeatedTube, TubeFacts};
use solver::simulate::{InventedChannel, Making, ReadingNoise, invent, read};
use solver::source_split::{Determined, Observation, Split};
use solver::swing::{SwingRange, worst_over};
use solver::{Channel, Direction, OffsetCircle, PerChannel, Sense, Window};

use crate::given::{circle, readings_of};

fn optics() -> Optics {
    Optics::new(27.0, 27.0, TubeImage::Inverted).unwrap()
}

fn seat() -> SeatLimits {
    SeatLimits {
        clocks_deg: (0..8).map(|k| 45.0 * f64::from(k)).collect(),
        ends: vec![ShimEnds::Front, ShimEnds::Rear, ShimEnds::Both],
        leaves_mm: vec![0.05, 0.10],
        largest_mm: 0.30,
    }
}

fn window() -> Window {
    Window::new(45.0, 20.0, 15.0, Some(40.0)).unwrap()
}

/// A fit of a circle read exactly at twelve ring angles, with a stated uncertainty.
fn fit_of(channel: Channel, circle: &OffsetCircle) -> CircleFit {
    let angles: Vec<f64> = (0..12).map(|k| 30.0 * f64::from(k)).collect();
    let readings = readings_of(circle, &angles, &[(0.0, 0.0)]);
    let spread = Spread { sigma_arcmin: Some(0.3), ring_sigma_deg: 0.0 };
    let sense = circle.phase.map_or(SenseChoice::Auto, |phase| SenseChoice::Given(phase.sense));
    fit_circle(channel, &readings, spread, sense).unwrap()
}

fn with_the_ring(circle: OffsetCircle) -> OffsetCircle {
    let phase = circle.phase.map(|phase| solver::Phase { sense: Sense::With, ..phase });
    OffsetCircle { phase, ..circle }
}

fn known(x: f64, y: f64) -> Determined {
    Determined { value: Direction::new(x, y), u_arcmin: [0.4, 0.5] }
}

fn situation<'a>(
    fits: PerChannel<&'a CircleFit>,
    window: &'a Window,
    seat: &'a SeatLimits,
    swing: Option<SwingRange>,
) -> Situation<'a> {
    Situation {
        fits,
        window,
        swing,
        seats: PerChannel { left: Some(seat), right: Some(seat) },
        effect: Some(ShimEffect::Model(optics())),
        image: TubeImage::Inverted,
        tubes: TubeFacts::default(),
    }
}

/// The order, spelled out, from what a remedy shows.
fn order(a: &RankedRemedy, b: &RankedRemedy) -> Ordering {
    let inside = |remedy: &RankedRemedy| remedy.predicted.score <= 1.0;
    let effort = |remedy: &RankedRemedy| (remedy.action.channels(), remedy.action.parts());
    let away = |remedy: &RankedRemedy| {
        remedy.predicted.crossing.map_or(f64::INFINITY, Direction::boresight_arcmin)
    };
    let by_score = a.predicted.score.total_cmp(&b.predicted.score);
    let by_effort = effort(a).cmp(&effort(b));
    let by_away = away(a).total_cmp(&away(b));
    match (inside(a), inside(b)) {
        (true, false) => Ordering::Less,
        (false, true) => Ordering::Greater,
        (true, true) => by_effort.then(by_score).then(by_away),
        (false, false) => by_score.then(by_effort).then(by_away),
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn the_list_is_ordered_complete_and_the_same_each_time(
        left in circle(),
        right in circle(),
        swing in prop::option::of(1.0..20.0),
        difference in prop::option::of((-60.0..60.0, -60.0..60.0)),
        turned in prop::option::of((-60.0..60.0, -60.0..60.0)),
    ) {
        let circles = PerChannel { left: with_the_ring(left), right: with_the_ring(right) };
        let fits = PerChannel::from_fn(|channel| fit_of(channel, &circles[channel]));
        let (window, seat) = (window(), seat());
        let range = swing.map(|deg: f64| SwingRange::new(-deg, deg).unwrap());
        let mut given = situation(fits.as_ref(), &window, &seat, range);
        given.tubes = TubeFacts {
            right_less_left: difference.map(|(x, y)| known(x, y)),
            offsets: PerChannel { left: turned.map(|(x, y)| known(x, y)), right: None },
        };
        let ranking = rank(&given).unwrap();
        for pair in ranking.remedies.windows(2) {
            prop_assert_ne!(order(&pair[0], &pair[1]), Ordering::Greater);
        }
        // Every kind is either listed or refused.
        let listed = |wanted: &dyn Fn(&RemedyAction) -> bool| {
            ranking.remedies.iter().filter(|remedy| wanted(&remedy.action)).count()
        };
        let refused = |kind| ranking.refused.iter().any(|refusal| refusal.kind == kind);
        prop_assert_eq!(listed(&|action| matches!(action, RemedyAction::Shims(_))), 10);
        prop_assert_eq!(listed(&|action| *action == RemedyAction::EyepieceSwap), 1);
        let swaps = listed(&|action| *action == RemedyAction::TubeSwap) == 1;
        prop_assert_eq!(swaps, difference.is_some());
        prop_assert_eq!(refused(RemedyKind::TubeSwap), difference.is_none());
        let turns = listed(&|action| *action == RemedyAction::TubeTurn(Channel::Left)) == 1;
        prop_assert_eq!(turns, turned.is_some());
        prop_assert!(refused(RemedyKind::TubeTurn(Channel::Right)));
        // Doing nothing is no remedy.
        prop_assert!(ranking.remedies.iter().all(|remedy| remedy.action.parts() > 0));
        // The same question, the same answer.
        prop_assert_eq!(&rank(&given).unwrap(), &ranking);

        let some_inside = ranking.remedies.first().is_some_and(|r| r.predicted.score <= 1.0);
        for (place, remedy) in ranking.remedies.iter().enumerate() {
            let predicted = &remedy.predicted;
            // The score is the exact worst at the crossing.
            if let Some(point) = predicted.crossing {
                let points = PerChannel { left: point, right: point };
                let used = range.map_or_else(
                    || window.used_by(point, point),
                    |range| worst_over(points, &window, range).used,
                );
                prop_assert_eq!(predicted.score, used.worst());
            } else {
                prop_assert!(predicted.score.is_infinite());
            }
            // Where none is inside, the first ten have a setting whether or not they meet.
            if !some_inside && place < 10 {
                prop_assert!(predicted.setting.is_some());
            }
            if let Some(setting) = predicted.setting {
                // What is told is what it was ranked by, or better; one setting, not two.
                prop_assert!(setting.worst() <= predicted.score);
                let crossing = predicted.crossing.map(|p| PerChannel { left: p, right: p });
                match setting.kind {
                    PredictedKind::Crossing => {
                        prop_assert_eq!(Some(setting.points), crossing);
                        prop_assert_eq!(setting.worst(), predicted.score);
                    }
                    PredictedKind::Compromise => {
                        prop_assert!(crossing.is_some() && setting.worst() < predicted.score);
                    }
                    PredictedKind::NearestApproach => prop_assert!(crossing.is_none()),
                }
                let PerChannel { left, right } = setting.points;
                prop_assert_eq!(setting.window_use, window.used_by(left, right));
                let place = left.midpoint(right).boresight_arcmin();
                prop_assert_eq!(setting.boresight_arcmin(), place);
                let over = range.map(|range| worst_over(setting.points, &window, range));
                prop_assert_eq!(setting.over_swing, over);
                for (channel, predicted) in predicted.circles.iter() {
                    // On its circle, to rounding.
                    let off = predicted.circle.off_circle_arcmin(setting.points[channel]).abs();
                    prop_assert!(off <= 1e-9 * (1.0 + predicted.circle.radius_arcmin));
                }
            }
        }
    }
}

/// Noiseless readings of a channel, all round.
fn readings_by_optics(channel: &InventedChannel) -> Vec<Reading> {
    let hand = ReadingNoise {
        noise_arcmin: 0.0,
        ring_play_deg: 0.0,
        lock_shift_arcmin: 0.0,
        rounding_arcmin: 0.0,
    };
    let mut source = Source::seeded(0);
    (0..12)
        .map(|k| read(&optics(), channel, 30.0 * f64::from(k), true, &hand, &mut source).unwrap())
        .collect()
}

fn fit_by_optics(which: Channel, channel: &InventedChannel) -> CircleFit {
    let spread = Spread { sigma_arcmin: Some(0.3), ring_sigma_deg: 0.0 };
    fit_circle(which, &readings_by_optics(channel), spread, SenseChoice::Auto).unwrap()
}

/// The small-angle model's error in a fitted centre: X − atan X < X³/3 on each axis, for readings no
/// farther than 300′ before and after.
const CUBIC_ARCMIN: f64 = 2.0 * (300.0 * 300.0 * 300.0) / 3.0 / (3437.7 * 3437.7) * 1.5;

fn invented(seed: u64) -> PerChannel<InventedChannel> {
    let making =
        Making { bore_mm: 0.05, tube_mm: 0.10, least_decentre_mm: 0.2, most_decentre_mm: 0.5 };
    invent(&optics(), &making, &mut Source::seeded(seed)).unwrap()
}

/// A tube pushed away from a shim at each end it lies at.
fn shimmed(channel: &InventedChannel, shim: &ChannelShim) -> InventedChannel {
    let pushed = -Lateral::toward_clock(shim.thickness_mm(), shim.clock_deg);
    let mut placed = channel.placed;
    if shim.ends != ShimEnds::Rear {
        placed.tube_in = placed.tube_in + pushed;
    }
    if shim.ends != ShimEnds::Front {
        placed.tube_out = placed.tube_out + pushed;
    }
    InventedChannel { placed, ..*channel }
}

/// With tubes traded: places belong to pods, image offsets to tubes.
fn traded(unit: &PerChannel<InventedChannel>) -> PerChannel<InventedChannel> {
    PerChannel::from_fn(|channel| {
        let tube_image = unit[channel.other()].placed.tube_image;
        let placed = Placement { tube_image, ..unit[channel].placed };
        InventedChannel { placed, ..unit[channel] }
    })
}

/// A tube turned half way round takes its image offset with it.
fn turned(channel: &InventedChannel) -> InventedChannel {
    let placed = Placement { tube_image: -channel.placed.tube_image, ..channel.placed };
    InventedChannel { placed, ..*channel }
}

fn agrees(predicted: &OffsetCircle, measured: &CircleFit, what: &str) {
    let apart = predicted.centre.distance_arcmin(measured.circle.centre);
    assert!(apart < CUBIC_ARCMIN, "{what}: centre {apart}′ off");
    let off = (predicted.radius_arcmin - measured.circle.radius_arcmin).abs();
    assert!(off < CUBIC_ARCMIN, "{what}: radius {off}′ off");
}

/// Every remedy of invented units, carried out on the optics, read anew and fitted: the circles are
/// those predicted. Tube facts come from a source split of simulated rounds.
#[test]
fn predictions_are_what_the_optics_then_give() {
    for seed in 0..20 {
        let unit = invented(seed);
        let fits = PerChannel::from_fn(|channel| fit_by_optics(channel, &unit[channel]));
        let swapped = traded(&unit);
        let left_turned = PerChannel { left: turned(&unit.left), right: unit.right };
        let seen = |pod: Channel, tube, turned_deg, channel: &InventedChannel| Observation {
            pod,
            tube,
            turned_deg,
            centre: fit_by_optics(pod, channel).circle.centre,
            u_arcmin: 0.3,
        };
        let (l, r) = (Channel::Left, Channel::Right);
        let split = Split::of(&[
            seen(l, 0, 0.0, &unit.left),
            seen(r, 1, 0.0, &unit.right),
            seen(l, 1, 0.0, &swapped.left),
            seen(r, 0, 0.0, &swapped.right),
            seen(l, 0, 180.0, &left_turned.left),
        ])
        .unwrap();
        let seated = |tube| SeatedTube { tube, turned_deg: 0.0 };
        let tubes = TubeFacts::from_split(&split, PerChannel { left: seated(0), right: seated(1) });
        let (window, seat) = (window(), seat());
        let given = Situation { tubes, ..situation(fits.as_ref(), &window, &seat, None) };
        let ranking = rank(&given).unwrap();
        assert!(ranking.refused.is_empty(), "{:?}", ranking.refused);
        assert_eq!(ranking.remedies.len(), 10 + 1 + 1 + 2);
        for remedy in &ranking.remedies {
            let after = match &remedy.action {
                RemedyAction::Shims(shims) => PerChannel::from_fn(|channel| {
                    shims[channel]
                        .as_ref()
                        .map_or(unit[channel], |shim| shimmed(&unit[channel], shim))
                }),
                RemedyAction::TubeSwap => swapped,
                RemedyAction::TubeTurn(channel) => {
                    let mut after = unit;
                    after[*channel] = turned(&unit[*channel]);
                    after
                }
                // The ring turns another cell; where its index comes to lie is nobody's to know.
                RemedyAction::EyepieceSwap => PerChannel::from_fn(|channel| InventedChannel {
                    decentre: unit[channel.other()].decentre.turned_clockwise(77.0),
                    ..unit[channel]
                }),
            };
            for (channel, predicted) in remedy.predicted.circles.iter() {
                let measured = fit_by_optics(channel, &after[channel]);
                agrees(&predicted.circle, &measured, &format!("seed {seed} {:?}", remedy.action));
                // Phases stay with their eyepieces.
                match (&remedy.action, predicted.circle.phase) {
                    (RemedyAction::EyepieceSwap, phase) => assert_eq!(phase, None),
                    (_, phase) => {
                        let told = phase.unwrap().zero_deg;
                        let found = measured.circle.phase.unwrap().zero_deg;
                        let off = solver::angle::turn_deg(told, found).abs().to_radians();
                        assert!(off * predicted.circle.radius_arcmin < CUBIC_ARCMIN);
                    }
                }
            }
        }
    }
}

/// A tube turned and its twin traded, seated turned: facts come as the tubes sit.
#[test]
fn tube_facts_are_those_of_tubes_as_they_sit() {
    let (bl, br) = (Direction::new(3.0, -4.0), Direction::new(-6.0, 1.0));
    let (ta, tb) = (Direction::new(20.0, 5.0), Direction::new(-7.0, 11.0));
    let seen = |pod, tube: usize, turned_deg: f64| {
        let b = if pod == Channel::Left { bl } else { br };
        let t = if tube == 0 { ta } else { tb };
        let centre = b + t.rotated(-turned_deg.to_radians());
        Observation { pod, tube, turned_deg, centre, u_arcmin: 0.5 }
    };
    let seated = |tube, turned_deg| SeatedTube { tube, turned_deg };
    let here = PerChannel { left: seated(0, 180.0), right: seated(1, 90.0) };
    let (l, r) = (Channel::Left, Channel::Right);

    // Traded only, both upright: their difference is known, neither tube by itself.
    let traded = Split::of(&[seen(l, 0, 0.0), seen(r, 1, 0.0), seen(l, 1, 0.0), seen(r, 0, 0.0)]);
    let upright = PerChannel { left: seated(0, 0.0), right: seated(1, 0.0) };
    let facts = TubeFacts::from_split(&traded.clone().unwrap(), upright);
    let difference = facts.right_less_left.unwrap();
    assert!(difference.value.distance_arcmin(tb - ta) < 1e-12);
    assert_eq!(facts.offsets, PerChannel::default());
    // The same rounds say nothing of tubes seated otherwise.
    assert_eq!(TubeFacts::from_split(&traded.unwrap(), here), TubeFacts::default());

    // Turned in place only: that tube and that pod, nothing of the other side.
    let turned = Split::of(&[seen(l, 0, 0.0), seen(l, 0, 180.0), seen(r, 1, 0.0)]).unwrap();
    assert_eq!((turned.rank, turned.unknowns, turned.degrees_of_freedom), (6, 8, 0));
    let facts = TubeFacts::from_split(&turned, here);
    let own = facts.offsets.left.unwrap();
    // Half a turn: −t. Each centre 0.5′, t is half their difference: 0.5/√2.
    assert!(own.value.distance_arcmin(ta * -1.0) < 1e-12);
    assert!((own.u_arcmin[0] - 0.5 / 2.0_f64.sqrt()).abs() < 1e-12);
    assert_eq!((facts.offsets.right, facts.right_less_left), (None, None));

    // Both: everything, as it sits.
    let all = Split::of(&[seen(l, 0, 0.0), seen(l, 0, 180.0), seen(r, 1, 0.0), seen(r, 1, 180.0)]);
    let all = all.unwrap();
    assert_eq!(all.rank, all.unknowns);
    let facts = TubeFacts::from_split(&all, here);
    let right = facts.offsets.right.unwrap().value;
    // A quarter turn clockwise takes (x, y) to (y, −x).
    assert!(right.distance_arcmin(Direction::new(tb.y_arcmin, -tb.x_arcmin)) < 1e-12);
    let difference = facts.right_less_left.unwrap().value;
    assert!(difference.distance_arcmin(right + ta) < 1e-12);
}

fn two_fits(sense: Sense) -> PerChannel<CircleFit> {
    let circle = |x, sense| OffsetCircle {
        centre: Direction::new(x, 10.0),
        radius_arcmin: 30.0,
        phase: Some(solver::Phase { zero_deg: 20.0, sense }),
    };
    PerChannel {
        left: fit_of(Channel::Left, &circle(-70.0, sense)),
        right: fit_of(Channel::Right, &circle(60.0, Sense::With)),
    }
}

fn whys(situation: &Situation<'_>, kind: RemedyKind) -> Vec<NotOffered> {
    let ranking = rank(situation).unwrap();
    ranking.refused.into_iter().filter(|r| r.kind == kind).map(|r| r.why).collect()
}

/// Against the ring: no shim, no tube, and the reason names the flip.
#[test]
fn a_crosshair_against_its_ring_gets_no_shims() {
    let fits = two_fits(Sense::Against);
    let (window, seat) = (window(), seat());
    let mut given = situation(fits.as_ref(), &window, &seat, None);
    given.tubes.right_less_left = Some(known(5.0, 5.0));
    assert_eq!(whys(&given, RemedyKind::Shims), [NotOffered::AgainstRing(Channel::Left)]);
    assert_eq!(whys(&given, RemedyKind::TubeSwap), [NotOffered::AgainstRing(Channel::Left)]);
    let why = NotOffered::AgainstRing(Channel::Left).to_string();
    assert!(why.starts_with("the left crosshair runs against its ring") && why.contains("flip"));
    let ranking = rank(&given).unwrap();
    assert_eq!(ranking.remedies.len(), 1);
    assert_eq!(ranking.remedies[0].action, RemedyAction::EyepieceSwap);
}

/// The model does not cover a straight-through tube; an effect measured on the housing does.
#[test]
fn a_straight_through_tube_uses_measured_effects_only() {
    let fits = two_fits(Sense::With);
    let (window, seat) = (window(), seat());
    let mut given = situation(fits.as_ref(), &window, &seat, None);
    given.image = TubeImage::StraightThrough;
    assert_eq!(whys(&given, RemedyKind::Shims), [NotOffered::StraightThrough]);
    given.effect = None;
    assert_eq!(whys(&given, RemedyKind::Shims), [NotOffered::StraightThrough]);
    given.effect = Some(ShimEffect::Measured { arcmin_per_mm: 60.0, u_arcmin_per_mm: 6.0 });
    assert_eq!(whys(&given, RemedyKind::Shims), []);
    given.image = TubeImage::Inverted;
    given.effect = None;
    assert_eq!(whys(&given, RemedyKind::Shims), [NotOffered::NoShimEffect]);
}

/// Seats that are not known, or make no sense, are named; the other channel is still shimmed.
#[test]
fn a_seat_that_is_not_known_is_named() {
    let fits = two_fits(Sense::With);
    let (window, seat) = (window(), seat());
    let mut given = situation(fits.as_ref(), &window, &seat, None);
    given.seats.left = None;
    assert_eq!(whys(&given, RemedyKind::ShimsIn(Channel::Left)), [NotOffered::NoSeat]);
    let ranking = rank(&given).unwrap();
    let shims = ranking.remedies.iter().filter_map(|remedy| match &remedy.action {
        RemedyAction::Shims(shims) => Some(shims),
        _ => None,
    });
    assert!(shims.clone().count() == 10 && shims.clone().all(|shims| shims.left.is_none()));
    let endless = SeatLimits {
        clocks_deg: (0..360).map(f64::from).collect(),
        leaves_mm: vec![0.001],
        largest_mm: 1.0,
        ..seat.clone()
    };
    given.seats.left = Some(&endless);
    let why = whys(&given, RemedyKind::ShimsIn(Channel::Left));
    assert!(matches!(why[..], [NotOffered::Seat(_)]), "{why:?}");
    assert!(why[0].to_string().contains("not 1080000"), "{}", why[0]);
    given.seats = PerChannel::default();
    assert_eq!(whys(&given, RemedyKind::Shims), [NotOffered::NoSeat]);
}

/// The measured effect's uncertainty is in the predicted covariance: by hand, an effect known to 10 %
/// moves a shift of (x, y) by a tenth of each part.
#[test]
fn what_a_shim_does_is_uncertain_in_the_prediction() {
    let fits = two_fits(Sense::With);
    let (window, seat) = (window(), seat());
    let mut given = situation(fits.as_ref(), &window, &seat, None);
    given.effect = Some(ShimEffect::Measured { arcmin_per_mm: 120.0, u_arcmin_per_mm: 12.0 });
    for remedy in rank(&given).unwrap().remedies {
        let RemedyAction::Shims(shims) = &remedy.action else { continue };
        for (channel, shim) in shims.iter() {
            let shift = shim.as_ref().map_or(Direction::BORESIGHT, |shim| shim.shift);
            let before = fits[channel].covariance.unwrap();
            let after = remedy.predicted.circles[channel].covariance.unwrap();
            let parts = [shift.x_arcmin, shift.y_arcmin, 0.0, 0.0];
            for i in 0..4 {
                for j in 0..4 {
                    let added = after.get(i, j) - before.get(i, j);
                    // One rounding of numbers up to 100.
                    assert!((added - 0.01 * parts[i] * parts[j]).abs() < 1e-12);
                }
            }
        }
    }
}

/// Trials: the same seed gives the same answer, half of them are below the prediction's own score where
/// that is known well, and circles that plainly miss each other never meet.
#[test]
fn trials_of_a_remedy_know_their_prediction() {
    // Radii 30′ about (∓15′, 10′): they cross at (0, 10 − √675), 15.98′ below boresight.
    let circle = |x| OffsetCircle {
        centre: Direction::new(x, 10.0),
        radius_arcmin: 30.0,
        phase: Some(solver::Phase { zero_deg: 20.0, sense: Sense::With }),
    };
    let fits = PerChannel {
        left: fit_of(Channel::Left, &circle(-15.0)),
        right: fit_of(Channel::Right, &circle(15.0)),
    };
    let (window, seat) = (window(), seat());
    let baseline = rank(&situation(fits.as_ref(), &window, &seat, None)).unwrap().baseline;
    assert!((baseline.score - (675.0_f64.sqrt() - 10.0) / 40.0).abs() < 1e-12);
    let trials = use_after(&baseline, &window, None, 4_000, 7).unwrap();
    assert_eq!(trials, use_after(&baseline, &window, None, 4_000, 7).unwrap());
    assert_ne!(trials, use_after(&baseline, &window, None, 4_000, 8).unwrap());
    assert_eq!((trials.meets, trials.inside), (1.0, 1.0));
    // Along y each edge has variance σ²(1/12 + 1/12) with σ 0.3′ seen along its normal (c·n + r); both
    // normals lean 60° from the horizontal, so y moves by (e_L + e_R)/(2 sin 60°): u = 0.0866′, of 40′.
    let u = 0.3 * (2.0_f64 / 12.0).sqrt() * 2.0_f64.sqrt() / 3.0_f64.sqrt() / 40.0;
    let (half, most) = (trials.use_50.unwrap(), trials.use_95.unwrap());
    // Quantiles of 4,000 trials: standard errors 1.25 u/√4000 and 2.11 u/√4000; five of them.
    assert!((half - baseline.score).abs() < 0.1 * u, "{half} {}", baseline.score);
    assert!((most - baseline.score - 1.645 * u).abs() < 0.17 * u, "{most} {u}");

    // Rings set by a scale read to σθ = 2°: each crosshair is off along its circle by 30′ · 2° =
    // 1.047′. Along x both lean alike, so m_x has u = 1.047′ · |y − c_y|/30′ · √2 = 1.283′ about 0: a
    // window of 2.11′ side to side, else wide, holds 90 % (1.645 u). The fits' own part is 4 % of that.
    let rough = fits.as_ref().map(|fit| CircleFit { ring_sigma_deg: 2.0, ..*fit });
    let narrow = Window::new(2.11, 2.11, 40.0, Some(60.0)).unwrap();
    let set = rank(&situation(rough.as_ref(), &narrow, &seat, None)).unwrap().baseline;
    let inside = use_after(&set, &narrow, None, 4_000, 7).unwrap().inside;
    // A share of 90 % of 4,000 has a standard deviation of 0.5 %.
    assert!((inside - 0.90).abs() < 0.025, "{inside}");

    let fits = two_fits(Sense::With);
    let blind = rank(&situation(fits.as_ref(), &window, &seat, None)).unwrap().baseline;
    assert!(blind.crossing.is_none());
    let never = use_after(&blind, &window, None, 500, 1).unwrap();
    assert_eq!((never.meets, never.inside, never.use_95), (0.0, 0.0, None));
}
