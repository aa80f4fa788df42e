//! Other programs of this computer: where they are, and starting them without a window of their own.

use std::path::{Path, PathBuf};
use std::process::Command;

/// A program of this name on the user's path.
#[must_use]
pub(crate) fn on_path(name: &str) -> Option<PathBuf> {
    let name = format!("{name}{}", std::env::consts::EXE_SUFFIX);
    let path = std::env::var_os("PATH").unwrap_or_default();
    // A folder that is not named whole is another one from wherever the program was started.
    let folders = std::env::split_paths(&path).filter(|folder| folder.is_absolute());
    folders.map(|folder| folder.join(&name)).find(|program| is_program(program))
}

#[cfg(unix)]
fn is_program(path: &Path) -> bool {
    use std::os::unix::fs::PermissionsExt as _;
    let mode = |about: &std::fs::Metadata| about.permissions().mode();
    std::fs::metadata(path).is_ok_and(|about| about.is_file() && mode(&about) & 0o111 != 0)
}

#[cfg(not(unix))]
fn is_program(path: &Path) -> bool {
    path.is_file()
}

/// A program of the terminal that a window starts gets a terminal's window of its own on Windows; not this one.
#[cfg(windows)]
pub(crate) fn without_window(starting: &mut Command) {
    use std::os::windows::process::CommandExt as _;
    /// `CREATE_NO_WINDOW`.
    const NO_WINDOW: u32 = 0x0800_0000;
    starting.creation_flags(NO_WINDOW);
}

/// Elsewhere there is no such window.
#[cfg(not(windows))]
pub(crate) const fn without_window(_: &mut Command) {}
