//! An audit pack and a month on paper: what `sha256sum` of GNU coreutils says of the pack, what is refused.

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;
use std::process::Command;

use crate::run::{root, samepoint};

/// The pack of the invented shop from a day until a day.
fn pack(shop: &Path, to: &Path, [from, until]: [&str; 2]) -> crate::run::Run {
    let (shop, to) = (shop.to_str().unwrap(), to.to_str().unwrap());
    samepoint(&["shop", shop, "--audit", to, "--from", from, "--until", until])
}

/// What the real `sha256sum -c` says of a folder.
fn checked(folder: &Path) -> (bool, String) {
    let mut command = Command::new("sha256sum");
    command.args(["--check", "--strict", "SHA256SUMS"]).current_dir(folder);
    let run = command.output().expect("sha256sum is there");
    (run.status.success(), String::from_utf8(run.stdout).unwrap())
}

/// Every file below a folder, by its path from there.
fn files(folder: &Path) -> BTreeSet<String> {
    let mut found = BTreeSet::new();
    let mut folders = vec![folder.to_owned()];
    while let Some(within) = folders.pop() {
        for entry in fs::read_dir(within).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
            } else {
                found.insert(path.strip_prefix(folder).unwrap().to_str().unwrap().to_owned());
            }
        }
    }
    found
}

#[test]
fn a_pack_is_whole_and_stock_sha256sum_checks_it() {
    let home = tempfile::tempdir().unwrap();
    let to = home.path().join("pack");
    let run = pack(&root().join("demo-data"), &to, ["2026-04-01", "2026-06-30"]);
    assert_eq!(run.code, 0, "{}", run.err);
    // What is left out is said, and stands in the pack with the reason.
    assert!(run.err.contains("0412.samepoint"), "{}", run.err);
    let left_out = fs::read_to_string(to.join("left-out.csv")).unwrap();
    assert!(left_out.contains("0412.samepoint"), "{left_out}");
    assert!(left_out.contains("files of sessions/"), "{left_out}");
    let (sound, said) = checked(&to);
    assert!(sound, "{said}");
    // Every file but the sums themselves has a line.
    let mut all = files(&to);
    assert!(all.remove("SHA256SUMS"));
    let told: BTreeSet<String> =
        said.lines().filter_map(|line| line.strip_suffix(": OK")).map(str::to_owned).collect();
    assert_eq!(told, all);
    // Session files are those of the shop, byte for byte; each has its report, and a line of the list.
    let list = fs::read_to_string(to.join("list.csv")).unwrap();
    let sessions: Vec<&String> = all.iter().filter(|name| name.starts_with("sessions/")).collect();
    assert!(sessions.len() >= 10, "{sessions:?}");
    for name in &sessions {
        let here = fs::read(to.join(name)).unwrap();
        assert!(here == fs::read(root().join("demo-data").join(name)).unwrap(), "{name}");
        let day = name.split(['/', ' ']).nth(1).unwrap();
        assert!(("2026-03-01".."2026-07-01").contains(&day), "{name}");
        let report = name.replace("sessions/", "reports/").replace(".samepoint", ".pdf");
        assert!(fs::read(to.join(&report)).unwrap().starts_with(b"%PDF-1.7"), "{report}");
        assert!(list.lines().any(|line| line.starts_with(name.as_str())), "{name}");
    }
    assert_eq!(list.lines().count(), sessions.len() + 1);
    assert!(all.contains("hands/allowed_signers") && all.contains("READ-ME.txt"));
    // A byte that is another is found.
    let changed = to.join(sessions[0]);
    let mut bytes = fs::read(&changed).unwrap();
    *bytes.last_mut().unwrap() ^= 1;
    fs::write(&changed, bytes).unwrap();
    let (sound, said) = checked(&to);
    assert!(!sound && said.contains(": FAILED"), "{said}");
    // Nothing lies beside it.
    assert_eq!(fs::read_dir(home.path()).unwrap().count(), 1);
}

/// A folder with anything in it stays as it is; an empty one is filled; what is no folder is not replaced.
#[test]
fn nothing_is_put_beside_what_is_there() {
    let home = tempfile::tempdir().unwrap();
    let shop = root().join("demo-data");
    let days = ["2026-05-01", "2026-05-31"];
    let full = home.path().join("full");
    fs::create_dir(&full).unwrap();
    fs::write(full.join("mine"), "mine").unwrap();
    let why = pack(&shop, &full, days).refused();
    assert!(why.contains("not empty"), "{why}");
    assert_eq!(files(&full).len(), 1);
    let file = home.path().join("file");
    fs::write(&file, "mine").unwrap();
    assert!(pack(&shop, &file, days).refused().contains("no folder"));
    assert_eq!(fs::read(&file).unwrap(), b"mine");
    pack(&shop, &home.path().join("nowhere/pack"), days).refused();
    let empty = home.path().join("empty");
    fs::create_dir(&empty).unwrap();
    assert_eq!(pack(&shop, &empty, days).code, 0);
    assert!(checked(&empty).0);
    // Turned round, a day that is none, two shops: nothing is made.
    let none = home.path().join("none");
    assert!(pack(&shop, &none, ["2026-05-31", "2026-05-01"]).refused().contains("turn them round"));
    pack(&shop, &none, ["2026-02-30", "2026-05-01"]).refused();
    let two = ["shop", "demo-data", "demo-data/second-shop", "--audit", none.to_str().unwrap()];
    let two = [&two[..], &["--from", "2026-05-01", "--until", "2026-05-31"]].concat();
    assert!(samepoint(&two).refused().contains("one shop"));
    assert!(!none.exists());
    assert_eq!(fs::read_dir(home.path()).unwrap().count(), 3);
}

/// A name with a backslash and one with an end of line are escaped as coreutils does it; a shop without a ledger says
/// so.
#[cfg(unix)]
#[test]
fn names_that_would_break_the_list_are_checked_too() {
    let home = tempfile::tempdir().unwrap();
    let shop = home.path().join("shop");
    fs::create_dir_all(shop.join("sessions")).unwrap();
    let whole = root().join("tests/data/format1/whole-job.samepoint");
    fs::copy(&whole, shop.join("sessions/a\\b.samepoint")).unwrap();
    let to = home.path().join("pack");
    let run = pack(&shop, &to, ["2000-01-01", "2100-01-01"]);
    assert_eq!(run.code, 0, "{}", run.err);
    assert!(run.err.contains("keeps no ledger"), "{}", run.err);
    let (sound, said) = checked(&to);
    assert!(sound, "{said}");
    assert!(to.join("sessions/a\\b.samepoint").exists() && to.join("reports/a\\b.pdf").exists());
    assert!(
        fs::read_to_string(to.join("SHA256SUMS"))
            .unwrap()
            .lines()
            .any(|line| line.starts_with('\\'))
    );
}

/// The pictures that a session names go in under their own names, those that nobody names do not, and one that was
/// replaced is left out with the reason.
#[test]
fn the_pictures_that_sessions_name_go_in() {
    let mut job = crate::read_again::Job::new();
    let named: Vec<String> = (0..3)
        .map(|reading| job.picture(reading).file_name().unwrap().to_str().unwrap().to_owned())
        .collect();
    job.review();
    let folder = job.folder.path();
    fs::write(folder.join("pictures/of-nobody.png"), "none").unwrap();
    fs::write(folder.join("pictures").join(&named[2]), "another").unwrap();
    let home = tempfile::tempdir().unwrap();
    let to = home.path().join("pack");
    assert_eq!(pack(folder, &to, ["2026-11-25", "2026-11-25"]).code, 0);
    let (sound, said) = checked(&to);
    assert!(sound, "{said}");
    for name in &named[..2] {
        assert!(said.contains(&format!("pictures/{name}: OK")), "{said}");
        let here = fs::read(to.join("pictures").join(name)).unwrap();
        assert!(here == fs::read(folder.join("pictures").join(name)).unwrap());
    }
    assert_eq!(fs::read_dir(to.join("pictures")).unwrap().count(), 2);
    let left_out = fs::read_to_string(to.join("left-out.csv")).unwrap();
    let line = |part: &str| left_out.lines().find(|line| line.contains(part)).unwrap().to_owned();
    let replaced = line(named[2].trim_end_matches(".png"));
    assert!(
        replaced.contains("has another SHA-256") && replaced.contains("a.samepoint"),
        "{replaced}"
    );
    assert!(line("file of pictures/").contains("no session in here names it"), "{left_out}");
    assert!(line("stations/").contains("copy"), "{left_out}");
}

/// A picture of a shop's papers, four pixels by one: black, white, clear, red. Made by the encoder's own library.
fn mark(folder: &Path) -> Vec<u8> {
    let pixels = [0, 0, 0, 255, 255, 255, 255, 255, 0, 0, 0, 0, 255, 0, 0, 255];
    let path = folder.join("mark.png");
    image::save_buffer(&path, &pixels, 4, 1, image::ExtendedColorType::Rgba8).unwrap();
    fs::read(path).unwrap()
}

/// The pixels of the pictures in a PDF.
fn pixels(pdf: &Path) -> Vec<Vec<u8>> {
    let document = lopdf::Document::load_mem(&fs::read(pdf).unwrap()).unwrap();
    let streams = document.objects.values().filter_map(|object| object.as_stream().ok());
    let images = streams.filter(|stream| {
        let kind = stream.dict.get(b"Subtype").and_then(lopdf::Object::as_name);
        kind.is_ok_and(|kind| kind == b"Image")
    });
    images.map(|image| image.decompressed_content().unwrap()).collect()
}

/// The picture of a shop's papers stands on reports and in a pack, in grey, clear as white; a label goes without. Gone,
/// it is told of and nothing else is lost.
#[test]
fn the_picture_of_the_shops_papers_goes_with_them() {
    let job = crate::read_again::Job::new();
    job.review();
    let shop = job.folder.path();
    let bytes = mark(shop);
    let sum = record::sums::sha256(&bytes);
    let kept = shop.join("pictures").join(format!("{sum}.png"));
    fs::write(&kept, &bytes).unwrap();
    let session = shop.join("sessions/a.samepoint");
    let report = |name: &str| {
        let to = shop.join(name);
        samepoint(&["report", session.to_str().unwrap(), "--to", to.to_str().unwrap()]).answered(0);
        pixels(&to)
    };
    assert!(report("without.pdf").is_empty());
    let label = |name: &str| {
        let to = shop.join(name);
        let arguments =
            ["report", session.to_str().unwrap(), "--label", "--to", to.to_str().unwrap()];
        samepoint(&arguments).answered(0);
        fs::read(to).unwrap()
    };
    let before = label("without.svg");
    let words = format!("(format: 1, letterhead_picture: (sha256: \"{sum}\"))");
    fs::write(shop.join("letterhead-picture.ron"), words).unwrap();
    // Red is 54 of 255 to the eye (ITU-R BT.709-6, 3.2).
    assert_eq!(report("with.pdf"), [[0, 255, 255, 54]]);
    assert!(label("with.svg") == before);
    let home = tempfile::tempdir().unwrap();
    let to = home.path().join("pack");
    let days = ["2026-11-25", "2026-11-25"];
    assert_eq!(pack(shop, &to, days).code, 0);
    let (sound, said) = checked(&to);
    assert!(sound && said.contains(&format!("pictures/{sum}.png: OK")), "{said}");
    assert_eq!(pixels(&to.join("reports/a.pdf")), [[0, 255, 255, 54]]);
    fs::write(&kept, "another").unwrap();
    assert!(report("gone.pdf").is_empty());
    let second = home.path().join("second");
    assert_eq!(pack(shop, &second, days).code, 0);
    let left_out = fs::read_to_string(second.join("left-out.csv")).unwrap();
    assert!(left_out.contains(&sum) && left_out.contains("another SHA-256"), "{left_out}");
    assert!(checked(&second).0);
}

/// Each seal goes in with the line it is over, and OpenSSH's own program checks it by what the pack holds; the shop's
/// hands go in as they lie there.
#[test]
fn seals_are_checked_by_what_the_pack_holds() {
    let shop = crate::seal::Sealing::new("");
    samepoint(&["seal", &shop.session, "--key", &shop.key("own")]).answered(0);
    let home = tempfile::tempdir().unwrap();
    let to = home.path().join("pack");
    let run = pack(shop.folder.path(), &to, ["2000-01-01", "2100-01-01"]);
    assert_eq!(run.code, 0, "{}", run.err);
    let (sound, said) = checked(&to);
    assert!(sound, "{said}");
    let hand = format!("hands/{}.ron", crate::seal::HAND);
    assert!(fs::read(to.join(&hand)).unwrap() == fs::read(shop.folder.path().join(&hand)).unwrap());
    let all = files(&to);
    let sig =
        all.iter().find(|name| name.starts_with("seals/a/") && name.ends_with(".sig")).unwrap();
    let verify = |line: &[u8]| {
        let mut command = Command::new("ssh-keygen");
        command.args(["-Y", "verify", "-f", "hands/allowed_signers", "-r", "hands/revoked_keys"]);
        command.args(["-I", crate::seal::HAND, "-n", "samepoint", "-s", sig]).current_dir(&to);
        command.stdin(std::process::Stdio::piped()).stdout(std::process::Stdio::null());
        let mut child = command.stderr(std::process::Stdio::null()).spawn().expect("ssh-keygen");
        std::io::Write::write_all(&mut child.stdin.take().unwrap(), line).unwrap();
        child.wait().unwrap().success()
    };
    let line = fs::read(to.join(sig.replace(".sig", ".msg"))).unwrap();
    assert!(verify(&line), "{}", fs::read_to_string(to.join("hands/allowed_signers")).unwrap());
    assert!(!verify(&[&line[..63], b"x"].concat()));
    let page = fs::read_to_string(to.join("READ-ME.txt")).unwrap();
    assert!(page.contains("ssh-keygen -Y verify") && page.contains("1 seal"), "{page}");
}

#[test]
fn a_month_goes_on_paper_and_replaces_a_month_alone() {
    let home = tempfile::tempdir().unwrap();
    let to = home.path().join("may.pdf");
    let month = |month: &str, to: &Path| {
        samepoint(&["shop", "demo-data", "--month", month, "--to", to.to_str().unwrap()])
    };
    assert_eq!(month("2026-05", &to).code, 1);
    let first = fs::read(&to).unwrap();
    assert!(first.starts_with(b"%PDF-1.7"));
    assert_eq!(month("2026-06", &to).code, 1);
    assert!(fs::read(&to).unwrap() != first);
    // A recall list is no month.
    let recall = home.path().join("recall.pdf");
    samepoint(&["shop", "demo-data", "--recall", recall.to_str().unwrap()]);
    assert!(month("2026-05", &recall).refused().contains("no monthly report"));
    for wrong in ["2026-13", "2026", "May"] {
        assert!(month(wrong, &to).refused().contains("2026-11"), "{wrong}");
    }
    month("2026-05", &home.path().join("may.txt")).refused();
    samepoint(&["shop", "demo-data", "--month", "2026-05"]).refused();
}
