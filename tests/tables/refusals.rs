//! What is refused: one message, exit code 2, and nothing written.

use std::fs;
use std::path::Path;
#[cfg(unix)]
use std::process::Command;

use tables::Table;

use crate::read_back::{files, made, parts, run, shop, whole_job};

#[test]
fn arguments_that_name_too_little_are_refused() {
    let folder = tempfile::tempdir().unwrap();
    let own = shop(&folder.path().join("own"), &[]);
    run(&[]).refused();
    run(&[&own]).refused();
    run(&[Path::new("--to"), &folder.path().join("to")]).refused();
    run(&[Path::new("--nonsense")]).refused();
    assert!(run(&[Path::new("--help")]).out.contains("--schema"));
}

#[test]
fn what_is_no_shop_is_refused() {
    let folder = tempfile::tempdir().unwrap();
    let own = shop(&folder.path().join("own"), &[("x.samepoint", &whole_job())]);
    let to = folder.path().join("to");
    let gone = folder.path().join("gone");
    assert!(made(&[&gone], &to).refused().contains("gone"));
    let file = folder.path().join("file");
    fs::write(&file, "x").unwrap();
    assert!(made(&[&file], &to).refused().contains("file"));
    let bare = folder.path().join("bare");
    fs::create_dir(&bare).unwrap();
    assert!(made(&[&bare], &to).refused().contains("sessions"));
    // One that is not there keeps the tables of all as they are: a share that is not mounted takes none away.
    assert_eq!(made(&[&own], &to).code, 0);
    let before = files(&to);
    for other in [&gone, &file, &bare] {
        made(&[&own, other], &to).refused();
        assert_eq!(files(&to), before);
    }
}

#[test]
fn an_empty_shop_is_no_error() {
    let folder = tempfile::tempdir().unwrap();
    let own = shop(&folder.path().join("own"), &[]);
    let run = made(&[&own], &folder.path().join("to/deep/in"));
    assert_eq!(run.code, 0, "{run:?}");
    assert!(run.out.contains("0 session files"), "{run:?}");
}

#[test]
fn tables_never_lie_in_a_shop() {
    let folder = tempfile::tempdir().unwrap();
    let own = shop(&folder.path().join("own"), &[("x.samepoint", &whole_job())]);
    let before = files(&own);
    let inside = [
        own.clone(),
        own.join("tables"),
        own.join("sessions"),
        own.join("a/b/../c"),
        own.join("x/../."),
    ];
    for to in &inside {
        let message = made(&[&own], to).refused();
        assert!(message.contains("in the shop"), "{message}");
        assert_eq!(files(&own), before, "{}", to.display());
    }
    let other = shop(&folder.path().join("other"), &[]);
    assert!(made(&[&other, &own], &own.join("t")).refused().contains("own"));
    // A shop that lies where a table would.
    let within = shop(&folder.path().join("to/sessions/shop=a/month=b"), &[]);
    assert!(made(&[&within], &folder.path().join("to")).refused().contains("lies where"));
    #[cfg(unix)]
    {
        let link = folder.path().join("link");
        std::os::unix::fs::symlink(own.join("sessions"), &link).unwrap();
        made(&[&own], &link).refused();
        made(&[&own], &link.join("new")).refused();
        assert_eq!(files(&own), before);
        // A link in the folder of the tables that leads into the shop.
        let to = folder.path().join("linked");
        fs::create_dir(&to).unwrap();
        std::os::unix::fs::symlink(own.join("sessions"), to.join("sessions")).unwrap();
        let message = made(&[&own], &to).refused();
        assert!(message.contains("leads out"), "{message}");
        assert_eq!(files(&own), before);
        // A link that leads nowhere.
        let nowhere = folder.path().join("nowhere");
        std::os::unix::fs::symlink(folder.path().join("not there"), &nowhere).unwrap();
        made(&[&own], &nowhere).refused();
    }
}

#[test]
fn nothing_is_written_over_that_is_not_ours() {
    let folder = tempfile::tempdir().unwrap();
    let own = shop(&folder.path().join("own"), &[("x.samepoint", &whole_job())]);
    let to = folder.path().join("to");
    fs::write(&to, "a file").unwrap();
    assert!(made(&[&own], &to).refused().contains("there is a file"));
    assert_eq!(fs::read(&to).unwrap(), b"a file");
    fs::remove_file(&to).unwrap();
    assert_eq!(made(&[&own], &to).code, 0);
    let part = parts(&to, Table::Sessions)[0].clone();
    let ours = fs::read(&part).unwrap();
    let of_readings = fs::read(&parts(&to, Table::Readings)[0]).unwrap();
    let cut = ours[..ours.len() - 9].to_vec();
    fs::write(own.join("pictures.txt"), "changed").unwrap();
    // Nothing, a text, another's Parquet by its frame only, one that was cut, one of another table.
    for foreign in [Vec::new(), b"notes".to_vec(), b"PAR1PAR1".to_vec(), cut, of_readings] {
        fs::write(&part, &foreign).unwrap();
        let message = made(&[&own], &to).refused();
        assert!(message.contains("was not written by"), "{message}");
        assert_eq!(fs::read(&part).unwrap(), foreign);
    }
    fs::write(&part, &ours).unwrap();
    let manifest = to.join(tables::manifest::MANIFEST);
    fs::write(&manifest, "{\"mine\": true}").unwrap();
    assert!(made(&[&own], &to).refused().contains("was not written by"));
    assert_eq!(fs::read(&manifest).unwrap(), b"{\"mine\": true}");
    fs::remove_file(&manifest).unwrap();
    assert_eq!(made(&[&own], &to).code, 0);
}

/// A file of ours that is a link now: what it leads to is not touched.
#[cfg(unix)]
#[test]
fn no_link_is_followed() {
    let folder = tempfile::tempdir().unwrap();
    let own = shop(&folder.path().join("own"), &[("x.samepoint", &whole_job())]);
    let to = folder.path().join("to");
    made(&[&own], &to);
    let part = parts(&to, Table::Sessions)[0].clone();
    let kept = folder.path().join("kept");
    fs::rename(&part, &kept).unwrap();
    std::os::unix::fs::symlink(&kept, &part).unwrap();
    assert!(made(&[&own], &to).refused().contains("was not written by"));
    let session = own.join("sessions/linked.samepoint");
    std::os::unix::fs::symlink(folder.path().join("not there"), session).unwrap();
    fs::remove_file(&part).unwrap();
    let run = made(&[&own], &to);
    assert_eq!((run.code, run.err.lines().count()), (1, 1), "{run:?}");
    assert!(run.err.contains("linked.samepoint"), "{run:?}");
}

#[test]
fn files_that_cannot_be_read_are_named_and_the_rest_is_done() {
    let folder = tempfile::tempdir().unwrap();
    let own = shop(&folder.path().join("own"), &[("good.samepoint", &whole_job())]);
    let whole = fs::read(whole_job()).unwrap();
    let put = |name: &str, bytes: &[u8]| {
        let path = own.join(name);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, bytes).unwrap();
    };
    put("sessions/nonsense.samepoint", b"nonsense");
    put("sessions/empty.samepoint", b"");
    put("sessions/binary.samepoint", &[0, 159, 146, 150]);
    let mut spoiled = whole.clone();
    let middle = spoiled.len() / 2;
    spoiled[middle] ^= 1;
    put("sessions/spoiled.samepoint", &spoiled);
    put("practice/nonsense.samepoint", b"nonsense");
    put("checks/bad.samepoint-check", b"nonsense");
    put("studies/bad.samepoint-study", b"nonsense");
    put("windows/bad.ron", b"nonsense");
    let to = folder.path().join("to");
    let run = made(&[&own], &to);
    assert_eq!((run.code, run.err.lines().count()), (1, 8), "{}", run.err);
    for name in [
        "nonsense",
        "empty",
        "binary",
        "spoiled",
        "bad.samepoint-check",
        "bad.samepoint-study",
        "bad.ron",
    ] {
        assert!(run.err.contains(name), "{name}: {}", run.err);
    }
    let sessions = crate::read_back::rows(&to, Table::Sessions);
    assert_eq!(sessions.len(), 6);
    let counted =
        sessions.iter().filter(|row| crate::read_back::truth(row, "counts") == Some(true));
    assert_eq!(counted.count(), 1);
    let troubles = crate::read_back::rows(&to, Table::Troubles);
    let of_files = |row: &&crate::read_back::Read| {
        crate::read_back::text(row, "kind").as_deref() != Some("session")
    };
    assert_eq!(troubles.iter().filter(of_files).count(), 8);
    // A file without its end, which is told but does not count.
    put("sessions/torn.samepoint", &whole[..whole.len() - 20]);
    made(&[&own], &to);
    let torn = crate::read_back::rows(&to, Table::Sessions);
    let torn = torn
        .iter()
        .find(|row| crate::read_back::text(row, "file").unwrap().starts_with("torn"))
        .unwrap();
    assert_eq!(crate::read_back::truth(torn, "end_missing"), Some(true));
    assert_eq!(crate::read_back::truth(torn, "damaged"), Some(true));
    assert_eq!(crate::read_back::truth(torn, "counts"), Some(false));
}

/// Whoever may read and write everything is not kept out, so that this says nothing there.
#[cfg(unix)]
#[test]
fn what_is_not_allowed_is_told() {
    use std::os::unix::fs::PermissionsExt as _;
    let folder = tempfile::tempdir().unwrap();
    let own = shop(&folder.path().join("own"), &[("x.samepoint", &whole_job())]);
    let locked = folder.path().join("locked");
    fs::create_dir(&locked).unwrap();
    fs::set_permissions(&locked, fs::Permissions::from_mode(0o555)).unwrap();
    if fs::write(locked.join("probe"), "x").is_ok() {
        // A place that lets nobody write, whoever it is.
        let message = made(&[&own], Path::new("/proc/tables")).refused();
        assert!(message.contains("/proc/tables"), "{message}");
        return;
    }
    assert!(made(&[&own], &locked.join("to")).refused().contains("cannot be written"));
    assert!(made(&[&own], &locked).refused().contains("cannot be written"));
}

/// Two at once: the second says so.
#[test]
fn another_run_is_waited_for_by_the_hand() {
    let folder = tempfile::tempdir().unwrap();
    let own = shop(&folder.path().join("own"), &[]);
    let to = folder.path().join("to");
    made(&[&own], &to);
    let lock = fs::File::options().write(true).open(to.join(".samepoint-tables.lock")).unwrap();
    lock.lock().unwrap();
    assert!(made(&[&own], &to).refused().contains("another `samepoint tables`"));
    drop(lock);
    assert_eq!(made(&[&own], &to).code, 0);
}

/// A pipe where a file would be keeps nobody waiting.
#[cfg(unix)]
#[test]
fn no_pipe_is_waited_for() {
    let folder = tempfile::tempdir().unwrap();
    let own = shop(&folder.path().join("own"), &[("x.samepoint", &whole_job())]);
    let to = folder.path().join("to");
    assert_eq!(made(&[&own], &to).code, 0);
    let part = parts(&to, Table::Sessions)[0].clone();
    for name in [part, to.join(tables::manifest::MANIFEST), to.join(".samepoint-tables.lock")] {
        let kept = fs::read(&name).unwrap();
        fs::remove_file(&name).unwrap();
        assert!(Command::new("mkfifo").arg(&name).status().unwrap().success());
        assert!(made(&[&own], &to).refused().contains("was not written by"), "{}", name.display());
        fs::remove_file(&name).unwrap();
        fs::write(&name, kept).unwrap();
    }
    // In the shop one is named and passed over.
    for name in
        ["sessions/pipe.samepoint", "practice/pipe.samepoint", "studies/pipe.samepoint-study"]
    {
        let path = own.join(name);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        assert!(Command::new("mkfifo").arg(path).status().unwrap().success());
    }
    let run = made(&[&own], &to);
    assert_eq!((run.code, run.err.lines().count()), (1, 1), "{run:?}");
    assert!(run.err.contains("sessions/pipe.samepoint"), "{run:?}");
}
