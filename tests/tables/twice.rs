//! A session that two folders have counts once, and is named; two shops of one name stay apart.

use std::fs;
use std::path::Path;

use record::fact::{Note, Seq};
use record::{Body, Fact};
use tables::Table;

use crate::read_back::{Read, made, rows, shop, text, truth, whole_job};

fn facts() -> Vec<Fact> {
    let path = whole_job();
    record::file::scan(&path, fs::File::open(&path).unwrap()).unwrap().facts
}

fn write(path: &Path, facts: &[Fact]) {
    fs::create_dir_all(path.parent().unwrap()).unwrap();
    record::file::write_all_lines(facts, fs::File::create(path).unwrap()).unwrap();
}

fn with_note(text: &str) -> Vec<Fact> {
    let mut facts = facts();
    let last = facts.last().unwrap().clone();
    let note = Note { text: text.to_owned(), about: None };
    facts.push(Fact { seq: facts.len() as Seq + 1, body: Body::Note(note), ..last });
    facts
}

/// Rows of the table of sessions that count, by their file's name and whose shop they are of.
fn counting(to: &Path) -> Vec<(String, String)> {
    let all: Vec<Read> = rows(to, Table::Sessions);
    let counts = all.iter().filter(|row| truth(row, "counts") == Some(true));
    counts.map(|row| (text(row, "shop_name").unwrap(), text(row, "file").unwrap())).collect()
}

fn of_two_folders(to: &Path) -> Vec<String> {
    let all = rows(to, Table::Troubles);
    let two = all.iter().filter(|row| text(row, "kind").as_deref() == Some("two folders"));
    two.map(|row| text(row, "words").unwrap()).collect()
}

#[test]
fn the_longer_chain_that_holds_the_other_counts() {
    let folder = tempfile::tempdir().unwrap();
    let [one, two] = ["one", "two"].map(|name| folder.path().join(name));
    write(&one.join("sessions/short.samepoint"), &facts());
    write(&two.join("sessions/long.samepoint"), &with_note("more"));
    for shops in [[one.as_path(), &two], [&two, &one]] {
        let to = tempfile::tempdir().unwrap();
        let run = made(&shops, to.path());
        assert_eq!(run.code, 0, "{run:?}");
        assert!(run.out.contains("2 session files, 1 of them counted"), "{run:?}");
        assert!(run.out.contains("short.samepoint") && run.out.contains("counts once"), "{run:?}");
        assert_eq!(counting(to.path()), [("two".to_owned(), "long.samepoint".to_owned())]);
        assert_eq!(of_two_folders(to.path()).len(), 2);
        let all = rows(to.path(), Table::Sessions);
        let short = all.iter().find(|row| text(row, "file").unwrap() == "short.samepoint").unwrap();
        assert!(text(short, "counted_elsewhere").unwrap().ends_with("long.samepoint"));
        // What hangs on it does not count either.
        for table in [Table::Rounds, Table::Readings, Table::Verdicts] {
            let rows = rows(to.path(), table);
            let counted = rows.iter().filter(|row| truth(row, "counts") == Some(true));
            assert_eq!(counted.count() * 2, rows.len(), "{table:?}");
        }
    }
}

/// The same bytes twice: those of the shop named first count, whatever the paths.
#[test]
fn of_equals_those_of_the_shop_named_first_count() {
    let folder = tempfile::tempdir().unwrap();
    let [a, b] =
        ["a", "b"].map(|name| shop(&folder.path().join(name), &[("x.samepoint", &whole_job())]));
    let to = folder.path().join("to");
    assert_eq!(made(&[&b, &a], &to).code, 0);
    assert_eq!(counting(&to), [("b".to_owned(), "x.samepoint".to_owned())]);
    // And again, without working it out.
    let again = made(&[&b, &a], &to);
    assert!(
        again.out.contains("Nothing changed") && again.out.contains("counts once"),
        "{again:?}"
    );
    // Named the other way round, the other one's do.
    assert_eq!(made(&[&a, &b], &to).code, 0);
    assert_eq!(counting(&to), [("a".to_owned(), "x.samepoint".to_owned())]);
}

/// A session that went on in two files is told on standard error, and by the exit code.
#[test]
fn forked_copies_are_named_loudly() {
    let folder = tempfile::tempdir().unwrap();
    let [one, two] = ["one", "two"].map(|name| folder.path().join(name));
    write(&one.join("sessions/x.samepoint"), &with_note("left hand"));
    write(&two.join("sessions/y.samepoint"), &with_note("right hand"));
    let to = folder.path().join("to");
    for _ in 0..2 {
        let run = made(&[&one, &two], &to);
        assert_eq!((run.code, run.err.lines().count()), (1, 1), "{run:?}");
        assert!(run.err.contains("went on in two files"), "{run:?}");
    }
    assert_eq!(counting(&to).len(), 1);
    assert!(of_two_folders(&to).iter().all(|words| words.contains("other lines after")));
}

/// Gone on with in another shop: one unit is not counted twice.
#[test]
fn what_goes_on_in_another_shop_counts_there() {
    let folder = tempfile::tempdir().unwrap();
    let [one, two] = ["one", "two"].map(|name| folder.path().join(name));
    let first = facts();
    write(&one.join("sessions/x.samepoint"), &first);
    let mut next = first.clone();
    let Body::Header(header) = &mut next[0].body else { panic!("{:?}", next[0]) };
    header.continues = Some(record::fact::Continued {
        file: "x.samepoint".to_owned(),
        session: header.session.clone(),
        facts: first.len() as u64,
        last_hash: "0".repeat(64),
    });
    header.session = "ab".repeat(16);
    write(&two.join("sessions/y.samepoint"), &next);
    let to = folder.path().join("to");
    made(&[&one, &two], &to);
    assert_eq!(counting(&to), [("two".to_owned(), "y.samepoint".to_owned())]);
    assert!(of_two_folders(&to)[0].contains("gone on with"));
}

#[test]
fn one_shop_named_twice_is_taken_once() {
    let folder = tempfile::tempdir().unwrap();
    let own = shop(&folder.path().join("own"), &[("x.samepoint", &whole_job())]);
    let to = folder.path().join("to");
    let dotted = own.join("../own/.");
    let run = made(&[&own, &dotted, &own], &to);
    assert_eq!(run.code, 0, "{run:?}");
    assert!(
        run.out.contains("1 shop, 1 session file") && run.out.contains("taken once"),
        "{run:?}"
    );
    #[cfg(unix)]
    {
        let link = folder.path().join("link");
        std::os::unix::fs::symlink(&own, &link).unwrap();
        let run = made(&[&link, &own], &to);
        assert!(
            run.out.contains("1 shop, 1 session file") && run.out.contains("Nothing changed"),
            "{run:?}"
        );
    }
}

#[test]
fn two_shops_of_one_name_stay_apart() {
    let folder = tempfile::tempdir().unwrap();
    let own = ["a/bench", "b/bench"].map(|name| {
        let path = folder.path().join(name);
        fs::create_dir_all(path.join("sessions")).unwrap();
        fs::write(
            path.join("letterhead.ron"),
            "(format: 1, letterhead: (name: \"../Two: Benches\", address: \"\"))",
        )
        .unwrap();
        path
    });
    write(&own[0].join("sessions/x.samepoint"), &facts());
    let mut other = facts();
    let Body::Header(header) = &mut other[0].body else { panic!("{:?}", other[0]) };
    header.session = "cd".repeat(16);
    write(&own[1].join("sessions/x.samepoint"), &other);
    let to = folder.path().join("to");
    let run = made(&[&own[0], &own[1]], &to);
    assert_eq!(run.code, 0, "{run:?}");
    let all = counting(&to);
    assert_eq!(all.len(), 2);
    assert!(all.iter().all(|(name, _)| name == "../Two: Benches"), "{all:?}");
    let folders: Vec<String> = fs::read_dir(to.join("sessions"))
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    assert!(
        folders.len() == 2 && folders.iter().all(|name| name.starts_with("shop=Two-Benches-")),
        "{folders:?}"
    );
}
