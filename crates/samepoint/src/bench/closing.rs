//! Whether a round closes, in words.

use record::Round;
use solver::PerChannel;

use crate::views::source::TonedSentence;
use crate::widgets::Tone;

/// A closure error that scatter alone makes less often than this is looked at.
const UNLIKELY: f64 = 0.01;

/// How each channel's round closes: its first position read again, last less first.
#[must_use]
pub(crate) fn closing(
    round: &Round,
    sigma_arcmin: Option<f64>,
) -> PerChannel<Option<TonedSentence>> {
    PerChannel::from_fn(|channel| {
        let closure = round.closure(channel)?;
        let off = paper::words::arcmin(closure.difference.boresight_arcmin());
        let unlikely = sigma_arcmin
            .and_then(|sigma| closure.chance(sigma))
            .is_some_and(|chance| chance < UNLIKELY);
        Some(if unlikely {
            let text = format!("closes {off} off: more than scatter, did something move?");
            TonedSentence { tone: Tone::Look, text }
        } else {
            TonedSentence { tone: Tone::Plain, text: format!("closes {off} off") }
        })
    })
}
