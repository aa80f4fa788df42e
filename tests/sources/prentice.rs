//! Prentice's rule, P = c·F (c in cm, F in dioptres). Rule: teaching module 13b of
//! nfos.org; inputs of the worked examples from public teaching pages of opticians; angles
//! recomputed as atan(P/100) with mpmath (40 digits).

use crate::{close, printed};
use solver::Direction;
use solver::angle::arcmin_from_prism_dioptre;
use solver::optics::{Lateral, Optics, Placement, TubeImage, prism_dioptre_from_decentre};

#[test]
fn worked_examples_agree() {
    for (power_dioptre, decentre_mm, prism_dioptre, arcmin) in [
        (3.0, 4.0, 1.2, 41.250_981_278_3),
        (6.0, 5.0, 3.0, 103.101_480_099_3),
        (2.5, 12.0, 3.0, 103.101_480_099_3),
        (40.0, 0.1, 0.4, 13.750_913_745_2),
    ] {
        let prism = prism_dioptre_from_decentre(decentre_mm, power_dioptre);
        close("prism", prism, prism_dioptre, 4.0 * f64::EPSILON);
        printed("angle", arcmin_from_prism_dioptre(prism), arcmin, 10);
    }
}

/// The channel's model is Prentice's rule where only its eyepiece is decentred.
#[test]
fn a_decentred_eyepiece_deviates_by_prentices_rule() {
    let optics = Optics::new(25.0, 25.0, TubeImage::Inverted).unwrap();
    let placed = Placement { eyepiece: Lateral::new(0.1, 0.0), ..Placement::default() };
    let seen = optics.deviation(&placed, Direction::BORESIGHT);
    printed("angle", seen.x_arcmin, -13.750_913_745_2, 10);
    assert_eq!(seen.y_arcmin, 0.0);
    printed("small angle", optics.arcmin_from_mm(0.1), 13.750_987_083_1, 10);
}
