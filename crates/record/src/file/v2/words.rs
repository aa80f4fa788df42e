//! The facts of format 2 in its words: those of format 1, and what it adds.

use crate::fact;
use crate::file::v1::shop_items::{Housing, Station, Unit, Window};
use crate::file::v1::wire::{wire_enum, wire_struct};
use crate::file::v1::words::{
    LookingTest, Note, Picture, Precondition, Reading, RemedyTaken, Returned, RoundOpened,
    SettingChosen, Setup, Signed, Withdrawn,
};

wire_struct!(Countersigned for fact::Countersigned {
    signature: u64,
    last_hash: String,
    comment: String,
    hands_sha256: Option<String>,
});
wire_struct!(Sealed for fact::Sealed { seq: u64, sshsig: String });

wire_struct!(Camera for fact::Camera {
    name: String,
    station: String,
    size_px: [u64; 2],
    lines: Lines,
    marks: Vec<PictureMark>,
});
wire_enum!(Lines for fact::Lines { Bright, Dark });
wire_struct!(PictureMark for fact::PictureMark { px: [f64; 2], divisions: [f64; 2] });
wire_struct!(Frame for fact::Frame {
    reading: u64,
    picture_sha256: String,
    background_sha256: Option<String>,
    read: FrameRead,
    crosshairs: Vec<Crosshair>,
});
wire_enum!(FrameRead for fact::FrameRead { Camera, Hand });
wire_struct!(Crosshair for fact::NotedCrosshair {
    px: [f64; 2],
    covariance_px2: Option<[f64; 3]>,
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
    Sealed(Sealed),
    Camera(Camera),
    Frame(Frame),
}
