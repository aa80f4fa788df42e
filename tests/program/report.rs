//! `samepoint report`: what is written, what is refused, and what is never overwritten.

use std::fs;
use std::path::Path;

use crate::run::{Run, root, samepoint};

const WHOLE: &str = "tests/data/format1/whole-job.samepoint";

fn report(session: &str, to: &Path, more: &[&str]) -> Run {
    let to = to.to_str().unwrap();
    let mut arguments = vec!["report", session, "--to", to];
    arguments.extend(more);
    samepoint(&arguments)
}

#[test]
fn a_report_is_written_and_written_again() {
    let folder = tempfile::tempdir().unwrap();
    let to = folder.path().join("job.pdf");
    let said = report(WHOLE, &to, &[]).answered(0);
    assert_eq!(said, format!("{}\n", to.display()));
    let first = fs::read(&to).unwrap();
    assert!(first.starts_with(b"%PDF-"));
    // The same session again, over the first: the same bytes, and nothing else left lying there.
    report(WHOLE, &to, &[]).answered(0);
    assert!(fs::read(&to).unwrap() == first);
    report(WHOLE, &to, &["--paper", "letter"]).answered(0);
    assert!(fs::read(&to).unwrap() != first);
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1);
}

#[test]
fn svg_is_the_field_plot_alone() {
    let folder = tempfile::tempdir().unwrap();
    let to = folder.path().join("job.SVG");
    report(WHOLE, &to, &[]).answered(0);
    let text = fs::read_to_string(&to).unwrap();
    for part in ["<svg ", "id=\"circle-left\"", "id=\"circle-right\"", "Field plot. Unit 0147, "] {
        assert!(text.contains(part), "{part}");
    }
}

/// The report is as readable as any other file made here.
#[cfg(unix)]
#[test]
fn a_report_can_be_read_by_others() {
    use std::os::unix::fs::PermissionsExt as _;
    let folder = tempfile::tempdir().unwrap();
    let (to, plain) = (folder.path().join("job.svg"), folder.path().join("plain"));
    report(WHOLE, &to, &[]).answered(0);
    fs::write(&plain, "").unwrap();
    let mode = |path: &Path| fs::metadata(path).unwrap().permissions().mode();
    assert_eq!(mode(&to), mode(&plain));
}

/// Sessions and files that are no reports stay as they are.
#[test]
fn other_files_are_never_overwritten() {
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().join(name);
    let session = at("job.samepoint");
    fs::copy(root().join(WHOLE), &session).unwrap();
    let named = session.to_str().unwrap();
    let before = fs::read(&session).unwrap();
    assert!(report(named, &session, &[]).refused().contains("over a session"));

    fs::write(at("letter.pdf"), "dear customer").unwrap();
    assert!(report(named, &at("letter.pdf"), &[]).refused().contains("no report"));
    assert_eq!(fs::read_to_string(at("letter.pdf")).unwrap(), "dear customer");

    fs::create_dir(at("folder.pdf")).unwrap();
    assert!(report(named, &at("folder.pdf"), &[]).refused().contains("folder"));
    #[cfg(unix)]
    {
        std::os::unix::fs::symlink(&session, at("link.pdf")).unwrap();
        assert!(report(named, &at("link.pdf"), &[]).refused().contains("the session itself"));
    }
    assert!(fs::read(&session).unwrap() == before);
}

/// Only what this program wrote is replaced, and not when somebody went on with it: a thesis begins
/// like any PDF, a drawing like any SVG, and a table may have grown a column.
#[test]
fn what_begins_like_ours_is_not_replaced() {
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().join(name);
    let kept = |name: &str, bytes: &[u8], words: &str| {
        fs::write(at(name), bytes).unwrap();
        let run = if name.ends_with("csv") {
            samepoint(&["shop", "demo-data", "--csv", at(name).to_str().unwrap()])
        } else {
            report(WHOLE, &at(name), &[])
        };
        let message = run.refused();
        assert!(message.contains(words), "{message}");
        assert!(fs::read(at(name)).unwrap() == bytes, "{name}: {words}");
    };
    report(WHOLE, &at("ours.pdf"), &[]).answered(0);
    report(WHOLE, &at("ours.svg"), &[]).answered(0);
    samepoint(&["shop", "demo-data", "--csv", at("ours.csv").to_str().unwrap()]);
    let [pdf, svg, csv] =
        ["ours.pdf", "ours.svg", "ours.csv"].map(|name| fs::read(at(name)).unwrap());
    let producer = b"/Producer(samepoint collimation report)";
    assert!(pdf.windows(producer.len()).any(|part| part == producer));

    kept("a.pdf", b"%PDF-1.4\n% a thesis", "no report");
    kept("a.pdf", b"%PDF-1.7\n/Producer(samepoint collimation report)\n%%EOF", "no report");
    // Cut short, gone on with, and quoted whole inside another file.
    kept("a.pdf", &pdf[..pdf.len() - 40], "no report");
    kept("a.pdf", &[&pdf[..], b"1 0 obj\n<</Type/Annot>>\nendobj\n"].concat(), "no report");
    let annotated = b"trailer\n<</Size 40/Prev 100/Info 33 0 R>>\nstartxref\n9\n%%EOF";
    kept("a.pdf", &[&pdf[..], annotated].concat(), "no report");
    kept("a.pdf", &[b"%PDF-1.7\n", &pdf[..]].concat(), "no report");
    let other = String::from_utf8_lossy(&pdf).replace("collimation report", "annotated  report");
    kept("a.pdf", other.as_bytes(), "no report");

    let text =
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<svg xmlns=\"http://www.w3.org/2000/svg\"/>\n";
    kept("a.svg", text.as_bytes(), "no report");
    let drawn = String::from_utf8(svg).unwrap().replace("</svg>", "<circle r=\"1\"/></svg >");
    kept("a.svg", drawn.as_bytes(), "no report");

    let table = String::from_utf8(csv).unwrap();
    kept("a.csv", b"file,practice,day,mine\n", "no table of a shop");
    let more = table.replacen('\n', ",remark\n", 1);
    kept("a.csv", more.as_bytes(), "no table of a shop");
    // Practice results are another table.
    kept("a.csv", b"file,day,hand,grade,\n", "no table of a shop");
}

#[test]
fn what_cannot_be_reported_is_refused() {
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().join(name);
    let message = report(WHOLE, &at("job.txt"), &[]).refused();
    assert!(message.contains("job.txt") && message.contains(".pdf"), "{message}");
    let message = report(WHOLE, &at("nowhere/job.pdf"), &[]).refused();
    assert!(message.contains("nowhere"), "{message}");
    report("no such.samepoint", &at("job.pdf"), &[]).refused();
    report("demo-data/README.md", &at("job.pdf"), &[]).refused();
    report(WHOLE, &at("job.pdf"), &["--paper", "a3"]).refused();
    samepoint(&["report", WHOLE]).refused();
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 0, "nothing is left behind");
}

/// Damage after the first line is reported on, and said to be damage; the file is written.
#[test]
fn a_damaged_session_still_has_a_report() {
    let folder = tempfile::tempdir().unwrap();
    let session = folder.path().join("damaged.samepoint");
    let mut bytes = fs::read(root().join(WHOLE)).unwrap();
    let middle = bytes.len() / 2;
    bytes[middle] ^= 4;
    fs::write(&session, bytes).unwrap();
    report(session.to_str().unwrap(), &folder.path().join("damaged.pdf"), &[]).answered(0);
}

/// Beyond the system's limit on a file's size the report is refused in a sentence, and nothing is left
/// lying there; the signal that would end the program does not.
#[cfg(unix)]
#[test]
fn a_file_size_limit_is_a_message_and_not_the_end() {
    let folder = tempfile::tempdir().unwrap();
    let to = folder.path().join("job.pdf");
    let done = std::process::Command::new("sh")
        .args(["-c", "ulimit -f 8 && exec \"$0\" \"$@\"", env!("CARGO_BIN_EXE_samepoint")])
        .args(["report", WHOLE, "--to"])
        .arg(&to)
        .current_dir(root())
        .output()
        .unwrap();
    let run = Run {
        code: done.status.code().expect("it should end by itself, not by a signal"),
        out: String::from_utf8(done.stdout).unwrap(),
        err: String::from_utf8(done.stderr).unwrap(),
    };
    let message = run.refused();
    assert!(message.contains("file-size limit"), "{message}");
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 0);
}

/// The label of a case: three kinds of file, an earlier label replaced, a report never, and no due day before the
/// signature.
#[test]
fn a_label_is_written_and_replaces_nothing_else() {
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().join(name);
    for name in ["label.pdf", "label.svg", "label.png"] {
        report(WHOLE, &at(name), &["--label", "--due", "2031-01-31"]).answered(0);
    }
    report(WHOLE, &at("label.pdf"), &["--label"]).answered(0);
    report(WHOLE, &at("label.svg"), &["--label"]).answered(0);
    let svg = fs::read_to_string(at("label.svg")).unwrap();
    assert!(svg.contains("due ____") && svg.contains("qr-code"), "{svg}");
    // A picture is nobody's to replace.
    report(WHOLE, &at("label.png"), &["--label"]).refused();
    report(WHOLE, &at("job.pdf"), &[]).answered(0);
    let message = report(WHOLE, &at("job.pdf"), &["--label"]).refused();
    assert!(message.contains("no label"), "{message}");
    let message = report(WHOLE, &at("label.pdf"), &[]).refused();
    assert!(message.contains("no report"), "{message}");
    let message = report(WHOLE, &at("a.pdf"), &["--label", "--due", "1999-01-31"]).refused();
    assert!(message.contains("1999-01-31"), "{message}");
    let message = report(WHOLE, &at("a.pdf"), &["--label", "--due", "next year"]).refused();
    assert!(message.contains("next year"), "{message}");
    report(WHOLE, &at("a.txt"), &["--label"]).refused();
    report(WHOLE, &at("a.pdf"), &["--due", "2031-01-31"]).refused();
}

/// What of the shop cannot be read is missed on the paper and in the account, and that is said.
#[test]
fn a_letterhead_that_cannot_be_read_is_said() {
    let folder = tempfile::tempdir().unwrap();
    let shop = folder.path();
    for part in ["sessions", "hands"] {
        fs::create_dir(shop.join(part)).unwrap();
    }
    let session = shop.join("sessions/a.samepoint");
    fs::copy(root().join(WHOLE), &session).unwrap();
    let (session, to) = (session.to_str().unwrap(), shop.join("a.pdf"));
    report(session, &to, &[]).answered(0);
    fs::write(shop.join("letterhead.ron"), "(name: \"a shop\", address: \"\")").unwrap();
    let run = report(session, &to, &[]);
    assert_eq!((run.code, run.out), (0, format!("{}\n", to.display())));
    assert!(run.err.starts_with("samepoint: passed over: "), "{}", run.err);
    assert!(run.err.contains("letterhead.ron") && run.err.lines().count() == 1, "{}", run.err);
    // So it is where a review was held against less than there is: a hand's file, say.
    fs::write(shop.join("hands/KT.ron"), "(").unwrap();
    for arguments in [vec!["review", session], vec!["review", session, "--json"]] {
        let run = samepoint(&arguments);
        assert!(run.err.contains("KT.ron") && run.err.lines().count() == 2, "{}", run.err);
        assert!(!run.out.is_empty());
    }
}
