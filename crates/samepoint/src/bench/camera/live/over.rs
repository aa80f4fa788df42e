//! Why a camera runs no more.

use std::process::ExitStatus;

use crate::bench::camera::looking::NoLook;
use crate::frames::refusal::{NoFrames, NoProgram};
use crate::jobs::Broken;

/// Why, in a sentence without its end.
#[derive(Debug, thiserror::Error)]
pub(crate) enum Why {
    /// It was never started.
    #[error("The camera is not started: {0}")]
    NotStarted(NoProgram),
    /// It ended well.
    #[error("{name} ended: there are no more frames")]
    Ended {
        /// The program.
        name: String,
    },
    /// It ended otherwise.
    #[error("{name} ended with {status}")]
    Failed {
        /// The program.
        name: String,
        /// How.
        status: ExitStatus,
    },
    /// It went on without its output.
    #[error("{name} closed its output and was ended")]
    Closed {
        /// The program.
        name: String,
    },
    /// It was not understood.
    #[error("{name} was ended: {why}")]
    NoFrames {
        /// The program.
        name: String,
        /// Why.
        why: NoFrames,
    },
    /// It was, and none of it can be read.
    #[error("{name} was ended: {why}")]
    NoLook {
        /// The program.
        name: String,
        /// Why.
        why: NoLook,
    },
    /// The bench changed.
    #[error("The camera was ended: {0}")]
    NotNow(String),
    /// A worker died.
    #[error("{}", .0.why())]
    Broken(Broken),
}

/// A camera that runs no more.
#[derive(Debug)]
pub(crate) struct Over {
    pub(crate) why: Why,
    /// What its program said last.
    pub(crate) words: Option<String>,
}

impl Over {
    /// It in a few sentences.
    pub(crate) fn told(&self) -> Vec<String> {
        let mut told = vec![format!("{}.", self.why)];
        told.extend(self.words.as_ref().map(|words| format!("It said: {words}")));
        told.push("Alt+F starts the camera again, Alt+Shift+F changes its command.".to_owned());
        told
    }
}
