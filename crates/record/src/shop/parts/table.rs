//! One line a match, one column a figure: tidy, for other programs.

use solver::PerChannel;
use solver::remedy::shim::ChannelShim;
use solver::shelf::Match;

use super::matching::Matching;
use crate::csv_cell;
use crate::error::Error;

/// The columns, in order. Only ever added to, at the end.
pub const COLUMNS: [&str; 25] = [
    "unit",
    "housing",
    "left_tube",
    "left_turned_deg",
    "right_tube",
    "right_turned_deg",
    "left_eyepiece",
    "right_eyepiece",
    "left_shim_clock_deg",
    "left_shim_mm",
    "left_shim_ends",
    "right_shim_clock_deg",
    "right_shim_mm",
    "right_shim_ends",
    "left_centre_x_arcmin",
    "left_centre_y_arcmin",
    "left_radius_arcmin",
    "right_centre_x_arcmin",
    "right_centre_y_arcmin",
    "right_radius_arcmin",
    "crossing_x_arcmin",
    "crossing_y_arcmin",
    "window_use",
    "window_use_95",
    "chance_inside",
];

impl Matching {
    /// The plan as CSV in UTF-8 (RFC 4180), numbers at full precision with a decimal point, empty where
    /// there is nothing; names as [`csv_cell::text`] writes them.
    ///
    /// # Errors
    /// [`Error::FactNotWritable`] when the table cannot be put together.
    pub fn csv(&self) -> Result<Vec<u8>, Error> {
        let failed = |what: String| Error::FactNotWritable { what };
        let mut writer = csv::Writer::from_writer(Vec::new());
        writer.write_record(COLUMNS).map_err(|why| failed(why.to_string()))?;
        for one in &self.plan.matches {
            writer.write_record(self.cells(one)).map_err(|why| failed(why.to_string()))?;
        }
        writer.into_inner().map_err(|why| failed(why.to_string()))
    }

    /// A match's parts by name.
    #[must_use]
    pub fn names(&self, one: &Match) -> Names<'_> {
        let housing = self.housings.get(one.housing);
        Names {
            unit: housing.map_or("", |held| &held.unit),
            housing: housing.map_or("", |held| &held.housing),
            tubes: one.tubes.map(|tube| self.tubes.get(tube).map_or("", |held| &*held.serial)),
            eyepieces: one
                .eyepieces
                .map(|number| self.eyepieces.get(number).map_or("", |held| &*held.serial)),
        }
    }

    fn cells(&self, one: &Match) -> [String; 25] {
        let names = self.names(one);
        let turned = one.turned.map(|turned| if turned { "180" } else { "0" }.to_owned());
        let shim = |shim: &Option<ChannelShim>| {
            shim.as_ref().map_or_else(Default::default, |shim| {
                [
                    shim.clock_deg.to_string(),
                    shim.thickness_mm().to_string(),
                    shim.ends.word().to_owned(),
                ]
            })
        };
        let [left_clock, left_mm, left_ends] = shim(&one.shims.left);
        let [right_clock, right_mm, right_ends] = shim(&one.shims.right);
        let told = &one.prediction;
        [
            csv_cell::text(names.unit),
            csv_cell::text(names.housing),
            csv_cell::text(names.tubes.left),
            turned.left,
            csv_cell::text(names.tubes.right),
            turned.right,
            csv_cell::text(names.eyepieces.left),
            csv_cell::text(names.eyepieces.right),
            left_clock,
            left_mm,
            left_ends,
            right_clock,
            right_mm,
            right_ends,
            told.centres.left.x_arcmin.to_string(),
            told.centres.left.y_arcmin.to_string(),
            told.radii.left.arcmin.to_string(),
            told.centres.right.x_arcmin.to_string(),
            told.centres.right.y_arcmin.to_string(),
            told.radii.right.arcmin.to_string(),
            told.crossing.x_arcmin.to_string(),
            told.crossing.y_arcmin.to_string(),
            told.window_use.to_string(),
            told.chance.use_95.map_or_else(String::new, |share| share.to_string()),
            told.chance.inside.to_string(),
        ]
    }
}

/// What a match is made of, by name.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Names<'a> {
    /// The unit.
    pub unit: &'a str,
    /// Its housing type.
    pub housing: &'a str,
    /// The tube in each pod.
    pub tubes: PerChannel<&'a str>,
    /// The eyepiece in each pod.
    pub eyepieces: PerChannel<&'a str>,
}
