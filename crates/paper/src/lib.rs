//! samepoint's pictures as display lists, drawn alike on screen and on paper.
//!
//! - [`scene`]: the field plot as items with roles, arcminutes and points, never colours;
//! - [`field`]: what is known of a unit → its scene;
//! - [`description`]: a scene in words; [`measure`]: from one item to another;
//! - [`style`]: line, dash and marker of each role, so that left and right differ without colour;
//! - [`palette`], [`letters`]: the colours and faces of paper;
//! - [`ink`]: what goes on paper, in points; [`parts`]: which heading, paragraph, cell or picture it is of; [`layout`]: a scene → ink; `label_places`: where words stand in it; [`mod@svg`]: ink → SVG;
//!   [`mod@png`]: ink → pixels;
//! - [`plane`]: where only differences are read;
//! - [`mod@report`]: a session, a calibration, or a shop's recall list → PDF; [`cautions`]: what every screen and report warns of;
//! - [`chart`]: a chart of a shop → ink;
//! - [`mod@label`]: the label of a unit's case, with a QR code;
//! - [`marks`]: how a report or picture that this program wrote is told from any other file;
//! - [`error`]: what can keep a report from being made;
//! - [`words`]: numbers as everyone reads them: true minus signs, units, one decimal.
//! - [`glossary`]: what the words mean.

pub mod cautions;
pub mod chart;
pub mod description;
pub mod error;
pub mod field;
pub mod glossary;
pub mod ink;
pub mod label;
mod label_places;
pub mod layout;
pub mod letters;
pub mod marks;
pub mod measure;
pub mod palette;
pub mod parts;
pub mod plane;
pub mod png;
pub mod report;
pub mod scene;
pub mod style;
pub mod svg;
pub mod words;

pub use error::Error;
pub use field::{Confirmed, Field, Ghost, field_scene};
pub use ink::GreyPicture;
pub use label::{UnitLabel, label};
pub use png::{PixelPicture, pixels, png};
pub use report::{
    HeadShown, NotShown, PaperSize, Pictures, ShopHead, SmallPicture, calibration_sheet, caption,
    month_report, recall_list, report, report_with, session_scene, small_pictures_of,
};
pub use scene::{Anchor, Extent, Item, ItemId, MarkKind, ReadingMark, Role, Scene, Shape};
pub use svg::svg;
