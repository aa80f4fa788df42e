//! The numbers a hand signs, as they followed then.

use solver::PerChannel;

use crate::fact::texts::texts;
use crate::figures::number;
use crate::station::{ReferenceUncertainty, StationMap};
use crate::validate::not_negative;
use crate::{error::Error, station::Station};

/// Stored numbers agree when they differ by no more than this share, or this much where they are near nothing.
const SAME_SHARE: f64 = 1e-6;
const SAME_NEAR_NOTHING: f64 = 1e-9;

/// What was signed.
#[derive(Clone, Debug, PartialEq)]
pub struct CalibrationSigned {
    /// The program that worked it out, with version.
    pub program: String,
    /// Each channel's map.
    pub maps: PerChannel<SignedMap>,
    /// Standard uncertainty of boresight that both channels share, arcminutes: the certificate's, and that of
    /// deviations both were shown.
    pub common_u_arcmin: [f64; 2],
}

/// One channel's map, and how well its boresight is known.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SignedMap {
    /// The map.
    pub map: StationMap,
    /// Standard uncertainty of its boresight that is the channel's own, arcminutes.
    pub own_u_arcmin: [f64; 2],
}

texts!(CalibrationSigned { program; maps, common_u_arcmin });

/// A number that can be compared: its name with unit, and its value.
type NamedNumber = (String, f64);

impl CalibrationSigned {
    pub(super) fn check(&self) -> Result<(), Error> {
        for (channel, signed) in self.maps.iter() {
            signed.map.check(&format!("{channel}.map"))?;
            for u in signed.own_u_arcmin {
                not_negative(&format!("{channel}.own_u_arcmin"), u)?;
            }
        }
        for u in self.common_u_arcmin {
            not_negative("common_u_arcmin", u)?;
        }
        Ok(())
    }

    /// The station's reference by these numbers.
    #[must_use]
    pub fn reference(&self) -> ReferenceUncertainty {
        let own_u_arcmin =
            PerChannel { left: self.maps.left.own_u_arcmin, right: self.maps.right.own_u_arcmin };
        ReferenceUncertainty { own_u_arcmin, common_u_arcmin: self.common_u_arcmin }
    }

    /// Each number that another set has otherwise, in words: what `self` says and what `other` says.
    #[must_use]
    pub fn differences(&self, other: &Self, words: [&str; 2]) -> Vec<String> {
        differ(&self.named(), &other.named(), words)
    }

    /// The same against a station's own numbers.
    #[must_use]
    pub fn differences_of(&self, station: &Station, words: [&str; 2]) -> Vec<String> {
        let of = |channel| SignedMap {
            map: station.map[channel],
            own_u_arcmin: station.reference.own_u_arcmin[channel],
        };
        let there = Self {
            program: String::new(),
            maps: PerChannel { left: of(solver::Channel::Left), right: of(solver::Channel::Right) },
            common_u_arcmin: station.reference.common_u_arcmin,
        };
        self.differences(&there, words)
    }

    fn named(&self) -> Vec<NamedNumber> {
        let mut named = Vec::new();
        for (channel, signed) in self.maps.iter() {
            let StationMap {
                flip_x,
                flip_y,
                rotation_deg,
                arcmin_per_division,
                boresight_divisions,
            } = signed.map;
            let mut push = |what: &str, value| named.push((format!("{channel} {what}"), value));
            push("x runs the other way (1 yes, 0 no)", f64::from(u8::from(flip_x)));
            push("y runs the other way (1 yes, 0 no)", f64::from(u8::from(flip_y)));
            push("turn in degrees", rotation_deg);
            push("x in arcminutes per division", arcmin_per_division[0]);
            push("y in arcminutes per division", arcmin_per_division[1]);
            push("boresight x in divisions", boresight_divisions[0]);
            push("boresight y in divisions", boresight_divisions[1]);
            push("own u of boresight x in arcminutes", signed.own_u_arcmin[0]);
            push("own u of boresight y in arcminutes", signed.own_u_arcmin[1]);
        }
        named.push(("shared u of boresight x in arcminutes".to_owned(), self.common_u_arcmin[0]));
        named.push(("shared u of boresight y in arcminutes".to_owned(), self.common_u_arcmin[1]));
        named
    }
}

fn differ(here: &[NamedNumber], there: &[NamedNumber], [says, is]: [&str; 2]) -> Vec<String> {
    let pairs = here.iter().zip(there);
    let differing = pairs.filter(|((_, a), (_, b))| {
        let allowed = (SAME_SHARE * a.abs().max(b.abs())).max(SAME_NEAR_NOTHING);
        let agrees = (a - b).abs() <= allowed;
        // What is no number differs.
        !agrees
    });
    differing
        .map(|((name, a), (_, b))| {
            format!("{name}: {says} {}, {is} {}", number(*a, 6), number(*b, 6))
        })
        .collect()
}
