//! How scripted hands score on practice units, grade by grade: the check that the score tells good
//! work from bad.
//!
//! ```console
//! cargo run --release --workspace --example practice_hands            # 200 units of each grade
//! cargo run --release --workspace --example practice_hands -- 50
//! ```

#![expect(clippy::print_stdout, reason = "what it finds is what it prints")]

mod hands;
mod trainees;

use hands::{Hand, play};
use record::practice::{Formula, Grade, PracticeUnit, Score, Series, score};
use record::{Fact, fold};
use trainees::{Trainee, work};

type Failed = Box<dyn std::error::Error>;

fn main() -> Result<(), Failed> {
    let units = std::env::args().nth(1).map_or(Ok(200), |count| count.parse::<u64>())?;
    println!("{units} units of each grade; per cent. passed: failing units that were passed");
    table_of(units, Series::Second, &Trainee::ALL, |trainee, unit| Ok(work(*trainee, unit)?))?;
    table_of(units, Series::First, &Hand::ALL, |hand, unit| Ok(play(*hand, unit)?))
}

fn table_of<H: core::fmt::Debug>(
    units: u64,
    series: Series,
    hands: &[H],
    play: impl Fn(&H, &PracticeUnit) -> Result<Vec<Fact>, Failed>,
) -> Result<(), Failed> {
    let formula = Formula::of(series);
    println!("\nFormula {}", formula.number());
    print!("{:13} {:9} {:>6} {:>6} {:>6}", "", "hand", "total", "least", "passed");
    println!(
        "{}",
        formula.parts().iter().map(|(part, _)| format!("{:>12}", part.word())).collect::<String>()
    );
    for &grade in series.grades() {
        for hand in hands {
            let scored = (1..=units).map(|number| {
                let unit = PracticeUnit::of_series(series, grade, number)?;
                Ok(score(&fold(&play(hand, &unit)?)).map_err(|why| why.to_string())?)
            });
            line_of(grade, hand, &scored.collect::<Result<Vec<Score>, Failed>>()?);
        }
    }
    Ok(())
}

fn line_of(grade: Grade, hand: &impl core::fmt::Debug, scores: &[Score]) {
    let mean = |of: &dyn Fn(&Score) -> f64| {
        scores.iter().map(of).sum::<f64>() / scores.len().max(1) as f64
    };
    let least = scores.iter().map(Score::total_percent).fold(f64::INFINITY, f64::min);
    let passed = 100.0 * mean(&|score| f64::from(u8::from(score.passed_failing)));
    let (name, hand) = (grade.word(), format!("{hand:?}"));
    print!("{name:13} {hand:9} {:6.2} {least:6.2} {passed:6.2}", mean(&Score::total_percent));
    let parts = scores.first().map(|score| score.parts.clone()).unwrap_or_default();
    let each = parts.iter().map(|one| 100.0 * mean(&|score| score.earned(one.part)));
    println!("{}", each.map(|earned| format!("{earned:12.1}")).collect::<String>());
}
