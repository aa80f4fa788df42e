//! `samepoint report`: a session's report as PDF, or its field plot as SVG.

use record::{RealDisk, review};

use super::arguments::Report;
use super::{Outcome, figures};
use crate::report_file::write_report;

/// Reviews the session and draws its report; says in which file it is.
pub(super) fn run(asked: &Report) -> Outcome {
    let account = match review(&asked.session, &RealDisk) {
        Ok(account) => account,
        Err(error) => return Outcome::refused(figures::naming(&asked.session, &error.to_string())),
    };
    match write_report(&account, &asked.to, asked.paper.size()) {
        Ok(()) => Outcome::Answered { text: format!("{}\n", figures::path(&asked.to)), code: 0 },
        Err(message) => Outcome::refused(message),
    }
}
