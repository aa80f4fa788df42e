//! Practice: invented units for a trainee, with the truth hidden until the trainee has signed, and a
//! score that a supervisor would defend.
//!
//! A practice session is an ordinary session whose header says so and names the unit by series, grade
//! and number; from these the unit can be made again, the same on every machine.
//!
//! - [`series`]: which units a name means, and examinations; [`grade`]: the grades and what each varies;
//!   [`lesson`]: the first units of a grade; [`fault`]: what is planted, and saying it;
//! - [`mod@unit`]: a unit, its bench and its papers; `surroundings`: its optics, housing and limits; `drawing`: what is drawn of it; [`opening`]: what its session begins with;
//! - [`built`]: the unit after remedies, where it points, what a look shows; [`mod@bench`]: what seating,
//!   dioptres and time make of that; [`look_through`]: what a user would see; [`filmed`]: the camera that films it;
//! - [`reach`]: the best that rings and remedies can give; [`truth`]: what was hidden;
//! - [`mod@score`]: the formulas; [`told`]: readings that the program told; [`progress`]: scores over
//!   time, as CSV; [`seen`]: units met before; [`roster`]: the instructor's page;
//! - [`sat`]: what an examination shows and withholds;
//! - [`explore`]: the optics opened up, and presets that each teach one thing.

pub mod bench;
pub mod built;
mod drawing;
pub mod explore;
pub mod fault;
pub mod filmed;
pub mod grade;
pub mod lesson;
pub mod look_through;
pub mod opening;
pub mod progress;
pub mod reach;
pub mod roster;
pub mod sat;
pub mod score;
pub mod seen;
pub mod series;
mod surroundings;
pub mod told;
pub mod truth;
pub mod unit;

pub use bench::Bench;
pub use built::{Built, BuiltCell, Look};
pub use fault::{Fault, PlacedFault};
pub use grade::Grade;
pub use lesson::Lesson;
pub use look_through::LooksLike;
pub use progress::{Attempt, Progress, Unsigned};
pub use reach::Reach;
pub use roster::{NotAsked, Roster};
pub use sat::WITHHELD;
pub use score::{Formula, ProcedureStep, Score, ScorePart, ScoredPart, score};
pub use seen::EarlierMeeting;
pub use series::{Exam, Series, sitting};
pub use truth::{Hidden, Truth};
pub use unit::PracticeUnit;
