//! Invented units: bore error, tube offset and lens decentre drawn at random, and readings of them as
//! a hand would log them. For trainees, demonstrations and tests; the random source is an argument.

use crate::channel::PerChannel;
use crate::circle::OffsetCircle;
use crate::direction::Direction;
use crate::error::Error;
use crate::fit::Reading;
use crate::monte_carlo::Source;
use crate::optics::{Lateral, Optics, Placement};

/// How large the errors of invented units are, millimetres (standard deviations, each axis).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Making {
    /// Bores: each end of the tube's seat, and the objective's.
    pub bore_mm: f64,
    /// The tube's image offset.
    pub tube_mm: f64,
    /// Smallest decentre of an eyepiece's lens cell.
    pub least_decentre_mm: f64,
    /// Largest decentre.
    pub most_decentre_mm: f64,
}

/// How a bench and a hand read, standard deviations.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ReadingNoise {
    /// Noise of a reading, each axis, arcminutes.
    pub noise_arcmin: f64,
    /// Play of the ring, degrees: half of it to either side, by the approach.
    pub ring_play_deg: f64,
    /// Shift when a lock is tightened, each axis, arcminutes.
    pub lock_shift_arcmin: f64,
    /// Readings are rounded to this, arcminutes; 0 does not round.
    pub rounding_arcmin: f64,
}

/// One channel of an invented unit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct InventedChannel {
    /// Where its parts stand.
    pub placed: Placement,
    /// Decentre of the eyepiece's lens cell at ring zero.
    pub decentre: Lateral,
    /// The offset circle that follows.
    pub circle: OffsetCircle,
}

fn check(what: &'static str, value: f64) -> Result<(), Error> {
    Error::check((0.0..=1e3).contains(&value), what, value, "from 0 to 1000")
}

/// An invented unit.
///
/// # Errors
/// [`Error::OutOfRange`] for sizes that make no sense.
pub fn invent(
    optics: &Optics,
    making: &Making,
    source: &mut Source,
) -> Result<PerChannel<InventedChannel>, Error> {
    check("a bore error in mm", making.bore_mm)?;
    check("a tube offset in mm", making.tube_mm)?;
    check("a decentre in mm", making.least_decentre_mm)?;
    check("a decentre in mm", making.most_decentre_mm)?;
    Ok(PerChannel::from_fn(|_| {
        let mut about = |sigma: f64| Lateral::new(sigma * source.normal(), sigma * source.normal());
        let placed = Placement {
            objective: about(making.bore_mm),
            tube_in: about(making.bore_mm),
            tube_out: about(making.bore_mm),
            tube_image: about(making.tube_mm),
            eyepiece: about(making.bore_mm),
        };
        let length = source.rectangular(making.least_decentre_mm, making.most_decentre_mm);
        let decentre = Lateral::toward_clock(length, source.rectangular(0.0, 360.0));
        InventedChannel { placed, decentre, circle: optics.eyepiece_circle(&placed, decentre) }
    }))
}

/// A reading of a channel with its ring turned to `ring_deg` (as shown) from the clockwise or the other
/// side, as a hand would log it.
///
/// # Errors
/// [`Error::OutOfRange`] for a hand or a ring angle that makes no sense.
pub fn read(
    optics: &Optics,
    channel: &InventedChannel,
    ring_deg: f64,
    clockwise: bool,
    hand: &ReadingNoise,
    source: &mut Source,
) -> Result<Reading, Error> {
    check("reading noise in arcminutes", hand.noise_arcmin)?;
    check("ring play in degrees", hand.ring_play_deg)?;
    check("rounding in arcminutes", hand.rounding_arcmin)?;
    Error::check(ring_deg.is_finite(), "a ring angle", ring_deg, "a number")?;
    // The cell lags behind the ring by half the play.
    let lag_deg = if clockwise { -0.5 } else { 0.5 } * hand.ring_play_deg;
    let turned = channel.decentre.turned_clockwise(ring_deg + lag_deg);
    let placed = Placement { eyepiece: channel.placed.eyepiece + turned, ..channel.placed };
    let seen =
        optics.deviation(&placed, Direction::BORESIGHT) + source.direction(hand.noise_arcmin);
    let rounded = |value: f64| {
        let step = hand.rounding_arcmin;
        if step > 0.0 { (value / step).round() * step } else { value }
    };
    let direction = Direction::new(rounded(seen.x_arcmin), rounded(seen.y_arcmin));
    Ok(Reading::at_ring(ring_deg, direction))
}

/// A channel after its lock was tightened: its eyepiece has moved a little.
///
/// # Errors
/// [`Error::OutOfRange`] for a shift that makes no sense.
pub fn locked(
    optics: &Optics,
    channel: &InventedChannel,
    hand: &ReadingNoise,
    source: &mut Source,
) -> Result<InventedChannel, Error> {
    check("a lock's shift in arcminutes", hand.lock_shift_arcmin)?;
    let moved = optics.mm_from_shift(source.direction(hand.lock_shift_arcmin));
    let placed = Placement { eyepiece: channel.placed.eyepiece - moved, ..channel.placed };
    let circle = optics.eyepiece_circle(&placed, channel.decentre);
    Ok(InventedChannel { placed, circle, ..*channel })
}
