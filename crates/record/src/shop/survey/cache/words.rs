//! A session's summary in words for the cache, field beside field: a summary that says more does not compile
//! until it is decided here whether that is kept.

use jiff::civil::Date;
use serde::{Deserialize, Serialize};
use smol_str::SmolStr;

use super::leans::Leanings;
use super::stamp::FileStamp;
use crate::fact::FileMarkKind;
use crate::file::bad_field::BadField;
use crate::file::chain::ChainHash;
use crate::file::v1::shop_items::{Limits, Rule};
use crate::file::v1::wire::{Pair, Side, Wire, wire_enum, wire_struct};
use crate::file::v1::words::Verdict;
use crate::ledger::{SigningKind, SigningLine};
use crate::recall::{Recall, Would, ZeroAt};
use crate::review::otherwise::{How, Otherwise, ReviewAspect};
use crate::review::{BlindWord, State};
use crate::shop::survey::as_measured::AsMeasured;
use crate::shop::survey::found::{ShimMiss, ShimSeen};
use crate::shop::survey::signed_as::{AnsweredAs, SignedAs};
use crate::shop::survey::summary::{SentBack, SessionSummary};
use crate::stamp::Stamp;

/// What is kept of one file.
#[derive(Debug, Deserialize, Serialize)]
pub(super) struct Entry<'a> {
    pub(super) stamp: FileStamp,
    #[serde(borrow)]
    pub(super) leans: Leanings<'a>,
    pub(super) summary: SummaryWords,
}

/// What is never kept: it is worked out from all sessions of the shop, its ledger, or the file's name.
#[derive(Clone, Debug, Deserialize, Serialize)]
pub(crate) struct NotKept;

impl<T: Default> Wire<T> for NotKept {
    fn write(_: &T) -> Self {
        Self
    }
    fn read(self) -> Result<T, BadField> {
        Ok(T::default())
    }
}

/// How many.
#[derive(Clone, Copy, Debug, Deserialize, Serialize)]
pub(crate) struct HowMany(u64);

impl Wire<usize> for HowMany {
    fn write(from: &usize) -> Self {
        Self(*from as u64)
    }
    fn read(self) -> Result<usize, BadField> {
        usize::try_from(self.0).map_err(BadField::new)
    }
}

/// Year, month, day: a text would be looked through each time.
#[derive(Clone, Copy, Debug, Deserialize, Serialize)]
pub(crate) struct DayKept(i16, i8, i8);

impl Wire<Date> for DayKept {
    fn write(from: &Date) -> Self {
        Self(from.year(), from.month(), from.day())
    }
    fn read(self) -> Result<Date, BadField> {
        let Self(year, month, day) = self;
        Date::new(year, month, day).map_err(BadField::new)
    }
}

/// Milliseconds since 1970 and the clock's offset in seconds, for the same reason.
#[derive(Clone, Copy, Debug, Deserialize, Serialize)]
pub(crate) struct TimeKept(i64, i32);

impl Wire<Stamp> for TimeKept {
    fn write(from: &Stamp) -> Self {
        Self(from.unix_milliseconds(), from.offset_seconds())
    }
    fn read(self) -> Result<Stamp, BadField> {
        let Self(milliseconds, offset_seconds) = self;
        Stamp::at(milliseconds, offset_seconds).ok_or_else(|| BadField::new("it is no moment"))
    }
}

/// The 32 bytes of a line's hash.
#[derive(Clone, Debug, Deserialize, Serialize)]
pub(crate) struct HashKept([u8; 32]);

impl Wire<ChainHash> for HashKept {
    fn write(from: &ChainHash) -> Self {
        Self(from.digest())
    }
    fn read(self) -> Result<ChainHash, BadField> {
        Ok(ChainHash::of_digest(self.0))
    }
}

wire_struct!(SummaryWords for SessionSummary {
    file: NotKept,
    folder: NotKept,
    session: String,
    facts: u64,
    continues: Option<String>,
    signing: Vec<SigningWords>,
    ledger: NotKept,
    recall: Option<Box<RecallWords>>,
    copies: NotKept,
    copy_of: NotKept,
    continued_in: NotKept,
    end_missing: NotKept,
    marks: Vec<MarkWords>,
    practice: bool,
    begun: Option<DayKept>,
    day: Option<DayKept>,
    job: SmolStr,
    customer: SmolStr,
    complaint: SmolStr,
    unit: SmolStr,
    housing: SmolStr,
    tubes: Pair<SmolStr>,
    eyepieces: Pair<SmolStr>,
    station: SmolStr,
    hand: SmolStr,
    window: SmolStr,
    rounds: HowMany,
    verdict: Option<Verdict>,
    signed: bool,
    signature: StateWords,
    state: StateWords,
    answered_by_no_other: bool,
    signed_as: Option<SignedAsWords>,
    sent_back: Option<SentBackWords>,
    follows: Option<bool>,
    checks: Option<String>,
    blind: Option<BlindWords>,
    otherwise: Vec<OtherwiseWords>,
    pictures: Vec<String>,
    off_circle: Vec<String>,
    only_difference: bool,
    boresight_arcmin: Option<f64>,
    misalignment: Option<MisalignmentWords>,
    window_use: Option<f64>,
    limits_used: Option<WindowUseWords>,
    leaves_used_mm: Vec<f64>,
    as_measured: Option<AsMeasuredWords>,
    centres_apart_arcmin: Option<f64>,
    centres: Pair<Option<DirectionWords>>,
    relation: Option<RelationWords>,
    senses: Pair<Option<SenseWords>>,
    scatter_arcmin: Option<f64>,
    setting_miss_arcmin: Option<f64>,
    lock_turn_deg: Pair<Option<f64>>,
    shim_misses: Vec<ShimMissWords>,
    shims: Vec<ShimSeenWords>,
});

wire_struct!(SigningWords for SigningLine {
    seq: u64,
    hash: HashKept,
    kind: SigningKindWords,
    time: TimeKept,
    hand: SmolStr,
});
wire_enum!(SigningKindWords for SigningKind { Signed, Countersigned, Returned });
wire_enum!(MarkWords for FileMarkKind {
    EndSetAside, ContinuedInPart, BegunBeside, LinesLost, LostToo, Salvaged,
});
wire_enum!(StateWords for State {
    Unsigned, Signed, Countersigned, Outdated, Returned, DoesNotFollow, Damaged,
});
wire_struct!(SignedAsWords for SignedAs {
    verdict: Verdict,
    hand: SmolStr,
    day: DayKept,
    answered: Option<AnsweredAsWords>,
});
wire_struct!(AnsweredAsWords for AnsweredAs { agreed: bool, hand: SmolStr, day: DayKept });
wire_struct!(WindowUseWords for solver::WindowUse {
    side_to_side: f64,
    up_and_down: f64,
    from_boresight: Option<f64>,
});
wire_struct!(SentBackWords for SentBack { by: String, since: TimeKept, comment: String });
wire_enum!(BlindWords for BlindWord { SayNothing, Agree, Disagree });
wire_struct!(OtherwiseWords for Otherwise { what: AspectWords, seq: u64, how: HowWords });
wire_enum!(AspectWords for ReviewAspect {
    ; Window(String), Station(String), Unit(String), Camera(String)
});

/// How something is otherwise.
#[derive(Clone, Debug, Deserialize, Serialize)]
pub(crate) enum HowWords {
    InShop { here: String, there: String },
    NotInShop { here: String },
    Changed { before: String, since: String },
}

impl Wire<How> for HowWords {
    fn write(from: &How) -> Self {
        match from.clone() {
            How::InShop { here, there } => Self::InShop { here, there },
            How::NotInShop { here } => Self::NotInShop { here },
            How::Changed { before, since } => Self::Changed { before, since },
        }
    }
    fn read(self) -> Result<How, BadField> {
        Ok(match self {
            Self::InShop { here, there } => How::InShop { here, there },
            Self::NotInShop { here } => How::NotInShop { here },
            Self::Changed { before, since } => How::Changed { before, since },
        })
    }
}

wire_struct!(RecallWords for Recall {
    station: String,
    day: DayKept,
    last_good: Option<DayKept>,
    zero: Pair<Option<ZeroWords>>,
    verdict: Option<Verdict>,
    would: WouldWords,
    window_use: Option<f64>,
});
wire_struct!(ZeroWords for ZeroAt { day: DayKept, off: DirectionWords, u_arcmin: [f64; 2] });
wire_enum!(WouldWords for Would { Pass, Fail, CannotTell });

wire_struct!(DirectionWords for solver::Direction { x_arcmin: f64, y_arcmin: f64 });
wire_struct!(MisalignmentWords for solver::Misalignment { x_arcmin: f64, y_arcmin: f64 });
wire_struct!(AsMeasuredWords for AsMeasured { unit: MeasuredWords, limits: Limits, rule: Rule });
wire_struct!(MeasuredWords for solver::global_risk::MeasuredUnit {
    misalignment: MisalignmentWords,
    shared: DirectionWords,
    misalignment_covariance: [[f64; 2]; 2],
    shared_covariance: [[f64; 2]; 2],
});
wire_enum!(RelationWords for solver::Relation {
    Crossing, Tangent, Separate, Contained, Concentric, Coincident,
});
wire_enum!(SenseWords for solver::Sense { With, Against });
wire_struct!(ShimMissWords for ShimMiss { channel: Side, miss_arcmin: f64 });
wire_struct!(ShimSeenWords for ShimSeen {
    channel: Side,
    predicted: DirectionWords,
    measured: DirectionWords,
});
