//! One unit on several benches: what is compared, what is not, and what is said where it is not known.

use std::fs;
use std::num::NonZeroUsize;
use std::path::Path;

use record::file::write_all_lines;
use record::shop::survey::round_robin::{RoundRobin, ScoreWord};
use record::{
    Body, Channel, Purpose, ReadingUnit, RealDisk, Remedy, RemedyTaken, fold, survey, two_sessions,
};

use crate::support::*;

/// What a bench reads of the unit: four confirm readings of each channel, rings where they stand.
#[derive(Clone)]
struct AtBench {
    station: &'static str,
    /// What is added to the right channel's readings, arcminutes.
    off: [f64; 2],
    ring: Option<&'static str>,
    states_reference: bool,
    sigma: Option<f64>,
    remedy: bool,
    shim: bool,
    certificate: &'static str,
}

fn at(station: &'static str, off: [f64; 2]) -> AtBench {
    let (ring, sigma) = (Some("95"), Some(0.25));
    let (states_reference, remedy, shim) = (true, false, false);
    AtBench { station, off, ring, states_reference, sigma, remedy, shim, certificate: station }
}

impl AtBench {
    fn bodies(&self, number: u8) -> Vec<Body> {
        let mut bodies = beginning();
        for body in &mut bodies {
            match body {
                Body::Header(header) => header.session = format!("{number:032x}"),
                Body::Station(station) => {
                    station.name = self.station.to_owned();
                    station.spread.sigma_arcmin = self.sigma;
                    station.calibration.as_mut().unwrap().certificate = self.certificate.to_owned();
                    if self.states_reference {
                        station.reference.own_u_arcmin =
                            record::PerChannel::from_fn(|_| [0.4, 0.3]);
                        station.reference.common_u_arcmin = [0.4, 0.4];
                    }
                }
                Body::Unit(unit) if self.shim => {
                    unit.tubes.left.serial = "another tube".to_owned();
                }
                _ => {}
            }
        }
        for _ in 0..if self.sigma.is_some() { 4 } else { 1 } {
            for (channel, [x, y]) in [(Channel::Left, [2.0, 1.0]), (Channel::Right, [5.0, 1.5])] {
                let [dx, dy] = if channel == Channel::Right { self.off } else { [0.0; 2] };
                let [x, y] = [x + dx, y + dy].map(|value| format!("{value:.3}"));
                let read = direction(channel, self.ring, &x, &y, ReadingUnit::Arcmin);
                let mut held = confirm(channel, &x, &y);
                held.seen = record::Seen::Direction(read);
                held.purpose = Purpose::Confirm;
                bodies.push(Body::Reading(held));
            }
        }
        if self.remedy {
            let taken = RemedyTaken {
                round: ROUND,
                remedy: Remedy::Other,
                prediction: None,
                note: "tapped".to_owned(),
            };
            bodies.push(Body::RemedyTaken(taken));
        }
        bodies
    }
}

fn kept(benches: &[AtBench]) -> tempfile::TempDir {
    let shop = tempfile::tempdir().unwrap();
    let sessions = shop.path().join("sessions");
    fs::create_dir(&sessions).unwrap();
    for (number, bench) in (1..).zip(benches) {
        let mut facts = facts_of(&bench.bodies(number));
        // A day apart.
        for fact in &mut facts {
            let at = fact.time.unix_milliseconds() + i64::from(number) * 86_400_000;
            fact.time = record::Stamp::from_unix_milliseconds(at).unwrap();
        }
        let file = fs::File::create(sessions.join(format!("{number} 0147.samepoint"))).unwrap();
        write_all_lines(&facts, file).unwrap();
    }
    shop
}

fn found(benches: &[AtBench]) -> RoundRobin {
    let shop = kept(benches);
    of(shop.path())
}

fn of(shop: &Path) -> RoundRobin {
    let all = survey(shop, NonZeroUsize::MIN).unwrap();
    assert!(RoundRobin::of(&all, "another unit", &RealDisk).is_none());
    RoundRobin::of(&all, "0147", &RealDisk).unwrap()
}

/// Two benches: the same scores as two sessions laid over each other have.
#[test]
fn two_benches_are_as_two_sessions_of_two_benches() {
    let benches = [at("Bench 4", [0.0, 0.0]), at("Bench 5", [0.9, -0.4])];
    let both = found(&benches);
    let sessions =
        [1, 2].map(|number| fold(&facts_of(&benches[usize::from(number) - 1].bodies(number))));
    let apart = &two_sessions(&sessions[0], &sessions[1]).as_left[0];
    let en = [apart.misalignment.unwrap().en, apart.shared.unwrap().en].concat();
    for (index, expected) in en.into_iter().enumerate() {
        let expected = expected.unwrap();
        let [one, two] = [0, 1].map(|bench| both.benches[bench].en[index].unwrap());
        assert!((two - expected).abs() < 1e-9, "{index}: {two} {expected}");
        assert!((one + expected).abs() < 1e-9);
        let consensus = both.consensus[index].as_ref().unwrap();
        // Both state the same, so the consensus lies in the middle.
        let values = [0, 1].map(|bench| both.benches[bench].value[index].unwrap());
        assert!((consensus.value - 0.5 * (values[0] + values[1])).abs() < 1e-9);
    }
    assert!(en_all(&both, 1.0));
    let said = both.words().join("\n");
    assert!(said.contains("not which of them is off"), "{said}");
    assert!(said.contains("Bench 4 agrees with the others within the uncertainties stated"));
}

fn en_all(found: &RoundRobin, most: f64) -> bool {
    found.benches.iter().all(|bench| bench.worst_en().unwrap().1.abs() <= most)
}

#[test]
fn the_one_that_lies_off_is_told_and_nobody_is_called_bad() {
    let benches = [at("Bench 4", [0.0; 2]), at("Bench 5", [0.3, 0.1]), at("Bench 6", [0.1, 6.0])];
    let off = found(&benches);
    let worst = off.benches[2].worst_en().unwrap();
    assert_eq!(worst.0, "dipvergence");
    assert!(worst.1 > 1.0);
    assert_eq!(off.benches[2].agrees(), Some(false));
    let said = off.words().join("\n");
    assert!(said.contains("Bench 6 lies farther from the others than the uncertainties explain"));
    assert!(said.contains("Dipvergence: the benches differ by more than their uncertainties"));
    // However small a chance is, it is not none.
    assert!(said.contains("degrees of freedom, p under 0.001)"), "{said}");
    for word in ["bad", "wrong", "fail", "fault"] {
        assert!(!said.contains(word), "{said}");
    }
    assert!(said.contains("its parts, its shims and the numbers its rings stood at are the same"));
}

/// What is not known is said to be so, and never counted as nought.
#[test]
fn without_an_uncertainty_there_is_no_score() {
    let silent = AtBench { states_reference: false, ..at("Bench 6", [0.2, 0.2]) };
    let once = AtBench { sigma: None, ..at("Bench 3", [0.2, 0.2]) };
    let all = found(&[at("Bench 4", [0.0; 2]), at("Bench 5", [0.3, 0.1]), silent.clone(), once]);
    for index in [2, 3] {
        let bench = &all.benches[index];
        assert_eq!((bench.en, bench.agrees()), ([None; 4], None));
        assert!(bench.difference[0].is_some(), "it is shown beside the consensus");
        assert!(bench.words().ends_with("E_n is not known."), "{}", bench.words());
    }
    assert!(all.words()[2].contains("does not state how far its reference may be off"));
    assert!(all.words()[3].contains("nothing tells how far its readings scatter"));
    // They do not move the consensus.
    let without = found(&[at("Bench 4", [0.0; 2]), at("Bench 5", [0.3, 0.1])]);
    assert_eq!(all.consensus, without.consensus);
    let one = found(&[at("Bench 4", [0.0; 2]), silent]);
    assert_eq!(one.consensus, [None, None, None, None]);
    assert!(one.words().join("\n").contains("Fewer than two benches are known well enough"));
}

/// A turned ring, a part or a remedy in between ends what can be compared.
#[test]
fn what_was_changed_in_between_is_not_compared() {
    let [first, second] = [at("Bench 4", [0.0; 2]), at("Bench 5", [0.3, 0.1])];
    for (changed, word) in [
        (AtBench { ring: Some("97"), ..at("Bench 6", [0.0; 2]) }, "ring stands at"),
        (AtBench { shim: true, ..at("Bench 6", [0.0; 2]) }, "left tube another tube"),
        (AtBench { remedy: true, ..at("Bench 6", [0.0; 2]) }, "a remedy was taken"),
    ] {
        let all = found(&[first.clone(), second.clone(), changed]);
        let stations: Vec<&str> = all.benches.iter().map(|one| one.station.as_str()).collect();
        assert_eq!(stations, ["Bench 4", "Bench 5"]);
        let said = all.words().join("\n");
        assert!(said.contains(word), "{word}: {said}");
        assert!(said.contains("Not compared: 3 0147.samepoint"), "{said}");
    }
    // Within a degree, and across 360.
    let near = AtBench { ring: Some("95.9"), ..at("Bench 6", [0.0; 2]) };
    assert_eq!(found(&[first.clone(), second.clone(), near]).benches.len(), 3);
    let across = [("359.6", "Bench 4"), ("0.2", "Bench 5")]
        .map(|(ring, bench)| AtBench { ring: Some(ring), ..at(bench, [0.0; 2]) });
    assert_eq!(found(&across).benches.len(), 2);
    // Creeping on by less than a degree each time ends it, too.
    let creeping = ["95", "95.8", "96.6", "97.4"];
    let benches = ["Bench 2", "Bench 3", "Bench 4", "Bench 5"];
    let crept: Vec<AtBench> = creeping
        .into_iter()
        .zip(benches)
        .map(|(ring, bench)| AtBench { ring: Some(ring), ..at(bench, [0.0; 2]) })
        .collect();
    assert!(found(&crept).benches.len() < 4);
}

/// Rings whose numbers nobody noted: compared, and said that it is not known.
#[test]
fn rings_without_numbers_are_not_known_to_have_stayed() {
    let bench = |name| AtBench { ring: None, ..at(name, [0.0; 2]) };
    let all = found(&[bench("Bench 4"), bench("Bench 5")]);
    assert_eq!(all.benches.len(), 2);
    assert!(
        all.words().join("\n").contains("Whether its rings stayed where they were is not known")
    );
}

/// The last session of a bench is the one that is compared, and one certificate behind two is said.
#[test]
fn each_bench_counts_once() {
    let both = [at("Bench 4", [0.0; 2]), at("Bench 5", [0.3, 0.1]), at("Bench 4", [0.5, 0.1])];
    let all = found(&both);
    let stations: Vec<&str> = all.benches.iter().map(|one| one.station.as_str()).collect();
    assert_eq!(stations, ["Bench 5", "Bench 4"]);
    assert!(all.words().join("\n").contains("a later session is of the same bench"));
    let shared = both.map(|bench| AtBench { certificate: "C-118", ..bench });
    assert!(found(&shared).words().join("\n").contains("name one certificate, C-118"));
    assert!(!all.words().join("\n").contains("name one certificate"));
}

/// A file that was cut or spoilt after the shop was looked at is not compared.
#[test]
fn a_file_that_changed_since_is_read_as_it_is() {
    let shop = kept(&[at("Bench 4", [0.0; 2]), at("Bench 5", [0.3, 0.1])]);
    let all = survey(shop.path(), NonZeroUsize::MIN).unwrap();
    let path = shop.path().join("sessions/2 0147.samepoint");
    let mut bytes = fs::read(&path).unwrap();
    let middle = bytes.len() / 2;
    bytes[middle] ^= 4;
    fs::write(&path, bytes).unwrap();
    let found = RoundRobin::of(&all, "0147", &RealDisk).unwrap();
    assert_eq!(found.benches.len(), 1);
    assert!(found.words().join("\n").contains("its file is not whole any more"));
}

/// What a bench is held against is the mean of the others, and the word follows the score.
#[test]
fn a_bench_is_held_against_the_mean_of_all_others() {
    let benches = [at("Bench 4", [0.0; 2]), at("Bench 5", [0.3, 0.1]), at("Bench 6", [0.1, 6.0])];
    let silent = AtBench { states_reference: false, ..at("Bench 3", [0.2, 0.2]) };
    let all = found(&[benches.as_slice(), &[silent]].concat());
    for (place, bench) in all.benches.iter().enumerate().take(3) {
        for axis in 0..4 {
            // All state the same, so that weights are alike.
            let rest = (0..3).filter(|other| *other != place);
            let mean: f64 =
                rest.map(|other| all.benches[other].value[axis].unwrap()).sum::<f64>() / 2.0;
            let (others, u) = bench.others[axis].unwrap();
            assert!((others - mean).abs() < 1e-9, "{place} {axis}: {others} {mean}");
            let own = bench.u[axis].unwrap().standard;
            assert!((u.standard - own / 2_f64.sqrt()).abs() < 1e-9);
            let en = bench.en[axis].unwrap();
            let word = if en.abs() <= 1.0 { "satisfactory" } else { "unsatisfactory" };
            assert_eq!(ScoreWord::of(Some(en)).word(), word);
        }
    }
    // One that is not counted is held against all that are.
    for (held, consensus) in all.benches[3].others.iter().zip(&all.consensus) {
        assert_eq!(held.unwrap().0, consensus.as_ref().unwrap().value);
    }
    assert_eq!(ScoreWord::of(None).word(), "not known");
    assert_eq!(ScoreWord::of(Some(f64::NAN)).word(), "not known");
    assert_eq!(ScoreWord::of(Some(-1.0)), ScoreWord::Satisfactory);
}

/// Units that one bench measured, several times too, are not offered.
#[test]
fn units_of_one_bench_are_not_offered() {
    let units = |benches: &[AtBench]| {
        let shop = kept(benches);
        RoundRobin::units(&survey(shop.path(), NonZeroUsize::MIN).unwrap())
    };
    assert_eq!(units(&[at("Bench 4", [0.0; 2]), at("Bench 5", [0.3, 0.1])]), ["0147"]);
    assert!(units(&[at("Bench 4", [0.0; 2]), at("Bench 4", [0.3, 0.1])]).is_empty());
    assert!(units(&[]).is_empty());
}
