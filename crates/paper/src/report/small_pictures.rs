//! The pictures that confirm readings rest on, small: one for each position and channel, its crosshair marked.
//!
//! Files are read elsewhere: [`small_pictures_of`] says which are wanted, and [`SmallPicture`] brings each, or why it
//! cannot be shown, which is told in words.

use record::fact::{Frame, NotedCrosshair, Purpose, Seen};
use record::review::read_again::NotRead;
use record::shop::PictureFound;
use record::{Account, Entry, Fact, Position};
use solver::Channel;

use super::block::{Block, TextLook, paragraph};
use super::figures::moment;
use super::flow::Flow;
use crate::ink::{GreyPicture, Ink, Pen, rectangle};
use crate::letters::Letters;
use crate::palette::{self, Colour};
use crate::words::{form_for, sentence};

/// So many stand side by side.
const ABREAST: usize = 3;
/// Between two.
const APART_PT: f64 = 10.0;
/// The highest one.
const HIGHEST_PT: f64 = 160.0;
/// Marks begin so far from the crosshair, which stays in sight, and end so far.
const MARK_PT: [f64; 2] = [3.5, 10.0];
/// They run between the crosshair's lines.
const ASLANT: f64 = core::f64::consts::FRAC_1_SQRT_2;

/// A picture that a reading rests on, small.
#[derive(Clone, Debug, PartialEq)]
pub struct SmallPicture {
    /// The fact that names it.
    pub frame: u64,
    /// It, or why it is not shown.
    pub shown: Result<Small, NotShown>,
}

/// A picture made small.
#[derive(Clone, Debug, PartialEq)]
pub struct Small {
    /// It.
    pub picture: GreyPicture,
    /// Width and height of what it was made of, pixels.
    pub of_px: [u64; 2],
}

/// Why a picture is not shown.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum NotShown {
    /// The session has no pictures beside it.
    #[error("cannot be looked for: the session lies in no shop")]
    NoShop,
    /// It is not what lies there.
    #[error("{0}")]
    NotThere(PictureFound),
    /// What is kept cannot be made a picture.
    #[error("cannot be shown: {0}")]
    NotRead(NotRead),
}

/// The pictures that are wanted: of the round that counts, for each position and channel, that of the newest confirm
/// reading in use that rests on one; in the order of the readings.
#[must_use]
pub fn small_pictures_of(account: &Account) -> Vec<&Fact<Frame>> {
    wanted(account).into_iter().map(|wanted| wanted.frame).collect()
}

struct WantedPicture<'a> {
    position: Position,
    entry: &'a Entry,
    frame: &'a Fact<Frame>,
}

fn wanted(account: &Account) -> Vec<WantedPicture<'_>> {
    let session = &account.session;
    let mut all: Vec<WantedPicture<'_>> = Vec::new();
    let entries = session.round().into_iter().flat_map(record::Round::in_use);
    for entry in entries.filter(|entry| entry.reading.purpose == Purpose::Confirm) {
        let frame = session.frames.iter().rev().find(|said| said.body.reading == entry.seq);
        let Some(frame) = frame else { continue };
        let position = Position::of(entry, session);
        let channel = entry.reading.channel();
        all.retain(|other| other.position != position || other.entry.reading.channel() != channel);
        all.push(WantedPicture { position, entry, frame });
    }
    all
}

/// Adds them.
pub(super) fn add(account: &Account, pictures: &[SmallPicture], flow: &mut Flow<'_>) {
    flow.heading("Pictures of the confirm readings");
    let wanted = wanted(account);
    if wanted.is_empty() {
        return flow.paragraph("No confirm reading in use rests on a picture.", TextLook::BODY);
    }
    flow.paragraph(
        "The newest of each position and channel, made small, its brightness spread from black to white; the \
         marks point at the crosshair that was read.",
        TextLook::QUIET,
    );
    flow.gap(4.0);
    let cell_pt = (flow.width_pt() + APART_PT) / ABREAST as f64 - APART_PT;
    let (mut cells, mut missing) = (Vec::new(), Vec::new());
    for one in &wanted {
        let shown = pictures.iter().find(|picture| picture.frame == one.frame.seq);
        match shown.map(|picture| &picture.shown) {
            Some(Ok(small)) => {
                let caption = one.caption(account, small.of_px);
                cells.push(cell(one, small, caption, flow.letters(), cell_pt));
            }
            Some(Err(why)) => missing.push(one.not_shown(why)),
            None => {}
        }
    }
    let mut cells = cells.into_iter().peekable();
    while cells.peek().is_some() {
        let row = cells.by_ref().take(ABREAST).enumerate();
        let row = row.fold(Block::default(), |row, (place, cell)| {
            row.beside(cell, (cell_pt + APART_PT) * place as f64)
        });
        flow.place_whole(row.above(8.0));
    }
    for text in missing {
        flow.paragraph(&text, TextLook::BODY);
    }
}

fn cell(
    wanted: &WantedPicture<'_>,
    small: &Small,
    caption: String,
    letters: &Letters,
    cell_pt: f64,
) -> Block {
    let [wide, high] = small.picture.size_px().map(f64::from);
    let scale = (cell_pt / wide).min(HIGHEST_PT / high);
    let to = [wide * scale, high * scale];
    let mut ink = vec![
        Ink::Grey { from: [0.0, 0.0], to, picture: small.picture.clone() },
        Ink::Clip { from: [0.0, 0.0], to },
    ];
    for (place, crosshair) in wanted.frame.body.crosshairs.iter().enumerate() {
        // Pixel (0, 0) is the middle of the upper left one.
        let at =
            [0, 1].map(|axis| (crosshair.px[axis] + 0.5) / small.of_px[axis] as f64 * to[axis]);
        ink.extend(marks(at, colour(wanted.entry, place)));
    }
    ink.push(Ink::ClipEnd);
    let frame = rectangle([0.0, 0.0], to);
    ink.push(Ink::Path { points: frame, closed: true, pen: Pen::line(Colour::LINE, 0.5) });
    let words = paragraph(letters, &caption, cell_pt, TextLook::SMALL);
    Block::picture(letters, to[1] + 3.0, ink, caption).then(words)
}

/// Of a difference the left one stands first.
fn colour(entry: &Entry, place: usize) -> Colour {
    let channel = match (entry.reading.channel(), place) {
        (Some(channel), _) => channel,
        (None, 0) => Channel::Left,
        (None, _) => Channel::Right,
    };
    palette::channel(channel)
}

/// Four strokes towards a place, between the lines of its crosshair, seen on dark and bright.
fn marks([x, y]: [f64; 2], colour: Colour) -> impl Iterator<Item = Ink> {
    let [near, far] = MARK_PT;
    let pens = [Pen::line(Colour::WHITE, 2.4), Pen::line(colour, 1.0)];
    pens.into_iter().flat_map(move |pen| {
        [[ASLANT, ASLANT], [-ASLANT, ASLANT], [-ASLANT, -ASLANT], [ASLANT, -ASLANT]].map(
            |[right, down]| {
                let points = [near, far].map(|away| [x + right * away, y + down * away]).to_vec();
                Ink::Path { points, closed: false, pen }
            },
        )
    })
}

impl WantedPicture<'_> {
    /// Which reading's it is.
    fn of(&self) -> String {
        let entry = self.entry;
        let channel = match &entry.reading.seen {
            Seen::Direction(read) => read.channel.to_string(),
            Seen::Relative(_) => "R − L".to_owned(),
            Seen::Box(_) => "box".to_owned(),
        };
        format!("{channel} {} {}", entry.number, self.position)
    }

    fn caption(&self, account: &Account, of_px: [u64; 2]) -> String {
        let unit = account.session.unit();
        let unit =
            unit.map_or_else(|| "no unit named".to_owned(), |unit| format!("unit {}", unit.name));
        let again = account.read_again.iter().find(|again| again.seq == self.frame.seq);
        let again = again.filter(|again| again.found.contradicts());
        let again = again.map_or_else(String::new, |again| {
            format!(" Read again it does not agree: {}.", again.found.word())
        });
        format!(
            "{}, {unit}, {} (fact {}). {} of {} × {} px, {}.{again}",
            sentence(&self.of()).trim_end_matches('.'),
            moment(self.entry.time),
            self.entry.seq,
            crosshairs(&self.frame.body.crosshairs),
            of_px[0],
            of_px[1],
            self.frame.body.read.word(),
        )
    }

    fn not_shown(&self, why: &NotShown) -> String {
        format!(
            "The picture of reading {} (fact {}, SHA-256 {}) {why}.",
            self.of(),
            self.frame.seq,
            self.frame.body.picture_sha256
        )
    }
}

fn crosshairs(all: &[NotedCrosshair]) -> String {
    let places: Vec<String> =
        all.iter().map(|one| format!("{:.1}, {:.1}", one.px[0], one.px[1])).collect();
    match places.len() {
        0 => "No place noted".to_owned(),
        count => {
            format!("{} at {}", form_for(count, "Crosshair", "Crosshairs"), places.join(" and "))
        }
    }
}
