use crate::run::samepoint;

/// Without a display: one clear line that names what needs none.
#[test]
fn says_that_there_is_no_display() {
    let message = samepoint::<&str>(&[]).refused();
    assert!(message.contains("display"), "{message}");
    assert!(message.contains("samepoint solve"), "{message}");
    assert!(message.contains("`review`"), "{message}");
}

#[test]
fn refuses_a_path_that_is_not_there() {
    let message = samepoint(&["no-such.samepoint"]).refused();
    assert!(message.contains("no-such.samepoint"), "{message}");
}

#[test]
fn helps() {
    for arguments in [vec!["--help"], vec!["solve", "--help"], vec!["help", "solve"]] {
        let help = samepoint(&arguments).answered(0);
        assert!(help.contains("solve") && help.contains("Usage: samepoint"), "{help}");
    }
    let version = samepoint(&["--version"]).answered(0);
    assert_eq!(version, format!("samepoint {}\n", env!("CARGO_PKG_VERSION")));
}
