//! The station: where its graticule's divisions point, how well it reads, when it was checked.

use jiff::civil::Date;
use solver::angle::{
    arcmin_from_mil, arcmin_from_mrad, arcmin_from_prism_dioptre, mrad_from_arcmin,
    prism_dioptre_from_arcmin, rad_from_deg,
};
use solver::direction::FIELD_LIMIT_ARCMIN;
use solver::{Channel, Direction, PerChannel, Spread};

use crate::axis::Axis;
use crate::error::Error;
use crate::number::Typed;
use crate::stamp::Stamp;
use crate::validate::{Checked, finite, named, not_negative, positive};

/// A test station as calibrated, copied whole into each session that uses it.
#[derive(Clone, Debug, PartialEq)]
pub struct Station {
    /// What the shop calls it.
    pub name: String,
    /// What one look at it gives.
    pub shows: Shows,
    /// The unit in which readings are usually typed.
    pub usual_unit: ReadingUnit,
    /// From graticule divisions to directions, each channel its own.
    pub map: PerChannel<StationMap>,
    /// Standard uncertainty of a reading and of a ring angle.
    pub spread: Spread,
    /// Standard uncertainty of the station's own reference, which repeating does not reduce.
    pub reference: ReferenceUncertainty,
    /// What the graticule can show.
    pub graticule: Option<Graticule>,
    /// Its calibration.
    pub calibration: Option<Calibration>,
    /// Its last check against the check standard.
    pub checked: Option<DailyCheck>,
    /// Anything else worth knowing: lamp class, where it stands.
    pub note: String,
}

/// What a station shows at one look.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Shows {
    /// One channel's crosshair against boresight.
    #[default]
    Direction,
    /// Only the difference of the two channels.
    Relative,
    /// Only whether the crosshair is inside a box.
    Box,
}

/// The unit a reading was typed in.
///
/// Divisions go through the station's map; the others already are directions as the user sees
/// them, x right and y up from boresight, and are only converted.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum ReadingUnit {
    /// Divisions of the station's graticule.
    #[default]
    Divisions,
    /// Arcminutes.
    Arcmin,
    /// Milliradians.
    Mrad,
    /// Mils of 1/6400 turn.
    Mil,
    /// Prism dioptres.
    PrismDioptre,
}

impl ReadingUnit {
    /// The sign written behind a number.
    #[must_use]
    pub const fn sign(self) -> &'static str {
        match self {
            Self::Divisions => "div",
            Self::Arcmin => "′",
            Self::Mrad => "mrad",
            Self::Mil => "mil",
            Self::PrismDioptre => "Δ",
        }
    }

    /// Two numbers as typed, with true minus signs and the unit behind each: `−20.1′, 7′`,
    /// `1.5 mrad, 0 mrad`.
    #[must_use]
    pub fn pair(self, x: &Typed, y: &Typed) -> String {
        let space = if self == Self::Arcmin { "" } else { " " };
        let sign = self.sign();
        format!("{}{space}{sign}, {}{space}{sign}", x.shown(), y.shown())
    }

    /// The name in full.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Divisions => "divisions",
            Self::Arcmin => "arcminutes",
            Self::Mrad => "milliradians",
            Self::Mil => "mils",
            Self::PrismDioptre => "prism dioptres",
        }
    }
}

/// p = M (g − g₀): flips first, then rotation, then scale.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StationMap {
    /// Whether graticule x runs against the user's x.
    pub flip_x: bool,
    /// Whether graticule y runs against the user's y.
    pub flip_y: bool,
    /// Counter-clockwise positive, degrees.
    pub rotation_deg: f64,
    /// Arcminutes per division along the user's x and y, > 0.
    pub arcmin_per_division: [f64; 2],
    /// g₀, the graticule reading at boresight, divisions.
    pub boresight_divisions: [f64; 2],
}

impl StationMap {
    /// One arcminute per division, nothing turned, boresight at 0, 0.
    pub const PLAIN: Self = Self {
        flip_x: false,
        flip_y: false,
        rotation_deg: 0.0,
        arcmin_per_division: [1.0; 2],
        boresight_divisions: [0.0; 2],
    };

    /// Says what cannot be a map, by its part of `field`.
    pub(crate) fn check(&self, field: &str) -> Result<(), Error> {
        finite(&format!("{field}.rotation_deg"), self.rotation_deg)?;
        for value in self.arcmin_per_division {
            positive(&format!("{field}.arcmin_per_division"), value)?;
        }
        for value in self.boresight_divisions {
            finite(&format!("{field}.boresight_divisions"), value)?;
        }
        Ok(())
    }

    /// Where a graticule reading points: p = M (g − g₀).
    #[must_use]
    pub fn direction_from_divisions(&self, divisions: [f64; 2]) -> Direction {
        let [x, y] = divisions;
        let [x0, y0] = self.boresight_divisions;
        self.step_from_divisions([x - x0, y - y0])
    }

    /// M alone: what a difference of two graticule readings means.
    #[must_use]
    pub fn step_from_divisions(&self, divisions: [f64; 2]) -> Direction {
        let [x, y] = divisions;
        let flipped = Direction::new(flipped(x, self.flip_x), flipped(y, self.flip_y));
        let turned = flipped.rotated(rad_from_deg(self.rotation_deg));
        let [x_scale, y_scale] = self.arcmin_per_division;
        Direction::new(turned.x_arcmin * x_scale, turned.y_arcmin * y_scale)
    }

    /// The graticule reading to expect at a direction: g = g₀ + M⁻¹ p.
    ///
    /// # Degenerate input
    /// A scale of 0 has no inverse; [`Station::check`] refuses it.
    #[must_use]
    pub fn divisions_from_direction(&self, direction: Direction) -> [f64; 2] {
        let [x_scale, y_scale] = self.arcmin_per_division;
        let turned = Direction::new(direction.x_arcmin / x_scale, direction.y_arcmin / y_scale);
        let flat = turned.rotated(rad_from_deg(-self.rotation_deg));
        let [x0, y0] = self.boresight_divisions;
        [x0 + flipped(flat.x_arcmin, self.flip_x), y0 + flipped(flat.y_arcmin, self.flip_y)]
    }

    /// Where a pair of typed values points.
    #[must_use]
    pub fn direction_from_typed(&self, unit: ReadingUnit, typed: [f64; 2]) -> Direction {
        let [x, y] = typed;
        let each = |convert: fn(f64) -> f64| Direction::new(convert(x), convert(y));
        match unit {
            ReadingUnit::Divisions => self.direction_from_divisions(typed),
            ReadingUnit::Arcmin => Direction::new(x, y),
            ReadingUnit::Mrad => each(arcmin_from_mrad),
            ReadingUnit::Mil => each(arcmin_from_mil),
            ReadingUnit::PrismDioptre => each(arcmin_from_prism_dioptre),
        }
    }

    /// The same map for differences of two readings: where boresight is read does not count.
    #[must_use]
    pub const fn of_differences(self) -> Self {
        Self { boresight_divisions: [0.0; 2], ..self }
    }

    /// What is read in a unit at a place on the graticule known to a covariance xx, xy, yy (divisions²), and the
    /// standard uncertainty of each.
    #[must_use]
    pub fn typed_from_divisions(
        &self,
        unit: ReadingUnit,
        divisions: [f64; 2],
        covariance_divisions2: [f64; 3],
    ) -> ([f64; 2], [f64; 2]) {
        let typed = |divisions: [f64; 2]| {
            if unit == ReadingUnit::Divisions {
                return divisions;
            }
            self.typed_from_direction(unit, self.direction_from_divisions(divisions))
        };
        let [x, y] = divisions;
        let (at, along_x, along_y) = (typed(divisions), typed([x + 1.0, y]), typed([x, y + 1.0]));
        let [xx, xy, yy] = covariance_divisions2;
        let u = [0, 1].map(|axis| {
            let (by_x, by_y) = (along_x[axis] - at[axis], along_y[axis] - at[axis]);
            let variance = by_x * by_x * xx + 2.0 * by_x * by_y * xy + by_y * by_y * yy;
            variance.max(0.0).sqrt()
        });
        (at, u)
    }

    /// What will be read at a direction, in the unit being read.
    #[must_use]
    pub fn typed_from_direction(&self, unit: ReadingUnit, direction: Direction) -> [f64; 2] {
        let each =
            |convert: fn(f64) -> f64| [convert(direction.x_arcmin), convert(direction.y_arcmin)];
        match unit {
            ReadingUnit::Divisions => self.divisions_from_direction(direction),
            ReadingUnit::Arcmin => [direction.x_arcmin, direction.y_arcmin],
            ReadingUnit::Mrad => each(mrad_from_arcmin),
            ReadingUnit::Mil => each(mil_from_arcmin),
            ReadingUnit::PrismDioptre => each(prism_dioptre_from_arcmin),
        }
    }
}

/// Which way numbers run, in words behind a comma; nothing where both run as the user sees.
#[must_use]
pub const fn flip_words(x: bool, y: bool) -> &'static str {
    match (x, y) {
        (false, false) => "",
        (true, false) => ", x runs to the left",
        (false, true) => ", y runs down",
        (true, true) => ", x runs to the left and y down",
    }
}

fn mil_from_arcmin(arcmin: f64) -> f64 {
    arcmin / arcmin_from_mil(1.0)
}

fn flipped(value: f64, flip: bool) -> f64 {
    if flip { -value } else { value }
}

/// Standard uncertainty of the station's reference, each axis, arcminutes.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct ReferenceUncertainty {
    /// What each channel has for itself: it shows in the misalignment.
    pub own_u_arcmin: PerChannel<[f64; 2]>,
    /// What both channels share: it cancels in the misalignment, not in the boresight.
    pub common_u_arcmin: [f64; 2],
}

/// What the graticule can show.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Graticule {
    /// Lowest and highest x, divisions.
    pub x_divisions: [f64; 2],
    /// Lowest and highest y, divisions.
    pub y_divisions: [f64; 2],
    /// The least part of a division that is read, > 0.
    pub read_to_divisions: Option<f64>,
}

impl Graticule {
    /// The first axis on which a reading in divisions lies beyond what is engraved, with the lowest and
    /// highest line: nobody can have read that. Up to half the least part read beyond the last line
    /// still counts as on it.
    #[must_use]
    pub fn beyond(&self, divisions: [f64; 2]) -> Option<(Axis, [f64; 2])> {
        // A direction typed in another unit comes back through the map with a little rounding.
        let slack = self.read_to_divisions.unwrap_or(0.0) / 2.0 + 1e-9;
        Axis::BOTH.into_iter().find_map(|axis| {
            let [low, high] = axis.pick([self.x_divisions, self.y_divisions]);
            let engraved = low - slack..=high + slack;
            (!engraved.contains(&axis.pick(divisions))).then_some((axis, [low, high]))
        })
    }
}

/// A calibration and when the next is due.
#[derive(Clone, Debug, PartialEq)]
pub struct Calibration {
    /// Certificate number, or who did it.
    pub certificate: String,
    /// When it was done.
    pub done: Option<Date>,
    /// The last day it holds.
    pub due: Date,
}

/// The check against the check standard, which is common practice each day.
#[derive(Clone, Debug, PartialEq)]
pub struct DailyCheck {
    /// When.
    pub time: Stamp,
    /// Whether the station read the standard right.
    pub passed: bool,
    /// What was seen.
    pub note: String,
}

impl Station {
    /// Whether a viewer can point where a channel is said to have been read, and the graticule has lines there; what it shows of the
    /// difference is read on the same lines, through the map of the right channel, about its middle.
    ///
    /// # Errors
    /// [`Error::BeyondField`], [`Error::OffGraticule`]: nobody can have read that.
    pub fn on_graticule(
        &self,
        channel: Channel,
        unit: ReadingUnit,
        typed: [f64; 2],
        differences: bool,
    ) -> Result<(), Error> {
        let map = self.map[channel];
        let map = if differences { map.of_differences() } else { map };
        let direction = map.direction_from_typed(unit, typed);
        let value_arcmin = direction.x_arcmin.abs().max(direction.y_arcmin.abs());
        if value_arcmin > FIELD_LIMIT_ARCMIN {
            return Err(Error::BeyondField { value_arcmin, limit_arcmin: FIELD_LIMIT_ARCMIN });
        }
        let Some(graticule) = &self.graticule else { return Ok(()) };
        let divisions = map.divisions_from_direction(direction);
        graticule.beyond(divisions).map_or(Ok(()), |(axis, [lowest, highest])| {
            let divisions = axis.pick(divisions);
            let station = self.name.clone();
            Err(Error::OffGraticule { axis, divisions, lowest, highest, station })
        })
    }

    /// A station that reads arcminutes from boresight and states no uncertainty.
    #[must_use]
    pub fn plain(name: &str) -> Self {
        Self {
            name: name.to_owned(),
            shows: Shows::Direction,
            usual_unit: ReadingUnit::Arcmin,
            map: PerChannel { left: StationMap::PLAIN, right: StationMap::PLAIN },
            spread: Spread::default(),
            reference: ReferenceUncertainty::default(),
            graticule: None,
            calibration: None,
            checked: None,
            note: String::new(),
        }
    }

    /// Whether it reads as another one does: the same map, spread and reference. A new check, a
    /// new certificate or a note changes no reading.
    #[must_use]
    pub fn reads_as(&self, other: &Self) -> bool {
        self.shows == other.shows
            && self.map == other.map
            && self.spread == other.spread
            && self.reference == other.reference
    }

    /// Whether the calibration still holds on a day; `None` without a calibration.
    #[must_use]
    pub fn in_calibration(&self, day: Date) -> Option<bool> {
        self.calibration.as_ref().map(|calibration| day <= calibration.due)
    }

    /// Whether the station was checked on a day and read right.
    #[must_use]
    pub fn checked_on(&self, day: Date) -> bool {
        self.checked.as_ref().is_some_and(|check| check.passed && check.time.date() == day)
    }
}

/// What the field of the graticule's step is called in a station's file.
pub const READ_TO: &str = "graticule.read_to_divisions";

impl Checked for Station {
    fn check(&self) -> Result<(), Error> {
        named("name", &self.name)?;
        for (channel, map) in self.map.iter() {
            map.check(&format!("map.{channel}"))?;
            for value in self.reference.own_u_arcmin[channel] {
                not_negative(&format!("reference.own_u_arcmin.{channel}"), value)?;
            }
        }
        for value in self.reference.common_u_arcmin {
            not_negative("reference.common_u_arcmin", value)?;
        }
        if let Some(sigma_arcmin) = self.spread.sigma_arcmin {
            positive("sigma_arcmin", sigma_arcmin)?;
        }
        not_negative("ring_sigma_deg", self.spread.ring_sigma_deg)?;
        if self.spread.ring_sigma_deg > 0.0 && self.spread.sigma_arcmin.is_none() {
            return Err(Error::Solver(solver::Error::RingSigmaWithoutSigma));
        }
        if let Some(graticule) = &self.graticule {
            for (field, [low, high]) in
                [("x_divisions", graticule.x_divisions), ("y_divisions", graticule.y_divisions)]
            {
                finite(field, low)?;
                finite(field, high)?;
                positive(&format!("graticule.{field} (high − low)"), high - low)?;
            }
            if let Some(step) = graticule.read_to_divisions {
                positive(READ_TO, step)?;
            }
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "tests fail by panicking")]
    use super::*;
    use proptest::prelude::*;

    const TURNED: StationMap = StationMap {
        flip_x: true,
        flip_y: false,
        rotation_deg: 90.0,
        arcmin_per_division: [2.0, 3.0],
        boresight_divisions: [10.0, -4.0],
    };

    #[test]
    fn flips_then_rotation_then_scale() {
        // By hand: g − g₀ = (5, 1); flipped (−5, 1); turned 90° counter-clockwise (−1, −5);
        // scaled (−2, −15).
        let direction = TURNED.direction_from_divisions([15.0, -3.0]);
        // 90° is not exact in radians: cos is 6e−17, times 5 divisions and 3′ each.
        assert!((direction.x_arcmin + 2.0).abs() < 1e-14);
        assert!((direction.y_arcmin + 15.0).abs() < 1e-14);
    }

    #[test]
    fn boresight_reads_its_own_divisions() {
        assert_eq!(TURNED.divisions_from_direction(Direction::BORESIGHT), [10.0, -4.0]);
    }

    #[test]
    fn typed_angles_skip_the_map() {
        let one = TURNED.direction_from_typed(ReadingUnit::Mrad, [1.0, -1.0]);
        // 1 mrad = 3.437 746 770 784 939′ (BIPM SI brochure, table 8).
        assert!((one.x_arcmin - 3.437_746_770_784_939).abs() < 1e-14);
        assert_eq!(
            TURNED.direction_from_typed(ReadingUnit::Arcmin, [7.5, -2.0]),
            Direction::new(7.5, -2.0)
        );
    }

    #[test]
    fn what_cannot_be_a_station_is_refused_by_field() {
        let mut station = Station::plain("Bench 2");
        station.check().unwrap();
        station.map.right.arcmin_per_division = [1.0, 0.0];
        let words = station.check().unwrap_err().to_string();
        assert!(words.contains("map.right.arcmin_per_division"), "{words}");
        let mut station = Station::plain("  ");
        assert!(station.check().is_err());
        station.name = "Bench 2".into();
        station.spread.ring_sigma_deg = 1.0;
        assert!(station.check().is_err());
    }

    proptest! {
        #[test]
        fn the_map_and_its_inverse_undo_each_other(
            flip_x: bool, flip_y: bool, rotation_deg in -720.0..720.0_f64,
            scales in [0.1..10.0_f64, 0.1..10.0_f64], zero in [-50.0..50.0_f64, -50.0..50.0_f64],
            x in -300.0..300.0_f64, y in -300.0..300.0_f64,
            unit in prop::sample::select(vec![
                ReadingUnit::Divisions, ReadingUnit::Arcmin, ReadingUnit::Mrad, ReadingUnit::Mil,
                ReadingUnit::PrismDioptre,
            ]),
        ) {
            let map = StationMap {
                flip_x, flip_y, rotation_deg, arcmin_per_division: scales, boresight_divisions: zero,
            };
            let there = map.direction_from_typed(unit, [x, y]);
            let [back_x, back_y] = map.typed_from_direction(unit, there);
            // Scales up to 100:1 and values up to 350: 350 × 100 × a few roundings of 2e−16.
            prop_assert!((back_x - x).abs() < 1e-10 && (back_y - y).abs() < 1e-10);
        }
    }
}
