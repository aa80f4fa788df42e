//! The man page is what its maker makes. Make it anew with
//! `cargo run -p samepoint --example make_man_page`.

#[path = "../../crates/samepoint/examples/make_man_page/page.rs"]
mod page;

use crate::run::samepoint;

#[test]
fn it_is_as_made() {
    let made = String::from_utf8(page::page().unwrap()).unwrap();
    let kept = std::fs::read_to_string(page::path()).unwrap();
    assert!(kept == made, "it differs from what make_man_page makes");
}

/// Every command and every flag that `--help` knows is on the page.
#[test]
fn it_says_what_help_says() {
    let kept = std::fs::read_to_string(page::path()).unwrap().replace('\\', "");
    for command in ["solve", "review", "report", "shop", "salvage", "picture"] {
        assert!(kept.contains(&format!(".SH \"COMMAND {}\"", command.to_uppercase())), "{command}");
        let help = samepoint(&[command, "--help"]).answered(0);
        let words = help.split(|c: char| !(c.is_alphanumeric() || c == '-'));
        for flag in words.filter(|word| word.starts_with("--") && word.len() > 2) {
            assert!(kept.contains(flag), "{command} {flag}");
        }
    }
}
