//! What was set up, done and chosen.

use solver::{Channel, PerChannel};

use crate::fact::Seq;
use crate::number::Typed;
use crate::unit::Shim;

/// The first format of a session's file.
pub const FIRST_FORMAT: u32 = 1;

/// The latest: what new sessions are written in.
pub const LATEST_FORMAT: u32 = 2;

/// How a session begins.
#[derive(Clone, Debug, PartialEq)]
pub struct Header {
    /// The format its file is written in: [`FIRST_FORMAT`] to [`LATEST_FORMAT`]. A file keeps its format
    /// for ever; new and continued ones are in the latest.
    pub format: u32,
    /// The program that began it, with version: `samepoint 0.1.0`.
    pub program: String,
    /// The session's own name among all sessions: 32 hex digits, drawn at random.
    pub session: String,
    /// Real work or practice.
    pub kind: SessionKind,
    /// The damaged or lost file this one goes on from.
    pub continues: Option<Continued>,
}

/// Real work or practice.
#[derive(Clone, Debug, Default, PartialEq)]
pub enum SessionKind {
    /// A real unit.
    #[default]
    Real,
    /// An invented one.
    Practice(Exercise),
}

/// An invented unit: with the seed it can be made again.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Exercise {
    /// The exercise's name.
    pub name: String,
    /// From which the hidden errors are drawn.
    pub seed: u64,
}

impl Exercise {
    /// What the name of every examination begins with.
    pub const EXAM: &'static str = "exam ";

    /// Whether it is sat as an examination, whatever else its name says.
    #[must_use]
    pub fn is_exam(&self) -> bool {
        self.name.starts_with(Self::EXAM)
    }
}

/// The file a session goes on from. Its facts 2 to `facts` follow the header word for word.
#[derive(Clone, Debug, PartialEq)]
pub struct Continued {
    /// That file's name, without folder.
    pub file: String,
    /// That session's own name.
    pub session: String,
    /// How many of its facts could be read.
    pub facts: u64,
    /// The 64 hex digits of the last of them.
    pub last_hash: String,
}

/// The job, and how the unit stands on the bench.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Setup {
    /// Order or job number.
    pub job: String,
    /// Whose unit it is.
    pub customer: String,
    /// What was complained of.
    pub complaint: String,
    /// The interpupillary distance set, mm: where the readings are taken unless they say.
    pub ipd_mm: Option<Typed>,
    /// What both dioptres stand at.
    pub dioptre: PerChannel<Option<Typed>>,
    /// Anything else worth knowing.
    pub note: String,
}

/// One thing to be seen to before reading.
#[derive(Clone, Debug, PartialEq)]
pub struct Precondition {
    /// Which.
    pub item: PreconditionItem,
    /// Whether it was seen to.
    pub done: bool,
    /// What was found.
    pub note: String,
}

/// What is seen to before reading.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum PreconditionItem {
    /// The station is in calibration and was checked today.
    StationChecked,
    /// The unit, its tubes and eyepieces are the ones named.
    UnitIdentified,
    /// Both dioptres at zero.
    DioptresAtZero,
    /// Both objectives at infinity.
    ObjectivesAtInfinity,
    /// The interpupillary distance is set.
    IpdSet,
    /// The unit is seated.
    UnitSeated,
    /// The lamp is low.
    LampLow,
    /// The cautions were read.
    CautionsRead,
    /// Something of the shop's own.
    Other(String),
}

impl PreconditionItem {
    /// The words for it on screen.
    #[must_use]
    pub fn word(&self) -> &str {
        match self {
            Self::StationChecked => "station in calibration and checked today",
            Self::UnitIdentified => "unit, tubes and eyepieces are the ones named",
            Self::DioptresAtZero => "both dioptres at zero",
            Self::ObjectivesAtInfinity => "both objectives at infinity",
            Self::IpdSet => "interpupillary distance set",
            Self::UnitSeated => "unit seated",
            Self::LampLow => "lamp low",
            Self::CautionsRead => "cautions read",
            Self::Other(text) => text,
        }
    }
}

/// A round begins: from here on nothing but a ring is touched.
#[derive(Clone, Debug, PartialEq)]
pub struct RoundOpened {
    /// What ended the round before.
    pub why: RoundReason,
    /// In the hand's words.
    pub note: String,
}

/// What ends a round and opens the next.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum RoundReason {
    /// The first round.
    First,
    /// The unit was taken off and seated again.
    Reseated,
    /// A remedy was carried out.
    Remedy,
    /// A dioptre was moved.
    Dioptre,
    /// An eyepiece was taken out.
    EyepieceOut,
    /// The station was zeroed anew or changed.
    StationZeroed,
    /// Something else, as noted.
    Other,
}

impl RoundReason {
    /// The words for it on screen.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::First => "first round",
            Self::Reseated => "unit reseated",
            Self::Remedy => "after a remedy",
            Self::Dioptre => "dioptre moved",
            Self::EyepieceOut => "eyepiece taken out",
            Self::StationZeroed => "station zeroed",
            Self::Other => "other reason",
        }
    }
}

/// A reading that was real is left out.
#[derive(Clone, Debug, PartialEq)]
pub struct Withdrawn {
    /// Which: the `seq` of its fact.
    pub reading: Seq,
    /// Why.
    pub reason: String,
}

/// Where the hand chose to set the rings, as shown: ring angles rounded to the ring's step, the
/// rest worked out from them.
#[derive(Clone, Debug, PartialEq)]
pub struct SettingChosen {
    /// The round it was worked out from.
    pub round: Seq,
    /// Where it comes from.
    pub source: SettingSource,
    /// Ring angles, degrees in [0, 360); `None` where the ring's numbering is not known.
    pub ring_deg: PerChannel<Option<f64>>,
    /// Where each channel will point, arcminutes.
    pub points_arcmin: PerChannel<[f64; 2]>,
    /// p_R − p_L, arcminutes.
    pub misalignment_arcmin: [f64; 2],
    /// Distance of (p_L + p_R)/2 from boresight, arcminutes.
    pub boresight_arcmin: f64,
    /// Window use, when there is a window.
    pub window_use: Option<f64>,
    /// The largest window use over the pods' swing, when that was asked for.
    pub worst_window_use: Option<f64>,
    /// Why, when it is not the recommended one.
    pub reason: String,
}

/// Where a setting comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum SettingSource {
    /// The crossing point nearest boresight.
    NearestCrossing,
    /// The other crossing point.
    ///
    /// Reserved: what a hand chooses on the plot is [`ByHand`](Self::ByHand), with its reason.
    OtherCrossing,
    /// The best compromise.
    Compromise,
    /// The hand's own.
    ByHand,
}

/// A remedy that was carried out, with what was predicted of it.
#[derive(Clone, Debug, PartialEq)]
pub struct RemedyTaken {
    /// The round it was worked out from.
    pub round: Seq,
    /// What was done.
    pub remedy: Remedy,
    /// What the screen showed would come of it; `None` when nothing was predicted.
    pub prediction: Option<ShownPrediction>,
    /// In the hand's words.
    pub note: String,
}

/// What can be done about circles that do not meet well.
#[derive(Clone, Debug, PartialEq)]
pub enum Remedy {
    /// Shims under one tube or both.
    Shim(Vec<ShimUnder>),
    /// The eyepieces change sides.
    SwapEyepieces,
    /// The tubes change sides.
    SwapTubes,
    /// A tube is turned in its bore.
    TurnTube(TurnedPart),
    /// Another tube is fitted.
    ReplaceTube(Channel),
    /// Another eyepiece is fitted.
    ReplaceEyepiece(Channel),
    /// Something else, as noted.
    Other,
}

/// A shim and the tube it goes under.
#[derive(Clone, Debug, PartialEq)]
pub struct ShimUnder {
    /// Whose tube.
    pub channel: Channel,
    /// The shim.
    pub shim: Shim,
}

/// A part turned in place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TurnedPart {
    /// Whose.
    pub channel: Channel,
    /// By how much, degrees clockwise seen from the eye side.
    pub by_deg: f64,
}

/// A remedy's prediction as shown. What the screen did not show is `None`.
#[derive(Clone, Debug, PartialEq)]
pub struct ShownPrediction {
    /// The circles to expect.
    pub circles: PerChannel<Option<ShownCircle>>,
    /// Where they should meet, arcminutes.
    pub crossing_arcmin: Option<[f64; 2]>,
    /// Standard uncertainty of that point, each axis, arcminutes.
    pub crossing_u_arcmin: Option<[f64; 2]>,
    /// Where to set the rings then, degrees in [0, 360).
    pub ring_deg: PerChannel<Option<f64>>,
    /// Window use there.
    pub window_use: Option<f64>,
    /// The largest window use over the pods' swing.
    pub worst_window_use: Option<f64>,
    /// What the prediction rests on.
    pub basis: PredictionBasis,
    /// The sentence shown.
    pub words: String,
}

/// A circle to expect.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ShownCircle {
    /// Its centre, arcminutes.
    pub centre_arcmin: [f64; 2],
    /// Its radius, arcminutes.
    pub radius_arcmin: f64,
    /// Direction from the centre at ring zero, degrees counter-clockwise from +x, when known.
    pub phase_deg: Option<f64>,
}

/// What a prediction rests on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum PredictionBasis {
    /// The thin-lens model.
    Model,
    /// Shims of this housing that were measured.
    Measured,
    /// The readings of the rounds so far.
    Readings,
}

/// A look at a far point as a user would.
#[derive(Clone, Debug, PartialEq)]
pub struct LookingTest {
    /// How far the point was, metres.
    pub distance_m: Option<Typed>,
    /// What was seen.
    pub result: LookingResult,
    /// Who looked, when it was not the hand.
    pub observer: String,
    /// In the observer's words.
    pub note: String,
}

/// What a looking test can show. Eyes fuse far more than is comfortable: fused passes nothing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum LookingResult {
    /// One image.
    Fused,
    /// Two images: a pass becomes undecided.
    Double,
    /// Broken off, for headache or lasting double vision: as double.
    Stopped,
}

/// A remark.
#[derive(Clone, Debug, PartialEq)]
pub struct Note {
    /// The words.
    pub text: String,
    /// The fact it is about.
    pub about: Option<Seq>,
}

/// A picture kept in the shop's `pictures/`.
#[derive(Clone, Debug, PartialEq)]
pub struct NotedPicture {
    /// SHA-256 of its bytes, 64 hex digits: also its file's name.
    pub hash: String,
    /// Its file's extension, `png` or `jpg`.
    pub extension: String,
    /// What it shows.
    pub caption: String,
    /// The fact it is about.
    pub about: Option<Seq>,
}
