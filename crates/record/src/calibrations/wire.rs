//! The words of a calibration's lines, in formats 1 and 2; frozen with [them](crate::journal).

use super::{
    CalibrationAbout, CalibrationBody, CalibrationSigned, CalibrationTerms, DeviationRead,
    DeviationShown, FlipSeen, SignedMap,
};
use crate::axis::Axis;
use crate::file::v1::shop_items::StationMap;
use crate::file::v1::wire::{Pair, Side, wire_enum, wire_struct};
use crate::file::v1::words::Withdrawn;
use crate::journal::wire::{Wired, header_line};

impl Wired for CalibrationBody {
    type Header = HeaderLine;
    type What = What;
}

header_line!(AboutWords for CalibrationAbout { station: String } continues);
wire_enum!(What for CalibrationBody {
    ; Flip(FlipWords), Shown(ShownWords), Read(ReadWords), Withdrawn(Withdrawn), Terms(TermsWords), Signed(SignedWords)
});
wire_enum!(AxisWords for Axis { X, Y });
wire_struct!(FlipWords for FlipSeen { channel: Side, axis: AxisWords, falls: bool });
wire_struct!(ShownWords for DeviationShown { x: String, y: String, u: Option<String>, source: String });
wire_struct!(ReadWords for DeviationRead { deviation: u64, channel: Side, x: String, y: String });
wire_struct!(TermsWords for CalibrationTerms {
    certificate: String,
    sigma: Option<String>,
    common_x: Option<String>,
    common_y: Option<String>,
    each_axis: bool,
    done: String,
    due: String,
});
wire_struct!(MapWords for SignedMap { map: StationMap, own_u_arcmin: [f64; 2] });
wire_struct!(SignedWords for CalibrationSigned {
    program: String,
    maps: Pair<MapWords>,
    common_u_arcmin: [f64; 2],
});
