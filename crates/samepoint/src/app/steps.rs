//! The steps along the bottom: where the job stands. They can be walked in any order.

use record::fact::Purpose;

use super::front::Front;
use super::session::OpenSession;
use super::{Action, App};
use crate::panels::bottom_bar::Step;
use crate::ui_command::UiCommand;

impl App {
    /// The steps in the order in which a job usually goes.
    pub(super) fn steps(&self) -> Vec<Step> {
        let session = self.session.as_ref();
        let as_found = self.entry.purpose == Purpose::AsFound;
        let confirming = self.entry.purpose == Purpose::Confirm;
        let logging = session.is_some() && self.entry.purpose == Purpose::Log;
        let met = session.is_some_and(|session| session.picture().setting.is_some());
        vec![
            Step {
                name: "As found",
                tip: "Read both channels before anything is touched.",
                done: session.is_some_and(OpenSession::as_found_done),
                here: session.is_some() && as_found,
                action: Action::AsFound,
            },
            Step {
                name: "Log",
                tip: "Turn each ring and read where its crosshair lands.",
                done: met,
                here: logging && !met,
                action: Action::Logging,
            },
            Step {
                name: "Meet",
                tip: "Turn each ring to its target.",
                done: session.is_some_and(OpenSession::confirmed),
                here: logging && met,
                action: Action::Meet,
            },
            Step {
                name: "Confirm",
                tip: UiCommand::Confirm.tip(),
                done: session.is_some_and(OpenSession::confirmed),
                here: session.is_some() && confirming && !self.front.tells_verdict(),
                action: Action::Do(UiCommand::Confirm),
            },
            Step {
                name: "Sign",
                tip: UiCommand::Sign.tip(),
                done: self.closed().is_some(),
                here: matches!(self.front, Front::Sign(_)),
                action: Action::Do(UiCommand::Sign),
            },
        ]
    }
}
