//! How sure a setting of differences is, in sentences: for screen, paper and the command line alike.

use solver::relative::{RelativeSolution, RelativeSpread, WindowStatus};

use crate::figures::{
    arcmin_at_most, bearing, counted, number, percent_at_most, probability, sentence,
};

/// What stands in place of every ± where readings do not fit.
pub const DO_NOT_FIT: &str = "The readings of the difference do not fit what they are said to scatter by: \
                              nothing is judged, and no ± is stated. Look for one misread, of a wrong sign, \
                              with x and y or left and right exchanged, or of a wrong ring angle.";

/// That readings do not fit, or what they leave open.
#[must_use]
pub fn stands(solution: &RelativeSolution) -> Vec<String> {
    let mut said = Vec::new();
    if solution.fit.does_not_fit() {
        said.push(DO_NOT_FIT.to_owned());
        said.extend(solution.fit.consistency.map(|found| {
            format!(
                "χ² is {} with {}.",
                number(found.chi_squared, 1),
                counted(found.freedom, "degree of freedom", "degrees of freedom")
            )
        }));
    }
    if let Some(first) = solution.open.first() {
        said.push(format!("No setting is recommended: {first}."));
        said.extend(solution.open.iter().skip(1).map(|open| sentence(&format!("{open}."))));
    }
    said
}

/// That a reading stands out, by its number.
#[must_use]
pub fn stands_out(number: usize) -> String {
    format!("Reading {number} stands out from the others; read it again.")
}

/// The pair of ring angles to read to settle more.
#[must_use]
pub fn read_next(solution: &RelativeSolution) -> String {
    let pair = solution.read_next_deg;
    format!(
        "Read next with the left ring at {} and the right at {}.",
        bearing(pair.left, 0),
        bearing(pair.right, 0)
    )
}

/// What the trials of the setting say, at 95 %; where there are none, why.
#[must_use]
pub fn certainty(solution: &RelativeSolution, spread: Option<&RelativeSpread>) -> Vec<String> {
    let Some(spread) = spread else {
        if solution.fit.does_not_fit() {
            return Vec::new();
        }
        let why = "How sure that is cannot be told: no σ is stated and no reading is to spare.";
        return vec![format!("{why} {}", read_next(solution))];
    };
    let mut said = Vec::new();
    if let (Some(left), Some(right)) = (spread.ring_95_deg.left, spread.ring_95_deg.right) {
        let [left, right] = [left, right].map(|deg| number(deg, 1));
        said.push(format!("Ring targets: left ±{left}°, right ±{right}°, at 95 %."));
    }
    let apart = arcmin_at_most(spread.misalignment_95_arcmin);
    said.push(match (spread.use_95, spread.inside) {
        (Some(used), Some(inside)) => format!(
            "Set to the ring's step the channels will be {apart} apart and use {} of the window at 95 %; the \
             chance of being inside is {}.",
            percent_at_most(used),
            probability(inside)
        ),
        _ => format!("Set to the ring's step the channels will be {apart} apart at 95 %."),
    });
    said
}

/// How a setting stands, in one sentence without its full stop.
#[must_use]
pub fn unsure(standing: WindowStatus) -> Option<String> {
    match standing {
        WindowStatus::Unsure { inside: Some(share) } => Some(format!(
            "Inside by the readings, but not surely: the chance of it is {}",
            probability(share)
        )),
        WindowStatus::Unsure { inside: None } => {
            Some("Inside by the readings as they stand; how sure that is cannot be told".to_owned())
        }
        _ => None,
    }
}
