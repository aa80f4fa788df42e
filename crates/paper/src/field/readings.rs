//! What was read, and residuals drawn larger than they are.

use solver::Direction;

use super::{Field, Mark, MarkKind};
use crate::scene::{ItemId, Role, Scene, Shape};
use crate::words;

/// Longest residual on the plot, as a share of the radius.
const RESIDUAL_SHARE: f64 = 0.12;

pub(super) fn draw(scene: &mut Scene, field: &Field<'_>) {
    residuals(scene, field);
    for mark in field.marks {
        let channel = mark.channel;
        let role = match (mark.selected, mark.kind) {
            (true, _) => Role::Selected(channel),
            (false, MarkKind::AsFound) => Role::AsFound(channel),
            (false, MarkKind::Log) => Role::Reading(channel),
            (false, MarkKind::Confirm) => Role::Confirm(channel),
        };
        let id = ItemId::Reading(channel, mark.key);
        let shape = Shape::Marker { at: mark.reading.direction };
        scene.push(id, role, shape, told(field, mark));
    }
}

/// A reading in words, with what it leaves over.
fn told(field: &Field<'_>, mark: &Mark) -> String {
    let kind = match mark.kind {
        MarkKind::AsFound => " as found",
        MarkKind::Log => "",
        MarkKind::Confirm => " to confirm",
    };
    let ring = mark
        .reading
        .ring_deg
        .map_or_else(String::new, |deg| format!("ring {}, ", words::degrees_short(deg)));
    let left_over = match field.fit(mark.channel) {
        Some(fit) if mark.kind == MarkKind::Log => {
            let residual = fit.residual(&mark.reading);
            let angle = residual.off_angle_deg.map_or_else(String::new, |deg| {
                format!(", off angle {}", words::degrees(deg, 0.1))
            });
            format!("; off circle {}{angle}", words::arcmin(residual.off_circle_arcmin))
        }
        _ => String::new(),
    };
    format!(
        "{} reading {}{kind}: {ring}{}{left_over}",
        mark.channel,
        mark.number,
        words::direction(mark.reading.direction)
    )
}

/// From each logged reading to where the fit puts it, drawn larger by one round factor for all.
/// Readings that were not fitted leave nothing over: they have other reasons to lie elsewhere.
fn residuals(scene: &mut Scene, field: &Field<'_>) {
    let pulls: Vec<(&Mark, Direction, f64)> = field
        .marks
        .iter()
        .filter(|mark| mark.kind == MarkKind::Log)
        .filter_map(|mark| {
            let fit = field.fit(mark.channel)?;
            let expected = mark
                .reading
                .ring_deg
                .and_then(|ring_deg| fit.circle.at_ring(ring_deg))
                .unwrap_or_else(|| fit.circle.nearest_to(mark.reading.direction));
            Some((mark, mark.reading.direction - expected, fit.circle.radius_arcmin))
        })
        .collect();
    let longest = pulls.iter().map(|(_, pull, _)| pull.boresight_arcmin()).fold(0.0, f64::max);
    let room = pulls.iter().map(|(_, _, radius)| *radius).fold(f64::INFINITY, f64::min);
    let Some(times) = round_factor(RESIDUAL_SHARE * room / longest) else { return };
    scene.residuals_times = Some(times);
    for (mark, pull, _) in pulls {
        let from = mark.reading.direction;
        let shape = Shape::Line { points: vec![from, from + pull * times], closed: false };
        let id = ItemId::Residual(mark.channel, mark.key);
        let words = format!(
            "{} reading {} lies {} from where the fit puts it, drawn {} times as long",
            mark.channel,
            mark.number,
            words::arcmin_fine(pull.boresight_arcmin()),
            words::number(times, 0)
        );
        scene.push(id, Role::Residual(mark.channel), shape, words);
    }
}

/// The largest of 1, 2, 5, 10, 20 … 500 that is not above `most`.
fn round_factor(most: f64) -> Option<f64> {
    [500.0, 200.0, 100.0, 50.0, 20.0, 10.0, 5.0, 2.0, 1.0]
        .into_iter()
        .find(|&factor| most.is_finite() && factor <= most)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn residuals_grow_by_round_factors() {
        for (most, times) in [(3.0, Some(2.0)), (50.0, Some(50.0)), (1e6, Some(500.0)), (0.4, None)]
        {
            assert_eq!(round_factor(most), times, "{most}");
        }
        assert_eq!(round_factor(f64::NAN), None);
    }
}
