#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "tests fail by panicking"
)]

use std::fmt::Write as _;

use proptest::prelude::*;

use super::*;

const HEADER: &str = "channel,ring_deg,x_arcmin,y_arcmin\n";

fn rows(text: &str) -> Vec<(u64, Channel, Option<f64>, f64, f64)> {
    let readings = parse(text.as_bytes()).unwrap_or_else(|error| panic!("{error}\n{text}"));
    readings
        .rows()
        .iter()
        .map(|row| {
            let Direction { x_arcmin, y_arcmin } = row.reading.direction;
            (row.line, row.channel, row.reading.ring_deg, x_arcmin, y_arcmin)
        })
        .collect()
}

/// A refusal stands at the line and column given, says so, and holds the words given.
#[track_caller]
fn refused(bytes: impl AsRef<[u8]>, line: u64, column: u64, words: &str) {
    let error = parse(bytes.as_ref()).expect_err("it should be refused");
    let text = error.to_string();
    assert_eq!((error.line(), error.column()), (Some(line), Some(column)), "{text}");
    assert!(text.starts_with(&format!("line {line}, column {column}")), "{text}");
    assert!(text.contains(words), "{text}");
}

#[test]
fn reads_the_plain_form() {
    let text = format!("{HEADER}L,0,38.1,14.4\nR,60.5,-25.8,13.9\nL,,7,-1e1\n");
    assert_eq!(
        rows(&text),
        [
            (2, Channel::Left, Some(0.0), 38.1, 14.4),
            (3, Channel::Right, Some(60.5), -25.8, 13.9),
            (4, Channel::Left, None, 7.0, -10.0),
        ]
    );
}

#[test]
fn reads_what_spreadsheets_and_hands_make_of_it() {
    let plain = rows(&format!("{HEADER}L,0,38.1,-14.4\nR,,2,3\n"));
    let lines_as_plain =
        |text: &str| rows(text).into_iter().map(|row| (row.1, row.2, row.3, row.4));
    for (what, text) in [
        ("no end", format!("{HEADER}L,0,38.1,-14.4\nR,,2,3")),
        ("CRLF", format!("{HEADER}L,0,38.1,-14.4\nR,,2,3\n").replace('\n', "\r\n")),
        ("mark", format!("\u{FEFF}{HEADER}L,0,38.1,-14.4\nR,,2,3\n")),
        ("spaces", format!("  {HEADER}L , 0,\t38.1 ,-14.4  \n R,  ,2,3\n")),
        ("lower case", format!("{HEADER}l,0,38.1,-14.4\nr,,2,3")),
        ("true minus", format!("{HEADER}L,0,+38.1,−14.4\nR,,2,3\n")),
        (
            "comments",
            format!("# one\n\n#two, \"quoted\"\n{HEADER} # three\nL,0,38.1,-14.4\n   \nR,,2,3\n#"),
        ),
        ("semicolons", "channel;ring_deg;x_arcmin;y_arcmin\nL;0;38,1;-14,4\nR;;2;3\n".into()),
    ] {
        let found: Vec<_> = lines_as_plain(&text).collect();
        let expected: Vec<_> = plain.iter().map(|row| (row.1, row.2, row.3, row.4)).collect();
        assert_eq!(found, expected, "{what}");
    }
}

#[test]
fn counts_lines_past_comments_blanks_and_crlf() {
    let text = format!("# a\r\n\r\n{HEADER}\n# b\r\n\r\nL,0,1,2\r\n\nR,0,3,4");
    assert_eq!(rows(&text).iter().map(|row| row.0).collect::<Vec<_>>(), [7, 9]);
    refused(
        format!("# a\r\n\r\n{HEADER}\n# b\r\nL,0,1,2\r\n\r\nR,0,3,x"),
        8,
        4,
        "“x” is not a number",
    );
}

#[test]
fn splits_the_channels_in_the_files_order() {
    let readings = parse(format!("{HEADER}R,1,0,0\nL,2,0,0\nR,3,0,0\n").as_bytes()).unwrap();
    let rings = readings
        .per_channel()
        .map(|readings| readings.iter().filter_map(|reading| reading.ring_deg).collect::<Vec<_>>());
    assert_eq!((rings.left, rings.right), (vec![2.0], vec![1.0, 3.0]));
}

#[test]
fn refuses_by_line_and_column() {
    let after = |rows: &str| format!("{HEADER}{rows}");
    for (text, line, column, words) in [
        ("channel,ring,x_arcmin,y_arcmin\n".to_owned(), 1, 2, "“ring” where ring_deg belongs"),
        ("Channel,ring_deg,x_arcmin,y_arcmin\n".to_owned(), 1, 1, "channel belongs"),
        ("channel,x_arcmin,ring_deg,y_arcmin\n".to_owned(), 1, 2, "ring_deg belongs"),
        ("channel,ring_deg,x_arcmin,x_arcmin\n".to_owned(), 1, 4, "“x_arcmin” twice"),
        ("channel,ring_deg,x_arcmin\n".to_owned(), 1, 4, "y_arcmin is missing"),
        ("\n#\nchannel,ring_deg,x_arcmin,y_arcmin,hand\n".to_owned(), 3, 5, "“hand” is one column"),
        ("channel;ring_deg,x_arcmin,y_arcmin\n".to_owned(), 1, 1, "channel belongs"),
        ("L,0,1,2\n".to_owned(), 1, 1, "“L” where channel belongs"),
        (after("L,0,1,2\nL,0,1\n"), 3, 4, "3 columns"),
        (after("L,0,1,2,3\n"), 2, 5, "5 columns"),
        (after("L,0,1,5,2,5\n"), 2, 5, "write decimals with a point"),
        (after("L;0;1;2\n"), 2, 2, "1 column where"),
        (after("B,0,1,2\n"), 2, 1, "“B” is no channel"),
        (after(",0,1,2\n"), 2, 1, "no channel"),
        (after(",,,\n"), 2, 1, "no channel"),
        (after("L,0,,2\n"), 2, 3, "empty"),
        (after("L,0,1,  \n"), 2, 4, "empty"),
        (after("L,12o,1,2\n"), 2, 2, "“12o” is not a number"),
        (after("L,0,--1,2\n"), 2, 3, "is not a number"),
        (after("L,0,1_000,2\n"), 2, 3, "is not a number"),
        (after("L,0,0x10,2\n"), 2, 3, "is not a number"),
        (after("L,0,1 000,2\n"), 2, 3, "is not a number"),
        (after("L,0,12.5′,2\n"), 2, 3, "is not a number"),
        (after("L,0,1.2.3,2\n"), 2, 3, "is not a number"),
        (after("L,0,١٢,2\n"), 2, 3, "is not a number"),
        (after("L,NaN,1,2\n"), 2, 2, "not a finite number"),
        (after("L,0,inf,2\n"), 2, 3, "not a finite number"),
        (after("L,0,1,-Infinity\n"), 2, 4, "not a finite number"),
        (after("L,1e999,1,2\n"), 2, 2, "not a finite number"),
        (after("L,0,3000.001,2\n"), 2, 3, "farther than 3000′"),
        (after("L,0,1,−3e3\nL,0,1,−3001\n"), 3, 4, "farther than 3000′"),
        (after("\"L\",0,1,2\n"), 2, 1, "quotation marks"),
        (after("L,0,'1,2\n"), 2, 3, "quotation marks"),
        (after("L,0,1\u{7},2\n"), 2, 3, "control character"),
        (after("L,0,1\r2,2\n"), 2, 3, "control character"),
        ("channel;ring_deg;x_arcmin;y_arcmin\nL;0;1.5;2\n".to_owned(), 2, 3, "decimal commas"),
        ("channel;ring_deg;x_arcmin;y_arcmin\nL;0;1,5,2;2\n".to_owned(), 2, 3, "is not a number"),
        (after(&format!("L,0,{},2\n", "1".repeat(65))), 2, 3, "65 characters"),
    ] {
        refused(text, line, column, words);
    }
}

#[test]
fn refuses_what_is_no_text() {
    let cases: [(&[u8], Option<u64>, &str); 7] = [
        (b"", Some(1), "nothing in it"),
        (b"\xEF\xBB\xBF", Some(1), "nothing in it"),
        (b"# only\n\n", Some(1), "nothing in it"),
        (b"#\nchannel,ring_deg,x_arcmin,y_arcmin\n#\n", Some(2), "a header and no readings"),
        (b"channel,ring_deg\n\xFFx", Some(2), "line 2, byte 1: not UTF-8"),
        (b"channel,ri\0ng_deg\n", Some(1), "line 1, byte 11: a zero byte"),
        (b"\xFF\xFEc\0h\0", Some(1), "UTF-16"),
    ];
    for (bytes, line, words) in cases {
        let error = parse(bytes).expect_err("it should be refused");
        assert_eq!(error.line(), line, "{error}");
        assert!(error.to_string().contains(words), "{error}");
    }
}

#[test]
fn takes_in_no_more_than_the_limit() {
    let mut text = format!("{HEADER}L,0,1,2\n#");
    text.push_str(&" ".repeat(FILE_LIMIT_BYTES - text.len()));
    assert!(parse(text.as_bytes()).is_ok());
    text.push(' ');
    let error = parse(text.as_bytes()).expect_err("it should be refused");
    assert!(error.to_string().starts_with("larger than 4 MiB"), "{error}");
}

#[test]
fn shows_a_wrong_field_cut_short_and_harmless() {
    let error = parse(format!("{HEADER}L,0,\u{1b}[31mred,2\n").as_bytes()).unwrap_err();
    assert!(!error.to_string().contains('\u{1b}'), "{error}");
    let error = parse(format!("{HEADER}{},0,1,2\n", "Z".repeat(60)).as_bytes()).unwrap_err();
    assert!(error.to_string().contains(&format!("“{}…”", "Z".repeat(24))), "{error}");
}

proptest! {
    /// What is written with full precision is read back bit for bit.
    #[test]
    fn reads_back_every_number(
        ring in proptest::option::of(-1e6..1e6_f64), x in -3000.0..3000.0_f64, y in -3000.0..3000.0_f64,
    ) {
        let mut text = HEADER.to_owned();
        let ring_text = ring.map(|deg| deg.to_string()).unwrap_or_default();
        writeln!(text, "R,{ring_text},{x},{y}").unwrap();
        prop_assert_eq!(rows(&text), vec![(2, Channel::Right, ring, x, y)]);
    }

    /// No bytes whatever make it panic, and every refusal has words.
    #[test]
    fn never_panics(bytes in proptest::collection::vec(any::<u8>(), 0..200)) {
        let with_header = [HEADER.as_bytes(), &bytes].concat();
        for input in [&bytes, &with_header] {
            if let Err(error) = parse(input) {
                prop_assert!(error.to_string().len() > 20);
            }
        }
    }
}
