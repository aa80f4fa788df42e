//! A remedy that the hand chose itself: as it is said on a sheet, and the facts it makes.

use solver::Channel;

use super::taking::rebuilt;
use crate::fact::{
    Body, Remedy, RemedyTaken, RoundOpened, RoundReason, SessionKind, ShimUnder, TurnedPart,
};
use crate::fold::Session;
use crate::housing::{Housing, ShimEnds};
use crate::number::Typed;
use crate::unit::Shim;

/// What was done.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Done {
    /// Leaves were put under a tube.
    #[default]
    Shim,
    /// A tube was turned in its bore.
    TurnTube,
    /// Both tubes changed sides.
    SwapTubes,
    /// Both eyepieces changed sides.
    SwapEyepieces,
    /// Another tube was fitted.
    ReplaceTube,
    /// Another eyepiece was fitted.
    ReplaceEyepiece,
    /// Anything else; the note says what.
    Other,
}

impl Done {
    /// All of them, in the order they are offered.
    pub const ALL: [Self; 7] = [
        Self::Shim,
        Self::TurnTube,
        Self::SwapTubes,
        Self::SwapEyepieces,
        Self::ReplaceTube,
        Self::ReplaceEyepiece,
        Self::Other,
    ];

    /// It in a few words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Shim => "a tube shimmed",
            Self::TurnTube => "a tube turned",
            Self::SwapTubes => "tubes swapped",
            Self::SwapEyepieces => "eyepieces swapped",
            Self::ReplaceTube => "another tube fitted",
            Self::ReplaceEyepiece => "another eyepiece fitted",
            Self::Other => "something else",
        }
    }

    /// Whether it was done to one channel.
    #[must_use]
    pub const fn is_of_one_channel(self) -> bool {
        matches!(self, Self::Shim | Self::TurnTube | Self::ReplaceTube | Self::ReplaceEyepiece)
    }
}

/// A remedy of the hand's own, as typed.
#[derive(Clone, Debug, PartialEq)]
pub struct ByHand {
    /// What was done.
    pub done: Done,
    /// To which channel, where it was one.
    pub channel: Channel,
    /// Where a shim pushes from, degrees clockwise from up, seen from the eye side.
    pub clock: String,
    /// A shim's leaves, mm each, with spaces or + between them.
    pub leaves: String,
    /// At which end they lie.
    pub ends: ShimEnds,
    /// How far a tube was turned, degrees clockwise seen from the eye side.
    pub turned: String,
    /// The serial number of what was fitted; may stay empty.
    pub serial: String,
    /// In the hand's words.
    pub note: String,
}

impl Default for ByHand {
    fn default() -> Self {
        Self {
            done: Done::default(),
            channel: Channel::Left,
            clock: String::new(),
            leaves: String::new(),
            ends: ShimEnds::Both,
            turned: String::new(),
            serial: String::new(),
            note: String::new(),
        }
    }
}

/// What of it cannot be taken.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum NotTaken {
    /// There is no round it could follow.
    #[error("There is no round yet: a remedy comes after readings.")]
    NoRound,
    /// A field holds nothing.
    #[error("Type {}.", .0.words())]
    Missing(RemedyField),
    /// A field is no number.
    #[error("“{text}” is not a number: type {}.", .field.words())]
    NotANumber {
        /// Which.
        field: RemedyField,
        /// As typed.
        text: String,
    },
    /// A leaf's thickness is not above nothing.
    #[error("A leaf is thicker than 0 mm: {0} mm is not.")]
    NoThickness(String),
    /// A leaf thicker than any that is put under a tube.
    #[error("A leaf of {0} mm: leaves are given in millimetres, up to {MOST_MM} mm.")]
    TooThick(String),
    /// A tube turned by nothing.
    #[error("A tube turned by a whole number of turns stands as before.")]
    TurnedByNothing,
    /// An invented unit is made of what its grade says: nothing else can be done to it.
    #[error(
        "To an invented unit only this can be done: its seats’ own shims, a tube turned by 180°, tubes or eyepieces \
         swapped."
    )]
    NotOnTheShelf,
    /// Something else was done, and nothing says what.
    #[error("Say in the note what was done.")]
    NothingSaid,
}

/// A field that is a number.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RemedyField {
    /// How far a tube was turned.
    Turn,
    /// Where a shim pushes from.
    Clock,
    /// A shim's leaves.
    Leaves,
}

impl RemedyField {
    /// It and what it looks like.
    const fn words(self) -> &'static str {
        match self {
            Self::Turn => "how far it was turned, such as 180",
            Self::Clock => "the clock position, such as 130",
            Self::Leaves => "the leaves, such as 0.10 or 0.10 + 0.05",
        }
    }
}

/// The thickest leaf taken, mm: a slip of the decimal mark is more likely above it. Common practice, no
/// source.
pub const MOST_MM: f64 = 2.0;

/// Whether a housing's own seats and parts allow a remedy.
fn is_on_shelf(remedy: &Remedy, housing: &Housing) -> bool {
    let is = |a: f64, b: f64| (a - b).abs() < 1e-9;
    match remedy {
        Remedy::SwapEyepieces | Remedy::SwapTubes => true,
        Remedy::TurnTube(turned) => is(turned.by_deg.rem_euclid(360.0), 180.0),
        Remedy::Shim(shims) => housing.seat.as_ref().is_some_and(|seat| {
            shims.iter().all(|ShimUnder { shim, .. }| {
                let clock_deg = shim.clock_deg.rem_euclid(360.0);
                seat.clock_deg.iter().any(|at| is(at.rem_euclid(360.0), clock_deg))
                    && seat.ends.contains(&shim.ends)
                    && shim
                        .leaves_mm
                        .iter()
                        .all(|mm| seat.leaves_mm.iter().any(|own| is(*own, *mm)))
                    && shim.leaves_mm.iter().sum::<f64>() <= seat.largest_stack_mm + 1e-9
            })
        }),
        Remedy::ReplaceTube(_) | Remedy::ReplaceEyepiece(_) | Remedy::Other => false,
    }
}

impl ByHand {
    /// The facts it makes, in order: the remedy, of which nothing was predicted; the next round; and in it
    /// the unit as it is built from then on.
    ///
    /// # Errors
    /// [`NotTaken`]: the first field that cannot be.
    pub fn facts(&self, session: &Session) -> Result<Vec<Body>, NotTaken> {
        let round = session.rounds.last().ok_or(NotTaken::NoRound)?.id;
        let remedy = self.remedy()?;
        let note = self.note.trim();
        let practice = session.header.as_ref().is_some_and(|it| it.kind != SessionKind::Real);
        if practice && !session.housing().is_some_and(|housing| is_on_shelf(&remedy, housing)) {
            return Err(NotTaken::NotOnTheShelf);
        }
        if remedy == Remedy::Other && note.is_empty() {
            return Err(NotTaken::NothingSaid);
        }
        let built = session.unit().map(|unit| {
            let mut built = rebuilt(unit, &remedy);
            let serial = || self.serial.trim().to_owned();
            match remedy {
                Remedy::ReplaceTube(channel) => built.tubes[channel].serial = serial(),
                Remedy::ReplaceEyepiece(channel) => built.eyepieces[channel].serial = serial(),
                _ => {}
            }
            built
        });
        let taken = RemedyTaken { round, remedy, prediction: None, note: note.to_owned() };
        let opened = RoundOpened { why: RoundReason::Remedy, note: String::new() };
        let mut bodies = vec![Body::RemedyTaken(taken), Body::RoundOpened(opened)];
        bodies.extend(built.map(Body::Unit));
        Ok(bodies)
    }

    fn remedy(&self) -> Result<Remedy, NotTaken> {
        let channel = self.channel;
        Ok(match self.done {
            Done::Shim => Remedy::Shim(vec![ShimUnder { channel, shim: self.shim()? }]),
            Done::TurnTube => {
                let by_deg = number(RemedyField::Turn, &self.turned)?;
                if by_deg.rem_euclid(360.0) == 0.0 {
                    return Err(NotTaken::TurnedByNothing);
                }
                Remedy::TurnTube(TurnedPart { channel, by_deg })
            }
            Done::SwapTubes => Remedy::SwapTubes,
            Done::SwapEyepieces => Remedy::SwapEyepieces,
            Done::ReplaceTube => Remedy::ReplaceTube(channel),
            Done::ReplaceEyepiece => Remedy::ReplaceEyepiece(channel),
            Done::Other => Remedy::Other,
        })
    }

    fn shim(&self) -> Result<Shim, NotTaken> {
        let clock_deg = number(RemedyField::Clock, &self.clock)?;
        let clock_deg = solver::angle::reduced_deg(clock_deg);
        let parts = self.leaves.split(|c: char| c.is_whitespace() || c == '+');
        let mut leaves_mm = parts
            .filter(|leaf| !leaf.is_empty())
            .map(leaf_mm)
            .collect::<Result<Vec<f64>, NotTaken>>()?;
        if leaves_mm.is_empty() {
            return Err(NotTaken::Missing(RemedyField::Leaves));
        }
        leaves_mm.sort_by(|a, b| b.total_cmp(a));
        Ok(Shim { clock_deg, leaves_mm, ends: self.ends })
    }
}

fn leaf_mm(text: &str) -> Result<f64, NotTaken> {
    let mm = number(RemedyField::Leaves, text)?;
    if mm <= 0.0 {
        Err(NotTaken::NoThickness(text.to_owned()))
    } else if mm > MOST_MM {
        Err(NotTaken::TooThick(text.to_owned()))
    } else {
        Ok(mm)
    }
}

fn number(field: RemedyField, text: &str) -> Result<f64, NotTaken> {
    if text.trim().is_empty() {
        return Err(NotTaken::Missing(field));
    }
    Typed::by_hand(text).map(|typed| typed.value()).map_err(|_| {
        let text = crate::shown::one_line(text.trim()).chars().take(40).collect();
        NotTaken::NotANumber { field, text }
    })
}

#[cfg(test)]
#[allow(clippy::unwrap_used, clippy::panic, reason = "tests fail by panicking")]
mod tests {
    use super::*;
    use crate::fold::fold;
    use crate::unit::{Eyepiece, Tube, Unit};
    use crate::{Fact, Stamp};
    use solver::PerChannel;

    fn session() -> Session {
        let unit = Unit {
            name: "0147".into(),
            tubes: PerChannel {
                left: Tube { serial: "A".into(), turned_deg: 270.0 },
                right: Tube { serial: "B".into(), turned_deg: 0.0 },
            },
            eyepieces: PerChannel {
                left: Eyepiece { serial: "E1".into(), ..Eyepiece::default() },
                right: Eyepiece { serial: "E2".into(), ..Eyepiece::default() },
            },
            ..Unit::default()
        };
        let opened = RoundOpened { why: RoundReason::First, note: String::new() };
        let bodies = [Body::Unit(unit), Body::RoundOpened(opened)];
        let time: Stamp = "2026-03-04T10:00:00+00:00".parse().unwrap();
        let facts: Vec<Fact> = (1..)
            .zip(bodies)
            .map(|(seq, body)| Fact { seq, time, hand: "KT".into(), body })
            .collect();
        fold(&facts)
    }

    fn built(own: &ByHand) -> (Remedy, Unit) {
        let facts = own.facts(&session()).unwrap();
        let facts = <[Body; 3]>::try_from(facts).unwrap();
        let [Body::RemedyTaken(taken), Body::RoundOpened(opened), Body::Unit(unit)] = facts else {
            panic!("other facts than these");
        };
        assert_eq!(opened.why, RoundReason::Remedy);
        assert!(taken.prediction.is_none() && taken.round == 2);
        (taken.remedy, unit)
    }

    #[test]
    fn the_unit_is_built_as_was_said() {
        let own = ByHand {
            clock: "490".into(),
            leaves: "0,05+ 0.10".into(),
            ends: ShimEnds::Rear,
            channel: Channel::Right,
            ..ByHand::default()
        };
        let (_, unit) = built(&own);
        let shim = Shim { clock_deg: 130.0, leaves_mm: vec![0.10, 0.05], ends: ShimEnds::Rear };
        assert_eq!(unit.shims, PerChannel { left: Vec::new(), right: vec![shim] });

        let own = ByHand { done: Done::TurnTube, turned: "−90".into(), ..ByHand::default() };
        assert_eq!(built(&own).1.tubes.left.turned_deg, 180.0);

        let serial = " C ".to_owned();
        let own = ByHand { done: Done::ReplaceTube, serial, ..ByHand::default() };
        let (remedy, unit) = built(&own);
        assert_eq!(remedy, Remedy::ReplaceTube(Channel::Left));
        // A tube newly fitted stands in its usual place, and nothing lies under it that was not said.
        assert_eq!(unit.tubes.left, Tube { serial: "C".into(), turned_deg: 0.0 });
        assert_eq!(unit.tubes.right.serial, "B");

        let own = ByHand { done: Done::ReplaceEyepiece, ..ByHand::default() };
        assert_eq!(built(&own).1.eyepieces.left, Eyepiece::default());
        let own = ByHand { done: Done::SwapTubes, ..ByHand::default() };
        assert_eq!(built(&own).1.tubes.left.serial, "B");
        let own = ByHand { done: Done::SwapEyepieces, ..ByHand::default() };
        assert_eq!(built(&own).1.eyepieces.left.serial, "E2");
        let own = ByHand { done: Done::Other, note: "bore lapped".into(), ..ByHand::default() };
        assert_eq!(built(&own).0, Remedy::Other);
    }

    #[test]
    fn what_cannot_be_is_refused_by_field() {
        let own = ByHand { clock: "130".into(), leaves: "0.10".into(), ..ByHand::default() };
        assert!(own.facts(&session()).is_ok());
        let told = |own: ByHand| own.facts(&session()).unwrap_err().to_string();
        for (leaves, word) in [
            ("", "Type the leaves, such as 0.10"),
            ("O.1", "“O.1” is not a number"),
            ("0.1 -0.05", "thicker than 0"),
            ("0.10 0", "thicker than 0"),
            ("10", "up to 2 mm"),
            ("1e-1", "not a number"),
        ] {
            let said = told(ByHand { leaves: leaves.into(), ..own.clone() });
            assert!(said.contains(word), "{leaves}: {said}");
        }
        assert!(told(ByHand { clock: "up".into(), ..own.clone() }).contains("such as 130"));
        let turn = |turned: &str| {
            let turned = turned.to_owned();
            told(ByHand { done: Done::TurnTube, turned, ..ByHand::default() })
        };
        assert!(turn("360").contains("as before") && turn("").contains("how far it was turned"));
        assert!(told(ByHand { done: Done::Other, ..ByHand::default() }).contains("in the note"));
        assert_eq!(own.facts(&Session::default()), Err(NotTaken::NoRound));
    }
}
