//! AIAG, *Measurement Systems Analysis*, 4th ed. (2010), chapter III section B: ten parts, three
//! appraisers, three trials. Published figures as repeated in open sources; more digits
//! recomputed with mpmath (30 digits). The two methods disagree on the number of distinct categories.

use crate::published_aiag::READINGS;
use crate::{close, printed};
use solver::stats::anova::Crossed;
use solver::upkeep::gauge_study::{StudyMethod, by_anova, by_average_and_range};

fn table() -> Crossed {
    let mut values = Vec::new();
    for part in 0..10 {
        for appraiser in &READINGS {
            values.extend(appraiser.iter().map(|trial| trial[part]));
        }
    }
    Crossed::new(10, 3, 3, &values).unwrap()
}

#[test]
fn analysis_of_variance_agrees() {
    let result = by_anova(&table(), 0.25).unwrap();
    let squares = result.table;
    printed("SS part", squares.rows.sum, 88.3619, 4);
    printed("SS appraiser", squares.columns.sum, 3.1673, 4);
    printed("SS interaction", squares.interaction.sum, 0.3590, 4);
    printed("SS equipment", squares.repeat.sum, 2.7589, 4);
    printed("SS total", squares.total().sum, 94.6471, 4);
    let freedom = [squares.rows, squares.columns, squares.interaction, squares.repeat]
        .map(|squares| squares.freedom);
    assert_eq!(freedom, [9, 2, 18, 60]);
    assert_eq!(squares.total().freedom, 89);
    let against = |squares: solver::stats::anova::Squares| {
        squares.against(&result.table.interaction).unwrap().ratio
    };
    printed("F part", against(squares.rows), 492.291, 3);
    printed("F appraiser", against(squares.columns), 79.406, 3);
    printed("F interaction", result.interaction.ratio, 0.434, 3);
    printed("p interaction", result.interaction.p_value, 0.974, 3);
    close("p interaction", result.interaction.p_value, 0.974_106_404_329, 1e-11);
    printed("pooled error", squares.pooled_error().sum, 3.1179, 4);
    printed("pooled mean square", squares.pooled_error().mean(), 0.03997, 5);

    let study = result.study;
    assert_eq!(study.method, StudyMethod::AnovaPooled);
    printed("repeatability", study.repeatability.powi(2), 0.03997, 5);
    printed("reproducibility", study.reproducibility.powi(2), 0.05146, 5);
    printed("gauge", study.gauge().powi(2), 0.09143, 5);
    printed("part", study.part.powi(2), 1.08645, 5);
    printed("% study variation", 100.0 * study.share_of_total(study.gauge()), 27.86, 2);
    printed("% study variation", 100.0 * study.share_of_total(study.part), 96.04, 2);
    printed("gauge", study.gauge(), 0.302_371_522_323, 12);
    printed("total", study.total(), 1.085_299_563_22, 11);
    assert_eq!(study.categories(), Some(4));
}

#[test]
fn average_and_range_agree() {
    let result = by_average_and_range(&table()).unwrap();
    for (range, published) in result.hand_ranges.iter().zip([0.184, 0.513, 0.328]) {
        printed("mean range", *range, published, 3);
    }
    printed("mean of them", result.mean_range, 0.3417, 4);
    close("appraisers apart", result.hands_apart, 0.4446, 1e-4); // printed 0.4446, is 0.44467
    printed("parts apart", result.parts_apart, 3.5111, 4);
    let study = result.study;
    // The printed study rounds its way: 0.20188, 0.22963, 0.30575, 1.10456, 1.14610, good to 3e-5.
    printed("EV", study.repeatability, 0.201_856_666_667, 12);
    printed("AV", study.reproducibility, 0.229_667_029_103, 12);
    printed("GRR", study.gauge(), 0.305_766_345_654, 12);
    printed("PV", study.part, 1.104_595_555_56, 11);
    printed("TV", study.total(), 1.146_134_546_85, 11);
    close("EV", study.repeatability, 0.20188, 3e-5);
    close("GRR", study.gauge(), 0.30575, 3e-5);
    printed("% GRR", 100.0 * study.share_of_total(study.gauge()), 26.68, 2);
    assert_eq!(study.categories(), Some(5));
}
