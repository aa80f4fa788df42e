//! `samepoint tables`: handed over whole to the program beside it, and what is said where that is missing. What it
//! writes: `tests/tables`.

use std::ffi::OsStr;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use crate::run::{root, samepoint};

/// The program alone in a folder of its own.
fn alone() -> (tempfile::TempDir, PathBuf) {
    let own = Path::new(env!("CARGO_BIN_EXE_samepoint"));
    let folder = tempfile::tempdir_in(own.parent().unwrap()).unwrap();
    let program = folder.path().join(own.file_name().unwrap());
    // A second name of the same file: a copy would take its time and room.
    if fs::hard_link(own, &program).is_err() {
        fs::copy(own, &program).unwrap();
    }
    (folder, program)
}

fn run(program: &Path, arguments: &[&OsStr]) -> (Option<i32>, String, String) {
    let done = Command::new(program).args(arguments).current_dir(root()).output().unwrap();
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap();
    (done.status.code(), text(done.stdout), text(done.stderr))
}

#[test]
fn arguments_are_asked_for_before_anything_is_run() {
    for wrong in [
        &["tables"][..],
        &["tables", "demo-data"],
        &["tables", "--to", "x"],
        &["tables", "--nonsense"],
    ] {
        let message = samepoint(wrong).refused();
        assert!(message.contains("samepoint tables --help"), "{message}");
    }
    let help = samepoint(&["tables", "--help"]).answered(0);
    assert!(help.contains("--schema") && help.contains("samepoint-tables.json"), "{help}");
}

/// Nothing of that name elsewhere is run, on PATH or where one works.
#[test]
fn a_missing_program_is_named_with_its_place() {
    let (folder, program) = alone();
    for beside in [None, Some("a folder")] {
        if beside.is_some() {
            fs::create_dir(folder.path().join("samepoint-tables")).unwrap();
        }
        let asked = ["tables", "demo-data", "--to", "x"].map(OsStr::new);
        let (code, out, err) = run(&program, &asked);
        assert_eq!((code, out.as_str(), err.lines().count()), (Some(2), "", 1), "{err}");
        assert!(err.contains("samepoint-tables") && err.contains("put it there"), "{err}");
    }
}

/// A stand-in beside it that tells what it was given.
#[cfg(unix)]
#[test]
fn arguments_output_and_exit_code_are_handed_over() {
    use std::os::unix::ffi::OsStrExt as _;
    use std::os::unix::fs::PermissionsExt as _;
    let (folder, program) = alone();
    let other = folder.path().join("samepoint-tables");
    let stand_in = |script: &str| {
        fs::write(&other, format!("#!/bin/sh\n{script}\n")).unwrap();
        fs::set_permissions(&other, fs::Permissions::from_mode(0o755)).unwrap();
    };
    stand_in("printf '<%s>' \"$@\"; echo told >&2; exit 1");
    let odd = OsStr::from_bytes(b"no\xfftext");
    let asked = [
        OsStr::new("tables"),
        OsStr::new("a b"),
        OsStr::new("--to=-x"),
        OsStr::new("--"),
        OsStr::new("-y"),
        odd,
    ];
    let done = Command::new(&program).args(asked).output().unwrap();
    assert_eq!(done.status.code(), Some(1));
    assert_eq!(done.stdout, b"<--to><-x><--><a b><-y><no\xfftext>");
    assert_eq!(done.stderr, b"told\n");
    for code in [0, 1, 2] {
        stand_in(&format!("exit {code}"));
        let asked = ["tables", "--schema"].map(OsStr::new);
        assert_eq!(run(&program, &asked), (Some(code), String::new(), String::new()));
    }
    stand_in("kill -9 $$");
    let (code, _, err) = run(&program, &["tables", "--schema"].map(OsStr::new));
    assert!(code == Some(2) && err.contains("run it again"), "{err}");
    // What is there and cannot be run.
    fs::set_permissions(&other, fs::Permissions::from_mode(0o644)).unwrap();
    let (code, _, err) = run(&program, &["tables", "--schema"].map(OsStr::new));
    assert!(code == Some(2) && err.contains("cannot be started"), "{err}");
}
