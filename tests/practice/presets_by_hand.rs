//! Every number of every preset's answer and of the derivations, by closed forms written out here that share no
//! code with the model. Circles: centre and decentre over the focal length (Prentice's rule, Arch. Ophthalmol.
//! 19 (1890) 128); crossings: the chord's foot; a chord: 2 r sin(α/2); the roll of pods: arccos of the hinge
//! (plane geometry, any textbook). Window 20′, 10′, 8′ and 40′, hinge 12 + 2 × 30 mm, set at 64 mm: the presets'
//! own givens.

use record::practice::explore::{ExploreAnswer, Preset};

/// Arcminutes for a millimetre at f = 27 mm.
const K: f64 = 3_437.746_770_784_939 / 27.0;
/// What the tangent bends a direction by, at most: X³/3 of some 100′, arcminutes.
const BENT: f64 = 0.03;

type Xy = [f64; 2];

fn answer(preset: Preset) -> ExploreAnswer {
    preset.answer(&preset.model().unwrap()).unwrap()
}

#[track_caller]
fn is(answer: &ExploreAnswer, name: &str, expected: f64, within: f64) {
    let found = answer.figure(name).unwrap_or_else(|| panic!("{name} in {answer:?}"));
    assert!((found - expected).abs() <= within, "{name}: {found}, not {expected}");
}

fn add(a: Xy, b: Xy) -> Xy {
    [a[0] + b[0], a[1] + b[1]]
}

fn times(a: Xy, s: f64) -> Xy {
    [a[0] * s, a[1] * s]
}

fn size(a: Xy) -> f64 {
    a[0].hypot(a[1])
}

/// The crossings of two circles in millimetres, as directions, the nearer to boresight first.
fn crossings(left: Xy, r: f64, right: Xy, s: f64) -> [Xy; 2] {
    let d = add(right, times(left, -1.0));
    let length = size(d);
    let foot = (length * length + r * r - s * s) / (2.0 * length);
    let half = (r * r - foot * foot).sqrt();
    let (along, across) = (times(d, 1.0 / length), [-d[1] / length, d[0] / length]);
    let mut places = [1.0, -1.0]
        .map(|sign| times(add(add(left, times(along, foot)), times(across, sign * half)), K));
    places.sort_by(|a, b| size(*a).total_cmp(&size(*b)));
    places
}

/// The share of the window that two directions use.
fn used(left: Xy, right: Xy) -> f64 {
    let m = add(right, times(left, -1.0));
    let b = times(add(left, right), 0.5);
    let sideways = if m[0] > 0.0 { m[0] / 10.0 } else { -m[0] / 20.0 };
    sideways.max(m[1].abs() / 8.0).max(size(b) / 40.0)
}

/// A direction carried round by a pod's roll, radians counter-clockwise.
fn rolled([x, y]: Xy, by: f64) -> Xy {
    let (sin, cos) = by.sin_cos();
    [x * cos - y * sin, x * sin + y * cos]
}

/// How far the pods roll from 64 mm to another distance, radians.
fn roll(ipd_mm: f64) -> f64 {
    let beta = |ipd: f64| ((ipd - 12.0) / 60.0).acos();
    beta(64.0) - beta(ipd_mm)
}

/// What a shared direction uses at another distance: left rolls by +ψ, right by −ψ.
fn used_at(shared: Xy, ipd_mm: f64) -> f64 {
    let psi = roll(ipd_mm);
    used(rolled(shared, psi), rolled(shared, -psi))
}

#[test]
fn matched_bores() {
    let told = answer(Preset::MatchedBores);
    let centre = times([0.09, -0.06], K);
    let away = 0.20 * K - size(centre);
    // Beyond boresight on the line through the centre.
    let place = times(centre, -away / size(centre));
    is(&told, "centres_apart_arcmin", 0.0, 1e-9);
    is(&told, "boresight_arcmin", away, 1e-9);
    is(&told, "window_use", used(place, place), 1e-9);
    is(&told, "use_at_narrow", used_at(place, 56.0), 1e-9);
    is(&told, "use_at_wide", used_at(place, 72.0), 1e-9);
}

#[test]
fn one_bore_off() {
    let told = answer(Preset::BarelyMeeting);
    let room_mm = 0.40 - size([0.39, 0.05]);
    is(&told, "room_mm", room_mm, 1e-12);
    is(&told, "bore_mm", room_mm / 2.0, 1e-12);
    is(&told, "room_arcmin", room_mm * K, 1e-9);
    let [a, b] = crossings([0.0, 0.0], 0.20, [0.39, 0.05], 0.20);
    is(&told, "crossings_apart_arcmin", size(add(a, times(b, -1.0))), 1e-8);
}

/// The misalignments that can be reached lie no nearer to D = c_R − c_L than r_L − r_R; the window box grown by
/// u reaches that circle first with the corner farthest from D, up and to the left: (20 u + D_x)² + (8 u − D_y)²
/// = (r_L − r_R)², a quadratic in u. The boresight share there is less.
#[test]
fn nested() {
    let told = answer(Preset::Nested);
    let d = times([0.02, -0.08], K);
    let gap = 0.24 * K - size(d);
    is(&told, "gap_arcmin", gap, 1e-9);
    is(&told, "shim_mm", gap / K / 2.0, 1e-12);
    let (a, b) = (20.0 * 20.0 + 8.0 * 8.0, 2.0 * (20.0 * d[0] - 8.0 * d[1]));
    let c = d[0] * d[0] + d[1] * d[1] - (0.24 * K) * (0.24 * K);
    let u = (-b + (b * b - 4.0 * a * c).sqrt()) / (2.0 * a);
    // Both circles' points lie along one line there, on the far side of m.
    let m = [-20.0 * u, 8.0 * u];
    let e = times(add(m, times(d, -1.0)), -1.0 / (0.24 * K));
    let left = add(times([0.0, 0.05], K), times(e, 0.30 * K));
    let right = add(times([0.02, -0.03], K), times(e, 0.06 * K));
    assert!((used(left, right) - u).abs() < 1e-9, "that setting uses {u}");
    // The search proves its minimum to a millionth.
    is(&told, "window_use", u, 1e-5);
}

#[test]
fn two_crossings() {
    let told = answer(Preset::OneGoodCrossing);
    let [near, far] = crossings([0.14, 0.17], 0.24, [-0.10, 0.21], 0.22);
    is(&told, "nearer_arcmin", size(near), 1e-9);
    is(&told, "farther_arcmin", size(far), 1e-9);
    is(&told, "nearer_use", used(near, near), 1e-9);
    is(&told, "farther_use", used(far, far), 1e-9);
}

/// Safe whichever way it lies: 2 |X| sin ψ within the least limit, 8′, at the widest roll, and |X| within 40′.
#[test]
fn fine_at_one_distance() {
    let told = answer(Preset::OneDistanceOnly);
    let [near, _] = crossings([0.10, 0.33], 0.20, [-0.10, 0.34], 0.20);
    is(&told, "boresight_arcmin", size(near), 1e-9);
    is(&told, "use_as_set", used(near, near), 1e-9);
    is(&told, "use_at_narrow", used_at(near, 56.0), 1e-9);
    is(&told, "use_at_wide", used_at(near, 72.0), 1e-9);
    let widest = roll(56.0).abs().max(roll(72.0).abs());
    is(&told, "swing_safe_arcmin", (8.0 / (2.0 * widest.sin())).min(40.0), 1e-9);
}

/// Prentice: 3 mm × 1.5 dioptres = 4.5 mrad to the right in the right eye, nothing in the left.
#[test]
fn a_dioptre_off() {
    let told = answer(Preset::DioptreError);
    let [place, _] = crossings([0.15, 0.15], 0.22, [-0.18, 0.10], 0.21);
    let shift = 4.5e-3 * 3_437.746_770_784_939;
    is(&told, "right_shift_arcmin", shift, 1e-9);
    is(&told, "left_shift_arcmin", 0.0, 1e-12);
    is(&told, "apart_arcmin", shift, BENT);
    is(&told, "apart_at_zero_arcmin", 0.0, BENT);
    is(&told, "window_use", used(place, add(place, [shift, 0.0])), BENT / 8.0);
    is(&told, "window_use_at_zero", used(place, place), BENT / 8.0);
}

/// Reached from the other side the cell stands 8° farther on: the right crosshair is carried clockwise round its
/// centre by as much.
#[test]
fn ring_play() {
    let told = answer(Preset::RingPlay);
    let (left, right) = ([-0.34, 0.02], [0.10, 0.33]);
    let [place, _] = crossings(left, 0.35, right, 0.35);
    let centre = times(right, K);
    let moved = add(centre, rolled(add(place, times(centre, -1.0)), -8.0_f64.to_radians()));
    is(&told, "off_arcmin", 2.0 * 0.35 * K * 4.0_f64.to_radians().sin(), BENT);
    is(&told, "use_same_side", used(place, place), BENT / 8.0);
    is(&told, "use_other_side", used(place, moved), BENT / 8.0);
}

#[test]
fn a_wrong_flip() {
    let told = answer(Preset::WrongFlip);
    is(&told, "runs_against", 1.0, 0.0);
    is(&told, "true_x_arcmin", 0.16 * K, 1e-9);
    is(&told, "shown_x_arcmin", -0.16 * K, BENT);
    is(&told, "after_shim_x_arcmin", 0.32 * K, BENT);
}

/// All numbers that stand in a text, in order.
fn numbers(text: &str) -> Vec<f64> {
    let text = text.replace('−', "-").replace('\u{a0}', " ");
    let parts = text.split(|c: char| !(c.is_ascii_digit() || c == '.' || c == '-'));
    parts.filter_map(|part| part.trim_end_matches('.').parse().ok()).collect()
}

/// The lines of both presets that end in crossings: distance of the centres, the chord's foot and half, both
/// places and how far out; and how the swing splits the nearer.
#[test]
fn derivations_of_crossings() {
    for (preset, left, r, right, s) in [
        (Preset::OneGoodCrossing, [0.14, 0.17], 0.24, [-0.10, 0.21], 0.22),
        (Preset::OneDistanceOnly, [0.10, 0.33], 0.20, [-0.10, 0.34], 0.20),
    ] {
        let lines = preset.derivation(&preset.model().unwrap()).unwrap();
        let of = |part: &str| -> Vec<_> {
            let found: Vec<_> = lines.iter().filter(|line| line.formula.contains(part)).collect();
            assert!(!found.is_empty(), "{part} in {lines:?}");
            found
        };
        // To a decimal, as it stands there.
        let says = |text: &str, expected: &[f64]| {
            let found = numbers(text);
            assert_eq!(found.len(), expected.len(), "{text}");
            let near = found.iter().zip(expected).all(|(a, b)| (a - b).abs() <= 0.0501);
            assert!(near, "{preset:?}: {text}, not {expected:?}");
        };
        let d = size(add(right, times(left, -1.0)));
        let foot = (d * d + r * r - s * s) / (2.0 * d);
        let half = (r * r - foot * foot).sqrt();
        says(&of("left centre = ")[0].result, &times(left, K));
        says(&of("right centre = ")[0].result, &times(right, K));
        says(&of("left radius")[0].result, &[r * K]);
        says(&of("right radius")[0].result, &[s * K]);
        says(&of("distance d")[0].result, &[d * K]);
        says(&of("chord's foot")[0].result, &[foot * K]);
        says(&of("half the chord")[0].result, &[half * K]);
        let mut told: Vec<(Vec<f64>, Vec<f64>)> = of("crossing = ")
            .iter()
            .map(|line| (numbers(&line.put_in), numbers(&line.result)))
            .collect();
        told.sort_by(|a, b| a.1[0].total_cmp(&b.1[0]));
        for ((place, away), expected) in told.iter().zip(crossings(left, r, right, s)) {
            let off = size(add([place[0], place[1]], times(expected, -1.0)));
            assert!(off < 0.1 && (away[0] - size(expected)).abs() <= 0.0501, "{place:?} {away:?}");
        }
        if preset == Preset::OneDistanceOnly {
            let [near, _] = crossings(left, r, right, s);
            for (ipd_mm, roll_line, split) in [56.0, 72.0]
                .into_iter()
                .zip(of("the pods roll"))
                .zip(of("splits a shared"))
                .map(|((ipd, line), split)| (ipd, line, split))
            {
                let psi = roll(ipd_mm);
                let [told] = numbers(&roll_line.result)[..] else { panic!("{roll_line:?}") };
                assert!((told - psi.to_degrees()).abs() <= 0.00501, "{told}");
                says(&split.result, &[2.0 * size(near) * psi.sin().abs()]);
            }
        }
    }
}
