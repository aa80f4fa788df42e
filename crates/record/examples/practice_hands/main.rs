//! How scripted hands score on practice units, grade by grade: the check that the score tells good
//! work from bad.
//!
//! ```console
//! cargo run --release -p record --example practice_hands            # 1,000 units of each grade
//! cargo run --release -p record --example practice_hands -- 200
//! ```

#![expect(clippy::print_stdout, reason = "what it finds is what it prints")]

mod hands;

use hands::{Hand, play};
use record::fold;
use record::practice::{Grade, Part, PracticeUnit, score};

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let units = std::env::args().nth(1).map_or(Ok(1000), |count| count.parse::<u64>())?;
    println!("{units} units of each grade; per cent. passed: failing units that were passed");
    print!("{:13} {:9} {:>6} {:>6} {:>6}", "", "hand", "total", "least", "passed");
    println!("{}", Part::ALL.map(|part| format!("{:>12}", part.word())).concat());
    for grade in Grade::ALL {
        for hand in Hand::ALL {
            let (mut sum, mut lowest, mut passed) = (0.0, f64::INFINITY, 0);
            let mut parts = [0.0; 5];
            for number in 1..=units {
                let unit = PracticeUnit::invented(grade, number)?;
                let scored = score(&fold(&play(hand, &unit)?)).map_err(|why| why.to_string())?;
                let total = scored.total_percent();
                sum += total;
                lowest = f64::min(lowest, total);
                passed += u64::from(scored.passed_failing);
                for (kept, part) in parts.iter_mut().zip(Part::ALL) {
                    *kept += 100.0 * scored.earned(part);
                }
            }
            let each = |sum: f64| sum / units as f64;
            let (name, hand) = (grade.word(), format!("{hand:?}"));
            let (total, passed) = (each(sum), 100.0 * each(passed as f64));
            print!("{name:13} {hand:9} {total:6.2} {lowest:6.2} {passed:6.2}");
            println!("{}", parts.map(|sum| format!("{:12.1}", each(sum))).concat());
        }
    }
    Ok(())
}
