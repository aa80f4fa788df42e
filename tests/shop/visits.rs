//! Units that come several times are no independent evidence: simulated shops in which nothing is the
//! matter, whose units each bring their own share along at every visit.

use rand::rngs::ChaCha8Rng;
use rand::{RngExt, SeedableRng};
use record::shop::survey::centres::HousingCentres;
use record::shop::survey::differ::Quantity;
use record::shop::survey::drift::Drift;
use record::{By, Channel, PerChannel, SessionSummary, ShimSeen, Survey};
use solver::Direction;

const SHOPS: u64 = 300;
const UNITS: u32 = 18;
const VISITS: u32 = 5;

/// A normal deviate of standard deviation 1 (Box and Muller).
fn normal(rng: &mut ChaCha8Rng) -> f64 {
    let (u, v): (f64, f64) = (1.0 - rng.random::<f64>(), rng.random());
    (-2.0 * u.ln()).sqrt() * (core::f64::consts::TAU * v).cos()
}

/// A shop whose units each come five times within a month, always to the same station and hand. What a
/// unit brings scatters by 4′ (its locks by 1°, its seats by a tenth), a visit adds 0.2′ (0.1°).
fn simulated(rng: &mut ChaCha8Rng) -> Survey {
    let mut sessions = Vec::new();
    for unit in 0..UNITS {
        let own = PerChannel::from_fn(|_| Direction::new(4.0 * normal(rng), 4.0 * normal(rng)));
        let (locks_deg, seats) = (normal(rng), 1.0 + 0.1 * normal(rng));
        let month = 1 + rng.random_range(0..12_u8) as i8;
        for visit in 0..VISITS {
            let mut seen =
                |at: Direction| at + Direction::new(0.2 * normal(rng), 0.2 * normal(rng));
            let centres = PerChannel { left: Some(seen(own.left)), right: Some(seen(own.right)) };
            let predicted = Direction::new(5.0 + f64::from(unit), 0.0);
            let measured = seen(predicted * seats);
            let turned = PerChannel::from_fn(|_| Some(locks_deg + 0.1 * normal(rng)));
            let group = unit % 3;
            sessions.push(SessionSummary {
                file: format!("{unit} {visit}.samepoint"),
                unit: format!("{unit}").into(),
                housing: "Heron B".into(),
                day: Some(jiff::civil::date(2026, month, 2 + 5 * visit as i8)),
                station: format!("Bench {group}").into(),
                hand: format!("H{group}").into(),
                centres,
                lock_turn_deg: turned,
                shims: vec![ShimSeen { channel: Channel::Left, predicted, measured }],
                ..SessionSummary::default()
            });
        }
    }
    Survey { sessions: sessions.into(), ..Survey::default() }
}

/// Which of the shop's tests call something different although nothing is.
fn alarms(shop: &Survey) -> [bool; 5] {
    let differ = shop.differ(By::Station, Quantity::MiddleX).all.unwrap().p_value < 0.05;
    let off = shop.centres().iter().any(HousingCentres::is_off);
    let wanders = shop.drift().iter().any(Drift::wanders);
    // Both rings of a unit are turned alike here, so only one of them is looked at.
    let left = shop.locks().into_iter().find(|one| one.channel == Channel::Left).unwrap();
    let turns = left.sample.mean_is(0.0).unwrap().unwrap() < 0.05;
    let shims = shop.shims(None).p_as_predicted().unwrap() < 0.05;
    [differ, off, wanders, turns, shims]
}

fn shares(change: impl Fn(&mut Survey)) -> [f64; 5] {
    let mut counts = [0_u32; 5];
    for seed in 0..SHOPS {
        let mut shop = simulated(&mut ChaCha8Rng::seed_from_u64(seed));
        change(&mut shop);
        for (count, alarm) in counts.iter_mut().zip(alarms(&shop)) {
            *count += u32::from(alarm);
        }
    }
    counts.map(|count| f64::from(count) / SHOPS as f64)
}

/// 5 % and no more, but for what 300 shops scatter: three standard deviations of a share of 5 % are 3.8 %.
#[test]
fn false_alarms_stay_at_the_stated_level_when_units_come_back() {
    let kept = shares(|_| ());
    for (name, share) in ["stations", "centres", "drift", "locks", "shims"].iter().zip(kept) {
        assert!(share <= 0.05 + 0.038, "{name}: {share}");
    }
    // Were every visit taken for a unit of its own, the same shops would raise many more.
    let taken_apart = shares(|shop| {
        for (number, session) in shop.sessions.iter_mut().enumerate() {
            session.unit = format!("visit {number}").into();
        }
    });
    for (name, share) in ["stations", "centres", "drift", "locks"].iter().zip(taken_apart) {
        assert!(share > 0.15, "{name}: {share}: the simulation does not try the tests");
    }
}

/// The first visit is the earliest day, in whatever order the files lie; what has no unit's name stands for
/// itself; and the words say what was left out.
#[test]
fn the_first_visit_counts() {
    let visit = |unit: &str, day: &str, x: f64| SessionSummary {
        unit: unit.into(),
        housing: "Heron B".into(),
        day: Some(day.parse().unwrap()),
        centres: PerChannel { left: Some(Direction::new(x, 0.0)), right: None },
        lock_turn_deg: PerChannel { left: Some(x), right: None },
        ..SessionSummary::default()
    };
    let sessions = vec![
        visit("1", "2026-05-02", 1.0),
        visit("1", "2026-05-01", 2.0),
        visit("", "2026-05-01", 3.0),
        visit("", "2026-05-01", 4.0),
        visit("2", "2026-05-03", 5.0),
    ];
    let shop = Survey { sessions: sessions.into(), ..Survey::default() };
    let locks = shop.locks();
    let points: Vec<f64> = locks[0].points.iter().map(|(_, value)| *value).collect();
    assert_eq!((points, locks[0].later_visits), (vec![2.0, 3.0, 4.0, 5.0], 1));
    assert!(
        locks[0].words().contains("1 later visit of the same units left out"),
        "{}",
        locks[0].words()
    );
    assert_eq!(shop.centres()[0].later_visits, 1);
    // A unit of the same number in another housing is another unit.
    let mut sessions = shop.sessions.clone();
    sessions[0].housing = "Plover".into();
    let shop = Survey { sessions, ..Survey::default() };
    assert_eq!(shop.by(By::All)[0].sessions, 5);
    assert!(shop.locks().iter().all(|one| one.later_visits == 0));
}

/// Nothing is said to turn where no test shows it; a clear turn is said with its interval and test.
#[test]
fn locks_are_tested_before_a_turn_is_told() {
    let session = |unit: usize, turned: f64| SessionSummary {
        unit: format!("{unit}").into(),
        housing: "Heron B".into(),
        lock_turn_deg: PerChannel { left: Some(turned), right: Some(turned + 4.0) },
        ..SessionSummary::default()
    };
    // Mean −0.4, standard deviation 1.0 of eight: t = −1.13, p 0.30.
    let turned = [-1.9, 0.6, 0.9, -0.3, -1.4, 0.5, -0.9, -0.7];
    let sessions = turned.iter().enumerate().map(|(unit, turned)| session(unit, *turned));
    let shop = Survey { sessions: sessions.collect(), ..Survey::default() };
    let [left, right] = &shop.locks()[..] else { panic!("two sides") };
    assert!(!left.turns() && right.turns());
    let words = left.words();
    assert!(words.contains("it is not shown that tightening turns the ring"), "{words}");
    assert!(words.contains("0.4° counter-clockwise ± 0.8°") && words.contains("t-test"), "{words}");
    assert!(
        right.words().contains("tightening turns the ring 3.6° clockwise ± 0.8°"),
        "{}",
        right.words()
    );
    let one = Survey { sessions: vec![session(1, 0.4)].into(), ..Survey::default() };
    assert!(
        one.locks()[0].words().contains("1 unit of 2 needed to tell"),
        "{}",
        one.locks()[0].words()
    );
}
