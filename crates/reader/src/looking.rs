//! What is known of the pictures of a camera.

use crate::camera::Radial;

/// What is known of the pictures of a camera.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Looking {
    /// Whether lines are darker than what is round them.
    pub dark: bool,
    /// The lens's distortion, where it is known: lines are straight once it is taken out.
    pub radial: Option<Radial>,
}
