//! What can happen to a setting, in words: rings that slip, pods that swing; what it is judged by.

use paper::words;
use record::NamedWindow;
use solver::setting::{Slack, slack};
use solver::swing::{safe_radius_arcmin, worst_over};
use solver::{Channel, Problem, Setting, Solution, WindowUse};

use super::source::TonedSentence;

/// A window's limits and rule in words.
#[must_use]
pub(crate) fn limits(window: &NamedWindow) -> String {
    let limits = &window.limits;
    let boresight = limits.boresight_arcmin().map_or_else(
        || "boresight not limited".to_owned(),
        |limit| format!("boresight {}", words::arcmin(limit)),
    );
    let (rule, means) = (window.rule.word(), window.rule.means());
    format!(
        "Convergence {}, divergence {}, dipvergence {}, {boresight}; {rule} rule: {means}.",
        words::arcmin(limits.convergence_arcmin()),
        words::arcmin(limits.divergence_arcmin()),
        words::arcmin(limits.dipvergence_arcmin())
    )
}

/// A crossing that lies outside.
pub(crate) fn outside(used: WindowUse) -> String {
    format!("Outside if set here: {} of the window used.", words::percent(used.worst()))
}

/// Circles whose rings get nowhere inside.
pub(crate) fn outside_at_best(used: WindowUse) -> String {
    format!(
        "Outside: even the best compromise uses {} of the window. The unit needs a remedy.",
        words::percent(used.worst())
    )
}

/// How far the rings may slip before the window is left; `None` where nothing is inside.
pub(crate) fn slack_words(
    solution: Option<&Solution>,
    setting: Option<&Setting>,
    problem: &Problem,
) -> Option<String> {
    let circles = solution?.both_fits()?.map(|fit| &fit.circle);
    let Slack { alone, together_deg } = slack(circles, setting?.points, &problem.window?)?;
    let way = |deg: Option<f64>, sign: char| {
        deg.map_or_else(|| format!("{sign}any"), |deg| format!("{sign}{}", whole(deg)))
    };
    let rings = Channel::BOTH.map(|channel| {
        let ring = alone[channel];
        let back = way(ring.counter_deg, words::MINUS);
        format!("{channel} {back} {}", way(ring.clockwise_deg, '+'))
    });
    Some(format!("{}, together ±{}", rings.join(", "), whole(together_deg)))
}

/// Slack rounds down: what is promised must hold.
fn whole(deg: f64) -> String {
    format!("{}°", words::number(deg.floor(), 0))
}

/// How far out both channels may point together and stay inside over the whole swing.
pub(crate) fn swing_safe_words(problem: &Problem) -> Option<String> {
    let (window, range) = (problem.window?, problem.swing?);
    if range.high_deg() <= range.low_deg() {
        return None;
    }
    let radius = safe_radius_arcmin(&window, range)?;
    Some(format!("within {} of boresight, dotted on the plot", words::arcmin(radius)))
}

/// What a swing of the pods does to the setting.
pub(crate) fn swing_words(setting: &Setting, problem: &Problem) -> Option<TonedSentence> {
    let (window, range) = (problem.window?, problem.swing?);
    if range.high_deg() <= range.low_deg() {
        return None;
    }
    let worst = worst_over(setting.points, &window, range);
    let used = worst.used.worst();
    let at = words::degrees(worst.at_deg, 1.0);
    let (low, high) = (words::degrees(range.low_deg(), 1.0), words::degrees(range.high_deg(), 1.0));
    let text = format!(
        "Pods swung {low} to {high}: {} of the window at worst, at {at}.",
        words::percent(used)
    );
    Some(if used > 1.0 { TonedSentence::look(text) } else { TonedSentence::plain(text) })
}
