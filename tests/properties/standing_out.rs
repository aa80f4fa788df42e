//! Readings that stand out: the update formula equals refits without the reading, false alarms are
//! as rare as promised, and what was misread is named.

use crate::given::{circle, errors, readings_of, round_angles, without_rings};
use proptest::prelude::*;
use solver::diagnostic::{Cause, Diagnosis, Slip, diagnose, diagnose_both, standing_out};
use solver::fit::{CircleFit, Reading, SenseChoice, Spread, fit_circle};
use solver::monte_carlo::Source;
use solver::{Channel, Direction, OffsetCircle, PerChannel, Phase, Sense, SenseBasis};

fn fit(readings: &[Reading], sense: Sense) -> CircleFit {
    fit_circle(Channel::Left, readings, Spread::default(), SenseChoice::Given(sense)).unwrap()
}

fn all_but(readings: &[Reading], left_out: usize) -> Vec<Reading> {
    let mut others = readings.to_vec();
    others.remove(left_out);
    others
}

proptest! {
    /// Linear: exact. F in two dimensions has the closed form p = (S₍ᵢ₎/S)^((ν − 2)/2).
    #[test]
    fn leaving_one_out_is_fitting_the_others(
        given in circle(),
        angles in round_angles(5..=14),
        errors in errors(0.5),
    ) {
        let sense = given.phase.unwrap().sense;
        let readings = readings_of(&given, &angles, &errors);
        let all = fit(&readings, sense);
        let spare = all.degrees_of_freedom - 2;
        for (k, found) in diagnose(&all, &readings).into_iter().enumerate() {
            let others = fit(&all_but(&readings, k), sense);
            let expected = others.residual(&readings[k]);
            let without = found.without.unwrap();
            // Coordinates of 300′ and a leverage below 0.8: a few hundred roundings of 6e-14′.
            prop_assert!((without.off_circle_arcmin - expected.off_circle_arcmin).abs() < 3e-11);
            let off_deg = without.off_angle_deg.unwrap() - expected.off_angle_deg.unwrap();
            prop_assert!(off_deg.to_radians().abs() * given.radius_arcmin < 3e-11);
            let share = others.weighted_squares_arcmin2 / all.weighted_squares_arcmin2;
            let p = share.powf(0.5 * spare as f64);
            // The sums of squares are good to 1e-10 (above), the power multiplies by up to 12.
            prop_assert!((found.p_value.unwrap() - p).abs() < 1e-8, "{found:?} {p}");
        }
    }

    /// Without angles the update is the first Newton step: off by the square of the residuals
    /// over the radius, 0.1²/20 = 5e-4′, times leverage.
    #[test]
    fn without_angles_it_is_so_to_first_order(
        given in circle().prop_filter("no tiny circle", |circle| circle.radius_arcmin > 20.0),
        angles in round_angles(8..=14),
        errors in errors(0.1),
    ) {
        let readings = without_rings(&readings_of(&given, &angles, &errors));
        let all = fit(&readings, Sense::With);
        for (k, found) in diagnose(&all, &readings).into_iter().enumerate() {
            let expected = fit(&all_but(&readings, k), Sense::With).residual(&readings[k]);
            let off = found.without.unwrap().off_circle_arcmin - expected.off_circle_arcmin;
            prop_assert!(off.abs() < 5e-3, "{off}");
        }
    }
}

fn truth() -> OffsetCircle {
    OffsetCircle {
        centre: Direction::new(20.0, -7.0),
        radius_arcmin: 50.0,
        phase: Some(Phase { zero_deg: 110.0, sense: Sense::With }),
    }
}

fn round(count: u8, source: &mut Source) -> Vec<Reading> {
    (0..count)
        .map(|k| {
            let ring_deg = 360.0 * f64::from(k) / f64::from(count);
            Reading::at_ring(ring_deg, truth().at_ring(ring_deg).unwrap() + source.direction(0.3))
        })
        .collect()
}

/// Bonferroni promises a false alarm in at most 3 % of rounds, and loses little: 1 − (1 − 0.03/8)⁸
/// is 2.96 % were the readings independent. 4,000 rounds: standard deviation 0.27 %.
#[test]
fn sound_rounds_are_seldom_suspected() {
    let mut source = Source::seeded(5);
    for free in [false, true] {
        let suspected = (0..4_000)
            .filter(|_| {
                let mut readings = round(8, &mut source);
                if free {
                    readings = without_rings(&readings);
                }
                let fit = fit(&readings, Sense::With);
                diagnose(&fit, &readings).iter().any(|found| found.stands_out)
            })
            .count();
        let share = suspected as f64 / 4_000.0;
        assert!((share - 0.0296).abs() < 0.0081, "free {free}: {share}");
    }
}

/// A clean unit is accused of nothing in at least 95 % of cases, both channels and both ways of being accused
/// (a reading that stands out, χ²) taken together. 2,000 units: standard deviation 0.49 %.
#[test]
fn clean_units_are_seldom_accused() {
    for (count, sigma_arcmin) in [(4, Some(0.3)), (8, Some(0.3)), (4, None), (8, None)] {
        let mut source = Source::seeded(13);
        let spread = Spread { sigma_arcmin, ring_sigma_deg: 0.0 };
        let accused = (0..2_000)
            .filter(|_| {
                let readings = PerChannel::from_fn(|_| round(count, &mut source));
                let fits = PerChannel::from_fn(|channel| {
                    fit_circle(channel, &readings[channel], spread, SenseChoice::Auto).unwrap()
                });
                let looked = diagnose_both(fits.as_ref().map(Some), &readings);
                let stands_out = |of: Channel| looked[of].iter().any(|found| found.stands_out);
                Channel::BOTH.into_iter().any(|of| stands_out(of) || fits[of].does_not_fit())
            })
            .count();
        let share = accused as f64 / 2_000.0;
        assert!(share <= 0.05, "{count} readings, σ {sigma_arcmin:?}: {share}");
    }
}

/// Of many readings, most of them passed over, the same stand out for the same reason as of all looked at one by
/// one: none, one that is far off, and ones that barely are.
#[test]
fn what_is_passed_over_does_not_stand_out() {
    for (sigma_arcmin, ring_sigma_deg) in [(Some(0.3), 0.0), (None, 0.0), (Some(0.3), 0.5)] {
        for off_arcmin in [0.0, 0.9, 1.2, 1.4, 1.6, 1.8, 2.5, 20.0] {
            for free in [false, true] {
                let mut source = Source::seeded(17);
                let mut readings = PerChannel::from_fn(|_| -> Vec<Reading> {
                    (0..4).flat_map(|_| round(100, &mut source)).collect()
                });
                for (place, scale) in [(3, 1.0), (250, 1.1), (399, 0.9)] {
                    let read = &mut readings.left[place].direction;
                    *read = *read + Direction::new(scale * off_arcmin, 0.0);
                }
                if free {
                    readings.right = without_rings(&readings.right);
                }
                let spread = Spread { sigma_arcmin, ring_sigma_deg };
                let fits = PerChannel::from_fn(|channel| {
                    fit_circle(channel, &readings[channel], spread, SenseChoice::Auto).unwrap()
                });
                let fits = fits.as_ref().map(Some);
                let all = diagnose_both(fits, &readings);
                let found = standing_out(fits, &readings);
                for channel in Channel::BOTH {
                    let all = all[channel].iter().copied().enumerate();
                    let wanted: Vec<_> = all.filter(|(_, one)| one.stands_out).collect();
                    assert_eq!(found[channel], wanted, "{off_arcmin} {sigma_arcmin:?}");
                    if channel == Channel::Left && off_arcmin > 10.0 {
                        assert_eq!(wanted.len(), 3);
                    }
                }
            }
        }
    }
}

/// Two readings that were exchanged are both pointed at and said to be, however many there are and whether σ is
/// stated or not, but for four with σ stated: there one reading often explains as much.
#[test]
fn exchanged_readings_are_named() {
    for (count, sigma_arcmin, least) in
        [(6, Some(0.3), 180), (8, Some(0.3), 180), (4, None, 190), (8, None, 190)]
    {
        let mut source = Source::seeded(14);
        let named = (0..200_usize)
            .filter(|k| {
                let mut readings = round(count, &mut source);
                let pair = [k % readings.len(), (k + 1) % readings.len()];
                let [one, other] = pair.map(|index| readings[index].direction);
                (readings[pair[0]].direction, readings[pair[1]].direction) = (other, one);
                let spread = Spread { sigma_arcmin, ring_sigma_deg: 0.0 };
                let fit = fit_circle(Channel::Left, &readings, spread, SenseChoice::Auto).unwrap();
                let found = diagnose(&fit, &readings);
                let is_named = |(index, found): (usize, &Diagnosis)| {
                    let exchanged = matches!(found.cause, Some(Cause::Exchanged { .. }));
                    exchanged == pair.contains(&index)
                };
                found.iter().enumerate().all(is_named)
            })
            .count();
        assert!(named >= least, "{count} readings, σ {sigma_arcmin:?}: {named} of 200");
    }
}

#[test]
fn a_misread_ring_and_a_misread_graticule_are_told_apart() {
    let mut source = Source::seeded(6);
    for k in 0..8 {
        let mut readings = round(8, &mut source);
        readings[k].ring_deg = readings[k].ring_deg.map(|deg| deg + 8.0);
        let found = diagnose(&fit(&readings, Sense::With), &readings);
        assert!(found.iter().enumerate().all(|(i, one)| one.stands_out == (i == k)), "{found:?}");
        let Some(Cause::Ring { expected_deg, off_deg, .. }) = found[k].cause else {
            panic!("{:?}", found[k])
        };
        // The others know the angle to about 0.3′/50′ √(1 + 1/2) rad = 0.4°; three of those.
        assert!((off_deg - 8.0).abs() < 1.3, "{off_deg}");
        let told = readings[k].ring_deg.unwrap() - off_deg;
        assert!(solver::angle::turn_deg(told, expected_deg).abs() < 1e-9);

        let mut readings = round(8, &mut source);
        let right = readings[k].direction;
        let outward = (right - truth().centre) * (1.0 / 50.0);
        // A digit misread: 10′, at 45° to the circle.
        readings[k].direction = right + outward.rotated(0.785) * 10.0;
        let found = diagnose(&fit(&readings, Sense::With), &readings);
        assert!(found[k].stands_out);
        let Some(Cause::Graticule { expected, .. }) = found[k].cause else {
            panic!("{:?}", found[k])
        };
        assert!(expected.distance_arcmin(right) < 1.5, "{expected:?} {right:?}");
    }
}

#[test]
fn it_is_not_told_where_it_cannot_be() {
    let mut source = Source::seeded(7);
    // Three readings leave nothing to judge one by.
    let readings = round(3, &mut source);
    let few = diagnose(&fit(&readings, Sense::With), &readings);
    assert!(few.iter().all(|found| found.p_value.is_none() && !found.stands_out));
    // Exact readings leave rounding, which means nothing; one that is off among exact ones does.
    let mut exact = round(6, &mut source);
    for reading in &mut exact {
        reading.direction = truth().at_ring(reading.ring_deg.unwrap()).unwrap();
    }
    let sound = diagnose(&fit(&exact, Sense::With), &exact);
    assert!(sound.iter().all(|found| !found.stands_out));
    exact[2].ring_deg = exact[2].ring_deg.map(|deg| deg + 10.0);
    let found = diagnose(&fit(&exact, Sense::With), &exact);
    assert!(found.iter().enumerate().all(|(k, one)| one.stands_out == (k == 2)), "{found:?}");
    assert!(
        matches!(found[2].cause, Some(Cause::Ring { off_deg, .. }) if (off_deg - 10.0).abs() < 1e-6)
    );
}

/// A sign forgotten in one of four readings: never the sense turned and nothing pointed at. With σ stated the
/// sum of squares alone decides for *against the ring*, under which nothing stands out.
#[test]
fn a_forgotten_sign_does_not_turn_the_sense_unseen() {
    let mut doubted = 0;
    let mut source = Source::seeded(6);
    for sigma_arcmin in [Some(0.2), None] {
        for phase_deg in (0..360).step_by(15) {
            let circle = OffsetCircle {
                centre: Direction::new(10.0, 6.0),
                radius_arcmin: 30.0,
                phase: Some(Phase { zero_deg: f64::from(phase_deg), sense: Sense::With }),
            };
            for which in 0..4 {
                let mut readings: Vec<Reading> = [0.0, 80.0, 170.0, 265.0]
                    .map(|deg| {
                        let at = circle.at_ring(deg).unwrap() + source.direction(0.2);
                        Reading::at_ring(deg, at)
                    })
                    .to_vec();
                let Direction { x_arcmin, y_arcmin } = readings[which].direction;
                // A sign on next to nothing is no slip that anybody sees.
                if x_arcmin.abs() < 10.0 {
                    continue;
                }
                readings[which].direction = Direction::new(-x_arcmin, y_arcmin);
                let spread = Spread { sigma_arcmin, ring_sigma_deg: 0.0 };
                let fit = fit_circle(Channel::Left, &readings, spread, SenseChoice::Auto).unwrap();
                let told =
                    format!("phase {phase_deg}°, reading {which}, σ {sigma_arcmin:?}: {fit:?}");
                assert_eq!(fit.circle.phase.unwrap().sense, Sense::With, "{told}");
                doubted += usize::from(fit.sense_basis == Some(SenseBasis::Doubted));
                let found = diagnose(&fit, &readings);
                let odd: Vec<usize> = (0..4).filter(|&k| found[k].stands_out).collect();
                assert_eq!(odd, [which], "{told}");
                let Some(Cause::Graticule { slip, expected }) = found[which].cause else {
                    // On the circle of the others by chance: then the ring looks misread.
                    assert!(matches!(found[which].cause, Some(Cause::Ring { .. })), "{told}");
                    continue;
                };
                assert_eq!(slip, Some(Slip::SignOfX), "{told} {expected:?}");
            }
        }
    }
    assert!(doubted > 0);
}

/// A crosshair that does run against its ring is found to, with a misread reading or without.
#[test]
fn a_true_flip_is_still_found() {
    let circle = OffsetCircle {
        centre: Direction::new(10.0, 6.0),
        radius_arcmin: 30.0,
        phase: Some(Phase { zero_deg: 25.0, sense: Sense::Against }),
    };
    let mut source = Source::seeded(7);
    for sigma_arcmin in [Some(0.2), None] {
        for misread in [None, Some(3)] {
            let mut readings: Vec<Reading> = (0..6_u8)
                .map(|k| 60.0 * f64::from(k))
                .map(|deg| {
                    Reading::at_ring(deg, circle.at_ring(deg).unwrap() + source.direction(0.2))
                })
                .collect();
            if let Some(k) = misread {
                readings[k].direction = readings[k].direction * -1.0;
            }
            let spread = Spread { sigma_arcmin, ring_sigma_deg: 0.0 };
            let fit = fit_circle(Channel::Left, &readings, spread, SenseChoice::Auto).unwrap();
            assert_eq!(fit.circle.phase.unwrap().sense, Sense::Against, "{misread:?}");
            assert!(matches!(fit.sense_basis, Some(SenseBasis::Found { .. })));
        }
    }
}

/// The slips of a pen by name.
#[test]
fn a_slip_is_named() {
    let circle = OffsetCircle {
        centre: Direction::new(12.0, -5.0),
        radius_arcmin: 30.0,
        phase: Some(Phase { zero_deg: 40.0, sense: Sense::With }),
    };
    type Slipped = fn(Direction) -> Direction;
    let slips: [(Slip, &str, Slipped); 4] = [
        (Slip::SignOfX, "sign of x", |p| Direction::new(-p.x_arcmin, p.y_arcmin)),
        (Slip::SignOfY, "sign of y", |p| Direction::new(p.x_arcmin, -p.y_arcmin)),
        (Slip::BothSigns, "both signs", |p| p * -1.0),
        (Slip::Swapped, "swapped", |p| Direction::new(p.y_arcmin, p.x_arcmin)),
    ];
    for (slip, word, slipped) in slips {
        let mut source = Source::seeded(3);
        let mut readings: Vec<Reading> = (0..8_u8)
            .map(|k| 45.0 * f64::from(k) + 5.0)
            .map(|deg| Reading::at_ring(deg, circle.at_ring(deg).unwrap() + source.direction(0.2)))
            .collect();
        // At ring 5° it points to (36.6′, 12.2′): no slip of it falls on another.
        readings[0].direction = slipped(readings[0].direction);
        let found = diagnose(&fit(&readings, Sense::With), &readings);
        let Some(Cause::Graticule { slip: named, .. }) = found[0].cause else {
            panic!("{:?}", found[0])
        };
        assert_eq!(named, Some(slip));
        assert!(slip.words().contains(word));
    }
}

/// Both channels as benches meet them: centres within 30′ of boresight, radii of 15′ to 45′ (common practice,
/// no source), eight readings each with 0.3′ of noise, from any angle on.
struct Both {
    circles: PerChannel<OffsetCircle>,
    readings: PerChannel<Vec<Reading>>,
}

impl Both {
    fn drawn(source: &mut Source) -> Self {
        let circles = PerChannel::from_fn(|_| OffsetCircle {
            centre: Direction::new(
                source.rectangular(-30.0, 30.0),
                source.rectangular(-30.0, 30.0),
            ),
            radius_arcmin: source.rectangular(15.0, 45.0),
            phase: Some(Phase { zero_deg: source.rectangular(0.0, 360.0), sense: Sense::With }),
        });
        let readings = PerChannel::from_fn(|channel| {
            let from_deg = source.rectangular(0.0, 45.0);
            let rings = (0..8_u8).map(|k| from_deg + 45.0 * f64::from(k));
            rings
                .map(|deg| {
                    let at: Direction = circles[channel].at_ring(deg).unwrap();
                    Reading::at_ring(deg, at + source.direction(0.3))
                })
                .collect()
        });
        Self { circles, readings }
    }

    /// What a right reading shows if it is the left crosshair's at the same ring angle.
    fn mistake(&mut self, of: Channel, place: usize, source: &mut Source) {
        let reading = &mut self.readings[of][place];
        let other = &self.circles[of.other()];
        let at = other.at_ring(reading.ring_deg.unwrap()).unwrap();
        reading.direction = at + source.direction(0.3);
    }

    fn looked(&self) -> PerChannel<Vec<Diagnosis>> {
        let fits = PerChannel::from_fn(|channel| fit(&self.readings[channel], Sense::With));
        diagnose_both(fits.as_ref().map(Some), &self.readings)
    }
}

fn of_other(found: &Diagnosis) -> bool {
    matches!(found.cause, Some(Cause::Graticule { slip: Some(Slip::OtherChannel), .. }))
}

/// A left reading typed under right is named so, whichever side, and when two were exchanged; where the two
/// channels' places happen to lie close together there is nothing to be told from. In clean rounds, and of
/// readings that were misread otherwise, it is all but never named.
#[test]
fn a_reading_of_the_other_channel_is_named() {
    let mut source = Source::seeded(26);
    let (mut named, mut of_named, mut exchanged, mut of_exchanged) = (0, 0, 0, 0);
    let (mut falsely, mut rings, mut clean) = (0, 0, 0);
    for _ in 0..2000 {
        let mut both = Both::drawn(&mut source);
        let apart = PerChannel::from_fn(|channel| {
            let reading = both.readings[channel][3];
            let there = both.circles[channel.other()].at_ring(reading.ring_deg.unwrap()).unwrap();
            reading.direction.distance_arcmin(there)
        });
        let untouched = Both { circles: both.circles, readings: both.readings.clone() };
        clean += untouched.looked().iter().filter(|(_, all)| all.iter().any(of_other)).count();

        // Apart by sixteen times the noise: a tenth of it is 1.6 times the noise of each axis.
        both.mistake(Channel::Right, 3, &mut source);
        let looked = both.looked();
        if apart.right > 5.0 {
            of_named += 1;
            named += usize::from(of_other(&looked.right[3]));
        }
        let others = looked.iter().flat_map(|(channel, all)| {
            all.iter().enumerate().filter(move |(k, _)| (channel, *k) != (Channel::Right, 3))
        });
        falsely += others.filter(|(_, found)| of_other(found)).count();
        both.mistake(Channel::Left, 3, &mut source);
        let looked = both.looked();
        if apart.left > 5.0 && apart.right > 5.0 {
            of_exchanged += 1;
            exchanged += usize::from(of_other(&looked.left[3]) && of_other(&looked.right[3]));
        }

        // Misread otherwise: by the graticule, anywhere within 60′; by the ring, anywhere round.
        let mut misread = Both { circles: untouched.circles, readings: untouched.readings.clone() };
        misread.readings.left[2].direction =
            Direction::new(source.rectangular(-60.0, 60.0), source.rectangular(-60.0, 60.0));
        falsely += usize::from(misread.looked().left.iter().any(of_other));
        let mut misread = Both { circles: untouched.circles, readings: untouched.readings };
        misread.readings.left[2].ring_deg = Some(source.rectangular(0.0, 360.0));
        rings += usize::from(misread.looked().left.iter().any(of_other));
    }
    assert_eq!(clean, 0);
    assert!(100 * named >= 99 * of_named && of_named > 1900, "{named} of {of_named} named");
    assert!(
        100 * exchanged >= 99 * of_exchanged && of_exchanged > 1900,
        "{exchanged} of {of_exchanged} pairs named"
    );
    // A tenth of how far off it lies is a hundredth of the area about it.
    assert!(falsely <= 20 && rings <= 20, "{falsely}, {rings} of 2000 named falsely");
}
