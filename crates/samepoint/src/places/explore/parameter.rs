//! The numbers of one channel that can be moved: what each is called, its unit, how far it goes.

use record::practice::explore::{ModelChannel, ModelShim, Plane};
use solver::angle::reduced_deg;
use solver::optics::{Lateral, ShimEnds};

/// A part that can stand off the axis.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum OffAxisPart {
    /// The objective.
    Objective,
    /// The tube's seat at its front end: the housing's bore.
    BoreFront,
    /// The tube's seat at its rear end.
    BoreRear,
    /// The image within the tube.
    TubeImage,
    /// The axis the eyepiece's ring turns about.
    RingAxis,
}

impl OffAxisPart {
    /// All of them, from the target to the eye.
    pub const ALL: [Self; 5] =
        [Self::Objective, Self::BoreFront, Self::BoreRear, Self::TubeImage, Self::RingAxis];

    /// What it is called.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Objective => "objective axis",
            Self::BoreFront => "bore offset, front",
            Self::BoreRear => "bore offset, rear",
            Self::TubeImage => "tube image offset",
            Self::RingAxis => "eyepiece axis",
        }
    }

    const fn at(self, channel: &ModelChannel) -> Lateral {
        match self {
            Self::Objective => channel.placed.objective,
            Self::BoreFront => channel.placed.tube_in,
            Self::BoreRear => channel.placed.tube_out,
            Self::TubeImage => channel.placed.tube_image,
            Self::RingAxis => channel.placed.eyepiece,
        }
    }

    const fn of(self, channel: &mut ModelChannel) -> &mut Lateral {
        match self {
            Self::Objective => &mut channel.placed.objective,
            Self::BoreFront => &mut channel.placed.tube_in,
            Self::BoreRear => &mut channel.placed.tube_out,
            Self::TubeImage => &mut channel.placed.tube_image,
            Self::RingAxis => &mut channel.placed.eyepiece,
        }
    }
}

/// A number that can be moved.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Parameter {
    /// Where a part stands, right or up.
    At(OffAxisPart, Plane),
    /// How far the lens cell is decentred.
    Decentre,
    /// Toward which clock position, at ring zero.
    DecentreClock,
    /// How thick the shim is.
    Shim,
    /// At which clock position it lies.
    ShimClock,
    /// How far the cell can lag behind its ring.
    Play,
    /// What the dioptre ring stands at.
    Dioptre,
    /// How far the eye stands off the eyepiece's axis, right or up.
    Eye(Plane),
}

impl Parameter {
    /// The short name beside its slider.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::At(_, Plane::Across) | Self::Eye(Plane::Across) => "right",
            Self::At(_, Plane::Up) | Self::Eye(Plane::Up) => "up",
            Self::Decentre => "decentre",
            Self::DecentreClock | Self::ShimClock => "clock",
            Self::Shim => "thick",
            Self::Play => "play",
            Self::Dioptre => "dioptre",
        }
    }

    /// What it is called in full.
    #[must_use]
    pub fn name(self) -> String {
        match self {
            Self::At(part, _) => format!("{}, {}", part.word(), self.word()),
            Self::Decentre => "lens decentre".to_owned(),
            Self::DecentreClock => "lens decentre, clock position".to_owned(),
            Self::Shim => "shim thickness".to_owned(),
            Self::ShimClock => "shim, clock position".to_owned(),
            Self::Play => "ring play".to_owned(),
            Self::Dioptre => "dioptre".to_owned(),
            Self::Eye(_) => format!("eye off axis, {}", self.word()),
        }
    }

    /// Its unit.
    #[must_use]
    pub const fn unit(self) -> &'static str {
        match self {
            Self::At(..) | Self::Decentre | Self::Shim | Self::Eye(_) => "mm",
            Self::DecentreClock | Self::ShimClock | Self::Play => "°",
            Self::Dioptre => "D",
        }
    }

    /// From where to where its slider goes; a number beyond is refused.
    #[must_use]
    pub const fn range(self) -> [f64; 2] {
        match self {
            Self::At(..) => [-0.5, 0.5],
            Self::Decentre => [0.0, 0.6],
            Self::DecentreClock | Self::ShimClock => [0.0, 360.0],
            Self::Shim => [0.0, 0.3],
            Self::Play => [0.0, 12.0],
            Self::Dioptre => [-4.0, 4.0],
            Self::Eye(_) => [-5.0, 5.0],
        }
    }

    /// The step of its slider.
    #[must_use]
    pub const fn step(self) -> f64 {
        match self {
            Self::At(..) | Self::Decentre | Self::Shim => 0.005,
            Self::DecentreClock | Self::ShimClock => 1.0,
            Self::Play => 0.5,
            Self::Dioptre => 0.25,
            Self::Eye(_) => 0.1,
        }
    }

    /// Decimals it is shown with.
    #[must_use]
    pub const fn decimals(self) -> usize {
        match self {
            Self::At(..) | Self::Decentre | Self::Shim => 3,
            Self::DecentreClock | Self::ShimClock => 0,
            Self::Play | Self::Eye(_) => 1,
            Self::Dioptre => 2,
        }
    }

    /// Its value.
    #[must_use]
    pub fn value(self, channel: &ModelChannel) -> f64 {
        let shim = channel.shims.first();
        match self {
            Self::At(part, plane) => plane.of(part.at(channel)),
            Self::Decentre => channel.decentre.length_mm(),
            Self::DecentreClock => channel.decentre.clock_deg(),
            Self::Shim => shim.map_or(0.0, |shim| shim.thickness_mm),
            Self::ShimClock => shim.map_or(0.0, |shim| shim.clock_deg),
            Self::Play => channel.ring_play_deg,
            Self::Dioptre => channel.dioptre,
            Self::Eye(plane) => plane.of(channel.eye_off),
        }
    }

    /// Sets it.
    pub fn set(self, channel: &mut ModelChannel, value: f64) {
        let put = |place: &mut Lateral, plane: Plane| match plane {
            Plane::Across => place.x_mm = value,
            Plane::Up => place.y_mm = value,
        };
        match self {
            Self::At(part, plane) => put(part.of(channel), plane),
            Self::Decentre => {
                // A cell without decentre has no direction: the least that keeps one is below any step.
                let least = value.max(1e-9);
                channel.decentre = Lateral::toward_clock(least, channel.decentre.clock_deg());
            }
            Self::DecentreClock => {
                channel.decentre = Lateral::toward_clock(channel.decentre.length_mm(), value);
            }
            Self::Shim => shim_of(channel).thickness_mm = value,
            Self::ShimClock => shim_of(channel).clock_deg = reduced_deg(value),
            Self::Play => channel.ring_play_deg = value,
            Self::Dioptre => channel.dioptre = value,
            Self::Eye(plane) => put(&mut channel.eye_off, plane),
        }
    }

    /// A number as typed for it.
    ///
    /// # Errors
    /// [`NotSet`].
    pub fn read(self, text: &str) -> Result<f64, NotSet> {
        let [low, high] = self.range();
        let typed = record::Typed::by_hand(text)?;
        let value = typed.value();
        if (low..=high).contains(&value) {
            return Ok(value);
        }
        Err(NotSet::Beyond { parameter: self, typed: value })
    }
}

/// Why a number is not taken.
#[derive(Clone, Debug)]
pub enum NotSet {
    /// It is none.
    Number(record::Error),
    /// It goes too far.
    Beyond {
        /// For what.
        parameter: Parameter,
        /// What was typed.
        typed: f64,
    },
}

impl From<record::Error> for NotSet {
    fn from(why: record::Error) -> Self {
        Self::Number(why)
    }
}

impl std::fmt::Display for NotSet {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Number(why) => write!(f, "{why}"),
            Self::Beyond { parameter, typed } => {
                let [low, high] = parameter.range().map(|value| paper::words::number(value, 1));
                let typed = paper::words::number(*typed, parameter.decimals());
                let (name, unit) = (paper::words::capital(&parameter.name()), parameter.unit());
                write!(f, "{name} goes from {low} to {high} {unit}; {typed} is beyond.")
            }
        }
    }
}

/// The channel's shim; one without thickness where there is none yet.
pub(crate) fn shim_of(channel: &mut ModelChannel) -> &mut ModelShim {
    if channel.shims.is_empty() {
        let none = ModelShim { ends: ShimEnds::Both, thickness_mm: 0.0, clock_deg: 0.0 };
        channel.shims.push(none);
    }
    &mut channel.shims[0]
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Every knob reads back what it was set to, within its range, and moves nothing else.
    #[test]
    fn every_knob_is_read_as_it_was_set() {
        let knobs = OffAxisPart::ALL
            .into_iter()
            .flat_map(|part| [Parameter::At(part, Plane::Across), Parameter::At(part, Plane::Up)])
            .chain([
                Parameter::Decentre,
                Parameter::DecentreClock,
                Parameter::Shim,
                Parameter::ShimClock,
            ])
            .chain([
                Parameter::Play,
                Parameter::Dioptre,
                Parameter::Eye(Plane::Across),
                Parameter::Eye(Plane::Up),
            ]);
        let mut channel = ModelChannel::default();
        for (place, knob) in knobs.enumerate() {
            let [low, high] = knob.range();
            let value = low + (high - low) * (0.3 + 0.02 * place as f64);
            knob.set(&mut channel, value);
            assert!((knob.value(&channel) - value).abs() < 1e-9, "{knob:?}");
            assert!(knob.read(&(high + 1.0).to_string()).is_err() && knob.read("x").is_err());
        }
        assert!(
            (Parameter::Decentre.value(&channel) - 0.6 * 0.5).abs() < 1e-9,
            "kept while turned"
        );
    }
}
