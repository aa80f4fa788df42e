//! A path as a hand types it, or chooses it in a dialog.

use std::path::{Path, PathBuf};

/// A path, typed or chosen.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PathSheet {
    /// As typed.
    pub path: String,
    /// The session it is of, where it is of one.
    pub of: Option<PathBuf>,
    /// What was refused.
    pub refused: Option<String>,
    /// Whether a dialog is open elsewhere.
    pub asking: bool,
}

impl PathSheet {
    /// Starts from a path.
    #[must_use]
    pub fn at(path: &Path) -> Self {
        Self { path: path.display().to_string(), ..Self::default() }
    }

    /// The same, of a session.
    #[must_use]
    pub fn of(session: &Path, path: &Path) -> Self {
        Self { of: Some(session.to_owned()), ..Self::at(path) }
    }

    /// The path typed, `~/` being the home folder.
    #[must_use]
    pub fn chosen(&self) -> Option<PathBuf> {
        typed_path(&self.path)
    }
}

/// Where a file dialog may start.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct AskFrom {
    /// The user's own folder.
    pub home: PathBuf,
    /// That of the shop.
    pub shop: PathBuf,
    /// The open session's file.
    pub session: Option<PathBuf>,
    /// What is typed in the sheet already.
    pub typed: PathBuf,
}

impl AskFrom {
    /// The user's own folder.
    pub(crate) fn home(&self) -> PathBuf {
        self.home.clone()
    }

    /// A folder of the shop.
    pub(crate) fn shop(&self, name: &str) -> PathBuf {
        self.shop.join(name)
    }

    /// Where the open session lies.
    pub(crate) fn session(&self) -> PathBuf {
        self.session.as_deref().map(folder).unwrap_or_default()
    }

    /// Where what is typed would lie.
    pub(crate) fn folder(&self) -> PathBuf {
        folder(&self.typed)
    }

    /// The name of what is typed.
    pub(crate) fn name(&self) -> String {
        self.typed.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default()
    }
}

fn folder(of: &Path) -> PathBuf {
    of.parent().map(Path::to_owned).unwrap_or_default()
}

/// A path as typed, `~/` being the home folder; `None` where nothing is.
#[must_use]
pub(crate) fn typed_path(typed: &str) -> Option<PathBuf> {
    let typed = typed.trim();
    let typed = if cfg!(windows) { unquoted(typed) } else { typed };
    if typed.is_empty() {
        return None;
    }
    let below_home = typed.strip_prefix("~/");
    let below_home = below_home.or_else(|| typed.strip_prefix(r"~\").filter(|_| cfg!(windows)));
    Some(match (below_home, std::env::home_dir()) {
        (Some(rest), Some(home)) => home.join(rest),
        _ => PathBuf::from(typed),
    })
}

/// Without the straight quotes that the file manager of Windows puts round a path that is copied from it; no name
/// there holds one.
fn unquoted(typed: &str) -> &str {
    let inside = typed.strip_prefix('"').and_then(|rest| rest.strip_suffix('"'));
    inside.map_or(typed, str::trim)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn quotes_round_a_whole_path_go() {
        assert_eq!(unquoted(r#""C:\shop two""#), r"C:\shop two");
        for other in [r"C:\shop", "\"", "a \"b\" c", ""] {
            assert_eq!(unquoted(other), other);
        }
    }
}
