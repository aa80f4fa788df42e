//! A station whose zero left its limits: since when, how far, and what that means for what was read on it.

use record::Channel;
use record::checks::{CheckBody, CheckTaken};
use record::recall::spells;

use crate::support::{Log, header, morning, taken};

fn of(channel: Channel, x: f64, y: f64) -> CheckBody {
    CheckBody::Taken(CheckTaken { channel, ..taken(x, y) })
}

/// Both channels read on a day, off by so much in x; scatter by some hundredths.
fn read(log: &mut Log, day: i64, off: f64) {
    let slip = 0.02 * ((day * 37 % 7) - 3) as f64;
    log.say(day, of(Channel::Left, 1.0 + off + slip, -2.0 - slip));
    log.say(day, of(Channel::Right, 0.5 + off - slip, 0.25 + slip));
}

/// Twelve good days and limits.
fn in_use() -> Log {
    let mut log = Log::begun(header());
    for day in 0..12 {
        read(&mut log, day, 0.0);
    }
    log.draw(11, |_| ());
    log
}

fn day(day: i64) -> jiff::civil::Date {
    morning(day).date()
}

#[test]
fn a_sound_station_has_no_spell_and_one_odd_day_makes_none() {
    let mut log = in_use();
    for day in 12..20 {
        read(&mut log, day, if day == 15 { 2.0 } else { 0.0 });
    }
    let checks = log.through_a_file();
    // The moving average goes on for some days after a jump, and comes back.
    assert_eq!(spells(&checks), []);
    for day in 20..40 {
        read(&mut log, day, 0.0);
    }
    assert_eq!(spells(&log.through_a_file()), []);
}

/// Good on day 13, off by 3′ on days 20 and 27 and by 4′ on 34; then nothing, or good again, or mended.
#[test]
fn a_spell_lasts_from_the_last_good_check_to_the_next() {
    let mut log = in_use();
    for (day, off) in [(13, 0.0), (20, 3.0), (27, 3.0), (34, 4.0)] {
        read(&mut log, day, off);
    }
    let found = spells(&log.through_a_file());
    let [spell] = &found[..] else { panic!("{found:?}") };
    assert_eq!((spell.last_good, spell.first_outside), (Some(day(13)), day(20)));
    assert_eq!((spell.last_outside, spell.next_good), (day(34), None));
    assert!(spell.goes_on());
    let words = spell.words();
    assert!(
        words.contains(&format!("Bench 2’s zero lies outside its limits since {}", day(20))),
        "{words}"
    );
    assert!(words.contains(&format!("the last good check was on {}", day(13))), "{words}");
    assert!(words.contains("it read 4.0′"), "{words}");
    // On the day of a good check what is read is good; from the next day on it is not.
    assert!(!spell.holds(day(13)) && spell.holds(day(14)) && spell.holds(day(300)));
    // Between 0 and 3; the rectangle between the checks has a standard uncertainty of 3/√12.
    let on = |at: i64| spell.zero_on(day(at)).left.unwrap();
    // Three sevenths of the way.
    assert!((on(16).off.x_arcmin - 3.0 * 3.0 / 7.0).abs() < 0.1, "{:?}", on(16));
    assert!((on(16).u_arcmin[0] - 3.0 / 12.0_f64.sqrt()).abs() < 0.05, "{:?}", on(16));
    assert!((on(27).off.x_arcmin - 3.0).abs() < 0.1 && on(27).u_arcmin[0] < 0.2);
    assert!((on(99).off.x_arcmin - 4.0).abs() < 0.1);
    // Good again: what was read behind it is good.
    let mut again = Log { facts: log.facts.clone() };
    for day in 41..80 {
        read(&mut again, day, 0.0);
    }
    let found = spells(&again.through_a_file());
    let [spell] = &found[..] else { panic!("{found:?}") };
    assert!(spell.next_good.is_some() && !spell.goes_on() && !spell.holds(day(79)));
    assert!(spell.words().contains("lay outside its limits"), "{}", spell.words());
    // Mended and started anew: the units that were left on it before are not forgotten.
    log.say(41, CheckBody::StartedAnew("zeroed\nanew".to_owned()));
    let found = spells(&log.through_a_file());
    let [spell] = &found[..] else { panic!("{found:?}") };
    assert!(!spell.goes_on() && spell.holds(day(30)));
    assert!(spell.words().contains("started anew (zeroed") && !spell.words().contains('\n'));
}
