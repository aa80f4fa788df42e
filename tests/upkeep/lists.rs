//! Lists from a spreadsheet: what is read, what is refused by its line, and what they come to in a shop.

use std::fs;

use record::lists::{LONGEST_LIST, ListKind, Listed, ShopList, parse_list};
use record::{HandRole, RealDisk, Shop};

use crate::support::{HAND, morning, real};

fn read(text: &str) -> ShopList {
    parse_list(text.as_bytes(), morning(0).date()).unwrap()
}

fn refused(text: &str) -> String {
    parse_list(text.as_bytes(), morning(0).date()).unwrap_err().to_string()
}

/// What a row says: its words, or why it is refused behind its line.
fn told(list: &ShopList) -> Vec<String> {
    let words = |row: &record::lists::ListRow| match &row.listed {
        Ok(listed) => listed.words(),
        Err(why) => format!("line {}: {why}", row.line),
    };
    list.rows.iter().map(words).collect()
}

/// Fields in quotes with the mark, quotes doubled, and CRLF: RFC 4180, section 2, rules 1, 5, 6 and 7.
#[test]
fn what_spreadsheets_write_is_read() {
    let units = read(
        "\u{FEFF}# from the stores\r\n\r\nNote,UNIT,housing,right_tube\r\n\
         \"a \"\"loan\"\", see file\",0147,Heron B,T-9\r\n,'-12,,\r\n",
    );
    assert_eq!(units.kind, ListKind::Units);
    assert_eq!(
        told(&units),
        ["0147: housing Heron B · right tube T-9 · a \"loan\", see file", "-12"]
    );
    let hands = read("initials\troles\tfrom\nKT\tSupervisor technician\t2026-01-05\n");
    let Ok(Listed::Hand { hand, from_said: true }) = &hands.rows[0].listed else {
        panic!("{hands:?}")
    };
    assert_eq!(hand.roles, [HandRole::Technician, HandRole::Supervisor]);
    let sessions = read("unit;due;for;;\n0431;2026-12-01;Harbour rescue;;\n");
    assert_eq!(told(&sessions), ["0431: due 2026-12-01 · for Harbour rescue"]);
}

#[test]
fn rows_are_refused_by_their_line_and_keep_no_other_from_being_kept() {
    let list = read(
        "unit,due,for\n0001,2026-12-01,a\n,2026-12-01,b\n\n0003,01.12.2026,c\n0001,,d\n0004,,e,f\n\
         0005,,\"g\nh\"\n0006,,i\u{202E}\n0007,,j\n",
    );
    assert_eq!(
        told(&list),
        [
            "0001: due 2026-12-01 · for a",
            "line 3: unit: is empty",
            "line 5: due: “01.12.2026” is no day; write it like 2026-11-25",
            "line 6: “0001” stands in line 2 already",
            "line 7: 4 columns, and the first row names 3",
            "line 8: for: holds a line break or marks that are not seen; type it again, and look at its quotes",
            "line 10: for: holds a line break or marks that are not seen; type it again, and look at its quotes",
            "0007: for j",
        ]
    );
    let hands = read(
        "initials,roles,until\nKT,boss,\nJO,,\nA*,trainee,\nMB,trainee,2020-01-01\nRB,trainee,\nrb,trainee,\n",
    );
    let why = told(&hands);
    assert!(why[0].starts_with("line 2: roles: “boss” is none"), "{why:?}");
    assert_eq!(why[1], "line 3: roles: is empty");
    assert!(why[2].contains("initials may not hold"), "{why:?}");
    assert!(why[3].contains("it ends before it begins"), "{why:?}");
    assert_eq!(why[5], "line 7: “rb” stands in line 6 already");
}

#[test]
fn what_is_no_list_is_refused_as_a_whole() {
    for (text, why) in [
        ("", "there is nothing in it"),
        ("# a\n\n", "there is nothing in it"),
        ("unit,due\n", "line 1 names the columns, and no row follows"),
        ("0147,Heron B\n", "line 1: the first row must name the columns. Units: unit, housing"),
        (
            "unit,colour\n1,2\n",
            "line 1, column 2: “colour” is no column of such a list; it has unit",
        ),
        ("unit,due,due\n1,2,3\n", "line 1, column 3: “due” is named twice"),
        ("\ninitials,name\nKT,a\n", "line 2: the column roles is missing"),
        ("unit\n\0", "a zero byte"),
    ] {
        assert!(refused(text).contains(why), "{text:?}: {}", refused(text));
    }
    assert!(parse_list(b"unit\n\xFF\n", morning(0).date()).is_err());
    let long = format!("unit\n{}", "a\n".repeat(LONGEST_LIST + 1));
    assert_eq!(refused(&long), format!("more than {LONGEST_LIST} rows; split the file"));
    let wide = read(&format!("unit\n{}\n", "a".repeat(201)));
    assert_eq!(told(&wide), ["line 2: unit: 201 letters, more than 200"]);
    // A quote that never closes takes the rest with it; what it took is one refused row, not a silence.
    let open = told(&read("unit,note\n0001,\"a\n0002,b\n"));
    assert_eq!(open.len(), 1);
    assert!(open[0].starts_with("line 2: note: holds a line break"), "{open:?}");
}

/// No bytes at all are more than refused.
#[test]
fn any_bytes_are_answered() {
    for seed in 0_u32..2_000 {
        let letters = b"unit,;\t\"\n\r#'initials roles due a1\xC3\xA9\0-";
        let mut state = seed;
        let bytes: Vec<u8> = (0..seed % 97)
            .map(|_| {
                state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
                letters[(state >> 16) as usize % letters.len()]
            })
            .collect();
        let _ = parse_list(&bytes, morning(0).date());
        let _ = parse_list(&[b"unit,note\n", &bytes[..]].concat(), morning(0).date());
    }
}

/// Trying writes nothing; keeping keeps what is new; trying once more finds all of it kept, and what differs refused.
#[test]
fn a_list_is_tried_kept_and_found_again() {
    let folder = tempfile::tempdir().unwrap();
    Shop::lay_out(folder.path()).unwrap();
    let lists = [
        read("unit,housing,left_tube\n0147,Heron B,T-1\n0148,,\n"),
        read("initials,name,roles\nKT,Kit Tern,technician\n"),
        read("unit,due,for\n0147,2026-12-01,job 7\n"),
    ];
    let mut shop = Shop::load(folder.path()).unwrap();
    for list in &lists {
        let tried = shop.try_list(list, &RealDisk);
        assert_eq!(tried, *list, "all of it is new");
    }
    for kept in ["units", "hands", "waiting"] {
        let there = fs::read_dir(folder.path().join(kept)).map_or(0, Iterator::count);
        assert_eq!(there, 0, "{kept}: trying writes nothing");
    }
    for list in &lists {
        for row in list.new_rows() {
            let listed = row.listed.as_ref().unwrap();
            shop.keep_listed(listed, morning(0), ("samepoint 0.1.0", HAND), real()).unwrap();
        }
    }
    // As another start of the program finds it.
    let shop = Shop::load(folder.path()).unwrap();
    assert_eq!(shop.units[0].value.tubes.left.serial, "T-1");
    assert_eq!(shop.hands.known[0].value.from, morning(0).date());
    let (waiting, _) = shop.units_waiting(&RealDisk);
    assert_eq!(waiting.units[0].unit.purpose, "job 7");
    for list in &lists {
        let tried = shop.try_list(list, &RealDisk);
        assert_eq!((tried.new_rows().count(), tried.refused()), (0, 0), "{:?}", told(&tried));
    }
    let other = shop.try_list(&read("unit,housing,left_tube\n0147,Heron B,T-2\n"), &RealDisk);
    assert_eq!(
        told(&other),
        ["line 2: “0147” is kept already and says something else; change it there"]
    );
    let later = shop.try_list(
        &read("initials,name,roles,from\nkt,Kit Tern,technician,2020-01-01\n"),
        &RealDisk,
    );
    assert!(told(&later)[0].contains("says something else"), "{:?}", told(&later));
}
