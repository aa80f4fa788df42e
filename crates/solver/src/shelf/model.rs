//! What lies on a shelf, and what is made of it.

use crate::channel::PerChannel;
use crate::direction::{Direction, Misalignment};
use crate::remedy::shim::{ChannelShim, SeatLimits, ShimEffect};
use crate::shelf::offsets::{Estimate, Missing, Offsets};
use crate::shelf::weights::Totals;
use crate::swing::SwingRange;
use crate::tolerance::Window;

/// A tube on the shelf; its number is its place in the list, there and in [`Offsets`].
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ShelfTube {
    /// Which housings it fits: those of the same kind.
    pub kind: usize,
    /// Whether it may also sit turned half way round.
    pub may_turn: bool,
}

/// An eyepiece on the shelf.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ShelfEyepiece {
    /// Which housings it fits: those of the same kind.
    pub kind: usize,
    /// The radius of its offset circle; `None` where nothing tells it.
    pub radius: Option<Radius>,
    /// What it adds to the centre of the circle: nothing, by the optics, unless its ring runs off its
    /// pod's axis.
    pub centre: Estimate,
}

/// The radius of an offset circle.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Radius {
    /// The radius, arcminutes, more than 0.
    pub arcmin: f64,
    /// Its standard uncertainty, arcminutes.
    pub u_arcmin: f64,
}

/// A housing on the shelf; its number is its place in the list, there and in [`Offsets`].
#[derive(Clone, Debug, PartialEq)]
pub struct ShelfHousing {
    /// Which tubes and eyepieces fit.
    pub kind: usize,
    /// Where its tubes can be shimmed, if they can.
    pub seat: Option<SeatLimits>,
    /// What a shim does, if that is known.
    pub effect: Option<ShimEffect>,
    /// How far its pods swing from where readings are taken; `None`: judged at rest.
    pub swing: Option<SwingRange>,
    /// The eyepieces that stay in it, by number; `None`: any on the shelf.
    pub eyepieces: Option<PerChannel<usize>>,
}

/// All that is to be matched.
#[derive(Clone, Debug)]
pub struct Shelf {
    /// Housings.
    pub housings: Vec<ShelfHousing>,
    /// Tubes.
    pub tubes: Vec<ShelfTube>,
    /// Eyepieces, those that stay in their housing too.
    pub eyepieces: Vec<ShelfEyepiece>,
    /// What is known of bores and tubes.
    pub offsets: Offsets,
    /// The window that units are to come inside.
    pub window: Window,
    /// Most leaves in one unit, both channels together.
    pub most_leaves: usize,
}

/// One unit to be built.
#[derive(Clone, Debug, PartialEq)]
pub struct Match {
    /// Which housing.
    pub housing: usize,
    /// Which tube in each pod.
    pub tubes: PerChannel<usize>,
    /// Whether that tube is turned half way round.
    pub turned: PerChannel<bool>,
    /// Which eyepiece in each pod.
    pub eyepieces: PerChannel<usize>,
    /// The shim under each tube.
    pub shims: PerChannel<Option<ChannelShim>>,
    /// What it is predicted to give.
    pub prediction: MatchPrediction,
}

impl Match {
    /// Leaves in all.
    #[must_use]
    pub fn leaves(&self) -> usize {
        self.shims.iter().filter_map(|(_, shim)| shim.as_ref()).map(ChannelShim::leaves).sum()
    }
}

/// What a match is predicted to give.
#[derive(Clone, Debug, PartialEq)]
pub struct MatchPrediction {
    /// The centre of each circle, shims included.
    pub centres: PerChannel<Direction>,
    /// Covariance of left x, left y, right x, right y, square arcminutes.
    pub covariance_arcmin2: [[f64; 4]; 4],
    /// The radius of each circle.
    pub radii: PerChannel<Radius>,
    /// Where both rings would be set: the crossing point nearest boresight.
    pub crossing: Direction,
    /// Window use there, the worst over the swing where there is one.
    pub window_use: f64,
    /// The misalignment where the window is used most.
    pub misalignment: Misalignment,
    /// The swing there, degrees; 0 at rest.
    pub at_swing_deg: f64,
    /// What the uncertainties leave of it.
    pub chance: Chance,
}

/// What seeded trials make of a match: both circles as they may turn out, and the rings then set to their
/// own nearest crossing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Chance {
    /// Share of the trials that are inside.
    pub inside: f64,
    /// Share of the trials in which the circles meet.
    pub meets: f64,
    /// 95 % of the trials use no more of the window than this; `None` where they meet in fewer.
    pub use_95: Option<f64>,
    /// Standard uncertainty of the crossing along x and y, arcminutes, of the trials that meet; `None`
    /// where they meet in fewer than 95 %.
    pub crossing_u_arcmin: Option<[f64; 2]>,
}

/// Something that keeps a part from being matched.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Unknown {
    /// No tube's circle can be told in this pod of this housing.
    Pod {
        /// Which housing.
        housing: usize,
        /// Whether the left pod; else the right.
        left: bool,
        /// Why not, of the tube that comes nearest to being told.
        why: Missing,
    },
    /// In no pod can the circle of this tube be told.
    Tube {
        /// Which tube.
        tube: usize,
        /// Why not.
        why: Missing,
    },
    /// This tube's circles are known as it sat, but not turned half way round.
    Turned {
        /// Which tube.
        tube: usize,
    },
    /// The radius of this eyepiece is not known.
    Eyepiece(usize),
}

/// The plan, and how good any plan could be.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct MatchPlan {
    /// The units to be built, by housing.
    pub matches: Vec<Match>,
    /// What they come to.
    pub totals: Totals,
    /// No plan comes to more than this, taken in the order of its steps: equal to `totals` where the plan is
    /// proved the best.
    pub bound: Totals,
    /// Whether the plan is proved the best.
    pub proved: bool,
    /// The best single unit that could be built now.
    pub best_single: Option<Match>,
    /// What is not known, and keeps parts from being matched.
    pub unknown: Vec<Unknown>,
    /// Units looked at that would come inside.
    pub candidates: usize,
    /// Steps of the search.
    pub steps: usize,
}
