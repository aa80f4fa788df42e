//! What a panic leaves. The page names the process's own session and log lines: no window of another test may
//! run beside it.

use std::fs;
use std::path::Path;

/// A panic anywhere leaves a page in the state folder: version, session, log lines, backtrace.
#[test]
fn a_panic_leaves_a_page() {
    let home = tempfile::tempdir().unwrap();
    let state = home.path().join("state");
    samepoint::testing::crash::install(&state);
    samepoint::testing::crash::remember_session(Some(Path::new("/shop/sessions/0171.samepoint")));
    samepoint::testing::crash::remember_rescue(Some(Path::new(
        "/state/rescue/0171.samepoint-rescue",
    )));
    log::info!("a line before the end");
    let stopped = std::thread::Builder::new()
        .name("broken".to_owned())
        .spawn(|| panic!("the lamp went out"))
        .unwrap()
        .join();
    assert!(stopped.is_err());
    let pages: Vec<_> = fs::read_dir(&state).unwrap().flatten().collect();
    assert!(!pages.is_empty());
    let page = pages
        .iter()
        .map(|page| fs::read_to_string(page.path()).unwrap())
        .find(|page| page.contains("the lamp went out"));
    let page = page.expect("a page about this panic");
    let rescue = "0171.samepoint-rescue";
    for part in
        [env!("CARGO_PKG_VERSION"), "a line before the end", "Backtrace", "Session: ", rescue]
    {
        assert!(page.contains(part), "{part} is missing:\n{page}");
    }
}
