//! Runs the program without a display and gathers what it says.

use std::ffi::OsStr;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

pub(crate) struct Run {
    pub(crate) code: i32,
    pub(crate) out: String,
    pub(crate) err: String,
}

pub(crate) fn command() -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_samepoint"));
    command
        .env_remove("DISPLAY")
        .env_remove("WAYLAND_DISPLAY")
        .env_remove("WAYLAND_SOCKET")
        .current_dir(root())
        .stdin(Stdio::null());
    command
}

pub(crate) fn samepoint<S: AsRef<OsStr>>(arguments: &[S]) -> Run {
    let output = command().args(arguments).output().unwrap();
    Run {
        code: output.status.code().expect("it should end by itself"),
        out: String::from_utf8(output.stdout).unwrap(),
        err: String::from_utf8(output.stderr).unwrap(),
    }
}

impl Run {
    /// An answer: nothing on standard error.
    #[track_caller]
    pub(crate) fn answered(self, code: i32) -> String {
        assert_eq!((self.code, self.err.as_str()), (code, ""), "{}", self.out);
        self.out
    }

    /// A refusal: exit code 2, one line on standard error, nothing on standard output.
    #[track_caller]
    pub(crate) fn refused(self) -> String {
        assert_eq!((self.code, self.out.as_str()), (2, ""), "{}", self.err);
        let message = self.err.strip_suffix('\n').expect("a message ends its line");
        assert!(!message.is_empty() && !message.contains('\n'), "one line, not\n{message}");
        message.to_owned()
    }
}

pub(crate) fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}

pub(crate) fn readings(name: &str) -> String {
    format!("demo-data/readings/{name}")
}
