//! Unit conversions, recomputed with mpmath (40 digits) from exact ratios; agree with the printed
//! tables of NIST SP 811 appendix B (from memory) and of public conversion pages.

use crate::close;
use solver::angle;

/// Both ways of a conversion, to a few roundings of double precision.
fn ratio(what: &str, actual: f64, expected: f64) {
    close(what, actual, expected, 4.0 * f64::EPSILON * expected.abs());
}

#[test]
fn angles_convert_to_all_digits() {
    ratio("1 rad in arcmin", angle::arcmin_from_rad(1.0), 3_437.746_770_784_939);
    ratio("1 mrad in arcmin", angle::arcmin_from_mrad(1.0), 3.437_746_770_784_939);
    ratio("1 arcmin in mrad", angle::mrad_from_arcmin(1.0), 0.290_888_208_665_721_6);
    ratio("1 deg in rad", angle::rad_from_deg(1.0), 0.017_453_292_519_943_3);
    ratio("1 mrad in deg", angle::deg_from_rad(1e-3), 0.057_295_779_513_082_32);
    ratio("15 arcmin in mrad", angle::mrad_from_arcmin(15.0), 4.363_323_129_985_824);
    ratio("20 arcmin in mrad", angle::mrad_from_arcmin(20.0), 5.817_764_173_314_432);
    ratio("45 arcmin in mrad", angle::mrad_from_arcmin(45.0), 13.089_969_389_957_47);
    assert_eq!(angle::arcmin_from_mil(1.0), 3.375);
    ratio(
        "1 mil in mrad",
        angle::mrad_from_arcmin(angle::arcmin_from_mil(1.0)),
        0.981_747_704_246_810_4,
    );
    assert_eq!(angle::arcmin_from_deg(1.0), 60.0);
}

#[test]
fn prism_dioptres_keep_the_tangent() {
    for (prism_dioptre, arcmin) in [
        (0.25, 8.594_349_022_098_393),
        (0.5, 17.188_590_616_624_47),
        (1.0, 34.376_321_861_009_16),
        (2.0, 68.745_770_290_506_2),
        (3.0, 103.101_480_099_327_4),
        (5.0, 171.744_313_566_704_9),
        (10.0, 342.635_588_249_978_6),
    ] {
        ratio("arcmin", angle::arcmin_from_prism_dioptre(prism_dioptre), arcmin);
        ratio("prism dioptres", angle::prism_dioptre_from_arcmin(arcmin), prism_dioptre);
    }
    ratio("1 arcmin", angle::prism_dioptre_from_arcmin(1.0), 0.029_088_821_687_031_59);
    ratio("1 deg", angle::prism_dioptre_from_arcmin(60.0), 1.745_506_492_821_759);
}
