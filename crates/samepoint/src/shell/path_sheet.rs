//! A path as a hand types it, or chooses it in a dialog.

use std::path::PathBuf;

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
    pub fn at(path: &std::path::Path) -> Self {
        Self { path: path.display().to_string(), ..Self::default() }
    }

    /// The same, of a session.
    #[must_use]
    pub fn of(session: &std::path::Path, path: &std::path::Path) -> Self {
        Self { of: Some(session.to_owned()), ..Self::at(path) }
    }

    /// The path typed, `~/` being the home folder.
    #[must_use]
    pub fn chosen(&self) -> Option<PathBuf> {
        typed_path(&self.path)
    }
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
