//! The facts of format 1 in its words, one struct beside each struct of [`crate::fact`].

use super::shop_items::{Housing, ReadingUnit, Rule, Shim, Station, Unit, Window};
use super::wire::{Pair, Side, Wire, wire_enum, wire_struct};
use crate::fact;
use crate::file::bad_field::BadField;

wire_struct!(Setup for fact::Setup {
    job: String,
    customer: String,
    complaint: String,
    ipd_mm: Option<String>,
    dioptre: Pair<Option<String>>,
    note: String,
});
wire_struct!(Precondition for fact::Precondition {
    item: PreconditionItem,
    done: bool,
    note: String,
});
wire_enum!(PreconditionItem for fact::PreconditionItem {
    StationChecked, UnitIdentified, DioptresAtZero, ObjectivesAtInfinity, IpdSet, UnitSeated,
    LampLow, CautionsRead;
    Other(String)
});
wire_struct!(RoundOpened for fact::RoundOpened { why: RoundReason, note: String });
wire_enum!(RoundReason for fact::RoundReason {
    First, Reseated, Remedy, Dioptre, EyepieceOut, StationZeroed, Other
});

wire_struct!(Reading for fact::Reading {
    round: u64,
    purpose: Purpose,
    swing_stop: Option<SwingStop>,
    ipd_mm: Option<String>,
    lock: Option<Lock>,
    reseated: bool,
    dioptre: Option<String>,
    seen: Seen,
});
wire_enum!(Purpose for fact::Purpose { AsFound, Log, Confirm });
wire_enum!(SwingStop for fact::SwingStop { Narrow, Working, Wide });
wire_enum!(Lock for fact::Lock { Before, After });
wire_enum!(Seen for fact::Seen { ;
    Direction(DirectionReading), Relative(RelativeReading), Box(BoxReading)
});
wire_struct!(DirectionReading for fact::DirectionReading {
    channel: Side,
    ring_deg: Option<String>,
    x: String,
    y: String,
    unit: ReadingUnit,
    approach: Approach,
});
wire_struct!(RelativeReading for fact::RelativeReading {
    ring_deg: Pair<Option<String>>,
    x: String,
    y: String,
    unit: ReadingUnit,
    approach: Pair<Approach>,
});
wire_struct!(BoxReading for fact::BoxReading {
    ring_deg: Pair<Option<String>>,
    inside: bool,
    approach: Pair<Approach>,
});
wire_enum!(Approach for fact::Approach { NotNoted, Clockwise, Counter });

wire_struct!(Withdrawn for fact::Withdrawn { reading: u64, reason: String });
wire_struct!(SettingChosen for fact::SettingChosen {
    round: u64,
    source: SettingSource,
    ring_deg: Pair<Option<f64>>,
    points_arcmin: Pair<[f64; 2]>,
    misalignment_arcmin: [f64; 2],
    boresight_arcmin: f64,
    window_use: Option<f64>,
    worst_window_use: Option<f64>,
    reason: String,
});
wire_enum!(SettingSource for fact::SettingSource {
    NearestCrossing, OtherCrossing, Compromise, ByHand
});
wire_struct!(RemedyTaken for fact::RemedyTaken {
    round: u64,
    remedy: Remedy,
    prediction: Option<Prediction>,
    note: String,
});
wire_enum!(Remedy for fact::Remedy { SwapEyepieces, SwapTubes, Other;
    Shim(Vec<ShimUnder>), TurnTube(TurnedPart), ReplaceTube(Side), ReplaceEyepiece(Side)
});
wire_struct!(ShimUnder for fact::ShimUnder { channel: Side, shim: Shim });
wire_struct!(TurnedPart for fact::TurnedPart { channel: Side, by_deg: f64 });
wire_struct!(Prediction for fact::ShownPrediction {
    circles: Pair<Option<PredictedCircle>>,
    crossing_arcmin: Option<[f64; 2]>,
    crossing_u_arcmin: Option<[f64; 2]>,
    ring_deg: Pair<Option<f64>>,
    window_use: Option<f64>,
    worst_window_use: Option<f64>,
    basis: PredictionBasis,
    words: String,
});
wire_struct!(PredictedCircle for fact::ShownCircle {
    centre_arcmin: [f64; 2],
    radius_arcmin: f64,
    phase_deg: Option<f64>,
});
wire_enum!(PredictionBasis for fact::PredictionBasis { Model, Measured, Readings });
wire_struct!(LookingTest for fact::LookingTest {
    distance_m: Option<String>,
    result: LookingResult,
    observer: String,
    note: String,
});
wire_enum!(LookingResult for fact::LookingResult { Fused, Double, Stopped });
wire_struct!(Note for fact::Note { text: String, about: Option<u64> });
wire_struct!(Picture for fact::NotedPicture {
    hash: String,
    extension: String,
    caption: String,
    about: Option<u64>,
});

wire_struct!(Signed for fact::Signed {
    round: u64,
    verdict: Verdict,
    rule: Rule,
    program: String,
    window: Option<u64>,
    station: Option<u64>,
    rests_on: Vec<u64>,
    numbers: Vec<Number>,
    statement: String,
});
wire_enum!(Verdict for fact::Verdict { Pass, Fail, Undecided, NotMeasured });
wire_struct!(Number for fact::Number { name: String, value: f64 });
/// Format 2 says more of it, which [`super::write`] refuses before it comes here.
#[derive(Clone, Debug, serde::Deserialize, serde::Serialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Countersigned {
    signature: u64,
    last_hash: String,
    comment: String,
}
impl Wire<fact::Countersigned> for Countersigned {
    fn write(from: &fact::Countersigned) -> Self {
        let fact::Countersigned { signature, last_hash, comment, hands_sha256: _ } = from.clone();
        Self { signature, last_hash, comment }
    }
    fn read(self) -> Result<fact::Countersigned, BadField> {
        let Self { signature, last_hash, comment } = self;
        Ok(fact::Countersigned { signature, last_hash, comment, hands_sha256: None })
    }
}
wire_struct!(Returned for fact::Returned { signature: u64, comment: String });

wire_enum!(SessionKind for fact::SessionKind { Real; Practice(Exercise) });
wire_struct!(Exercise for fact::Exercise { name: String, seed: u64 });
wire_struct!(Continued for fact::Continued {
    file: String,
    session: String,
    facts: u64,
    last_hash: String,
});

/// What a line after the header says.
#[derive(Clone, Debug, serde::Deserialize, serde::Serialize)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub(crate) enum What {
    Setup(Setup),
    Precondition(Precondition),
    Station(Station),
    Window(Window),
    Housing(Housing),
    Unit(Unit),
    RoundOpened(RoundOpened),
    Reading(Reading),
    Withdrawn(Withdrawn),
    Undo(u64),
    Redo(u64),
    SettingChosen(SettingChosen),
    RemedyTaken(RemedyTaken),
    LookingTest(LookingTest),
    Note(Note),
    Picture(Picture),
    Signed(Signed),
    Countersigned(Countersigned),
    Returned(Returned),
}
