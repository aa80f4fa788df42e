//! How far confirm readings lie from what was predicted, in words: once per change of the facts.

use paper::words;
use paper::words::capital;
use record::conclusion::on_circle::WhichReadings;
use record::fact::Seq;
use record::{OffBy, Position, Session, off_by};
use solver::own_circle::Departure;
use solver::{Channel, Direction, Solution, Uncertainty};

use crate::widgets::Tone;

/// A confirm reading beside what was predicted of it, in words.
#[derive(Clone, Debug, PartialEq)]
pub struct OffByLine {
    /// The reading.
    pub seq: Seq,
    /// Whose.
    pub channel: Channel,
    /// Whether it lies farther off than its uncertainty explains.
    pub tone: Tone,
    /// Off circle, arcminutes, and off angle, degrees, for the log; empty where not known.
    pub cells: [String; 2],
    /// x and y, each with half the width of its 95 % interval where that is known: `−0.3 ± 0.6′`.
    pub xy: [String; 2],
    /// In a few words: `off by −0.3′, 0.5′`.
    pub brief: String,
    /// In a sentence, with its uncertainty.
    pub text: String,
}

/// Names what lies farther off than anything explains.
#[must_use]
pub(crate) fn unexplained(name: &str) -> String {
    format!("{name}, more than is explained")
}

impl OffByLine {
    /// All of a session's open round, in the order read.
    #[must_use]
    pub fn all(session: &Session, solution: Option<&Solution>) -> Vec<Self> {
        let found = solution.map(|solution| off_by(session, solution)).unwrap_or_default();
        found.iter().map(Self::of).collect()
    }

    fn of(it: &OffBy) -> Self {
        let brief = format!("off by {}", words::direction(it.off));
        let what = format!("{} reading {}", capital(it.channel.word()), under(it));
        let (tone, text) = match (it.across, it.along) {
            (Some(across), _) if it.is_off_circle() => {
                let side = if across.off_arcmin > 0.0 { "outside" } else { "inside" };
                (
                    Tone::Look,
                    format!(
                        "{what}: {} {side} its own circle, of which at most {} is explained ({brief} from \
                     predicted). Read it again; if it stays there, more than the ring was moved.",
                        known(across.off_arcmin.abs(), &across),
                        words::arcmin(it.explained_arcmin.across),
                    ),
                )
            }
            (_, Some(along)) if it.is_off_setting() => (
                Tone::Look,
                format!(
                    "{what}: {} along its circle from where the ring was set, of which at most {} is \
                 explained ({brief} from predicted). See where the ring stands.",
                    known(along.off_arcmin.abs(), &along),
                    words::arcmin(it.explained_arcmin.along),
                ),
            ),
            (Some(across), Some(along)) => (
                Tone::Plain,
                format!(
                    "{what}: {brief} from predicted, across its circle {}, along it {}.",
                    known(across.off_arcmin, &across),
                    known(along.off_arcmin, &along),
                ),
            ),
            (Some(across), None) => (
                Tone::Plain,
                format!(
                    "{what}: {brief} from predicted, across its circle {}.",
                    known(across.off_arcmin, &across),
                ),
            ),
            (None, _) => (
                Tone::Plain,
                format!("{what}: {brief} from predicted; how well that is known cannot be told.",),
            ),
        };
        let brief = match tone {
            Tone::Look => unexplained(&brief),
            _ => brief,
        };
        let across = it.across.map(|across| words::number(across.off_arcmin, 1));
        let along = it.along_deg.map(|deg| words::number(deg, 1));
        let cells = [across, along].map(Option::unwrap_or_default);
        let xy = xy_words(it.off, it.off_u);
        Self { seq: it.seq, channel: it.channel, tone, cells, xy, brief, text }
    }
}

/// x and y of how far off, each with half the width of its 95 % interval where that is known.
#[must_use]
pub(crate) fn xy_words(off: Direction, u: Option<[Uncertainty; 2]>) -> [String; 2] {
    let of = |off_arcmin: f64, u: Option<Uncertainty>| {
        u.and_then(|u| u.half_width_95()).map_or_else(
            || words::arcmin(off_arcmin),
            |half| format!("{} ± {}", words::number(off_arcmin, 1), words::arcmin(half)),
        )
    };
    let [x, y] = u.map_or([None; 2], |u| u.map(Some));
    [of(off.x_arcmin, x), of(off.y_arcmin, y)]
}

fn known(off_arcmin: f64, departure: &Departure) -> String {
    let off = words::arcmin(off_arcmin);
    departure
        .u
        .half_width_95()
        .map_or_else(|| off.clone(), |half| format!("{off} ± {}", words::arcmin(half)))
}

fn under(it: &OffBy) -> String {
    match (it.position, it.readings) {
        (Position::SetUp, readings @ (WhichReadings::LockOpen | WhichReadings::Reseated)) => {
            readings.word().to_owned()
        }
        (Position::SetUp, WhichReadings::LockTight) => "to confirm".to_owned(),
        (position, _) => position.to_string(),
    }
}
