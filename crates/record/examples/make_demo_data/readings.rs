//! The files of readings, each with its story and its true circles.

use std::fmt::Write as _;

use solver::{Channel, Direction, OffsetCircle};

use crate::bench::{Bench, circle};

/// One file of readings and what is true of it.
pub(crate) struct Story {
    pub(crate) file: &'static str,
    pub(crate) story: &'static str,
    pub(crate) left: OffsetCircle,
    pub(crate) right: OffsetCircle,
    pub(crate) text: String,
}

/// Ring positions of a usual round; the last closes it at the first position.
const ROUND: [f64; 6] = [0.0, 60.0, 120.0, 180.0, 240.0, 0.0];

/// One row before it is written.
struct Row {
    channel: Channel,
    ring_deg: Option<f64>,
    direction: Direction,
}

pub(crate) fn stories() -> Vec<Story> {
    let usual = (circle((10.0, 4.0), 30.0, 20.0), circle((-6.0, -3.0), 26.0, 140.0));
    let mut stories = Vec::new();
    let mut tell = |file, story, circles: (OffsetCircle, OffsetCircle), text| {
        stories.push(Story { file, story, left: circles.0, right: circles.1, text });
    };

    tell(
        "good.csv",
        "A usual round: both rings read, the first position read again at the end. The circles cross \
         twice, 25.9′ and 26.6′ from boresight.",
        usual,
        plain(&round(1, usual, &ROUND, &ROUND)),
    );
    tell(
        "angle-free.csv",
        "The same unit on a day when neither ring could be read: the circles come out, ring targets \
         do not.",
        usual,
        plain(&without_rings(round(2, usual, &ROUND, &ROUND), |_, _| true)),
    );
    tell(
        "mixed.csv",
        "The left ring is legible, the right one only now and then.",
        usual,
        plain(&without_rings(round(3, usual, &ROUND, &ROUND), |channel, place| {
            channel == Channel::Right && place % 2 == 1
        })),
    );
    let apart = (circle((14.0, 3.0), 9.0, 75.0), circle((-13.0, -2.0), 12.0, 310.0));
    tell(
        "not-meeting.csv",
        "Two weak eyepieces in a housing bored badly: the circles lie 6.5′ apart. No ring setting \
         helps; a swap or a shim might.",
        apart,
        plain(&round(4, apart, &ROUND, &ROUND)),
    );
    let nested = (circle((2.0, 1.0), 30.0, 200.0), circle((4.0, -1.0), 11.0, 15.0));
    tell(
        "nested.csv",
        "A strong eyepiece on the left, a weak one on the right: one circle lies inside the other, \
         16.2′ clear of it.",
        nested,
        plain(&round(5, nested, &ROUND, &ROUND)),
    );
    let grazing = (circle((12.0, 2.0), 16.0, 100.0), circle((-11.0, -3.0), 8.0, 250.0));
    tell(
        "grazing.csv",
        "The circles only just cross, 0.5′ deep: the place along the cut is poorly known, and its \
         uncertainty says so.",
        grazing,
        plain(&round(6, grazing, &ROUND, &ROUND)),
    );
    let short = [0.0, 3.0, 6.0, 9.0];
    tell(
        "short-arc.csv",
        "Somebody in a hurry turned the right ring by 9° in all and wrote down no angles: too short \
         an arc to trust a circle to.",
        usual,
        plain(&without_rings(round(7, usual, &ROUND, &short), |channel, _| {
            channel == Channel::Right
        })),
    );
    tell(
        "against.csv",
        "The station's map for the left channel has its x flipped by mistake, so the left crosshair \
         seems to run against its ring. The circle shown as true is the mirrored one.",
        (mirrored(usual.0), usual.1),
        plain(&flip_left(round(8, usual, &ROUND, &ROUND))),
    );
    tell(
        "two-angles.csv",
        "The least that will do: two ring angles a channel. Nothing is left over, so no uncertainty \
         is known and the sense is assumed.",
        usual,
        plain(&round(9, usual, &[0.0, 120.0], &[30.0, 180.0])),
    );
    tell(
        "by-hand.csv",
        "A usual round typed by hand, with remarks, true minus signs, lower-case letters and blanks.",
        usual,
        by_hand(&round(10, usual, &ROUND, &ROUND)),
    );
    tell(
        "spreadsheet.csv",
        "A usual round saved by a spreadsheet set to decimal commas: semicolons, CRLF, byte-order \
         mark.",
        usual,
        spreadsheet(&round(11, usual, &ROUND, &ROUND)),
    );
    stories
}

fn round(
    seed: u64,
    (left, right): (OffsetCircle, OffsetCircle),
    left_rings: &[f64],
    right_rings: &[f64],
) -> Vec<Row> {
    let mut bench = Bench::new(seed, left, right);
    let positions = left_rings
        .iter()
        .map(|deg| (Channel::Left, *deg))
        .chain(right_rings.iter().map(|deg| (Channel::Right, *deg)));
    positions
        .map(|(channel, deg)| Row {
            channel,
            ring_deg: Some(deg),
            direction: bench.read(channel, deg),
        })
        .collect()
}

fn without_rings(mut rows: Vec<Row>, hidden: impl Fn(Channel, usize) -> bool) -> Vec<Row> {
    for (place, row) in rows.iter_mut().enumerate() {
        if hidden(row.channel, place) {
            row.ring_deg = None;
        }
    }
    rows
}

fn flip_left(mut rows: Vec<Row>) -> Vec<Row> {
    for row in rows.iter_mut().filter(|row| row.channel == Channel::Left) {
        row.direction.x_arcmin = -row.direction.x_arcmin;
    }
    rows
}

/// The circle seen through a map whose x is flipped: the other way round, from 180° − φ.
fn mirrored(circle: OffsetCircle) -> OffsetCircle {
    let Direction { x_arcmin, y_arcmin } = circle.centre;
    OffsetCircle {
        centre: Direction::new(-x_arcmin, y_arcmin),
        phase: circle.phase.map(|phase| solver::Phase {
            zero_deg: solver::angle::reduced_deg(180.0 - phase.zero_deg),
            sense: solver::Sense::Against,
        }),
        ..circle
    }
}

fn letter(channel: Channel) -> char {
    match channel {
        Channel::Left => 'L',
        Channel::Right => 'R',
    }
}

fn write_rows(text: &mut String, rows: &[Row]) {
    for row in rows {
        let ring = row.ring_deg.map(|deg| deg.to_string()).unwrap_or_default();
        let Direction { x_arcmin, y_arcmin } = row.direction;
        // Writing into a string cannot fail.
        let _ = writeln!(text, "{},{ring},{x_arcmin:.1},{y_arcmin:.1}", letter(row.channel));
    }
}

fn plain(rows: &[Row]) -> String {
    let mut text = String::from("channel,ring_deg,x_arcmin,y_arcmin\n");
    write_rows(&mut text, rows);
    text
}

fn by_hand(rows: &[Row]) -> String {
    let mut text = String::from(
        "# Unit 0147, Bench 2, KT. Dioptres at zero, lamp low.\nchannel, ring_deg, x_arcmin, y_arcmin\n",
    );
    let (left, right): (Vec<_>, Vec<_>) = rows.iter().partition(|row| row.channel == Channel::Left);
    for (remark, rows) in [("# left first", left), ("\n# right, ring stiff past 180", right)] {
        text.push_str(remark);
        text.push('\n');
        for row in rows {
            let ring = row.ring_deg.map(|deg| deg.to_string()).unwrap_or_default();
            let letter = letter(row.channel).to_ascii_lowercase();
            let Direction { x_arcmin, y_arcmin } = row.direction;
            let line = format!("{letter}, {ring:>3}, {x_arcmin:>5.1}, {y_arcmin:>5.1}\n");
            text.push_str(&line.replace('-', "\u{2212}"));
        }
    }
    text
}

fn spreadsheet(rows: &[Row]) -> String {
    let plain = plain(rows);
    let commas = plain.replace(',', ";").replace('.', ",");
    format!("\u{FEFF}{}", commas.replace('\n', "\r\n"))
}
