//! A session's report as PDF: a first page for the customer, the rest for the specialist.
//!
//! Everything in it comes from the facts and the day it is issued: no clock, no chance, so the same session gives
//! the same bytes on a day. What is missing, doubtful or damaged is said on every page.
//!
//! - [`customer`]: the first page; [`who`]: unit and station on it; [`first_picture`]: its plot; [`specialist`], [`rounds`]: the pages after it;
//! - [`clock_face`]: where a shim lies, drawn; [`small_pictures`]: what confirm readings rest on, small;
//! - [`glossary`]: the words of a report; [`certificate`]: how a practice session was worked, and what was shown;
//! - [`standing`]: what marks every page; [`figures`]: words for numbers and times; `size`: of paper;
//! - [`number`]: what a report is called by; [`by_hand`]: lines that hands write on; [`looking`]: the looking test;
//! - [`letterhead`]: whose papers they are, and its picture; [`wording`]: what a shop wants printed;
//! - [`plot`]: the session's field plot, the same scene as on screen;
//! - [`calibration`]: a station's calibration on one page;
//! - [`recall`]: a shop's recall list, on pages of its own; [`month`]: its month;
//! - [`wrap`], [`block`], [`table`], [`flow`]: words → lines → bands → pages; [`pdf`]: pages → PDF; [`tags`]: what of them is read aloud,
//!   and in which order.

mod block;
mod by_hand;
pub mod calibration;
mod certificate;
mod clock_face;
mod customer;
mod figures;
mod first_picture;
mod flow;
mod glossary;
pub mod letterhead;
mod looking;
pub mod month;
mod number;
pub(crate) mod pdf;
mod plot;
pub mod recall;
mod rounds;
mod size;
pub mod small_pictures;
mod specialist;
pub(crate) mod standing;
mod table;
mod tags;
mod who;
mod wording;
pub(crate) mod wrap;

use record::{Account, Date};

use crate::error::Error;
use crate::letters::Letters;
use crate::marks;
pub use calibration::calibration_sheet;
use flow::{Flow, RunningHead};
pub use letterhead::{HeadShown, ShopHead};
pub use month::month_report;
pub use plot::{caption, session_scene};
pub use recall::recall_list;
pub use size::PaperSize;
pub use small_pictures::{NotShown, SmallPicture, small_pictures_of};

/// Draws the report of a reviewed session as PDF, made to be kept (PDF/A-3a).
///
/// `session`: the bytes of its file as it was reviewed, which the PDF carries with it; `None` leaves them out. `issued`:
/// the day it is put on paper, which stands on every page: the same session gives the same bytes on a day.
///
/// # Errors
/// [`Error::NotWritten`]. A character that no face of the program has does not cost the report: it is
/// told by its number, and the report ends with a line that says so.
pub fn report(
    account: &Account,
    session: Option<Vec<u8>>,
    paper: PaperSize,
    issued: Date,
) -> Result<Vec<u8>, Error> {
    report_with(account, session, paper, issued, Pictures::default())
}

/// Pictures that a report shows.
#[derive(Clone, Copy, Debug, Default)]
pub struct Pictures<'a> {
    /// The one of the shop's papers, where they have one.
    pub head: Option<&'a HeadShown>,
    /// Those that confirm readings rest on, where they are wanted: those that [`small_pictures_of`] asks for.
    pub confirm: Option<&'a [SmallPicture]>,
}

/// The same with pictures.
///
/// # Errors
/// As [`report`].
pub fn report_with(
    account: &Account,
    session: Option<Vec<u8>>,
    paper: PaperSize,
    issued: Date,
    pictures: Pictures<'_>,
) -> Result<Vec<u8>, Error> {
    let letters = Letters::load();
    let mut flow = Flow::new(&letters, paper, standing::marks(account));
    flow.own_foot(wording::of(account).map_or("", |wording| &wording.footer));
    let letterhead = account.beside.as_ref().and_then(|beside| beside.letterhead.as_ref());
    let head = ShopHead { letterhead, picture: pictures.head };
    if !customer::page(account, head, &mut flow) {
        flow.new_page();
    }
    specialist::pages(account, pictures.confirm, &mut flow);
    certificate::page(account, &mut flow);
    if let Some(why) = head.missing() {
        flow.paragraph(&why, block::TextLook::BODY);
    }
    flow.heading("Signatures by hand");
    by_hand::lines(
        &mut flow,
        &["Work done by (name, signature)", "Checked by", "Received for the customer by"],
    );
    flow.tell_numbers();
    let unit = account.session.unit().map_or("no unit named", |unit| unit.name.as_str());
    let running = RunningHead {
        title: title(unit),
        issue: format!("report {}, issued {issued}", number::of(account)),
        foot: format!("Last line of the session {}", account.last_hash),
    };
    let pages = flow.finish(&running);
    let made = account.last_time.map(pdf::date_time);
    let named = || account.path.file_name().map(|name| name.to_string_lossy().into_owned());
    let from = session.zip(made).map(|(bytes, told)| {
        let name = named().unwrap_or_else(|| "session.samepoint".to_owned());
        pdf::Attached { name, bytes, told }
    });
    let about = pdf::DocumentInfo {
        title: running.title,
        program: account.header().map_or_else(String::new, |header| header.program.clone()),
        producer: marks::PDF_PRODUCER,
        id: format!("{} {issued}", account.last_hash),
        made,
        from,
    };
    pdf::pdf(&pages, paper.size_pt(), &letters, about)
}

/// Of the first page, and of the document.
fn title(unit: &str) -> String {
    format!("Collimation report, unit {unit}")
}
