//! Which version of the program signed.

/// A version: major, minor, patch.
type Version = [u64; 3];

/// Whether the program named is a later version than this one.
pub(super) fn is_later(program: &str) -> bool {
    match (version_of(program), own()) {
        (Some(named), Some(own)) => named > own,
        _ => false,
    }
}

fn own() -> Option<Version> {
    version_of(concat!("samepoint ", env!("CARGO_PKG_VERSION")))
}

/// The version of `samepoint 0.1.0`.
fn version_of(program: &str) -> Option<Version> {
    let mut parts = program.strip_prefix("samepoint ")?.split('.');
    let mut part = || parts.next()?.parse::<u64>().ok();
    let version = [part()?, part()?, part()?];
    parts.next().is_none().then_some(version)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_a_later_version_may_store_what_this_one_does_not_know() {
        assert!(is_later("samepoint 99.0.0"));
        for program in
            ["samepoint 0.0.1", concat!("samepoint ", env!("CARGO_PKG_VERSION")), "", "99.0.0"]
        {
            assert!(!is_later(program), "{program:?}");
        }
    }
}
