//! How well the hands repeat on Bench 5: five units, three hands, three trials.

use jiff::civil::date;
use record::file::write_all_lines;
use record::studies::{CellMeasured, Plan, StudyAbout, StudyBody, StudyFact, StudyHeader, fold};
use record::{
    Approach, Channel, Error, Fact, JournalBody, Meaning as _, ReadingUnit, Seq, StationMap, Typed,
};

use super::log::session_name;
use super::truth::Draw;
use crate::sessions::stamp;

/// Standard deviations on each axis, arcminutes: units, hands, repeats.
pub(crate) const UNITS_ARCMIN: f64 = 3.0;
pub(crate) const HANDS_ARCMIN: f64 = 0.3;
pub(crate) const REPEATS_ARCMIN: f64 = 0.2;

const PARTS: [&str; 5] = ["0147", "0152", "0155", "0160", "0163"];
const HANDS: [&str; 3] = ["KT", "RB", "JO"];

/// The study's file: name and bytes.
pub(crate) fn file() -> Result<(String, Vec<u8>), Error> {
    let day = date(2026, 10, 6);
    let names = |names: &[&str]| names.iter().map(|&name| name.to_owned()).collect();
    let plan = Plan::drawn(names(&PARTS), names(&HANDS), 3, 961)?;
    let mut draw = Draw::new(961);
    let pairs = |count: usize, deviation: f64, draw: &mut Draw| -> Vec<[f64; 2]> {
        (0..count).map(|_| [draw.normal(deviation), draw.normal(deviation)]).collect()
    };
    let parts = pairs(PARTS.len(), UNITS_ARCMIN, &mut draw);
    let hands = pairs(HANDS.len(), HANDS_ARCMIN, &mut draw);
    let header = StudyHeader {
        format: record::journal::FIRST_FORMAT,
        program: "samepoint 0.1.0".into(),
        name: session_name(961),
        continues: None,
        about: StudyAbout { station: "Bench 5".into(), channel: Channel::Left, plan: plan.clone() },
    };
    let fact = |seq: Seq, body| -> Result<StudyFact, Error> {
        let time = stamp(&day.to_string(), 9 * 3600 + 75 * seq as u32)?;
        Ok(Fact { seq, time, hand: "SH".into(), body })
    };
    let mut facts = vec![fact(1, JournalBody::Header(header))?];
    let mut say = |body: StudyBody| -> Result<(), Error> {
        fold(&facts).admits(&body)?;
        facts.push(fact(facts.len() as Seq + 1, body.into())?);
        Ok(())
    };
    for cell in plan.order() {
        let [part, hand] = [parts.get(cell.part), hands.get(cell.hand)];
        let (part, hand) = (part.copied().unwrap_or_default(), hand.copied().unwrap_or_default());
        let mut typed = |axis: usize| {
            let value = part[axis] + hand[axis] + draw.normal(REPEATS_ARCMIN);
            Typed::parse(&format!("{value:.2}"))
        };
        let (x, y) = (typed(0)?, typed(1)?);
        say(StudyBody::Measured(CellMeasured {
            cell,
            ring_deg: None,
            x,
            y,
            unit: ReadingUnit::Arcmin,
            map: StationMap::PLAIN,
            approach: Approach::NotNoted,
        }))?;
    }
    let mut bytes = Vec::new();
    write_all_lines(&facts, &mut bytes)?;
    Ok((format!("{day} Bench 5.samepoint-study"), bytes))
}
