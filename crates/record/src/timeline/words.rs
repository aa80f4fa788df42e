//! What a fact says, in words.

use core::fmt::Write as _;

use solver::{Channel, PerChannel};

use super::fact_of;
use super::readings::reading;
use crate::fact::{
    Body, Camera, DayNote, Fact, Frame, LookingResult, LookingTest, Precondition, Reading,
    RemedyTaken, RoundOpened, Seq, SessionKind, SettingChosen, SettingSource, Setup, Signed,
};
use crate::figures::{arcmin, arcmin_fine, counted_s, degrees_short, number, percent};
use crate::fold::Value;
use crate::fold::round::value_of;
use crate::number::Typed;
use crate::remedies;
use crate::station::{Shows, Station};
use crate::unit::Unit;
use crate::window::NamedWindow;

/// Tells facts one after the other, and keeps in mind the station in force.
pub(super) struct Teller<'a> {
    facts: &'a [Fact],
    station: Option<&'a Station>,
    rounds: usize,
    /// Words of the readings so far, short: what a withdrawal or an undo names.
    meaning: Vec<Option<Value>>,
}

impl<'a> Teller<'a> {
    pub(super) const fn new(facts: &'a [Fact]) -> Self {
        Self { facts, station: None, rounds: 0, meaning: Vec::new() }
    }

    /// What a fact says. `counts`: whether it still holds.
    pub(super) fn words(&mut self, fact: &'a Fact, counts: bool) -> String {
        let mut value = None;
        let words = match &fact.body {
            Body::Header(header) => {
                let mut words = match &header.kind {
                    SessionKind::Real => format!("begun with {}", header.program),
                    SessionKind::Practice(exercise) => {
                        format!("practice on “{}”, begun with {}", exercise.name, header.program)
                    }
                };
                if let Some(from) = &header.continues {
                    let _ =
                        write!(words, "; it continues {} after its fact {}", from.file, from.facts);
                }
                words
            }
            Body::Setup(set_up) => setup(set_up),
            Body::Precondition(seen) => precondition(seen),
            Body::Station(said) => {
                if counts {
                    self.station = Some(said);
                }
                station(said)
            }
            Body::Window(said) => window(said),
            Body::Housing(said) => joined(&said.name, &said.note),
            Body::Unit(said) => unit(said),
            Body::RoundOpened(opened) => {
                if counts {
                    self.rounds += 1;
                }
                round_opened(opened, self.rounds, counts)
            }
            Body::Reading(read) => {
                value = value_of(read, self.station).ok();
                reading(read, value)
            }
            Body::Withdrawn(withdrawn) => format!(
                "reading {}{}: {}",
                withdrawn.reading,
                self.named(withdrawn.reading),
                withdrawn.reason
            ),
            Body::Undo(seq) => format!("fact {seq} taken back{}", self.named(*seq)),
            Body::Redo(seq) => format!("fact {seq} put back{}", self.named(*seq)),
            Body::SettingChosen(chosen) => setting(chosen),
            Body::RemedyTaken(taken) => remedy(taken),
            Body::LookingTest(test) => looking(test),
            Body::Note(note) if DayNote::of(note).is_some() => {
                DayNote::of(note).map_or_else(String::new, |day| day.text)
            }
            Body::Note(note) => match note.about {
                Some(seq) => format!("{} (about fact {seq}{})", note.text, self.named(seq)),
                None => note.text.clone(),
            },
            Body::Picture(picture) => {
                let name = format!("{}.{}", picture.hash, picture.extension);
                if picture.caption.is_empty() { name } else { picture.caption.clone() }
            }
            Body::Signed(signed) => signature(signed),
            Body::Countersigned(answer) => {
                joined(&format!("signature {} countersigned", answer.signature), &answer.comment)
            }
            Body::Returned(answer) => {
                joined(&format!("signature {} returned", answer.signature), &answer.comment)
            }
            Body::Sealed(sealed) => {
                format!("fact {} sealed{}", sealed.seq, self.named(sealed.seq))
            }
            Body::Camera(said) => camera(said),
            Body::Frame(said) => frame(said, &self.named(said.reading)),
        };
        self.meaning.push(value);
        words
    }

    /// What a fact named by another one is, in brackets; empty for one that is not there.
    fn named(&self, seq: Seq) -> String {
        let Some(fact) = fact_of(self.facts, seq) else { return String::new() };
        match &fact.body {
            Body::Reading(read) => {
                let index = usize::try_from(seq).unwrap_or(0).saturating_sub(1);
                let meant = self.meaning.get(index).copied().flatten();
                format!(" ({})", brief(read, meant))
            }
            body => format!(" ({})", body.word()),
        }
    }
}

/// A reading in a few words, to tell it from others.
fn brief(read: &Reading, value: Option<Value>) -> String {
    let purpose = read.purpose.word();
    match value {
        Some(Value::Direction { channel, direction, .. }) => {
            format!("{}, {purpose}, {}", channel.word(), crate::figures::direction(direction))
        }
        Some(Value::Relative { misalignment, .. }) => format!(
            "right less left, {purpose}, {}, {}",
            arcmin(misalignment.x_arcmin),
            arcmin(misalignment.y_arcmin)
        ),
        Some(Value::Box { inside, .. }) => {
            format!("{} the box, {purpose}", if inside { "inside" } else { "outside" })
        }
        None => match read.channel() {
            Some(channel) => format!("{}, {purpose}", channel.word()),
            None => purpose.to_owned(),
        },
    }
}

/// Words, and a hand's own behind them where there are any.
fn joined(words: &str, note: &str) -> String {
    if note.is_empty() { words.to_owned() } else { format!("{words}: {note}") }
}

fn setup(setup: &Setup) -> String {
    let mut parts = Vec::new();
    for (word, text) in
        [("job", &setup.job), ("for", &setup.customer), ("complaint", &setup.complaint)]
    {
        if !text.is_empty() {
            parts.push(format!("{word} {text}"));
        }
    }
    if let Some(ipd) = &setup.ipd_mm {
        parts.push(format!("interpupillary distance {} mm", ipd.shown()));
    }
    for (channel, dioptre) in setup.dioptre.iter() {
        if let Some(dioptre) = dioptre {
            parts.push(format!("{} dioptre at {}", channel.word(), dioptre.shown()));
        }
    }
    if !setup.note.is_empty() {
        parts.push(setup.note.clone());
    }
    if parts.is_empty() { "nothing stated".to_owned() } else { parts.join("; ") }
}

fn precondition(seen: &Precondition) -> String {
    let word = if seen.done { "seen to" } else { "not seen to" };
    joined(&format!("{word}, {}", seen.item.word()), &seen.note)
}

fn station(station: &Station) -> String {
    let mut words = match station.shows {
        Shows::Direction => format!("{}, read in {}", station.name, station.usual_unit.word()),
        Shows::Relative => format!(
            "{}, shows only the difference, read in {}",
            station.name,
            station.usual_unit.word()
        ),
        Shows::Box => format!("{}, shows only inside or outside a box", station.name),
    };
    match station.spread.sigma_arcmin {
        Some(sigma) => {
            let _ = write!(words, "; standard uncertainty of a reading {}", arcmin_fine(sigma));
        }
        None => words.push_str("; no uncertainty stated"),
    }
    if let Some(held) = &station.calibration {
        let _ = write!(words, "; calibrated to {}", held.due);
    }
    if let Some(check) = &station.checked {
        let word = if check.passed { "passed" } else { "FAILED" };
        let _ = write!(words, "; check of {} {word}", check.time.date());
    }
    words
}

fn camera(camera: &Camera) -> String {
    let [width, height] = camera.size_px;
    format!(
        "{} at {}: {width} × {height} px, {} lines, {}",
        camera.name,
        camera.station,
        camera.lines.word(),
        counted_s(camera.marks.len(), "mark")
    )
}

fn frame(frame: &Frame, reading: &str) -> String {
    let short = frame.picture_sha256.get(..12).unwrap_or(&frame.picture_sha256);
    let mut words = format!(
        "reading {}{reading} rests on picture {short}…, read {}",
        frame.reading,
        frame.read.word()
    );
    for crosshair in &frame.crosshairs {
        let [x, y] = crosshair.px;
        let _ = write!(words, "; crosshair at {}, {} px", number(x, 2), number(y, 2));
    }
    words
}

fn window(window: &NamedWindow) -> String {
    let limits = &window.limits;
    let mut words = format!(
        "{}, {} rule: convergence {}, divergence {}, dipvergence {}",
        window.name,
        window.rule.word(),
        arcmin(limits.convergence_arcmin()),
        arcmin(limits.divergence_arcmin()),
        arcmin(limits.dipvergence_arcmin())
    );
    if let Some(limit) = limits.boresight_arcmin() {
        let _ = write!(words, ", boresight {}", arcmin(limit));
    }
    words
}

fn unit(unit: &Unit) -> String {
    let mut words = unit.name.clone();
    if !unit.housing.is_empty() {
        let _ = write!(words, ", housing {}", unit.housing);
    }
    for channel in Channel::BOTH {
        let tube = &unit.tubes[channel];
        let mut parts = Vec::new();
        if !tube.serial.is_empty() {
            parts.push(format!("tube {}", tube.serial));
        }
        if tube.turned_deg != 0.0 {
            parts.push(format!("turned by {}", degrees_short(tube.turned_deg)));
        }
        let eyepiece = &unit.eyepieces[channel].serial;
        if !eyepiece.is_empty() {
            parts.push(format!("eyepiece {eyepiece}"));
        }
        parts.extend(
            unit.shims[channel].iter().map(|shim| format!("shim {}", remedies::shim(shim))),
        );
        if !parts.is_empty() {
            let _ = write!(words, "; {} {}", channel.word(), parts.join(", "));
        }
    }
    words
}

fn round_opened(opened: &RoundOpened, number: usize, counts: bool) -> String {
    let words = opened.why.word();
    joined(
        &if counts { format!("round {number}, {words}") } else { words.to_owned() },
        &opened.note,
    )
}

fn setting(chosen: &SettingChosen) -> String {
    let source = match chosen.source {
        SettingSource::NearestCrossing => "nearest crossing",
        SettingSource::OtherCrossing => "other crossing",
        SettingSource::Compromise => "best compromise",
        SettingSource::ByHand => "by hand",
    };
    let mut words = format!("{source}, {}", rings(&chosen.ring_deg));
    let [x, y] = chosen.misalignment_arcmin;
    let _ = write!(
        words,
        "; predicted misalignment {}, {}, {} from boresight",
        arcmin(x),
        arcmin(y),
        arcmin(chosen.boresight_arcmin)
    );
    if let Some(used) = chosen.window_use {
        let _ = write!(words, ", window use {}", percent(used));
    }
    joined(&words, &chosen.reason)
}

fn rings(ring_deg: &PerChannel<Option<f64>>) -> String {
    let each = Channel::BOTH.map(|of| match ring_deg[of] {
        Some(deg) => format!("{} ring {}", of.word(), degrees_short(deg)),
        None => format!("{} ring not known", of.word()),
    });
    each.join(", ")
}

fn remedy(taken: &RemedyTaken) -> String {
    let mut words = remedies::said(&taken.remedy);
    match &taken.prediction {
        Some(prediction) => {
            if let Some(used) = prediction.window_use {
                let _ = write!(words, "; predicted window use {}", percent(used));
            } else {
                words.push_str("; with a prediction");
            }
        }
        None => words.push_str("; nothing predicted"),
    }
    joined(&words, &taken.note)
}

fn looking(test: &LookingTest) -> String {
    let mut words = match test.result {
        LookingResult::Fused => "fused, one image",
        LookingResult::Double => "double, two images",
        LookingResult::Stopped => "broken off",
    }
    .to_owned();
    match test.distance_m.as_ref().map(Typed::text) {
        Some(distance) => {
            let _ = write!(words, " at {distance} m");
        }
        None => words.push_str(", distance not noted"),
    }
    if !test.observer.is_empty() {
        let _ = write!(words, ", {} looked", test.observer);
    }
    joined(&words, &test.note)
}

fn signature(signed: &Signed) -> String {
    let readings = counted_s(signed.rests_on.len(), "reading");
    let words = format!(
        "“{}” by the {} rule, on {readings}, worked out with {}",
        signed.verdict.word(),
        signed.rule.word(),
        signed.program
    );
    joined(&words, &signed.statement)
}
