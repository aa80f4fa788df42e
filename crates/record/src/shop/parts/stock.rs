//! What lies on the shelf: `shelf.ron` in a shop's folder. Nothing else decides that: sessions tell where a
//! part was seen last, not where it is now.
//!
//! A part that sits in a unit (`in_use: true`) is not offered; it is listed for what is stated of it.

use std::collections::BTreeSet;

use solver::PerChannel;

use crate::error::Error;
use crate::fact::texts::texts;
use crate::shop::Shop;
use crate::validate::{Checked, finite, named, positive};

/// The file's name.
pub const SHELF_FILE: &str = "shelf.ron";

/// What lies on the shelf, and what units are to come inside of.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Stock {
    /// The tolerance window, by its name in the shop.
    pub window: String,
    /// The interpupillary distance at which units are set up, mm: they are judged over the swing of their
    /// pods from there. `None`: at rest.
    pub ipd_mm: Option<f64>,
    /// Most leaves of shims in one unit, both tubes together.
    pub most_leaves: u64,
    /// Housings, each with its bores.
    pub housings: Vec<StockHousing>,
    /// Tubes.
    pub tubes: Vec<StockTube>,
    /// Eyepieces.
    pub eyepieces: Vec<StockEyepiece>,
    /// Anything else worth knowing.
    pub note: String,
}

/// One housing.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct StockHousing {
    /// The unit it is, or was: its serial number as sessions give it.
    pub unit: String,
    /// Its type.
    pub housing: String,
    /// Whether it is in use, and not on the shelf.
    pub in_use: bool,
    /// The eyepieces that stay in it, by serial number; `None`: any.
    pub eyepieces: Option<PerChannel<String>>,
    /// How far its pods move the image at the eyepiece's focus, as stated, mm to the right and up, seen
    /// from the eye side.
    pub offset_mm: Option<PerChannel<[f64; 2]>>,
    /// Standard uncertainty of that, each axis, mm.
    pub u_mm: Option<f64>,
    /// Who states it.
    pub source: String,
}

/// One tube.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct StockTube {
    /// Its serial number.
    pub serial: String,
    /// The type of housing it fits.
    pub housing: String,
    /// Whether it is in use, and not on the shelf.
    pub in_use: bool,
    /// Whether it may also sit turned half way round.
    pub may_turn: bool,
    /// Its image offset at its screen, as stated, mm to the right and up, seen from the eye side.
    pub offset_mm: Option<[f64; 2]>,
    /// Standard uncertainty of that, each axis, mm.
    pub u_mm: Option<f64>,
    /// Who states it.
    pub source: String,
}

/// One eyepiece.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct StockEyepiece {
    /// Its serial number.
    pub serial: String,
    /// The type of housing it fits.
    pub housing: String,
    /// Whether it is in use, and not on the shelf.
    pub in_use: bool,
    /// How far its lens cell stands off the axis of its ring, as stated, mm.
    pub decentre_mm: Option<f64>,
    /// Standard uncertainty of that, mm.
    pub u_mm: Option<f64>,
    /// Who states it.
    pub source: String,
}

impl Stock {
    /// A first list: the parts that a shop's units name, each in a housing type that the shop has, all as in
    /// use; for its first window. `None` where it has none.
    #[must_use]
    pub fn of_units(shop: &Shop) -> Option<Self> {
        let window = shop.windows.first()?.value.name.clone();
        let mut stock = Self { window, most_leaves: USUAL_LEAVES, ..Self::default() };
        let known = |name: &str| shop.housings.iter().any(|kept| kept.value.name == name);
        let units = shop.units.iter().map(|kept| &kept.value);
        for unit in units.filter(|unit| known(&unit.housing) && !unit.name.trim().is_empty()) {
            let housing = &unit.housing;
            if !stock.housings.iter().any(|one| one.unit == unit.name && one.housing == *housing) {
                stock.housings.push(StockHousing {
                    unit: unit.name.clone(),
                    housing: housing.clone(),
                    in_use: true,
                    ..StockHousing::default()
                });
            }
            let listed = |serial: &str, named: &str, of: &str| serial == named && of == housing;
            for tube in [&unit.tubes.left, &unit.tubes.right] {
                let is = |one: &StockTube| listed(&one.serial, &tube.serial, &one.housing);
                if !tube.serial.trim().is_empty() && !stock.tubes.iter().any(is) {
                    stock.tubes.push(StockTube {
                        serial: tube.serial.clone(),
                        housing: housing.clone(),
                        in_use: true,
                        may_turn: true,
                        ..StockTube::default()
                    });
                }
            }
            for eyepiece in [&unit.eyepieces.left, &unit.eyepieces.right] {
                let is = |one: &StockEyepiece| listed(&one.serial, &eyepiece.serial, &one.housing);
                if !eyepiece.serial.trim().is_empty() && !stock.eyepieces.iter().any(is) {
                    stock.eyepieces.push(StockEyepiece {
                        serial: eyepiece.serial.clone(),
                        housing: housing.clone(),
                        in_use: true,
                        ..StockEyepiece::default()
                    });
                }
            }
        }
        Some(stock)
    }
}

/// Leaves a unit may have where nobody says.
pub(super) const USUAL_LEAVES: u64 = 4;

texts!(Stock { window, housings, tubes, eyepieces, note; ipd_mm, most_leaves });
texts!(StockHousing { unit, housing, eyepieces, source; in_use, offset_mm, u_mm });
texts!(StockTube { serial, housing, source; in_use, may_turn, offset_mm, u_mm });
texts!(StockEyepiece { serial, housing, source; in_use, decentre_mm, u_mm });

/// What is stated must have its uncertainty and somebody who states it.
fn stated(field: &'static str, given: bool, u_mm: Option<f64>, source: &str) -> Result<(), Error> {
    match (given, u_mm) {
        (true, Some(u_mm)) => {
            positive(&format!("{field}.u_mm"), u_mm)?;
            named(&format!("{field}.source"), source)
        }
        (true, None) => positive(&format!("{field}.u_mm"), 0.0),
        (false, Some(u_mm)) => positive(&format!("{field}.u_mm"), u_mm),
        (false, None) => Ok(()),
    }
}

/// A part listed twice would be built in twice.
fn once<'a>(parts: impl Iterator<Item = (&'a String, &'a String)>) -> Result<(), Error> {
    let mut seen = BTreeSet::new();
    for (name, housing) in parts {
        if !seen.insert((name, housing)) {
            return Err(Error::ListedTwice { name: name.clone() });
        }
    }
    Ok(())
}

impl Checked for Stock {
    fn check(&self) -> Result<(), Error> {
        named("window", &self.window)?;
        self.ipd_mm.map_or(Ok(()), |ipd_mm| positive("ipd_mm", ipd_mm))?;
        once(self.housings.iter().map(|one| (&one.unit, &one.housing)))?;
        once(self.tubes.iter().map(|one| (&one.serial, &one.housing)))?;
        once(self.eyepieces.iter().map(|one| (&one.serial, &one.housing)))?;
        for one in &self.housings {
            named("housings.unit", &one.unit)?;
            named("housings.housing", &one.housing)?;
            for (_, offset_mm) in one.offset_mm.iter().flat_map(PerChannel::iter) {
                offset_mm.iter().try_for_each(|&mm| finite("housings.offset_mm", mm))?;
            }
            stated("housings", one.offset_mm.is_some(), one.u_mm, &one.source)?;
        }
        for one in &self.tubes {
            named("tubes.serial", &one.serial)?;
            named("tubes.housing", &one.housing)?;
            one.offset_mm.iter().flatten().try_for_each(|&mm| finite("tubes.offset_mm", mm))?;
            stated("tubes", one.offset_mm.is_some(), one.u_mm, &one.source)?;
        }
        for one in &self.eyepieces {
            named("eyepieces.serial", &one.serial)?;
            named("eyepieces.housing", &one.housing)?;
            one.decentre_mm.map_or(Ok(()), |mm| positive("eyepieces.decentre_mm", mm))?;
            stated("eyepieces", one.decentre_mm.is_some(), one.u_mm, &one.source)?;
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "tests fail by panicking")]
    use super::*;

    #[test]
    fn what_is_stated_needs_its_uncertainty_and_its_source() {
        let mut stock = Stock { window: "Shop window".into(), ..Stock::default() };
        let tube = StockTube {
            serial: "T-1".into(),
            housing: "Heron B".into(),
            offset_mm: Some([0.01, 0.0]),
            ..StockTube::default()
        };
        stock.tubes.push(tube);
        assert!(stock.check().unwrap_err().to_string().contains("u_mm"));
        stock.tubes[0].u_mm = Some(0.004);
        assert!(stock.check().unwrap_err().to_string().contains("source"));
        stock.tubes[0].source = "certificate".into();
        stock.check().unwrap();
        stock.tubes.push(stock.tubes[0].clone());
        assert!(stock.check().unwrap_err().to_string().contains("T-1"));
        stock.tubes.pop();
        stock.tubes[0].offset_mm = Some([f64::NAN, 0.0]);
        assert!(stock.check().is_err());
    }
}
