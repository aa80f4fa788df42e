//! The pictures that readings rest on, read again with the reader and the settings they were read with.
//!
//! The record cannot read pictures: whoever can is handed their bytes. *Does not follow*: a crosshair is not
//! found where the session says it was read, or what was typed is not what is seen there, by more than three
//! standard uncertainties of what is found now; one crosshair of a picture stands for two readings; or no
//! camera map in force goes with it. What is missing or another file is told by [`pictures`](super::pictures).

use core::fmt;

use thiserror::Error;

use crate::fact::{Camera, Frame, FrameRead, NotedCrosshair, Reading, Seen, Seq};
use crate::figures;
use crate::fold::{Entry, Session};
use crate::number::Typed;
use crate::shop::PictureFound;
use crate::station::{ReadingUnit, StationMap};
use solver::Channel;

/// How far a place may be from where it was read, standard uncertainties each way.
const MOST_SIGMA: f64 = 3.0;

/// What a hand that named a place in a picture, and not how well, is taken to see to, pixels².
const BY_HAND_PX2: [f64; 3] = [1.0, 0.0, 1.0];

/// Places closer than this are one crosshair, pixels.
const ONE_CROSSHAIR_PX: f64 = 2.0;

/// Reads pictures.
pub trait ReadsPictures {
    /// The crosshairs in a picture's bytes, as a camera sees them.
    ///
    /// # Errors
    /// Why there is none to be told.
    fn read(
        &self,
        camera: &Camera,
        picture: &[u8],
        background: Option<&[u8]>,
    ) -> Result<Vec<InPicture>, NotRead>;

    /// The divisions of a place in the picture.
    ///
    /// # Errors
    /// Why it has none.
    fn place(
        &self,
        camera: &Camera,
        px: [f64; 2],
        covariance_px2: [f64; 3],
    ) -> Result<InPicture, NotRead>;
}

/// A crosshair in a picture, and its place on the graticule; covariances are xx, xy, yy, standard.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct InPicture {
    /// Where, pixels.
    pub px: [f64; 2],
    /// How well, pixels².
    pub covariance_px2: [f64; 3],
    /// Where, divisions.
    pub divisions: [f64; 2],
    /// How well, divisions², the camera map's own share with it where that is known.
    pub covariance_divisions2: [f64; 3],
}

/// Why a picture is not read, in the reader's words.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
#[error("{0}")]
pub struct NotRead(pub String);

/// A picture that a reading rests on, looked at again.
#[derive(Clone, Debug, PartialEq)]
pub struct FrameAgain {
    /// The fact that names it.
    pub seq: Seq,
    /// The reading that rests on it.
    pub reading: Seq,
    /// What came of it.
    pub found: Again,
}

/// What came of reading a picture again.
#[derive(Clone, Debug, PartialEq)]
pub enum Again {
    /// The crosshair is where it was, and what was typed is what is seen.
    Agrees,
    /// The picture, or its background, is not there any more.
    NotThere(PictureFound),
    /// It was read through no camera map.
    NoCamera,
    /// The camera map in force is of another station than the reading's.
    OtherStation {
        /// The camera's.
        camera: String,
        /// The reading's.
        reading: String,
    },
    /// The reader finds none.
    Refused(NotRead),
    /// It names as many crosshairs as the reading cannot have.
    WrongCount(usize),
    /// A crosshair is not where it was read.
    Moved {
        /// As stored, pixels.
        stored_px: [f64; 2],
        /// As found, pixels.
        found_px: [f64; 2],
    },
    /// What was typed is not what is seen.
    TypedOtherwise {
        /// As typed.
        typed: [f64; 2],
        /// As seen, in the same unit.
        seen: [f64; 2],
        /// The unit.
        unit: ReadingUnit,
    },
    /// Another reading rests on the same picture.
    UsedBefore {
        /// Which.
        by: Seq,
    },
}

impl Again {
    /// Whether what was stored is not what the picture shows; otherwise it agrees, or cannot be told.
    #[must_use]
    pub const fn contradicts(&self) -> bool {
        !matches!(self, Self::Agrees | Self::NotThere(_))
    }

    /// It in a word or two.
    #[must_use]
    pub const fn word(&self) -> &'static str {
        match self {
            Self::Agrees => "agrees",
            Self::NotThere(found) => found.word(),
            Self::NoCamera => "no camera map",
            Self::OtherStation { .. } => "other station",
            Self::Refused(_) => "refused",
            Self::WrongCount(_) => "wrong count",
            Self::Moved { .. } => "moved",
            Self::TypedOtherwise { .. } => "typed otherwise",
            Self::UsedBefore { .. } => "used before",
        }
    }
}

impl fmt::Display for FrameAgain {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { seq, reading, found } = self;
        match found {
            Again::Agrees => write!(f, "the picture of reading {reading} agrees"),
            Again::NotThere(found) => {
                write!(f, "a picture of reading {reading} (fact {seq}) {found}")
            }
            Again::NoCamera => write!(
                f,
                "fact {seq} names a picture of reading {reading}, but no camera map was in force"
            ),
            Again::OtherStation { camera, reading: station } => write!(
                f,
                "fact {seq} names a picture of reading {reading} taken at station {station}, but the camera \
                 map in force is of station {camera}"
            ),
            Again::Refused(why) => write!(
                f,
                "fact {seq} says where the crosshair of reading {reading} was read, but read again: {why}"
            ),
            Again::WrongCount(count) => write!(
                f,
                "fact {seq} names {count} crosshairs, which is not what reading {reading} is of"
            ),
            Again::Moved { stored_px: [x, y], found_px: [u, v] } => write!(
                f,
                "fact {seq} says that the crosshair of reading {reading} was read at {x:.2}, {y:.2} px, but \
                 read again the picture gives {u:.2}, {v:.2} px"
            ),
            Again::TypedOtherwise { typed, seen, unit } => {
                let sign = match unit {
                    ReadingUnit::Arcmin => unit.sign().to_owned(),
                    _ => format!(" {}", unit.sign()),
                };
                let [x, y] = typed.map(|value| figures::number(value, 2));
                let [u, v] = seen.map(|value| figures::number(value, 2));
                write!(
                    f,
                    "reading {reading} says {x}{sign}, {y}{sign}, but its picture (fact {seq}) shows \
                     {u}{sign}, {v}{sign}"
                )
            }
            Again::UsedBefore { by } => write!(
                f,
                "fact {seq} rests reading {reading} on the picture that reading {by} rests on: one \
                 picture is not two readings"
            ),
        }
    }
}

impl FrameAgain {
    /// Every picture of a reading in use, in the order of the facts. `picture_of` gives a picture's bytes by
    /// their SHA-256.
    #[must_use]
    pub fn all(
        session: &Session,
        with: &dyn ReadsPictures,
        picture_of: &dyn Fn(&str) -> Result<Vec<u8>, PictureFound>,
    ) -> Vec<Self> {
        let mut all = Vec::new();
        for said in &session.frames {
            let frame = &said.body;
            let Some(entry) = session.entry(frame.reading).filter(|entry| entry.in_use()) else {
                continue;
            };
            let found = match rests_already(session, frame, &entry.reading, said.seq) {
                Some(by) => Again::UsedBefore { by },
                None => PictureLook { session, frame, entry, with }.found(said.seq, picture_of),
            };
            all.push(Self { seq: said.seq, reading: frame.reading, found });
        }
        all
    }
}

/// The reading in use that rests on the same picture already, in frames before a fact: one crosshair of a picture is
/// one reading, whichever channel or purpose it is said to be of, and so is one picture for one channel and purpose.
#[must_use]
pub fn rests_already(
    session: &Session,
    frame: &Frame,
    reading: &Reading,
    before: Seq,
) -> Option<Seq> {
    let mut others = session.frames.iter().take_while(|said| said.seq < before);
    others.find_map(|said| {
        let other = &said.body;
        let entry = session.entry(other.reading).filter(|entry| entry.in_use())?;
        if other.picture_sha256 != frame.picture_sha256 || other.reading == frame.reading {
            return None;
        }
        let alike = entry.reading.purpose == reading.purpose
            && entry.reading.channel() == reading.channel();
        let same =
            |one: &NotedCrosshair| other.crosshairs.iter().any(|there| is_one(one.px, there.px));
        (alike || frame.crosshairs.iter().any(same)).then_some(entry.seq)
    })
}

/// Whether two places in a picture are those of one crosshair: two that are closer are not told apart.
fn is_one(one_px: [f64; 2], other_px: [f64; 2]) -> bool {
    (one_px[0] - other_px[0]).hypot(one_px[1] - other_px[1]) <= ONE_CROSSHAIR_PX
}

/// One picture of one reading.
struct PictureLook<'a> {
    session: &'a Session,
    frame: &'a Frame,
    entry: &'a Entry,
    with: &'a dyn ReadsPictures,
}

impl PictureLook<'_> {
    fn found(&self, seq: Seq, picture_of: &dyn Fn(&str) -> Result<Vec<u8>, PictureFound>) -> Again {
        let Self { session, frame, entry, with } = *self;
        let mut cameras = session.cameras.iter().rev();
        let Some(camera) = cameras.find(|said| said.seq < seq).map(|said| &said.body) else {
            return Again::NoCamera;
        };
        let mut stations = session.stations.iter().rev();
        let station = stations.find(|said| Some(said.seq) == entry.station).map(|said| &said.body);
        if let Some(station) = station.filter(|station| station.name != camera.station) {
            let (camera, reading) = (camera.station.clone(), station.name.clone());
            return Again::OtherStation { camera, reading };
        }
        let count = frame.crosshairs.len();
        let fits = match (&entry.reading.seen, frame.read) {
            (Seen::Direction(_), _) => count == 1,
            (Seen::Relative(_), FrameRead::Camera) => count == 2,
            (Seen::Relative(_), FrameRead::Hand) => count == 2 || count == 0,
            (Seen::Box(_), _) => true,
        };
        if !fits {
            return Again::WrongCount(count);
        }
        let there = picture_of(&frame.picture_sha256).and_then(|picture| {
            let background = frame.background_sha256.as_deref().map(picture_of).transpose()?;
            Ok((picture, background))
        });
        let (picture, background) = match there {
            Ok(there) => there,
            Err(found) => return Again::NotThere(found),
        };
        let seen = match frame.read {
            FrameRead::Camera => match with.read(camera, &picture, background.as_deref()) {
                Ok(all) => nearest_each(&frame.crosshairs, &all),
                Err(why) => return Again::Refused(why),
            },
            FrameRead::Hand => {
                let by_hand = |at: &NotedCrosshair| {
                    with.place(camera, at.px, at.covariance_px2.unwrap_or(BY_HAND_PX2))
                };
                match frame.crosshairs.iter().map(by_hand).collect() {
                    Ok(all) => Ok(all),
                    Err(why) => return Again::Refused(why),
                }
            }
        };
        let seen = match seen {
            Ok(seen) => seen,
            Err([stored_px, found_px]) => return Again::Moved { stored_px, found_px },
        };
        let map =
            |channel: Channel| station.map_or(StationMap::PLAIN, |station| station.map[channel]);
        let typed = match (&entry.reading.seen, &seen[..]) {
            (Seen::Direction(read), [one]) => TypedAndSeen {
                typed: [&read.x, &read.y],
                unit: read.unit,
                map: map(read.channel),
                divisions: one.divisions,
                covariance_divisions2: one.covariance_divisions2,
            },
            (Seen::Relative(read), [left, right]) => TypedAndSeen {
                typed: [&read.x, &read.y],
                unit: read.unit,
                map: map(Channel::Right).of_differences(),
                divisions: [0, 1].map(|axis| right.divisions[axis] - left.divisions[axis]),
                covariance_divisions2: [0, 1, 2].map(|part| {
                    left.covariance_divisions2[part] + right.covariance_divisions2[part]
                }),
            },
            // A box has no number, and a hand that named no place in the picture said none.
            _ => return Again::Agrees,
        };
        typed.held_against()
    }
}

/// Of what is found the one nearest each place stored; or a place with none within reach, as stored and as
/// found.
fn nearest_each(
    stored: &[NotedCrosshair],
    found: &[InPicture],
) -> Result<Vec<InPicture>, [[f64; 2]; 2]> {
    let away =
        |at: &NotedCrosshair, one: &InPicture| (one.px[0] - at.px[0]).hypot(one.px[1] - at.px[1]);
    let mut all: Vec<InPicture> = Vec::new();
    for at in stored {
        let nearest = found.iter().min_by(|a, b| away(at, a).total_cmp(&away(at, b)));
        // A reader that finds none says why instead.
        let Some(one) = nearest else { return Err([at.px, [f64::NAN; 2]]) };
        let [xx, _, yy] = one.covariance_px2;
        let within = |axis: usize, variance: f64| {
            (one.px[axis] - at.px[axis]).abs() <= MOST_SIGMA * variance.max(0.0).sqrt()
        };
        // Two crosshairs of a difference are two: none stands for both.
        if !(within(0, xx) && within(1, yy)) || all.contains(one) {
            return Err([at.px, one.px]);
        }
        all.push(*one);
    }
    Ok(all)
}

/// What was typed, and what is seen.
struct TypedAndSeen<'a> {
    typed: [&'a Typed; 2],
    unit: ReadingUnit,
    map: StationMap,
    divisions: [f64; 2],
    covariance_divisions2: [f64; 3],
}

impl TypedAndSeen<'_> {
    /// A reading is typed to so many decimals: half of the last is no difference.
    fn held_against(&self) -> Again {
        let (seen, u) =
            self.map.typed_from_divisions(self.unit, self.divisions, self.covariance_divisions2);
        let agrees = |axis: usize| {
            let typed = self.typed[axis];
            let half_step = 0.5 * 0.1_f64.powi(typed.decimals().min(12) as i32);
            let most = MOST_SIGMA * u[axis] + half_step + 1e-9;
            (typed.value() - seen[axis]).abs() <= most
        };
        if agrees(0) && agrees(1) {
            Again::Agrees
        } else {
            let typed = self.typed.map(Typed::value);
            Again::TypedOtherwise { typed, seen, unit: self.unit }
        }
    }
}

/// What is said of all of them in a review; nothing where none was read again.
pub(super) fn words(frames: &[FrameAgain]) -> Vec<String> {
    let agree = frames.iter().filter(|frame| frame.found == Again::Agrees).count();
    let rest: Vec<String> = frames
        .iter()
        .filter(|frame| frame.found != Again::Agrees)
        .map(|frame| figures::sentence(&frame.to_string()))
        .collect();
    let said = match (frames.len(), agree) {
        (0, _) | (_, 0) => None,
        (1, _) => Some("Read again, the picture of its reading gives the same.".to_owned()),
        (all, agree) if all == agree => {
            Some(format!("Read again, the pictures of all {all} readings give the same."))
        }
        (all, agree) => {
            Some(format!("Read again, the pictures of {agree} of {all} readings give the same."))
        }
    };
    said.into_iter().chain(rest).collect()
}
