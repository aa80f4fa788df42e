//! Pictures of a station, read: pixels in, crosshairs with their covariance or a refusal out.
//!
//! Pure: no files, no clock, no screen, no threads. No function panics or hangs on any input; what cannot
//! be read is a sentence why. Places are pixels, (0, 0) the centre of the top left one, x right, y down.
//!
//! The way through the house, from pixels to divisions:
//!
//! - [`picture`]: a grey picture; [`looking`]: what is known of it; [`mod@read`]: from it to crosshairs, the one entry;
//! - [`refusal`]: all that keeps a picture from being read;
//! - `coarse`, `dyadic`: where lines are looked for, in bins and along straight pieces;
//! - `trace`: a line followed and refined; `blocks`: its place every few pixels, by what `normal` sums; `shape`: its profile;
//!   `path`: its course, by a robust fit; `sums`: sums in lanes, for speed;
//! - `cross`: which lines make a crosshair, where they cross and how well that is known; `matching`: which
//!   belong together; `saturation`: whether their pixels are full;
//!   `crowding`: whether something lies along them; `second`: whether another line hides in what they leave over;
//!   `alike`: whether they are those of one crosshair;
//! - `graticule`: the crossing of a graticule's lines that a hand points at;
//! - [`camera`]: the camera map, from marks to divisions with their covariance;
//! - [`simulate`]: invented pictures for tests, practice and demonstrations.

mod alike;
mod blocks;
pub mod camera;
mod coarse;
mod cross;
mod crowding;
mod dyadic;
mod graticule;
pub mod looking;
mod matching;
mod normal;
mod path;
pub mod picture;
pub mod read;
pub mod refusal;
mod saturation;
mod second;
mod shape;
pub mod simulate;
mod sums;
mod trace;

pub use camera::{CameraMap, MapError, Mark, Radial};
pub use cross::Crosshair;
pub use graticule::{Crossing, NoCrossing, crossing_near};
pub use looking::Looking;
pub use picture::Picture;
pub use read::read;
pub use refusal::{PictureError, Refusal, Unlike};
