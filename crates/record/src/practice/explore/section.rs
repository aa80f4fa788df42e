//! One channel cut open along its axis: where its parts stand and how the ray of a target on
//! boresight goes through them.

use solver::Direction;
use solver::optics::Lateral;

use super::model::{Model, ModelChannel};
use solver::Channel;

/// Which way a channel is cut.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Plane {
    /// Seen from above: heights are to the right.
    #[default]
    Across,
    /// Seen from the side: heights are up.
    Up,
}

impl Plane {
    /// The part of a place that lies in the plane, mm.
    #[must_use]
    pub const fn of(self, place: Lateral) -> f64 {
        match self {
            Self::Across => place.x_mm,
            Self::Up => place.y_mm,
        }
    }

    const fn of_direction(self, direction: Direction) -> f64 {
        match self {
            Self::Across => direction.x_arcmin,
            Self::Up => direction.y_arcmin,
        }
    }
}

/// How long the tube is drawn, mm: its length has no part in where the image stands.
const TUBE_MM: f64 = 34.0;
/// How far before the objective and behind the eyepiece the ray is drawn, mm.
const BEYOND_MM: f64 = 18.0;

/// A section of one channel. Along the axis: mm from the objective, toward the eye; heights: mm from
/// the channel's mechanical axis, right or up.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Section {
    /// Height of the objective's axis.
    pub objective: f64,
    /// Where the tube's ends are along the axis: its input screen stands in the objective's focus,
    /// its output screen in the eyepiece's.
    pub tube_at: [f64; 2],
    /// Heights of its ends, shims and all.
    pub tube: [f64; 2],
    /// Heights of its ends without shims.
    pub tube_without_shims: [f64; 2],
    /// Where the eyepiece is along the axis.
    pub eyepiece_at: f64,
    /// Height of the axis its ring turns about.
    pub ring_axis: f64,
    /// Height of its lens cell's optical centre.
    pub lens: f64,
    /// The ray of a target on boresight: along the axis and height, from before the objective to
    /// behind the eyepiece.
    pub ray: [[f64; 2]; 6],
    /// Where the eye sees that target, arcminutes to the right or up, dioptre at zero.
    pub seen_arcmin: f64,
}

impl Model {
    /// A channel cut open, its ring at an angle reached clockwise or not.
    ///
    /// The target's image stands on the objective's axis; the tube turns it about its own axis and
    /// moves it by its image offset; the ray from there through the middle of the eyepiece's lens
    /// goes on straight, and the eye looks back along it.
    #[must_use]
    pub fn section(
        &self,
        channel: Channel,
        plane: Plane,
        ring_deg: f64,
        clockwise: bool,
    ) -> Section {
        let made = &self.channels[channel];
        let shimmed = made.placed_on_shims();
        let cell = made.cell_at(ring_deg, clockwise);
        let height = |place: Lateral| plane.of(place);
        let objective = height(shimmed.objective);
        let tube = [height(shimmed.tube_in), height(shimmed.tube_out)];
        let image = tube[0] + tube[1] + height(shimmed.tube_image) - objective;
        let lens = height(shimmed.eyepiece + cell);
        let tube_at = [self.optics.objective_mm(), self.optics.objective_mm() + TUBE_MM];
        let eyepiece_at = tube_at[1] + self.optics.eyepiece_mm();
        let slope = (lens - image) / self.optics.eyepiece_mm();
        let mut moved = shimmed;
        moved.eyepiece = shimmed.eyepiece + cell;
        Section {
            objective,
            tube_at,
            tube,
            tube_without_shims: [height(made.placed.tube_in), height(made.placed.tube_out)],
            eyepiece_at,
            ring_axis: height(shimmed.eyepiece),
            lens,
            ray: [
                [-BEYOND_MM, objective],
                [0.0, objective],
                [tube_at[0], objective],
                [tube_at[1], image],
                [eyepiece_at, lens],
                [eyepiece_at + BEYOND_MM, lens + slope * BEYOND_MM],
            ],
            seen_arcmin: plane.of_direction(self.optics.deviation(&moved, Direction::BORESIGHT)),
        }
    }
}

impl ModelChannel {
    /// Where the lens cell's optical centre stands from its ring's axis, the ring at an angle reached
    /// clockwise or not: it lags behind by half the play.
    #[must_use]
    pub fn cell_at(&self, ring_deg: f64, clockwise: bool) -> Lateral {
        let lag_deg = if clockwise { -0.5 } else { 0.5 } * self.ring_play_deg;
        self.decentre.turned_clockwise(ring_deg + lag_deg)
    }
}
