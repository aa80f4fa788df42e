//! Angles in their units, and lenses that are decentred.

use super::{Case, Figure, close, printed, within};
use crate::angle;
use crate::direction::Direction;
use crate::error::Error;
use crate::optics::{Lateral, Optics, Placement, TubeImage, prism_dioptre_from_decentre};

/// All of them.
pub const CASES: &[Case] = &[
    Case {
        what: "angles in arcminutes, milliradians, degrees and mils",
        source: "NIST SP 811, appendix B (from memory); exact ratios recomputed with mpmath 1.4",
        work: angles,
    },
    Case {
        what: "prism dioptres in arcminutes and back",
        source: "P = 100 tan δ; recomputed with mpmath 1.4",
        work: prism_dioptres,
    },
    Case {
        what: "deviation of decentred lenses, and of a decentred eyepiece",
        source: "Prentice's rule: nfos.org, teaching module 13b, and opticians' teaching pages; angles \
                 recomputed with mpmath 1.4",
        work: prentice,
    },
];

/// A few roundings of double precision.
const ROUNDING: f64 = 4.0 * f64::EPSILON;

fn angles() -> Result<Vec<Figure>, Error> {
    let ratio = |what, got, expected| within(what, got, expected, ROUNDING);
    Ok(vec![
        ratio("1 rad in arcmin", angle::arcmin_from_rad(1.0), 3_437.746_770_784_939),
        ratio("1 mrad in arcmin", angle::arcmin_from_mrad(1.0), 3.437_746_770_784_939),
        ratio("1 arcmin in mrad", angle::mrad_from_arcmin(1.0), 0.290_888_208_665_721_6),
        ratio("1 deg in rad", angle::rad_from_deg(1.0), 0.017_453_292_519_943_3),
        ratio("1 mrad in deg", angle::deg_from_rad(1e-3), 0.057_295_779_513_082_32),
        ratio("15 arcmin in mrad", angle::mrad_from_arcmin(15.0), 4.363_323_129_985_824),
        ratio("20 arcmin in mrad", angle::mrad_from_arcmin(20.0), 5.817_764_173_314_432),
        ratio("45 arcmin in mrad", angle::mrad_from_arcmin(45.0), 13.089_969_389_957_47),
        close("1 mil in arcmin", angle::arcmin_from_mil(1.0), 3.375, 0.0),
        ratio(
            "1 mil in mrad",
            angle::mrad_from_arcmin(angle::arcmin_from_mil(1.0)),
            0.981_747_704_246_810_4,
        ),
        close("1 deg in arcmin", angle::arcmin_from_deg(1.0), 60.0, 0.0),
    ])
}

fn prism_dioptres() -> Result<Vec<Figure>, Error> {
    const TABLE: [(f64, f64); 7] = [
        (0.25, 8.594_349_022_098_393),
        (0.5, 17.188_590_616_624_47),
        (1.0, 34.376_321_861_009_16),
        (2.0, 68.745_770_290_506_2),
        (3.0, 103.101_480_099_327_4),
        (5.0, 171.744_313_566_704_9),
        (10.0, 342.635_588_249_978_6),
    ];
    let ratio = |what, got, expected| within(what, got, expected, ROUNDING);
    let both = TABLE.into_iter().flat_map(|(prism, arcmin)| {
        [
            ratio("arcmin", angle::arcmin_from_prism_dioptre(prism), arcmin),
            ratio("prism dioptres", angle::prism_dioptre_from_arcmin(arcmin), prism),
        ]
    });
    let more = [
        ratio("of 1 arcmin", angle::prism_dioptre_from_arcmin(1.0), 0.029_088_821_687_031_59),
        ratio("of 1 deg", angle::prism_dioptre_from_arcmin(60.0), 1.745_506_492_821_759),
    ];
    Ok(both.chain(more).collect())
}

fn prentice() -> Result<Vec<Figure>, Error> {
    const EXAMPLES: [(f64, f64, f64, f64); 4] = [
        (3.0, 4.0, 1.2, 41.250_981_278_3),
        (6.0, 5.0, 3.0, 103.101_480_099_3),
        (2.5, 12.0, 3.0, 103.101_480_099_3),
        (40.0, 0.1, 0.4, 13.750_913_745_2),
    ];
    let optics = Optics::new(25.0, 25.0, TubeImage::Inverted)?;
    let placed = Placement { eyepiece: Lateral::new(0.1, 0.0), ..Placement::default() };
    let seen = optics.deviation(&placed, Direction::BORESIGHT);
    let worked = EXAMPLES.into_iter().flat_map(|(power, decentre_mm, prism, arcmin)| {
        let found = prism_dioptre_from_decentre(decentre_mm, power);
        [
            close("prism dioptres", found, prism, ROUNDING),
            printed("arcmin", angle::arcmin_from_prism_dioptre(found), arcmin, 10),
        ]
    });
    let eyepiece = [
        printed("eyepiece 0.1 mm off, x", seen.x_arcmin, -13.750_913_745_2, 10),
        close("eyepiece 0.1 mm off, y", seen.y_arcmin, 0.0, 0.0),
        printed("small angle of 0.1 mm", optics.arcmin_from_mm(0.1), 13.750_987_083_1, 10),
    ];
    Ok(worked.chain(eyepiece).collect())
}
