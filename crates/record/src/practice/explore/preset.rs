//! Presets: each a unit that teaches one thing, named for it, with a question.

use solver::optics::{Lateral, Optics, Placement, TubeImage};
use solver::swing::Bridge;
use solver::{PerChannel, Window};

use super::model::{Model, ModelChannel};
use crate::error::Error;

/// What is taught.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Preset {
    /// Both bores off alike.
    MatchedBores,
    /// One bore off so far that the circles barely meet.
    BarelyMeeting,
    /// A small circle inside a large one.
    Nested,
    /// Two crossings, one of them too far out.
    OneGoodCrossing,
    /// A crossing that is right at one interpupillary distance only.
    OneDistanceOnly,
    /// A dioptre off zero.
    DioptreError,
    /// Rings with play.
    RingPlay,
    /// A station map with x the wrong way round.
    WrongFlip,
}

impl Preset {
    /// All of them, in the order to be worked through.
    pub const ALL: [Self; 8] = [
        Self::MatchedBores,
        Self::BarelyMeeting,
        Self::Nested,
        Self::OneGoodCrossing,
        Self::OneDistanceOnly,
        Self::DioptreError,
        Self::RingPlay,
        Self::WrongFlip,
    ];

    /// What it is called.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::MatchedBores => "Matched bores",
            Self::BarelyMeeting => "One bore off, circles barely meeting",
            Self::Nested => "Nested circles, no meeting",
            Self::OneGoodCrossing => "Two crossings, only one good",
            Self::OneDistanceOnly => "Fine at one interpupillary distance, double at another",
            Self::DioptreError => "A dioptre error that looks like misalignment",
            Self::RingPlay => "Ring play",
            Self::WrongFlip => "A wrong flip in the station map",
        }
    }

    /// What it asks.
    #[must_use]
    pub const fn question(self) -> &'static str {
        match self {
            Self::MatchedBores => {
                "Both bores are off by the same amount. At how many places can the channels be brought \
                 together, and which is best?"
            }
            Self::BarelyMeeting => {
                "The circles still cross. How much more bore error would part them?"
            }
            Self::Nested => "No ring angle brings these together. What would?",
            Self::OneGoodCrossing => {
                "Both crossings bring the channels together. Why not take either?"
            }
            Self::OneDistanceOnly => {
                "The rings are set to a crossing. What will a user with other eyes see?"
            }
            Self::DioptreError => {
                "The rings are right, and yet the crosshairs stand apart. What is it, if not the bores?"
            }
            Self::RingPlay => {
                "The rings stand at their targets, reached from the other side than when logging. How far \
                 off is that?"
            }
            Self::WrongFlip => {
                "The readings look like a good circle. What gives the wrong flip away, and what would a \
                 shim do?"
            }
        }
    }

    /// Its millimetres.
    ///
    /// # Errors
    /// None: the numbers are fixed, and tests make every one of them.
    pub fn model(self) -> Result<Model, Error> {
        let mut model = Model {
            optics: Optics::new(27.0, 27.0, TubeImage::Inverted)?,
            channels: PerChannel::default(),
            window: Window::new(20.0, 10.0, 8.0, Some(40.0))?,
            bridge: Bridge::Hinge { spread_mm: 12.0, arm_mm: 30.0 },
            set_at_ipd_mm: 64.0,
            ipd_range_mm: [56.0, 72.0],
        };
        let (left, right) = match self {
            Self::MatchedBores => {
                (bores((0.09, -0.06), 0.20, 30.0), bores((0.09, -0.06), 0.20, 250.0))
            }
            Self::BarelyMeeting => (bores((0.0, 0.0), 0.20, 90.0), bores((0.39, 0.05), 0.20, 10.0)),
            Self::Nested => (bores((0.0, 0.05), 0.30, 45.0), bores((0.02, -0.03), 0.06, 200.0)),
            Self::OneGoodCrossing => {
                (bores((0.14, 0.17), 0.24, 80.0), bores((-0.10, 0.21), 0.22, 300.0))
            }
            Self::OneDistanceOnly => {
                (bores((0.10, 0.33), 0.20, 20.0), bores((-0.10, 0.34), 0.20, 140.0))
            }
            Self::DioptreError => {
                (bores((0.15, 0.15), 0.22, 10.0), bores((-0.18, 0.10), 0.21, 130.0))
            }
            Self::RingPlay => (bores((-0.34, 0.02), 0.35, 220.0), bores((0.10, 0.33), 0.35, 60.0)),
            Self::WrongFlip => (bores((0.16, 0.05), 0.20, 35.0), bores((-0.04, 0.02), 0.22, 170.0)),
        };
        model.channels = PerChannel { left, right };
        let PerChannel { left, right } = &mut model.channels;
        match self {
            // The interpupillary distance was set 6 mm too narrow: each eye stands 3 mm outward.
            Self::DioptreError => {
                left.eye_off = Lateral::new(-3.0, 0.0);
                right.eye_off = Lateral::new(3.0, 0.0);
                right.dioptre = 1.5;
            }
            Self::RingPlay => {
                left.ring_play_deg = 8.0;
                right.ring_play_deg = 8.0;
            }
            Self::WrongFlip => left.map_flipped = true,
            _ => {}
        }
        Ok(model)
    }
}

/// A channel whose tube seat is off by so much at both ends together, mm, with its cell's decentre and
/// clock position at ring zero.
fn bores((x_mm, y_mm): (f64, f64), decentre_mm: f64, clock_deg: f64) -> ModelChannel {
    let half = Lateral::new(x_mm / 2.0, y_mm / 2.0);
    ModelChannel {
        placed: Placement { tube_in: half, tube_out: half, ..Placement::default() },
        decentre: Lateral::toward_clock(decentre_mm, clock_deg),
        ..ModelChannel::default()
    }
}
