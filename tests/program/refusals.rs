use std::fs;
use std::path::Path;

use crate::run::{readings, samepoint};

const HEADER: &str = "channel,ring_deg,x_arcmin,y_arcmin\n";
const GOOD: &str = "L,0,40,4\nL,90,10,-26\nL,180,-20,4\nR,0,20,-3\nR,90,-6,-29\nR,180,-32,-3\n";

/// A file, where its fault is, and words of the message.
#[track_caller]
fn malformed(folder: &Path, bytes: &[u8], place: &str, words: &str) {
    let file = folder.join("readings.csv");
    fs::write(&file, bytes).unwrap();
    for more in [vec![], vec!["--json"], vec!["--window=45,20,15"]] {
        let mut arguments = vec!["solve", file.to_str().unwrap()];
        arguments.extend(more);
        let message = samepoint(&arguments).refused();
        assert!(message.contains("readings.csv"), "{message}");
        assert!(message.contains(place), "{place} is not in\n{message}");
        assert!(message.contains(words), "{words} is not in\n{message}");
    }
}

#[test]
fn malformed_files_are_refused_by_line_and_column() {
    let folder = tempfile::tempdir().unwrap();
    for (bytes, place, words) in [
        ("", "line 1", "nothing in it"),
        ("\n\n# only a remark\n", "line 1", "nothing in it"),
        (HEADER, "line 1", "no readings"),
        ("L,0,1,2\n", "line 1, column 1", "channel belongs"),
        ("channel,ring_deg,x_arcmin\nL,0,1\n", "line 1, column 4", "y_arcmin is missing"),
        ("channel,ring_deg,x_arcmin,y_arcmin,note\n", "line 1, column 5", "too many"),
        ("channel,channel,x_arcmin,y_arcmin\n", "line 1, column 2", "twice"),
        ("channel,ring_deg,y_arcmin,x_arcmin\n", "line 1, column 3", "x_arcmin belongs"),
        ("Kanal;Ring;x;y\n", "line 1, column 1", "channel belongs"),
        ("channel\tring_deg\tx_arcmin\ty_arcmin\n", "line 1, column 1", "channel belongs"),
        ("# a\n\nchannel,ring,x_arcmin,y_arcmin\n", "line 3, column 2", "ring_deg belongs"),
    ] {
        malformed(folder.path(), bytes.as_bytes(), place, words);
    }
    for (row, place, words) in [
        ("X,0,1,2", "line 2, column 1 (channel)", "“X” is no channel"),
        ("LR,0,1,2", "line 2, column 1 (channel)", "no channel"),
        (",0,1,2", "line 2, column 1 (channel)", "no channel"),
        ("L,zero,1,2", "line 2, column 2 (ring_deg)", "“zero” is not a number"),
        ("L,0°,1,2", "line 2, column 2 (ring_deg)", "not a number"),
        ("L,0,,2", "line 2, column 3 (x_arcmin)", "empty"),
        ("L,0,1,", "line 2, column 4 (y_arcmin)", "empty"),
        ("L,0,1", "line 2, column 4", "3 columns"),
        ("L,0", "line 2, column 3", "2 columns"),
        ("L,0,1,2,3", "line 2, column 5", "5 columns"),
        ("L,0,1,5,2,5", "line 2, column 5", "decimals with a point"),
        ("L;0;1;2", "line 2, column 2", "1 column where"),
        ("L,0,NaN,2", "line 2, column 3 (x_arcmin)", "finite"),
        ("L,0,1,inf", "line 2, column 4 (y_arcmin)", "finite"),
        ("L,1e400,1,2", "line 2, column 2 (ring_deg)", "finite"),
        ("L,0,1e999,2", "line 2, column 3 (x_arcmin)", "finite"),
        ("L,0,3001,2", "line 2, column 3 (x_arcmin)", "farther than 3000′"),
        ("L,0,1,-9000", "line 2, column 4 (y_arcmin)", "farther than 3000′"),
        ("L,0,\"1\",2", "line 2, column 3 (x_arcmin)", "quotation"),
        ("L,0,1 2,2", "line 2, column 3 (x_arcmin)", "not a number"),
        ("L,0,1,2′", "line 2, column 4 (y_arcmin)", "not a number"),
        ("L,0,-−1,2", "line 2, column 3 (x_arcmin)", "not a number"),
        ("L,0,1\u{1b}[2J,2", "line 2, column 3 (x_arcmin)", "control"),
    ] {
        let text = format!("{HEADER}{row}\n{GOOD}");
        malformed(folder.path(), text.as_bytes(), place, words);
        let later = format!("{HEADER}{GOOD}\r\n# then\r\n{row}");
        let place = place.replace("line 2", "line 10");
        malformed(folder.path(), later.as_bytes(), &place, words);
    }
    for (bytes, place, words) in [
        (b"channel,ring_deg,x_arcmin,y_arcmin\nL,0,\xB5,2\n".as_slice(), "line 2, byte 5", "UTF-8"),
        (b"channel,ring_deg,x_arcmin,y_arcmin\nL,0,1\0,2\n", "line 2, byte 6", "zero byte"),
        (b"\xFF\xFEc\0h\0a\0", "line 1", "UTF-16"),
        (b"\x89PNG\r\n\x1a\n\0\0", "line 1, byte 1", "UTF-8"),
    ] {
        malformed(folder.path(), bytes, place, words);
    }
    let semicolons = "channel;ring_deg;x_arcmin;y_arcmin\nL;0;1.5;2\n";
    malformed(
        folder.path(),
        semicolons.as_bytes(),
        "line 2, column 3 (x_arcmin)",
        "decimal commas",
    );
    let huge = format!("{HEADER}#{}", "x".repeat(5 << 20));
    malformed(folder.path(), huge.as_bytes(), "", "larger than 4 MiB");
    let long = format!("{HEADER}L,0,{},2\n", "1".repeat(100_000));
    malformed(folder.path(), long.as_bytes(), "line 2, column 3 (x_arcmin)", "100000 characters");
}

/// Well written, but no circle comes of it: which channel, and what is missing.
#[test]
fn readings_that_make_no_circle_are_refused_by_channel() {
    let folder = tempfile::tempdir().unwrap();
    let left = "L,0,40,4\nL,90,10,-26\nL,180,-20,4\n";
    for (rows, channel, words) in [
        (left, "right channel", "no readings"),
        ("R,0,1,2\nR,90,2,1\n", "left channel", "no readings"),
        (&format!("{left}R,0,1,2\n"), "right channel", "one reading"),
        (&format!("{left}R,0,1,2\nR,360,2,3\n"), "right channel", "one ring angle"),
        (&format!("{left}R,,1,2\nR,,2,3\n"), "right channel", "without ring angles"),
        (&format!("{left}R,,1,1\nR,,2,2\nR,,3,3\n"), "right channel", "straight line"),
        (&format!("{left}R,0,1,2\nR,90,1,2\n"), "right channel", "stays in one place"),
    ] {
        malformed(folder.path(), format!("{HEADER}{rows}").as_bytes(), channel, words);
    }
}

#[test]
fn arguments_that_make_no_sense_are_refused() {
    let good = readings("good.csv");
    for (arguments, words) in [
        (vec![], "READINGS.csv"),
        (vec!["a.csv", "b.csv"], "b.csv"),
        (vec!["no-such.csv"], "no-such.csv: cannot be read"),
        (vec!["demo-data"], "demo-data: cannot be read"),
        (vec![&good, "--nonsense"], "--nonsense"),
        (vec![&good, "--swing=-15,15"], "--swing without --window"),
        (vec![&good, "--window=45,20,15", "--swing=15"], "not 1"),
        (vec![&good, "--window=45,20,15", "--swing=15,-15"], "no less than the low end"),
        (vec![&good, "--window=45,20,15", "--swing=a,15"], "“a”"),
        (vec![&good, "--window=45,20,15", "--swing=-999,15"], "from −180 to 180"),
        (vec![&good, "--housing", "no-such.ron"], "no-such.ron"),
        (vec![&good, "--housing", "README.md"], "README.md, line 1"),
        (vec![&good, "--window"], "--window"),
        (vec![&good, "--window", "45,20"], "not 2"),
        (vec![&good, "--window", "45,20,15,40,3"], "not 5"),
        (vec![&good, "--window", "45,20,fifteen"], "“fifteen”"),
        (vec![&good, "--window", "45,,15"], "number 2"),
        (vec![&good, "--window", "0,20,15"], "convergence"),
        (vec![&good, "--window=-45,20,15"], "convergence"),
        (vec![&good, "--window", "-45,20,15"], "convergence"),
        (vec![&good, "--window", "45,−20,15"], "divergence"),
        (vec![&good, "--window", "45,20,inf"], "finite"),
        (vec![&good, "--window", "45,20,15,-1"], "boresight"),
        (vec![&good, "--sigma", "0"], "more than 0′"),
        (vec![&good, "--sigma", "-0.2"], "more than 0′"),
        (vec![&good, "--sigma=NaN"], "finite"),
        (vec![&good, "--sigma", "wide"], "not a number"),
        (vec![&good, "--ring-sigma", "1"], "--sigma"),
        (vec![&good, "--sigma", "0.2", "--ring-sigma", "-1"], "0° or more"),
        (vec![&good, "--sigma", "0.2", "--ring-sigma", "1e999"], "finite"),
        (vec![&good, "--sense", "left"], "with, against"),
        (vec![&good, "--json=yes"], "--json"),
    ] {
        let arguments: Vec<&str> = std::iter::once("solve").chain(arguments).collect();
        let message = samepoint(&arguments).refused();
        assert!(message.contains(words), "{words} is not in\n{message}");
    }
}

#[test]
fn a_ring_sigma_of_nothing_needs_no_sigma() {
    samepoint(&["solve", &readings("good.csv"), "--ring-sigma", "0"]).answered(0);
}
