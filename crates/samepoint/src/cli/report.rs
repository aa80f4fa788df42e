//! `samepoint report`: a session's report as PDF, its field plot as SVG, or the label of its unit's case.

use record::{RealDisk, Stamp, review};

use super::arguments::ReportArguments;
use super::refusal::{CommandRefusal, RefusalKind};
use super::review::passed_over;
use super::{Outcome, calibration, figures};
use crate::pictures::PictureReader;
use crate::report_file::{write_label, write_report};

/// Reviews the session and draws its report; says in which file it is.
pub(super) fn run(asked: &ReportArguments) -> Result<Outcome, CommandRefusal> {
    if calibration::is_one(&asked.session) {
        return calibration::report(asked);
    }
    let mut account = review(&asked.session, &RealDisk)
        .map_err(|why| RefusalKind::Record(why).of(&asked.session))?;
    account.read_pictures_again(&PictureReader);
    if asked.label {
        write_label(&account, &asked.to, asked.due)?;
    } else {
        let (paper, issued) = (asked.paper.size(), Stamp::now().date());
        write_report(&account, &asked.to, paper, issued, asked.pictures)?;
    }
    // A letterhead or a wording that cannot be read is missed on the paper.
    let passed_over = passed_over(&account);
    Ok(Outcome::Partly { text: format!("{}\n", figures::path(&asked.to)), passed_over, code: 0 })
}
