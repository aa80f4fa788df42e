//! The recommended setting of a round, as the program would show it.

use record::{Error, Seq, Session, SettingChosen, SettingSource};
use solver::{Direction, SettingKind};

/// The recommended setting with rings to a whole degree; `None` where there is none.
pub(crate) fn chosen(session: &Session, round: Seq) -> Result<Option<SettingChosen>, Error> {
    let Some(problem) = session.problem(round) else { return Ok(None) };
    let solution = solver::solve(&problem)?;
    let (Some(fits), Ok(setting)) = (solution.both_fits(), &solution.setting) else {
        return Ok(None);
    };
    let circles = fits.map(|fit| &fit.circle);
    let set = setting.rounded_to(circles, 1.0, problem.window);
    // Nine decimals: far finer than any reading, coarser than one machine's sine from another's.
    let kept = |value: f64| (value * 1e9).round() / 1e9;
    let pair = |direction: Direction| [kept(direction.x_arcmin), kept(direction.y_arcmin)];
    Ok(Some(SettingChosen {
        round,
        source: match setting.kind {
            SettingKind::Crossing => SettingSource::NearestCrossing,
            SettingKind::Compromise => SettingSource::Compromise,
            SettingKind::ByHand => SettingSource::ByHand,
        },
        ring_deg: set.ring_deg,
        points_arcmin: set.points.map(pair),
        misalignment_arcmin: [kept(set.misalignment.x_arcmin), kept(set.misalignment.y_arcmin)],
        boresight_arcmin: kept(set.boresight_arcmin),
        window_use: set.window_use.map(|used| kept(used.worst())),
        worst_window_use: None,
        reason: String::new(),
    }))
}
