//! Readings that do not fit, as a technician makes them: nothing is green, no ± and no chance stand as if they
//! held, and the slip is pointed at.

use egui::{Key, Modifiers};
use samepoint::testing::Tone;
use solver::{Channel, Direction, OffsetCircle, PerChannel, Phase, Sense};

use crate::bench::Bench;
use crate::session::begin;

fn circles() -> PerChannel<OffsetCircle> {
    let circle = |x: f64, y: f64, radius_arcmin: f64, zero_deg: f64| OffsetCircle {
        centre: Direction::new(x, y),
        radius_arcmin,
        phase: Some(Phase { zero_deg, sense: Sense::With }),
    };
    PerChannel { left: circle(10.0, 4.0, 30.0, 200.0), right: circle(-6.0, -3.0, 28.0, 80.0) }
}

/// What a hand types of a reading: ring, x, y.
type Read = (f64, [f64; 2]);

/// What goes wrong with them.
type Slip = fn(&mut PerChannel<Vec<Read>>);

fn six(channel: Channel) -> Vec<Read> {
    (0..6)
        .map(|k| {
            let deg = 60.0 * f64::from(k);
            let at = circles()[channel].at_ring(deg).unwrap();
            // A tenth or so this way and that.
            let off = |phase: f64| 0.12 * (f64::from(k) * 2.4 + phase).sin();
            (deg, [at.x_arcmin + off(0.0), at.y_arcmin + off(1.6)])
        })
        .collect()
}

fn log(bench: &mut Bench, readings: PerChannel<Vec<Read>>) {
    for (channel, letter) in [(Channel::Left, "l"), (Channel::Right, "r")] {
        bench.type_text(letter);
        for (deg, [x, y]) in &readings[channel] {
            bench.keys(Modifiers::SHIFT, Key::Tab);
            bench.keys(Modifiers::COMMAND, Key::A);
            bench.enter(&format!("{deg}"));
            bench.enter(&format!("{x:.1}"));
            bench.enter(&format!("{y:.1}"));
        }
    }
}

/// A session at the demo station, which states σ, with these readings.
fn bench_with(home: &std::path::Path, readings: PerChannel<Vec<Read>>) -> Bench {
    let mut bench = begin(Bench::open(home, None));
    log(&mut bench, readings);
    bench
}

#[test]
fn clean_readings_are_green_with_their_interval() {
    let home = tempfile::tempdir().unwrap();
    let readings = PerChannel { left: six(Channel::Left), right: six(Channel::Right) };
    let bench = bench_with(home.path(), readings);
    let picture = bench.app().session().unwrap().picture();
    assert_eq!(picture.verdict.tone, Tone::Good, "{}", picture.verdict.text);
    assert!(picture.judged && picture.rings.left.known_to.is_some());
}

#[test]
fn no_slip_is_green_and_none_has_an_interval() {
    let slips: [(&str, Slip); 5] = [
        ("a ring misread by 60°", |all| all.left[2].0 = 180.0),
        ("x and y exchanged", |all| all.right[1].1.swap(0, 1)),
        ("a forgotten sign", |all| all.left[4].1[0] *= -1.0),
        ("the other channel", |all| all.left[3].1 = all.right[3].1),
        ("20′ off", |all| all.right[5].1[1] += 20.0),
    ];
    for (slip, make) in slips {
        let home = tempfile::tempdir().unwrap();
        let mut readings = PerChannel { left: six(Channel::Left), right: six(Channel::Right) };
        make(&mut readings);
        let mut bench = bench_with(home.path(), readings);
        let picture = bench.app().session().unwrap().picture();
        assert!(!picture.judged, "{slip}");
        assert_eq!(picture.verdict.tone, Tone::Look, "{slip}: {}", picture.verdict.text);
        assert!(picture.verdict.text.contains("nothing is judged"), "{slip}");
        assert!(picture.slack.is_none() && picture.swing.is_none(), "{slip}");
        for channel in Channel::BOTH {
            assert_eq!(picture.rings[channel].known_to, None, "{slip}");
        }
        let advice = bench.app().session().unwrap().advice().stand_out.clone();
        assert!(!advice.is_empty(), "{slip}: no reading is pointed at");
        // The bars say that nothing is judged, and the views that colour the window draw nothing.
        assert!(bench.says("side to side") && bench.says("not judged"), "{slip}");
        bench.keys(Modifiers::ALT, Key::Num3);
        assert!(bench.says("nothing is judged"), "{slip}: the ring map");
        bench.keys(Modifiers::ALT, Key::Num1);
        bench.wait_saved().unwrap();
        let path = bench.app().session().unwrap().file().path().to_owned();
        let account = record::review(&path, &record::RealDisk).unwrap();
        let words = account.words();
        assert!(words.contains("nothing that rests on that circle is judged"), "{slip}: {words}");
    }
}
