//! The shop beside a session: found by where the session lies, read as guardedly as a shop is.

use std::fs;
use std::path::Path;

use record::{RealDisk, Shop, review};

use crate::flips::lines_of;
use crate::support::*;

fn session_in(folder: &Path) -> std::path::PathBuf {
    fs::create_dir_all(folder).unwrap();
    let path = folder.join("a.samepoint");
    fs::write(&path, lines_of(&facts_of(&whole_job()))).unwrap();
    path
}

#[test]
fn a_session_in_a_shop_has_its_stations_and_windows_beside_it() {
    let shop = tempfile::tempdir().unwrap();
    Shop::lay_out(shop.path()).unwrap();
    let mut kept = Shop::load(shop.path()).unwrap();
    kept.keep_station(station()).unwrap();
    kept.keep_window(window()).unwrap();
    for folder in ["sessions", "practice"] {
        let account = review(&session_in(&shop.path().join(folder)), &RealDisk).unwrap();
        let beside = account.beside.expect("it lies in a shop");
        let whole = |folder: &Path| folder.canonicalize().unwrap();
        assert_eq!(whole(&beside.folder), whole(shop.path()));
        assert_eq!((beside.stations.len(), beside.windows.len()), (1, 1));
        assert_eq!(beside.stations[0].value, station());
    }
    // A link to it is the session itself.
    #[cfg(unix)]
    {
        let elsewhere = tempfile::tempdir().unwrap();
        let link = elsewhere.path().join("link.samepoint");
        std::os::unix::fs::symlink(shop.path().join("sessions/a.samepoint"), &link).unwrap();
        assert!(review(&link, &RealDisk).unwrap().beside.is_some());
    }
}

#[test]
fn a_session_in_no_shop_has_none() {
    let folder = tempfile::tempdir().unwrap();
    for place in ["", "sessions", "elsewhere"] {
        let path = session_in(&folder.path().join(place));
        assert!(review(&path, &RealDisk).unwrap().beside.is_none(), "{place:?}");
    }
    Shop::lay_out(folder.path()).unwrap();
    let path = session_in(&folder.path().join("elsewhere"));
    assert!(review(&path, &RealDisk).unwrap().beside.is_none(), "not where a shop keeps sessions");
}

/// What stands in a shop's folder may be anything; a review ends all the same.
#[cfg(unix)]
#[test]
fn pipes_devices_and_endless_files_beside_it_are_passed_over_and_named() {
    let shop = tempfile::tempdir().unwrap();
    Shop::lay_out(shop.path()).unwrap();
    let windows = shop.path().join("windows");
    let pipe = windows.join("a pipe.ron");
    assert!(std::process::Command::new("mkfifo").arg(&pipe).status().unwrap().success());
    std::os::unix::fs::symlink("/dev/zero", windows.join("endless.ron")).unwrap();
    fs::write(windows.join("large.ron"), vec![b' '; 2 << 20]).unwrap();
    fs::write(windows.join("broken.ron"), "(format: 1, window: (").unwrap();
    let account = review(&session_in(&shop.path().join("sessions")), &RealDisk).unwrap();
    let beside = account.beside.unwrap();
    assert_eq!((beside.windows.len(), beside.skipped.len()), (0, 4), "{:?}", beside.skipped);
}
