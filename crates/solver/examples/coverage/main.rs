//! How often what is stated at 95 % holds, by kind of round: `cargo run -p solver --example coverage`.
//!
//! Each line is 2,000 seeded rounds of both channels. A statement that is withheld counts as not
//! made; how often it is made stands behind. A promise of 95 % kept exactly is kept between 93.5 and
//! 96.5 % of 2,000 (three standard deviations of the binomial distribution, 1.46 %); fewer statements, wider.
//!
//! - [`rounds`]: kinds of round and what is true of them;
//! - [`statements`]: what is stated of a round, and whether it holds;
//! - [`confirming`]: how often a unit on its limit passes.
#![allow(clippy::print_stdout, reason = "an example that prints a table")]

mod confirming;
mod rounds;
mod statements;

use confirming::Confirming;
use rounds::Kind;
use solver::monte_carlo::Source;
use statements::{Statement, Tally};

/// Rounds a line.
const TRIALS: usize = 2_000;

fn main() {
    if std::env::args().nth(1).as_deref() != Some("confirming") {
        readings();
    }
    confirming();
}

fn readings() {
    println!(
        "95 % statements that hold, of {TRIALS} rounds a line (in brackets: how often made)\n"
    );
    let heads: Vec<String> =
        Statement::ALL.iter().map(|statement| format!("{:>14}", statement.word())).collect();
    println!("{:<46}{}", "kind of round", heads.concat());
    for kind in rounds::kinds() {
        println!("{:<46}{}", kind.name, line(&kind));
    }
}

fn confirming() {
    println!(
        "\nUnits exactly on a limit that pass “guarded”, of {TRIALS} (no more than 5 %, bound 6.5)\n"
    );
    println!("{:<46}{:>14}{:>14}", "confirm readings", "as one seating", "by seatings");
    for kind in Confirming::all() {
        let Some((flat, seated)) = kind.passes(TRIALS, 17) else { continue };
        let share = |share: f64| format!("{:.1} %", 100.0 * share);
        let seated = seated.map_or_else(|| "caveat".to_owned(), share);
        println!("{:<46}{:>14}{seated:>14}", kind.name(), share(flat));
    }
}

fn line(kind: &Kind) -> String {
    let mut source = Source::seeded(17);
    let mut tallies = Statement::ALL.map(|_| Tally::default());
    for _ in 0..TRIALS {
        statements::count(kind, &mut source, &mut tallies);
    }
    tallies.iter().map(|tally| format!("{:>14}", tally.words(TRIALS))).collect()
}
