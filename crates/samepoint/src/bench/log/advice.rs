//! What the readings advise: those that stand out, with the likely cause, and the one most worth
//! taking next. Worked out once per change of the facts.

use paper::words::{capital, cause, number, percent, ring};
use record::Session;
use record::fact::Seq;
use solver::diagnostic::standing_out;
use solver::next_reading::{NextReading, next_reading};
use solver::{Channel, Problem, Solution};

/// A reading that stands out. It is pointed at, never dropped.
#[derive(Clone, Debug, PartialEq)]
pub struct StandOut {
    /// Which.
    pub seq: Seq,
    /// The likely cause, as a reason to withdraw it: `ring looks 8° off`.
    pub cause: String,
    /// All of it as a sentence.
    pub text: String,
}

/// The advice of a round.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Advice {
    /// Readings that stand out.
    pub stand_out: Vec<StandOut>,
    /// The reading most worth taking.
    pub next: Option<NextReading>,
}

impl Advice {
    /// The advice of the open round, whose problem and solution are given.
    #[must_use]
    pub fn of(session: &Session, problem: &Problem, solution: Option<&Solution>) -> Self {
        let (Some(round), Some(solution)) = (session.round(), solution) else {
            return Self::default();
        };
        let mut stand_out = Vec::new();
        let fits = solution.fits.as_ref().map(|fit| fit.as_ref().ok());
        let found = standing_out(fits, &problem.readings);
        for channel in Channel::BOTH {
            for (place, diagnosis) in &found[channel] {
                let Some(entry) = round.fitted(channel).nth(*place) else { continue };
                let cause = cause(diagnosis.cause);
                let text = format!(
                    "{} reading {} stands out{}: {cause}. Read it again, or withdraw it.",
                    capital(channel.word()),
                    entry.number,
                    diagnosis.p_value.map_or_else(String::new, chance_words),
                );
                stand_out.push(StandOut { seq: entry.seq, cause, text });
            }
        }
        let next = solution.both_fits().and_then(|fits| {
            let nearest = solution.meeting.as_ref()?.nearest()?;
            next_reading(fits, nearest)
        });
        Self { stand_out, next }
    }

    /// The reading most worth taking, quietly.
    #[must_use]
    pub fn next_words(&self) -> Option<String> {
        let next = self.next.as_ref()?;
        let place = next.ring_deg.map_or_else(
            || format!("{} crosshair near {}", next.channel, paper::words::direction(next.place)),
            |deg| format!("{} ring near {}", next.channel, ring(deg, 1.0)),
        );
        let smaller = percent(next.ellipse_shrinks_by());
        Some(format!(
            "Next best reading: {place}; it makes the crossing’s ellipse {smaller} smaller."
        ))
    }
}

fn chance_words(p: f64) -> String {
    if p < 0.001 { " (p under 0.001)".to_owned() } else { format!(" (p {})", number(p, 3)) }
}
