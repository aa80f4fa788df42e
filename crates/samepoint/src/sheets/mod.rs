//! What can stand in front of the plot: sheets that never block the entry row.
//!
//! A sheet with a subject of its own lies with that subject; here are those about the window itself, and what all
//! sheets share:
//!
//! - `table`: a row for each sheet, wherever it lies; `row`: what a row says; [`ui`]: the window that shows it;
//! - `head`, `keyboard`, `parts`, `pick_or_type`: what sheets are made of;
//! - `paths`: open, copy, go on, report, picture; `withdraw`, `choose`, `round`, `own_remedy`: what takes a reason;
//! - `label`: the label of a unit's case; `of_shop`: what is written of a shop;
//! - `commands`: all commands by name; `keypad`, `pedals`: presses; `reading` (keys, cautions), `glossary`, `about`: only
//!   read.

pub(crate) mod about;
pub(crate) mod choose;
pub(crate) mod commands;
pub(crate) mod glossary;
pub(crate) mod head;
pub(crate) mod keyboard;
pub(crate) mod keypad;
pub(crate) mod label;
pub(crate) mod of_shop;
pub(crate) mod own_remedy;
pub(crate) mod parts;
pub(crate) mod paths;
pub(crate) mod pedals;
pub(crate) mod pick_or_type;
pub(crate) mod reading;
pub(crate) mod round;
mod row;
mod table;
pub(crate) mod ui;
pub(crate) mod withdraw;

pub use table::Sheet;
