//! `samepoint check-self`: this program against figures that others published.

use std::fmt::Write as _;

use record::Stamp;
use solver::published::{Case, Figure, cases};

use super::Outcome;
use super::sentences::broken;

/// Some figure is not met.
const DISAGREES: u8 = 1;

/// Works every case out and says what agrees.
pub(super) fn run() -> Outcome {
    checked(cases(), Stamp::now())
}

fn checked<'a>(cases: impl Iterator<Item = &'a Case>, now: Stamp) -> Outcome {
    let mut page = String::new();
    let (mut all, mut agreeing) = (0_usize, 0_usize);
    for case in cases {
        all += 1;
        agreeing += usize::from(told(case, &mut page));
    }
    let head = format!(
        "samepoint {} on {}: {agreeing} of {all} published cases agree\n\n",
        env!("CARGO_PKG_VERSION"),
        now.date()
    );
    let note = "What is checked is this program on this computer, in the spirit of ISO/IEC 17025:2017, \
                7.11.2. Whether a bench reads right is the check standard's to say.";
    let code = if all > 0 && agreeing == all { 0 } else { DISAGREES };
    Outcome::Answered { text: format!("{head}{page}{}", broken("", note)), code }
}

/// A case on the page; whether it agrees.
fn told(case: &Case, page: &mut String) -> bool {
    let worked = case.worked();
    let agrees = worked.as_ref().is_ok_and(|(_, agrees)| *agrees);
    let mark = if agrees { "agrees    " } else { "DISAGREES " };
    page.push_str(&broken(mark, case.what));
    page.push_str(&broken("          ", case.source));
    match worked {
        Err(why) => page.push_str(&broken("          ", &format!("refused: {why}"))),
        Ok((figures, _)) => {
            for figure in figures {
                line(&figure, page);
            }
        }
    }
    page.push('\n');
    agrees
}

fn line(figure: &Figure, page: &mut String) {
    let Figure { what, expected, got, allowed } = figure;
    let mark = if figure.agrees() { ' ' } else { '!' };
    // Writing into a string cannot fail.
    let _ = writeln!(
        page,
        "        {mark} {what:<28} expected {expected:<22} got {got:<22} within {allowed:.1e}"
    );
}

#[cfg(test)]
mod tests {
    use super::*;

    type Work = fn() -> Result<Vec<Figure>, solver::Error>;

    fn outcome(work: Work) -> (String, u8) {
        let case = Case { what: "a half", source: "arithmetic, exact", work };
        match checked([&case].into_iter(), Stamp::now()) {
            Outcome::Answered { text, code } => (text, code),
            other => (format!("{other:?}"), u8::MAX),
        }
    }

    const fn half(got: f64) -> Figure {
        Figure { what: "half of one", expected: 0.5, got, allowed: 1e-3 }
    }

    #[test]
    fn what_agrees_is_said_to() {
        let (text, code) = outcome(|| Ok(vec![half(0.5)]));
        assert_eq!(code, 0);
        assert!(text.contains("1 of 1 published cases agree") && text.contains("agrees    a half"));
    }

    /// One figure out of two missed, none at all, a refusal, and no number.
    #[test]
    fn what_disagrees_is_said_to() {
        let works: [Work; 4] = [
            || Ok(vec![half(0.5), half(0.6)]),
            || Ok(Vec::new()),
            || Err(solver::Error::RelationTolerance { value: 2.0 }),
            || Ok(vec![half(f64::NAN)]),
        ];
        for work in works {
            let (text, code) = outcome(work);
            assert_eq!(code, DISAGREES, "{text}");
            assert!(text.contains("0 of 1") && text.contains("DISAGREES a half"), "{text}");
        }
        let (text, _) = outcome(|| Ok(vec![half(0.5), half(0.6)]));
        assert!(text.contains("! half of one") && text.contains("got 0.6"), "{text}");
    }
}
