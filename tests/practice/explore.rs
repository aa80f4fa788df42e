//! Each preset's claim, from its millimetres, against formulas written out here: Prentice's rule for
//! decentred lenses and dioptres (Arch. Ophthalmol. 19 (1890) 128), plane geometry for circles.

use record::Channel;
use record::practice::explore::{ExploreAnswer, Model, Plane, Preset};
use solver::optics::{Lateral, ShimEnds};
use solver::{Direction, Relation};

/// Arcminutes for a millimetre at the eyepiece's focus, f = 27 mm: 3437.746 770 784 939′/27.
const ARCMIN_PER_MM: f64 = 3_437.746_770_784_939 / 27.0;

fn asked(preset: Preset) -> (Model, ExploreAnswer) {
    let model = preset.model().unwrap();
    let answer = preset.answer(&model).unwrap();
    (model, answer)
}

fn figure(answer: &ExploreAnswer, name: &str) -> f64 {
    answer.figure(name).unwrap_or_else(|| panic!("{name} in {answer:?}"))
}

fn close(found: f64, expected: f64) {
    // Sums of a dozen roundings of numbers below a thousand.
    assert!((found - expected).abs() < 1e-9, "{found}, not {expected}");
}

#[test]
fn every_preset_has_a_name_a_question_and_an_answer_of_its_own() {
    let mut seen = Vec::new();
    for preset in Preset::ALL {
        let (_, answer) = asked(preset);
        assert!(preset.question().ends_with('?'), "{preset:?}");
        assert!(answer.words.ends_with('.') && !answer.words.contains("NaN"), "{}", answer.words);
        assert!(!answer.words.contains("full−length"), "{}", answer.words);
        assert!(answer.figures.iter().all(|figure| figure.value.is_finite()));
        for text in [preset.name().to_owned(), preset.question().to_owned(), answer.words] {
            assert!(!seen.contains(&text), "{text}");
            seen.push(text);
        }
    }
}

#[test]
fn matched_bores_meet_all_round() {
    let (model, answer) = asked(Preset::MatchedBores);
    assert_eq!(model.meeting().unwrap().relation, Relation::Coincident);
    // Nearest place of a circle of 0.20 mm about (0.09, −0.06) mm: 0.20 − 0.108 mm from boresight.
    let away = (0.20 - 0.09_f64.hypot(0.06)) * ARCMIN_PER_MM;
    close(figure(&answer, "boresight_arcmin"), away);
    close(figure(&answer, "window_use"), away / 40.0);
    // The place lies on the line of centre and boresight, beyond boresight: its direction is the centre's,
    // turned round. The swing splits it, and the answer no longer says that it costs nothing.
    let (sin, cos) = (-0.09_f64 / 0.09_f64.hypot(0.06), 0.06 / 0.09_f64.hypot(0.06));
    let place = [away * sin, away * cos];
    close(figure(&answer, "use_at_narrow"), used_over_swing(place, 56.0));
    close(figure(&answer, "use_at_wide"), used_over_swing(place, 72.0));
    assert!(figure(&answer, "use_at_wide") > 1.0 && !answer.words.contains("costs nothing"));
    assert!(answer.words.contains("121 % at 72 mm"), "{}", answer.words);
}

/// Window use of a shared direction, arcminutes, at another interpupillary distance than 64 mm: written out
/// from the hinge (spread 12, arm 30), the roll of each pod and the window (20, 10, 8, 40).
fn used_over_swing([x, y]: [f64; 2], ipd_mm: f64) -> f64 {
    let beta = |ipd: f64| ((ipd - 12.0) / 60.0).acos();
    let psi = beta(64.0) - beta(ipd_mm);
    let (sin, cos) = psi.sin_cos();
    // Left rolls by +ψ, right by −ψ: m = p_R − p_L = (2 y sin ψ, −2 x sin ψ).
    let (across, up) = (2.0 * y * sin, -2.0 * x * sin);
    let sideways = if across > 0.0 { across / 10.0 } else { -across / 20.0 };
    sideways.max(up.abs() / 8.0).max(x.hypot(y) * cos / 40.0)
}

/// Where two circles cross: distances in mm at f = 27, by the chord's foot (any geometry book).
fn crossings_mm(d: [f64; 2], left: [f64; 2], r: f64, s: f64) -> [[f64; 2]; 2] {
    let length = d[0].hypot(d[1]);
    let along = (length * length + r * r - s * s) / (2.0 * length);
    let half = (r * r - along * along).sqrt();
    let unit = [d[0] / length, d[1] / length];
    [1.0, -1.0].map(|sign| {
        [
            left[0] + along * unit[0] - sign * half * unit[1],
            left[1] + along * unit[1] + sign * half * unit[0],
        ]
    })
}

/// One bore is off, as the name says, and the answer tells a whole bore from one end.
#[test]
fn one_bore_off_is_one_bore() {
    let (mut model, answer) = asked(Preset::BarelyMeeting);
    let left = model.channels.left.placed;
    assert_eq!((left.tube_in, left.tube_out), (Lateral::default(), Lateral::default()));
    let bore_mm = figure(&answer, "bore_mm");
    close(bore_mm, (0.40 - 0.39_f64.hypot(0.05)) / 2.0);
    // So much at both ends parts them, a hair less does not.
    let unit = Lateral::new(0.39, 0.05) * (1.0 / 0.39_f64.hypot(0.05));
    for (more, relation) in [(1e-6, Relation::Separate), (-1e-6, Relation::Crossing)] {
        let right = &mut model.channels.right.placed;
        let before = *right;
        right.tube_in = right.tube_in + unit * (bore_mm + more);
        right.tube_out = right.tube_out + unit * (bore_mm + more);
        assert_eq!(model.meeting().unwrap().relation, relation);
        model.channels.right.placed = before;
    }
    assert!(
        answer.words.contains("0.0034 mm more bore error, at both ends alike"),
        "{}",
        answer.words
    );
}

#[test]
fn both_crossings_are_where_the_chord_says() {
    let (_, answer) = asked(Preset::OneGoodCrossing);
    let places = crossings_mm([-0.24, 0.04], [0.14, 0.17], 0.24, 0.22);
    let mut away = places.map(|[x, y]| x.hypot(y) * ARCMIN_PER_MM);
    away.sort_by(f64::total_cmp);
    close(figure(&answer, "nearer_arcmin"), away[0]);
    close(figure(&answer, "farther_arcmin"), away[1]);
    // At a crossing only the boresight limit is used: 40′.
    close(figure(&answer, "nearer_use"), away[0] / 40.0);
    close(figure(&answer, "farther_use"), away[1] / 40.0);
}

/// What a user will see is said in what is seen, not in per cent alone.
#[test]
fn double_at_another_distance_is_said_as_it_is_seen() {
    let (_, answer) = asked(Preset::OneDistanceOnly);
    let places = crossings_mm([-0.20, 0.01], [0.10, 0.33], 0.20, 0.20);
    let near = places.into_iter().min_by(|a, b| a[0].hypot(a[1]).total_cmp(&b[0].hypot(b[1])));
    let place = near.unwrap().map(|mm| mm * ARCMIN_PER_MM);
    close(figure(&answer, "boresight_arcmin"), place[0].hypot(place[1]));
    close(figure(&answer, "use_at_narrow"), used_over_swing(place, 56.0));
    close(figure(&answer, "use_at_wide"), used_over_swing(place, 72.0));
    for words in ["At 56 mm the eyes must", "At 72 mm the eyes must", "image"] {
        assert!(answer.words.contains(words), "{}", answer.words);
    }
}

/// What each derivation comes to, against values worked out by hand from the preset's millimetres; not every
/// line of it.
#[test]
fn a_derivation_is_what_its_numbers_make() {
    for preset in Preset::ALL {
        let lines = preset.derivation(&preset.model().unwrap()).unwrap();
        assert!(lines.len() >= 5, "{preset:?}");
        let find = |part: &str| {
            lines
                .iter()
                .find(|line| line.formula.contains(part))
                .unwrap_or_else(|| panic!("{part}"))
        };
        match preset {
            Preset::MatchedBores => {
                assert_eq!(find("left centre").result, "11.5′, −7.6′");
                assert_eq!(find("left radius").result, "25.5′");
                assert_eq!(find("nearest place").result, "11.7′");
                // β₀ = arccos(52/60) = 29.926°, β = 0 at 72 mm.
                assert_eq!(find("at 72 mm").result, "29.93°");
            }
            Preset::BarelyMeeting => {
                assert_eq!(find("room =").result, "0.87′");
                assert_eq!(find("both ends").result, "0.0034 mm");
            }
            Preset::Nested => assert_eq!(find("full-length shim").result, "0.079 mm"),
            Preset::DioptreError => {
                // 3 mm × 1.5 D × 3.438′ = 15.5′; the left eye's dioptre is at zero.
                assert_eq!(find("right shift").result, "15.5′, 0.0′");
                assert_eq!(find("left shift").result, "0.0′, 0.0′");
            }
            // 2 × 44.56′ × sin 4° = 6.2′.
            Preset::RingPlay => assert_eq!(find("chord").result, "6.2′"),
            Preset::WrongFlip => assert_eq!(find("a shim").result, "40.7′"),
            Preset::OneGoodCrossing | Preset::OneDistanceOnly => {
                assert_eq!(
                    lines.iter().filter(|line| line.formula.contains("crossing =")).count(),
                    2
                );
            }
        }
    }
}

/// Panel and plot recommend the same place, whatever was moved: circles that are contained, and a crossing
/// that is outside the window.
#[test]
fn panel_and_plot_recommend_the_same() {
    let mut moved = Preset::MatchedBores.model().unwrap();
    moved.channels.left.decentre = Lateral::toward_clock(0.10, 30.0);
    for model in [moved, Preset::BarelyMeeting.model().unwrap(), Preset::Nested.model().unwrap()] {
        let place = model.place().unwrap();
        let solution = solver::solve(&model.as_logged().unwrap()).unwrap();
        let setting = solution.setting.unwrap();
        for channel in Channel::BOTH {
            // The tangent bends circles by X³/3: below 0.02′ here.
            let off = setting.points[channel].distance_arcmin(place[channel]);
            assert!(off < 0.1, "{channel}: {off}");
        }
    }
}

#[test]
fn barely_meeting_circles_part_at_the_bore_error_said() {
    let (mut model, answer) = asked(Preset::BarelyMeeting);
    let room_mm = 0.40 - 0.39_f64.hypot(0.05);
    close(figure(&answer, "room_mm"), room_mm);
    assert!(room_mm < 0.01 && figure(&answer, "crossings_apart_arcmin") < 15.0);
    assert_eq!(model.meeting().unwrap().relation, Relation::Crossing);
    // So much more along the line of centres, and a hair.
    let along = 1.0 + (room_mm + 1e-6) / 0.39_f64.hypot(0.05);
    let step = Lateral::new(0.39, 0.05) * (along - 1.0);
    let right = &mut model.channels.right.placed;
    right.tube_in = right.tube_in + step;
    assert_eq!(model.meeting().unwrap().relation, Relation::Separate);
    let words = Preset::BarelyMeeting.answer(&model).unwrap().words;
    assert!(words.starts_with("They do not meet"), "{words}");
}

#[test]
fn nested_circles_meet_with_the_shim_said_and_not_without() {
    let (mut model, answer) = asked(Preset::Nested);
    assert_eq!(model.meeting().unwrap().relation, Relation::Contained);
    let gap_mm = 0.30 - 0.06 - 0.02_f64.hypot(0.08);
    close(figure(&answer, "gap_arcmin"), gap_mm * ARCMIN_PER_MM);
    close(figure(&answer, "shim_mm"), gap_mm / 2.0);
    assert!(figure(&answer, "window_use") > 1.0);
    // Pushing the small circle outward, along the line of centres; 1 µm less does not do, more does.
    let outward = Lateral::new(0.02, -0.08);
    let clock_deg = (outward * -1.0).clock_deg();
    for (extra_mm, meets) in [(-0.001, false), (0.001, true)] {
        model.channels.right.shims = vec![record::practice::explore::ModelShim {
            ends: ShimEnds::Both,
            thickness_mm: gap_mm / 2.0 + extra_mm,
            clock_deg,
        }];
        assert_eq!(model.meeting().unwrap().crossings().next().is_some(), meets, "{extra_mm}");
    }
}

#[test]
fn of_two_crossings_one_is_inside_and_one_outside() {
    let (model, answer) = asked(Preset::OneGoodCrossing);
    let (near, far) = (figure(&answer, "nearer_use"), figure(&answer, "farther_use"));
    assert!(near < 0.5 && far > 1.2, "{near} {far}");
    // Both lie on both circles.
    let circles = model.circles();
    for crossing in model.meeting().unwrap().crossings() {
        for circle in [circles.left, circles.right] {
            close(crossing.point.distance_arcmin(circle.centre), circle.radius_arcmin);
        }
    }
}

#[test]
fn a_far_crossing_is_right_at_one_distance_only() {
    let (model, answer) = asked(Preset::OneDistanceOnly);
    assert!(figure(&answer, "use_as_set") < 1.0, "{}", answer.words);
    let [narrow, wide] = ["use_at_narrow", "use_at_wide"].map(|name| figure(&answer, name));
    assert!(narrow.max(wide) > 2.0, "{}", answer.words);
    // ipd = 12 + 60 cos β: the pods roll by the difference of β, and X splits by 2 X sin ψ.
    let beta = |ipd: f64| ((ipd - 12.0) / 60.0).acos();
    let place = model.place().unwrap().left;
    for (ipd_mm, used) in [(56.0, narrow), (72.0, wide)] {
        let sin = (beta(64.0) - beta(ipd_mm)).sin();
        let cos = (beta(64.0) - beta(ipd_mm)).cos();
        // m = (2 y sin ψ, −2 x sin ψ).
        let (x, y) = (2.0 * place.y_arcmin * sin, -2.0 * place.x_arcmin * sin);
        let sideways = if x > 0.0 { x / 10.0 } else { -x / 20.0 };
        let shared = place.boresight_arcmin() * cos / 40.0;
        close(used, sideways.max(y.abs() / 8.0).max(shared));
    }
    let safe = figure(&answer, "swing_safe_arcmin");
    assert!(safe < figure(&answer, "boresight_arcmin"));
}

#[test]
fn a_dioptre_error_goes_away_with_the_dioptre_and_not_with_the_rings() {
    let (_, answer) = asked(Preset::DioptreError);
    // 3 mm off the axis at 1.5 dioptres: 4.5 mrad = 15.47′.
    let shift = 3.0 * 1.5 * 3.437_746_770_784_939;
    assert!(answer.words.contains("at 1.5 D with the eye 3.0 mm off its axis, which makes 15.5′"));
    close(figure(&answer, "right_shift_arcmin"), shift);
    close(figure(&answer, "left_shift_arcmin"), 0.0);
    // The rest is what the small-angle circle leaves, X³/3 of each channel: below 0.01′ here.
    assert!((figure(&answer, "apart_arcmin") - shift).abs() < 0.02, "{}", answer.words);
    assert!(figure(&answer, "window_use") > 1.0);
    assert!(figure(&answer, "apart_at_zero_arcmin") < 0.02);
    assert!(figure(&answer, "window_use_at_zero") < 0.5);
}

#[test]
fn light_that_diverges_shows_the_right_eye_more_to_the_left() {
    let mut model = Preset::DioptreError.model().unwrap();
    model.channels.right.dioptre = -1.0;
    model.channels.right.eye_off = Lateral::new(1.0, 0.0);
    let shift = model.channels.right.dioptre_shift();
    // As from a point one metre off: 1 mm in 1 m.
    close(shift.x_arcmin, -3.437_746_770_784_939);
}

#[test]
fn play_moves_a_crosshair_by_its_chord() {
    let (_, answer) = asked(Preset::RingPlay);
    // 2 r sin(play/2), r = 0.35 mm, 8°; the tangent bends it by 0.1 % at most (X²/3, X up to 100′).
    let chord = 2.0 * 0.35 * ARCMIN_PER_MM * 4.0_f64.to_radians().sin();
    let off = figure(&answer, "off_arcmin");
    assert!((off / chord - 1.0).abs() < 1e-3, "{off}, not {chord}");
    assert!(figure(&answer, "use_same_side") < 0.7);
    assert!(figure(&answer, "use_other_side") > figure(&answer, "use_same_side") + 0.2);
}

#[test]
fn a_wrong_flip_runs_against_the_ring_and_sends_a_shim_astray() {
    let (mut model, answer) = asked(Preset::WrongFlip);
    assert_eq!(figure(&answer, "runs_against"), 1.0);
    let true_x = 0.16 * ARCMIN_PER_MM;
    close(figure(&answer, "true_x_arcmin"), true_x);
    // Mirrored; the fit is to exact points, which the tangent moves by less than 0.01′.
    assert!((figure(&answer, "shown_x_arcmin") + true_x).abs() < 0.01);
    assert!((figure(&answer, "after_shim_x_arcmin") - 2.0 * true_x).abs() < 0.01);
    model.channels.left.map_flipped = false;
    let put_right = Preset::WrongFlip.answer(&model).unwrap();
    assert_eq!(put_right.figure("runs_against"), Some(0.0));
    assert!((put_right.figure("shown_x_arcmin").unwrap() - true_x).abs() < 0.01);
}

/// The exact model against the formula written out: tan θ′ = Σ/f_e, play and shims included.
#[test]
fn what_a_model_shows_is_what_its_millimetres_make() {
    for preset in Preset::ALL {
        let mut model = preset.model().unwrap();
        model.channels.left.shims = vec![record::practice::explore::ModelShim {
            ends: ShimEnds::Front,
            thickness_mm: 0.03,
            clock_deg: 90.0,
        }];
        for channel in Channel::BOTH {
            let made = &model.channels[channel];
            for ring_deg in [0.0, 111.0, 359.0_f64] {
                let angle = (ring_deg - 0.5 * made.ring_play_deg).to_radians();
                let (sin, cos) = angle.sin_cos();
                let cell = [
                    cos * made.decentre.x_mm + sin * made.decentre.y_mm,
                    cos * made.decentre.y_mm - sin * made.decentre.x_mm,
                ];
                let shim_mm = if channel == Channel::Left { -0.03 } else { 0.0 };
                let seat = made.placed.tube_in + made.placed.tube_out;
                let seen = |sum_mm: f64| (sum_mm / 27.0).atan() * 3_437.746_770_784_939;
                let expected =
                    Direction::new(seen(seat.x_mm + shim_mm - cell[0]), seen(seat.y_mm - cell[1]))
                        + made.dioptre_shift();
                let found = model.point(channel, ring_deg, true);
                assert!(found.distance_arcmin(expected) < 1e-9, "{preset:?} {channel}");
                let shown = model.shown(channel, ring_deg, true);
                let sign = if made.map_flipped { -1.0 } else { 1.0 };
                close(shown.x_arcmin, sign * found.x_arcmin);
                close(shown.y_arcmin, found.y_arcmin);
            }
        }
    }
}

#[test]
fn numbers_a_hand_may_type_never_break_an_answer() {
    for preset in Preset::ALL {
        for value in [0.0, 1e-300, 1e6, f64::INFINITY, f64::NAN] {
            let mut model = preset.model().unwrap();
            for channel in Channel::BOTH {
                model.channels[channel].decentre = Lateral::new(value, 0.0);
                model.channels[channel].dioptre = value;
                model.channels[channel].ring_play_deg = value;
            }
            // An answer or a refusal in words.
            match preset.answer(&model) {
                Ok(answer) => assert!(!answer.words.is_empty()),
                Err(why) => assert!(!why.to_string().is_empty()),
            }
        }
    }
}

/// By hand: the tube turns the image about its own axis, and the eye sees
/// tan θ′ = (c_in + c_out + q − c_o − c_e)/f_e.
#[test]
fn a_section_bends_the_ray_as_the_formula_says() {
    let mut model = Preset::MatchedBores.model().unwrap();
    let right = &mut model.channels.right;
    right.placed.objective = Lateral::new(0.11, -0.04);
    right.placed.tube_in = Lateral::new(-0.05, 0.10);
    right.placed.tube_out = Lateral::new(0.02, 0.03);
    right.placed.tube_image = Lateral::new(0.06, -0.02);
    right.placed.eyepiece = Lateral::new(0.01, 0.07);
    // 0.20 mm toward 90° at ring zero, a quarter turn on: toward 180°, straight down.
    right.decentre = Lateral::new(0.20, 0.0);
    // 0.05 mm under the left of the front end pushes it to the right.
    right.shims = vec![record::practice::explore::ModelShim {
        ends: ShimEnds::Front,
        thickness_mm: 0.05,
        clock_deg: 270.0,
    }];
    for (plane, sums) in [
        // c_o, c_in with shim, c_out, q, c_e, cell
        (Plane::Across, [0.11, 0.0, 0.02, 0.06, 0.01, 0.0]),
        (Plane::Up, [-0.04, 0.10, 0.03, -0.02, 0.07, -0.20]),
    ] {
        let [objective, tube_in, tube_out, offset, axis, cell] = sums;
        let section = model.section(Channel::Right, plane, 90.0, true);
        let close = |found: f64, expected: f64| {
            assert!((found - expected).abs() < 1e-12, "{plane:?}: {found}, not {expected}");
        };
        close(section.tube[0], tube_in);
        close(section.lens, axis + cell);
        let [.., screen, input, output, lens, eye] = section.ray;
        close(screen[1], objective);
        close(output[1] - tube_out - offset, -(input[1] - tube_in));
        let seen = ((tube_in + tube_out + offset - objective - axis - cell) / 27.0).atan();
        close(section.seen_arcmin, seen * 3_437.746_770_784_939);
        // The eye looks back along the ray that reaches it.
        close((lens[1] - eye[1]) / (eye[0] - lens[0]), seen.tan());
        close(output[0], section.tube_at[1]);
    }
}

/// A dioptre error and a wrong flip are in what a bench logs, and the circle with them.
#[test]
fn a_model_is_logged_as_its_station_shows_it() {
    let plain = Preset::WrongFlip.model().unwrap();
    let solution = solver::solve(&plain.as_logged().unwrap()).unwrap();
    let fit = solution.fits.left.as_ref().unwrap();
    let true_centre = plain.circles().left.centre;
    // The exact tangent against the small-angle circle: X³/3 at 50′ is below 0.01′.
    assert!((fit.circle.centre.x_arcmin + true_centre.x_arcmin).abs() < 0.01);
    assert!((fit.circle.centre.y_arcmin - true_centre.y_arcmin).abs() < 0.01);
    let off = Preset::DioptreError.model().unwrap();
    let solution = solver::solve(&off.as_logged().unwrap()).unwrap();
    let fit = solution.fits.right.as_ref().unwrap();
    // Prentice: 3 mm × 1.5 dioptres = 4.5 mrad.
    let shift = fit.circle.centre.x_arcmin - off.circles().right.centre.x_arcmin;
    assert!((shift - 4.5e-3 * 3_437.746_770_784_939).abs() < 0.01, "{shift}");
    let rings = Preset::RingPlay.model().unwrap().rings_as_logged().unwrap();
    assert!([rings.left, rings.right].iter().all(|deg| (0.0..360.0).contains(deg)));
}
