//! samepoint's numbers: readings in, offset circles, crossing points and settings out.
//!
//! Pure: no files, no clock, no screen, no threads, no randomness of its own. No function panics
//! or hangs on any input, finite or not: what cannot be answered is an [`Error`] in the user's
//! words or a `None`. Directions are arcminutes from boresight as the user sees them (+x right,
//! +y up); ring angles are degrees, clockwise positive looking into the eyepiece.
//!
//! The way through the house, from readings to rings:
//!
//! - [`mod@solve`]: [`Problem`] → [`Solution`], the one entry that every other part calls;
//! - [`angle`]: units and their conversions;
//! - [`channel`]: left and right; [`direction`]: directions and misalignments;
//! - [`circle`]: the offset circle; [`fit`]: from readings to a circle with its covariance;
//! - [`meet`]: where two circles cross; [`tolerance`]: the window and how much of it is used;
//! - [`uncertainty`]: standard uncertainties and their degrees of freedom; [`ellipse`]: where a
//!   direction lies with 95 %; [`crossing_uncertainty`], [`pointing`]: how well a crossing point and
//!   a setting are known;
//! - [`own_circle`]: whether later readings lie on their channel's circle;
//! - [`diagnostic`]: readings that stand out, and why; `screen`: which of many may; [`next_reading`]: the one most worth taking;
//! - [`relative`]: stations that show only the difference of the channels;
//! - [`setting`]: the best compromise of two rings, its map and slack;
//! - [`turn`]: which way to turn a ring, and the path its crosshair takes;
//! - [`optics`]: from millimetres to arcminutes and back;
//! - [`swing`]: pods that swing to the user's eyes; [`far_point`]: how far is far;
//! - [`decision`]: pass, fail or undecided, with uncertainty; [`global_risk`]: what a window and a rule do
//!   to the units that a shop makes;
//! - [`monte_carlo`]: uncertainty by seeded trials where linear covariance fails;
//! - [`upkeep`]: the bench's own check standard, gauge study and calibration state;
//! - [`remedy`]: shims and swaps when the rings alone do not get there;
//! - [`source_split`]: housing error apart from tube offset; [`mod@shelf`]: which parts of a shelf go
//!   together best;
//! - [`simulate`]: invented units, and readings of them as a hand would log them;
//! - [`published`]: figures of others beside what comes out here;
//! - [`stats`]: the statistics the rest needs, with every input checked;
//! - [`error`]: all that can be refused;
//! - [`words`]: counts, capitals and ways round in words, for everybody.

pub mod angle;
pub mod channel;
pub mod circle;
pub mod crossing_uncertainty;
pub mod decision;
pub mod diagnostic;
pub mod direction;
pub mod ellipse;
pub mod error;
pub mod far_point;
pub mod fit;
pub mod global_risk;
pub mod meet;
pub mod monte_carlo;
pub mod next_reading;
pub mod optics;
pub mod own_circle;
pub mod pointing;
pub mod published;
pub mod relative;
pub mod remedy;
mod screen;
pub mod setting;
pub mod shelf;
pub mod simulate;
pub mod solve;
pub mod source_split;
pub mod stats;
pub mod swing;
pub mod tolerance;
pub mod turn;
pub mod uncertainty;
pub mod upkeep;
pub mod words;

pub use channel::{Channel, PerChannel};
pub use circle::{OffsetCircle, Phase, Sense};
pub use direction::{Direction, Misalignment};
pub use ellipse::Ellipse;
pub use error::Error;
pub use fit::{CircleFit, Reading, Residual, SenseBasis, SenseChoice, Spread};
pub use meet::{CrossingPoint, Meeting, Relation};
pub use solve::{Circles, NoSetting, Problem, Setting, SettingKind, Solution, circles, solve};
pub use tolerance::{Window, WindowUse};
pub use turn::Turn;
pub use uncertainty::Uncertainty;
