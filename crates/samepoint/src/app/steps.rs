//! The steps along the bottom: where the job stands. They can be walked in any order.

use record::fact::Purpose;

use super::App;
use super::bottom_bar::JobStep;
use crate::bench::session::OpenSession;
use crate::sheets::Sheet;
use crate::ui_command::UiCommand;

impl App {
    /// The steps in the order in which a job usually goes.
    pub(crate) fn steps(&self) -> Vec<JobStep> {
        let session = self.session.as_ref();
        let setting_up = matches!(self.front, Sheet::SetUp(_));
        let at_work = session.is_some() && !setting_up;
        let as_found = self.entry.purpose == Purpose::AsFound;
        let confirming = self.entry.purpose == Purpose::Confirm;
        let logging = self.entry.purpose == Purpose::Log;
        let met = session.is_some_and(|session| match session.differences() {
            Some(differences) => differences.plane.setting.is_some(),
            None => session.picture().setting.is_some(),
        });
        vec![
            JobStep {
                name: "Set up",
                done: session.is_some_and(|session| session.state().round().is_some()),
                here: setting_up,
                command: UiCommand::SetUp,
            },
            JobStep {
                name: "As found",
                done: session.is_some_and(OpenSession::as_found_done),
                here: at_work && as_found,
                command: UiCommand::AsFound,
            },
            JobStep {
                name: "Log",
                done: met,
                here: at_work && logging && !met,
                command: UiCommand::Logging,
            },
            JobStep {
                name: "Meet",
                done: session.is_some_and(OpenSession::confirmed),
                here: at_work && logging && met && !self.remedying.open,
                command: UiCommand::Meet,
            },
            JobStep {
                name: "Remedy",
                done: session.is_some_and(OpenSession::remedied),
                here: at_work && self.remedying.open,
                command: UiCommand::Remedies,
            },
            JobStep {
                name: "Confirm",
                done: session.is_some_and(OpenSession::confirmed),
                here: at_work && confirming && !self.front.tells_verdict(),
                command: UiCommand::Confirm,
            },
            JobStep {
                name: "Sign",
                done: self.closed().is_some(),
                here: matches!(self.front, Sheet::Sign(_)),
                command: UiCommand::Sign,
            },
        ]
    }
}
