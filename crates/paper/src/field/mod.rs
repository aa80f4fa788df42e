//! What is known of a unit → the field plot: both offset circles, readings and what they leave
//! over, crossing points, window, and the way each crosshair should go.
//!
//! In drawing order, what lies beneath first:
//!
//! - [`ghosts`]: circles of an earlier round, or that a remedy would make;
//! - [`circles`]: the offset circles and the bands they lie in;
//! - [`readings`]: what was read, and residuals drawn larger than they are;
//! - [`window`]: boresight and its limit, the tolerance window and its guard band;
//! - [`ways`]: where each crosshair is, how it gets to the setting, what a swing does to it;
//! - [`meeting`]: crossing points, the ellipses they lie in, and the setting;
//! - [`extent`]: how much of the field all that takes.

mod circles;
mod extent;
mod ghosts;
mod meeting;
mod readings;
mod ways;
mod window;

use solver::swing::SwingRange;
use solver::{
    Channel, CircleFit, Direction, OffsetCircle, PerChannel, Setting, Solution, Turn, Window,
};

use crate::scene::{ReadingMark, Scene};

/// Circles that are not this round's: of the round before, or as a remedy would make them.
#[derive(Clone, Debug, PartialEq)]
pub struct Ghost {
    /// What they are, in a few words.
    pub label: String,
    /// The circles, as far as they are known.
    pub circles: PerChannel<Option<OffsetCircle>>,
    /// Where they meet nearest boresight.
    pub crossing: Option<Direction>,
}

/// What confirm readings came to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Confirmed {
    /// Their mean, left channel: the window is drawn round it.
    pub left: Direction,
    /// How far inside the window its guard band lies, x and y, arcminutes; 0 draws none.
    pub guard_arcmin: [f64; 2],
}

/// Everything the field plot shows.
#[derive(Clone, Copy, Debug, Default)]
pub struct Field<'a> {
    /// What the readings say; `None` before there is anything to solve.
    pub solution: Option<&'a Solution>,
    /// Circles alone, where nothing else of what the readings say is to be told.
    pub circles: PerChannel<Option<OffsetCircle>>,
    /// The readings of the round on screen.
    pub marks: &'a [ReadingMark],
    /// The tolerance window.
    pub window: Option<Window>,
    /// The setting as it would be set by hand.
    pub setting: Option<&'a Setting>,
    /// Whether that is only being tried.
    pub trying: bool,
    /// Where each crosshair is now.
    pub now: PerChannel<Option<Direction>>,
    /// The way each crosshair should go.
    pub turns: PerChannel<Option<Turn>>,
    /// How far the pods swing from where the readings were taken.
    pub swing: Option<SwingRange>,
    /// What confirm readings came to, once there are any.
    pub confirmed: Option<Confirmed>,
    /// Circles that are not this round's.
    pub ghosts: &'a [Ghost],
}

impl Field<'_> {
    fn fit(&self, channel: Channel) -> Option<&CircleFit> {
        self.solution.and_then(|solution| solution.fits[channel].as_ref().ok())
    }
}

/// Draws the field.
#[must_use]
pub fn field_scene(field: &Field<'_>) -> Scene {
    let mut scene = Scene::default();
    ghosts::draw(&mut scene, field);
    window::limit_and_boresight(&mut scene, field);
    circles::draw(&mut scene, field);
    readings::draw(&mut scene, field);
    window::draw(&mut scene, field);
    ways::draw(&mut scene, field);
    meeting::draw(&mut scene, field);
    scene.extent = extent::extent(field);
    scene
}

/// `± 0.3′ (95 %)` behind a number, or nothing where its uncertainty is not known.
fn plus_minus(u_arcmin: Option<f64>, factor: Option<f64>) -> String {
    match (u_arcmin, factor) {
        (Some(u), Some(factor)) => {
            format!(" ± {} (95 %)", crate::words::arcmin_fine(factor * u))
        }
        _ => String::new(),
    }
}
