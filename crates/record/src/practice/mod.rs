//! Practice: invented units for a trainee, with the truth hidden until the trainee has signed, and a
//! score that a supervisor would defend.
//!
//! A practice session is an ordinary session whose header says so and names the unit by grade and
//! number; from these the unit can be made again, the same on every machine.
//!
//! - [`grade`]: the three grades and what each varies; [`mod@unit`]: a unit, its bench and its papers;
//! - [`opening`]: what its session begins with, how its rings stand;
//! - [`built`]: the unit after remedies, where it points, what a look shows;
//! - [`reach`]: the best that rings and remedies can give; [`truth`]: what was hidden;
//! - [`mod@score`]: the formula; [`progress`]: scores over time, as CSV;
//! - [`explore`]: the optics opened up, and presets that each teach one thing.

pub mod built;
pub mod explore;
pub mod grade;
pub mod opening;
pub mod progress;
pub mod reach;
pub mod score;
pub mod truth;
pub mod unit;

pub use built::{Built, Cell, Look};
pub use grade::Grade;
pub use progress::{Attempt, Progress, Unsigned};
pub use reach::Reach;
pub use score::{Part, Score, ScoredPart, score};
pub use truth::{Hidden, Truth};
pub use unit::PracticeUnit;
