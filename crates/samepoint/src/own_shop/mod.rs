//! A shop of one's own: begun in the window, and all it keeps seen to there.
//!
//! - [`begin`]: what is asked to begin one; [`begin_ui`]: the question of the first start, and beginning;
//! - [`keeps_ui`]: what the shop keeps, and what it does not say yet;
//! - [`form`]: the forms of what it keeps; [`form_ui`]: one on screen; [`drawing`]: what its numbers mean;
//! - [`finding`]: a station's map, found;
//! - [`listing`]: a list from a spreadsheet;
//! - [`head_picture_ui`]: the picture on the shop's papers; [`graticule_ui`]: a camera map's picture and its marks on it; [`marks_ui`]: the marks as numbers;
//! - [`acting`]: what a hand asks of all this; [`opening`]: the graticule's picture and that of the papers, opened by a
//!   worker.

pub(crate) mod acting;
pub(crate) mod begin;
pub(crate) mod begin_ui;
pub(crate) mod drawing;
pub(crate) mod finding;
pub(crate) mod form;
pub(crate) mod form_ui;
pub(crate) mod graticule_ui;
pub(crate) mod head_picture_ui;
pub(crate) mod keeps_ui;
pub(crate) mod listing;
pub(crate) mod marks_ui;
pub(crate) mod opening;

use finding::FindAction;
use form::KeptKind;
use listing::ListAction;

/// What a hand asks about the shop it works in.
#[derive(Clone, Debug, PartialEq)]
pub enum OwnAction {
    /// Look round the demo shop: the first question is answered.
    LookRound,
    /// Ask what is needed to begin a shop.
    AskBegin,
    /// Begin the one on the sheet.
    Begin,
    /// Change the one at a place of the shop's list; add one where none is given.
    Edit(KeptKind, Option<usize>),
    /// Find the map of the station at a place of the shop's list.
    FindMap(usize),
    /// Something on the sheet that finds a map.
    Find(FindAction),
    /// Ask for a list from a spreadsheet.
    AskList,
    /// Something on the sheet for it.
    List(ListAction),
    /// Keep what is on the form.
    KeepForm,
    /// Show what it was before.
    ShowEarlier,
    /// Open the graticule's picture named on the form.
    OpenGraticule,
    /// Open the picture named on the form for the shop's papers.
    OpenHeadPicture,
}
